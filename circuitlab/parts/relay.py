"""The relay: a coil that moves a contact, two circuits in one box."""

from dataclasses import dataclass
from functools import cached_property
from math import log, prod, sqrt
from typing import ClassVar

from .branch import JOINT, Branch, Role
from .conductors import copper_factor
from .law import Part, cold_volts
from .overheating import CONTACT_CARRIES, coil_words, contact_words, diode_words
from .semiconductors import Junction
from .values import number, word

# Of a coil pulled in [s]: fits a maker's release times of a 55 ohm coil with seven suppressors, from memory, and a scope's of
# a 120 ohm one (tests/outside/test_parts.py). Coils of one frame share it, whatever their volts.
HENRY_PER_OHM = 0.29 / 55
RUNNING = 13.5 / 12   # times its nominal volts, across the coil before it is switched off
COIL_CLASSES = (6.0, 12.0, 24.0)   # V, nominal
COIL_WATTS = (1.6, 1.9)   # of a mini relay's coil at its nominal volts: 20, 85 and 320 ohm, from memory
PULLS_IN = (1 / 3, 0.85)  # times its nominal volts, the least and most a coil pulls in at; sheets say two thirds at most
CLAMP = 0.8           # V, of a diode while the coil's current dies away in it
DIODE_CARRIES = 1.0   # A, of the diode built in: maker sheets
SUPPRESSIONS = ("none", "resistor", "diode")
OUTPUTS = {"changeover": ("87", "87a"), "make": ("87",), "dual": ("87", "87b")}


@dataclass(frozen=True)
class Relay(Part):
    """A mini relay (device letter K): changeover, make-only, or with two make contacts.

    Parameters
    ----------
    contact : {"changeover", "make", "dual"}
        Whether it has an 87a. A make relay serves wherever 87a is unused. A
        dual one makes 87 and 87b together and has no 87a, though it looks
        alike from outside. [text]
    coil_resistance : float
        What a meter shows between 85 and 86 at 20 C; 85 ohm give or take 10 % are common for 12 V. [ohm]
    pull_in_voltage, drop_out_voltage : float
        Across the coil at 20 C: from where it operates, and below which it lets go. It goes by the coil's current, so a warm
        coil needs more volts. [V]
    operate_time, release_time : float
        From the coil's change to the contact having landed, no suppression fitted. [s]
    transfer_gap : float
        While it changes over both contacts are open for so long (break before make); at most the shorter of its two times. [s]
    contact_resistance : float
        Of a closed contact; a burned one has more. [ohm]
    coil_temperature : float
        Of the coil's copper, where it is warmer than the rest; that of the ambient unless given. [C]
    suppression : {"none", "resistor", "diode"}
        What is built in across the coil. A diode has its cathode on 86, so 86 must be
        plus: the wrong way round it shorts the supply. Both slow the release. [text]
    suppression_resistance : float
        Of a built-in resistor. [ohm]

    Terminals
    ---------
    30 : the moving contact, common to 87 and 87a
    85 : one end of the coil
    86 : the other end of the coil; plus, where a diode is built in
    87 : the make contact: joined to 30 while the coil has its volts
    87a : the break contact, of a changeover relay alone: joined to 30 while the coil has none
    87b : a second make contact, of a dual relay alone: joined to 30 together with 87

    Notes
    -----
    Terminals are those of DIN 72552 as mini-relay practice has them. Coil 85 ohm, operate at 8 V at most, release at 1.5 V at least: mini ISO
    relay sheet, coil code 001. The kit's default pulls in at 7 V and drops out
    at 2.5 V, inside those limits. Times 10 ms and 7 ms as on common relay
    sheets; gap 2 ms is common practice. Resistance of copper with temperature:
    0.003929 per K at 20 C (a maker's note on coil temperature). Suppression resistors
    of 560 to 680 ohm are common practice.

    The coil's inductance is inside the times; it appears by itself only where
    a suppressor lets the current run on. A diode of its own wired across the
    coil does so as a built-in one does: the arrangement tells (``freewheels``).
    The coil does not warm by its own watts.

    An armature under way lands before it turns back (common practice: its coil's
    field outlasts the 2 ms). So a relay that cuts its own coil buzzes with the
    period ``round_time``: operate, release, and what the suppressor adds.

    >>> Relay("K1", contact="make").terminals
    ('30', '85', '86', '87')
    """

    contact: str = word("changeover", OUTPUTS)
    coil_resistance: float = number(85.0, 1, 100_000, "ohm")
    pull_in_voltage: float = number(7.0, 0.1, 60, "V")
    drop_out_voltage: float = number(2.5, 0.01, 60, "V")
    operate_time: float = number(0.010, 0.0001, 1, "s")
    release_time: float = number(0.007, 0.0001, 1, "s")
    transfer_gap: float = 0.002
    contact_resistance: float = number(0.005, JOINT, 1000, "ohm")
    place: str = ""
    note: str = ""
    coil_temperature: float | None = number(None, -60, 200, "C")
    suppression: str = word("none", SUPPRESSIONS)
    suppression_resistance: float = number(560.0, 10, 100_000, "ohm")

    kind: ClassVar[str] = "relay"
    letter: ClassVar[str] = "K"
    moves: ClassVar[bool] = True
    under_way: ClassVar[frozenset] = frozenset({"gap"})
    freewheels: ClassVar[bool] = False    # whether a diode lies across its coil; the arrangement it is in says so
    surroundings: ClassVar[tuple] = ("ambient", "freewheels")
    inlet: ClassVar[str] = "86"
    reach: ClassVar[float] = 0.95
    needs: ClassVar[tuple] = ("85", "86")
    states: ClassVar[tuple] = ("released", "gap", "operated")
    watched: ClassVar[tuple] = (0,)

    def __post_init__(self):
        super().__post_init__()
        self.must_be_number("transfer_gap", 0, min(self.operate_time, self.release_time), "s")
        self.must(self.drop_out_voltage < self.pull_in_voltage, f"drop out voltage {self.drop_out_voltage:g} V must be "
                  f"below pull in voltage {self.pull_in_voltage:g} V.")

    @property
    def terminals(self):
        return ("30", "85", "86", *OUTPUTS[self.contact])

    @property
    def is_polar(self):
        return self.suppression == "diode"

    @property
    def warm_resistance(self):
        """Of the coil at its temperature. [ohm]"""
        return self.coil_resistance * copper_factor(self.ambient if self.coil_temperature is None else self.coil_temperature)

    def branches(self):
        coil = Branch("86", "85", Role.COIL, self.warm_resistance)
        contacts = tuple(Branch("30", output, Role.CONTACT, self.contact_resistance,
                                closed_in=frozenset({"released" if output == "87a" else "operated"}))
                         for output in OUTPUTS[self.contact])
        if self.suppression == "resistor":
            return (coil, *contacts, Branch("86", "85", Role.COIL, self.suppression_resistance))
        if self.suppression == "diode":
            return (coil, *contacts, Branch("85", "86", Role.COIL, device=Junction(1.0, DIODE_CARRIES, 0.1)))
        return (coil, *contacts)

    def overheated(self, currents):
        coil = coil_words(self.name, abs(currents[0]) * self.warm_resistance, self.nominal)
        contacts = [(branch.end, abs(amps)) for branch, amps in zip(self.branches(), currents) if branch.closed_in]
        return tuple(filter(None, (coil, *(contact_words(self.name, f"30-{end}", amps,
                                                 CONTACT_CARRIES["87a" if end == "87a" else "87"])
                                   for end, amps in contacts))))

    def gone_at_once(self, currents):
        within = currents[-1] if self.suppression == "diode" else 0.0
        return tuple(filter(None, (diode_words(f"the diode in {self.name}", within, DIODE_CARRIES),)))

    def aim(self, state, aim, currents):
        current = abs(currents[0]) * self.coil_resistance
        if current >= self.pull_in_voltage:
            return "operated"
        return "released" if current < self.drop_out_voltage else aim

    def hangs_on_warmth(self, state, currents, most):
        seen, most = abs(currents[0]) * self.coil_resistance, most * self.coil_resistance / self.warm_resistance
        return state == "operated" and cold_volts(min(seen, most), most) < self.drop_out_voltage

    def remark(self, state, currents):
        if self.suppression == "diode" and currents[0] * self.coil_resistance < -0.3:
            return (f"the diode in {self.name} is fed the wrong way round and shorts the coil: plus belongs on 86. The diode or the "
                    "fuse goes")
        return ""

    def next_move(self, state, aim):
        if state == aim:
            return None
        if state == "gap":
            return self.transfer_gap, aim
        full = self.operate_time if aim == "operated" else self.release_time + self.slowing
        return full - self.transfer_gap, "gap"

    @property
    def inductance(self):
        """Of the coil, pulled in. [H]"""
        return HENRY_PER_OHM * self.coil_resistance

    @property
    def nominal(self):
        """What its coil is made for: of the classes in which it could pull in at such volts, the one for its ohms. [V]"""
        least, most = PULLS_IN
        fitting = [one for one in COIL_CLASSES if least * one <= self.pull_in_voltage <= most * one]
        return min(fitting or COIL_CLASSES, key=lambda one: abs(log(one**2 / self.coil_resistance / sqrt(prod(COIL_WATTS)))))

    @property
    def is_bare(self):
        """Whether nothing across its coil takes the kick when the coil is switched off. [yes/no]"""
        return self.suppression == "none" and not self.freewheels

    @property
    def round_time(self):
        return self.operate_time + self.release_time + self.slowing

    @cached_property
    def slowing(self):
        """By how much the suppression delays the release: until its current has died down to drop-out. [s]

        The coil's current runs on through the suppressor with the time
        constant L / (R + R of the suppressor), a diode pulling it down a little.
        """
        by_diode = self.freewheels or self.suppression == "diode"
        if self.is_bare:
            return 0.0
        beyond, clamp = (0.0, CLAMP) if by_diode else (self.suppression_resistance, 0.0)
        warm = self.warm_resistance
        held = self.drop_out_voltage * warm / self.coil_resistance
        return self.inductance / (warm + beyond) * max(0.0, log((RUNNING * self.nominal + clamp) / (held + clamp)))
