"""Fuses told of and looked at, repairs of a converter and its bulbs, and clauses that seem to disagree."""

import pytest

import circuitlab as cl
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.finding.case import Case
from circuitlab.reasoning.finding.customers import read_all, read_symptoms
from circuitlab.reasoning.finding.finding import find, told

CONVERTER, FLAT, FILAMENTS = (cl.arrangement(name) for name in (
    "trailer-4-flat-converter", "trailer-4-flat-combined-lamps", "tail-and-stop-two-filaments"))
BOTH = "brake pedal held and tail lamps on"
DARK = [f"trailer {side} dark when {BOTH}" for side in ("left", "right", "left tail", "right tail")]
OWN = [f"rear {side} stop steady when brake pedal held" for side in ("left", "right")]


def words(said, circuit):
    return [str(each) for each in read_symptoms(said, circuit)]


@pytest.mark.parametrize("said", [
    "no trailer lights, the brake lights are fine", "no trailer lights at all, brake lights work", "no trailer lights, brake lights works",
    "no trailer lights, but the brake lights are ok", "no trailer lights; brake lights are okay"])
def test_brake_lights_told_as_fine_beside_a_dark_trailer_are_the_vehicles_own(said):
    assert words(said, CONVERTER) == DARK + OWN
    assert words(", ".join(reversed(said.replace(" but ", " ").replace(";", ",").split(", "))), CONVERTER) == OWN + DARK
    assert [str(each) for each in told(CONVERTER, said.replace(";", ",").replace(" but ", " ").split(", "), ())[0]] == DARK + OWN


@pytest.mark.parametrize(("said", "circuit", "means"), [
    ("no turn signals, the brake lights are fine", FLAT, "trailer left steady when brake pedal held"),      # the same lamp, in another row
    ("no trailer lights, the trailer brake lights are fine", CONVERTER, "trailer left steady when brake pedal held"),
    ("all dark when braking, rear left stop steady when braking", CONVERTER, "rear left stop steady when brake pedal held"),
])
def test_what_is_fine_by_its_own_words_stays_told(said, circuit, means):
    assert means in words(said, circuit) and means.replace("steady", "dark") not in words(said, circuit)


def test_a_lamp_is_never_told_as_right_and_wrong_at_once():
    looks = [(each.lamp, each.look) for each in read_all(["no trailer lights", "the trailer brake lights are fine"], CONVERTER)]
    assert looks == [("E9", "dark"), ("E11", "dark"), ("E7", "steady"), ("E8", "steady")]


@pytest.mark.full
def test_a_dark_trailer_beside_good_brake_lights_keeps_what_darkens_only_the_trailer():
    causes = find(CONVERTER, "no trailer lights, the brake lights are fine").causes
    said = " | ".join(cause.words for cause in causes)
    assert causes[0].odds < 0.9 and all(piece in said for piece in ("converter K11 dead", "X5", "W40", "W27")), said


@pytest.mark.parametrize(("said", "means"), [
    ("F5 blown", "F5 blown"), ("F5 blown again", "F5 blown again"), ("F5 blown when braking", "F5 blown when brake pedal held"),
    ("blows the converter's fuse", "F5 blown"), ("blows the converter's fuse when braking", "F5 blown when brake pedal held"),
    ("the converter's fuse blown again", "F5 blown again")])
def test_a_fuse_told_as_a_symptom_is_what_was_seen_of_it(said, means):
    symptoms, taken, _ = told(CONVERTER, said, ())
    assert symptoms == () and [str(each) for each in taken] == [means]
    assert told(CONVERTER, (), said)[1] == taken
    symptoms, beside, _ = told(CONVERTER, f"no trailer lights, {said}", ())
    assert [str(each) for each in symptoms] == DARK and beside == taken


def test_a_case_keeps_a_fuse_told_as_a_symptom_among_its_readings():
    case = Case(CONVERTER).with_symptom("no trailer lights, blows the converter's fuse").with_symptom("F5 blown again")
    assert case.symptoms == tuple(DARK) and case.readings == ("F5 blown", "F5 blown again")


def test_a_fuse_that_nobody_named_is_asked_for():
    with pytest.raises(CircuitLabError, match="'blows a fuse' is said of a fuse. Say which, as it was seen"):
        told(CONVERTER, "blows a fuse", ())
