"""Which of the two values that a meter on MIN/MAX keeps is that of the phase a reading asks for."""

from dataclasses import replace

import numpy as np

DIGIT = 0.02        # V, nearer than that two phases read alike: two of the last digits a hand meter shows over 6 V


def held_by(solved, offer, weights=None):
    """Return ``"MAX"``, ``"MIN"``, or an empty text where nobody can tell: phases read alike, float, or circuits disagree. [text]

    Asked are the sound circuit and the likeliest cause; where one of them reads alike in all phases, the other alone.

    Parameters
    ----------
    solved : Solved
    offer : Offer
        A reading of volts. Without phases nothing is to be kept.
    weights : ndarray of float, shape (candidates,), optional
        What each candidate is worth; without them the sound circuit alone is asked. [1]
    """
    if not offer.phases or offer.instrument != "meter":
        return ""
    volts, floats, phases = solved.weighing.expected(replace(offer, phases={}))
    asked = [phases.index(number) for number in solved.weighing.phases_meant(offer.phases)]
    other = [place for place in range(len(phases)) if place not in asked]
    circuits = [0] if weights is None else [0, int(np.argmax(weights)) + 1]
    if floats[circuits].any() or not solved.settled[circuits, solved.row(offer.positions)].all() or not other:
        return ""
    said = {_end(volts[number, asked], volts[number, other]) for number in circuits} - {None}
    return said.pop() if len(said) == 1 else ""


def _end(asked, other):
    """Return which end of what is read belongs to the phases asked for: "" between the others, None where all read alike."""
    if np.ptp([*asked, *other]) < DIGIT:
        return None
    return "MAX" if asked.min() > other.max() else "MIN" if asked.max() < other.min() else ""
