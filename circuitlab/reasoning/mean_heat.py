"""What resistors, bad joints and places that touch turn into heat on average: behind a flasher they cool between two flashes."""

from math import inf

from ..parts.overheating import effective_amps, resistor_words


def share_of_flashes(arrangement):
    """Return the share of time in which flashers are on, of the one that is on for most; 1 without any. [1]"""
    return max((part.on_share for part in arrangement.parts if part.swings and part.on_state == "on"), default=1.0)


def mean_amps(arrangement, on, off):
    """Return the current that heats as much as one with flashers on and another with all off, by turns: the effective one. [A]"""
    return effective_amps(share_of_flashes(arrangement), on, off)


def too_hot(arrangement, currents):
    """Yield ``(words, positions)`` for each resistor, joint and place that touches that gets too hot on average, of its worst row. [text]

    Parameters
    ----------
    arrangement : Arrangement
    currents : callable ``(part, branch)``
        For each row ``(positions, amps with all flashers on, amps with all off)``. [A]
    """
    def worst(name, branch):
        rows = ((mean_amps(arrangement, on, off), where) for where, on, off in currents(name, branch))
        return max(rows, key=lambda each: each[0], default=(0.0, {}))

    for part in arrangement.parts:
        for branch, ohms, most in part.resistors:
            if inf not in (most, ohms):
                amps, where = worst(part.name, branch)
                yield from ((words, where) for words in filter(None, [resistor_words(part.name, ohms * amps**2, most)]))
    for wire in arrangement.wires:
        if wire.may_burn(sum(arrangement.supplies)):
            amps, where = worst(wire.name, 0)
            yield from ((words, where) for words in wire.burning(amps))
