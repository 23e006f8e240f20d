"""One line of the rule of an arrangement."""

from dataclasses import dataclass

from ..ground.errors import ArrangementError, shown
from ..parts.making import Maker


@dataclass(frozen=True)
class Wanted(metaclass=Maker):
    """One line of the rule: what a lamp shall show, and when.

    The lines of a lamp are read in order, the first that fits wins, and a lamp
    that no line fits shall be dark.

    Parameters
    ----------
    lamp : str
        Name of the lamp. [text]
    look : {"steady", "flashing", "dark"}
        What it shall show. [text]
    when : dict of str to str
        Control positions that must all hold; empty means always. [text]
    """

    lamp: str
    look: str
    when: tuple = ()

    def __post_init__(self):
        if not isinstance(self.lamp, str):
            raise ArrangementError(f"a line of a rule begins with the name of a lamp, such as 'E1', got {shown(self.lamp)}.")
        try:
            when = tuple(dict(self.when).items())
            fits = len(when) == len(self.when) and all(isinstance(word, str) for pair in when for word in pair)
        except (TypeError, ValueError):
            fits = False
        if not fits:
            raise ArrangementError(f"the rule for '{self.lamp}' says when={shown(self.when)}. "
                                   "Give each control once with one position, such as {'key': 'on'}.", part=self.lamp)
        object.__setattr__(self, "when", when)

    def fits(self, positions):
        """Tell whether the line speaks for a row."""
        return all(positions[control] == position for control, position in self.when)
