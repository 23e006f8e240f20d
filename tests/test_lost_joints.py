"""A wire that is off a terminal is struck out there in both drawings, and said; common practice on paper."""

import re

import pytest

import circuitlab as cl
from circuitlab.views.attached import describe_attached, draw_attached
from circuitlab.views.schematic import describe, draw

FORMS = {"current-path": (draw, describe), "attached": (draw_attached, describe_attached)}


@pytest.fixture(scope="module")
def lost():
    """One coil wire off its relay, one lamp's wire with a joint that is only bad."""
    return cl.changed(cl.arrangement("shared-filament-four-relays"), cl.LoseJoint("W11", "K1:86"), cl.LoseJoint("W22", "E1:1", 5.0))


@pytest.mark.parametrize("form", FORMS)
def test_the_end_that_is_off_has_a_cross_beside_its_terminal_and_no_other_has(form, lost):
    svg = FORMS[form][0](lost)
    strokes = re.findall(r'class="off" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)
    assert len(strokes) == 2 and 'class="off"' not in FORMS[form][0](cl.arrangement("shared-filament-four-relays"))
    middle = [sum(float(stroke[number]) + float(stroke[number + 2]) for stroke in strokes) / 4 for number in (0, 1)]
    ends = [(float(x), float(y)) for x, y in re.findall(r'data-terminal="K1:86" cx="([\d.]+)" cy="([\d.]+)"', svg)]
    assert min(abs(middle[0] - x) + abs(middle[1] - y) for x, y in ends) < 10
    assert "W11, yellow with white, from X4:2 to K1:86; off K1:86" in svg


@pytest.mark.parametrize("form", FORMS)
def test_the_spoken_text_says_where_it_is_off(form, lost):
    point = cl.operating_point(lost, {"key": "on", "turn lever": "left"})
    for said in (FORMS[form][1](lost), FORMS[form][1](lost, point)):
        assert said.count(", off ") == 1 and re.search(r"wire W11 YEWH \(yellow with white\) to \S+, off K1:86[.:]", said)


@pytest.mark.parametrize("form", FORMS)
def test_without_a_row_no_key_speaks_of_live_and_dead(form, lost):
    bare, live = FORMS[form][0](lost), FORMS[form][0](lost, cl.operating_point(lost))
    assert "drawn without live or dead" in bare and ">live<" not in bare and ">floating<" not in bare
    assert "drawn without live or dead" not in live and ">live<" in live and ">floating<" in live


@pytest.mark.parametrize("form", FORMS)
def test_each_key_says_that_lines_which_only_cross_are_not_joined(form, lost):
    """IEC 61082-1: a joint of lines has a dot or is a T, a crossing has neither (from memory)."""
    for svg in (FORMS[form][0](lost), FORMS[form][0](lost, cl.operating_point(lost))):
        assert svg.count("lines that only cross are not joined") == 1
