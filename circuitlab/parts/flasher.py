"""The electronic flasher unit."""

from dataclasses import dataclass
from typing import ClassVar

from .law import JOINT, Branch, Part

ELECTRONICS = 2400.0  # ohm from 49 to 31: about 5 mA, common practice
AWAKE = 6.0 / ELECTRONICS  # A, the least supply current at which the electronics run (6 V): common practice


@dataclass(frozen=True)
class Flasher(Part):
    """An electronic flasher (device letter K): 49 in, 49a out, 31 ground.

    Parameters
    ----------
    rate : float
        Flashes per minute; 60 to 120 is the range vehicle rules allow. [1/min]
    on_share : float
        Part of each period in which the output is on. [1]
    load_needing : bool
        False: free-running, it swings whenever 49 has its supply. True: its
        contact waits closed and the swing starts when the load draws
        ``least_load``. [yes/no]
    least_load : float
        Only for a load-needing one. [A]
    """

    rate: float = 90.0
    on_share: float = 0.5
    load_needing: bool = False
    least_load: float = 1.0
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "flasher"
    moves: ClassVar[bool] = True
    swings: ClassVar[bool] = True

    def __post_init__(self):
        self.must_be_number("rate", 10, 600, "flashes per minute")
        self.must_be_number("on_share", 0.05, 0.95, "of the period (0.5 is half)")
        self.must(isinstance(self.load_needing, bool), f"load_needing must be true or false, got {self.load_needing!r}.")
        self.must_be_number("least_load", 0.001, 50, "A")

    @property
    def terminals(self):
        return ("49", "49a", "31")

    @property
    def states(self):
        return ("idle", "on", "off")

    @property
    def watched(self):
        return (0, 1)

    @property
    def on_time(self):
        """How long the output is on in each period. [s]"""
        return 60.0 / self.rate * self.on_share

    @property
    def off_time(self):
        """How long the output is off in each period. [s]"""
        return 60.0 / self.rate * (1 - self.on_share)

    def branches(self):
        closed = {"on", "idle"} if self.load_needing else {"on"}
        return (Branch("49", "31", ELECTRONICS), Branch("49", "49a", 20 * JOINT, closed_in=frozenset(closed)))

    def aim(self, state, aim, currents):
        supply, load = abs(currents[0]), abs(currents[1])
        if supply < AWAKE:
            return "idle"
        if not self.load_needing:
            return "running"
        if state == "off":
            return aim
        return "running" if load >= self.least_load else "idle"

    def next_move(self, state, aim):
        if aim == "idle":
            return None if state == "idle" else (0.0, "idle")
        return {"idle": (0.0, "on"), "on": (self.on_time, "off"), "off": (self.off_time, "on")}[state]

    def rest(self, aim, phase):
        return phase if aim == "running" else "idle"
