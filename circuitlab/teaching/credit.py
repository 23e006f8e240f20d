"""What the tries at a question earn: what can be clicked without thinking earns nothing by being clicked.

By what a kind says of itself (``chances``, ``in_a_row``, ``at_most``). Predictions, observations and notes earn nothing:
a prediction is made before anything can be known.
"""

RULE = 2        # told with each try: since then a choice is to be right twice in a row
_COUNT = ("none", "one", "two", "three", "four")


class Earned:
    """What one learner's tries at a question have earned, over all its variants.

    A right answer earns 1, or 0.5 where the reason given with it does not hold. What can be clicked earns so only in its
    first tries of a variant, with several variants right in a row (half, where they are not the first ones), and over the
    first few variants that were tried; one that comes again does not count.

    Parameters
    ----------
    task : Task
    once : bool
        A prediction: its one try tells whether it was right.
    """

    def __init__(self, task, once=False):
        kind, self._variants = task.kind, len(task.variants)
        self._chances, self._row, self._most = (1, 1, None) if once else (kind.chances, kind.in_a_row, kind.at_most)
        self._another, self._tries, self._worth = kind.another, {}, {}

    def add(self, seed, right, holds):
        """Count a try at the variant of a seed; ``holds`` is False where the reason does not."""
        place = seed if self._most is None else seed % self._variants
        first, tries = self._tries.get(place, (seed, 0))
        if first != seed or not tries and self._most is not None and len(self._tries) >= self._most:
            return
        self._tries[place] = first, tries + 1
        in_time = self._chances is None or tries < self._chances
        self._worth[place] = max(self._worth.get(place, 0.0), (1.0 if holds else 0.5) if right and in_time else 0.0)

    @property
    def credit(self):
        """0, 0.5 or 1. [1]"""
        return self._of([*self._worth.values()])

    def _of(self, worth):
        late = 0.5 if self._row > 1 else 1.0
        return max((min(*worth[place:place + self._row], late if place else 1.0) for place in range(len(worth) - self._row + 1)),
                   default=0.0)

    @property
    def is_shut(self):
        """Whether no further variant can add to it. [yes/no]"""
        left = 1 if self._most is None else min(self._most, self._variants) - len(self._tries)
        return self._of([*self._worth.values(), *[1.0] * left]) <= self.credit

    @property
    def _running(self):
        """How many variants were right in a row up to the last one. [1]"""
        worth = [*self._worth.values()]
        return next((back for back, each in enumerate(reversed(worth)) if not each), len(worth))

    @property
    def rule(self):
        """What earns credit and how many variants count, in a sentence; empty where any right answer earns. [text]"""
        if self._most is None:
            return ""
        most = min(self._most, self._variants)
        if most < self._row:
            return "No credit here: there is no other variant to be right in as well."
        how = ("be right at the first try, twice in a row" if self._row > 1
               else f"be right within {_COUNT[self._chances]} tries")
        return f"For credit, {how}." + (f" At most {_COUNT[most]} variants count." if most > 1 else "")

    def told(self):
        """Return what is said of the credit once a variant is done, or an empty text. [text]"""
        half = "Half a credit." if self.credit == 0.5 else ""
        if self._most is None:
            return half
        if self.is_shut:
            full = f"{_COUNT[self._row].capitalize()} in a row: full credit." if self._row > 1 else ""
            return full if self.credit == 1 else half or "No credit here any more. More variants are for practice."
        so_far = f"{_COUNT[self._running].capitalize()} in a row so far." if self._running else "No credit yet."
        return f"{half or so_far} Press '{self._another}'."      # the rule stands below the question
