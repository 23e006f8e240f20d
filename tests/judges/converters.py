"""A converter's channel written down anew, from what its page says: 20 kohm for each signal, 7.2 kohm for its electronics."""

from typing import NamedTuple

SIGNAL, ELECTRONICS = 20e3, 7200.0     # ohm


class Way(NamedTuple):
    """The curve of a channel that is fed by its signals, read as a diode's record is."""

    name: str
    forward_voltage: float
    resistance: float
    steep: float
    kind: str = "diode"
    forward_current: float = 2.0      # A
    leakage: float = 50e-9      # A


def inside(part, state):
    """Yield (order, start, end, ohm, volt, part with a curve) of what conducts inside a channel, named as ``K11.Lt``."""
    own = part.name.rpartition(".")[2]
    signals = ["58"] if own == "58t" else ["54", own[0]]
    closed, feeds = state in ("on", "shorted"), ["30"] if part.type == "powered" else signals
    for order, feed in enumerate(feeds):
        if closed and part.type == "powered":
            yield order, feed, own, part.loses / 2.0, 0.0, None
        elif closed:
            yield order, feed, own, 0.0, 0.0, Way(part.name, part.loses, part.loses / 100, 0.045 * max(1.0, part.loses / 0.9))
    for order, signal in enumerate(signals, len(feeds)):
        yield order, signal, "31", SIGNAL, 0.0, None
    if part.type == "powered":
        yield len(feeds) + len(signals), "30", "31", ELECTRONICS, 0.0, None


def reaction(part, state, amps):
    """Return what state a channel goes to with these currents, by branch. [A]"""
    if state in ("dead", "shorted"):
        return state
    powered, count = part.type == "powered", 1 if part.name.endswith(".58t") else 2
    feeds = 1 if powered else count
    told = [amps.get((part.name, feeds + order), 0.0) * SIGNAL for order in range(count)]
    supply = amps.get((part.name, feeds + count), 0.0) * ELECTRONICS if powered else max(told)
    ease = 0.6 if state == "on" else 1.0
    there = [volts >= 0.5 * ease * part.volts for volts in told]
    wanted = there[0] if count == 1 else there[0] != there[1] if part.logic == "exclusive" else any(there)
    if supply < 0.65 * ease * part.volts or not wanted:
        return "off"
    load = sum(amps.get((part.name, order), 0.0) for order in range(feeds))
    too_much = powered and state == "on" and load > 1.25 * part.most
    return "cut off" if too_much or state == "cut off" else "on"
