"""Rows: every combination of control positions, counted before any of them is built."""

from itertools import product
from math import prod

from ..ground.errors import ArrangementError
from ..ground.limits import MOST_PHASES, MOST_ROWS

SECONDS = 0.003   # for one row of a middling arrangement, when nothing can be shared


def count_rows(arrangement):
    """Return how many rows an arrangement has. [1]"""
    return prod(len(control.positions) for control in arrangement.controls)


def moved(row, rest):
    """Return how many controls a row has elsewhere than at rest. [1]

    >>> moved({"key": "on", "brake pedal": "released"}, {"key": "off", "brake pedal": "released"})
    1
    """
    return sum(position != rest[name] for name, position in row.items())


def check_rows(arrangement):
    """Raise ArrangementError when an arrangement has more rows, or more phases in each, than are gone through."""
    check_number(count_rows(arrangement), f"'{arrangement.title}' has", f"from {len(arrangement.controls)} controls")
    check_phases(arrangement)


def check_number(rows, who, which, done="gone through"):
    """Raise the one error for too many rows; ``who`` has them, ``which`` are they, what is to be ``done`` with all."""
    if rows > MOST_ROWS:
        hours = rows * SECONDS / 3600
        raise ArrangementError(f"{who} {rows} rows {which}; {MOST_ROWS} are {done} at most, as this many would take some "
                               f"{hours:.1f} hours. Leave out controls that do not matter here, ask one row, such as "
                               "row_of(arrangement, positions), or a sample, such as prove(arrangement, sample=1000).",
                               rows=rows, most=MOST_ROWS)


def check_phases(arrangement):
    """Raise ArrangementError when so many parts go on and off by themselves that one row has too many phases."""
    swinging = [part.name for part in arrangement.parts if part.swings]
    if 2 ** len(swinging) > MOST_PHASES:
        raise ArrangementError(f"'{arrangement.title}' has {len(swinging)} flashers and breakers, so {2 ** len(swinging)} "
                               f"combinations of on and off in every row; up to {MOST_PHASES} are gone through. Leave out "
                               f"all but {MOST_PHASES.bit_length() - 1} of them.", most=MOST_PHASES)


def rows_of(arrangement):
    """Return the positions of every row, first control slowest, rest position first. [text]

    Raises
    ------
    ArrangementError
        As :func:`check_rows` does, before anything is built.
    """
    check_rows(arrangement)
    names = [control.name for control in arrangement.controls]
    return tuple(dict(zip(names, positions)) for positions in product(*(each.positions for each in arrangement.controls)))


def row_numbered(arrangement, number):
    """Return the positions of a row by its number in :func:`rows_of`, from 0, without building the others. [text]"""
    where = {}
    for control in reversed(arrangement.controls):
        number, place = divmod(number, len(control.positions))
        where[control.name] = control.positions[place]
    return {control.name: where[control.name] for control in arrangement.controls}


def phases_of(arrangement):
    """Return every combination of flasher and breaker phases, all on first. [text]

    Raises
    ------
    ArrangementError
        As :func:`check_phases` does.
    """
    check_phases(arrangement)
    swinging = [part.name for part in arrangement.parts if part.swings]
    return tuple(dict(zip(swinging, phases)) for phases in product(("on", "off"), repeat=len(swinging)))
