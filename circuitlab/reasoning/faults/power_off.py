"""A dead short is looked for with the battery off: ohms between two places, if need be with lamps out of their sockets.

Nobody is sent to a live short with a lead in the hand. Cold filaments have some tenths of an ohm and hide a touch
beside them, so where it takes that, a lamp comes out first. Coils are sold as so many ohms within some percent, and
electronics have no ohms of their own at an ohmmeter's volts: a difference that these blur tells nothing.
"""

from ...arrangements import Hold
from ...ground.errors import listed
from ...parts import Battery, Lamp

FAR = 2000.0    # ohm, read through junctions and electronics: another meter shows another value, or no way
PLAIN = 2.0     # times what both readings may be off by; nobody tells less on the last digit of a meter


def ohms_that_tell(circuits, rows, pairs, near, blown=(), others=(), in_place=False):
    """Return ``(healthy, faulty, what is done before, what is read alike)`` for the ohms that tell a fault, or None.

    Parameters
    ----------
    circuits : (Probed, Probed)
        The healthy one and the faulty one.
    rows : sequence of dict
        Rows to choose from, the handiest first. [text]
    pairs : sequence of (str, str, float)
        As in :mod:`readings`: leads, and how easy they are to reach. [text], [text], [1]
    near : set of str
        Terminals at the fault, where it is looked for once a lamp is out. [text]
    blown : iterable of str
        Fuses that the fault blows: they are pulled out in both circuits, as no meter reads through one that is gone. [text]
    others : sequence of (Fault, Probed)
        Those it is to be told from.
    in_place : bool
        Whether all lamps stay in. [yes/no]
    """
    arrangement = circuits[0].arrangement
    sockets = {}
    for lamp in arrangement.of_kind(Lamp):
        sockets.setdefault(lamp.seat or lamp.name, []).append(lamp.name)
    beside = [pair for pair in pairs if near & {*pair[:2]}] or pairs
    fuses = tuple(Hold(name, arrangement.part(name).states[-1]) for name in blown)
    pulled = [f"{listed(blown)} pulled out"] if blown else []
    for out in ((), *(() if in_place else (*((each,) for each in sockets), tuple(sockets)))):
        made = (*fuses, *(Hold(lamp, "blown") for each in out for lamp in sockets[each]))
        for positions in rows:
            found = _best(circuits, positions, made, beside if out else pairs, near, others)
            if found:
                leads, alike = found
                lamp = [f"{out[0]} out of its socket" if len(out) == 1 else "all lamps out of their sockets"] if out else []
                return (*(each.reading(*leads, positions, -1, made, "ohms") for each in circuits), ", ".join(pulled + lamp),
                        alike)
    return None


def _best(circuits, positions, made, pairs, near, others):
    """Return the leads between which the ohms differ most plainly and tell most others apart, and who is alike; or None."""
    batteries, found = [{f"{one.name}:+", f"{one.name}:-"} for one in circuits[0].arrangement.of_kind(Battery)], []
    for red, black, reach in pairs:
        if {red, black} in batteries:       # nobody holds an ohmmeter across one
            continue
        ohms = [circuit.ohms(red, black, positions, made) for circuit in circuits]
        if () not in ohms and _differ(*ohms) and _differ(*ohms, blurs=sum(
                circuit.blur(red, black, positions, made) for circuit in circuits)):
            (before,), (after,) = ohms
            is_way = before is None or after is None
            found.append(((is_way, -round(min(before or 1e9, after or 1e9), 1), bool(near & {red, black}), reach), (red, black)))
    best = None
    for _, leads in sorted(found, key=lambda each: each[0], reverse=True):
        now = circuits[1].ohms(*leads, positions, made)
        read = [(other, probed.ohms(*leads, positions, made)) for other, probed in others]
        blurs = 2 * circuits[1].blur(*leads, positions, made)       # the other's is about the same
        alike = tuple(other.words for other, ohms in read if not (ohms and _differ(now, ohms, blurs)))
        best = min(best, (leads, alike), key=lambda each: len(each[1])) if best else (leads, alike)
        if not alike:
            break
    return best


def _differ(before, after, blurs=0.0):
    (before,), (after,) = before, after
    if before is None or after is None:
        return before is not after and (before or after) < FAR
    return not before > FAR < after and abs(before - after) > PLAIN * (0.01 * (before + after) + 0.4) + blurs
