"""Cautions: what is allowed, can be built, and will still surprise. Each is a sentence that says what will happen.

A part that cannot be is an error and never gets this far. Nothing here solves
the circuit; it looks at the battery, the names, and what wires alone join.
"""

from ..ground.errors import listed
from ..ground.quantities import say
from ..parts import Battery, Chassis, Diode, Lamp, LedLamp, Relay, Splice
from ..parts.catalogue import bulbs
from .ambient import ambient_words
from .nets import nets, supplies

TUNGSTEN_MELTS = 3687.0    # K. Source: tables of the elements
LIFE_POWER = 13            # life ~ U^-13; published powers run from 12 to 16
FITS = (0.75, 1.25)        # of the test voltage: below, a lamp is plainly dim; above, it is soon gone: common practice
COIL_STANDS = 1.6          # times the nominal coil voltage, about 2.5 times its watts, for long: common practice


def warnings_for(arrangement):
    """Return a sentence for everything in an arrangement that will surprise whoever builds it.

    Looked at: an ambient that not everything follows, terminals without a wire that their part needs, the battery
    against the frame, lamps and relays against the batteries,
    UNECE and US names side by side, diodes across a coil and LED lamps the wrong way round.

    Returns
    -------
    tuple of str
        In the order of the parts; empty when there is nothing to say.
    """
    found = []
    metals, volts = nets(arrangement), supplies(arrangement)
    for part in arrangement.parts:
        if isinstance(part, Lamp):
            found += _against_supply(part, volts)
        if isinstance(part, Relay):
            found += _coil_against_supply(part, volts)
        if isinstance(part, LedLamp):
            found += _led_turned(part, metals)
        if isinstance(part, Diode):
            found += _diode_turned(part, arrangement, metals)
    ambient = [words] if (words := ambient_words(arrangement)) else []
    return tuple(ambient + _frame_on_plus(arrangement, metals) + _unfused(arrangement, metals) + _unwired(arrangement)
                 + found
                 + _two_families(arrangement))


def _unwired(arrangement):
    """Say of every terminal without a wire that its part cannot work without it; a part with no wire at all is a spare."""
    found = []
    for part in arrangement.parts:
        wired = [name for name in part.terminals if arrangement.wires_at[f"{part.name}:{name}"]]
        loose = [f"{part.name}:{name}" for name in part.needs if name not in wired]
        if wired and loose:
            found.append(f"no wire goes to {' and '.join(loose)}: {part.kind} '{part.name}' cannot work without "
                         f"{'it' if len(loose) == 1 else 'them'}. Wire {'it' if len(loose) == 1 else 'them'}.")
    return found


def _frame_on_plus(arrangement, metals):
    """Say when the frame is on the battery's plus."""
    frames = [part.name for part in arrangement.of_kind(Chassis) if metals["1"][part.name] == "+"]
    if not frames:
        return []
    return [f"battery '{arrangement.battery.name}' is the wrong way round: its plus is on the frame '{frames[0]}'. Lamps and plain "
            "relays do not show it; electronic flashers do not swing and LED lamps stay dark, some for good, and a diode across a coil "
            "shorts. Exchange the cables. Where plus on the frame is meant, as in some old tractors: volts are counted from "
            "the battery's minus here, so the frame is what is called live."]


def _unfused(arrangement, metals):
    """Say what hangs on the battery's plus by wires alone; nothing where plus is the frame."""
    if any(metals["1"][part.name] == "+" for part in arrangement.of_kind(Chassis)):
        return []
    bare = [part.name for part in arrangement.parts if not part.guards and not isinstance(part, Battery | Splice | Chassis)
            and any(metals[terminal][part.name] == "+" for terminal in part.terminals)]
    return [f"no fuse lies between the battery's plus and {listed(bare)}: a wire that chafes there burns. Fit one at the battery "
            "end."] if bare else []


def _against_supply(lamp, supplies):
    """Say what a lamp for another voltage will do on the voltage there is that comes nearest."""
    volts = min(supplies, key=lambda volts: abs(volts - lamp.volts))
    ratio = volts / lamp.volts
    if volts == 0 or FITS[0] <= ratio <= FITS[1]:
        return []
    device = lamp.branches()[0].device
    amps = device.settled_current(volts)[0]
    start = f"lamp '{lamp.name}' is made for {say(lamp.volts, 'V')} and the battery gives {say(volts, 'V')}: "
    light = device.shine(volts, device.settled_temperature(volts) if device.warms else None)
    if ratio < 1:
        shows = "stay dark" if light < 0.01 else f"give about {100 * light:.0f} % of its light"
        return [f"{start}it will draw {say(amps, 'A')} and {shows}. Fit a bulb for this battery."]
    if not device.warms:
        return [f"{start}it will draw {say(amps, 'A')}, {amps * lamp.volts / lamp.watts:.1f} times what it is "
                "made for, overheat and fail. Fit a lamp for this battery."]
    kelvin = device.settled_temperature(volts)
    fate = ("its filament will melt at once" if kelvin >= TUNGSTEN_MELTS else
            f"it will blaze at {light:.1f} times its light, its filament at {kelvin:.0f} K (tungsten melts at "
            f"{TUNGSTEN_MELTS:.0f} K), and last about 1/{_rounded(ratio**LIFE_POWER)} of its life")
    return [f"{start}{fate}. Fit a bulb for this battery."]


def _rounded(value):
    """Return a number to one digit, as text: 2718 is '3000'."""
    return f"{float(f'{value:.0e}'):.0f}"


def _two_families(arrangement):
    """Say when some lamps are named by UNECE category and others by US trade number."""
    by_name = {one.name: one for one in reversed(bulbs())}
    used = {}
    for lamp in arrangement.of_kind(Lamp):
        one = by_name.get(lamp.bulb.partition(" ")[0])
        if one:
            used.setdefault(one.family, lamp)
    if len(used) < 2:
        return []
    europe, america = used["UNECE"], used["US"]
    return [f"lamp '{europe.name}' is a {europe.bulb} (UNECE category) and lamp '{america.name}' a {america.bulb} "
            "(US trade number): near names share a cap, but not watts and light, so a pair would look uneven. "
            "Choose from one family."]


def _coil_against_supply(relay, supplies):
    """Say what a relay for another voltage will do on the voltage there is that comes nearest."""
    volts = min(supplies, key=lambda volts: abs(volts - 1.5 * relay.pull_in_voltage))
    pulls_in = relay.pull_in_voltage * relay.warm_resistance / relay.coil_resistance
    if 0 < volts < pulls_in:
        return [f"relay '{relay.name}' operates at {say(pulls_in, 'V')} and the battery gives "
                f"{say(volts, 'V')}: it will never operate. Fit a relay for this battery."]
    if volts > COIL_STANDS * relay.nominal:
        return [f"relay '{relay.name}' operates at {say(relay.pull_in_voltage, 'V')}, so it is a {relay.nominal:.0f} V "
                f"relay, and the battery gives {say(volts, 'V')}: its coil will turn "
                f"{say(volts**2 / relay.coil_resistance, 'W')} into heat and burn out. Fit a relay for this battery."]
    return []


def _led_turned(lamp, metals):
    """Say when an LED lamp's plus is on ground, or its minus on the battery's plus."""
    if metals["1"][lamp.name] == "-" or metals["2"][lamp.name] == "+":
        return [f"LED lamp '{lamp.name}' is the wrong way round: it will stay dark. Plus belongs on terminal 1."]
    return []


def _diode_turned(diode, arrangement, metals):
    """Say when a diode across a coil conducts instead of blocking while the coil is fed."""
    ends = (metals["A"][diode.name], metals["K"][diode.name])
    for relay in arrangement.of_kind(Relay):
        coil = (metals["85"][relay.name], metals["86"][relay.name])
        if set(ends) != set(coil) or coil[0] == coil[1]:
            continue
        known = ends[0] in ("+", "-") or ends[1] in ("+", "-")
        if ends[0] == "+" or ends[1] == "-" or (not known and ends[0] == coil[1]):
            return [f"diode '{diode.name}' lies across the coil of '{relay.name}' the wrong way round: it will "
                    "short the coil as soon as it is fed, the relay will not operate, and the fuse or the diode goes. "
                    "K belongs on the coil's plus, 86 by convention."]
    return []
