"""Which part and wire of one arrangement is which of another, whatever they are called there.

Parts go by their names first. A name that no wire bears out counts for
nothing, as of splices numbered in another order. What is left is told by how
it is wired: parts of one kind with the same values, each the only one on its
side whose wires lead to the same places. Wires go by what they join, in either
order, and by their names only where they were moved. Whatever could be two
things is nothing.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass, fields, replace
from functools import cached_property, lru_cache
from itertools import count
from operator import ne

from ..parts import Lamp
from .naming import renamed
from .pairs import stands_on_trailer

_WORDS = ("name", "place", "note")        # fields of a part that say nothing of what it is
_CUT = ("colour", "length", "area", "temperature")   # fields of a wire that stay when an end of it is moved


@dataclass(frozen=True)
class Counterparts:
    """What of one arrangement is what of another.

    Attributes
    ----------
    before, after : Arrangement
    parts, wires : dict of str to str
        For each of the first that the second has too, its name there. [text]
    """

    before: object
    after: object
    parts: dict
    wires: dict

    @cached_property
    def there(self):
        """The second arrangement in the names of the first, its wires running as they run there.

        What it alone has keeps its name, or gets a fresh one where something else of the first is called so.
        """
        ours = {there: here for here, there in (self.parts | self.wires).items()}
        whole = _under(ours, self.after, {*ours.values(), *_elsewhere(self.before, self.after), *(wire.name for wire in self.before.wires)})
        turned = {wire.name: _turned(wire) for wire in whole.wires
                  if wire.name in self.wires and _is_turned(self.before.part(wire.name), wire)}
        return whole.with_parts(*turned.values()) if turned else whole

    def name_there(self, name):
        """Return what the second arrangement calls a part or wire of the first; the name itself where it has none. [text]"""
        return (self.parts | self.wires).get(name, name)


def counterparts(before, after):
    """Return the Counterparts of two arrangements.

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> counterparts(cart, renamed(cart, {"W1": "W7", "F1": "F5"})).wires["W1"]
    'W7'
    """
    parts = _parts(before, after)
    named = _under({there: here for here, there in parts.items()}, after, {*parts})
    called = {new.name: old.name for new, old in zip(named.wires, after.wires)}
    return Counterparts(before, after, parts, {here: called[there] for here, there in _wires(before, named).items()})


def _under(names, arrangement, taken):
    """Return an arrangement with parts and wires under other names; those without one keep theirs, unless it is taken."""
    own, new = {*arrangement.by_name}, dict(names)
    for name in arrangement.by_name:
        if name not in new and name in taken and not arrangement.by_name[name].seat:
            new[name] = next(made for made in (f"{name[:40]} after{' ' * bool(number)}{number or ''}" for number in count())
                             if made not in own | taken | {*new.values()})
    new = {name: other for name, other in new.items() if name != other}
    return renamed(arrangement, new) if new else arrangement


# ------------------------------------------------------------------ parts

def _parts(before, after):
    """Return for each part of the first its name in the second, where it has one there."""
    elsewhere = _elsewhere(before, after)
    same = [part.name for part in before.listed if type(after.by_name.get(part.name)) is type(part) and part.name not in elsewhere]
    lamps = [part.name for part in before.of_kind(Lamp)
             if not part.seat and isinstance(after.by_name.get(part.name), Lamp) and part.name not in elsewhere]
    sides = [_Side(before), _Side(after)]
    anchors = {name: name for name in (*same, *lamps)}
    doubtful = {name for name in same if all(side.links[name] for side in sides) and not _shared(sides, anchors, name, name)}
    pairs = {name: name for name in anchors if name not in doubtful}
    pairs |= {name: found for name, found in elsewhere.items() if found and found not in pairs.values()}
    for places in (False, True):
        while _find(sides, pairs, places):
            pass
    pairs |= _in_one_place(sides, pairs)
    there = {*pairs.values()}
    back = {name: name for name in doubtful if name not in pairs and name not in there}
    kept = {name: found for name, found in (pairs | back).items() if name in same or name != found}
    seats = {one.name: there for name, found in kept.items() for one in before.part(name).seats
             if (there := f"{found}{one.name.removeprefix(name)}") in after.by_name}
    return kept | seats


def _elsewhere(before, after):
    """Return each lamp of the first whose name another lamp has in the second, by its place, and the one that stands in its place there, or nothing. [text]"""
    lamps = [{lamp.name: lamp for lamp in each.of_kind(Lamp) if not lamp.seat and lamp.place} for each in (before, after)]
    standing = defaultdict(list)
    for name, lamp in lamps[1].items():
        standing[lamp.place].append(name)
    found = {}
    for name, lamp in lamps[0].items():
        other, there = lamps[1].get(name), standing[lamp.place]
        if other and other.place != lamp.place and (there or other.bulb != lamp.bulb or stands_on_trailer(other) != stands_on_trailer(lamp)):
            found[name] = there[0] if len(there) == 1 else ""
    return found


def _in_one_place(sides, pairs):
    """Return the lamps that have no counterpart yet and alone stand in one place on either side, with the same values. [text]"""
    left = [defaultdict(list), defaultdict(list)]
    for found, side, known in zip(left, sides, (pairs, {*pairs.values()}), strict=True):
        for name, part in side.parts.items():
            if isinstance(part, Lamp) and part.place and name not in known:
                found[side.likeness(name, places=True)].append(name)
    return {names[0]: left[1][alike][0] for alike, names in left[0].items() if len(names) == len(left[1][alike]) == 1}


class _Side:
    """One of the two: its parts, and the links of each: own terminal, part and terminal at the other end of a wire."""

    def __init__(self, arrangement):
        self.parts = {part.name: part for part in arrangement.listed}
        self.links = defaultdict(list)
        for wire in arrangement.wires:
            (one, here), (other, there) = map(self._point, wire.terminals)
            if not wire.is_touch:
                self.links[one].append((here, other, there))
                self.links[other].append((there, one, here))

    def _point(self, terminal):
        """Return part and terminal; of one piece of metal every terminal is the same place."""
        name, _, end = terminal.partition(":")
        return name, next((f"/{metal}" if metal else "" for metal, group in self.parts[name].metals.items() if end in group), end)

    def likeness(self, name, places):
        """Return what two parts must share to be one: kind and values, and the place where asked."""
        part = self.parts[name]
        return (part.kind, part.place if places else "",
                *(getattr(part, field.name) for field in fields(part) if field.name not in _WORDS))


def _find(sides, pairs, places):
    """Add what can be told apart to the pairs; return whether anything was."""
    left = [[name for name in side.parts if name not in known and side.links[name]]
            for side, known in zip(sides, (pairs, {*pairs.values()}))]
    found = (_by_wiring(sides, pairs, left, places) or _by_most_wires(sides, pairs, left, places)) if all(left) else {}
    pairs.update(found)
    return bool(found)


def _by_wiring(sides, pairs, left, places):
    """Return the pairs whose wires all lead to the same places, however far that must be followed to tell them apart."""
    numbers = {}

    def number(key):
        return numbers.setdefault(key, len(numbers))

    known = [{here: number(("pair", here)) for here in pairs}, {there: number(("pair", here)) for here, there in pairs.items()}]
    look = [{name: place.get(name, number(side.likeness(name, places))) for name in side.parts} for side, place in zip(sides, known)]
    found, groups = {}, 0
    while True:
        look = [seen | {name: number((seen[name], *sorted((here, seen[far], there) for here, far, there in side.links[name])))
                        for name in names} for side, seen, names in zip(sides, look, left)]
        alike = defaultdict(lambda: ([], []))
        for which, names in enumerate(left):
            for name in names:
                alike[look[which][name]][which].append(name)
        if found := {ours[0]: theirs[0] for ours, theirs in alike.values() if len(ours) == len(theirs) == 1}:
            return found
        if len(alike) == groups:
            return {}
        groups = len(alike)


def _by_most_wires(sides, pairs, left, places):
    """Return the pairs of which more than half of the wires lead to the same places, and fewer those of any other."""
    score = {}
    for here in left[0]:
        for there in left[1]:
            if sides[0].likeness(here, places) == sides[1].likeness(there, places):
                score[here, there] = _shared(sides, pairs, here, there)
    tops = defaultdict(list)
    for pair, wires in score.items():
        for which, name in enumerate(pair):
            tops[which, name].append(wires)
    tops = {key: sorted((0, *lot))[-2:] for key, lot in tops.items()}
    return {here: there for (here, there), wires in score.items()
            if 2 * wires > max(len(sides[0].links[here]), len(sides[1].links[there]))
            and all(below < wires == top for below, top in (tops[0, here], tops[1, there]))}


def _shared(sides, pairs, here, there):
    """Return how many wires of two parts lead from the same terminal to the same place, as far as that is known. [1]"""
    ours = Counter((own, pairs[far], end) for own, far, end in sides[0].links[here] if far in pairs)
    return sum((ours & Counter(sides[1].links[there])).values())


# ------------------------------------------------------------------ wires

def _wires(before, after):
    """Return for each wire of the first its name in the second, parts having the same names in both."""
    known = {wire.name: wire.name for wire in before.wires if after.by_name.get(wire.name) == wire}
    metal = {f"{part.name}:{end}": f"{part.name}/{name}" for part in after.parts + before.parts for name, group in part.metals.items() for end in group}
    for keys in (_joined, _kept, _on_metal, _named, _cut):
        left = [[wire for wire in side.wires if wire.name not in gone] for side, gone in ((before, known), (after, {*known.values()}))]
        pairs = _pairs(left, lambda wire, keys=keys: keys(wire, metal))
        if keys is _cut:            # no name bears it out: only what could be nothing else
            ours, theirs = ([wire.name for wire in side] for side in zip(*pairs)) if pairs else ((), ())
            pairs = [(one, other) for one, other in pairs if ours.count(one.name) == theirs.count(other.name) == 1]
        gone = set()
        for one, other in sorted(pairs, key=lambda pair: _unlike(*pair)):
            if one.name not in known and other.name not in gone:
                known[one.name] = other.name
                gone.add(other.name)
    return known


def _pairs(left, keys):
    """Return every pair of a wire of the first and one of the second that share a key, touches with touches alone."""
    theirs = defaultdict(list)
    for wire in left[1]:
        for key in keys(wire):
            theirs[wire.is_touch, key].append(wire)
    return list(dict.fromkeys((one, other) for one in left[0] for key in keys(one) for other in theirs.get((one.is_touch, key), ())))


def _joined(wire, metal):
    return [frozenset(wire.terminals)]


def _kept(wire, metal):
    """Of one name, on one terminal still: of the same stuff, or with the other end on the same splice or chassis."""
    stuff = tuple(getattr(wire, field) for field in _CUT)
    return [(wire.name, end, more) for end, far in (wire.terminals, wire.terminals[::-1]) for more in (stuff, _point(far, metal))]


def _on_metal(wire, metal):
    return [tuple(sorted(_point(end, metal) for end in wire.terminals))]


def _named(wire, metal):
    """Of one name, on one terminal still; one of another colour and another length is no wire that was moved."""
    return [(wire.name, end, stuff) for end in wire.terminals for stuff in (wire.colour, wire.length)]


def _cut(wire, metal):
    return [(end, *(getattr(wire, field) for field in _CUT)) for end in wire.terminals]


def _point(terminal, metal):
    """Return where a wire ends, any terminal of one piece of metal being the same place. [text]"""
    return metal.get(terminal, terminal)


def _unlike(one, other):
    """Return how far two wires are from being one, whichever way round: ends that differ, then values, then the name. [1]"""
    return (*min(_apart(_facts(one), _facts(each)) for each in (other, _turned(other))), one.name != other.name)


def _is_turned(one, other):
    """Tell whether a wire is more like another the other way round than as it stands. [yes/no]"""
    return _apart(_facts(one), _facts(_turned(other))) < _apart(_facts(one), _facts(other))


def _apart(one, other):
    """Return how many ends differ, how many of them in the part as well, and how many values. [1]"""
    differ = list(map(ne, one, other))
    return sum(differ[:2]), sum(differ[2:4]), sum(differ[4:])


@lru_cache(maxsize=4096)
def _facts(wire):
    """Return what two wires may differ in: ends, their parts, and values."""
    values = (getattr(wire, field.name) for field in fields(wire) if field.name not in ("name", "start", "end"))
    return (*wire.terminals, *(end.partition(":")[0] for end in wire.terminals), *values)


@lru_cache(maxsize=4096)
def _turned(wire):
    return replace(wire, start=wire.end, end=wire.start, start_joint=wire.end_joint, end_joint=wire.start_joint)
