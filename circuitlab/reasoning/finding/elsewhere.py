"""Where nothing on the list agrees with a symptom: the row, with more controls moved, in which it is what the sound circuit shows."""

from typing import NamedTuple

from ...arrangements.rows import moved
from .told import when_words


class Elsewhere(NamedTuple):
    """A symptom that is no fault in another row: its sentence, that row in words, and which controls are moved there besides. [text]"""

    told: str
    row: str
    besides: tuple


def elsewhere(arrangement, weighing, symptoms):
    """Return for each symptom the Elsewhere with fewest controls moved; none where it is what no such row shows.

    Parameters
    ----------
    arrangement : Arrangement
    weighing : Weighing
    symptoms : sequence of Symptom
    """
    found, rest = [], arrangement.positions()
    for symptom in symptoms:
        kept = {name: position for name, position in symptom.positions.items() if position != rest[name]}
        rows = [row for row in weighing.solved.rows if all(row[name] == position for name, position in kept.items())
                and row != symptom.positions and weighing.healthy_look(symptom.lamp, row) == symptom.look]
        if rows and weighing.healthy_look(symptom.lamp, symptom.positions) != symptom.look:
            row = min(rows, key=lambda each: moved(each, rest))
            besides = tuple(name for name in row if row[name] != symptom.positions[name])
            found.append(Elsewhere(str(symptom), when_words(arrangement, row).strip(), besides))
    return tuple(found)
