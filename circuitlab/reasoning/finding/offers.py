"""Every reading and every look that may come next, each with what it would show for each candidate left, sorted into outcomes.

A reading has two or three outcomes, parted where no tolerance blurs them. Two terminals that read alike for all that is left are one
place, and the lead goes to the one that is easier to come by.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

import numpy as np

from ...ground.joined import reached
from ...parts import Battery, Chassis, Lamp, Role
from ..leads import DIGITS, SHARES
from .cold import ways_of
from .solved import moved
from .weighing import BULBS, FLOATING, JOINTS

ALIKE = 0.05        # V, within which two terminals are one place
APART = 2.0         # times what both neighbours may be off by, between two outcomes
PLAIN = 0.1         # V, the least between two outcomes, whatever the tolerances say
BOUNDS = 5          # gaps between values looked at as bounds of outcomes, the widest
PAIRS = 200         # pairs of places in a row and phase that are looked at, the easiest to come by
KEPT = 40           # readings of a row and phase that are looked at further, those that tell most for their effort
MINOR = 0.25        # of the likeliest grade of a repair, below which one does not say where outcomes part
BATTERY = 0.05      # of the volts that are read off the pole on the frame: the battery's own, not known
DOUBT = 0.005       # odds that something is shorted in a row, from which on nothing is read live there
TOUCHING = 2.0      # ohm, less of which is a dead short: no cold lamp of a signal, once lamps are out, and no coil
STRAYS = 0.5        # V, by which a flasher's phases differ so that it must be held still


@dataclass(frozen=True)
class Offer:
    """Something to look at or to read next.

    Attributes
    ----------
    effort : float
        [min]
    outcomes : ndarray of int, shape (candidates left,)
        The number of the outcome each of them would give. [1]
    values : ndarray of float, shape (candidates left,), or None
        What would be read, ``inf`` for no way. [V] or [ohm]
    red, black : str
        Leads; empty where something is only looked at. [text]
    instrument : {"meter", "ohms", "look"}
    positions, phases : dict of str to str
        [text]
    lifted : tuple of (str, str)
        A wire to take off a terminal first. [text]
    out : tuple of str
        What is taken out first. [text]
    look : str
        The fuse or lamp that is looked at. [text]
    """

    @property
    def key(self):
        """What tells it from every other: leads, controls and what is done first. [text]"""
        return key_of(self.red, self.black, self.instrument, self.positions, self.phases, self.lifted, self.look)


    effort: float
    outcomes: object
    values: object = None
    red: str = ""
    black: str = ""
    instrument: str = "meter"
    positions: dict = field(default_factory=dict)
    phases: dict = field(default_factory=dict)
    lifted: tuple = ()
    out: tuple = ()
    look: str = ""


def key_of(red, black, instrument, positions, phases, lifted, look):
    """Return what tells one look or reading from every other; leads either way round are the same."""
    if look:
        return look
    return frozenset((red, black)), instrument == "ohms", tuple(positions.items()), tuple(phases.items()), frozenset(lifted)


class Left:
    """The candidates that are left, and where leads may go.

    Parameters
    ----------
    solved : Solved
    numbers : ndarray of int
        Of the candidates left, in the arrays of ``solved``. [1]
    weights : ndarray of float
        Of all candidates, the healthy circuit first. [1]
    efforts : dict of str to float
        [min]
    away : set of str
        Terminals and parts that nobody can get at. [text]
    is_calibrated : bool
        Whether the battery's volts were read. [yes/no]
    complained : sequence of dict of str to str
        Rows in which something was told. [text]
    """

    def __init__(self, solved, numbers, weights, efforts, away=frozenset(), is_calibrated=False, complained=()):
        self.solved, self.numbers, self.weights, self.efforts, self.away = solved, numbers, weights, efforts, away
        self.complained = {solved.row(positions) for positions in complained}
        self.battery = 0.01 if is_calibrated else BATTERY
        self.rest = solved.arrangement.positions()
        volts, floats = solved.all_volts
        self._volts, self._floats = volts[:, numbers], floats[:, numbers]
        self._main = _main(solved, numbers, weights)
        self.reach = np.array([self.reaching(terminal) for terminal in solved.terminals])

    @property
    def risky(self):
        """In which rows something may be shorted, shape (rows,). [yes/no]"""
        return self.weights @ self.solved.danger > DOUBT

    def reaching(self, terminal):
        """Return how long it takes to come to a terminal with a lead, ``inf`` where nobody can. [min]"""
        name = terminal.partition(":")[0]
        if terminal in self.away or name in self.away:
            return inf
        return self.efforts.get(name) or self.efforts[place_kind(self.solved.arrangement.part(name))]

    def all(self):
        """Return every offer that tells anything."""
        return [*self.looks(), *self.live(), *self.cold()]

    def safety(self, looked):
        """Return a look at the fuse that most of what may be shorted would have blown, so that volts can be read; None for none.

        Parameters
        ----------
        looked : set of str
            Fuses that were looked at. [text]
        """
        at_stake = {}
        for each, weight in zip(self.solved.candidates, self.weights[1:]):
            for name in each.blows:
                if name not in looked and name not in self.away:
                    at_stake[name] = at_stake.get(name, 0.0) + weight
        if not self.risky.any() or not at_stake:
            return None
        name = max(at_stake, key=at_stake.get)
        gone = [dict(self.solved.variants[number].held).get(name) == "blown" for number in self.numbers]
        return Offer(self.efforts["look"], np.array(gone, int), instrument="look", look=name)

    # ------------------------------------------------------------ looked at

    def looks(self):
        """Yield a look at each fuse, and at each bulb, that may be gone."""
        solved, held = self.solved, [dict(self.solved.variants[number].held) for number in self.numbers]
        for part in solved.arrangement.parts:
            if part.name in self.away or not part.latching:
                continue
            gone = np.array([each.get(part.name) == "blown" for each in held])
            if gone.any() and not gone.all():
                first = f"{part.name}:{part.terminals[0]}"
                out = self.efforts["a lamp taken out"] + self.reaching(first) if part.shines else 0.0
                yield Offer(self.efforts["look"] + out, gone.astype(int), instrument="look", look=part.name)

    # ------------------------------------------------------------ volts

    def live(self):
        """Yield readings of volts in every row and phase in which nothing may be shorted, of every two places that differ."""
        risky = self.risky
        for row, positions in enumerate(self.solved.rows):
            if risky[row]:
                continue
            effort = self.efforts["a control moved"] * moved(positions, self.rest)
            effort += 0.0 if row in self.complained else self.efforts["in a row of no complaint"]
            runs = self._runs(row)
            for phase, phases in enumerate(self.solved.phases if runs else self.solved.phases[-1:]):
                number = phase if runs else len(self.solved.phases) - 1
                held = self.efforts["a flasher held still"] if runs else 0.0
                yield from self._of_state(row, number, positions, phases if runs else {}, effort + held)

    def _runs(self, row):
        """Tell whether volts differ between the phases of a row, in the healthy circuit or in what is left. [yes/no]"""
        if len(self.solved.phases) == 1:
            return False
        healthy = self.solved.all_volts[0][:, 0, row]
        return bool((np.ptp(healthy, axis=1) > STRAYS).any() or (np.ptp(self._volts[:, :, row], axis=2) > STRAYS).any())

    def _of_state(self, row, phase, positions, phases, effort):
        solved, unsettled = self.solved, ~self.solved.settled[self.numbers, row, phase]
        volts, floats = self._volts[:, :, row, phase], self._floats[:, :, row, phase] | unsettled
        places = self._places(volts, floats)
        if len(places) < 2:
            return
        one, other = np.triu_indices(len(places), 1)
        red, black = places[one], places[other]
        zero = solved.terminals.index(solved.arrangement.zero) if solved.arrangement.zero in solved.terminals else -1
        swap = (red == zero) | (volts[red].mean(axis=1) < volts[black].mean(axis=1)) & (black != zero)
        red, black = np.where(swap, black, red), np.where(swap, red, black)
        cost = effort + self.reach[red] + np.where(black == zero, 0.0, 0.5 * self.reach[black] + self._far[red, black])
        cheap = np.argsort(cost, kind="stable")[:PAIRS]
        red, black, cost = red[cheap], black[cheap], cost[cheap]
        adrift = floats[red] | floats[black]
        seen = np.where(adrift, 0.0, volts[red] - volts[black])
        chosen, outcomes = parted(seen, self._sigma(seen, adrift), self._worth, cost, self._main)
        for each in _cheapest(outcomes, cost[chosen]):
            one, two = (solved.terminals[lead[chosen[each]]] for lead in (red, black))
            yield Offer(float(cost[chosen[each]]), outcomes[each], seen[chosen[each]], one, two, "meter", positions, phases)

    @cached_property
    def _worth(self):
        """The odds of each candidate left, in the column of its repair. [1]"""
        repairs = [self.solved.candidates[number - 1].repair for number in self.numbers]
        columns = {repair: number for number, repair in enumerate(dict.fromkeys(repairs))}
        found = np.zeros((len(repairs), len(columns)))
        found[np.arange(len(repairs)), [columns[repair] for repair in repairs]] = self.weights[self.numbers]
        return found / found.sum()

    @cached_property
    def _far(self):
        """What it costs to hold the two leads at two places, shape (terminals, terminals). [min]"""
        names = [terminal.partition(":")[0] for terminal in self.solved.terminals]
        order = {place: number for number, place in enumerate(dict.fromkeys(getattr(self.solved.arrangement.part(name), "place", "") or name
                                                                           for name in names))}
        at = np.array([order[getattr(self.solved.arrangement.part(name), "place", "") or name] for name in names])
        return np.where(at[:, None] == at[None, :], 0.0, self.efforts["leads far apart"])

    def _places(self, volts, floats):
        """Return the terminals to try: of those that read alike for all that is left, the easiest to come by."""
        order = np.argsort(self.reach, kind="stable")
        order = order[self.reach[order] < inf]
        steps = np.where(floats[order], -32000, np.round(volts[order] / ALIKE)).astype(np.int16)
        _, first = np.unique(np.ascontiguousarray(steps).view(f"V{2 * steps.shape[1]}").ravel(), return_index=True)
        return order[np.sort(first)]

    def _sigma(self, seen, adrift):
        lost = np.minimum(abs(seen), abs(self.solved.supply - abs(seen)))
        meter = SHARES["meter"] * abs(seen) + DIGITS["meter"]
        return np.sqrt(meter**2 + (BULBS * lost)**2 + JOINTS**2 + (self.battery * seen)**2 + (FLOATING * adrift)**2)

    # ------------------------------------------------------------ battery off

    def cold(self):
        """Yield ohms with the battery off, lamps out, wire after wire lifted: how a dead short is looked for."""
        solved = self.solved
        shorts = [place for place, number in enumerate(self.numbers) if solved.is_short[number]]
        if not shorts or self.weights[self.numbers[shorts]].sum() <= DOUBT:
            return
        lamps = tuple(lamp.name for lamp in solved.arrangement.of_kind(Lamp))
        for fuse in dict.fromkeys(name for place in shorts for name in solved.candidates[self.numbers[place] - 1].blows):
            red, black = self._behind(fuse), self._frame_stud()
            row = self._row_to_look_in(fuse)
            if red and black and inf not in (self.reaching(red), self.reaching(black)):
                yield from self._lifted(fuse, lamps, red, black, row)

    def _lifted(self, fuse, lamps, red, black, row):
        solved, out, positions = self.solved, (fuse, *lamps), self.solved.rows[row]
        effort = (self.efforts["battery off"] + self.reaching(red) + self.efforts["a control moved"] * moved(positions, self.rest)
                  + self.efforts["a lamp taken out"] * len(lamps))
        near = [_metal(solved.variants[number], positions, out) for number in self.numbers]
        yield self._ohms(near, (), red, black, positions, out, effort)
        for wire in solved.arrangement.wires:
            for end in wire.terminals:
                if self.reaching(end) < inf:
                    cost = effort + self.efforts["a leg lifted"] + self.reaching(end)
                    yield self._ohms(near, (wire.name, end), red, black, positions, out, cost)

    def _ohms(self, near, lifted, red, black, positions, out, effort):
        touching = np.array([_joined(each, red, black, lifted[0] if lifted else "") for each in near])
        return Offer(effort, touching.astype(int), np.where(touching, 0.0, inf), red, black, "ohms", positions, {}, (lifted,) if lifted else (), out)

    def _behind(self, fuse):
        """Return the terminal of a fuse away from the battery. [text]"""
        arrangement, part = self.solved.arrangement, self.solved.arrangement.part(fuse)
        ends = [f"{fuse}:{end}" for end in part.terminals]
        near = {point: [other for other, _ in beside] for point, beside in _metal(arrangement, self.rest, (fuse,)).items()}
        plus = [f"{battery.name}:{pole}" for battery in arrangement.of_kind(Battery) for pole in "+-"]
        fed = [end for end in ends if end in near and any(pole in reached(near, end) for pole in plus if pole not in arrangement.sides[1])]
        return next((end for end in ends if end not in fed), "")

    def _frame_stud(self):
        """Return a bolt on the frame for the black lead, or the pole that volts are counted from. [text]"""
        arrangement = self.solved.arrangement
        studs = [f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals]
        wired = [stud for stud in studs if arrangement.wires_at[stud]]
        return next(iter(wired), arrangement.zero)

    def _row_to_look_in(self, fuse):
        """Return the row with fewest controls moved in which most of what is left blows a fuse. [1]"""
        mine = [number for number in self.numbers if fuse in (self.solved.candidates[number - 1].blows if number else ())]
        count = self.solved.danger[mine].sum(axis=0)
        return int(max(range(len(count)), key=lambda row: (count[row], -moved(self.solved.rows[row], self.rest))))


def _main(solved, numbers, weights):
    """Return which candidates say where outcomes part: of each repair those of some weight. [yes/no]"""
    most = {}
    for number in numbers:
        repair = solved.candidates[number - 1].repair
        most[repair] = max(most.get(repair, 0.0), weights[number])
    return np.array([weights[number] >= MINOR * most[solved.candidates[number - 1].repair] for number in numbers])


def place_kind(part):
    """Return the line of the table of efforts for a part's terminals. [text]"""
    if part.guards or part.first(Role.SOURCE):
        return "at a fuse or battery"
    if part.first(Role.LOAD):
        return "at a lamp or load"
    if not part.is_metal:
        return "at a switch, relay or flasher"
    return "at the frame" if part.first(Role.WAY) else "at a splice or plug"


def _cheapest(outcomes, cost):
    """Return the numbers of the readings that part anything, of those with the same outcomes the cheapest. [1]"""
    order = np.argsort(cost, kind="stable")
    order = order[outcomes[order].max(axis=1) > outcomes[order].min(axis=1)]
    if not len(order):
        return order
    _, first = np.unique(np.ascontiguousarray(outcomes[order]).view(f"V{outcomes.shape[1]}").ravel(), return_index=True)
    return order[np.sort(first)]


def parted(values, sigma, worth, cost, main=None):
    """Return readings that tell most for their effort, and the number of the outcome of each value in them: of at most three.

    Outcomes are parted where no tolerance blurs them and most is told of the repair.

    Parameters
    ----------
    values, sigma : ndarray of float, shape (readings, candidates)
        What is read, and how far it may be off. [V]
    worth : ndarray of float, shape (candidates, repairs)
        Odds of each candidate, in the column of its repair. [1]
    cost : ndarray of float, shape (readings,)
        [min]
    main : ndarray of bool, shape (candidates,), optional
        Those that say where to part; the others fall on one side or the other. All unless given. [yes/no]

    Returns
    -------
    (ndarray of int, ndarray of int of shape (readings chosen, candidates))

    >>> [each.tolist() for each in parted(np.array([[12.0, 0.1, 11.9, 6.0]]), np.full((1, 4), 0.1), np.eye(4) / 4, np.ones(1))]
    [[0], [[2, 0, 2, 1]]]
    """
    bounds = _bounds(values, sigma, np.ones(values.shape[1], bool) if main is None else main)
    some = np.flatnonzero(bounds.min(axis=1, initial=np.inf) < np.inf)
    worth = worth.astype(np.float32)
    above = values[some, None, :] > bounds[some, :, None]
    told = _told((above,), worth)
    best = np.argsort(-told.max(axis=1, initial=0.0) / cost[some], kind="stable")[:KEPT]
    above, first = above[best], told[best].argmax(axis=1) if len(best) else np.zeros(0, int)
    one = np.take_along_axis(above, first[:, None, None], 1)
    second = _told((one & above, one | above), worth).argmax(axis=1) if len(best) else first
    other = np.take_along_axis(above, second[:, None, None], 1)
    return some[best], (one[:, 0].astype(np.int8) + other[:, 0])


def _bounds(values, sigma, main):
    """Return the middles of the widest gaps that no tolerance blurs, ``inf`` for none, shape (readings, bounds). [V]"""
    order = np.argsort(values[:, main], axis=1)
    rising, off = (np.take_along_axis(each[:, main], order, 1) for each in (values, sigma))
    gaps = np.diff(rising, axis=1) - np.maximum(APART * (off[:, 1:] + off[:, :-1]), PLAIN)
    if gaps.shape[1] > BOUNDS:
        widest = np.argpartition(-gaps, BOUNDS, axis=1)[:, :BOUNDS]
    else:
        widest = np.broadcast_to(np.arange(gaps.shape[1]), gaps.shape)
    middle = np.take_along_axis((rising[:, 1:] + rising[:, :-1]) / 2, widest, 1)
    return np.where(np.take_along_axis(gaps, widest, 1) > 0, middle, np.inf)


def _told(steps, worth):
    """Return how much outcomes tell of the repair, the more the better, shape (readings, bounds). [bit]

    Each of the steps, of shape (readings, bounds, candidates), says which candidates lie above it, the higher ones first.
    """
    shape, said, below = steps[0].shape, 0.0, 0.0
    for step in steps:
        upto = (step.reshape(-1, shape[2]).astype(np.float32) @ worth)
        said, below = said + _kept(np.maximum(upto - below, 0.0)), upto
    said = said + _kept(np.maximum(worth.sum(axis=0) - below, 0.0))
    return said.reshape(shape[:2])


def _kept(parts):
    """Return what an outcome leaves told of the repair: minus its odds times the entropy of repairs in it. [bit]"""
    mass = parts.sum(axis=1)
    return _p_log(parts).sum(axis=1) - _p_log(mass)


def _p_log(shares):
    return shares * np.log2(np.where(shares > 0, shares, np.float32(1.0)))


def _metal(circuit, positions, out):
    """Return what lies beside each point by metal and closed contacts alone: no lamp, no coil; with the wire in between."""
    near = defaultdict(list)
    wires = {frozenset(wire.terminals): wire.name for wire in circuit.wires}
    for one, other, ohms in ways_of(circuit, positions, (), out):
        if ohms < TOUCHING:
            name = wires.get(frozenset((one, other)), "")
            near[one].append((other, name))
            near[other].append((one, name))
    return near


def _joined(near, red, black, without):
    """Tell whether metal joins two points, one wire left out. [yes/no]"""
    seen, found = {red}, [red]
    for here in found:
        for other, wire in near[here]:
            if other not in seen and not (without and wire == without):
                seen.add(other)
                found.append(other)
    return black in seen
