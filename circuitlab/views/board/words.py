"""What is told of one thing on a board, and what a hand's act came to, in words."""

from bisect import bisect_left

from ...parts import Wire
from ...reasoning import flash
from ...reasoning.flashing import TOO_SHORT
from ...reasoning.looks import DARK_BELOW, brightness
from ..point_words import amps_text, light_words, state_of_wire, volts_text
from ..strokes import SAID, state_of
from ..style import colour_words, named

_SETTLED = {"lit": "steady", "dim": "dim", "dark": "dark"}


def told_of(point, name, out=(), hanging=None):
    """Return what is read at a part, wire or terminal at one moment. [text]

    Parameters
    ----------
    point : OperatingPoint
    name : str
        Of a part or wire, or a terminal. [text]
    out : tuple of str
        Parts that a hand took out. [text]
    hanging : dict of str to list of (str, str), optional
        Of the part's terminals, where it is out with no wire on it: the wires that ended there, each with a terminal that its end has the
        volts of. [text]
    """
    if ":" in name:
        state = state_of(name, point)
        in_hand = f" {name.partition(':')[0]} is out, and this is a terminal of the part in the hand. {_left(point, name, hanging)}" if hanging else ""
        return f"{name}: {volts_text(point, name)}, {SAID.get(state, state)}.{in_hand}"
    part = point.arrangement.part(name)
    if isinstance(part, Wire):
        state = state_of_wire(part, point)
        return (f"{part.name}, {colour_words(part.colour)}, {part.start} to {part.end}: {SAID.get(state, state)}, "
                f"{amps_text(point.current(name), None)}.")
    if hanging:
        return f"{named(part)}, {part.kind}, out: its terminals are those of the part in the hand. {_left(point, name, hanging)}"
    state = point.states[name]
    said = [f"{named(part)}, {part.kind}{', out' if part.seat in out or name in out else f', {state}' if state != 'fixed' else ''}"]
    if part.shines:
        said.append(f"{light_words(part, point)}, {amps_text(abs(point.current(name)), None)}")
    said += [f"{each.name} {light_words(each, point) if each.shines else point.states[each.name]}, {amps_text(abs(point.current(each.name)), None)}"
             for each in part.seats]
    if not part.is_metal:
        ends = part.ends
        read = ", ".join(f"{end.partition(':')[2] if part.terminals else end}: {volts_text(point, end)}" for end in ends)
        said.append(f"terminal {read}")
    return ": ".join(said[:1] + ["; ".join(said[1:])] if said[1:] else said) + "."


def _left(point, name, hanging):
    """Say what a meter shows in the holder or socket of a part that is out, where its wires end. [text]"""
    part = point.arrangement.part(name.partition(":")[0])
    read = [f"{volts.replace('floats', 'floating')} where {' and '.join(wires)} {'ends' if len(wires) == 1 else 'end'}"
            for volts, wires in _alike(point, hanging)]
    place = f"its {'holder' if part.guards else 'socket'}"
    return f"In {place}: {', '.join(read)}." if read else f"No wire ends in {place}."


def _alike(point, hanging):
    """Yield what is read where wires end, and those wires: all of one terminal together. [text]"""
    for ends in hanging.values():
        for place in dict.fromkeys(place for _, place in ends):
            yield volts_text(point, place), [wire for wire, at in ends if at == place]


def came_of(course, done, start=None):
    """Return what was done and what every lamp does once that has settled, in one sentence to be spoken. [text]

    A cold filament behind longer wires takes a few hundredths of a second more to its volts than its neighbours: it is called as they are.

    Parameters
    ----------
    course : TimeCourse
    done : str
        [text]
    start : float, optional
        From when on it is looked at; from the begin of the course unless given. [s]
    """
    if course.verdict != "settled":
        return f"{done}. It stops: {course.sentence}."
    looks, start = {}, course.begin if start is None else start
    for lamp in course.lamp_volts:
        seen = flash(course, lamp, start)
        look = _SETTLED[brightness(course.light[lamp][-1])] if _is_on_at_once(course, lamp, seen, start) else seen.look
        turns = _turns(course, lamp, seen) if look.endswith("changing") else ""
        looks.setdefault(turns or (look if seen.rate is None else f"{look} {seen.rate:.0f} a minute"), []).append(lamp)
    return f"{done}. " + "; ".join(f"{', '.join(lamps)} {look if isinstance(look, str) else look[len(lamps) > 1]}"
                                   for look, lamps in looks.items()) + ("." if looks else "")


def _is_on_at_once(course, lamp, seen, start):
    """Tell whether a lamp has volts from the first moment on, and all of them before anybody could see it come on. [yes/no]"""
    if not seen.look.endswith("changing") or len(seen.edges) != 1 or not seen.edges[0][1]:
        return False
    first = abs(course.lamp_volts[lamp][bisect_left(course.times, start)])
    return first >= DARK_BELOW ** (1 / 3.4) * course.arrangement.part(lamp).volts and seen.edges[0][0] - start < TOO_SHORT


def _turns(course, lamp, seen):
    """Return what a lamp that does not flash does one after the other, of one lamp and of several. [text]"""
    end = brightness(course.light[lamp][-1])
    last = {"lit": ("comes on", "come on"), "dim": ("comes on dim", "come on dim"), "dark": ("stays dark", "stay dark")} if seen.edges[-1][1] else \
        {"lit": ("gets weaker", "get weaker"), "dim": ("goes dim", "go dim"), "dark": ("goes out", "go out")}
    first = [("comes on", "come on") if rises else ("goes out", "go out") for _, rises in seen.edges[:-1]]
    return tuple(" and ".join(words) for words in zip(*first, last[end]))
