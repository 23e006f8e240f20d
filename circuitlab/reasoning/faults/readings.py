"""The readings that would reveal a fault: two places, one row, and volts that differ most from the healthy ones."""

from dataclasses import dataclass

from ...arrangements.rows import phases_of
from ...parts import Battery, Chassis, Flasher, Fuse, Lamp, Relay, Splice
from ...solving import operating_point
from ..leads import Reading, take_reading

LEAST = 0.5     # V, a difference nobody mistakes for another battery or a long wire
_REACH = {
    Lamp: 1.0,
    Fuse: 1.0,
    Relay: 0.95,
    Flasher: 0.95,
    Battery: 0.9,
    Chassis: 0.85,
    Splice: 0.7,
}  # the kit's own guess
_OTHERWISE = 0.8


@dataclass(frozen=True)
class Telltale:
    """Where to hold a meter to tell a fault: the same two leads in the healthy circuit and in the faulty one.

    Attributes
    ----------
    healthy, faulty : Reading
    """

    healthy: Reading
    faulty: Reading

    @property
    def difference(self):
        """Between the two, a floating reading taken as a meter shows it, 0. [V]"""
        return abs(self.healthy.shown - self.faulty.shown)


def best_reading(arrangement, fault, rows):
    """Return the readings that tell a fault most plainly, or None when no voltmeter would.

    Parameters
    ----------
    arrangement : Arrangement
        The healthy one.
    fault : Fault or change
    rows : sequence of dict
        Rows to choose from, the handiest first. [text]

    Returns
    -------
    Telltale or None

    Notes
    -----
    The readings are a meter's, which is a part of the circuit. Every wired
    terminal is tried against battery minus, and every two wired terminals of a
    lamp, fuse, relay or flasher across it. Differences count in half volts;
    among equals the place easier to reach wins, then the earlier row. How easy
    a place is to reach is the kit's own guess.
    """
    broken, best = fault.apply(arrangement), None
    there = set(broken.terminals)
    pairs = [place for place in _places(arrangement) if {*place[:2]} <= there]
    for order, positions in enumerate(rows):
        for phases in phases_of(arrangement):
            before, after = (operating_point(each, positions, phases) for each in (arrangement, broken))
            if not (before.is_settled and after.is_settled):
                continue
            for red, black, reach in pairs:
                difference = abs((before.meter(red, black) or 0.0) - (after.meter(red, black) or 0.0))
                key = round(2 * difference * reach) / 2, reach, -order
                if difference >= LEAST and (best is None or key > best[0]):
                    best = key, (before, after, red, black)
    if best is None:
        return None
    before, after, red, black = best[1]
    return Telltale(take_reading(before, red, black), take_reading(after, red, black))


def _places(arrangement):
    """Return ``(red lead, black lead, ease)`` of every pair worth trying."""
    zero, found = f"{arrangement.battery.name}:-", []
    for part in arrangement.parts:
        reach = next((ease for record, ease in _REACH.items() if isinstance(part, record)), _OTHERWISE)
        ends = [
            f"{part.name}:{terminal}" for terminal in part.terminals if arrangement.wires_at[f"{part.name}:{terminal}"]
        ]
        found += [(end, zero, reach) for end in ends if end != zero]
        if isinstance(part, Lamp | Fuse):
            found += [(ends[0], ends[1], reach)] if len(ends) == 2 else []
        if isinstance(part, Relay):
            coil = f"{part.name}:86", f"{part.name}:85"
            found += [(*coil, reach)] if set(coil) <= set(ends) else []
    return tuple(found)
