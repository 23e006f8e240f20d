"""The lamp table: many rows from one sweep; the same rows as one by one.

A row that does not simply settle (a fuse blows, a relay buzzes or remembers)
is looked at alone, so that its words are those of the single row.
"""

from ..arrangements.rows import rows_of
from ..parts import Lamp
from .looks import look_of
from .not_known import rows_in_doubt
from .observing import relays_of
from .orders import phase_combinations
from .rows import Cell, LampTable, Row, row_of
from .terminals import terminal_cells

TOGETHER = 256   # rows solved at once where somebody waits for progress or may want to stop
FEW = 48         # points below which asking one after the other is quicker than setting up a sweep


def lamp_table(arrangement, progress=None):
    """Return the lamp table of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    progress : callable ``(done, total)``, optional
        Called now and then with the rows done and all rows. [1]

    Raises
    ------
    ArrangementError
        When there are more rows than are gone through (:mod:`~circuitlab.ground.limits`).

    >>> import circuitlab as cl
    >>> print(lamp_table(cl.arrangement("one-fused-lamp")))
    One lamp with its fuse and its switch
    E1, load bed
    <BLANKLINE>
    lamp switch  E1
    --------------------------
    off          dark
    on           steady 12.4 V
    --------------------------
    2 rows, every lamp keeps its rule in all of them.
    """
    return LampTable(arrangement, rows_at_once(arrangement, rows_of(arrangement), progress))


def rows_at_once(arrangement, positions, progress=None):
    """Return the rows of the lamp table for a list of positions.

    Parameters
    ----------
    arrangement : Arrangement
    positions : list of dict of str to str
        A position for every control in each. [text]
    progress : callable ``(done, total)``, optional
        Called now and then. [1]

    Returns
    -------
    tuple of Row
        Volts within 1 nV of those of :func:`~circuitlab.reasoning.row_of`, everything else the same.
    """
    if progress is None:
        return _together(arrangement, positions)
    found = []
    while len(found) < len(positions):
        found += _together(arrangement, positions[len(found):len(found) + TOGETHER])
        progress(len(found), len(positions))
    return tuple(found)


def _together(arrangement, positions):
    if arrangement.not_known:
        return tuple(rows_in_doubt(arrangement, lambda known: _together(known, positions)))
    combinations = phase_combinations(arrangement)
    if len(positions) * len(combinations) < FEW:
        return tuple(row_of(arrangement, each) for each in positions)
    from ..solving.sweeping import sweep     # numpy is loaded only when there is a batch

    relays = relays_of(arrangement)
    try:
        found = sweep(arrangement, positions, combinations)
        plain = _plain(arrangement, found, sweep(arrangement, positions, combinations, operated=relays) if relays else None)
    except ArithmeticError:  # devices whose steps need halving: one by one they settle
        return tuple(row_of(arrangement, each) for each in positions)
    cells = _cells(arrangement, found)
    phases = len(combinations)
    volts = {name: found.volts(name).reshape(found.shape[1:]).tolist() for name in arrangement.ruled_terminals}

    def terminals(number, each):
        return terminal_cells(arrangement, each, lambda name: volts[name][number],
                              lambda phase: found.point(number * phases + phase))

    return tuple(Row(each, {lamp: Cell(*own[number], arrangement.wanted(lamp, each)) for lamp, own in cells.items()},
                     "settled", "settled", (), terminals(number, each)) if plain[number] else row_of(arrangement, each)
                 for number, each in enumerate(positions))


def _plain(arrangement, found, pulled):
    """Tell for every row whether it settles, blows nothing, and ends alike with its relays operated beforehand."""
    shape, held = found.shape[1:], dict(arrangement.held)
    plain = (found.verdicts == "settled") & ~found.in_doubt
    for part in arrangement.parts:
        if part.latching and part.name not in held:
            plain &= found.state(part.name) != "blown"
        if pulled is not None and (part.moves or part.latching) and not part.swings:
            plain &= ~pulled.is_settled | (found.state(part.name) == pulled.state(part.name))
    return plain.reshape(shape).all(axis=1).tolist()


def _cells(arrangement, found):
    """Return (look, volts) of every row for each lamp by name."""
    cells = {}
    for lamp in (lamp.name for lamp in arrangement.of_kind(Lamp)):
        light, volts = (read(lamp).filled(0.0).reshape(found.shape[1:]).tolist() for read in (found.light, found.lamp_volts))
        is_misplaced = bool(arrangement.part(lamp).misplaced)
        cells[lamp] = [(look_of(phases, is_misplaced), tuple(own)) for phases, own in zip(light, volts)]
    return cells
