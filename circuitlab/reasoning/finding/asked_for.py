"""A value typed alone, as the answer to the reading that was asked for, made into a whole sentence."""

import re

from ...arrangements.complaints import AS_IT_SHALL, BRIGHTNESS, LOOKS, SAME
from ...arrangements.sentences import quoted
from .solved import solved
from .told import besides_words, taken_words, when_words
from .weighing import UNSTEADY
from ..leads import Reading
from .seen import MISSING, NONE_THERE, STATES

AWAY = ("cannot get at this one", "i cannot get at this one", "cannot get at it")       # of the red lead's place, or what is to be looked at
JUMPS = ("jumps", "display jumps", UNSTEADY)
_VALUE = re.compile(r"-?[\d.,]+(?:e-?\d+)?\s*(?:m|k|M)?(?:V|v|volts?|ohms?|Ohms?)?")


def as_sentence(said, offer, arrangement):
    """Return what was typed as a whole sentence; one that is whole already comes back as it is. [text]

    Parameters
    ----------
    said : str
        Such as ``"0.9"``, ``"no way"``, ``"blown"`` or ``"0.9, not sure"``. [text]
    offer : Offer
        What was asked for.
    arrangement : Arrangement
    """
    first, comma, rest = said.strip().partition(", ")
    tail = f"{comma}{rest}"
    if first.lower() in AWAY:
        return f"cannot get at {quoted(offer.look or offer.red)}"
    if offer.instrument == "watch":
        sound = offer.sound or solved(arrangement).weighing.healthy_look(offer.look, offer.positions)
        look = sound if first.lower() in AS_IT_SHALL else SAME.get(first.lower(), first.lower())
        return f"{quoted(offer.look)} {look}{when_words(arrangement, offer.positions)}{tail}" if look in LOOKS else said
    if offer.instrument == "look":
        state = MISSING if first.lower() in NONE_THERE else first
        return f"{quoted(offer.look)} {state}{tail}" if state in STATES else said
    if first.lower() in JUMPS and offer.instrument == "meter":
        return f"{_words(offer, arrangement, 'display jumps')}{tail}"
    if first in BRIGHTNESS and offer.instrument == "meter":
        return f"{_words(offer, arrangement, f'test lamp {first}')}{tail}"
    if first in ("no way", "open") or _VALUE.fullmatch(first):
        unit = "" if re.search(r"[A-Za-z]$", first) else " ohm" if offer.instrument == "ohms" else " V"
        return f"{_words(offer, arrangement, first + unit)}{tail}"
    return said


def _words(offer, arrangement, value):
    instrument = "ohms" if offer.instrument == "ohms" else "meter"
    said = taken_words(Reading(offer.red, offer.black, instrument, offer.positions), arrangement, value)
    return ", ".join([said, *besides_words(offer.phases, offer.lifted, offer.out)])
