"""A flasher on a supply too weak for cold filaments: row, point, proof, fault and time course say the same of it."""

import re

import pytest

from circuitlab.arrangements import LoseJoint, SetValue, arrangement, changed
from circuitlab.arrangements.rows import rows_of
from circuitlab.parts import Battery, Flasher, Lamp, Resistor, Splice, load_sensing_flasher, toggle
from circuitlab.reasoning import flash, lamp_table, prove
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning import observing
from circuitlab.reasoning.faults import batches, fault_table, single_faults
from circuitlab.reasoning.sizing import size
from circuitlab.solving import operating_point, run
from circuitlab.solving.sweeping import sweep
from circuitlab.views.fault_words import faults_summary
from circuitlab.views.sizing_words import sizing_text

from small_boards import board

ON = {"switch": "on"}
LAMPS = ((21.0,), (21.0, 21.0), (21.0, 21.0, 5.0), (5.0,), (10.0,), (63.0,), (42.0, 42.0))


def weak(volts, ohms, lamps, unit=load_sensing_flasher):
    """A battery behind a resistance, a switch, a flasher, its lamps."""
    parts = [Battery("G1", volts), Resistor("R9", ohms), unit("K9"), toggle("S1", "switch"), Splice("X1", 8)]
    pairs = [("G1:+", "R9:1"), ("R9:2", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "X1:1"), ("K9:31", "G1:-")]
    for number, watts in enumerate(lamps, start=1):
        parts.append(Lamp(f"E{number}", 12.0, watts))
        pairs += [(f"X1:{number + 1}", f"E{number}:1"), (f"E{number}:2", "G1:-")]
    return board("a weak supply", parts, pairs)


@pytest.mark.in_turn(6, 3)
@pytest.mark.parametrize("unit", [load_sensing_flasher, Flasher])
@pytest.mark.parametrize("volts", [9.0, 12.0, 15.0])
def test_table_and_time_say_the_same_from_a_good_supply_to_a_hopeless_one(volts, unit):
    """Verdict and look; but a lamp near a quarter of its light, which filaments reach at rest and not in a flash, is dim in
    time and not in the table, as ``flash`` says."""
    verdicts = set()
    for ohms in (0.1, 0.5, 0.7, 1.0, 1.25, 1.75, 2.0):
        for lamps in LAMPS:
            cart = weak(volts, ohms, lamps, unit)
            row, course = lamp_table(cart).row(**ON), run(cart, [(0.0, "switch", "on")], 10.0)
            seen, look = flash(course, "E1", course.until / 2), row.cells["E1"].look
            assert row.verdict == course.verdict, (ohms, lamps)
            assert look == seen.look or (look, seen.look) == ("flashing", "dim flashing"), (ohms, lamps)
            verdicts.add((row.verdict, look))
    assert {verdict for verdict, _ in verdicts} == {"settled", "chatter"}


def test_a_lamp_that_chatter_lights_a_little_flickers():
    """42 W behind 2 ohm: restarts 9.5 times a second, each with a hundredth of the light."""
    cart = weak(12.0, 2.0, (21.0, 21.0))
    course = run(cart, [(0.0, "switch", "on")], 10.0)
    assert course.verdict == "chatter" and flash(course, "E1", 2.0).look == "flickers"
    assert lamp_table(cart).row(**ON).cells["E1"].look == "flickers"


def test_restarts_before_the_first_whole_flash_are_said_with_their_time():
    """63 W behind 0.7 ohm: its filament warms up from one start to the next."""
    cart = weak(12.0, 0.7, (63.0,))
    course = run(cart, [(0.0, "switch", "on")], 6.0)
    last = max(event.time for event in course.events if event.name == "K9" and event.state == "on" and event.time < 1.0)
    words = f"K9 starts over for {last:.1f} s before it flashes"
    assert words in lamp_table(cart).row(**ON).sentence and words in operating_point(cart, ON).sentence
    assert words in str(prove(cart, "E1: flashing when switch on, else dark"))


def test_a_point_that_never_comes_about_has_no_volts_and_shows_between_what_it_goes_to_and_fro():
    point = operating_point(weak(12.0, 1.0, (42.0, 42.0)), ON)
    assert (point.verdict, point.movers, point.is_settled) == ("chatter", ("K9",), False)
    assert [turn.states["K9"] for turn in point.turns] == ["on", "idle"]


@pytest.mark.parametrize("unit", [load_sensing_flasher, Flasher])
def test_a_flasher_that_warm_lamps_starve_is_named_and_chatters_whoever_is_asked(unit):
    """6.2 V behind 0.3 ohm: half of its rated volts are there without a load, and not with one, however warm."""
    cart = weak(6.2, 0.3, (21.0, 21.0), unit)
    point, course = operating_point(cart, ON), run(cart, [(0.0, "switch", "on")], 8.0)
    assert point.verdict == course.verdict == lamp_table(cart).row(**ON).verdict == "chatter"
    said = "K9 cannot stay on: its supply breaks down each time its output comes on"
    assert point.sentence == course.sentence == lamp_table(cart).row(**ON).sentence == said
    assert set(sweep(cart, [ON], ["on"]).verdicts.tolist()) == {"chatter"}


def test_a_sweep_says_of_which_cases_its_points_at_rest_are_in_doubt():
    """Battery and resistance swept: wherever time makes something else of a case than its warm filaments do, it is marked."""
    cart = weak(12.0, 0.5, (21.0, 21.0))
    found = sweep(cart, changes=[(SetValue("R9", "resistance", ohms),) for ohms in (0.01, 0.3, 0.5, 1.0, 1.5, 1.8, 2.0, 3.0)])
    points = [operating_point(*found.case(number)) for number in range(len(found))]
    at_rest = [(verdict, state) for verdict, state in zip(found.verdicts.tolist(), found.state("K9").tolist())]
    otherwise = [one != (point.verdict, point.states["K9"]) for one, point in zip(at_rest, points)]
    assert any(otherwise) and not [number for number, each in enumerate(otherwise) if each and not found.in_doubt[number]]
    assert not found.in_doubt[:4].any() and {point.verdict for point in points} == {"settled", "chatter"}


def test_faults_on_a_weak_supply_are_seen_at_once_as_one_by_one():
    healthy = weak(12.0, 0.2, (21.0, 21.0))
    rows, faults = rows_of(healthy), [LoseJoint(wire.name, wire.start, ohms) for wire in healthy.wires for ohms in (0.8, 1.6)]
    for fault, seen in zip(faults, batches.observe_all(healthy, rows, faults)):
        alone = observing.observe(fault.apply(healthy), rows, healthy)
        assert [(each.levels, each.verdict, each.sentence) for each in seen] == [
            (each.levels, each.verdict, each.sentence) for each in alone], fault


def test_what_chatters_is_sized_and_compared_by_its_turns():
    """2 ohm ahead of the flasher: amperes flow at each start, and its fuse guards the wires behind it as before."""
    healthy = arrangement("separate-filaments")
    bad = changed(healthy, SetValue("W8", "end_joint", 2.0))
    course = run(bad, [(0.0, "key", "on"), (0.0, "turn lever", "left")], 8.0)
    flowed = max(abs(course.at(0.01 * step).current("F2")) for step in range(200, 260))
    assert course.verdict == "chatter" and flowed > 1
    sized = [size(each) for each in (healthy, bad)]
    assert 0.5 * flowed < sized[1].survey.load("F2").amps < 1.5 * flowed
    before, after = (each.guarding.wires["F2"] for each in sized)
    assert before == after and len(before) > 8
    (fuse,) = [each for each in compare(healthy, bad).differences if each.name == "F2"]
    assert 0.5 * flowed < fuse.after < 1.5 * flowed


@pytest.mark.parametrize("name, end, step, least", [
    ("shared-filament-rear-relays", "K9:49", 5, 4),
    *(pytest.param(*given, 1, 20, marks=pytest.mark.full) for given in (("shared-filament-rear-relays", "K9:49"), ("hazard-third-relay", "X2:1")))])
def test_one_flasher_that_cannot_stay_on_has_one_sentence_in_table_faults_and_sizing(name, end, step, least):
    """Whether warm lamps starve it or cold ones do; and a fault that leaves it as it is is no wrong signal."""
    cart = changed(arrangement(name), LoseJoint("W12", end, 5.0))
    burning = next(fault for fault in single_faults(cart) if fault.words.startswith("W1 chafed"))
    table = fault_table(cart, faults=[burning, *(fault for fault in single_faults(cart)[::step] if fault != burning)])
    said = [*lamp_table(cart).text().splitlines(), *sizing_text(size(cart)).splitlines(), *(
        reason for line in table.lines for effect in line.effects for reason in effect.reasons), *faults_summary(table).split(": ")]
    of_flasher = {words for words in said if re.search(r"\bK9 (chatters|buzzes)", words)}
    starved = [words for words in said if "K9 cannot stay on" in words]
    assert not of_flasher and len(starved) > least
    assert table.line(burning).worst == "fire risk"
