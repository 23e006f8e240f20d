"""What of all that was told the search for the next reading goes on from."""

from typing import NamedTuple

from ...parts import Connector
from .offer import key_of, watch_key
from .seen import blown_fuse


class SoFar(NamedTuple):
    """How far a search is.

    Attributes
    ----------
    efforts : dict of str to float
        The table of efforts. [min]
    away : frozenset of str
        Terminals and parts that nobody can get at. [text]
    rows : tuple of dict of str to str
        Those in which something was told. [text]
    done : frozenset
        Keys of what was looked at or read before.
    is_calibrated : bool
        Whether the battery's own volts were read. [yes/no]
    is_off : bool
        Whether the battery is off from the reading before. [yes/no]
    out : frozenset of str
        Lamps and fuses out and plugs parted from that reading. [text]
    gone : frozenset of str
        Fuses seen blown, behind which no ohms were read yet with the battery off. [text]
    """

    efforts: dict
    away: frozenset
    rows: tuple
    done: frozenset
    is_calibrated: bool
    is_off: bool
    out: frozenset
    gone: frozenset


def so_far(arrangement, efforts, symptoms, taken, away):
    """Return the SoFar of what was told; ``efforts``: the whole table."""
    rows = (*(each.positions for each in symptoms), *(each.reading.positions for each in taken if each.reading))
    done = frozenset([*(_key(each, arrangement) for each in taken), *(watch_key(each.lamp, each.positions) for each in symptoms)])
    cold = [each for each in taken if each.reading and each.reading.instrument == "ohms"]
    blown = {blown_fuse(each, arrangement) for each in taken} - {""}
    poles, is_off = {*arrangement.poles}, bool(cold) and taken[-1] is cold[-1]
    return SoFar(efforts, frozenset(away), rows, done, any(each.reading and {each.reading.red, each.reading.black} == poles for each in taken),
                 is_off, frozenset(cold[-1].out if is_off else ()), frozenset(blown - {name for each in cold for name in each.out}))


def _key(taken, arrangement):
    """Return the key of a look or reading, as of an offer."""
    reading = taken.reading
    if reading is None:
        return taken.seen[0]
    parted = [name for name in taken.out if isinstance(arrangement.part(name), Connector)]
    return key_of(reading.red, reading.black, reading.instrument, reading.positions, reading.phases, (*taken.lifted, *parted), "")
