"""Dead at typical leakage, a ghost at the highest: a line, a mark and words of its own in both drawings, and only there."""

import re

import pytest

from circuitlab.arrangements import arrangement
from circuitlab.reasoning.leads import ghosts_in_doubt, take_reading
from circuitlab.solving import operating_point
from circuitlab.views.attached import describe_attached, draw_attached
from circuitlab.views.fault_words import shown_words
from circuitlab.views.schematic import describe, draw
from circuitlab.views.letters import Label
from circuitlab.views.tables import settled_status

FORMS = {"current-path": draw, "attached": draw_attached}
LEFT_OFF = {"hazard": "on", "turn lever": "left"}     # key off, hazard on, lever left
IN_DOUBT = {"S1:15", "S3:15", "S3:L", "S3:R", "V3:A", "V4:A"}


@pytest.fixture(scope="module")
def point():
    return operating_point(arrangement("hazard-by-diodes"), LEFT_OFF, "on")


def wires(svg):
    """Return {wire: (state, its title, outline, dashes)} of a drawing."""
    return {name: (state, title, float(width), dashes) for state, name, title, width, dashes in re.findall(
        r'class="wire (\w+)" data-wire="(\w+)"><title>([^<]*)</title><path d="[^"]*" stroke="currentColor" '
        r'stroke-width="([\d.]+)"(?: stroke-dasharray="([\d. ]+)")?', svg)}


def test_the_reading_names_both_and_so_does_what_draws(point):
    found = ghosts_in_doubt(point)
    assert set(found) == IN_DOUBT and all(9 < volts < 10 for volts in found.values())
    assert all(point.meter(terminal) < 1 for terminal in found)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("form", FORMS)
def test_their_wires_have_a_dash_dotted_line_as_thin_as_a_dead_one(form, point):
    lines = wires(FORMS[form](point.arrangement, point))
    assert {name for name, (state, *_) in lines.items() if state == "doubtful"} == {"W8", "W16", "W17"}
    dead = next(each for each in lines.values() if each[0] == "dead")
    for name in ("W8", "W16", "W17"):
        _, title, width, dashes = lines[name]
        assert title.endswith(": dead, may be a ghost") and width == dead[2] and len(dashes.split()) == 4
    assert not dead[3]


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.in_turn(2)
def test_their_terminals_are_ringed_and_no_others(form, point):
    """Each ring lies around the dot of a terminal in doubt; the key has one more."""
    svg = FORMS[form](point.arrangement, point)
    rings = [(float(x), float(y)) for x, y in re.findall(r'class="doubt" cx="([\d.]+)" cy="([\d.]+)"', svg)]
    dots = {(float(x), float(y)): terminal for terminal, x, y in re.findall(
        r'class="terminal" data-terminal="([^"]+)" cx="([\d.]+)" cy="([\d.]+)"', svg)}
    assert {dots[place] for place in rings if place in dots} == IN_DOUBT
    assert len([place for place in rings if place not in dots]) == 1


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("form", FORMS)
def test_the_key_names_it_where_there_are_diodes_and_nowhere_else(form, point):
    assert "dead, may be a ghost" in FORMS[form](point.arrangement, point)
    assert "may be a ghost" not in FORMS[form](point.arrangement)       # where no row is chosen nothing is live or dead
    for name in ("one-fused-lamp", "shared-filament-four-relays"):
        svg = FORMS[form](arrangement(name), operating_point(arrangement(name)))
        assert "may be a ghost" not in svg and 'class="doubt"' not in svg


@pytest.mark.parametrize("form", FORMS)
def test_a_point_without_doubt_has_no_ring_outside_the_key(form, point):
    on = operating_point(point.arrangement, {"key": "on", "turn lever": "left"}, "on")
    assert ghosts_in_doubt(on) == {} and FORMS[form](on.arrangement, on).count('class="doubt"') == 1


@pytest.mark.parametrize("form, spoken", [("current-path", describe), ("attached", describe_attached)])
@pytest.mark.in_turn(2)
def test_words_say_it_with_the_most_volts(form, spoken, point):
    most = f"{max(ghosts_in_doubt(point).values()):.1f} V"
    said = f"Dead, and a ghost of up to {most} on a meter where blocked diodes leak as much as " \
        "their sheets allow: S1:15, S3:15, S3:L, S3:R, V3:A, V4:A."
    assert said in settled_status(point)
    svg = FORMS[form](point.arrangement, point, readings=True)
    assert f"Dead, and a ghost of up to {most}" in " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", svg))
    assert spoken(point.arrangement, point).count("dead; a ghost where blocked diodes leak as much as their sheets allow") == 3
    assert "ghost" not in settled_status(operating_point(arrangement("one-fused-lamp")))


@pytest.mark.parametrize("form", FORMS)
def test_no_word_of_the_key_lies_on_its_ring(form, point):
    svg = FORMS[form](point.arrangement, operating_point(point.arrangement, {"key": "on", "turn lever": "left"}, "on"))
    (x, y), = [(float(x), float(y)) for x, y in re.findall(r'class="doubt" cx="([\d.]+)" cy="([\d.]+)"', svg)]
    for left, base, size, text in re.findall(r'<text x="([\d.]+)" y="([\d.]+)" font-size="([\d.]+)"[^>]*>([^<]*)</text>', svg):
        box = Label(text, float(left), float(base), float(size), "sheet").box
        assert not (box[0] < x + 4.8 and x - 4.8 < box[2] and box[1] < y + 4.8 and y - 4.8 < box[3]), text


# --- floating -------------------------------------------------------------------------------------------------------

DRIFTS = "the display drifts by itself, from some millivolts to volts"      # common practice: 10 megohm and a metre of wire


@pytest.mark.parametrize("form, spoken", [("current-path", describe), ("attached", describe_attached)])
def test_what_floats_says_what_the_display_shows(form, spoken, point):
    """No 0 V and no number: common practice."""
    said = spoken(point.arrangement, point)
    assert "W3 OG (orange) to" in said and said.count(f"Where it floats, {DRIFTS}.") == 1
    svg = FORMS[form](point.arrangement, point, readings=True)
    assert f"Where it floats, {DRIFTS}." in " ".join(re.findall(r"<text[^>]*>([^<]*)</text>", svg))
    lit = operating_point(arrangement("one-fused-lamp"))
    assert DRIFTS not in spoken(lit.arrangement, lit) + FORMS[form](lit.arrangement, lit, readings=True)
    assert DRIFTS not in spoken(point.arrangement)


def test_a_floating_reading_says_so_too(point):
    reading = take_reading(point, "K1:87a")
    assert reading.value is None and DRIFTS in reading.brief and DRIFTS in shown_words(reading)
    assert DRIFTS not in take_reading(point, "S1:15").brief
