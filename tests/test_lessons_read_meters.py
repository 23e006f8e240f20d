"""What a lesson or a ready question asks of volts is what a meter shows, never the volts nobody can read."""

import json
import re

import pytest

from circuitlab.arrangements import arrangement
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning.leads import take_reading
from circuitlab.solving import operating_point
from circuitlab.teaching import probes

LESSONS = sorted(kit_folder("lessons").glob("*.ipynb"))
IDEAL = re.compile(r"\.(?:volts|across|lamp_volts)\(")     # of an operating point; a course's record is no call


@pytest.mark.parametrize("path", LESSONS, ids=[path.stem for path in LESSONS])
def test_no_cell_of_a_lesson_reads_volts_without_a_meter(path):
    cells = json.loads(path.read_text("utf-8"))["cells"]
    found = [line.strip() for cell in cells if cell["cell_type"] == "code" for line in cell["source"] if IDEAL.search(line)]
    assert found == []


@pytest.mark.parametrize("code, leads", [
    ("M5", ("E1:1", None)), ("M6", ("S1:1", "S1:2")), ("M8", ("E1:2", None)), ("M13", ("E1:1", "E1:2")),
    ("M16", ("E1:1", "E1:2")), ("M17", ("S1:2", "E1:1"))])
def test_a_ready_question_on_volts_takes_a_reading_between_its_two_places(code, leads, monkeypatch):
    """The truth is what the reading shows, so that a meter of 10 kilohm in its place would change the answer with it."""
    taken = []

    def asked(point, red, black=None, *more):
        taken.append((red, black))
        return take_reading(point, red, black, *more)
    monkeypatch.setattr(probes, "take_reading", asked, raising=False)
    task = probes.probe(code)
    circuit = task.variants.of(0).circuit
    task.work(circuit)
    assert taken and {*taken} == {leads}


def test_a_ghost_is_no_key_to_a_question():
    """The stop wire behind a blocking diode: some volts for whom nothing loads, next to none on the meter of lesson 10."""
    board = arrangement("hazard-by-diodes")
    point = operating_point(board, {"hazard": "on", "turn lever": "left"}, "on")
    assert point.volts("S3:R") > 11 and take_reading(point, "S3:R").shown < 1
