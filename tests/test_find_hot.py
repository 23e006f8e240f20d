"""Heat at a bad joint that was read, the shell of a holder, and what is left of the list: said, and kept apart from what was not read."""

import pytest

import circuitlab as cl
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.told import read_taken
from circuitlab.views.find_words import finding_html, finding_text

TRAILER, FILAMENTS = cl.arrangement("trailer-4-flat-combined-lamps"), cl.arrangement("tail-and-stop-two-filaments")
NO_BRAKE = ["no brake lights", "rear left tail steady when tail lamps"]


def test_a_joint_that_glows_is_cooled_before_a_hand_or_a_lead_goes_there():
    """Four lamps of 21 W behind a joint that takes 10.9 of 12.6 V at 2.4 A: P = U I = 26 W, more than the 20 W from which the fault list says fire."""
    found = find(TRAILER, NO_BRAKE, ["1.7 V at F1:1 when braking"])
    first, text = found.causes[0], " ".join(finding_text(found).split())
    assert first.named == "W1" and first.heat == pytest.approx(first.volts * first.amps) == pytest.approx(26, abs=2) and first.glows
    assert "2.4 A, 26 W of heat there" in text
    assert text.index("Caution: between G1:+ and F1:1 it gets so hot that it glows") < text.index("Next (about")
    assert "let it cool; then look at it and mend it before anything else. Nothing is measured there live." in text
    assert "it gets so hot" in finding_html(found)


def test_a_joint_that_is_warm_is_told_without_a_caution():
    found = find(cl.arrangement("shared-filament-rear-relays"), ["rear left dim when braking"], ["10.9 V at E1:1 when braking", "12.4 V at S2:2 when braking"])
    text = " ".join(finding_text(found).split())
    assert any(cause.is_warm and not cause.glows for cause in found.causes) and " W of heat there" in text and "so hot" not in text


@pytest.mark.outside("the shell of a two-filament holder that makes no contact: both filaments dim one another; common practice")
def test_the_shell_of_a_holder_is_found_where_the_ground_wire_is_sound():
    told = ["rear left stop dark when braking", "rear right tail dim when braking", "rear left tail dim when braking"]
    found = find(FILAMENTS, told, ["0 V at E1:31 when braking"])
    assert found.causes[0].words == "open between the cap of E1 and the shell of its holder" and all(fit.agrees for fit in found.causes[0].fits)
    assert found.causes[0].odds > 0.5 and not all(fit.agrees for fit in next(cause for cause in found.causes if "W21" in cause.words).fits)
    assert find(FILAMENTS, told, ["12 V at E1:31 when braking"]).causes[0].named == "W21"


@pytest.mark.parametrize("said", ["12.4 V at pin 6 of the socket when braking, X5 out", "0 V at E1:1 when braking, E1 out", "12 V at X5:6s when braking, plug out of X5",
                                  "3 A through F1 when braking, E1 out", "12 V at E1:1 when braking, W3 lifted at X3:1"])
def test_volts_with_something_out_are_refused_and_ohms_are_not(said):
    """A parted plug reads 12.4 V whatever joint is ahead of it, as nothing flows: such volts would clear the guilty wire."""
    circuit = cl.arrangement("trailer-12n-separate-lamps")
    with pytest.raises(CircuitLabError, match="volts and amps count here in the whole circuit.* mate a plug and read its pin from behind; or tell ohms"):
        read_taken(said, circuit)
    assert read_taken("0.2 ohm from X5:6s to X1:1, X5 out", circuit).out == ("X5",)


def test_what_agrees_with_all_that_was_told_is_not_said_to_contradict_it():
    """The trailer's ground lost: its left tail flickers with the lever to the left, and the cart's right lamp glows."""
    found = find(TRAILER, ["trailer left tail flickers when turn left and tail lamps", "rear right glows when turn left"])
    assert all(fit.agrees for fit in found.causes[0].fits) and found.contradiction is None


def test_all_odds_are_told_together():
    """Causes that are told, the others of the list, and what is on no list: together 1."""
    found = find(TRAILER, NO_BRAKE, ["fuse 1 blows with the brake"])
    few = find(cl.arrangement("one-fused-lamp"), ["E1 dark when lamp switch on"], ["F1 blown"])
    assert len(found.causes) == 12 and found.rest > 0.05 > few.rest
    for each in (found, few):
        assert sum(cause.odds for cause in each.causes) + each.rest + each.other == pytest.approx(1, abs=0.01)
        assert ("All others on the list together: " in finding_text(each)) == (each.rest > 0)
