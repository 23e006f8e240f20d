"""What is asked for next is what a person of the trade would do: nothing left out that parts, the plug first, and nothing that tells nothing."""

import pytest

import circuitlab as cl
from circuitlab.reasoning.finding.battery_off import DEAD_SHORT
from circuitlab.reasoning.finding.finding import find
from circuitlab.views.find_words import VAIN, place_words

SEPARATE, FLAT, REAR = (cl.arrangement(name) for name in ("trailer-12n-separate-lamps", "trailer-4-flat-combined-lamps", "shared-filament-rear-relays"))


def test_cores_crossed_on_either_half_of_a_plug_are_parted_by_a_pin_though_a_fuse_was_seen_blown():
    """With the pedal down nothing that is left shorts anything: what the fuse would have gone by there is as good as ruled out."""
    found = find(SEPARATE, ["F4 blown", "E11 dark when braking", "E13 steady when braking"])
    assert [cause.words for cause in found.causes] == ["wires on X5:6s and X5:7s crossed", "wires on X5:6p and X5:7p crossed"]
    offer = found.next.offer
    assert offer.red.startswith("X5:") and offer.positions["brake pedal"] == "held" and offer.positions["tail lamps"] == "off"
    read = {cause.repair: found.ahead.refuting(cause.repair)[1] for cause in found.causes}
    low, high = sorted(read.values(), key=lambda each: each.least)
    assert high.least - low.most > 10


def test_where_what_shorts_is_likely_nothing_is_read_live_behind_a_fuse_seen_blown():
    found = find(SEPARATE, ["F4 blown"])
    assert found.next.offer.instrument == "ohms"
    assert all(is_risky for row, is_risky in zip(found.ahead.solved.rows, found.ahead.left.risky) if row["tail lamps"] == "on")


# ------------------------------------------------------------------ a short that a trailer's circuit may carry

@pytest.mark.outside("what keeps blowing a fuse with a trailer on: the plug is pulled first, which tells vehicle from trailer; common practice")
@pytest.mark.parametrize("said", ["F4 blown", "F4 blown when tail lamps on"])
@pytest.mark.parametrize("circuit, vehicle", [(SEPARATE, {"E10"}), (FLAT, {"E5", "E6"})], ids=["12N", "4-flat"])
def test_the_plug_is_parted_first_and_only_lamps_on_the_vehicles_line_are_out(circuit, vehicle, said):
    offer = find(circuit, [], [said]).next.offer
    assert offer.parted == ("X5",) and {*offer.out} == {"F4", "X5", *vehicle} and not offer.lifted


def test_once_the_plug_is_parted_no_lamp_of_the_other_side_is_asked_for():
    """Neither where the vehicle is shorted nor where the trailer is; and a fuse that is blown is not put back."""
    for read, side in (("0.1 ohm", "rear"), ("no way", "trailer")):
        found = find(SEPARATE, [], ["F4 blown when tail lamps on", f"{read} from F4:2 to X1:1 when tail lamps on, F4 out, E10 out, X5 out"])
        offers = [each for each in found.ahead.left.all() if each.instrument == "ohms" and each.parted and not each.red.startswith("X5")]
        for offer in offers:
            more = {*offer.out} - {"F4", "X5", "E10"}
            assert all(SEPARATE.part(name).place.startswith(side) for name in more) and len(more) <= 2, offer
        assert offers and "put back: F4" not in found.text()


@pytest.mark.parametrize("name, fuse", [("trailer-12n-separate-lamps", "F4"), ("trailer-4-flat-converter", "F5"), ("separate-filaments", "F2")])
def test_lamps_left_in_spoil_no_reading(name, fuse):
    """Every outcome that is told beforehand, beside the ohms with exactly these lamps out, plugs parted and wires off."""
    left = find(cl.arrangement(name), [], [f"{fuse} blown"]).ahead.left
    offers = [each for each in left.all() if each.instrument == "ohms"]
    for offer in offers:
        ohms = left.solved.weighing.cold.ohms(offer.red, offer.black, offer.positions, offer.lifted, offer.out)[left.numbers]
        assert ((ohms < DEAD_SHORT) == (offer.values == 0)).all(), offer
    assert len(offers) > 10 and any(len(offer.out) < len(left.solved.lamps) for offer in offers)


# ------------------------------------------------------------------ a look at a lamp, and readings that tell nothing

def test_a_lamp_that_is_looked_at_is_asked_for_its_brightness_and_where_it_flashes_for_its_rate():
    said = {}
    for symptom in ("rear left dark when braking", "rear left dark when turn left"):
        found = find(REAR, symptom)
        said |= {offer.sound: place_words(found, offer) for offer in found.ahead.left.all() if offer.instrument == "watch"}
    assert said["steady"].endswith(" works when brake pedal held, as bright as ever")
    assert said["flashing"].endswith(" works when key on and turn lever left, as bright as ever and at its usual rate")


def test_nothing_is_read_where_what_was_told_is_on_no_list():
    """Three lamps that hurry by a flasher that keeps its own time: whatever is read, the causes that are listed are not it."""
    found = find(SEPARATE, "turn signals fast when turn left")
    assert [each.lamp for each in found.symptoms] == ["E3", "E5", "E7"]
    assert found.other > 0.95 and found.none_agrees and found.next is None and found.spans == ()
    assert VAIN in " ".join(found.text().split())


@pytest.mark.parametrize("told", [["front left fast when turn left"], ["rear tail dim when tail lamps on"], ["F2 blown when braking"]])
def test_no_reading_is_asked_for_whose_likely_outcomes_leave_the_odds_as_they_are(told):
    """What is as good as sure to come out is no news."""
    step = find(SEPARATE, told).next
    assert max(each.odds for each in step.outcomes) < 0.95, step
