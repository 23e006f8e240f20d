"""Words for what is found at a wire, a terminal or a lamp, the same in both drawings."""

from ..ground.errors import listed
from ..reasoning.leads import DRIFTS, ghosts_in_doubt
from .edges import MARGIN
from .letters import NAME, SMALL, Label, in_lines
from .strokes import lost_ends
from .style import UNANSWERED, ambient_line, colour_words, frame_words

_ARROWS = {(0, 1): "\N{DOWNWARDS ARROW}", (0, -1): "\N{UPWARDS ARROW}", (1, 0): "\N{RIGHTWARDS ARROW}",
           (-1, 0): "\N{LEFTWARDS ARROW}"}


def told(arrangement, point, opening, parts):
    """Return a drawing as text: part by part what is said of it, and after each part the wires that leave it.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint or None
        Adds states, lamp volts and what is live, ghost, dead or floating.
    opening : str
        What drawing it is. [text]
    parts : list of (Part, str)
        In the order of the drawing, with their words. [text]
    """
    settled = point if point is not None and point.is_settled else None
    lines = [opening + frame_words(arrangement), *filter(None, [ambient_line(arrangement)])]
    if point is not None and not settled:
        lines.append(f"No steady state: {point.sentence}. {UNANSWERED}")
    said = set()
    for part, words in parts:
        lines.append(f"{words}{_state(part, settled)}.")
        for end in (f"{part.name}:{terminal}" for terminal in part.terminals):
            for name in arrangement.wires_at[end]:
                if name not in said:
                    said.add(name)
                    lines.append(_wire(arrangement.part(name), end, settled))
    lines += floating_words(any(line.endswith(": floating.") for line in lines))
    if arrangement.loose:
        lines.append(f"Nothing is wired to {listed(arrangement.loose)}.")
    return " ".join(lines)


def _state(part, point):
    if point is None:
        return ""
    if part.seats:
        return ": " + ", ".join(f"{each.name} {f'{volt_words(each, point)}, {light_words(each, point)}' if each.shines else point.states[each.name]}"
                                for each in part.seats)
    if part.shines:
        return f": {volt_words(part, point)}, {light_words(part, point)}"
    return f": {point.states[part.name]}" if point.states[part.name] != "fixed" else ""


def _wire(wire, end, point):
    """Say a wire from one of its ends to the other."""
    other = wire.end if end == wire.start else wire.start
    text = f"From {end}, wire {wire.name} {wire.colour or 'without letters'} ({colour_words(wire.colour)}) to {other}"
    text += "".join(f", off {lost}" for lost in lost_ends(wire))
    return f"{text}: {wire_words(wire, point)}." if point else f"{text}."


def labels_below(arrangement, point, width, top, said):
    """Return what is printed below a drawing of a width (ambient, what is said, a verdict) and where it ends. [px]"""
    width -= 2 * MARGIN
    lines = [(line, False) for text in filter(None, [ambient_line(arrangement), *said]) for line in in_lines(text, width, 8)]
    if point and not point.is_settled:
        lines += [(line, True) for line in in_lines(point.sentence, width, 8, NAME)]
        lines += [(line, False) for line in in_lines(UNANSWERED, width, 8)]
    labels = [Label(line, MARGIN, top + 4 + number * (NAME + 4), NAME if bold else SMALL, "verdict", bold=bold)
              for number, (line, bold) in enumerate(lines)]
    return labels, top + len(lines) * (NAME + 4)


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
    """Return a lamp's light in percent of its rated light, or that it is dark, blown or, as in a wrong bulb, missing."""
    if point.states[lamp.name] != "whole":
        return point.states[lamp.name]
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
