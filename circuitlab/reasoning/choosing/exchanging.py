"""Another type of flasher in the place of an arrangement's own."""

from ...arrangements import RemoveWire, ReplacePart
from ...parts import Flasher
from ...parts.flasher import FREE_RUNNING, NEEDING, SENSING, THERMAL_FIXED, THERMAL_VARIABLE, THREE_PINS
from ...parts.flashers_sold import load_needing_flasher, load_sensing_flasher, thermal_flasher, variable_load_flasher

SOLD = {FREE_RUNNING: Flasher, SENSING: load_sensing_flasher, NEEDING: load_needing_flasher, THERMAL_FIXED: thermal_flasher,
        THERMAL_VARIABLE: variable_load_flasher}


def exchange(arrangement, kind):
    """Return the changes that put a flasher of a type, as it is sold, in the place of each one.

    Parameters
    ----------
    arrangement : Arrangement
    kind : str
        The type. [text]

    Returns
    -------
    tuple of change
        Wires to terminals that the new one lacks, such as 31, go first.
    """
    changes = []
    for old in arrangement.of_kind(Flasher):
        new = SOLD[kind](old.name, place=old.place, pilot=old.pilot and kind in THREE_PINS)
        gone = [wire for end in old.terminals if end not in new.terminals for wire in arrangement.wires_at[f"{old.name}:{end}"]]
        changes += [*map(RemoveWire, gone), ReplacePart(new)]
    return tuple(changes)
