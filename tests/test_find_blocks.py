"""Fuses told of and looked at, repairs of a converter and its bulbs, and clauses that seem to disagree."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import SetValue, Short, changed
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.finding.asked_for import as_sentence
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.case import Case
from circuitlab.reasoning.finding.cold import cold_ohms
from circuitlab.reasoning.finding.customers import read_all, read_symptoms
from circuitlab.reasoning.finding.finding import find, told
from circuitlab.reasoning.finding.shorting import TOO_LATE
from circuitlab.reasoning.finding.told import read_taken
from circuitlab.views.find_words import head_words, outcome_words

from test_fuse_blocks import SPLIT

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


# ------------------------------------------------------------------ repairs

def repair_of(words, circuit):
    return next(each.repair for each in candidates_of(circuit) if each.words.startswith(words))


@pytest.mark.outside("nothing new goes in where what killed the old one may be there still: a short is looked for first; common practice")
@pytest.mark.parametrize("name", ["trailer-4-flat-converter", "trailer-4-flat-converter-led"])
def test_a_new_converter_goes_in_only_after_a_short_was_looked_for(name):
    circuit = cl.arrangement(name)
    own = {each.repair for each in candidates_of(circuit) if each.sort == "converters"}
    assert own == {"put a new K11 in, only after ohms from Lt, Rt and 58t to the trailer's ground, plug in and lamps out, have found no short"}
    assert repair_of("a converter that joins", circuit) == "fit a converter with exclusive or as K11"


def test_a_bulb_turned_round_or_wrong_is_set_right_by_its_own_repair():
    assert repair_of("bulb of E1 turned", FILAMENTS) == "turn the bulb of E1 round, and see to its holder"
    assert repair_of("P21W, of one filament, in E1", FILAMENTS) == "fit the right bulb in E1"


# ------------------------------------------------------------------ a fuse that is not there

PEDAL = "rear left dark when pedal held"


@pytest.mark.parametrize(("said", "means"), [("F5.1 missing", "F5.1 missing"), ("no fuse in F5.1", "F5.1 missing"), ("there is no fuse in F5.1", "F5.1 missing"),
                                             ("no fuse sits in the place of F5.1", "F5.1 missing"), ("F5.1 is whole", "F5.1 whole")])
def test_a_fuse_that_is_not_there_is_told_by_its_own_word(said, means):
    assert [str(read_taken(each, SPLIT)) for each in (said, means)] == [means, means]
    assert [str(each) for each in told(SPLIT, [PEDAL, said], ())[1]] == [means]


def test_only_a_fuse_of_a_block_can_be_missing():
    with pytest.raises(CircuitLabError, match="no fuse of a block 'F5'"):
        read_taken("F5 missing", CONVERTER)
    with pytest.raises(CircuitLabError, match="no fuse of a block 'E1'. It has: F5.1, F5.2, F5.4"):
        read_taken("no fuse in E1", SPLIT)


def test_a_missing_fuse_is_a_cause_of_its_own_and_an_outcome_of_the_look_at_its_way():
    before = find(SPLIT, PEDAL)
    offer = next(each for each in before.ahead.offers if each.look == "F5.1")
    assert set(offer.outcomes.tolist()) == {0, 1, 2} and as_sentence("none there", offer, SPLIT) == "F5.1 missing"
    look = find(SPLIT, PEDAL, "12.6 V at F5:30 when pedal held").told("0 V at F5:1 when pedal held")
    words = [outcome_words(each, look.next.offer) for each in look.next.outcomes]
    assert look.next.offer.look == "F5.1" and sorted(words) == ["blown", "none there", "whole"]
    found = {state: look.told(f"F5.1 {state}").causes[0] for state in ("missing", "blown", "whole")}
    assert found["missing"].words == "no fuse sits in the place of F5.1" and found["missing"].odds > 0.9 and found["missing"].repair.startswith("put a fuse into F5.1, only after")
    assert "no fuse" not in found["blown"].words + found["whole"].words and "clips" in found["whole"].words
    assert not any(each.fits[-1].agrees for each in look.told("F5.1 missing").causes if each.words != found["missing"].words)


# ------------------------------------------------------------------ a short behind a converter

@pytest.mark.full
@pytest.mark.outside("a converter's fuse that blows again: a short on the trailer's wires or ahead of the converter; plug out, then ohms; common practice")
def test_a_fuse_that_blows_again_ahead_of_a_converter_may_have_its_short_on_the_trailer():
    found = find(CONVERTER, readings="F5 blown again")
    words = [cause.words for cause in found.causes]
    behind = [each for each in words if "the converter did not cut off in time" in each]
    assert "W27 chafed" in words[0] and any(each.startswith("W31 chafed") for each in behind) and len(behind) > 5 and found.other < 0.5
    assert all(fit.agrees for cause in found.causes for fit in cause.fits)
    step, parted, readings = found, [], ["F5 blown again"]
    shorted = changed(CONVERTER, Short("E7:1", "X1:1"))        # W31 has chafed through
    for _ in range(12):
        if step.next is None:
            break
        offer = step.next.offer
        assert offer.instrument == "ohms"       # nothing live onto a short
        parted.append(offer.parted)
        ohms = cold_ohms(shorted, offer.red, offer.black, offer.positions, offer.lifted, offer.out)
        readings.append(as_sentence("no way" if ohms > 1e3 else f"{ohms:.3g}", offer, CONVERTER))
        step = step.told(readings[-1])
    assert ("X5",) in parted and any("X5 out" in each for each in readings)
    assert {"W31", "E7"} & {name.partition(":")[0] for name in step.causes[0].place} or "W31" in step.causes[0].repair, readings


@pytest.mark.full
def test_a_short_that_the_converter_cut_off_in_time_leaves_its_fuse_whole():
    found = find(CONVERTER, "trailer left dark when braking", "F5 whole")
    odds = {each.words: weight for each, weight in zip(found.ahead.solved.candidates, found.ahead.weights)}
    left = {words: weight for words, weight in odds.items() if words.startswith(("W28 chafed", "W31 chafed"))}
    assert len(left) == 4 and all(weight < 0.01 * left[words.removesuffix(TOO_LATE)] for words, weight in left.items() if words.endswith(TOO_LATE))


@pytest.mark.outside("a converter with a dead output: its loads are checked for a short before a new one goes in, power off; common practice")
def test_a_dead_channel_and_a_short_that_the_converter_cuts_off_are_told_apart_by_ohms():
    """No fuse went; the short lies behind the channel, or nowhere."""
    told = ["trailer left dark when braking", "trailer right steady when braking", "F5 whole", "12.6 V from G1:+ to E7:1"]
    found = find(CONVERTER, told[:2], told[2:])
    offers = [each for each in found.ahead.offers if each.instrument == "ohms" and {each.red.partition(":")[0]} & {"E7", "K11", "X5"}]
    assert offers and found.ahead.solved.cut.any() and "channel K11.Lt dead" in found.causes[0].words
    out = ", ".join(f"{name} out" for name in offers[0].out if name not in offers[0].parted)
    dead, shorted = (found.told(f"{ohms} from E7:1 to X1:1, {out}") for ohms in ("no way", "0.2 ohm"))
    before, after, then = (float(each.ahead.weights[each.ahead.solved.cut[1:]].sum()) for each in (found, dead, shorted))
    assert after < before / 5 and then > 0.9 and "channel K11.Lt dead" in dead.causes[0].words
    assert any(word in shorted.causes[0].words for word in ("touches", "chafed")) and "channel" not in shorted.causes[0].words


# ------------------------------------------------------------------ what agrees with nothing, and words of customers

@pytest.mark.parametrize(("said", "means"), [
    ("trailer left stays on when braking and turning", ["trailer left steady when key on and brake pedal held and turn lever left"]),
    ("trailer right stays on when braking and turning", ["trailer right steady when key on and brake pedal held and turn lever right"]),
    ("trailer right stays on when turning left", ["trailer right steady when key on and turn lever left"]),
    *((words, [f"trailer {lamp} steady" for lamp in ("left", "right", "left tail", "right tail")]) for words in (
        "trailer lamps on all the time", "trailer lamps always on", "the trailer lights are always on", "all trailer lamps stay on all the time")),
    ("trailer left always on", ["trailer left steady"]), ("tail lamps always on", [f"{lamp} steady" for lamp in ("trailer left tail", "rear tail", "trailer right tail")])])
def test_turning_is_a_side_of_the_lever_and_always_is_at_rest(said, means):
    assert sorted(words(said, CONVERTER)) == sorted(means)


@pytest.mark.full
def test_where_nothing_agrees_that_is_said_first_and_the_turn_lever_is_asked_for():
    found = find(CONVERTER, "trailer left flashes when braking")
    head = head_words(found)
    assert found.none_agrees and head.startswith("Nothing on the list agrees with what was told. 'trailer left flashing when brake pedal held' is what the sound circuit shows when key on")
    assert "the turn lever on as well?" in head and [each.besides for each in found.elsewhere] == [("key", "turn lever")]
    other = find(CONVERTER, "trailer left dark when braking")
    assert not other.none_agrees and other.elsewhere == () and head_words(other).startswith("What may be at fault")


# ------------------------------------------------------------------ a side that was not said

@pytest.mark.outside("a tail lamp brighter than the brake lamp: the two-filament bulb is turned round in its holder; common practice")
def test_where_no_side_is_said_one_lamp_of_the_pair_is_enough_and_nothing_contradicts():
    found = find(FILAMENTS, "tail lamp brighter than brake lamp")
    first, second = found.causes[:2]
    assert {first.words, second.words} == {f"bulb of {name} turned round in its holder" for name in ("E1", "E2")} and first.odds == pytest.approx(second.odds, rel=0.01)
    assert not found.is_of_pairs and found.contradiction is None and all(fit.agrees for cause in (first, second) for fit in cause.fits)
    assert find(FILAMENTS, [str(each) for each in found.symptoms]).causes == found.causes
    left = found.told("rear right stop steady when braking")
    assert left.causes[0].words == "bulb of E1 turned round in its holder" and left.causes[0].odds > 0.9


def test_two_faults_that_explain_all_of_it_are_told_without_a_contradiction():
    both = ["rear left tail too bright when tail lamps on", "rear right tail too bright when tail lamps on",
            "rear left stop dim when braking", "rear right stop dim when braking"]
    found = find(FILAMENTS, both)
    assert found.is_of_pairs and all(fit.agrees for fit in found.causes[0].fits) and found.contradiction is None


def test_a_lamp_whose_place_has_the_word_or_is_one_lamp():
    circuit = changed(cl.arrangement("one-fused-lamp"), SetValue("E1", "place", "bed or cab"))
    assert words("bed or cab dim when lamp switch on", circuit) == ["E1 dim when lamp switch on"]
