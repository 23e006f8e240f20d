"""One line of the rule of an arrangement."""

from dataclasses import dataclass

from ..ground.errors import ArrangementError, shown
from ..parts.making import Maker

LAMP_LOOKS = ("steady", "flashing", "dark")
TERMINAL_LOOKS = ("live", "flashing", "dead")


@dataclass(frozen=True)
class Wanted(metaclass=Maker):
    """One line of the rule: what a lamp shall show, or a terminal shall be, and when.

    The lines of a lamp or terminal are read in order, the first that fits
    wins. A lamp that no line fits shall be dark; of a terminal that no line
    fits nothing is asked.

    Parameters
    ----------
    lamp : str
        Name of the lamp, or the terminal, such as ``"S1:15"``. [text]
    look : {"steady", "flashing", "dark"}, of a terminal {"live", "flashing", "dead"}
        What it shall show, or be. [text]
    when : dict of str to str
        Control positions that must all hold for this line; without any it holds always. [text]

    >>> Wanted("E1", "steady", {"key": "on"}).when
    (('key', 'on'),)
    """

    lamp: str
    look: str
    when: tuple = ()

    def __post_init__(self):
        if not isinstance(self.lamp, str):
            raise ArrangementError("a line of a rule begins with the name of a lamp, such as 'E1', or with a terminal, such as "
                                   f"'S1:15', got {shown(self.lamp)}.")
        try:
            when = tuple(dict(self.when).items())
            fits = len(when) == len(self.when) and all(isinstance(word, str) for pair in when for word in pair)
        except (TypeError, ValueError):
            fits = False
        if not fits:
            raise ArrangementError(f"the rule for '{self.lamp}' says when={shown(self.when)}. "
                                   "Give each control once with one position, such as {'key': 'on'}.", part=self.lamp)
        object.__setattr__(self, "when", when)

    @property
    def terminal(self):
        """The terminal it speaks of; empty where it speaks of a lamp. [text]"""
        return self.lamp if ":" in self.lamp else ""

    @property
    def part(self):
        """The part it speaks of: the lamp, or the part that has the terminal. [text]"""
        return self.lamp.partition(":")[0]

    def fits(self, positions):
        """Tell whether the line speaks for a row."""
        return all(positions[control] == position for control, position in self.when)
