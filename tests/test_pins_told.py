"""Pins as they are spoken of: of the plug, of the socket, of a relay."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddPart
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Connector
from circuitlab.reasoning.finding.told import read_out_of_reach, read_taken

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
