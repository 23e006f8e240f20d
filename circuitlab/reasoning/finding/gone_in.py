"""In which rows a fuse goes, beside the row it is said to have gone in.

``F1 blown when braking`` means every row with the pedal held. A short on what is live in these rows alone says it best; one that is live
before the pedal is touched would have taken the fuse then; a fuse that died of age went in no row of its own.
"""

import numpy as np

from .told import when_words

BY_CHANCE = 0.02    # that a fuse which was old, or was blown in another row, is said to have gone in this one: the kit's own guess
WITH_MORE = 0.3     # the same of one that goes only where more is moved as well: the kit's own guess
BEFORE_IT = 0.1     # the same of one that goes in a row through which one comes to this one: the kit's own guess
ELSEWHERE = 0.6     # the same of one that goes in this row, and in others through which nobody need come: the kit's own guess


def said_to_go(solved, name, went):
    """Return how likely somebody says of a fuse that it went in a row, with each candidate, shape (candidates,), the healthy circuit first. [1]

    Parameters
    ----------
    solved : Solved
    name : str
        Of the fuse; of anything else all are alike. [text]
    went : dict of str to str
        The row. [text]
    """
    goes = solved.goes.get(name)
    if goes is None:
        return np.ones(len(solved.variants))
    own, alike, before = _rows(solved, went)
    others = goes[:, ~alike & ~before].any(axis=1)
    said = np.where(goes[:, own], np.where(others, ELSEWHERE, 1.0), np.where(goes[:, alike].any(axis=1), WITH_MORE, BY_CHANCE))
    return np.where(goes[:, before].any(axis=1), np.minimum(said, BEFORE_IT), said)


def going_words(solved, name, went, number):
    """Return in which row a candidate makes a fuse go, where it is said of another one. [text]"""
    own, alike, before = _rows(solved, went)
    goes = solved.goes[name][number] if name in solved.goes else np.zeros(len(alike), bool)
    if not goes.any():
        return "it gone by itself, whatever the row"
    if (goes & before).any():
        return f"it gone before that{_first(solved, goes & before)}"
    return f"it to go{_first(solved, goes)}"


def _rows(solved, went):
    """Return the number of a row, which rows have the same controls moved, and through which one comes to it: with some of these moved. [1], [yes/no]"""
    rest = solved.arrangement.positions()
    meant = {name: position for name, position in went.items() if position != rest[name]}
    alike = np.array([meant.items() <= row.items() for row in solved.rows])
    ways = [{name: row[name] for name in row if row[name] != rest[name]} for row in solved.rows]
    return solved.row(went), alike, np.array([way.items() < meant.items() for way in ways])


def _first(solved, which):
    """Return the row with fewest controls moved of some, as the end of a sentence. [text]"""
    rest = solved.arrangement.positions()
    row = min((row for row, is_one in zip(solved.rows, which) if is_one), key=lambda row: sum(row[name] != rest[name] for name in row))
    return when_words(solved.arrangement, row) or ", with everything at rest"
