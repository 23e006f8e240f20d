"""A branch: one way for current through a part, and the closed list of roles that one may have.

A role is what a branch is to the trade. Every floor above asks it instead of
the kind of a part, so that a new kind is understood wherever it is met.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import inf

from ..ground.errors import PartError, listed, shown

JOINT = 0.001  # ohm, the least a joint or a closed contact may have: common practice, and what keeps currents exact


class Role(StrEnum):
    """What a branch is there for.

    Attributes
    ----------
    WAY : conducts and does nothing else: wire, stud of a chassis, diode.
    CONTACT : opens and closes: of a switch, relay, flasher or breaker; a strip that melts; a plug.
    LOAD : what the current is for: lamp, LED, resistor.
    COIL : moves a contact, and the suppressor across it.
    ELECTRONICS : a part's own small current, such as a flasher's from 49 to 31; no way for a lamp's.
    SOURCE : gives volts: a battery.
    """

    WAY = "way"
    CONTACT = "contact"
    LOAD = "load"
    COIL = "coil"
    ELECTRONICS = "electronics"
    SOURCE = "source"

    @property
    def passes(self):
        """Whether current only passes here on its way to something: no volts are used, save what is lost. [yes/no]"""
        return self in _PASSING

    @property
    def takes(self):
        """Whether the volts are used here: it hangs between the poles. [yes/no]"""
        return self in _TAKING


_PASSING = frozenset({Role.WAY, Role.CONTACT})
_TAKING = frozenset({Role.LOAD, Role.COIL, Role.ELECTRONICS})


@dataclass(frozen=True)
class Branch:
    """One way for current between two terminals of a part.

    Parameters
    ----------
    start, end : str
        Terminal (or inner) names; a positive current runs from start to end. [text]
    role : Role
        What it is to the trade; it must be said.
    resistance : float
        When it conducts; ``inf`` never conducts. [ohm]
    voltage : float
        Electromotive force, raising ``end`` above ``start``. [V]
    closed_in : frozenset of str, optional
        The states of the part in which it conducts; always when not given. [text]
    device : Device, optional
        A law that replaces the fixed resistance.
    mated : bool
        Whether it is a contact that a hand parts, as a fuse's or a plug's. [yes/no]
    """

    start: str
    end: str
    role: Role = None
    resistance: float = JOINT
    voltage: float = 0.0
    closed_in: frozenset | None = None
    device: object | None = None
    mated: bool = False

    def __post_init__(self):
        if not isinstance(self.role, Role) or self.mated and self.role is not Role.CONTACT:
            raise PartError(f"the branch from {shown(self.start)} to {shown(self.end)} has {shown(self.role)} for its role"
                            f"{' and is mated, as only a contact is' if isinstance(self.role, Role) else ''}. Say what it is to "
                            f"the trade, such as Branch('1', '2', Role.LOAD). Allowed: {listed(role.value for role in Role)}.",
                            got=self.role)

    @property
    def is_one_way(self):
        """Whether current passes, or does its work, from start to end only. [yes/no]"""
        return self.device is not None and self.device.one_way

    @property
    def can_pass(self):
        """Whether current can pass here on its way to something, in some state of the part. [yes/no]"""
        return self.role.passes and self.resistance < inf

    def conducts(self, state):
        """Tell whether it conducts in a state of its part. [yes/no]"""
        return self.resistance < inf and (self.closed_in is None or state in self.closed_in)



class Device:
    """A branch whose current is no fixed multiple of its volts, but rises whenever they rise.

    That it rises everywhere is what makes the answer of a whole circuit unique.
    """

    start: float    # S, a conductance to begin the search from
    warms = False   # whether it has a temperature that takes time to follow; then it has the laws of a Filament too
    one_way = False   # whether it passes nothing against its direction

    @property
    def leakiest(self):
        """The same device leaking, when it blocks, as much as its sheet allows."""
        return self

    def settled_current(self, voltage):
        """Return ``(current, slope)`` at rest at a voltage; the slope is above zero. [A], [S]"""
        raise NotImplementedError

    def shine(self, voltage, temperature):
        """Return the light relative to rated, or 0 where there is none. [1]"""
        return 0.0
