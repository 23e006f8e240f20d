"""A fuse that is said to go while something is on: how that is said, in which rows it then goes, and which shorts come first."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import changed
from circuitlab.benches.board.telling import read_told
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.conditions import plain_condition
from circuitlab.reasoning.finding.finding import find, told
from circuitlab.solving import operating_point
from circuitlab.views.find_words import contradiction_words

from repairers import bench_with
from test_fuse_blocks import SPLIT

CONVERTER, FLAT, SEPARATE, HAZARD = (cl.arrangement(name) for name in (
    "trailer-4-flat-converter", "trailer-4-flat-combined-lamps", "separate-filaments", "shared-filament-rear-relays-hazard"))
BRAKES, LEFT = "brake pedal held", "key on and turn lever left"
SOURCE = ("service manual: one fuse, several loads: their switches are closed one after another with a meter or lamp in the fuse's place; the short lies "
          "behind the one that makes it show")


@pytest.mark.parametrize(("said", "circuit", "means"), [
    *((said, CONVERTER, f"F5 blown when {BRAKES}") for said in (
        "F5 blown when braking", "fuse 5 blows when I brake", "F5 blows with the brake", "F5 blows with the brakes on", "fuse F5 blows whenever I press the brake",
        "the fuse 5 blew as soon as I braked", "Fuse no. 5 goes every time I step on the brake pedal", "f5 blows on braking", "my fuse 5 blows if I brake",
        "F5 has blown while braking", "blows the converter's fuse with the brake")),
    ("F5 keeps blowing when I brake", CONVERTER, f"F5 blown again when {BRAKES}"), ("fuse 5 blows again with the brake", CONVERTER, f"F5 blown again when {BRAKES}"),
    ("fuse 2 blows when I signal left", FLAT, f"F2 blown when {LEFT}"), ("F2 blown with the left turn signal", FLAT, f"F2 blown when {LEFT}"),
    ("F5 blows when I brake with the tail lamps on", CONVERTER, f"F5 blown when {BRAKES} and tail lamps on"),
    ("fuse 3 blows with the hazard", HAZARD, "F3 blown when hazard on"), ("F4 blows when the tail lamps are on", HAZARD, "F4 blown when tail lamps on"),
    ("F5.1 blows with the pedal", SPLIT, "F5.1 blown when pedal held"), ("fuse 5.1 blows when the pedal is held", SPLIT, "F5.1 blown when pedal held"),
    ("fuse 5.4 goes with the key on", SPLIT, "F5.4 blown when key on"), ("E1 blown", SPLIT, "E1 blown"), ("F5.1 whole", SPLIT, "F5.1 whole")])
def test_words_of_customers_name_the_fuse_and_the_row_it_goes_in(said, circuit, means):
    symptoms, taken, _ = told(circuit, said, ())
    assert symptoms == () and [str(each) for each in taken] == [means]
    assert told(circuit, (), said)[1] == told(circuit, (), means)[1] == read_told(said, circuit) == taken


@pytest.mark.parametrize(("said", "circuit", "says"), [
    ("fuse 7 blows when I brake", CONVERTER, "has no fuse '7'. It has: F1, F2, F4, F5"), ("fuse 5.3 blows with the key on", SPLIT, "no fuse '5.3'. It has: F5.1, F5.2, F5.4"),
    ("F5 blows with the hazard on", CONVERTER, "no switch or word 'hazard on'"), ("F5 blows when turning", CONVERTER, "no switch or word 'turning'.*Did you mean 'turning left'"),
    ("the fuse blows when I brake", CONVERTER, "Say which, as it was seen"), ("a fuse blows with the brake", CONVERTER, "Say which, as it was seen")])
def test_what_cannot_be_meant_of_a_fuse_gets_one_sentence(said, circuit, says):
    with pytest.raises(CircuitLabError, match=says):
        told(circuit, said, ())


def test_what_somebody_does_is_the_trades_own_word_and_a_controls_name_stays():
    domain = (("the brake", ("off", "on")), ("key", ("off", "on")))
    said = {"I brake": "stop", "you hit the brakes": "stop", "the key is on": "key on", "not indicating right": "not turn right", "the brake on": "the brake on",
            "( braking or my key on )": "( stop or key on )"}
    assert {words: " ".join(plain_condition(words.split(), domain)) for words in said} == said


# ------------------------------------------------------------------ which shorts come first

@pytest.mark.outside(SOURCE)
@pytest.mark.parametrize(("said", "circuit", "moved", "before"), [
    ("F1 blown when braking", FLAT, {"brake pedal": "held"}, {}), ("fuse 1 blows when I brake", SEPARATE, {"brake pedal": "held"}, {}),
    ("F5 blows with the brake", CONVERTER, {"brake pedal": "held"}, {}), ("F4 blows with the tail lamps on", HAZARD, {"tail lamps": "on"}, {}),
    ("F2 blows when I turn left", SEPARATE, {"key": "on", "turn lever": "left"}, {"key": "on"}), ("fuse 5.1 blows with the pedal", SPLIT, {"pedal": "held"}, {})],
    ids=lambda value: value if isinstance(value, str) else None)
def test_shorts_on_what_is_live_in_that_row_and_not_before_it_come_first(said, circuit, moved, before):
    """Each of the first causes is made in a circuit of its own, its fuses whole: with the control moved the fuse goes, before that it stays."""
    found = find(circuit, said)
    fuse = found.taken[0].seen[0]
    assert all(fit.agrees for cause in found.causes[:2] for fit in cause.fits) and not found.none_agrees, [cause.words for cause in found.causes[:2]]
    for cause in found.causes[:2]:
        made = changed(circuit, *(each for each in cause.changes if getattr(each, "state", "") != "blown"))
        if "did not cut off in time" in cause.words:
            continue
        rows = [operating_point(made, positions, "on").states[fuse] for positions in (moved, before)]
        assert rows == ["blown", "whole"], cause.words
    words = [cause.words for cause in found.causes]
    assert f"{fuse} blown" not in words[:2]


def test_what_would_have_gone_before_or_goes_by_itself_says_so_and_stays_listed():
    said = {cause.words: cause for cause in find(SPLIT, "F5.1 blows with the pedal").causes}
    always, alone = said["W2 chafed through to X1, somewhere from F5:1 to S2:1"], said["F5.1 blown"]
    assert always.fits[0].expected == "it gone before that, with everything at rest" and alone.fits[0].expected == "it gone by itself, whatever the row"
    assert not always.fits[0].agrees and not alone.fits[0].agrees and always.odds > 0.01 < alone.odds
    keyed = find(FLAT, "F2 blown when braking")
    assert keyed.none_agrees and "it to go when key on" in {cause.fits[0].expected for cause in keyed.causes}


def test_the_row_it_went_in_counts_beside_lamps_that_were_told_and_two_faults_are_tried_in_it():
    """A short and a blown lamp that have nothing to do with each other: no single fault agrees with both."""
    found = find(SPLIT, ["at the back dark when key on"], ["F5.1 blown when pedal held", "F5.4 whole", "12.5 V from E2:1 to E2:2 when key on"])
    assert found.is_of_pairs and {"E2 blown"} & {*found.causes[0].words.split(", and ")} and all(fit.agrees for fit in found.causes[0].fits)


def test_the_planted_short_is_found_from_the_customers_words():
    """The wire behind the pedal's switch chafed through: ohms with the battery off say so."""
    chafed = next(each for each in candidates_of(SPLIT) if each.words.startswith("W3 chafed"))
    bench, found = bench_with(SPLIT, chafed), find(SPLIT, "fuse 5.1 blows with the pedal")
    for _ in range(8):
        if found.next is None:
            break
        found = found.told(bench.answer(found.next.offer))
    assert found.causes[0].words.startswith("W3 chafed") and found.causes[0].odds > 0.8


@pytest.mark.outside("one section after the other is parted from the rest with the battery off, and the short is in the one that takes it along; army continuity walk, TM 5-2420-230-24-1")
def test_wires_that_meet_at_a_splice_are_told_apart_by_lifting_them_there():
    """With the far end of a wire off, it still touches; and nobody is sent to fuses that have nothing to do with it."""
    circuit = cl.arrangement("tail-and-stop-two-filaments")
    chafed = next(each for each in candidates_of(circuit) if each.words.startswith("W18 chafed"))
    bench, found, asked = bench_with(circuit, chafed), find(circuit, "F3 blows when the tail lamps are on"), []
    for _ in range(10):
        if found.next is None:
            break
        asked.append(found.next.offer)
        found = found.told(bench.answer(found.next.offer))
    assert found.is_found and found.causes[0].repair.startswith("free W18") and {each.instrument for each in asked} == {"ohms"}
    assert any(end.startswith("X5:") for each in asked for _, end in each.lifted)


# ------------------------------------------------------------------ a lamp that lights at first

TRAILER = cl.arrangement("trailer-12n-separate-lamps")


@pytest.mark.parametrize("circuit, seen, blown", [
    (TRAILER, ["E13 steady when tail lamps on"], "F4 blown when tail lamps on"), (TRAILER, ["tail lamps on at first when tail lamps on"], "F4 blown when tail lamps on"),
    (FLAT, ["E9 steady when tail lamps on"], "F4 blown"), (FLAT, ["brake lights lit for a moment when braking"], "F1 blown when braking")])
def test_a_lamp_that_lit_before_its_fuse_went_contradicts_nothing(circuit, seen, blown):
    """It was seen before that: every cause that is told first has that fuse gone, and agrees with both."""
    found = find(circuit, seen, blown)
    assert found.contradiction is None and not found.is_of_pairs and found.other < 0.3
    for cause in found.causes[:5]:
        assert all(fit.agrees for fit in cause.fits) and not cause.words.startswith(("flasher", "relay")), cause.words
    assert found.symptoms[0].look == "steady"


def test_a_fuse_gone_of_age_leaves_no_other_side_lit():
    """One lamp dark and one lit behind the same fuse are no fuse that died of age: then both were lit, and now both are dark."""
    found = find(SEPARATE, ["E3 dark when turn left", "E4 flashing when turn right"], "F2 blown")
    alone = next((cause.odds for cause in found.causes if cause.words == "F2 blown"), 0.0)
    assert alone < 0.2


# ------------------------------------------------------------------ what does not go together

@pytest.mark.parametrize("symptoms, readings", [
    (["no turn signals", "front left dark when turn left"], ["F2 blown when braking"]), (["no turn signals"], ["F2 blown when turn left"]),
    (["no turn signals"], ["0 V at F2:2 when turn left", "F2 blown when turn left"]), (["front right dark when turn right"], ["F2 blown when braking", "F2 blown"]),
    ([], ["0.2 ohm from F2:2 to X1:1 when turn left", "F2 blown when braking"]), (["brake lights fine", "no turn signals"], ["F2 blown when turn left"])])
@pytest.mark.parametrize("circuit", [SEPARATE, TRAILER], ids=["cart", "trailer"])
def test_nothing_is_said_to_fit_worst_that_the_rest_makes_one_expect(circuit, symptoms, readings):
    """Where a fuse's row alone misfits, that is said; that it is blown is not doubted, and nothing else is blamed for it."""
    slip = find(circuit, symptoms, readings).contradiction
    if slip is not None:
        look = getattr(slip.told, "look", "")
        assert slip.expected != look, contradiction_words(slip)
        if str(slip.told).startswith("F2 blown when braking"):
            assert slip.expected.startswith("it to go when key on")


def test_a_row_in_which_no_short_takes_that_fuse_is_the_thing_that_fits_worst():
    slip = find(SEPARATE, ["no turn signals"], ["F2 blown when braking"]).contradiction
    assert "'F2 blown when brake pedal held' fits worst: the rest makes one expect it to go when key on" in contradiction_words(slip)
    assert "It would fit with another row." in contradiction_words(slip)
