"""One piece of a part as the schematic shows it: a relay is a coil and a contact, a lever one piece for each pole.

A piece has one side with a single terminal and one side with one or more. It
stands upright; which side is on top is decided by the plan of the sheet.
"""

from dataclasses import dataclass

from ...parts import Role


@dataclass(frozen=True)
class Piece:
    """One symbol of the drawing.

    Parameters
    ----------
    key : str
        The part's name, or name and piece such as ``"K1.coil"``. [text]
    part : str
        The part it belongs to. [text]
    shape : type
        The :class:`~circuitlab.views.faces.shape.Shape` it is drawn as.
    near, far : tuple of str
        Terminals on the one side and on the other; ``near`` has one. [text]
    slots : tuple of int
        Path, counted from the piece's left, of the near terminal and then of each far one. [1]
    closed : tuple of (str, tuple of int)
        For each state of the part, which far terminals the contact touches; empty for a piece without contact.
    worked_by : str
        What works it, for a simple switch: hand, key, pedal or pressure. [text]
    is_load : bool
        Whether it takes the volts between its first two terminals. [yes/no]
    word : str
        What is written in it: the kind of a part without a symbol of its own. [text]
    """

    key: str
    part: str
    shape: type
    near: tuple
    far: tuple
    slots: tuple = (0, 0)
    closed: tuple = ()
    worked_by: str = ""
    is_load: bool = False
    word: str = ""

    @property
    def symbol(self):
        """The name of its shape. [text]"""
        return self.shape.name

    @property
    def terminals(self):
        return self.near + self.far

    @property
    def width(self):
        """How many paths it takes. [1]"""
        return max(self.slots) + 1

    def touched(self, state):
        """Return the indexes of the far terminals touched in a state; the resting one for an unknown state. [1]"""
        table = dict(self.closed)
        return table.get(state, self.closed[0][1] if self.closed else ())


def ends(part, *names):
    """Return terminals of a part by their numbers. [text]"""
    return tuple(f"{part.name}:{name}" for name in names)


def whole(part, shape, word=""):
    """Return the one piece of a part: its first terminal on one side, all others on the other."""
    first, *rest = part.terminals
    return Piece(part.name, part.name, shape, ends(part, first), ends(part, *rest), (0, *range(len(rest))), _contact_of(part),
                 is_load=part.is_load(first, *rest[:1] or [first]), word=word)


def _contact_of(part):
    """Return for every state of a part whether its first contact is closed, as a piece has it; nothing without one."""
    found = part.first(Role.CONTACT)
    return tuple((state, (0,) if found[1].conducts(state) else ()) for state in part.states) if found else ()
