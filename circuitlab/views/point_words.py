"""Words for what is found at a wire, a terminal or a lamp, the same in both drawings."""

from ..reasoning.leads import DRIFTS, ghosts_in_doubt

_ARROWS = {(0, 1): "\N{DOWNWARDS ARROW}", (0, -1): "\N{UPWARDS ARROW}", (1, 0): "\N{RIGHTWARDS ARROW}",
           (-1, 0): "\N{LEFTWARDS ARROW}"}


def state_of_wire(wire, point):
    """Return live, ghost, dead, doubtful or floating; doubtful as for a terminal. [text]"""
    word = point.wire_liveness(wire.name)
    return "doubtful" if word == "dead" and point.wire_may_be_ghost(wire.name) else word


def wire_words(wire, point):
    """Return what a wire is for whoever measures there, with the meter's volts where they mislead. [text]"""
    state = state_of_wire(wire, point)
    if state == "ghost":
        return f"ghost, {abs(point.wire_meter(wire.name)):.1f} V on a meter, gone under a test lamp"
    if state == "doubtful":
        return "dead; a ghost where blocked diodes leak as much as their sheets allow"
    return state


def floating_words(floats):
    """Return what a display does where something floats, in a list that is empty if nothing does. [text]"""
    return [f"Where it floats, {DRIFTS}."] if floats else []


def doubt_words(point):
    """Return which terminals are dead and may be ghosts, and of how many volts, or nothing. [text]"""
    found = ghosts_in_doubt(point)
    most = max(map(abs, found.values()), default=0.0)
    return (f"Dead, and a ghost of up to {most:.1f} V on a meter where blocked diodes leak as much as their sheets allow: "
            f"{', '.join(found)}.") if found else ""


def volt_words(lamp, point):
    """Return the volts a meter shows across a lamp, or that it floats."""
    volts = point.lamp_meter(lamp.name)
    return "floating" if volts is None else f"{volts:.1f} V".replace("-0.0", "0.0").replace("-", "\N{MINUS SIGN}")


def light_words(lamp, point):
    """Return a lamp's light in percent of its rated light, or that it is dark or blown."""
    if point.states[lamp.name] == "blown":
        return "blown"
    light = point.light(lamp.name)
    return f"{100 * light:.0f} %" if light >= 0.005 else "dark"


def volts_text(point, terminal):
    """Return what a meter shows at a terminal, as printed on the sheet."""
    volts = point.meter(terminal)
    return "floats" if volts is None else f"{volts:.1f} V".replace("-0.0", "0.0").replace("-", "\N{MINUS SIGN}")


def amps_text(amps, arrow):
    """Return a current as printed beside its wire, with an arrow the way it runs; without one, from the wire's start.

    >>> amps_text(1.957, None), amps_text(-0.35, None), amps_text(0.0, (0, 1))
    ('1.96 A', '−350 mA', '0 A')
    """
    size = abs(amps)
    text = "0 A" if size < 0.0005 else f"{1000 * size:.0f} mA" if size < 0.9995 else \
        f"{size:.2f} A" if size < 9.995 else f"{size:.1f} A" if size < 99.95 else f"{size:.0f} A"
    if arrow is None:
        return text if amps >= 0 or text == "0 A" else f"\N{MINUS SIGN}{text}"
    if text == "0 A":
        return text
    way = arrow if amps > 0 else (-arrow[0], -arrow[1])
    return f"{text} {_ARROWS[way]}"
