"""Pins as they are spoken of: of the plug, of the socket, of a relay."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddPart
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Connector
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.told import read_out_of_reach, read_taken
from circuitlab.views.find_words import place_words

SEPARATE, REAR = cl.arrangement("trailer-12n-separate-lamps"), cl.arrangement("shared-filament-rear-relays")


@pytest.mark.parametrize("said, means", [
    ("12 V at pin 6 of the socket when braking", "12 V at X5:6s when brake pedal held"),
    ("0 V at pin 3 of the plug", "0 V at X5:3p"), ("0 V at Pin 3 of X5's plug", "0 V at X5:3p"), ("0 V at pin 3 of the trailer's plug", "0 V at X5:3p"),
    ("test lamp dark at pin 6 of the plug of x5 when braking", "test lamp dark at X5:6p when brake pedal held"),
    ("0.2 V from pin 6 of the socket to pin 6 of the plug when braking", "0.2 V from X5:6s to X5:6p when brake pedal held"),
    ("no way from pin 3 of the plug to X1:1, W34 lifted at pin 7 of the plug", "no way from X5:3p to X1:1, W34 lifted at X5:7p")])
def test_a_pin_of_the_plug_or_the_socket_is_the_connectors_terminal(said, means):
    assert str(read_taken(said, SEPARATE)) == means


def test_a_pin_that_nobody_can_get_at_and_one_of_a_relay():
    assert read_out_of_reach("cannot get at pin 3 of the plug", SEPARATE) == "X5:3p"
    assert str(read_taken("10.6 V at pin 87a of K1 when braking", REAR)) == "10.6 V at K1:87a when brake pedal held"


TWO = cl.changed(SEPARATE, AddPart(Connector("X60", "4-flat")))


@pytest.mark.parametrize("circuit, said, says", [
    (SEPARATE, "12 V at pin 6 of X5 when braking", "twice. Say 'pin 6 of the socket' for X5:6s, or 'pin 6 of the plug' for X5:6p"),
    (SEPARATE, "12 V at pin 9 of the plug", "no terminal '9p'"), (REAR, "12 V at pin 3 of the plug", "It has no connector"),
    (TWO, "12 V at pin 3 of the plug", "There are X5, X60. Say which: 'pin 3 of the plug of X5'")])
def test_a_pin_that_may_be_several_or_none_is_asked_back(circuit, said, says):
    with pytest.raises(CircuitLabError, match=says):
        read_taken(said, circuit)


def test_of_two_connectors_the_one_that_is_named_is_meant():
    assert str(read_taken("12 V at pin 3 of the plug of X60", TWO)) == "12 V at X60:3p"


# ------------------------------------------------------------------ what was done before a reading, as a step says it

TRAILER = cl.arrangement("trailer-4-flat-combined-lamps")
OUT = "0.3 ohm from F1:2 to X1:1 when brake pedal held, F1 out, E1 out, X5 out"


@pytest.mark.parametrize("said", [
    "0.3 ohm from F1:2 to X1:1 when brake pedal held, F1, E1 out, plug out of X5", "battery off, F1, E1 out, plug out of X5: 0.3 ohm from F1:2 to X1:1 when brake pedal held.",
    "0.3 ohm from F1:2 to X1:1 when brake pedal held, battery off, F1 and E1 out, X5 unplugged", "0.3 ohm from F1:2 to X1:1 when brake pedal held, F1 out, E1 out, x5 parted",
    "0.3 ohm from F1:2 to X1:1 when brake pedal held, F1 out, E1 out, plug of X5 out of its socket", "0.3 ohm from F1:2 to X1:1 when brake pedal held, F1, E1 out, the plug out"])
def test_what_was_done_is_read_as_a_step_says_it(said):
    assert str(read_taken(said, TRAILER)) == OUT


def test_the_next_step_over_a_short_is_read_back_in_its_own_words():
    """Of each step on the way the sentence itself, its *ohms* with a number before it."""
    found, seen = find(TRAILER, ["F1 blown when braking"]), []
    while found.next is not None and len(seen) < 3:
        offer = found.next.offer
        said = f"{offer.look} whole" if offer.look else place_words(found, offer).replace("ohms from", f"{'no way' if seen else '0.3 ohm'} from")
        if not offer.look:
            assert said.startswith("battery off, ")
            assert (set(read_taken(said, TRAILER).out), read_taken(said, TRAILER).lifted) == ({*offer.out}, offer.lifted), said
            seen.append(said)
        found = found.told(said)
    assert len(seen) > 1 and any("plug out of X5" in each for each in seen)


@pytest.mark.parametrize("said", ["under 2 ohm from F1:2 to X1:1", "over 2 ohm from F1:2 to X1:1"])
def test_a_bound_is_no_reading(said):
    with pytest.raises(CircuitLabError, match="say what the meter shows .* such as '0.3 ohm', or 'no way'"):
        read_taken(said, TRAILER)


def test_a_fuse_that_nobody_named_is_asked_for_with_what_each_carries_then():
    """F1 alone feeds the brake: two rear lamps and two of the trailer, each 21 W at 12 V, some 7 A."""
    with pytest.raises(CircuitLabError, match=r"'F1 blown when brake pedal held' for the row .* F1 \(beside the battery, carries 7.\d+ A then\), F2 \(beside the battery\), F4"):
        find(TRAILER, ["fuse blows when I brake"])
