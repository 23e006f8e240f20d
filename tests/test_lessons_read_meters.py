"""What a lesson asks of volts is what a meter shows, never the volts nobody can read."""

import json
import re

import pytest

from circuitlab.arrangements import arrangement
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning.leads import take_reading
from circuitlab.solving import operating_point

LESSONS = sorted(kit_folder("lessons").glob("*.ipynb"))
IDEAL = re.compile(r"\.(?:volts|across|lamp_volts)\(")     # of an operating point; a course's record is no call


@pytest.mark.parametrize("path", LESSONS, ids=[path.stem for path in LESSONS])
def test_no_cell_of_a_lesson_reads_volts_without_a_meter(path):
    cells = json.loads(path.read_text("utf-8"))["cells"]
    found = [line.strip() for cell in cells if cell["cell_type"] == "code" for line in cell["source"] if IDEAL.search(line)]
    assert found == []


def test_a_ghost_is_no_key_to_a_question():
    """The stop wire behind a blocking diode: some volts for whom nothing loads, next to none on the meter of lesson 10."""
    board = arrangement("hazard-by-diodes")
    point = operating_point(board, {"hazard": "on", "turn lever": "left"}, "on")
    assert point.volts("S3:R") > 11 and take_reading(point, "S3:R").shown < 1
