"""The words of a reason: what is open and how, what is joined and by what, how a part stands."""

from math import inf

from ..parts.branch import Role
from .looks import brightness


def as_it_is(point, part):
    """Say what is seen of a part."""
    if part.shines:
        return f"{part.name} is {brightness(point.light(part.name))}"
    return part.name if len(part.states) == 1 else f"{part.name} {_stands(part, point.states[part.name])}"


def _stands(part, state):
    return "rests" if state == part.states[0] else "is under way" if state in part.under_way else f"is {state}"


def open_words(places):
    """Say of every place that is open that it is."""
    return joined(dict.fromkeys(map(_open, places)))


def _open(place):
    part, branch = place.part, place.branch
    if (part.seat or part.name) not in place.terminals[0].partition(":")[0]:
        lost = [end for end, joint in ((part.start, part.start_joint), (part.end, part.end_joint)) if joint == inf]
        return f"{part.name} is off at {' and '.join(lost)}"
    where = "" if sum(each.role is Role.CONTACT for each in part.branches()) == 1 else f" from {branch.start} to {branch.end}"
    if branch.mated and place.state in (branch.closed_in or ()):       # a pin that does not join in any state
        return f"{part.name} is open{where}"
    if branch.mated or not part.moves and not hasattr(part, "control"):
        return f"{part.name} is {place.state}" if len(part.states) > 1 else f"{part.name} blocks"
    if part.signals and place.state == part.states[0]:
        return f"{part.name} is {place.state} by its signals"
    how = f"{part.control} {place.state}" if hasattr(part, "control") else f"it {_stands(part, place.state)}"
    return f"{part.name} is open{where} ({how})"


def closed_words(places, to):
    """Say of places that are closed what they join it to."""
    names = joined(dict.fromkeys(place.part.name for place in places))
    alone = len({place.part.name for place in places}) == 1
    return f"{names} {'joins' if alone else 'join'} it {to}{'' if alone else ', each of them'}"


def by_contacts(standing, end, places):
    """Say by which contacts the pole is come to, where there are more than were named."""
    way = standing.from_pole(end, through_loads=True)
    names = list(dict.fromkeys(place.part.name for place in way[0] if place.is_contact or place.branch.role.takes)) if way else []
    return f"on the way from {standing.point.arrangement.live_pole} are {joined(names)}" if len(names) > 1 else ""


def followers_words(standing, end):
    """Say of what follows signals on the way from the pole by which it is on. [text]"""
    way = standing.from_pole(end, through_loads=True)
    parts = dict.fromkeys(place.part for place in way[0] if place.part.signals) if way else ()
    volts = standing.point.volts
    return "; ".join(f"{part.name} is on by its signals, " + joined([f"{volts_words(volts(part.at(name)))} at {part.at(name)}" for name in part.signals]) for part in parts)


def from_live(point):
    """Name the pole that the way comes from. [text]"""
    return f"to the battery's {point.arrangement.live_pole}"


def apostrophe(point):
    """Name the battery's live pole behind its own name. [text]"""
    return f"'s {point.arrangement.live_pole}"


def joined(names):
    """Join names as a sentence does. [text]"""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def volts_words(volts):
    """Say so many volts, or that there are none. [text]"""
    return "no volts" if volts is None else f"{abs(volts):.1f} V" if abs(volts) < 0.05 else f"{volts:.1f} V"
