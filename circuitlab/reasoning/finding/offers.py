"""Every reading and every look that may come next, each with what it would show for each candidate left, sorted into outcomes.

A reading has two to four outcomes, parted where no tolerance blurs them. Two terminals that read alike for all that is left are one
place, and the lead goes to the one that is easier to come by.
"""

from dataclasses import replace
from functools import cached_property
from math import inf
from typing import NamedTuple

import numpy as np

from ...arrangements.rows import moved
from ..leads import DIGITS, SHARES
from .battery_off import BatteryOff
from .offer import DOUBT, GONE_DOUBT, Offer, key_of
from .parting import KEPT, PLAIN, cheapest, parted
from .weighing import spread

ALIKE = 0.05        # V, within which two terminals are one place
PAIRS = 200         # pairs of places in a row and phase that are looked at, the easiest to come by
MINOR = 0.25        # of the likeliest grade of a repair, below which one does not say where outcomes part
BATTERY = 0.05      # of the volts that are read off the pole on the frame: the battery's own, not known
JUMPS = 3           # the outcome of a display that jumps, as something buzzes; its value is minus infinity
ROUNDED = 3         # decimals of volts, beyond which two states read alike
WORKS = 0.5         # odds that a lamp is called as it always was, from which on it works
LOT = 4000          # pairs of places that are sorted into outcomes at once
RUNS = 0.05         # of the odds left, from which on a flasher is held still that does not run in the healthy circuit
STRAYS = 0.5        # V, by which a flasher's phases differ so that it must be held still


class _Pairs(NamedTuple):
    """Pairs of places to hold the leads at, each in its state: leads and rows as numbers, what it costs, what is read, where it floats or jumps."""

    red: object
    black: object
    cost: object
    seen: object
    adrift: object
    jumps: object
    row: object
    phases: list


class Left:
    """The candidates that are left, and where leads may go.

    Parameters
    ----------
    solved : Solved
    numbers : ndarray of int
        Of the candidates left, in the arrays of ``solved``. [1]
    weights : ndarray of float
        Of all candidates, the healthy circuit first. [1]
    known : SoFar
    """

    def __init__(self, solved, numbers, weights, known):
        self.solved, self.numbers, self.weights, self.known = solved, numbers, weights, known
        self.efforts, self.away, self.done = known.efforts, known.away, known.done
        self.complained = {solved.row(positions) for positions in known.rows}
        self.battery = 0.01 if known.is_calibrated else BATTERY
        self.rest = solved.arrangement.positions()
        volts, floats = solved.all_volts
        self._volts, self._floats, self._rests = volts[:, numbers].astype(np.float32), floats[:, numbers], solved.settled[numbers]
        self._main = _main(solved, numbers, weights)
        self.reach = np.array([self.reaching(terminal) for terminal in solved.terminals])

    @property
    def risky(self):
        """In which rows something may be shorted, or may well blow a fuse that was seen blown, shape (rows,). [yes/no]"""
        own = np.array([0.0, *(bool(self.known.gone & {*each.blows}) for each in self.solved.candidates)])
        return (self.weights @ self.solved.danger > DOUBT) | (self.weights * own @ self.solved.danger > GONE_DOUBT)

    def reaching(self, terminal):
        """Return how long it takes to come to a terminal with a lead, ``inf`` where nobody can. [min]"""
        name = terminal.partition(":")[0]
        if terminal in self.away or name in self.away:
            return inf
        return self.efforts.get(name) or self.efforts[self.solved.place_kinds[name]]

    def all(self):
        """Return every offer that tells anything and was not taken yet."""
        return [each for each in (*self.watched(), *self.looks(), *self.live(), *BatteryOff(self).all()) if each.key not in self.done]

    def safety(self):
        """Return a look at the fuse that most of what may be shorted would have blown, so that volts can be read; None for none."""
        at_stake = {}
        for each, weight in zip(self.solved.candidates, self.weights[1:]):
            for name in each.blows:
                if name not in self.done and name not in self.away:
                    at_stake[name] = at_stake.get(name, 0.0) + weight
        name = max(at_stake, key=at_stake.get, default="")
        if not self.risky.any() or at_stake.get(name, 0.0) <= DOUBT:       # nobody looks at a fuse that nothing is left to have blown
            return None
        return Offer(self.efforts["look"], self.solved.weighing.states_of(name)[self.numbers], instrument="look", look=name)

    # ------------------------------------------------------------ looked at

    def watched(self):
        """Yield a glance at every other lamp that is lit in a row of complaint: whether it works there."""
        weighing = self.solved.weighing
        for row in sorted(self.complained):
            positions = self.solved.rows[row]
            effort = self.efforts["a lamp watched"] + self.efforts["a control moved"] * moved(positions, self.rest)
            for lamp in self.solved.lamps:
                sound = weighing.healthy_look(lamp, positions)
                fails = weighing.looks(lamp, row)[sound][self.numbers] < WORKS
                if sound != "dark" and lamp not in self.away and fails.any() and not fails.all():
                    yield Offer(effort, fails.astype(int), instrument="watch", positions=positions, look=lamp, sound=sound)

    def looks(self):
        """Yield a look at each fuse, and at each bulb, that may be gone."""
        for part in self.solved.arrangement.parts:
            if part.name in self.away or not part.latching:
                continue
            states = self.solved.weighing.states_of(part.name)[self.numbers]
            if np.ptp(states):
                first = part.ends[0]
                out = self.efforts["a lamp taken out"] + self.reaching(first) if part.shines else 0.0
                yield Offer(self.efforts["look"] + out, states, instrument="look", look=part.name)

    # ------------------------------------------------------------ volts

    def live(self):
        """Yield readings of volts in every row and phase in which nothing may be shorted, of every two places that differ.

        Of states that read alike for all that is left the one that costs least stands for all.
        """
        seen, lot = set(), []
        for effort, row, phase in sorted(self._states()):
            key = self._volts[:, :, row, phase].round(ROUNDED).tobytes(), self._floats[:, :, row, phase].tobytes(), self._rests[:, row, phase].tobytes()
            if key in seen or not self._tells[row, phase]:
                continue
            seen.add(key)
            lot.append(self._pairs(row, phase, effort))
            if sum(len(each.cost) for each in lot) >= LOT:
                yield from self._offers(lot)
                lot = []
        if lot:
            yield from self._offers(lot)

    def _states(self):
        """Yield the effort, row and phase of each state that leads may be held in. [min], [1], [1]"""
        for row in np.flatnonzero(~self.risky).tolist():
            effort = self.efforts["a control moved"] * moved(self.solved.rows[row], self.rest)
            effort += 0.0 if row in self.complained else self.efforts["in a row of no complaint"]
            phases = range(len(self.solved.phases))
            for phase in phases if self._runs[row] else phases[-1:]:
                yield effort + (self.efforts["a flasher held still"] if self._runs[row] else 0.0), row, phase

    @cached_property
    def _runs(self):
        """Whether volts differ between the phases of a row, in the healthy circuit or in enough of what is left, shape (rows,). [yes/no]"""
        if len(self.solved.phases) == 1:
            return np.zeros(len(self.solved.rows), bool)
        healthy = np.ptp(self.solved.all_volts[0][:, 0], axis=2) > STRAYS
        strays = (np.ptp(self._volts, axis=3) > STRAYS).any(axis=0)
        own = self.weights[self.numbers]
        return healthy.any(axis=0) | (own @ strays > RUNS * own.sum())

    @cached_property
    def _tells(self):
        """Whether some place reads or floats otherwise, or jumps, with one of what is left than with another, shape (rows, phases). [yes/no]"""
        main = self._main
        differ = (np.ptp(self._volts[:, main], axis=1) > PLAIN / 2).any(axis=0)
        return differ | (np.ptp(self._floats[:, main].view(np.int8), axis=1) > 0).any(axis=0) | ~self._rests.all(axis=0)

    def _pairs(self, row, phase, effort):
        """Return the pairs of places to read in a state, the easiest to come by."""
        volts, floats, rests = self._volts[:, :, row, phase], self._floats[:, :, row, phase], self._rests[:, row, phase]
        places = self._places(volts, floats)
        one, other = np.triu_indices(len(places), 1)
        red, black = places[one], places[other]
        zero, phases = self._zero, self.solved.phases[phase] if self._runs[row] else {}
        least = self.reach[red] + self.reach[black] + np.where((red == zero) | (black == zero), 0.0, self._far[red, black])
        cheap = np.argsort(np.where(self._is_done(red, black, row, phases), inf, least), kind="stable")[:PAIRS]
        cheap = cheap[~self._is_done(red[cheap], black[cheap], row, phases)]
        red, black = red[cheap], black[cheap]
        adrift = floats[red] | floats[black]
        apart = np.where(adrift, np.float32(0), volts[red] - volts[black])
        farthest = np.take_along_axis(apart, abs(apart).argmax(axis=1)[:, None], 1)[:, 0]
        swap = (red == zero) | (farthest < 0) & (black != zero)
        red, black, apart = np.where(swap, black, red), np.where(swap, red, black), np.where(swap[:, None], -apart, apart)
        cost = effort + self.reach[red] + np.where(black == zero, 0.0, 0.5 * self.reach[black] + self._far[red, black])
        return _Pairs(red, black, cost, apart, adrift, np.broadcast_to(~rests, apart.shape), np.full(len(red), row), [phases] * len(red))

    def _is_done(self, red, black, row, phases):
        """Tell which pairs of places were read before in a state, shape (pairs,). [yes/no]"""
        ends, found = self.solved.terminals, np.zeros(len(red), bool)
        for key in self.done:
            if not isinstance(key, str) and key[1:] == key_of("", "", "meter", self.solved.rows[row], phases, (), "")[1:]:
                both = [ends.index(end) for end in key[0] if end in ends]
                found |= np.isin(red, both) & np.isin(black, both)
        return found

    @cached_property
    def _zero(self):
        """The number of the pole that volts are counted from, among the terminals; -1 where no wire is on it. [1]"""
        return next((number for number, end in enumerate(self.solved.terminals) if end == self.solved.arrangement.zero), -1)

    def _offers(self, lot):
        """Yield the readings of several states that tell most for their effort."""
        pairs = _Pairs(*(np.concatenate(each) for each in list(zip(*lot))[:-1]), [phases for each in lot for phases in each.phases])
        steady = np.where(pairs.jumps, np.float32(np.nan), pairs.seen)
        chosen, outcomes = parted(steady, self._sigma(pairs.seen, pairs.adrift), self._worth, pairs.cost, self._main, KEPT * len(lot))
        outcomes[pairs.jumps[chosen]] = JUMPS
        values = np.where(pairs.jumps, -np.inf, pairs.seen)[chosen]
        for each in cheapest(outcomes, pairs.cost[chosen]):
            number = chosen[each]
            red, black = (self.solved.terminals[lead[number]] for lead in (pairs.red, pairs.black))
            yield Offer(float(pairs.cost[number]), outcomes[each], values[each], red, black, "meter", self.solved.rows[pairs.row[number]],
                        pairs.phases[number])

    def sorted_anew(self, offer, values):
        """Return an offer of volts with other values of the candidates left, sorted into outcomes again; one outcome where it tells nothing then."""
        jumps, seen = np.isneginf(offer.values), np.where(np.isneginf(offer.values), 0.0, values)[None]
        chosen, outcomes = parted(np.where(jumps, np.nan, seen), self._sigma(seen, np.zeros(seen.shape, bool)), self._worth, np.array([offer.effort]), self._main, 1)
        found = outcomes[0] if len(chosen) else np.zeros(len(values), np.int8)
        return replace(offer, values=np.where(jumps, -np.inf, values), outcomes=np.where(jumps, JUMPS, found).astype(np.int8))

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
        own = spread(seen, adrift, SHARES["meter"] * abs(seen) + DIGITS["meter"], self.solved.supply)
        return np.sqrt(own * own + (self.battery * seen)**2)


def _main(solved, numbers, weights):
    """Return which candidates say where outcomes part: of each repair those of some weight. [yes/no]"""
    most = {}
    for number in numbers:
        repair = solved.candidates[number - 1].repair
        most[repair] = max(most.get(repair, 0.0), weights[number])
    return np.array([weights[number] >= MINOR * most[solved.candidates[number - 1].repair] for number in numbers])
