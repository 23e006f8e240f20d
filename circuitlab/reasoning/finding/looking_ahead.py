"""Which test comes next: the one that parts repairs best for least effort, looked ahead to the end.

States have odds and each asks for a repair; a test has an outcome for each state, and costs effort. The *plain policy* takes the test
with most information about the repair for its effort, one step at a time. It may miss by a third. So every good first test is tried with the
plain policy behind it, to the end, and the cheapest on average is taken (*rollout*). Nothing here knows of circuits.

Source: Raghavan, Shakeri, Pattipati 1999 (test sequencing, tables of states and tests); the rollout is guaranteed to be no worse than the plain policy
it looks along, where all first tests are tried.
"""

import numpy as np

LEAST = 1e-9        # bit, below which a test tells nothing
TRIED = 24          # first tests that are looked ahead from
SOONER = 0.95       # of its effort to the end, at which a test that is taken sooner counts: the kit's own guess


class Lookahead:
    """States, their repairs, and the tests that part them.

    Parameters
    ----------
    odds : sequence of float, shape (states,)
        [1]
    repairs : sequence of hashable, shape (states,)
        What each state asks for. States with the same need not be told apart.
    outcomes : sequence of sequence of int, shape (tests, states)
        [1]
    efforts : sequence of float, shape (tests,)
        [min]
    enough : float
        Odds of one repair at which nobody goes on. [1]
    """

    def __init__(self, odds, repairs, outcomes, efforts, enough=1.0):
        self.odds, self.efforts, self.enough = np.asarray(odds, float), np.asarray(efforts, float), enough
        self.outcomes = np.asarray(outcomes, int).reshape(len(self.efforts), len(self.odds))
        names = list(dict.fromkeys(repairs))
        order = {name: number for number, name in enumerate(names)}
        self.repairs = np.array([order[each] for each in repairs], int)
        self.most = int(self.outcomes.max(initial=0)) + 1
        self._flags = (self.outcomes[:, None, :] == np.arange(self.most)[None, :, None]).reshape(-1, len(self.odds)).astype(float)
        self._of = (self.repairs[:, None] == np.arange(len(names))[None, :]).astype(float)
        self._costs, self._left = {}, {}

    @property
    def whole(self):
        """All states. [yes/no]"""
        return np.ones(len(self.odds), bool)

    def gains(self, alive):
        """Return the information each test gives about the repair among some states, shape (tests,). [bit]"""
        here = np.flatnonzero(alive)
        total = self.odds[here].sum()
        if total <= 0 or not len(self.efforts):
            return np.zeros(len(self.efforts))
        of = self._of[here]
        shares = self.odds[here][:, None] * of[:, of.any(axis=0)] / total
        parts = (self._flags[:, here] @ shares).reshape(len(self.efforts), self.most, -1)
        mass = parts.sum(axis=2)
        return (p_log(parts).sum(axis=2) - p_log(mass)).sum(axis=1) - p_log(shares.sum(axis=0)).sum()

    def is_done(self, alive):
        """Tell whether one repair is left, or likely enough. [yes/no]"""
        mass = (self.odds * alive) @ self._of
        return mass.max(initial=0.0) >= self.enough * mass.sum() - 1e-12

    def plain(self, alive, gains=None):
        """Return the test with most information for its effort, or None where none tells anything. [1]"""
        gains = self.gains(alive) if gains is None else gains
        if self.is_done(alive) or gains.max(initial=0.0) < LEAST:
            return None
        return int(np.argmax(np.where(gains < LEAST, -1.0, gains / self.efforts)))

    def along(self, alive):
        """Return the effort of the plain policy to the end, on average over some states. [min]"""
        key = alive.tobytes()
        if key not in self._costs:
            test = self.plain(alive)
            self._costs[key] = 0.0 if test is None else self.behind(test, alive, self.along)
        return self._costs[key]

    def behind(self, test, alive, onward):
        """Return the effort of a test and of what comes behind it, on average over some states. [min]"""
        total, cost = (self.odds * alive).sum(), self.efforts[test]
        for _, rest, share in self.parted(test, alive):
            cost += share / total * onward(rest)
        return float(cost)

    def parted(self, test, alive):
        """Yield each outcome of a test among some states, the states it leaves, and their odds. [1], [yes/no], [1]"""
        for outcome in range(self.most):
            rest = alive & (self.outcomes[test] == outcome)
            if rest.any():
                yield outcome, rest, float((self.odds * rest).sum())

    def surest(self, alive):
        """Return the share of each test's likeliest outcome among some states, shape (tests,): near 1 it leaves the odds as they are. [1]"""
        here = np.flatnonzero(alive)
        shares = self.odds[here] / self.odds[here].sum()
        return (self._flags[:, here] @ shares).reshape(len(self.efforts), self.most).max(axis=1, initial=0.0)

    def best(self, alive, tried=TRIED, sooner=frozenset(), never=frozenset()):
        """Return the test to take next, looked ahead along the plain policy, or None where none tells anything. [1]

        Parameters
        ----------
        alive : ndarray of bool, shape (states,)
        tried : int
            First tests looked ahead from, best information for effort first. [1]
        sooner : container of int
            Tests that are taken before others which are hardly cheaper to the end: the plain policy is no surer than that.
        never : container of int
            Tests that are not taken.
        """
        gains = self.gains(alive)
        gains[[*never]] = 0.0
        if self.is_done(alive) or gains.max(initial=0.0) < LEAST:
            return None
        order = np.argsort(-np.where(gains < LEAST, -1.0, gains / self.efforts), kind="stable")
        useful = [int(test) for test in order if gains[test] >= LEAST][:tried]
        cost = {test: round(self.behind(test, alive, self.along) * (SOONER if test in sooner else 1.0), 9) for test in useful}
        return min(useful, key=lambda test: (cost[test], useful.index(test)))

    def cost(self, choose, alive=None):
        """Return the effort of a policy to the end, on average. [min]

        Parameters
        ----------
        choose : callable ``(alive)``
            Returns a test, or None to stop. [1]
        alive : ndarray of bool, optional
            All states unless given.
        """
        alive = self.whole if alive is None else alive
        test = choose(alive)
        return 0.0 if test is None else self.behind(test, alive, lambda rest: self.cost(choose, rest))


def p_log(shares):
    """Return p log2 p of each, 0 for 0."""
    return shares * np.log2(np.where(shares > 0, shares, shares.dtype.type(1)))
