"""Cautions: what is allowed, can be built, and will still surprise. Each is a sentence that says what will happen.

A part that cannot be is an error and never gets this far. Nothing here solves
the circuit; it looks at the battery, the names, what wires alone join, and which pole can be reached at all.
"""

from dataclasses import replace

from ..ground.errors import listed
from ..ground.quantities import say
from ..parts import Battery, Chassis, Diode, Flasher, FuseBlock, Lamp, LedLamp, Relay, Role, Switch
from ..parts.catalogue import bulbs
from ..parts.flasher import MOST_PROMISED
from ..parts.fuse_block import TO_CHOOSE
from ..parts.lamp import LIFE_TOLD
from ..parts.overheating import COIL_STANDS, HELD_OFF, OVERVOLTED
from ..parts.rated_light import lumens_words, rated_lights
from ..parts.source import CHARGES
from .ambient import ambient_words
from .nets import across_coils, nets
from .not_known import not_known_words
from .own_feed import own_feed_words
from .pairs import mirrored
from .pin_uses import pin_words
from .reachable import live_and_ground_ends
from .sentences import quoted

FITS = (0.75, OVERVOLTED)   # of the test voltage: below, a lamp is plainly dim; above, it is soon gone: common practice
SYSTEMS = 6.0, 12.0, 24.0, 48.0    # V, of vehicles: common practice
FLAT = 0.62                # of a system's volts: above, its battery is flat; below lies what charges the next lower one, 7.2 V of 6
EMPTY = CHARGES[0][1] / 12     # of a system's volts: at rest below, its battery is empty
CELL_GONE = 10.5 / 12      # of them: at rest so low, a cell may be dead or shorted, for five whole ones have 10.5 V: common practice
FAR_LESS = 0.5             # of the light of the lamp across, with less of which a pair is told to be uneven: the kit's own
KEEPS = 0.9                # of the battery's volts, what a load has at least where no way to it is too thin: ABYC E-11, 10 % lost


def warnings_for(arrangement):
    """Return a sentence for everything in an arrangement that will surprise whoever builds it.

    Looked at: an ambient that not everything follows, what is not known, controls that move nothing, terminals without a wire that their part needs, the battery
    against the frame, fuses, lamps and their colours, relays and flashers against the batteries, UNECE and US names side by side, diodes, relays
    with one, flashers and LED lamps the wrong way round, bulbs left and right, what is on the pins of a connector, and supplies that want a fuse of their own.

    Returns
    -------
    tuple of str
        In the order of the parts; empty when there is nothing to say.
    """
    metals, volts = nets(arrangement), arrangement.supplies
    of_parts = []
    for part in arrangement.parts:
        of_parts += part.misfits
        if isinstance(part, Lamp):
            of_parts += [*_against_supply(part, volts), *_red_ahead(part)]
        if isinstance(part, Relay):
            of_parts += [*_coil_against_supply(part, volts), *_coil_turned(part, metals)]
        if isinstance(part, LedLamp):
            of_parts += _led_turned(part, metals, arrangement)
        if isinstance(part, Diode):
            of_parts += _diode_turned(part, arrangement, metals, across_coils(arrangement))
        if isinstance(part, Flasher):
            of_parts += [*_flasher_turned(part, metals), *_flasher_against_supply(part, volts)]
    of_all = [*_shorted(arrangement, metals), *frame_contradicted(arrangement), *_unworked(arrangement), *_unfused(arrangement, metals), *unwired_words(arrangement), *_on_spare_ways(arrangement), *_run_down(arrangement, volts),
              *pin_words(arrangement), *own_feed_words(arrangement)]
    return (*filter(None, [ambient_words(arrangement), not_known_words(arrangement)]), *of_all, *of_parts, *_two_families(arrangement), *_unlike_pairs(arrangement))


def loose_needs(arrangement):
    """Return (part, terminals) for every part with some wire that lacks one where it cannot work without. [text]"""
    wired = {end.rpartition(":")[0] for end, wires in arrangement.wires_at.items() if wires}
    found = [(part, [f"{part.name}:{name}" for name in part.needs if not arrangement.wires_at[f"{part.name}:{name}"]])
             for part in arrangement.parts if part.name in wired]
    return [(part, loose) for part, loose in found if loose]


def free_contacts(arrangement):
    """Return every terminal without a wire that only a contact leads to, of parts with some wire: nothing flows over it. [text]

    Pins of a connector and ways of a fuse block are none: a spare one is nothing left out.
    """
    wires = arrangement.wires_at
    parts = [part for part in arrangement.listed if not part.parted and not part.seats and any(wires[f"{part.name}:{end}"] for end in part.terminals)]
    return tuple(f"{part.name}:{end}" for part in parts for end in part.terminals if not wires[f"{part.name}:{end}"] and end not in part.needs
                 and (here := [branch for branch in part.branches() if end in (branch.start, branch.end)]) and all(branch.role is Role.CONTACT for branch in here))


def unwired_words(arrangement):
    """Say of every terminal without a wire that its part cannot work without it; a part with no wire at all is a spare. [text]"""
    for part, loose in loose_needs(arrangement):
        them = "it" if len(loose) == 1 else "them"
        yield (f"no wire goes to {' and '.join(loose)}: {part.kind} '{part.name}' cannot work without {them}. "
               f"Wire {them}.")


def _on_spare_ways(arrangement):
    """Say of every wire on a way of a fuse block without a fuse that nothing comes through."""
    for block in arrangement.of_kind(FuseBlock):
        for way in block.spares:
            for wire in arrangement.wires_at[f"{block.name}:{way}"]:
                yield (f"wire '{wire}' is on '{block.name}:{way}', a spare way: no fuse sits there, so nothing comes through. Move it to a way with a "
                       f"fuse, or put one in. Choose its amps by what hangs there ('size' tells what flows and what the wire may carry), and write them in the place "
                       f"of {TO_CHOOSE}: set {quoted(block.name)} ways {quoted(block.filled(way))}.")


def _shorted(arrangement, metals):
    """Say when wires alone join the two ends of the batteries, and which one of them it is."""
    plus, minus = (pole.rpartition(":")[::2] for pole in arrangement.plus_and_minus)
    if metals[plus[1]][plus[0]] != metals[minus[1]][minus[0]]:
        return []
    cut = _each_cut(arrangement)
    guilty = [name for name, there in cut.items() if there[plus[1]][plus[0]] != there[minus[1]][minus[0]]]
    said = f"{guilty[-1]} joins" if guilty else "wires alone join"
    return [f"{said} the battery's plus to its minus, with no fuse and no lamp between: hundreds of amperes flow, and it melts. Take it off."]


def _unworked(arrangement):
    """Say of every control that it moves nothing."""
    worked = {part.control for part in arrangement.of_kind(Switch)}
    for control in arrangement.controls:
        if control.name not in worked:
            yield (f"control '{control.name}' moves nothing: no switch is worked by it. Add a switch that is, or type "
                   f"'remove control {quoted(control.name)}'.")


def frame_contradicted(arrangement):
    """Return one sentence when the frame is on another pole of the battery than is said, else none."""
    metals = nets(arrangement)
    found = {metals["1"][part.name]: part.name for part in arrangement.of_kind(Chassis)}
    if arrangement.frame == "plus" and "-" in found:
        return [f"battery '{arrangement.battery.name}' is the wrong way round for what is said: the frame is to be plus, and the "
                f"battery's minus is on '{found['-']}'. Exchange the cables, or say so: frame on minus."]
    if arrangement.frame == "plus" or "+" not in found:
        return []
    return [f"battery '{arrangement.battery.name}' is the wrong way round: its plus is on the frame '{found['+']}'. Lamps and plain "
            "relays do not show it; electronic flashers do not swing and LED lamps stay dark, some for good, and a diode across a coil "
            "shorts. Exchange the cables. Where plus on the frame is meant, as in some old tractors, say so: frame on plus."]


def _unfused(arrangement, metals):
    """Say what hangs on the live side of the batteries by wires alone; nothing where that is the frame."""
    where, several = {}, len(arrangement.of_kind(Battery)) > 1
    for pole in sorted(arrangement.sides[0], key=lambda pole: pole.endswith("+") == (arrangement.frame == "plus")):
        name, _, sign = pole.partition(":")     # where two batteries meet, the pole that is not of the frame's sign comes first
        where.setdefault(metals[sign][name], f"{name}:{sign}" if several else f"the battery's {'plus' if sign == '+' else 'minus'}")
    if any(metals["1"][part.name] in where for part in arrangement.of_kind(Chassis)):
        return []
    bare = {}
    for part in arrangement.parts:
        if not part.guards and not any(each.guards for each in part.seats) and not part.is_metal and not part.first(Role.SOURCE):
            for pole in dict.fromkeys(where[metal] for end in part.terminals if (metal := metals[end][part.name]) in where):
                bare.setdefault(pole, []).append(part.name)
    return [f"no fuse lies between {pole} and {listed(names)}: a wire that chafes there burns. Fit one at the battery end."
            for pole, names in bare.items()]


def _red_ahead(lamp):
    """Say that no red light may be seen ahead of a vehicle. Source: UN R48 par. 5.10.1, from memory."""
    if lamp.light == "red" and lamp.place.lower().startswith("front"):
        yield (f"lamp '{lamp.name}' at '{lamp.place}' shows red: no red light may be seen from ahead, and turn signals there are amber "
               f"(local code decides). Type: set {quoted(lamp.name)} light amber.")


def _against_supply(lamp, supplies):
    """Say what a lamp for another voltage will do on the voltage there is that comes nearest."""
    volts = min(supplies, key=lambda volts: abs(volts - lamp.volts))
    ratio = volts / lamp.volts
    if volts == 0 or FITS[0] <= ratio <= FITS[1]:
        return
    device = lamp.branches()[0].device
    amps = device.settled_current(volts)[0]
    start = f"lamp '{lamp.name}' is made for {say(lamp.volts, 'V')} and the battery gives {say(volts, 'V')}: "
    light = device.shine(volts, device.settled_temperature(volts) if device.warms else None)
    if ratio < 1:
        shows = "stay dark" if light < 0.01 else f"give about {100 * light:.0f} % of its light"
        yield f"{start}it will draw {say(amps, 'A')} and {shows}. {_mend('bulb' if device.warms else 'LED lamp', volts, lamp.volts)}."
    elif KEEPS * ratio <= OVERVOLTED:
        yield f"{start}how long it lasts is told by the volts it has itself, by size and by a meter. Fit a lamp for this battery."
    elif not device.warms:
        yield (f"{start}it will draw {say(amps, 'A')}, {amps * lamp.volts / lamp.watts:.1f} times what it is "
               "made for, overheat and fail. Fit a lamp for this battery.")
    else:
        how = f" at {light:.1f} times its light" if ratio <= LIFE_TOLD else ""
        yield f"{start}it blazes{how}, and {lamp.fate(volts)}. Fit a bulb for this battery."


def _system(made_for):
    """Return the vehicle system that a part for some volts belongs to. [V]"""
    return max((each for each in SYSTEMS if each <= made_for), default=made_for)


def _mend(what, volts, made_for):
    """Say what to do about too few volts: where the battery is only low, it is the one to be seen to."""
    if volts < FLAT * _system(made_for):
        return f"Fit {'an' if what == 'LED lamp' else 'a'} {what} for this battery"
    return f"See to the battery first, and keep the {what}"


def _run_down(arrangement, supplies):
    """Say of a battery at rest that it is empty, and when a cell of it may be gone; measured by what hangs on it."""
    found = {}
    for made_for in filter(None, (getattr(part, "nominal", getattr(part, "volts", None)) for part in arrangement.parts)):
        volts, system = min(supplies, key=lambda volts: abs(volts - made_for)), _system(made_for)
        if FLAT * system <= volts < round(EMPTY * system, 6):
            found.setdefault(volts, system)
    for volts, system in found.items():
        says = f"the battery has {say(volts, 'V')} at rest: of a {system:g} V battery that is empty (common practice: below {say(EMPTY * system, 'V')})"
        if volts > CELL_GONE * system:
            yield f"{says}. Charge it before you judge a lamp or a relay by it."
        else:
            yield (f"{says}, and at {say(CELL_GONE * system, 'V')} and less a cell may be dead or shorted. Test it before you charge it: let "
                   "it rest, then measure it under load. With a shorted cell it overheats and gases on the charger: do not charge it.")


def _two_families(arrangement):
    """Say when some lamps are named by UNECE category and others by US trade number."""
    by_name = {one.name: one for one in reversed(bulbs())}
    used = {}
    for lamp in arrangement.of_kind(Lamp):
        one = by_name.get(lamp.bulb.partition(" ")[0])
        if one:
            used.setdefault(one.family, lamp)
    if len(used) == 2:
        europe, america = used["UNECE"], used["US"]
        yield (f"lamp '{europe.name}' is a {europe.bulb} (UNECE category) and lamp '{america.name}' a {america.bulb} "
               "(US trade number): near names share a cap, but not watts and light, so a pair would look uneven. "
               "Choose from one family.")


def _unlike_pairs(arrangement):
    """Say when a lamp on one side is made for far less light than the one across."""
    for pair in mirrored(arrangement):
        lights = rated_lights(*pair)
        if lights and min(lights) < FAR_LESS * max(lights):
            faint, bright = sorted(pair, key=lambda lamp: lights[pair.index(lamp)])
            yield (f"lamp '{faint.name}' ({lumens_words(faint)}; {faint.place}) gives far less light than lamp '{bright.name}' "
                   f"({lumens_words(bright)}; {bright.place}): a pair must look alike. Fit the bulb the lamp is made for, the same on both sides.")


def _coil_against_supply(relay, supplies):
    """Say what a relay for another voltage will do on the voltage there is that comes nearest."""
    volts = min(supplies, key=lambda volts: abs(volts - relay.nominal))
    pulls_in = relay.pull_in_voltage * relay.warm_resistance / relay.coil_resistance
    if 0 < volts < pulls_in:
        holds = volts >= relay.drop_out_voltage * relay.warm_resistance / relay.coil_resistance
        fate = "it will not pull in from rest; once in, it would hold" if holds else "it will never operate"
        yield (f"relay '{relay.name}' operates at {say(pulls_in, 'V')} and the battery gives "
               f"{say(volts, 'V')}: {fate}. {_mend('relay', volts, relay.nominal)}.")
    elif volts > COIL_STANDS * relay.nominal:
        yield (f"relay '{relay.name}' has a coil of {say(relay.coil_resistance, 'ohm')} that operates at "
               f"{say(relay.pull_in_voltage, 'V')}, so it is a {relay.nominal:.0f} V relay, and the battery gives "
               f"{say(volts, 'V')}: its coil will turn {say(volts**2 / relay.coil_resistance, 'W')} into heat and burn out within "
               "minutes. Fit a relay for this battery.")


def _coil_turned(relay, metals):
    """Say when the diode built into a relay conducts while its coil is fed."""
    if relay.suppression == "diode" and (metals["86"][relay.name] == "-" or metals["85"][relay.name] == "+"):
        yield (f"relay '{relay.name}' has a diode built in and is the wrong way round: the diode will short its coil as soon as it is "
               "fed, and the fuse or the diode goes. Plus belongs on 86, minus on 85.")


def _flasher_turned(flasher, metals):
    """Say when a flasher with electronics in it has its 31 on plus, or its 49 on minus."""
    if not flasher.is_thermal and (metals.get("31", {}).get(flasher.name) == "+" or metals["49"][flasher.name] == "-"):
        yield (f"flasher '{flasher.name}' is the wrong way round: it does not run, and its electronics may be gone for good. Plus "
               "belongs on 49 and minus on 31; where plus is the frame, one that works by heat runs either way.")


def _flasher_against_supply(flasher, supplies):
    """Say when an electronic flasher gets more volts than any sheet promises that it flashes at."""
    volts = min(supplies, key=lambda volts: abs(volts - flasher.volts))
    if not flasher.is_thermal and volts > MOST_PROMISED * flasher.volts:
        yield (f"flasher '{flasher.name}' is made for {say(flasher.volts, 'V')} and the battery gives {say(volts, 'V')}: above "
               f"{say(MOST_PROMISED * flasher.volts, 'V')} no sheet promises that it flashes, and one that guards its lamps holds "
               f"them off above some {say(HELD_OFF * flasher.volts, 'V')}. Fit a flasher for this battery.")


def _led_turned(lamp, metals, arrangement):
    """Say when an LED lamp's plus is on ground, or its minus on the battery's plus; where it sits right but for one wire, which wire that is."""
    plus, minus = metals["1"][lamp.name], metals["2"][lamp.name]
    if plus != "-" and minus != "+":
        return
    wrong, pole = (f"{lamp.name}:1", "ground" if arrangement.frame == "minus" else "the battery's minus") if plus == "-" else (f"{lamp.name}:2", "the battery's plus")
    guilty = [name for name, there in _each_cut(arrangement).items() if there[wrong[-1]][lamp.name] != metals[wrong[-1]][lamp.name]]
    sides = live_and_ground_ends(arrangement, f"{lamp.name}:1", f"{lamp.name}:2", without=guilty[-1:])
    if sides and sides[0] == f"{lamp.name}:1":
        yield (f"{f'wire {guilty[-1]} joins' if guilty else 'wires alone join'} {wrong}, of LED lamp '{lamp.name}', to {pole}, where its other terminal leads to as well: "
               f"it will stay dark{', and whatever feeds it is shorted' if plus == '-' else ''}. Take {'it' if guilty else 'them'} off.")
    else:
        yield f"LED lamp '{lamp.name}' is the wrong way round: it will stay dark. Plus belongs on terminal 1."


def _each_cut(arrangement):
    """Return what each terminal is on, as ``nets`` does, were one wire cut: for each wire. [text]"""
    return {wire.name: nets(replace(arrangement, wires=tuple(other for other in arrangement.wires if other is not wire))) for wire in arrangement.wires}


def _diode_turned(diode, arrangement, metals, across):
    """Say when a diode across a coil conducts instead of blocking while the coil is fed; of several coils, of the nearest."""
    coils = across.get(diode.name)
    if not coils:
        return
    relay = min(coils, key=coils.get)
    beside = [name for name, others in across.items() if relay in others]
    sides = live_and_ground_ends(arrangement, f"{relay}:86", f"{relay}:85", without=beside)
    if sides and metals["A"][diode.name] == metals[sides[0][-2:]][relay]:
        yield (f"diode '{diode.name}' lies across the coil of '{relay}' the wrong way round: it will short the coil as soon as it is "
               f"fed, the relay will not operate, and the fuse or the diode goes. K belongs on the coil's plus, here {sides[0]}.")
