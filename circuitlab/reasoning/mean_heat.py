"""What resistors turn into heat on average: behind a flasher they cool between two flashes."""

from ..parts.overheating import resistor_words


def share_of_flashes(arrangement):
    """Return the share of time in which flashers are on, of the one that is on for most; 1 without any. [1]"""
    return max((part.on_share for part in arrangement.parts if part.swings and part.on_state == "on"), default=1.0)


def resistors_too_hot(arrangement, currents):
    """Yield ``(words, positions)`` for each resistor that gets too hot on average in some row, of the row where it is most. [text]

    Parameters
    ----------
    arrangement : Arrangement
    currents : callable ``(part, branch)``
        For each row ``(positions, amps with all flashers on, amps with all off)``. [A]
    """
    share = share_of_flashes(arrangement)
    for part in arrangement.parts:
        for branch, ohms, most in part.resistors:
            rows = [] if most == float("inf") or ohms == float("inf") else currents(part.name, branch)
            watts = [(ohms * (share * on**2 + (1 - share) * off**2), where) for where, on, off in rows]
            worst, where = max(watts, key=lambda each: each[0], default=(0.0, {}))
            words = resistor_words(part.name, worst, most)
            if words:
                yield words, where
