"""A lesson handed out and collected with nbgrader: the source always; the whole way where PIN_THIRTY_NBGRADER names it.

    PIN_THIRTY_NBGRADER=path/to/nbgrader python -m pytest tests/test_nbgrader_route.py
"""

import csv
import os
import shutil
import subprocess
from pathlib import Path

import nbformat
import pytest
from worked_lessons import of_kind, right_answer, worked

import circuitlab as cl
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.hand_out import hand_out, points
from circuitlab.teaching.kinds import Choice

NBGRADER = os.environ.get("PIN_THIRTY_NBGRADER")
NAME = "06_test_the_relay"


def test_the_source_is_the_lesson_with_one_graded_cell(tmp_path):
    """Every cell of the kit's lesson as it is, then one that gives points; pictures and a folder for answers beside it."""
    folder = hand_out("06", tmp_path)
    made = nbformat.read(folder / f"{NAME}.ipynb", as_version=4)
    kept = nbformat.read(kit_folder("lessons") / f"{NAME}.ipynb", as_version=4)

    nbformat.validate(made)
    assert made.cells[:-1] == kept.cells
    assert made.cells[-1].metadata.nbgrader.grade and made.cells[-1].metadata.nbgrader.locked
    assert made.cells[-1].metadata.nbgrader.points == len(of_kind(worked(NAME).lesson, Laddered)) == 6
    assert (folder / "answers").is_dir() and list((folder / "pictures").glob("*.svg"))


def test_the_graded_cell_gives_points_for_what_is_right(tmp_path, monkeypatch):
    """Predictions and notes earn nothing, a number counts when it is right, a choice when it is so twice in a row."""
    said, _, value = nbformat.read(hand_out("06", tmp_path / "source") / f"{NAME}.ipynb", 4).cells[-1].source.rpartition("\n")
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(tmp_path))
    lesson, counted = worked(NAME).lesson, []
    names, choice = {"lesson": lesson}, lesson.questions["unmarked"]
    exec(said, names)
    for item, given in ((None, None), ("click", right_answer(lesson.questions["click"])), ("shelf", "both"), ("exit", "at 30 first"),
                        ("coil-current", right_answer(lesson.questions["coil-current"])), ("unmarked", right_answer(choice)), ("unmarked", None)):
        if item and given is None:
            choice.renew()
        if item:
            lesson.answer(item, given or right_answer(choice))
        counted.append(eval(value, names))
    assert counted == [0, 0, 0, 0, 1, 1, 2]


def test_whoever_is_right_everywhere_gets_every_point(tmp_path, monkeypatch):
    """As many as the graded cell says can be had; an edited verdict in the record changes nothing."""
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(tmp_path))
    lesson = worked(NAME).lesson
    for item, question in lesson.questions.items():
        lesson.answer(item, right_answer(question))
        if isinstance(question, Laddered) and isinstance(question.task.kind, Choice):
            question.renew()
            lesson.answer(item, right_answer(question))
    written = lesson.record.path.read_text("utf-8")
    assert points(lesson.record.path) == 6
    lesson.record.path.write_text(written.replace('"right": true', '"right": false'), "utf-8")
    assert points(lesson.record.path) == 6 and lesson.record.path.read_text("utf-8") != written


def test_a_lesson_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(cl.CircuitLabError, match="99"):
        hand_out("99", tmp_path)


@pytest.mark.skipif(not NBGRADER, reason="set PIN_THIRTY_NBGRADER to the nbgrader of an environment that has the kit")
def test_a_lesson_goes_out_comes_back_and_is_counted(tmp_path, monkeypatch):
    """Generated, worked by a student who reads one number, collected with the answers, run again, exported."""
    monkeypatch.setenv("PATH", f"{Path(NBGRADER).parent}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.delenv("PIN_THIRTY_ANSWERS", raising=False)
    call = lambda *words: subprocess.run([NBGRADER, *words], cwd=tmp_path, check=True, capture_output=True, timeout=240)
    most = len(of_kind(worked(NAME).lesson, Laddered))
    hand_out("06", tmp_path / "source")
    call("generate_assignment", "lesson-06")
    handed = shutil.copytree(tmp_path / "release" / "lesson-06", tmp_path / "submitted" / "pupil-1" / "lesson-06")
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(handed / "answers"))
    lesson = worked(NAME).lesson
    for item in ("coil-current", "shelf"):      # the last a prediction, which earns nothing
        lesson.answer(item, right_answer(lesson.questions[item]))
    monkeypatch.delenv("PIN_THIRTY_ANSWERS")
    call("autograde", "lesson-06")
    call("export", "--to", "grades.csv")

    (line,) = csv.DictReader((tmp_path / "grades.csv").read_text("utf-8").splitlines())
    assert (line["student_id"], float(line["score"]), float(line["max_score"])) == ("pupil-1", 1.0, most)
