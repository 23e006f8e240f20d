"""The checks of the lessons in every variant: what is right, reasoned by hand from the words of the question alone.

Choices by the first pattern that the question's words hold; numbers by a sum of the figures in them, or of the parts' records.
"""

import re

import extras_by_hand
import pytest
from worked_lessons import of_kind, worked

import circuitlab as cl
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import Choice, Number, Wired

CHOICES = {
    ("00", "blown-fuse"): {"fuse is blown.*F1:1|bulb is.*E1:1": "source volts", "": "about zero volts"},
    ("00", "two-zeros"): {"the fuse and zero across wire W2": "both", "the lamp and zero across wire W4": "neither",
                          "across the fuse": "the fuse", "wire W2": "wire W2"},
    ("01", "recall-zero"): {"from battery minus": "battery minus", "from battery plus": "battery plus", "": "the lamp"},
    ("01", "guards"): {"ahead of": "a wire", "charger": "the lamp", "": "the fuse"},
    ("01", "gap"): {"W[129] comes": "none", "": "those of the other lamp"},
    ("01b", "ticket-wire"): {"power off": "someone else looks", "": "power off"},
    ("01b", "ticket-looks"): {"power off": "someone else looks", "": "power off"},
    ("01b", "ticket-smoke"): {"power off": "someone else looks", "": "switch off, step back, say so"},
    ("01b", "ticket-fuse"): {"none of it": "between lamp and frame", "": "at the battery end"},
    ("01b", "ticket-blown"): {"nobody|rubs": "nothing yet", "": "the same again"},
    ("01b", "ticket-hot"): {"worn": "the switch", "rusty": "the joint of W2", "": "the lamp"},
    ("01b", "ticket-ring"): {"bulb": "one more lamp", "wood": "next to nothing", "": "a short"},
    ("01b", "ticket-meter"): {"volts": "next to nothing", "": "a short"},
    ("02", "recall-gap"): {"W4 off|bulb out|its switch open": "nowhere", "": "all round"},
    ("02", "both-live"): {"about zero volts at E1:1": "in the feed", "about zero volts at E1:2": "in the bulb", "": "on the way back"},
    ("02", "two-zeros"): {"the fuse and about zero across wire W2": "both", "frame.*wire W4": "neither",
                          "across the fuse": "the fuse", "wire W2": "wire W2"},
    ("03", "recall-minus"): {"on X1:2": "about zero", "on E1:2, black on E1:1|on G1:-, black": "a minus sign", "": "no sign"},
    ("03", "bad-leg"): {"lamp and battery minus": "B", "plus and the lamp": "A", "inside": "C"},
    ("03", "next-reading"): {"feed leg": "lamp ground side to battery minus, bulb in", "Both": "across the battery, bulb in",
                             "ground leg": "battery plus to lamp feed side, bulb in"},
    ("04", "current-out"): {"is blown": "it falls", "fuse": "it stays", "": "it rises"},
    ("04", "third-lamp"): {"third": "it falls", "fuse": "it stays", "": "it rises"},
    ("04", "choice"): {"2 lamps, 2 m|3 lamps, 2 m": "1.5 mm\N{SUPERSCRIPT TWO}", "15 A|2 lamps, 6 m": "2.5 mm\N{SUPERSCRIPT TWO}",
                       "": "4 mm\N{SUPERSCRIPT TWO}"},
    ("04", "rule-broken"): {"A 5 A": "load", "A 20 A|2 m of 1 mm": "wire", "9 m|8 m": "drop", "": "none"},
    ("05", "road-back"): {"frame's|E1's.*does E1|E2's.*does E2": "it stays dark", "": "it is lit"},
    ("05", "open-switch"): {"S1:1, black on (S1:2|E2:2)|black on E1:1": "source volts", "": "zero volts"},
    ("05", "count"): {"as it is": "4", "W4 and W5": "6", "without": "5", "": "3"},
    ("05", "belongs"): {"2: .*E1": "S1:2 and E2:1", "2: .*E2": "S1:2 and E1:1", "3: .*E1": "only S1:2", "": "F1:2 and S1:1"},
    ("05", "which-list"): {"without": "B", "with a": "C", "": "A"},
    ("05", "colour"): {"blue|longer": "the paper alone", "wrong way": "the nets, not the lamps", "": "the nets and the lamps"},
    ("06", "recall-open-switch"): {"off. The meter is across S1|on. The meter is across E1": "source volts", "": "about zero volts"},
    ("06", "recall-amps"): {"in fuse F1": "in fuse F1", "": "the same in both"},
    ("06", "no-click"): {"No click": "86, coil, 85", "on: neither. Off: neither": "30 and its feed", "on: neither": "87 and E1",
                         "on: E1. Off: neither": "87a and E2"},
    ("06", "normally-closed"): {"come on when the coil pulls|dark with a dead coil": "87", "": "87a"},
    ("06", "unmarked"): {"rest: E2": "a changeover", "operated: both": "one with two 87s", "": "one without 87a"},
    ("07", "normally"): {"shelf|off its ground": "30 and 87a", "": "30 and 87"},
    ("07", "click"): {"Only K1": "the coil of K1", "Only K2": "the coil of K2", "is lit": "both coils and contacts",
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
    ("06b", "weak"): {"from nothing to [25] V|to 2 V": "released", "": "operated"},
    ("11b", "feed"): {"held, lever in the middle": "stop", "lever right": "none", "": "the left flash"},
    ("11b", "left-out"): {"K1:87a": "its stop light", "K1:30": "both", "": "its turn signal"},
    ("11b", "fronts"): {"The tie": "E3 and E4", "held, lever in the middle": "none", "": "E3 alone"},
    ("11c", "whose-fault"): {"turn alone: flashing": "the wire on 87a of K1 is off", "stop alone: dark": "the wire on 30 of K1 is off",
                       "both: steady": "the coil wire of K1 is off", "": "the flasher is dead"},
    ("11c", "where-first"): {"no click": "at the coil, 86 and 85", "is lit": "at 87 and its wire", "": "at 30 and its wire"},
    ("12", "fall back"): {"coil wire": "brake", "on 30": "neither", "": "flasher"},
    ("12", "wait"): {"needs 10 W": "it stays open", "thermal flasher for a fixed load": "it stays closed", "": "it opens and closes"},
    ("12", "transfer"): {"no 87a": "stop lost", "pin 87": "turn lost", "mixes up|built-in diode": "wrong signal", "": "no effect"}}


# The lamp's loop from plus to minus: places, and the ohms from each to the next by the parts' own records (the lamp aside).
LOOP = ("G1:+", "F1:1", "F1:2", "S1:1", "S1:2", "E1:1", "E1:2", "X1:1", "X1:2", "G1:-")


def ohms(lamp, rust=0.0):
    copper = [0.017241 * wire.length / wire.area + wire.start_joint + wire.end_joint for wire in lamp.wires]
    stud = 2 * lamp.part("X1").stud_resistance
    return [copper[0], {5.0: 0.0175, 10.0: 0.0077}[lamp.part("F1").rating], copper[1], lamp.part("S1").resistance, copper[2], 0.0,
            copper[3] + rust, stud, copper[4]]


def filament(volts, watts=26.5):
    """Return the amps of a lamp of so many watts at 13.5 V by the usual rule of thumb: volts to the power of 0.55. [A]"""
    return watts / 13.5 * (max(volts, 0.0) / 13.5) ** 0.55


def balanced(volts, in_series, count=1, watts=26.5):
    """Return the amps of each of several lamps behind shared ohms, found by going back and forth. [A]"""
    amps = filament(volts, watts)
    for _ in range(200):
        amps = 0.5 * (amps + filament(volts - count * amps * in_series, watts))
    return amps


def in_loop(text, lamp, volts, rust=0.0, is_lit=True):
    """Return what a meter shows between the two places a question names, red first. [V]"""
    red, black = (LOOP.index(place) for place in re.findall(r"[A-Z]1:[+\-\d]", text)[:2])
    first, last = sorted((red, black))
    way, sign = ohms(lamp, rust), 1 if red < black else -1
    if not is_lit:
        return sign * volts * (first <= 3 < last)
    amps = balanced(volts, sum(way) + lamp.battery.internal_resistance)
    taken = sum(way[first:last]) * amps
    if first <= 5 < last:
        taken = volts - amps * (lamp.battery.internal_resistance + sum(way[:first]) + sum(way[last:]))
    return sign * taken


def cart(text):
    return 11.1 if "weak" in text else 13.9 if "under charge" in text else 12.6


def in_lesson_00(text, lesson):
    return in_loop(text, lesson["kit_lamp"], cart(text), is_lit="off" not in text)


def in_lesson_02(text, lesson):
    return in_loop(text, lesson["lamp"], cart(text), is_lit="off" not in text)


def both_lamps(text, lesson):
    count = 1 if re.search("in W[58]", text) else text.count("E1 on") + text.count("E2 on")
    return count * filament(12.35, 16.0 if "smaller" in text else 26.5)


def ground_leg(text, lesson):
    return in_loop(text, lesson["lamp"], 12.6, 1.5 if "less" in text else 3.0)


def shared_leg(text, lesson):
    count, sign, rust = 3 if "three" in text else 2, 1 if "red on X2" in text else -1, 0.2 if "fifth" in text else 0.5
    return sign * count * balanced(12.55, rust + 0.03, count) * (rust + 0.006)


def hot_ohms(text, lesson):
    watts = figures(text)[0]
    amps = balanced(12.6, 0.29, 2, watts)
    return (12.6 - 2 * amps * 0.29) / amps


def run_drop(text, lesson):
    return 2 * balanced(12.6, 0.29, 2, figures(text)[0]) * (0.017241 * 6 / 0.5 + 0.002)


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


def gap(text, lesson):
    """All of the source, minus where red is on the far end."""
    return lesson["weak" if "weak battery" in text else "cart"].battery.voltage * (1 if re.search("red lead on (F2:1|K9:49),", text) else -1)


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


NUMBERS = {("00", "open-switch-volts"): in_lesson_00, ("00", "lit-lamp-volts"): in_lesson_00,
           ("00", "closed-switch-volts"): in_lesson_00, ("01", "both-lamps"): both_lamps, ("02", "over-the-lamp"): in_lesson_02,
           ("02", "leads-turned"): in_lesson_02, ("03", "ground-leg"): ground_leg, ("03", "shared-leg"): shared_leg,
           ("04", "hot-ohms"): hot_ohms, ("04", "run-drop"): run_drop,
           ("06", "coil-current"): coil, ("11c", "across"): gap, ("06b", "thresholds"): thresholds, ("06b", "gap-time"): moment, ("08", "rate-read"): rate,
           ("08", "on-time-read"): on_time, ("08", "average-read"): average, ("09", "heat"): heat, ("10", "pause"): pause}
TRACES = ("08", "band")
SAFETY = {f"ticket-{item}" for item in ("wire", "looks", "smoke", "fuse", "ring", "meter")}     # one rule, several situations
WORKED = [path.stem for path in sorted(kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb"))]

pytestmark = pytest.mark.usefixtures("answers")


def by_hand(number, item, text, lesson):
    """Return the right answer, from the words of a question and the names of its lesson."""
    if (number, item) == TRACES:
        return ("below", "within", "above")[sum(rate(text, lesson) >= limit for limit in (60, 120.5))]
    summed = NUMBERS | extras_by_hand.NUMBERS | extras_by_hand.REASONED
    if (number, item) in summed:
        return summed[number, item](text, lesson)
    return next(answer for pattern, answer in (CHOICES | extras_by_hand.CHOICES)[number, item].items() if re.search(pattern, text))


@pytest.mark.in_turn(26, 2)
def test_every_check_is_right_in_every_variant(name):
    """Those asked and those shown as twins."""
    work = worked(name)
    checks = {item: asked.task for item, asked in of_kind(work.lesson, Laddered).items()
              if type(asked.task.kind) in (Choice, Number)}
    assert len(checks) >= (3 if name[:2].isdecimal() else 2)      # an extra is short
    for item, task in checks.items():
        variants = [task.variants.of(seed) for seed in range(len(task.variants))]
        for variant in [*variants, *(twin for seed in range(len(variants)) for twin in task.variants.twins(seed))]:
            posed = task.pose(variant)
            hand = by_hand(name.partition("_")[0], item, posed.question, work.names)
            near = pytest.approx(hand, rel=posed.kind.within, abs=1e-6) if isinstance(posed.kind, Number) else hand
            assert posed.truth == near, (item, posed.question)


@pytest.mark.full
def test_every_line_above_is_a_question_of_its_lesson():
    """None left behind by a changed lesson."""
    there = {(name.partition("_")[0], item) for name in WORKED for item in of_kind(worked(name).lesson, Laddered)}
    extras = {*extras_by_hand.CHOICES, *extras_by_hand.NUMBERS, *extras_by_hand.REASONED}
    assert {*CHOICES, *NUMBERS, TRACES, *extras} <= there


@pytest.mark.in_turn(13, 1)
def test_fresh_numbers_can_have_another_answer(lesson):
    """Each check has two right answers or more over its variants, but for the rules of safety, and what is wired on a board: one for all."""
    found = {item: asked.fairness().answers for item, asked in of_kind(lesson, Laddered).items()
             if item not in SAFETY and not isinstance(asked.task.kind, Wired)}
    assert {item: answers for item, answers in found.items() if answers < 2} == {}
