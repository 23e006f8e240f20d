"""The still bench: what everything settles to, with relays that remember where they were.

A trial begins afresh at every move of a slider. Here a relay that has pulled
in stays in while the supply is turned down, until its coil lets go; so the
two thresholds of a coil can be found with one slider.
"""

from ..parts import Relay
from ..solving import operating_point
from ..views.tables import settled_status
from .panel import Bench, check_faults


class StillBench(Bench):
    """One settled picture in the place of a trial; see :func:`still_bench`.

    Attributes
    ----------
    point : OperatingPoint
        What is on show; every number comes from it.
    """

    point = None

    def _make_sliders(self):
        yield from (pair for pair in super()._make_sliders() if pair[0] == "volts")

    def _redraw(self, moment_only=False):
        present = self.present()
        where = {name: buttons.value for name, buttons in self.controls.items()}
        self.point = operating_point(present, where, operated=self._operated(present))
        self.sentence = settled_status(self.point)
        self._show((self._schematic, self._schematic.pictures(self.broken(), present, self.point)))

    def _operated(self, arrangement):
        """Return the relays that were operated in the last picture and are still there. [text]"""
        before = self.point.states if self.point and self.point.is_settled else {}
        return [relay.name for relay in arrangement.of_kind(Relay) if before.get(relay.name) == "operated"]


def still_bench(arrangement, faults=(), positions=(), volts=(9.0, 15.0)):
    """Return a bench that shows what everything settles to; relays remember whether they were operated.

    Parameters
    ----------
    arrangement : Arrangement
    faults : dict of str to change or tuple of changes, optional
        Words for a box to tick, and the change that ticking makes.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    volts : tuple of (float, float)
        Ends of the supply slider; it always reaches the arrangement's own voltage. [V]

    Raises
    ------
    ArrangementError
        When a fault does not fit the arrangement.

    Examples
    --------
    >>> import circuitlab as cl
    >>> bench = still_bench(cl.arrangement("relay-test-board"), positions={"test switch": "on"}, volts=(0, 15))
    >>> bench.sliders["volts"].value = 5
    >>> bench.point.states["K1"]
    'operated'
    """
    check_faults(arrangement, faults)
    return StillBench(arrangement, faults, positions, chart=False, volts=volts)
