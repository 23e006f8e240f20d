"""The readings that would reveal a fault: two places, one row, and volts that differ most from the healthy ones.

Where no volts differ, a lamp that has its volts and stays dark tells as much;
else ohms with the battery off do, else volts under a lamp clipped on. A short
is never looked for live. Of several places the one is taken that tells the
fault from most of the others that look alike.
"""

from dataclasses import dataclass
from itertools import combinations

from ...arrangements import Hold, Lift
from ...arrangements.rows import moved
from ...parts import Lamp, Role, Wire
from ..leads import Reading
from ..looks import brightness
from .catalogue import as_fault
from .loaded import clips
from .power_off import ohms_that_tell
from .probing import Probing

PLAIN = 1.0     # V, what no joint of a sound circuit loses: common practice
LEAST = 0.5     # V, a difference nobody mistakes for another battery or a long wire
LOADED = 8      # rows looked at with a lamp clipped on, fewest controls moved first
_ALONG = 0.3      # from one end of a wire or part to the other


@dataclass(frozen=True)
class Telltale:
    """Where to hold a meter to tell a fault: the same two leads in the healthy circuit and in the faulty one.

    Attributes
    ----------
    healthy, faulty : Reading
    before : str
        What is done first, such as ``F1 pulled out``; empty for nothing. [text]
    seen : str
        What is seen besides in the faulty circuit, such as ``E1 stays dark``; empty for nothing. [text]
    running : pair of dict of str to str
        Of the readings' phases those that each of the two circuits really comes into, as its flasher goes on and off, where
        that makes a difference to the reading. [text]
    spans : pair of (float, float)
        The least and the greatest that each of the two readings comes to all the same; None where ohms are read. [V]
    alike : tuple of str
        Other faults that look alike and are read alike there: it cannot be told from those by it. [text]
    """

    healthy: Reading
    faulty: Reading
    before: str = ""
    seen: str = ""
    running: tuple = ({}, {})
    spans: tuple = (None, None)
    alike: tuple = ()

    @property
    def difference(self):
        """Between the two, a floating reading taken as a meter shows it, 0. [V]"""
        return abs(self.healthy.shown - self.faulty.shown)


def best_reading(arrangement, fault, rows, more=(), is_short=False, blown=(), others=(), probing=None):
    """Return the readings that tell a fault most plainly, or None when no meter would.

    Parameters
    ----------
    arrangement : Arrangement
        The healthy one.
    fault : Fault or change
    rows : sequence of dict
        Rows to choose from, the handiest first. [text]
    more : sequence of dict
        Rows to look in where those tell nothing. [text]
    is_short : bool
        Whether the fault shorts something: then only ohms with the battery off are read. [yes/no]
    blown : iterable of str
        Fuses that the fault blows. [text]
    others : sequence of Fault
        Those it is to be told from, because they look alike.
    probing : Probing, optional
        The circuits as probed so far.

    Returns
    -------
    Telltale or None

    Notes
    -----
    The readings are a meter's, which is a part of the circuit. Every wired
    terminal is tried against the battery's pole on the frame, every two wired terminals of a
    load, a coil or what a hand parts across it, and both ends of the wire or part at fault. Of those that differ plainly the one
    comes first that no other fault gives as well, or the fewest, if need be in ohms with the battery off; then a place
    at the fault, as it accuses nothing else; then a reading that no flasher moves, then one that does not drift, then a row in which no flasher runs. No row in which either circuit buzzes or
    chatters is read in, and no phase waited for that is over before a meter has shown it. Differences count in half volts;
    among equals the place easier to reach wins, then the earlier row. How easy a place is to reach is the kit's own
    guess.
    """
    fault, probing = as_fault(fault), probing or Probing(arrangement)
    asked = _Asked(probing, fault, others)
    near, fuse = _places_of(arrangement, fault), bridged(arrangement, fault)
    pairs, told = _places(arrangement, asked.there), None
    if fuse:
        return None if is_short else asked.pulled(fuse, (*rows, *more)[:1], pairs)
    at_fault, rest = _beside(arrangement, fault, pairs), (arrangement.positions(), *rows)
    if not is_short:
        told = (asked.volts(rows, (*pairs, *at_fault), near) or asked.dark(rows)
                or asked.volts(more, (*pairs, *at_fault), near))
    if told and told.alike:
        cold = asked.ohms(rest[:1], pairs, near, blown, in_place=True)
        told = cold if cold and len(cold.alike) < len(told.alike) else told
    told = told or asked.ohms(rest, pairs, near, blown)
    if told and not is_short and told.healthy.instrument == "ohms":      # across the wire at fault no other is accused
        told = asked.ohms(rest, (*at_fault, *pairs), near, blown)
    return told or (None if is_short else asked.loaded((*rows, *more), pairs, at_fault, near)) or asked.ohms(rest, _of_one_part(at_fault), near, blown)


def bridged(arrangement, fault):
    """Return the fuse that a fault bridges, or nothing. [text]"""
    return next((part.name for part in arrangement.parts if part.guards
                 and {*part.ends} in fault.touching), "")


def _places_of(arrangement, fault):
    """Return the terminals that a fault is about: those of its part, or of the wire whose joint is bad. [text]"""
    found = set()
    for change in fault.changes:
        names = [getattr(change, field, "") for field in ("part", "name", "wire", "terminal", "first", "second")]
        for name in filter(lambda one: isinstance(one, str) and one, names):
            part = arrangement.by_name.get(name)
            found |= {name} if part is None else set(part.ends)
    return found


class _Asked:
    """One fault and what it is to be told from, with what was read in each so far."""

    def __init__(self, probing, fault, others):
        self.both, self.others = (probing.healthy, probing.of(fault)), tuple((other, probing.of(other)) for other in others)
        self.there = set(self.both[1].arrangement.terminals)

    def volts(self, rows, pairs, near=frozenset(), done=(), before=""):
        """Return the volts that tell the fault from the healthy circuit and from most others, or None where none differ."""
        best = None
        for key, place in sorted(self._differing(rows, pairs, near, done), key=lambda each: each[0], reverse=True):
            if not self._is_readable(place):
                continue
            alike = self._alike(place)
            rank = key[0], -len(alike)
            best = max(best, (rank, place, alike), key=lambda each: each[0]) if best else (rank, place, alike)
            if not best[2] or best[0][0] > key[0]:
                break
        return best and self._telltale(*best[1:], before=before)

    def _differing(self, rows, pairs, near, done):
        """Yield ``(what it is ranked by, place)`` for each place whose volts differ from the healthy ones."""
        for order, positions in enumerate(rows):
            for phase, moments in enumerate(zip(*(probed.moments(positions, done) for probed in self.both))):
                if None in moments:
                    continue
                calm = not any(moment.running for moment in moments)
                for red, black, reach in pairs:
                    volts = [probed.volts(red, black, positions, phase, done) for probed in self.both]
                    difference = 0.0 if None in volts else abs(volts[0] - volts[1])
                    if difference >= LEAST:
                        plain, place = difference >= PLAIN, (red, black, positions, phase, done)
                        steady = plain and (calm or not any(probed.waited_for(*place, least=LEAST) for probed in self.both))
                        firm = plain and all(probed.is_firm(*place) for probed in self.both)
                        yield ((plain, plain and bool(near & {red, black}), steady, firm, plain and calm, round(2 * difference * reach) / 2,
                                reach, -order), place)

    def _is_readable(self, place):
        return all(probed.is_readable(*place, least=LEAST) for probed in self.both)

    def _alike(self, place):
        """Return the others that are read alike at a place at least now and then, or of which nothing is known there. [text]"""
        now = self.both[1].volts(*place)
        read = [(other, probed.all_volts(*place)) for other, probed in self.others]
        return tuple(other.words for other, volts in read if min((abs(each - now) for each in volts), default=0.0) < LEAST)

    def _telltale(self, place, alike, **more):
        place = self._turned(place)
        running = tuple(probed.waited_for(*place, least=LEAST) for probed in self.both)
        spans = tuple(probed.span(*place) for probed in self.both)
        return Telltale(*(probed.reading(*place) for probed in self.both), running=running, spans=spans, alike=alike, **more)

    def _turned(self, place):
        """Return a place with red and black so that the greater of the two volts is above that of the pole on the frame."""
        red, black, *rest = place
        arrangement, most = self.both[0].arrangement, max((probed.volts(*place) for probed in self.both), key=abs)
        is_turned = black != arrangement.zero and (most > 0) == (arrangement.frame == "plus")
        return (black, red, *rest) if is_turned else place

    def dark(self, rows):
        """Return the volts across a lamp that has them as before and is dark all the same, or None."""
        for positions in rows:
            for phase, moments in enumerate(zip(*(probed.moments(positions) for probed in self.both))):
                lamp = None not in moments and self._dark_lamp(*(moment.point for moment in moments))
                place = lamp and (*self.both[0].arrangement.part(lamp).ends, positions, phase, ())
                if lamp and self._is_readable(place):
                    return self._telltale(place, (), seen=f"{lamp} stays dark")
        return None

    def _dark_lamp(self, before, after):
        for lamp in before.arrangement.of_kind(Lamp):
            ends = lamp.ends
            if brightness(before.light(lamp.name)) == "lit" and brightness(after.light(lamp.name)) == "dark" and (
                    abs(after.meter(*ends) or 0.0) > 0.5 * abs(before.meter(*ends) or 0.0)):
                return lamp.name
        return ""

    def pulled(self, fuse, rows, pairs):
        """Return what tells that a fuse is bridged: with it out there are volts behind it all the same."""
        out = Hold(fuse, self.both[0].arrangement.part(fuse).states[-1])
        return self.volts(rows, pairs, done=(out,), before=f"{fuse} pulled out")

    def ohms(self, rows, pairs, near, blown, in_place=False):
        """Return the ohms that tell the fault with every battery off, or None; ``in_place`` with all lamps in their sockets."""
        found = ohms_that_tell(self.both, rows, pairs, near, blown, self.others, in_place)
        return found and Telltale(*found[:2], before=found[2], alike=found[3])

    def loaded(self, rows, pairs, at_fault, near):
        """Return the volts that tell the fault with a lamp clipped on as a load, or None."""
        rest = self.both[0].arrangement.positions()
        calm = sorted(rows, key=lambda each: moved(each, rest))[:LOADED]
        for clip in clips(self.both, calm, near):
            places = [pair for pair in (*at_fault, *pairs) if clip.terminal in pair[:2]]
            told = self.volts(clip.rows, places, near, clip.done, clip.words)
            if told:
                return told
        return None


def _beside(arrangement, fault, pairs):
    """Return ``(red lead, black lead, ease)`` across the wires and parts at fault, so that they alone are told. [text], [1]"""
    found, known = [], {frozenset(pair[:2]) for pair in pairs}
    for change in fault.changes:
        wires = [arrangement.by_name.get(getattr(change, field, None)) for field in ("part", "name", "wire")]
        bolt = getattr(change, "terminal", None)
        wires += [arrangement.part(name) for name in arrangement.wires_at.get(bolt, ())] if isinstance(change, Lift) else []
        for part in filter(None, wires):
            ends = part.terminals if isinstance(part, Wire) else [
                f"{part.name}:{end}" for end in part.terminals if arrangement.wires_at[f"{part.name}:{end}"]]
            found += [(*pair, _ALONG) for pair in combinations(ends, 2)]
    return tuple(pair for pair in found if pair[0] != pair[1] and frozenset(pair[:2]) not in known)


def _of_one_part(pairs):
    """Return those whose leads are both on one part: where nothing else tells, a leak between its terminals does."""
    return tuple(pair for pair in pairs if pair[0].partition(":")[0] == pair[1].partition(":")[0])


def _places(arrangement, there):
    """Return ``(red lead, black lead, ease)`` of every pair worth trying whose terminals are there. [text], [1]"""
    zero, found = arrangement.zero, []
    for part in arrangement.parts:
        ends = [f"{part.name}:{terminal}" for terminal in part.terminals]
        found += [(end, zero, part.reach) for end in ends if end != zero and arrangement.wires_at[end]]
        for branch in part.branches():
            across = part.at(branch.start), part.at(branch.end)
            if (branch.mated or branch.role in (Role.LOAD, Role.COIL)) and all(map(arrangement.wires_at.get, across)):
                found.append((*across, part.reach))
    return tuple(pair for pair in dict.fromkeys(found) if {*pair[:2]} <= there)
