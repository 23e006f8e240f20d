"""Controls and switches: tables of closed pairs, latching levers, two stop switches on one pedal."""

import pytest

import circuitlab as cl
from circuitlab.parts import Control, Switch


def board(switches, control):
    """A lamp behind each switch, all on one control; terminal pairs as the switches have them."""
    lamps = [cl.Lamp(f"E{number}") for number, _ in enumerate(switches, 1)]
    wires = []
    for number, switch in enumerate(switches, 1):
        wires += [cl.Wire(f"W{number}1", "F1:2", f"{switch.name}:1", "RD"),
                  cl.Wire(f"W{number}2", f"{switch.name}:2", f"E{number}:1", "OG"),
                  cl.Wire(f"W{number}3", f"E{number}:2", "G1:-", "BK")]
    return cl.Arrangement("switches on one control", [control], [cl.Battery("G1"), cl.Fuse("F1", 15), *switches, *lamps],
                          [cl.Wire("W1", "G1:+", "F1:1", "RD"), *wires])


def test_plunger_and_pressure_switch_on_one_pedal_close_at_different_travel():
    """A light touch moves the pedal arm; pressure takes a firm foot. Neither can stand where the pedal does not."""
    pedal = Control("brake pedal", ("released", "touched", "held"))
    circuit = board([cl.catalogue.plunger_stop_switch("S1", closed_in=("touched", "held")),
                     cl.catalogue.pressure_stop_switch("S2", closed_in=("held",))], pedal)
    looks = {row.positions["brake pedal"]: (row.cells["E1"].look, row.cells["E2"].look)
             for row in cl.lamp_table(circuit).rows}

    assert looks == {"released": ("dark", "dark"), "touched": ("steady", "dark"), "held": ("steady", "steady")}


def test_a_two_pole_lever_moves_both_poles_together():
    """Left joins both commons to their left terminals and nothing else."""
    lever = cl.catalogue.turn_lever("S3", poles=(("15", "SL", "SR"), ("49a", "L", "R")))

    assert dict(lever.closes) == {"left": (("15", "SL"), ("49a", "L")), "right": (("15", "SR"), ("49a", "R"))}
    assert lever.poles == (("15", ("SL", "SR")), ("49a", ("L", "R")))


def test_a_hazard_switch_changes_over_its_supply_and_joins_its_lines():
    """At rest the common is on the key line, when on it is on the battery and joined to the lines."""
    hazard = cl.catalogue.hazard_switch("S4", changeover=(("49", "15", "30"),), joins=(("49", "SL"), ("49", "SR")))

    assert dict(hazard.closes) == {"off": (("49", "15"),), "on": (("49", "30"), ("49", "SL"), ("49", "SR"))}


@pytest.mark.parametrize("make, words", [
    (lambda: Control("lever", ("off",)), "needs two or more different positions"),
    (lambda: Control("lever", ("off", "off")), "needs two or more different positions"),
    (lambda: Control("lever", ("off", "left"), ("left", "right")), "Name the same positions in both"),
    (lambda: Switch("S1", "lever", {}), "closes nothing in any position"),
    (lambda: Switch("S1", "", {"on": [("1", "2")]}), "name the control"),
    (lambda: Switch("S1", "lever", {"on": [("1", "2")]}, worked_by="elbow"), "hand, key, pedal or pressure"),
])
def test_a_switch_that_cannot_be_is_refused_in_words(make, words):
    """Which one, and what is allowed."""
    with pytest.raises(cl.CircuitLabError, match=words):
        make()
