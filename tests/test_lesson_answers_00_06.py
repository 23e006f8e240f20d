"""Lessons 00 and 06 as a learner works them: shut before an answer, open after it, a reply of its own for each wrong idea."""

import re

import pytest
from worked_lessons import (check_kept, check_no_answer_is_named, check_no_number_is_told, check_observations_wait,
                            check_own_replies, check_right_answers, notebook, of_kind, right_choices, right_numbers, told_by,
                            words, worked)

import circuitlab as cl
from circuitlab.benches.lesson import CLOSED, Question
from circuitlab.ground.places import kit_folder

WORKED = ("00_start_here", "06_test_the_relay", "06b_pull_in_and_let_go")

# Reasoned by hand from the circuit, not taken from the kit.
RIGHT = {
    "00_start_here": {
        "before-switch": "source volts", "after-switch": "about zero volts", "after-lamp": "about zero volts",
        "across-open": "source volts", "return-off": "live", "blown-fuse": "source volts", "two-zeros": "the fuse"},
    "06_test_the_relay": {
        "recall-open-switch": "source volts", "recall-amps": "the same in both",
        "click": "only the coil's circuit", "shelf": "30 and 87a", "operated": "30 and 87", "seen-at-rest": "E2",
        "bigger-lamp": "it stays", "swapped": "E2 now",
        "coil-ground": "source volts", "make-only": "neither", "no-click": "86, coil, 85",
        "normally-closed": "87a", "unmarked": "a changeover"},
    "06b_pull_in_and_let_go": {"half-volts": "released, then operated", "gap": "none", "weak": "released"}}


pytestmark = pytest.mark.usefixtures("answers")


# ------------------------------------------------------------------ before an answer

def test_nothing_is_open_before_an_answer(lesson):
    """Every prediction is shut and says how to open it; no reply stands anywhere else."""
    predictions = {item for item, question in of_kind(lesson, Question).items() if question.kind == "predicted"}
    assert predictions
    for item, question in of_kind(lesson, Question).items():
        assert words(question.reply).strip() == (CLOSED if item in predictions else ""), item
        assert question.shown == "", item
        assert not question.is_answered, item


@pytest.mark.in_turn(2, 1)
def test_what_was_seen_is_asked_only_after_its_prediction(name, lesson):
    """An observation is shut while its prediction is; the short 06b asks for none."""
    if name.startswith("06b"):
        assert not any(question.asked.after for question in of_kind(lesson, Question).values())
    else:
        check_observations_wait(lesson)


# ------------------------------------------------------------------ the right answer

def test_the_right_choices_are_those_reasoned_by_hand(name, lesson):
    """The circuit's own answer to every question with choices."""
    assert right_choices(lesson) == RIGHT[name]


FUSE_5_A = 0.0175   # ohm, maker sheets, from memory


def test_the_right_readings_of_the_lamp_follow_from_its_resistances():
    """Volts across the open switch, the closed switch and the lit lamp, from Ohm's law along the loop."""
    lesson, lamp = worked("00_start_here").lesson, cl.arrangement("one-fused-lamp")
    truth = right_numbers(lesson)
    amps = cl.operating_point(lamp, {"lamp switch": "on"}).current("F1")
    in_series = (sum(wire.resistance for wire in lamp.wires) + lamp.battery.internal_resistance + FUSE_5_A
                 + lamp.part("S1").resistance + 2 * lamp.part("X1").stud_resistance)

    assert truth["open-switch-volts"] == pytest.approx(lamp.battery.voltage, abs=1e-6)
    assert truth["closed-switch-volts"] == pytest.approx(amps * lamp.part("S1").resistance)
    assert truth["lit-lamp-volts"] == pytest.approx(lamp.battery.voltage - amps * in_series)


def test_a_typed_zero_is_told_that_a_closed_contact_reads_millivolts():
    """In every variant; an open switch keeps the reply to its own idea, and the lit lamp is not small."""
    lesson = worked("00_start_here").lesson
    small = lesson.questions["closed-switch-volts"]
    for _ in range(len(small.task.variants)):
        small.commit("0 V")
        assert 0.001 < abs(small.way.posed.truth) < 0.1
        assert "Nearly. Small, but not zero: read the mV. A real contact or wire always takes some." in words(small.reply)
        small.commit("floating")
        small.commit("0")
        assert "Nearly. Small, but not zero" in words(small.reply)
        small.renew()
    for item in ("open-switch-volts", "lit-lamp-volts"):
        lesson.answer(item, "0")
        assert "does not agree" in words(lesson.questions[item].reply) and "Small" not in words(lesson.questions[item].reply)


@pytest.mark.in_turn(2, 1)
def test_a_right_answer_opens_what_was_shut(lesson):
    """Each prediction shows its result, each question says that the circuit agrees."""
    check_right_answers(lesson)


@pytest.mark.in_turn(2, 1)
def test_answers_are_there_again_the_next_time(name, answers):
    """All of them."""
    check_kept(worked, name, answers)


# ------------------------------------------------------------------ the wrong answers

@pytest.mark.in_turn(2)
def test_each_wrong_choice_gets_a_reply_of_its_own(lesson):
    """What that idea would show and where to look: short, unlike its neighbours, and without the right choice."""
    check_own_replies(lesson)


@pytest.mark.in_turn(2)
def test_no_source_or_reply_holds_the_right_number_of_a_reading(name, lesson):
    """Not in the cells, not in their metadata, not in any reply of another question."""
    check_no_number_is_told(name, lesson)


@pytest.mark.in_turn(2)
def test_words_that_are_no_answer_get_a_sentence(lesson):
    """A number without sense and a choice that is not there are named; nothing is written down for them."""
    check_no_answer_is_named(lesson)


# ------------------------------------------------------------------ what the lessons show

def test_the_answer_comes_from_the_circuit(monkeypatch):
    """With the feeds of the two lamps swapped on the board, the lamp seen lit at rest is the other one."""
    plain = cl.arrangement
    monkeypatch.setattr(cl, "arrangement", lambda name: cl.changed(plain(name), cl.SwapTerminals("E1:1", "E2:1"))
                        if name == "relay-test-board" else plain(name))

    assert worked("06_test_the_relay").lesson.questions["seen-at-rest"].asked.truth() == "E1"


def test_the_lamp_built_by_hand_is_the_kits(capsys):
    """Same wires, and the same current to the last digit printed."""
    names = worked("00_start_here").names
    printed = capsys.readouterr().out

    assert names["my_lamp"].wires == names["kit_lamp"].wires
    assert "same wires: True" in printed
    assert len(set(re.findall(r"([\d.]+) A through F1", printed))) == 1
    assert f"Pin Thirty {cl.__version__} works here, with {len(cl.arrangement_names())} arrangements." in printed


def test_a_dead_short_wired_by_hand_is_told_as_a_blown_fuse_and_a_dark_lamp(capsys):
    """W3 on the chassis: the fuse of 5 A has the battery's short-circuit current."""
    names = worked("00_start_here").names
    wires = [cl.Wire("W3", "S1:2", "X1:1", "WH", 2.0) if wire.name == "W3" else wire for wire in names["my_lamp"].wires]
    (source,) = (cell.source for cell in notebook("00_start_here").cells if "same wires:" in cell.source)
    capsys.readouterr()
    exec(source, {**names, "my_lamp": cl.changed(names["my_lamp"], cl.RemoveWire("W3"), cl.AddWire(wires[2]))})
    mine, kits = [line for line in capsys.readouterr().out.splitlines() if "through F1" in line]
    assert "F1 blown, 0 A through F1" in mine and "E1: dark" in mine
    assert "F1 whole" in kits and "E1, load bed: lit" in kits


def test_volts_times_ohms_is_told_as_that():
    """In every variant, whichever try it is the first of."""
    coil = worked("06_test_the_relay").lesson.questions["coil-current"]
    for _ in range(len(coil.task.variants)):
        circuit = coil.way.posed.variant.circuit
        coil.commit(f"{circuit.battery.voltage * circuit.part('K1').coil_resistance:g} A")
        assert "You multiplied." in words(coil.reply)
        coil.renew()


def test_pages_say_what_stands_where_and_what_a_press_does():
    """A lamp that is lit already, the button above the list, the pedal that is held."""
    said = {name: " ".join(" ".join(cell.source for cell in notebook(name).cells if cell.cell_type == "markdown").split())
            for name in ("00_start_here", "11b_wire_your_own_cart", "11_share_one_filament")}
    assert "or goes dark if it was lit" in said["00_start_here"]
    assert "above the list press **file**" in said["11b_wire_your_own_cart"] and "below the list" not in said["11b_wire_your_own_cart"]
    assert "Press **hold** once more: the pedal comes up." in said["11_share_one_filament"]


@pytest.mark.parametrize("picture, shows", [("one_fused_lamp", "one-fused-lamp"), ("relay_test_board", "relay-test-board")])
def test_the_pictures_are_drawn_from_the_arrangements(picture, shows, tmp_path):
    """The file in the lessons is what the kit draws today."""
    cl.save_picture(cl.arrangement(shows), tmp_path / "fresh.svg")

    kept = (kit_folder("lessons") / "pictures" / f"{picture}.svg").read_text("utf-8")
    assert kept == (tmp_path / "fresh.svg").read_text("utf-8")


# ------------------------------------------------------------------ the other lessons

def test_start_page_and_guide_name_every_lesson_there_is(guide):
    """Each number on the start page and in the guide's tables is that of a lesson, and no lesson is left out."""
    there = {path.name.partition("_")[0] for path in kit_folder("lessons").glob("*.ipynb")}
    close = next(cell.source for cell in notebook(WORKED[0]).cells if cell.id == "close")
    start = (kit_folder("lessons") / "all_lessons.md").read_text("utf-8")
    listed = (kit_folder("lessons") / "task_map.md").read_text("utf-8").partition("## More lessons")[2].partition("\n## ")[0]
    in_guide = re.findall(r"^\| (\d\d[a-z]?|x\d) \|", listed, flags=re.M) + re.findall(r"\| (\d\d[a-z]?) \|$", guide, flags=re.M)

    assert "(all_lessons.md)" in close and set(re.findall(r"\((\d\d[a-z]?|x\d)_\w+\.ipynb\)", start)) == there
    assert set(in_guide) == there


# ------------------------------------------------------------------ the teacher's guide

@pytest.fixture
def guide():
    return (kit_folder("lessons") / "teachers_guide.md").read_text("utf-8")


def test_each_period_of_the_guide_fits_its_time(guide):
    """The minutes of each period's steps add up to 45."""
    periods = [part for part in guide.split("\n## ") if part.startswith("Period")]
    minutes = [sum(int(number) for number in re.findall(r"^\| (\d+) \|", period, flags=re.M)) for period in periods]

    assert len(minutes) == 2
    assert all(total == 45 for total in minutes), minutes


def test_the_guide_names_what_is_there(guide, tmp_path):
    """Every sheet it asks to print can be written, every lesson it speaks of exists."""
    benches = (kit_folder("lessons") / "bench_list.md").read_text("utf-8")
    printed = re.findall(r"python -m circuitlab sheet (\S+) --out (\S+)", benches)
    assert len(printed) >= 3
    for arrangement, file in printed:
        assert cl.write_build_sheet(cl.arrangement(arrangement), tmp_path / file).stat().st_size > 1000
    spoken = set(re.findall(r"\| (\d\d[a-z]?) \|$", guide, flags=re.M))
    assert spoken >= {"00", "06"}
    assert spoken <= {path.name.partition("_")[0] for path in kit_folder("lessons").glob("*.ipynb")}


def test_the_guide_gives_no_reading_away(guide):
    """A student who finds it learns no number."""
    for name in WORKED:
        lesson = worked(name).lesson
        assert [item for item in right_numbers(lesson) if told_by(guide, lesson.questions[item])] == []
