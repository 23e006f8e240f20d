"""Clauses of what was told: where one calls a group fine and another names lamps of it as wrong, what each of them means.

``no trailer lights, the brake lights are fine`` means the vehicle's own brake lights: a group that is told as fine does not hold
what another clause names as wrong. Where nothing of it would be left, the group that is wrong is told without what is fine.
"""

from typing import NamedTuple

from ..rows_at_once import lamp_table


class Clause(NamedTuple):
    """The Symptoms of one clause, and whether it is of its lamps altogether, whichever the row."""

    symptoms: tuple
    is_of_all: bool = False


def reconciled(clauses, arrangement):
    """Return clauses without what contradicts another of them. [text]

    Parameters
    ----------
    clauses : sequence of Clause
    arrangement : Arrangement
    """
    table, rest = {tuple(row.positions.items()): row for row in lamp_table(arrangement).rows}, arrangement.positions()
    found = list(clauses)

    def is_right(symptom):
        return symptom.look == table[tuple(symptom.positions.items())].cells[symptom.lamp].look

    right = [number for number, clause in enumerate(found) if all(map(is_right, clause.symptoms))]
    wrong = [number for number, clause in enumerate(found) if not any(map(is_right, clause.symptoms))]
    for good in right:
        for bad in wrong:
            pairs = [(one, other) for one in found[good].symptoms for other in found[bad].symptoms if _disagree(one, other, found[bad].is_of_all, rest)]
            for number, place in ((good, 0), (bad, 1)):
                left = tuple(each for each in found[number].symptoms if each not in [pair[place] for pair in pairs])
                if left:
                    found[number] = found[number]._replace(symptoms=left)
                    break
    return found


def _disagree(good, bad, is_of_all, rest):
    """Tell whether a lamp is told as it shall be in a row in which it is told as wrong, or that is part of one such. [yes/no]"""
    moved = {name: position for name, position in good.positions.items() if position != rest[name]}
    return good.lamp == bad.lamp and (is_of_all or all(bad.positions[name] == position for name, position in moved.items()))
