"""The relay: a coil that moves a contact, two circuits in one box."""

from dataclasses import dataclass
from typing import ClassVar

from .law import JOINT, Branch, Part


@dataclass(frozen=True)
class Relay(Part):
    """A mini relay (device letter K), changeover or make-only.

    Terminals are those of DIN 72552 as mini-relay practice has them: 85 and 86
    the coil, 30 the moving contact, 87 the make contact, 87a the break contact.

    Parameters
    ----------
    contact : {"changeover", "make"}
        Whether it has an 87a. A make relay serves wherever 87a is unused. [text]
    coil_resistance : float
        85 ohm +-10 % in the class of maker sheet cited below. [ohm]
    pull_in_voltage, drop_out_voltage : float
        Across the cold coil; the law compares coil *current*. [V]
    operate_time, release_time : float
        From the coil's change to the contact having landed. [s]
    transfer_gap : float
        Both contacts open in between, break before make. [s]
    contact_resistance : float
        Of a closed contact. [ohm]

    Notes
    -----
    Coil 85 ohm, operate at 8 V at most, release at 1.5 V at least: TE mini ISO
    relay sheet, coil code 001. The kit's default pulls in at 7 V and drops out
    at 2.5 V, inside those limits. Times 10 ms and 7 ms as on common relay
    sheets; gap 2 ms is common practice. Coil inductance is inside the times.
    """

    contact: str = "changeover"
    coil_resistance: float = 85.0
    pull_in_voltage: float = 7.0
    drop_out_voltage: float = 2.5
    operate_time: float = 0.010
    release_time: float = 0.007
    transfer_gap: float = 0.002
    contact_resistance: float = 0.005
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "relay"
    moves: ClassVar[bool] = True

    def __post_init__(self):
        self.must(self.contact in ("changeover", "make"),
                  f"contact must be changeover or make, got {self.contact!r}.")
        self.must_be_number("coil_resistance", 1, 100_000, "ohm")
        self.must_be_number("pull_in_voltage", 0.1, 60, "V")
        self.must_be_number("drop_out_voltage", 0.01, 60, "V")
        self.must_be_number("contact_resistance", JOINT, 1000, "ohm")
        self.must_be_number("operate_time", 0.0001, 1, "s")
        self.must_be_number("release_time", 0.0001, 1, "s")
        self.must_be_number("transfer_gap", 0, min(self.operate_time, self.release_time), "s")
        self.must(self.drop_out_voltage < self.pull_in_voltage,
                  f"drop out voltage {self.drop_out_voltage:g} V must be below pull in voltage {self.pull_in_voltage:g} V.")

    @property
    def terminals(self):
        return ("30", "85", "86", "87") + (("87a",) if self.contact == "changeover" else ())

    @property
    def states(self):
        return ("released", "gap", "operated")

    @property
    def watched(self):
        return (0,)

    def branches(self):
        made = Branch("30", "87", self.contact_resistance, closed_in=frozenset({"operated"}))
        broken = Branch("30", "87a", self.contact_resistance, closed_in=frozenset({"released"}))
        coil = Branch("86", "85", self.coil_resistance)
        return (coil, made, broken) if self.contact == "changeover" else (coil, made)

    def aim(self, state, aim, currents):
        current = abs(currents[0]) * self.coil_resistance
        if current >= self.pull_in_voltage:
            return "operated"
        return "released" if current < self.drop_out_voltage else aim

    def next_move(self, state, aim):
        if state == aim:
            return None
        if state == "gap":
            return self.transfer_gap, aim
        full = self.operate_time if aim == "operated" else self.release_time
        return full - self.transfer_gap, "gap"
