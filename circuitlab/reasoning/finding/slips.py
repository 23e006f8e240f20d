"""Where things told contradict each other: the one that fits worst beside the others, and the slip that would explain it."""

from dataclasses import dataclass, replace
from math import log

from ..leads import Reading
from .agreeing import Agreement
from .seen import blown_fuse
from .told import Symptom, when_words

NEAR = 3.0      # times its tolerance, within which a slip explains a reading
FAR_MORE = 20.0     # times as likely as told, from which on a slip is named
ROW = "another row"     # in which a fuse went
LEAST = 0.15    # V, A or ohm, the least tolerance of an explanation


@dataclass(frozen=True)
class Slip:
    """The thing told that fits worst.

    Attributes
    ----------
    told : Symptom or Taken
    expected : float, str or None
        What the likeliest cause makes one expect of it. [text] or a unit
    slip : str
        What would explain it, in words; empty where nothing the kit knows does. [text]
    """

    told: object
    expected: object
    slip: str


def worst_fit(weighing, found, again, symptoms, taken):
    """Return the Slip, or None where all that was told goes together.

    Parameters
    ----------
    weighing : Weighing
    found : Posterior
        Of all that was told.
    again : callable ``(symptoms, taken)``
        Returns the Posterior of less.
    symptoms, taken : sequence
    """
    things = (*symptoms, *taken)
    best = int(found.weights.argmax())
    beside = Agreement(weighing, found, best + 1, symptoms)
    bad = [place for place, each in enumerate(things) if not beside.of(each, found.fit[place, best])[1]]
    if len(things) < 2 or not bad:
        return None
    doubtful = [place for place, each in enumerate(things) if not blown_fuse(each, weighing.solved.arrangement)]      # whoever doubts a blown fuse puts the next one onto a short
    rows = [place for place in bad if place not in doubtful and things[place].went]
    bad = [place for place in bad if place in doubtful]
    if rows and not bad:        # that it is blown is not doubted, in which row it went is
        each, goes = things[rows[0]], weighing.solved.goes.get(things[rows[0]].seen[0])
        return Slip(each, beside.of(each, found.fit[rows[0], best])[0], ROW if goes is not None and goes[best + 1].any() else "")
    tried = []
    for place in bad or doubtful:
        rest = [each for number, each in enumerate(things) if number != place]
        less = again([each for each in rest if isinstance(each, Symptom)], [each for each in rest if not isinstance(each, Symptom)])
        expected, agrees = _beside_the_rest(weighing, less, things[place], symptoms, found.fit[place])
        if not agrees:
            tried.append((less.evidence, -place, less, expected))
    if not tried:
        return None
    _, place, less, expected = max(tried, key=lambda each: each[:2])
    each, rest = things[-place], [one for one in taken if one is not things[-place]]
    slip = _explained(weighing, each, int(less.weights.argmax()) + 1) or _misread(each, lambda other: again(symptoms, [*rest, other]).evidence)
    return Slip(each, expected, slip)


def _beside_the_rest(weighing, less, told, symptoms, fit):
    """Return what the rest makes one expect of a thing told, and whether that agrees with it. [yes/no]"""
    likeliest = int(less.weights.argmax())
    return Agreement(weighing, less, likeliest + 1, symptoms).of(told, fit[likeliest])


def _misread(each, evidence):
    """Return the slip of hand or eye that explains far more than the reading as it was told, in words; empty for none. [text]"""
    reading = getattr(each, "reading", None)
    if reading is None or not reading.value or reading.instrument not in ("meter", "amps"):
        return ""
    told, tried = evidence(each), {"the leads swapped": -1.0, "the point one place to the left": 0.1, "the point one place to the right": 10.0}
    found = {words: evidence(replace(each, reading=replace(reading, value=factor * reading.value), words=f"{each} {factor}"))
             for words, factor in tried.items() if factor > 0 or reading.instrument == "meter"}
    best = max(found, key=found.get)
    return best if found[best] > told + log(FAR_MORE) else ""


def _explained(weighing, each, number):
    """Return the slip that would explain a reading with a candidate; empty for none. [text]"""
    if isinstance(each, Symptom) or each.seen or each.reading.instrument == "ohms" or each.reading.word == "unsteady":
        return ""
    if each.reading.value is not None and _is_near(weighing, replace(each, reading=replace(each.reading, value=-each.reading.value)), number):
        return "the leads swapped"
    return _other_row(weighing, each, number) or _other_terminal(weighing, each, number)


def _is_near(weighing, taken, number):
    likely = weighing.likely_value(taken, number)
    if taken.reading.instrument == "test lamp":
        return likely == taken.reading.word
    return abs(likely - taken.reading.value) < max(NEAR * taken.reading.tolerance, LEAST)


def _other_row(weighing, each, number):
    """Return the row with one control elsewhere in which it would fit, in words. [text]"""
    positions, arrangement = each.reading.positions, weighing.solved.arrangement
    for row in weighing.solved.rows:
        moved = [name for name in row if row[name] != positions[name]]
        if len(moved) == 1 and not each.through and _is_near(weighing, replace(each, reading=replace(each.reading, positions=row)), number):
            return f"another row,{when_words(arrangement, row) or ' everything at rest'}"
    return ""


def _other_terminal(weighing, each, number):
    """Return the terminal beside it, on the same part, where it would fit, in words. [text]"""
    reading, arrangement = each.reading, weighing.solved.arrangement
    if each.through:
        return ""
    name = reading.red.partition(":")[0]
    for terminal in weighing.solved.terminals:
        if terminal.partition(":")[0] == name and terminal not in (reading.red, reading.black):
            moved = replace(each, reading=Reading(terminal, reading.black, reading.instrument, reading.positions, reading.phases,
                                                  value=reading.value, word=reading.word))
            if _is_near(weighing, moved, number):
                return f"the red lead on {terminal}"
    return ""
