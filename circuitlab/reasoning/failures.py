"""A failure: what does not do what the rule asks, and by which way its current came or missed it."""

from dataclasses import dataclass

from ..ground.showing import Showing


@dataclass(frozen=True, repr=False)
class Failure(Showing):
    """One lamp, or terminal, in one row that does not do what the rule asks.

    Attributes
    ----------
    positions : dict of str to str
        The row; empty for what concerns every row. [text]
    lamp : str
        Or the terminal; empty where the whole row fails. [text]
    wanted, seen : str
        In words. [text]
    rule : str
        The sentence it breaks. [text]
    path : Path or None
        How current reached the lamp, or a test lamp at the terminal, or missed it.
    detour : Path or None
        For a lamp that misses its current: the way by which a little comes all the same.
    phases : dict of str to str
        Flasher phases in which the path is told.
    throws : tuple of (str, str)
        The order of throwing that leads here, where order matters.
    operated : tuple of str
        Relays that this order left operated, in the phases of the path. [text]
    remarks : tuple of str
        What parts say of themselves there, such as a flasher of its load. [text]
    """

    positions: dict
    lamp: str
    wanted: str
    seen: str
    rule: str = ""
    path: object = None
    phases: tuple = ()
    throws: tuple = ()
    detour: object = None
    operated: tuple = ()
    remarks: tuple = ()

    @property
    def sentence(self):
        """Row, lamp, what is wanted and what is seen, in one sentence. [text]"""
        where = ", ".join(f"{name} {position}" for name, position in self.positions.items())
        return f"{where or 'every row'}: {self.short}"

    @property
    def short(self):
        """The same without the row. [text]"""
        order = f" (after {', then '.join(f'{name} {position}' for name, position in self.throws)})" if self.throws else ""
        said = f"{self.lamp} {self.seen}" if self.lamp else self.seen
        return said + (f", wanted {self.wanted}" if self.wanted else "") + order
