"""What hangs on wires and parts that are not known: looks that differ between the ways things may be, and volts likewise."""

from dataclasses import replace

from ..arrangements.not_known import NOT_KNOWN, possibilities
from ..ground.errors import listed
from ..ground.quantities import say
from ..solving import operating_point

APART = 0.3      # V, from which on two readings are told apart; a lamp more or less on the same battery moves them by less: the kit's own


def rows_in_doubt(arrangement, rows_for):
    """Return rows in which every look is told as not known that hangs on what is not known.

    Parameters
    ----------
    arrangement : Arrangement
        With something in it that is not known.
    rows_for : callable ``(arrangement)``
        Gives the same rows for any of the ways things may be.

    Returns
    -------
    list of Row
    """
    ways = {gone: rows_for(known) for gone, known in possibilities(arrangement).items()}
    return [_in_doubt(row, {gone: rows[number] for gone, rows in ways.items()}) for number, row in enumerate(ways[()])]


def _in_doubt(row, ways):
    """Return a row as described with the looks that differ in one of the ways told as not known."""
    cells, terminals, hangs = {}, {}, {}
    for name, cell in row.judged.items():
        others = _others(_look(row, name), {gone: _look(way, name) for gone, way in ways.items()})
        into = cells if name in row.cells else terminals
        if others:
            hangs[name] = f"{_look(row, name)}, or {others}"
            into[name] = replace(cell, look=NOT_KNOWN, volts=())
        else:
            steady = all(_close(cell.volts, way.judged[name].volts) for way in ways.values())
            into[name] = cell if steady else replace(cell, volts=())
    blown = _others(_blows(row), {gone: _blows(way) for gone, way in ways.items()})
    said = [f"{name} is {words}" for name, words in hangs.items()] + [f"{_blows(row)}, or {blown}"] * bool(blown)
    return replace(row, cells=cells, terminals=terminals, hangs=hangs, sentence="; ".join(said) or row.sentence)


def _look(row, name):
    return row.judged[name].look if row.verdict == "settled" and name in row.judged else row.verdict


def _blows(row):
    return f"{listed(row.blown)} blown" if row.blown else "no fuse blown"


def _others(look, looks):
    """Return the looks other than this one, each with the first way that has it: ``dark without W5``. [text]"""
    first = {}
    for gone, other in looks.items():
        if other != look:
            first.setdefault(other, gone)
    return ", or ".join(f"{other} without {' and '.join(gone)}" for other, gone in first.items())


def _close(volts, others):
    return len(volts) == len(others) and all(abs(one - other) < APART for one, other in zip(volts, others))


def otherwise_words(point, terminal, against=None):
    """Return in a sentence what else a meter may show at a terminal, as something is not known; nothing where it makes no difference.

    Parameters
    ----------
    point : OperatingPoint
        As described.
    terminal : str
        Of the red lead. [text]
    against : str, optional
        Of the black one; the battery's pole that volts are counted from unless given. [text]

    >>> import circuitlab as cl
    >>> one = cl.changed(cl.arrangement("one-fused-lamp"), cl.changes.MarkNotKnown("W3"))
    >>> otherwise_words(cl.operating_point(one, {"lamp switch": "on"}), "E1:1")
    'Not known: 12.4 V, or nothing without W3.'
    """
    arrangement, against = point.arrangement, against or point.arrangement.zero
    if not arrangement.not_known:
        return ""
    seen = {gone: _between(operating_point(known, point.positions, point.phases), terminal, against)
            for gone, known in possibilities(arrangement).items()}
    first = seen[()]
    others = _others(_shown(first), {gone: _shown(first if _alike(first, other) else other) for gone, other in seen.items()})
    return f"Not known: {_shown(first)}, or {others}." if others else ""


def _between(point, red, black):
    """Return what a meter shows between two terminals, None where one floats; the verdict of what does not settle. [V] or [text]"""
    return point.meter(red, black) if point.is_settled else point.verdict


def _alike(one, other):
    numbers = [each for each in (one, other) if isinstance(each, float)]
    return abs(numbers[0] - numbers[1]) < APART if len(numbers) == 2 else _shown(one) == _shown(other)


def _shown(seen):
    """Return what is seen in words, no volts worth telling as nothing. [text]"""
    if isinstance(seen, str):
        return seen
    return "nothing" if seen is None or abs(seen) < APART else say(seen, "V")
