"""An offer: something that may be looked at or read next, with what it would show for each candidate left."""

from dataclasses import dataclass, field

DOUBT = 0.005       # odds that something is shorted in a row, from which on nothing is read live there
GONE_DOUBT = 1e-4   # the same of what may have blown a fuse that was seen blown, and no short was looked for: the kit's own guess


@dataclass(frozen=True, eq=False)
class Offer:
    """Something to look at or to read next.

    Attributes
    ----------
    effort : float
        [min]
    outcomes : ndarray of int, shape (candidates left,)
        The number of the outcome each of them would give. [1]
    values : ndarray of float, shape (candidates left,), or None
        What would be read, ``inf`` for no way, ``-inf`` for a display that jumps. [V] or [ohm]
    red, black : str
        Leads; empty where something is only looked at. [text]
    instrument : {"meter", "ohms", "look", "watch"}
    positions, phases : dict of str to str
        [text]
    lifted : tuple of (str, str)
        A wire to take off a terminal first. [text]
    out : tuple of str
        What is taken out first. [text]
    look : str
        The fuse or lamp that is looked at, or the lamp that is watched where it is. [text]
    sound : str
        Of a lamp that is watched: its look when all is well. [text]
    parted : tuple of str
        Connectors whose plug is out, among ``out``. [text]
    """

    effort: float
    outcomes: object
    values: object = None
    red: str = ""
    black: str = ""
    instrument: str = "meter"
    positions: dict = field(default_factory=dict)
    phases: dict = field(default_factory=dict)
    lifted: tuple = ()
    out: tuple = ()
    look: str = ""
    sound: str = ""
    parted: tuple = ()

    @property
    def key(self):
        """What tells it from every other: leads, controls and what is done first. [text]"""
        if self.instrument == "watch":
            return watch_key(self.look, self.positions)
        return key_of(self.red, self.black, self.instrument, self.positions, self.phases, (*self.lifted, *self.parted), self.look)


def watch_key(lamp, positions):
    """Return what tells a lamp watched in a row from every other look or reading."""
    return "watch", lamp, tuple(positions.items())


def key_of(red, black, instrument, positions, phases, lifted, look):
    """Return what tells one look or reading from every other; leads either way round are the same."""
    if look:
        return look
    return frozenset((red, black)), instrument == "ohms", tuple(positions.items()), tuple(phases.items()), frozenset(lifted)
