"""The next reading: which of all offers parts the repairs best for least effort, and what each of its outcomes would leave."""

from dataclasses import dataclass
from math import inf

import numpy as np

from .looking_ahead import Tests
from .offers import Left
from .spans import spans_of

FEW = 1e-3          # of the likeliest candidate's odds, below which one is not looked ahead with
MOST_ODDS = 0.97    # of all that is left, looked ahead with; the rest comes back where these are refuted
MOST_STATES = 120   # candidates looked ahead with
MOST_TESTS = 160    # offers looked ahead with, best information for effort first
ENOUGH = 0.95       # odds of one repair at which nobody reads on
TELLING = 0.02      # bit, of information; less parts nothing
RIVAL = 0.1         # of the likeliest repair's odds, from which one counts as a rival in what is said


@dataclass(frozen=True)
class Outcome:
    """One outcome of the next reading.

    Attributes
    ----------
    least, most : float or None
        Between which it reads, ``inf`` for no way; None where something is only looked at. [V] or [ohm]
    odds : float
        That it comes out so. [1]
    repairs : tuple of str
        What it leaves, likeliest first. [text]
    is_gone : bool
        Of a look: what is looked at is blown. [yes/no]
    """

    least: float | None
    most: float | None
    odds: float
    repairs: tuple
    is_gone: bool = False


@dataclass(frozen=True)
class NextReading:
    """What to look at or to read next, and why.

    Attributes
    ----------
    offer : Offer
        Leads, controls, what is done first, and the effort.
    outcomes : tuple of Outcome
        Two or three.
    among : int
        Repairs that it is to part. [1]
    ahead : float
        Minutes until the repair is found, on average, along the plain policy. [min]
    """

    offer: object
    outcomes: tuple
    among: int
    ahead: float


def look_ahead(solved, weights, efforts, away=frozenset(), is_calibrated=False):
    """Return the NextReading, or None where nothing more can be parted, and the spans that are left.

    Parameters
    ----------
    solved : Solved
    weights : ndarray of float, shape (candidates,)
        What each is worth now. [1]
    efforts : dict of str to float
        [min]
    away : set of str
        Terminals and parts nobody can get at. [text]
    is_calibrated : bool
        Whether the battery's volts were read. [yes/no]

    Returns
    -------
    (NextReading or None, tuple of Span)
    """
    order = np.argsort(-weights, kind="stable")[:MOST_STATES]
    before = np.cumsum(weights[order]) - weights[order]
    order = order[(weights[order] >= FEW * weights[order[0]]) & (before < MOST_ODDS * weights.sum())]
    left = Left(solved, order + 1, np.concatenate([[0.0], weights]), efforts, away, is_calibrated)
    offers = left.all()
    names = [solved.candidates[number].repair for number in order]
    tests = _tests(weights[order], names, offers)
    spans = _spans(solved, order, names, weights, tests)
    chosen = tests.best(tests.whole)
    if chosen is None or tests.gains(tests.whole)[chosen] < TELLING:
        return None, spans
    outcomes = tuple(_outcome(tests, offers, chosen, rest, share, names, order, solved) for _, rest, share in tests.parted(chosen, tests.whole))
    told = NextReading(tests.offers[chosen], outcomes, len(set(names)), tests.behind(chosen, tests.whole, tests.along))
    return told, spans


def _tests(weights, names, offers):
    """Return the offers worth looking ahead with as Tests, ``offers`` among them: of those that part alike the cheapest."""
    best = {}
    for offer in sorted(offers, key=lambda each: each.effort):
        best.setdefault(offer.outcomes.astype(np.int8).tobytes(), offer)
    kept = list(best.values())
    weights = weights / weights.sum()
    if len(kept) > MOST_TESTS:
        rank = Tests(weights, names, [each.outcomes for each in kept], [each.effort for each in kept])
        gains = rank.gains(rank.whole) / rank.efforts
        kept = [kept[number] for number in np.argsort(-gains, kind="stable")[:MOST_TESTS]]
    found = Tests(weights, names, [each.outcomes for each in kept], [each.effort for each in kept], ENOUGH)
    found.offers = kept
    return found


def _outcome(tests, offers, chosen, rest, share, names, order, solved):
    offer = tests.offers[chosen]
    weights = {}
    for place in np.flatnonzero(rest):
        weights[names[place]] = weights.get(names[place], 0.0) + tests.odds[place]
    ranked = tuple(sorted(weights, key=lambda name: -weights[name]))
    if offer.values is None:
        return Outcome(None, None, share, ranked, bool(offer.outcomes[np.flatnonzero(rest)[0]]))
    values = offer.values[rest]
    return Outcome(float(values.min()), float(values.max()), share, ranked)


def _spans(solved, order, names, weights, tests):
    odds, places, outcomes = {}, {}, {}
    for place, name in enumerate(names):
        odds[name] = odds.get(name, 0.0) + float(weights[order[place]])
        places.setdefault(name, solved.candidates[order[place]].place)
        given = outcomes.setdefault(name, np.zeros((len(tests.offers), tests.most), bool))
        if len(tests.offers):
            given[np.arange(len(tests.offers)), tests.outcomes[:, place]] = True
    return spans_of(solved.arrangement, places, odds, outcomes)


def is_plain(least, most):
    """Tell whether an outcome is one value rather than a range. [yes/no]"""
    return least == most == inf or most - least < 0.3
