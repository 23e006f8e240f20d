"""What a flasher really switches in a circuit, counted in lamps as a shop counts them: what its own data say may be another."""

from dataclasses import dataclass

from ..arrangements.rows import moved
from ..parts import Flasher, Role
from ..parts.bulb_names import filaments_of
from ..parts.flasher import LAMP_OUT, SENSING
from ..solving import operating_point
from .rows_at_once import lamp_table

ALIKE = 1.0         # W, within which two rows load it alike


@dataclass(frozen=True)
class FlasherLoad:
    """What one flasher switches at its rated volts.

    Attributes
    ----------
    watts, most_watts : float
        The most while the control below is at rest, and the most of all; the same where no control adds lamps to others. [W]
    bulb_watts : float
        What stands on each bulb that flashes; 0 where they differ, or are none. [W]
    added_by : str
        The control and its position that adds lamps, such as ``hazard on``; else empty. [text]
    """

    watts: float
    most_watts: float
    bulb_watts: float
    added_by: str

    @property
    def count(self):
        """How many lamps of one sort it switches while that control is at rest; 0 where they differ. [1]"""
        return round(self.watts / self.bulb_watts) if self.bulb_watts else 0

    @property
    def watts_one_out(self):
        """What is left of that with one lamp out; nothing where they differ. [W]"""
        return self.watts * (self.count - 1) / self.count if self.count else 0.0


def flasher_load(flasher, table):
    """Return the FlasherLoad of a flasher, or None where it switches nothing in any row that settles.

    Parameters
    ----------
    flasher : Flasher
    table : LampTable
        Of its arrangement.
    """
    arrangement, order = table.arrangement, flasher.first(Role.CONTACT)[0]
    rest, loads = arrangement.positions(), []
    for row in (row for row in table.rows if row.verdict == "settled"):
        point = operating_point(arrangement, row.positions, "on")
        loads.append((abs(point.current(flasher.name, order)) * flasher.volts, row))
    most = max((watts for watts, _ in loads), default=0.0)
    if most < ALIKE:
        return None
    _, row = min((each for each in loads if each[0] > most - ALIKE), key=lambda each: moved(each[1].positions, rest))
    without = {name: max((watts for watts, other in loads if other.positions[name] == rest[name]), default=0.0)
               for name, position in row.positions.items() if position != rest[name]}
    added = max((name for name, watts in without.items() if ALIKE < watts < most - ALIKE), key=without.get, default="")
    return FlasherLoad(without.get(added, most), most, _bulb_watts(arrangement, row), f"{added} {row.positions[added]}" if added else "")


def deaf_flashers(arrangement, table=None):
    """Return each flasher with lamp-out sensing, with its FlasherLoad, that one lamp out leaves with more than it takes for a load with a lamp out.

    Nothing is said where lamps differ. Source of that share: a chip's sheet. Its LampTable is worked out unless given.
    """
    sensing = [flasher for flasher in arrangement.of_kind(Flasher) if flasher.type == SENSING]
    table = table or (lamp_table(arrangement) if sensing else None)
    loads = [(flasher, flasher_load(flasher, table)) for flasher in sensing]
    return tuple((flasher, load) for flasher, load in loads if load and load.watts_one_out >= LAMP_OUT * flasher.rated_load)


def _bulb_watts(arrangement, row):
    marked = {max((each.rated_watts or 0.0 for each in filaments_of(arrangement.part(lamp).bulb)), default=0.0)
              for lamp, cell in row.cells.items() if "flashing" in cell.look}
    return marked.pop() if len(marked) == 1 else 0.0
