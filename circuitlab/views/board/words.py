"""What is told of one thing on a board, and what a hand's act came to, in words."""

from ...parts import Wire
from ...reasoning import flash
from ...reasoning.looks import brightness
from ..point_words import amps_text, light_words, state_of_wire, volts_text
from ..strokes import SAID, state_of
from ..style import colour_words, named


def told_of(point, name, out=()):
    """Return what is read at a part, wire or terminal at one moment. [text]

    Parameters
    ----------
    point : OperatingPoint
    name : str
        Of a part or wire, or a terminal. [text]
    out : tuple of str
        Parts that a hand took out. [text]
    """
    if ":" in name:
        state = state_of(name, point)
        return f"{name}: {volts_text(point, name)}, {SAID.get(state, state)}."
    part = point.arrangement.part(name)
    if isinstance(part, Wire):
        state = state_of_wire(part, point)
        return (f"{part.name}, {colour_words(part.colour)}, {part.start} to {part.end}: {SAID.get(state, state)}, "
                f"{amps_text(point.current(name), None)}.")
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


def came_of(course, done):
    """Return what was done and what every lamp does once that has settled, in one sentence to be spoken. [text]"""
    if course.verdict != "settled":
        return f"{done}. It stops: {course.sentence}."
    looks = {}
    for lamp in course.lamp_volts:
        seen = flash(course, lamp, course.begin)
        turns = _turns(course, lamp, seen) if seen.look.endswith("changing") else ""
        looks.setdefault(turns or (seen.look if seen.rate is None else f"{seen.look} {seen.rate:.0f} a minute"), []).append(lamp)
    return f"{done}. " + "; ".join(f"{', '.join(lamps)} {look if isinstance(look, str) else look[len(lamps) > 1]}"
                                   for look, lamps in looks.items()) + ("." if looks else "")


def _turns(course, lamp, seen):
    """Return what a lamp that does not flash does one after the other, of one lamp and of several. [text]"""
    end = brightness(course.light[lamp][-1])
    last = {"lit": ("comes on", "come on"), "dim": ("comes on dim", "come on dim"), "dark": ("stays dark", "stay dark")} if seen.edges[-1][1] else \
        {"lit": ("gets weaker", "get weaker"), "dim": ("goes dim", "go dim"), "dark": ("goes out", "go out")}
    first = [("comes on", "come on") if rises else ("goes out", "go out") for _, rises in seen.edges[:-1]]
    return tuple(" and ".join(words) for words in zip(*first, last[end]))
