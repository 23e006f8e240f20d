"""The laws of parts over many cases at a time, without writing any law twice.

A part's law (``aim``, ``strain``) is plain Python: it compares a current with
a threshold and returns a word. Here it is called with :class:`Seen` instead of
a current: an array, one entry a case. Arithmetic goes through entry by entry.
Where the law asks "is it above?", the answer may differ between cases; the
walk then follows the yes of those that say yes, and comes back to call the law
once more for those that said no. So a relay's law is called three times for
ten thousand relays, once for each way through it, and each case gets exactly
the word it would have got alone.

Chosen instead of thresholds declared beside each law, which would say
everything twice and could disagree with it; and instead of calling the law for
each case, which costs more than solving the network. A law that does something
an array cannot do, such as ``math.exp``, is called for each case after all.
"""

import numpy as np


class Seen(np.ndarray):
    """A number that is another one in every case; whatever is worked out from it is on the same walk."""

    walk = None
    __float__ = None    # not even one case is a plain number here

    def __array_finalize__(self, source):
        self.walk = getattr(source, "walk", None)

    def __bool__(self):
        return self.walk.choose(np.asarray(self) != 0)


class Walk:
    """One way through a law: what was answered so far, and which cases are on it."""

    def __init__(self, answers, count, ahead):
        self.answers, self.ahead, self.asked = answers, ahead, 0
        self.on_it = np.ones(count, bool)

    def seen(self, current):
        """Return a current, shape (cases,), as the law sees it on this way. [A]"""
        seen = current.view(Seen)
        seen.walk = self
        return seen

    def choose(self, truth):
        if self.asked == len(self.answers):
            yes = truth[self.on_it]
            if yes.any() and not yes.all():
                self.ahead.append([*self.answers, False])
            self.answers.append(bool(yes.any()))
        answer = self.answers[self.asked]
        self.asked += 1
        self.on_it &= truth if answer else ~truth
        return answer


def walk(law, currents):
    """Yield ``(which, outcome)`` for each way through a law; the cases of all ways together are all.

    Parameters
    ----------
    law : callable ``(currents) -> outcome``
    currents : list of ndarray, shape (cases,)
        Of each watched branch. [A]

    Yields
    ------
    which : ndarray of bool or int
        The cases on that way, shape (cases,) or their numbers. [1]
    outcome : str, float, or ndarray of shape (cases,)
    """
    count = len(currents[0])
    if not count:
        return
    try:
        found, ahead = [], [[]]
        while ahead:
            way = Walk(ahead.pop(), count, ahead)
            found.append((way.on_it, law(list(map(way.seen, currents)))))
    except TypeError:   # something that an array cannot do
        found = [(np.array([case]), law([float(current[case]) for current in currents])) for case in range(count)]
    yield from found


def numbers(law, currents):
    """Return the number a law gives in every case, shape (cases,)."""
    found = np.zeros(len(currents[0]))
    for cases, outcome in walk(law, currents):
        found[cases] = outcome if np.ndim(outcome) == 0 else outcome[cases]
    return found
