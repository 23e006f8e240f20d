"""Time courses with a breaker against scipy: its heat beside the filaments in one system, its turns found as events.

The judge states the breaker's law anew, as its record tells it: heat makes for the square of the current over 1.25
times the rating within 1.5 s, opens it at 1 and lets it close at 0.5. Circuit and filaments are the other judge's.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from circuitlab.arrangements import Arrangement
from circuitlab.parts import Battery, Breaker, Control, Lamp, Resistor, Splice, Wire, toggle
from circuitlab.solving import run

from judges.curves import COLD
from judges.heating import Heating

ON = 0.5   # s, when the switch closes
KINDS = {
    "two lamps on a breaker too small": (2.0, 0.0, (21.0, 21.0)),
    "a resistor and two lamps": (20.0, 0.4, (21.0, 5.0)),
    "just above what it carries for good": (5.0, 2.45, (21.0,)),
    "a hard overload": (10.0, 0.08, (5.0,)),
}


def overloaded(rating, ohms, watts):
    """Return lamps, and a resistor where ohms are given, behind a breaker and a switch."""
    loads = [Lamp(f"E{order}", 12.0, each) for order, each in enumerate(watts, 1)]
    loads += [Resistor("R1", ohms)] if ohms else []
    pairs = [("G1:+", "S1:1"), ("S1:2", "F1:1"), ("F1:2", "X1:1"), ("X2:1", "G1:-")]
    for way, load in enumerate(loads, 2):
        pairs += [(f"X1:{way}", f"{load.name}:1"), (f"{load.name}:2", f"X2:{way}")]
    parts = [Battery("G1"), toggle("S1", "switch"), Breaker("F1", rating), Splice("X1", 8), Splice("X2", 8), *loads]
    return Arrangement("a breaker", [Control("switch", ("off", "on"))], parts,
                       [Wire(f"W{order}", *pair) for order, pair in enumerate(pairs, 1)])


def judged_turns(board, until, share=1.25, seconds=1.5, closes=0.5):
    """Return when the breaker opens and closes by turns after the switch, by DOP853 and its events. [s]"""
    rating, ohms = board.part("F1").rating, 0.1 / board.part("F1").rating
    whole = {"S1": "on", "G1": "fixed", "X1": "fixed", "X2": "fixed", "R1": "fixed"}
    whole |= {part.name: "whole" for part in board.of_kind(Lamp)} | {wire.name: "fixed" for wire in board.wires}
    ways = {state: Heating(board, whole | {"F1": state}) for state in ("closed", "open")}
    at = ways["closed"].circuit.index

    def slopes(moment, x):
        drive = 0.0
        if state == "closed":
            volts = ways[state].point_volts(x[:-1])
            drive = ((volts[at["F1:1"]] - volts[at["F1:2"]]) / ohms / (share * rating)) ** 2
        return np.append(ways[state].slopes(moment, x[:-1]), (drive - x[-1]) / seconds)
    x, moment, state, turns = np.append(np.full(len(ways["closed"].all), COLD), 0.0), ON, "closed", []
    while moment < until:
        def turn(_, x, limit=1.0 if state == "closed" else closes):
            return x[-1] - limit
        turn.terminal, turn.direction = True, 1 if state == "closed" else -1
        found = solve_ivp(slopes, (moment, until), x, method="DOP853", rtol=1e-9, atol=1e-9, events=turn, max_step=0.05)
        moment, x, state = found.t[-1], found.y[:, -1], "open" if state == "closed" else "closed"
        turns += [moment] if found.status == 1 else []
    return turns


@pytest.mark.parametrize("kind", KINDS)
def test_a_breaker_turns_when_the_judge_says(kind):
    """Every turn of four seconds, to 2 ms: a filament's light may be 3e-4 of its peak off, and the turns add up."""
    board = overloaded(*KINDS[kind])
    kits = [event.time for event in run(board, [(ON, "switch", "on")], 4.0).events if event.name == "F1"]
    judged = judged_turns(board, 4.0)
    assert len(kits) == len(judged) > 0
    assert kits == pytest.approx(judged, abs=2e-3)


@pytest.mark.parametrize("wrong", [{"share": 1.3}, {"seconds": 1.6}, {"closes": 0.55}])
def test_the_judge_tells_a_breaker_of_other_constants(wrong):
    board = overloaded(*KINDS["a resistor and two lamps"])
    kits = [event.time for event in run(board, [(ON, "switch", "on")], 4.0).events if event.name == "F1"]
    judged = judged_turns(board, 4.0, **wrong)
    assert len(kits) != len(judged) or max(abs(np.array(kits) - judged)) > 0.02
