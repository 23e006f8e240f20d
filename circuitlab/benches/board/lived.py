"""A course lived in, by what a run gives."""

from ...solving import run


class Lived:
    """See Live."""

    def __init__(self, arrangement, positions=None):
        self.arrangement, self.begin, self.now, self.script = arrangement, 0.0, 0.0, ()
        self._base, self._acts, self._ahead = run(arrangement, (), 1e-6, positions), [], None

    def act(self, at, control, position):
        self.arrangement.control(control).check(position)
        if at > self.now:
            self._base, self._acts = self._base.carry_on(self._acts, at), []
        self.now, self._ahead = max(at, self.now, 1e-6), None
        self._acts.append((self.now, control, position))

    def at(self, moment):
        return self.ahead(max(moment, self.now) + 2e-6).at(moment)

    def ahead(self, until):
        if self._ahead is None or self._ahead.until < until and self._ahead.verdict == "settled":
            self._ahead = self._base.carry_on(self._acts, until)
        return self._ahead
