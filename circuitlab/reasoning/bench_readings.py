"""What a meter shall show at every wire in two telling rows, so that whoever builds can test on the bench.

The rows are everything at rest, and the one in which most wires read otherwise.
Wherever a flasher swings both its phases are read.
"""

from dataclasses import dataclass

from ..arrangements.rows import phases_of, rows_of
from ..solving import operating_point
from .leads import take_reading

MOST_TRIED = 256     # rows looked at for the telling one; of more, that many evenly apart
SWING = 0.5          # V, from where on both phases of a flasher are told: less is the other lamps' share of the wires
APART = 1.0          # V, by which a wire reads otherwise


@dataclass(frozen=True)
class BenchReadings:
    """Readings to expect on the bench.

    Attributes
    ----------
    rows : tuple of dict of str to str
        Positions of every control: at rest, then the telling row, where there is one. [text]
    red : dict of str to str
        For every wire the terminal under the red lead: its first end that is not under the black one. [text]
    readings : dict of str to tuple of tuple of Reading
        For every wire and row what a 10 megohm meter shows: once, or with the flasher's output off and on where that differs.
    """

    rows: tuple
    red: dict
    readings: dict

    @property
    def black(self):
        """Where the black lead stays. [text]"""
        return next((taken[0][0].black for taken in self.readings.values()), "")

    @property
    def ghosts(self):
        """``{wire: volts}`` of what is dead and may be a ghost where blocked diodes leak most. [text], [V]"""
        return {wire: reading.highest for wire, taken in self.readings.items() for row in taken for reading in row
                if reading.highest is not None}


def bench_readings(arrangement):
    """Return the readings to expect at every wire of an arrangement, touches left out.

    Parameters
    ----------
    arrangement : Arrangement

    Returns
    -------
    BenchReadings
        Without rows where the circuit at rest has no steady volts.
    """
    red = {wire.name: wire.start if wire.start != arrangement.zero else wire.end for wire in arrangement.wires
           if not wire.is_touch and wire.start != wire.end}
    at_rest = _points(arrangement, arrangement.positions())
    if not at_rest:
        return BenchReadings((), red, {})
    every, best, chosen = rows_of(arrangement), (0, 0), None
    for positions in every[::-(-len(every) // MOST_TRIED)]:
        points = _points(arrangement, positions)
        told = sum(any(_differ(before.volts(end), after.volts(end)) for before, after in zip(at_rest, points)) for end in red.values())
        moved = sum(positions[name] != rest for name, rest in arrangement.positions().items())
        if points and told and (told, -moved) > best:
            best, chosen = (told, -moved), points
    taken = [at_rest, chosen] if chosen else [at_rest]
    readings = {wire: tuple(_read(points, end, arrangement) for points in taken) for wire, end in red.items()}
    return BenchReadings(tuple(points[0].positions for points in taken), red, readings)


def _points(arrangement, positions):
    """Return the points of a row with every flasher off and on, or nothing where one has no steady volts."""
    every = phases_of(arrangement)
    points = [operating_point(arrangement, positions, phases) for phases in (every[-1], every[0])]
    return points if all(point.verdict == "settled" for point in points) else []


def _differ(before, after):
    return (before is None) != (after is None) or abs((before or 0.0) - (after or 0.0)) >= APART


def _read(points, red, arrangement):
    """Return the readings of a row: one, or two where the flasher makes a difference that a meter shows."""
    off, on = (take_reading(point, red, arrangement.zero) for point in points)
    return (on,) if abs(off.shown - on.shown) < SWING and off.word == on.word else (off, on)
