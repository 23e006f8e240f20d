"""What the lessons say of the trade, held against the circuit, the sources, and what the guide allows."""

import ast
import re

import pytest
from worked_lessons import notebook, words, worked

import circuitlab as cl
from circuitlab.ground.places import kit_folder
from circuitlab.views.build_sheet.page import CAUTIONS

LESSONS = sorted(path.stem for path in kit_folder("lessons").glob("[0-9x][0-9]*_*.ipynb"))
DANGERS = ("minus clamp off first, back on last", "gas that explodes", "acid burns", "eye protection",
           "test lamp on an output of a control unit", "PWM", "airbag")


def prose(name):
    """Return what a lesson says in Markdown. [text]"""
    return " ".join("\n".join(cell.source for cell in notebook(name).cells if cell.cell_type == "markdown").split())


def steps(name):
    """Return the steps of a lesson's page for the workbench. [text]"""
    calls = [node for cell in notebook(name).cells if cell.cell_type == "code" for node in ast.walk(ast.parse(cell.source))
             if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in ("workbench", "safety_ticket")]
    return [each for call in calls for each in ast.literal_eval(call.args[-1])]


def test_either_flasher_serves_one_relay_for_each_lamp_and_only_one_serves_led_lamps():
    """Lesson 11 gives the reason that the circuit gives: its own count, with lamp-out sensing and free running."""
    page = worked("11_share_one_filament")
    told = re.findall(r"flasher electronic (with lamp-out sensing|free running), rows failing: bulbs (\d+), LED lamps (\d+)",
                      words(page.shown["faults"].markup))
    assert [each[:2] for each in told] == [("with lamp-out sensing", "0"), ("free running", "0")]
    assert int(told[0][2]) > 0 == int(told[1][2])
    assert "must be free-running" not in prose("11_share_one_filament")


def test_from_the_first_start_to_the_twentieth_are_nineteen_periods():
    """The rate that lesson 08 tells to reckon is the flasher's own."""
    course = cl.run(cl.arrangement("shared-filament-rear-relays"), [(0.0, "key", "on"), (0.0, "turn lever", "left")], 16)
    flash = cl.flash(course, "E3")
    starts = [time for time, on in flash.edges if on][:20]
    said = " ".join(steps("08_time_the_flasher"))
    assert len(starts) == 20 and 60 * 19 / (starts[-1] - starts[0]) == pytest.approx(flash.rate, rel=0.001)
    assert "60 times 19" in said and "19 periods" in said and "MIN/MAX" in said


def test_a_turned_coil_does_nothing_only_without_a_diode():
    """With the diode built in, the fuse of the coils blows."""
    cart, turned = cl.arrangement("shared-filament-four-relays"), cl.SwapTerminals("K1:85", "K1:86")
    assert not cl.compare(cart, cl.changed(cart, turned)).changed_rows
    course = cl.trial(cl.changed(cart, cl.SetValue("K1", "suppression", "diode"), turned), {"key": "on", "turn lever": "left"})
    assert ("F2", "blown") in [(event.name, event.state) for event in course.events]
    asked = worked("12_change_one_thing").lesson.questions["transfer"].task
    posed = [asked.pose(asked.variants.of(seed)) for seed in range(1, len(asked.variants) + 1)]
    assert {each.truth for each in posed if "diode round" in each.question} == {"wrong signal"}
    assert not any(re.search(r"\bround\b", each.question) and "plain" not in each.question and "diode" not in each.question for each in posed)


@pytest.mark.outside("service manual, limits credited to SAE: 0 V small joint, 0.1 V joint, 0.2 V cable, 0.3 V contact, over 1.0 V "
                     "a fault; other manuals: about 0.5 V for a simple circuit")
def test_the_limits_of_lost_volts_are_those_of_the_manuals():
    """Lesson 03 shows them below its table of legs."""
    told = words(worked("03_follow_the_ground").shown["legs"].markup).replace("\N{NO-BREAK SPACE}", " ")
    for part, limit in (("a small joint", 0), ("a joint with many amps", 0.1), ("a wire", 0.2), ("a contact", 0.3), ("a leg", 0.5)):
        assert float(re.search(rf"{part} ([\d.]+) (m?)V", told)[1]) * (0.001 if re.search(rf"{part} [\d.]+ mV", told) else 1) == limit
    assert "More than 1 V is a fault" in told


@pytest.mark.parametrize("name", LESSONS)
def test_a_workbench_page_sends_nobody_to_a_vehicle(name):
    """Boards only means boards only."""
    assert [step for step in steps(name) if re.search("vehicle|car\\b|truck", step)] == []


@pytest.mark.outside("US agency letters of 1978, 1989, 1990 and 1996, and one without a date in the copy read")
def test_a_letter_of_the_law_has_its_country_and_its_year():
    """Lesson 10: each letter in the text stands among the sources; the later ones are not left out."""
    said, sources = prose("10_ask_one_filament_twice").split("**Sources.**")
    for year in ("1978", "1989", "1990", "1996"):
        assert year in said and re.search(rf"{year}, nhtsa.gov/", sources), year
    assert "US agency" in said and "US agency" in sources and "local code decides" in said


def test_the_cautions_name_what_hurts_and_what_a_test_lamp_must_not_touch():
    """On every build sheet, and on every page for the workbench; README and the teacher's guide say it too."""
    for danger in DANGERS:
        assert danger in " ".join(CAUTIONS), danger
    guide = (kit_folder("lessons") / "teachers_guide.md").read_text(encoding="utf-8")
    for page in (guide, (kit_folder("lessons").parent / "README.md").read_text(encoding="utf-8")):
        for danger in ("Eye protection|eye protection", "gas explodes", "acid burns", "airbag", "PWM", "minus", "(?i)boards only"):
            assert re.search(danger, page), danger


@pytest.mark.parametrize("name", ["04_size_fuse_and_wire", "06_test_the_relay"])
def test_a_meter_and_a_coil_are_joined_as_the_trade_does(name):
    """Leads' own ohms come off; 86 is the coil's plus, 85 its minus."""
    said = " ".join(steps(name)) + prose(name)
    assert re.search("touch the two leads together.*less those of the leads" if name.partition("_")[0] == "04" else r"86 \(plus\) and 85 \(minus\)", said)


def test_the_kick_of_a_bare_coil_is_said_as_a_danger_and_as_left_out():
    """100 to 300 V of a 12 V coil: common practice, from memory."""
    said = prose("06_test_the_relay").replace(" > ", " ")
    assert re.search(r"a bare coil kicks back with 100 V .*: fingers off 85 and 86\. A diode or resistor across the coil", said)
    left_out = (kit_folder("lessons").parent / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## What the model leaves out")[2]
    assert "voltage kick of a coil" in " ".join(left_out.split())


@pytest.mark.parametrize("name", LESSONS)
def test_between_two_places_a_lesson_shows_what_a_meter_of_10_megohm_does(name):
    """Not the ideal difference; that stays for both leads on one place, where no reading is, and for reckoned watts."""
    ideal = {cell.id for cell in notebook(name).cells if cell.cell_type == "code" and ".across(" in cell.source}
    assert ideal <= {"01_close_the_loop": {"recall-zero"}, "12_change_one_thing": {"predict-heat"}}.get(name, set())
