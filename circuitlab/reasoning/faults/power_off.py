"""A dead short is looked for with the battery off: ohms between two places, if need be with lamps out of their sockets.

Nobody is sent to a live short with a lead in the hand. Cold filaments have some tenths of an ohm and hide a touch
beside them, so where it takes that, a lamp comes out first.
"""

from ...arrangements import Hold, changed
from ...arrangements.rows import phases_of
from ...ground.errors import listed
from ...parts import Battery, Lamp
from ...solving import operating_point
from ..leads import power_off, take_reading

PLAIN = 2.0     # times what both readings may be off by; nobody tells less on the last digit of a meter


def ohms_that_tell(circuits, rows, pairs, near, blown=()):
    """Return ``(healthy, faulty, what is done before)`` for the readings in ohms that tell a fault, or None.

    Parameters
    ----------
    circuits : (Arrangement, Arrangement)
        The healthy one and the faulty one.
    rows : sequence of dict
        Rows to choose from, the handiest first. [text]
    pairs : sequence of (str, str, float)
        As in :mod:`readings`: leads, and how easy they are to reach. [text], [text], [1]
    near : set of str
        Terminals at the fault, where it is looked for once a lamp is out. [text]
    blown : iterable of str
        Fuses that the fault blows: they are pulled out in both circuits, as no meter reads through one that is gone. [text]
    """
    arrangement = circuits[0]
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    beside = [pair for pair in pairs if near & {*pair[:2]}] or pairs
    fuses = [Hold(name, arrangement.part(name).states[-1]) for name in blown]
    pulled = [f"{listed(blown)} pulled out"] if blown else []
    for out in ((), *((lamp,) for lamp in lamps), tuple(lamps)):
        bulbs = [Hold(lamp, "blown") for lamp in out]
        both = [changed(circuit, *fuses, *bulbs) for circuit in circuits]
        for positions in rows:
            phases = phases_of(arrangement)[-1]
            found = _best(both, positions, phases, beside if out else pairs)
            if found:
                lamp = [f"{out[0]} out of its socket" if len(out) == 1 else "all lamps out of their sockets"] if out else []
                done = ", ".join(pulled + lamp)
                return *(take_reading(operating_point(circuit, positions, phases), *found, "ohms") for circuit in both), done
    return None


def _best(both, positions, phases, pairs):
    """Return the two leads between which the ohms of two circuits differ most plainly, or None."""
    healthy, faulty = (operating_point(power_off(circuit), positions, phases) for circuit in both)
    if not healthy.is_settled or not faulty.is_settled:
        return None
    best, batteries = None, [{f"{one.name}:+", f"{one.name}:-"} for one in both[0].of_kind(Battery)]
    for red, black, reach in pairs:
        if {red, black} in batteries:       # nobody holds an ohmmeter across one
            continue
        before, after = healthy.ohms(red, black), faulty.ohms(red, black)
        if not _differ(before, after):
            continue
        key = before is None or after is None, -round(min(before or 1e9, after or 1e9), 1), reach
        if best is None or key > best[0]:
            best = key, (red, black)
    return best and best[1]


def _differ(before, after):
    if before is None or after is None:
        return before is not after
    return abs(before - after) > PLAIN * (0.01 * (before + after) + 0.4)
