"""What a branch is to the trade: the closed list of roles, which every floor above asks instead of the kind of a part."""

from enum import StrEnum


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
