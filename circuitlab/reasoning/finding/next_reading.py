"""The next reading: which of all offers parts the repairs best for least effort, and what each of its outcomes would leave."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from math import isfinite

import numpy as np

from .looking_ahead import Lookahead
from .offers import Left
from .seen import STATES
from .spans import spans_of

FEW = 1e-3          # of the likeliest candidate's odds, below which one is not looked ahead with
MOST_ODDS = 0.97    # of all that is left, looked ahead with; the rest comes back where these are refuted
MOST_STATES = 120   # candidates looked ahead with
MOST_SOFT = 12      # readings that a meter's own ohms may spoil, looked at again before one is asked for
MOST_TESTS = 96     # offers looked ahead with, best information for effort first
ENOUGH = 0.95       # odds of one repair at which nobody reads on
TELLING = 0.02      # bit, of information; less parts nothing
ELSEWHERE = 0.3     # of what refutes in a row of complaint, that in another: there the wire may carry nothing
SURE = 0.95         # odds of one outcome, from which on a reading would most likely leave the odds as they are: the kit's own bound
REFUTING = 0.8      # of a repair's odds that must lie in one outcome, so that the others refute it


@dataclass(frozen=True)
class Outcome:
    """One outcome of a reading.

    Attributes
    ----------
    least, most : float or None
        Between which it reads, ``inf`` for no way, ``-inf`` for a display that jumps; None where something is only looked at. [V] or [ohm]
    odds : float
        That it comes out so. [1]
    repairs : tuple of str
        What it leaves, likeliest first. [text]
    state : str
        Of a look at a fuse or bulb: whole, blown, or missing; else empty. [text]
    is_gone : bool
        Of a lamp watched: it does not work; of a look: what is looked at lets nothing through. [yes/no]
    lamp : callable or None
        Works out ``under_lamp``, for the likeliest that it leaves.
    """

    least: float | None
    most: float | None
    odds: float
    repairs: tuple
    state: str = ""
    is_gone: bool = False
    lamp: object = field(default=None, repr=False, compare=False)

    @cached_property
    def under_lamp(self):
        """What a test lamp leaves of these volts, where it stays dark and takes most of them; None where it does not, or nobody asks. [V]"""
        return self.lamp() if self.lamp else None

    @property
    def in_short(self):
        """What it leaves, each repair without where it is; of two at once both. [text]"""
        return tuple("; and ".join(each.partition(",")[0] for each in repair.split("; and ")) for repair in self.repairs)


@dataclass(frozen=True)
class NextReading:
    """What to look at or to read next, and why.

    Attributes
    ----------
    offer : Offer
        Leads, controls, what is done first, and the effort.
    outcomes : tuple of Outcome
        Two to four.
    among : int
        Repairs that it is to part. [1]
    ahead : float
        Minutes until the repair is found, on average, along the plain policy. [min]
    """

    offer: object
    outcomes: tuple
    among: int
    ahead: float

    @property
    def apart(self):
        """The likeliest repairs of its two likeliest outcomes in short, where they differ; else empty. [text]"""
        first = [outcome.in_short[0] for outcome in sorted(self.outcomes, key=lambda outcome: -outcome.odds)[:2]]
        return tuple(first) if len(set(first)) == 2 else ()


class Ahead:
    """All that may be looked at or read next, sorted out among what is left.

    Parameters
    ----------
    solved : Solved
    weights : ndarray of float, shape (candidates,)
        What each is worth now. [1]
    known : SoFar
    is_wide : bool
        Whether the least likely take part as well. [yes/no]
    """

    def __init__(self, solved, weights, known, is_wide=False):
        most, few = (1.0, 0.0) if is_wide else (MOST_ODDS, FEW)
        order = np.argsort(-weights, kind="stable")[:MOST_STATES]
        before = np.cumsum(weights[order]) - weights[order]
        self.solved, self.weights = solved, weights
        order = order[(weights[order] >= few * weights[order[0]]) & (before <= most * weights.sum())]
        self.order = np.concatenate([order, _missing_beside(solved.candidates, weights, order)])
        self.names = [solved.candidates[number].repair for number in self.order]
        self.known = known

    @property
    def is_done(self):
        """Whether one repair is likely enough among what is left. [yes/no]"""
        return _tests(self.weights[self.order], self.names, ()).is_done(np.ones(len(self.order), bool))

    @cached_property
    def left(self):
        """The candidates that are left, and where leads may go."""
        return Left(self.solved, self.order + 1, np.concatenate([[0.0], self.weights]), self.known)

    @cached_property
    def _telling(self):
        """Offers worth looking ahead with, and the tests they make."""
        weights = self.weights[self.order]
        offers = _worthwhile(weights, self.names, self.left.all())
        return offers, _tests(weights, self.names, offers)

    @cached_property
    def _first(self):
        """Offers, tests and the NextReading: where no test tells anything only because nothing may be read live yet, a fuse is looked at."""
        offers, tests, step = self._as_meters_show()
        safe = None if step or self.is_done else self.left.safety()
        if safe is None:
            return offers, tests, step
        offers = [*offers, safe]
        tests = _tests(self.weights[self.order], self.names, offers)
        return offers, tests, self._step(offers, tests, len(offers) - 1, tests.whole, safe.effort)

    def _as_meters_show(self):
        """Return offers, tests and the NextReading, chosen by what a meter's own ohms leave of it where they may matter."""
        offers, tests = self._telling
        step, known = self._among(tests.whole, offers, tests), set()
        while step and len(known) < MOST_SOFT and step.offer.key not in known and self._is_soft(step.offer):
            known.add(step.offer.key)
            number = offers.index(step.offer)
            offers = [*offers[:number], self.left.sorted_anew(step.offer, self._as_shown(step.offer).values), *offers[number + 1:]]
            tests = _tests(self.weights[self.order], self.names, offers)
            step = self._among(tests.whole, offers, tests)
        return offers, tests, step

    def _is_soft(self, offer):
        return offer.instrument == "meter" and self.solved.is_soft(offer.red, offer.black)

    @property
    def offers(self):
        """All that is worth looking at or reading next."""
        return self._first[0]

    @property
    def tests(self):
        """The same as tests of what is left."""
        return self._first[1]

    @property
    def next(self):
        """The NextReading, or None where nothing more can be parted."""
        return self._first[2]

    def path(self, steps):
        """Return so many readings, each where the likeliest outcome of the one before leads; fewer where nothing more is parted."""
        offers, tests = self._telling
        alive, found = tests.whole, []
        while len(found) < steps and (step := self._among(alive, offers, tests)):
            found.append(step)
            alive = max(tests.parted(offers.index(step.offer), alive), key=lambda each: each[2])[1]
        return tuple(found)

    def _among(self, alive, offers, tests):
        plugs_first = frozenset(number for number, each in enumerate(offers) if each.parted and not each.lifted and not {*each.parted} & self.known.out)
        vain = frozenset(number for number in np.flatnonzero(tests.surest(alive) >= SURE).tolist() if offers[number].red)      # a glance is worth it
        chosen = tests.best(alive, sooner=plugs_first, never=vain)
        if chosen is None or tests.gains(alive)[chosen] < TELLING:
            return None
        return self._step(offers, tests, chosen, alive, tests.behind(chosen, alive, tests.along))

    def _step(self, offers, tests, chosen, alive, ahead):
        """Return the NextReading of an offer among what is left, with what each of its outcomes leaves. [1], [yes/no], [min]"""
        before = offers[chosen]
        offers = [*offers[:chosen], self._as_shown(offers[chosen]), *offers[chosen + 1:]]
        outcomes = _merged([self._outcome(offers, tests, chosen, rest, float(share / tests.odds[alive].sum()))
                            for _, rest, share in tests.parted(chosen, alive)])
        among = len({name for name, is_alive in zip(self.names, alive) if is_alive})
        return NextReading(before, outcomes, among, ahead)

    def _as_shown(self, offer):
        """Return an offer with what a meter shows there, its own ohms between the leads; sorted it is as before."""
        if not self._is_soft(offer):
            return offer
        phase = self.solved.weighing.phases_meant(offer.phases)[-1]
        shown = self.solved.under_meter(offer.red, offer.black, self.solved.row(offer.positions))[self.order + 1, phase]
        return replace(offer, values=np.where(np.isfinite(offer.values) & (offer.values != 0.0), shown, offer.values))

    def spans(self):
        """Return the spans that are left, likeliest first."""
        odds, places, outcomes = {}, {}, {}
        for place, name in enumerate(self.names):
            number = self.order[place]
            odds[name] = odds.get(name, 0.0) + float(self.weights[number])
            places.setdefault(name, self.solved.candidates[number].place)
            given = outcomes.setdefault(name, np.zeros((len(self.offers), self.tests.most)))
            given[np.arange(len(self.offers)), self.tests.outcomes[:, place]] += self.weights[number]
        return spans_of(self.solved.arrangement, places, odds, {name: given / odds[name] for name, given in outcomes.items()})

    @cached_property
    def confirming(self):
        """What would refute the likeliest repair, as a NextReading; None for nothing."""
        if len({*self.names}) == 1:
            wide = Ahead(self.solved, self.weights, self.known, is_wide=True)
            return wide.confirming if len({*wide.names}) > 1 else None
        odds = {name: self.weights[self.order][[each == name for each in self.names]].sum() for name in self.names}
        found = self.refuting(max(odds, key=odds.get))
        if found is None:
            return None
        return self._step(self.offers, self.tests, self.offers.index(found[0]), self.tests.whole, found[0].effort)

    def _is_complained(self, offer):
        """Tell whether an offer is of a row in which something was told. [yes/no]"""
        return self.solved.row(offer.positions) in self.left.complained

    def refuting(self, repair):
        """Return ``(offer, the outcome that a repair would give)`` of the reading that parts it from most of the others, or None."""
        mine = np.array([name == repair for name in self.names])
        if not mine.any() or mine.all():
            return None
        odds, best = self.tests.odds, (0.0, None)
        for number, offer in enumerate(self.offers):
            if self._is_soft(offer):     # it may show less than is expected
                continue
            own = np.bincount(self.tests.outcomes[number][mine], odds[mine], self.tests.most)
            outcome = int(own.argmax())
            others = odds[~mine][self.tests.outcomes[number][~mine] != outcome].sum()
            worth = others / offer.effort * (1.0 if offer.instrument == "look" or self._is_complained(offer) else ELSEWHERE)
            if own[outcome] >= REFUTING * own.sum() and worth > best[0]:
                best = worth, (number, outcome)
        if best[1] is None:
            return None
        number, outcome = best[1]
        rest = self.tests.outcomes[number] == outcome
        return self.offers[number], self._outcome(self.offers, self.tests, number, rest, float(odds[rest].sum()), mine)

    def _outcome(self, offers, tests, chosen, rest, share, among=None):
        offer, odds = offers[chosen], {}
        for place in np.flatnonzero(rest):
            odds[self.names[place]] = odds.get(self.names[place], 0.0) + tests.odds[place]
        ranked = tuple(sorted(odds, key=lambda name: -odds[name]))
        if offer.values is None:
            seen = int(offer.outcomes[np.flatnonzero(rest)[0]])
            return Outcome(None, None, share, ranked, STATES[seen] if offer.instrument == "look" else "", bool(seen))
        values = offer.values[rest if among is None else rest & among]
        likeliest = int(self.order[np.where(rest, tests.odds, -1.0).argmax()]) + 1
        return Outcome(float(values.min()), float(values.max()), share, ranked, lamp=lambda: self._under_lamp(offer, likeliest))

    def _under_lamp(self, offer, number):
        """Return what a test lamp leaves of the volts of an offer with a candidate; None where they last, or are not from the pole volts are counted from. [V]"""
        if offer.instrument != "meter" or offer.black != self.solved.arrangement.zero:
            return None
        phase = self.solved.weighing.phases_meant(offer.phases)[0]
        return self.solved.nearly_gone(number, offer.red, self.solved.row(offer.positions), phase)


def _missing_beside(candidates, weights, order):
    """Return the numbers of fuses missing from a block whose like, blown, is looked ahead with, and that are not: whoever looks at its way sees either. [1]"""
    blown = {candidates[number].place: weights[number] for number in order if candidates[number].sort == "fuses"}
    return np.array([number for number, each in enumerate(candidates)
                     if each.is_missing and number not in order and weights[number] > FEW * blown.get(each.place, np.inf)], int)


def _merged(outcomes):
    """Return outcomes, those beside each other that leave the same repairs as one."""
    found = outcomes[:1]
    for each in outcomes[1:]:
        last = found[-1]
        if {*each.repairs} == {*last.repairs} and None not in (each.least, last.most) and isfinite(each.least) and isfinite(last.most):
            found[-1] = replace(last, most=each.most, odds=last.odds + each.odds)
        else:
            found.append(each)
    return tuple(found)


def _worthwhile(weights, names, offers):
    """Return the offers worth looking ahead with: of those that part alike the cheapest, best information for effort first."""
    best = {}
    for offer in sorted(offers, key=lambda each: each.effort):
        best.setdefault(offer.outcomes.astype(np.int8).tobytes(), offer)
    kept = list(best.values())
    if len(kept) > MOST_TESTS:
        rank = _tests(weights, names, kept)
        gains = rank.gains(rank.whole) / rank.efforts
        kept = [kept[number] for number in np.argsort(-gains, kind="stable")[:MOST_TESTS]]
    return kept


def _tests(weights, names, offers):
    return Lookahead(weights / weights.sum(), names, [each.outcomes for each in offers], [each.effort for each in offers], ENOUGH)


def share_words(share):
    """Return odds in words; nothing is ever certain or ruled out.

    >>> share_words(0.999), share_words(0.42), share_words(0.0002)
    ('over 99 %', '42 %', 'under 1 %')
    """
    return "over 99 %" if share > 0.99 else "under 1 %" if share < 0.01 else f"{share:.0%}".replace("%", " %")
