"""The checks of lessons 06 to 12 in every variant: what is right, reasoned by hand from the words of the question alone.

Choices by the first pattern that the question's words hold; numbers by a sum of the figures in them, or of the parts' records.
"""

import re

import pytest
from worked_lessons import of_kind, worked

import circuitlab as cl
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import Choice, Number

CHOICES = {
    ("06", "recall-open-switch"): {"off. The meter is across S1|on. The meter is across E1": "source volts", "": "about zero volts"},
    ("06", "recall-amps"): {"in fuse F1": "in fuse F1", "": "the same in both"},
    ("06", "no-click"): {"No click": "86, coil, 85", "on: neither. Off: neither": "30 and its feed", "on: neither": "87 and E1",
                         "on: E1. Off: neither": "87a and E2"},
    ("06", "normally-closed"): {"come on when the coil pulls|dark with a dead coil": "87", "": "87a"},
    ("06", "unmarked"): {"rest: E2": "a changeover", "operated: both": "one with two 87s", "": "one without 87a"},
    ("07", "normally"): {"shelf|off its ground": "30 and 87a", "": "30 and 87"},
    ("07", "click"): {"Only K1": "the coil of K1", "Only K2": "the coil of K2", "burns": "both coils and contacts",
                      "": "both coils, no contact"},
    ("07", "double"): {"comes a lever": "three times as many", "comes a knob": "four times as many", "": "twice as many"},
    ("08", "ground"): {"released": "exactly zero", "E1:1": "source volts", "": "a little"},
    ("08", "rows"): {"tail lamps": "48", "hazard": "24", "": "12"},
    ("08", "transfer"): {"time 20 %|time 70 %": "the fast one's", "50 %. Fast: 120|75 a minute": "the slow one's", "": "both alike"},
    ("09", "rows"): {"with 2 comes": "12", "with 3 comes": "18", "with 4 comes": "24", "with 5 comes": "30"},
    ("09", "turned"): {"not plugged in": "dark", "two ohms": "dim", "": "as before"},
    ("09", "cure"): {"every row keep": "two diodes, arrows away from X7", "left only": "one diode, from X7 to X4",
                     "nothing": "a smaller fuse F1", "knob on": "two diodes, arrows towards X7"},
    ("09", "bridged"): {"broken": "lever off, knob on", "V1": "lever left, knob off", "V2": "lever right, knob off"},
    ("10", "rows"): {"with 2": "24", "with 3": "36", "with 4": "48", "with 6": "72"},
    ("10", "diode"): {"on K of": "near zero volts", "": "near source volts"},
    ("10", "vehicle-a"): {"A:": "a filament for each job", "B:": "one filament, turn wins", "C:": "one filament, stop wins"},
    ("10", "vehicle-b"): {"D:": "one filament, turn wins", "E:": "one filament, stop wins", "F:": "a filament for each job"},
    ("10", "ask"): {"W14": "pedal up, lever left", "V4": "pedal held, lever middle", "once more": "pedal held, lever left",
                    "": "pedal held, lever right"},
    ("11", "shelf"): {"shelf|off ground": "87a", "": "87"},
    ("11", "ground"): {":1 is dead": "before the lamp", ":2 is live": "after the lamp", "": "in the filament"},
    ("11", "transfer"): {"W10|W16.*off": "steady", "W4.*off|W16|welded.*off": "dark", "": "flashing"},
    ("12", "fall back"): {"coil wire": "brake", "on 30": "neither", "": "flasher"},
    ("12", "wait"): {"dead": "it stays open", "needing flasher feeds LED": "it stays closed", "": "it swings"},
    ("12", "transfer"): {"no 87a": "stop lost", "pin 87": "turn lost", "mixes up": "wrong signal", "": "no effect"}}


def figures(text):
    """Return the numbers of a text. [1]"""
    return [float(each) for each in re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?![\w:])", text)]


def coil(text, lesson):
    ohms, volts = figures(text)
    return volts / ohms


def thresholds(text, lesson):
    relay = lesson["board"].part("K1")
    return {"make": relay.pull_in_voltage, "are": relay.drop_out_voltage}.get(
        text.partition("volts ")[2].split()[0], relay.pull_in_voltage - relay.drop_out_voltage)


def moment(text, lesson):
    relay = lesson["board"].part("K1")
    leaves = relay.operate_time - relay.transfer_gap
    return leaves if "E2 off" in text else relay.operate_time if "E1 on" in text else relay.transfer_gap


def of_trace(text, lesson):
    return lesson["traces"][re.search("[Tt]race ([P-U])", text)[1]]


def rate(text, lesson):
    return of_trace(text, lesson)["rate"]


def on_time(text, lesson):
    return 100 * of_trace(text, lesson)["on_share"]


def average(text, lesson):
    return 12.0 * of_trace(text, lesson)["on_share"]        # of 12.6 V the two lamps of a side get about twelve


def heat(text, lesson):
    at_a, at_k, amps = figures(text)
    return (at_a - at_k) * amps


def pause(text, lesson):
    """The tie gives a lamp what one feed gives, and nothing where both are absent: the lowest while the pedal is up."""
    return 0.0 if "lowest" in text and "is up" in text else 11.8


NUMBERS = {("06", "coil-current"): coil, ("06", "thresholds"): thresholds, ("06", "gap-time"): moment, ("08", "rate-read"): rate,
           ("08", "on-time-read"): on_time, ("08", "average-read"): average, ("09", "heat"): heat, ("10", "pause"): pause}
TRACES = ("08", "band")
WORKED = [path.stem for path in sorted(kit_folder("lessons").glob("[0-9][0-9]_*.ipynb")) if path.stem >= "06"]

pytestmark = pytest.mark.usefixtures("answers")


def by_hand(number, item, text, lesson):
    """Return the right answer, from the words of a question and the names of its lesson."""
    if (number, item) == TRACES:
        return ("below", "within", "above")[sum(rate(text, lesson) >= limit for limit in (60, 120.5))]
    if (number, item) in NUMBERS:
        return NUMBERS[number, item](text, lesson)
    return next(answer for pattern, answer in CHOICES[number, item].items() if re.search(pattern, text))


def test_every_check_is_right_in_every_variant(name):
    """Those asked and those shown as twins."""
    work = worked(name)
    checks = {item: asked._task for item, asked in of_kind(work.lesson, Laddered).items()
              if type(asked._task.kind) in (Choice, Number)}
    assert len(checks) >= 3
    for item, task in checks.items():
        variants = [task.variants.of(seed) for seed in range(len(task.variants))]
        for variant in [*variants, *(twin for seed in range(len(variants)) for twin in task.variants.twins(seed))]:
            posed = task.pose(variant)
            hand = by_hand(name[:2], item, posed.question, work.names)
            near = pytest.approx(hand, rel=posed.kind.within, abs=1e-6) if isinstance(posed.kind, Number) else hand
            assert posed._truth == near, (item, posed.question)


def test_every_line_above_is_a_question_of_its_lesson():
    """None left behind by a changed lesson."""
    there = {(name[:2], item) for name in WORKED for item in of_kind(worked(name).lesson, Laddered)}
    assert {*CHOICES, *NUMBERS, TRACES} <= there


def test_fresh_numbers_can_have_another_answer(lesson):
    """Each check has two right answers or more over its variants."""
    found = {item: cl.fairness(asked).answers for item, asked in of_kind(lesson, Laddered).items()}
    assert {item: answers for item, answers in found.items() if answers < 2} == {}
