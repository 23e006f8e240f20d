"""A fuse that a flashing load blows is gone in both phases of its flasher: alone, in a sweep, in the tables, as in time."""

from dataclasses import replace

import pytest

from circuitlab.arrangements import Wanted
from circuitlab.parts import (Battery, Flasher, Fuse, Lamp, Relay, Resistor, load_needing_flasher, load_sensing_flasher,
                              thermal_flasher, toggle, variable_load_flasher)
from circuitlab.reasoning import lamp_table, prove
from circuitlab.solving import operating_point, run
from circuitlab.solving.sweeping import sweep

from small_boards import board

ON = {"switch": "on"}
UNITS = {"free running": Flasher("K9"), "sensing": load_sensing_flasher("K9", rated_load=84.0), "needing": load_needing_flasher("K9"),
         "fixed load": thermal_flasher("K9", rated_load=84.0), "variable load": variable_load_flasher("K9")}


def lamps_behind(fuse, unit, lamps=4, rule=()):
    """A flasher behind a fuse on 13.5 V, with so many lamps of 21 W."""
    parts = [Battery("G1", 13.5), fuse, toggle("S1", "switch"), unit]
    pairs = [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "K9:49"), *([("K9:31", "G1:-")] if "31" in unit.terminals else ())]
    for number in range(1, lamps + 1):
        parts.append(Lamp(f"E{number}", 12.0, 21.0))
        pairs += [("K9:49a", f"E{number}:1"), (f"E{number}:2", "G1:-")]
    return replace(board("lamps on a flasher behind a fuse", parts, pairs), rule=rule)


def fuse_in(circuit, row=ON):
    """Return what F1 is in both phases alone, in a sweep of both, and in sweeps that ask for one phase only."""
    alone = [operating_point(circuit, row, phase).states["F1"] for phase in ("on", "off")]
    swept = sweep(circuit, [row], ["on", "off"]).state("F1").tolist()
    single = [sweep(circuit, [row], [phase]).state("F1").tolist()[0] for phase in ("on", "off")]
    return alone, swept, single


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("unit", UNITS.values(), ids=UNITS)
@pytest.mark.parametrize("rating", [2.0, 4.0, 10.0])
def test_what_a_flashing_load_blows_in_time_is_gone_in_both_phases(unit, rating):
    circuit = lamps_behind(Fuse("F1", rating), unit)
    course = run(circuit, [(0.1, "switch", "on")], 30.0)
    ends = course.at(30.0).states["F1"]
    assert ends == ("blown" if rating < 10 else "whole")
    assert fuse_in(circuit) == ([ends] * 2,) * 3


def test_behind_a_blown_fuse_nothing_is_live_in_any_phase():
    circuit = lamps_behind(Fuse("F1", 4.0), Flasher("K9"), rule=[Wanted("K9:49", "dead", ON), Wanted("E1", "dark")])
    off = operating_point(circuit, ON, "off")
    assert off.liveness("K9:49") == "dead" and off.volts("K9:49") == pytest.approx(0.0, abs=1e-9)
    cell = next(row for row in lamp_table(circuit).rows if row.positions == ON).terminals["K9:49"]
    assert (cell.look, max(cell.volts)) == ("dead", pytest.approx(0.0, abs=1e-9))
    assert "flashing at" not in str(prove(circuit))


def test_what_only_the_off_phase_overloads_is_judged_over_the_whole_period_too():
    """A resistor on the break contact of a relay that the flasher feeds: it is on while the lamps are off."""
    def circuit(ohms):
        parts = [Battery("G1", 12.0), Fuse("F1", 10.0), Flasher("K9"), Relay("K1"), Resistor("R1", ohms)]
        return board("between the flashes", parts, [
            ("G1:+", "K9:49"), ("K9:31", "G1:-"), ("K9:49a", "K1:86"), ("K1:85", "G1:-"), ("G1:+", "F1:1"), ("F1:2", "K1:30"),
            ("K1:87a", "R1:1"), ("R1:2", "G1:-")])
    for ohms, ends in ((0.8, "whole"), (0.3, "blown")):     # 15 A is too much for good, and not for half of the time
        course = run(circuit(ohms), (), 60.0)
        assert course.at(60.0).states["F1"] == ends
        assert fuse_in(circuit(ohms), {}) == ([ends] * 2,) * 3


def test_two_flashers_in_different_phases_know_of_what_both_together_blow():
    parts = [Battery("G1", 13.5), Fuse("F1", 4.0), Flasher("K8"), Flasher("K9")]
    pairs = [("G1:+", "F1:1")]
    for unit, lamps in (("K8", "12"), ("K9", "34")):
        pairs += [("F1:2", f"{unit}:49"), (f"{unit}:31", "G1:-")]
        for number in lamps:
            parts.append(Lamp(f"E{number}", 12.0, 21.0))
            pairs += [(f"{unit}:49a", f"E{number}:1"), (f"E{number}:2", "G1:-")]
    circuit = board("two flashers on a fuse", parts, pairs)
    assert run(circuit, (), 20.0).at(20.0).states["F1"] == "blown"
    phases = [{"K8": one, "K9": other} for one in ("on", "off") for other in ("on", "off")]
    assert [operating_point(circuit, {}, each).states["F1"] for each in phases] == ["blown"] * 4
    for asked in (phases, phases[1:2], phases[2:]):
        assert sweep(circuit, [{}], asked).state("F1").tolist() == ["blown"] * len(asked)

