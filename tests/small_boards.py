"""Small circuits for the tests of the solver: one idea on each board."""

from circuitlab.arrangements import Arrangement
from circuitlab.parts import (Battery, Chassis, Control, Flasher, Fuse, Lamp, Relay, Splice, Switch, Wire, key_switch, plunger_stop_switch,
                             thermal_flasher, toggle, turn_lever)

OFF_ON = ("off", "on")


def board(title, parts, pairs, controls=("switch",)):
    """Return an arrangement; controls are given by name and are off or on, wires as pairs of terminals."""
    return Arrangement(title, controls=[Control(name, OFF_ON) for name in controls], parts=parts,
                       wires=[Wire(f"W{number}", *pair) for number, pair in enumerate(pairs, start=1)])


def lamp_board(fuse=5.0):
    """Battery, fuse, switch and lamp in a row."""
    return board("one lamp", [Battery("G1"), Fuse("F1", fuse), toggle("S1", "switch"), Lamp("E1")],
                 [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")])


def relay_board(**relay):
    """A switch moves a coil; a lamp hangs on the make contact and one on the break contact."""
    return board("a relay", [Battery("G1"), toggle("S1", "switch"), Relay("K1", **relay), Lamp("E1"), Lamp("E2"),
                             Splice("X1"), Splice("X2", 4)],
                 [("G1:+", "X1:1"), ("X1:2", "S1:1"), ("S1:2", "K1:86"), ("K1:85", "X2:1"), ("X1:3", "K1:30"),
                  ("K1:87", "E1:1"), ("K1:87a", "E2:1"), ("E1:2", "X2:2"), ("E2:2", "X2:3"), ("X2:4", "G1:-")])


def buzzer():
    """A coil fed through its own rest contact."""
    return board("a buzzer", [Battery("G1"), toggle("S1", "switch"), Relay("K1")],
                 [("G1:+", "S1:1"), ("S1:2", "K1:30"), ("K1:87a", "K1:86"), ("K1:85", "G1:-")])


def self_holding():
    """Start closes the coil, the relay's own make contact keeps it closed, stop opens both."""
    return board("a self-holding relay",
                 [Battery("G1"), toggle("S1", "start"), Switch("S2", "stop", {"off": [("1", "2")]}), Relay("K1"),
                  Lamp("E1"), Splice("X1"), Splice("X2", 4)],
                 [("G1:+", "S2:1"), ("S2:2", "X1:1"), ("X1:2", "S1:1"), ("X1:3", "K1:30"), ("S1:2", "X2:1"),
                  ("K1:87", "X2:2"), ("X2:3", "K1:86"), ("X2:4", "E1:1"), ("E1:2", "G1:-"), ("K1:85", "G1:-")],
                 ("start", "stop"))


def rivals(**second):
    """Two relays, each of whose rest contacts feeds the other's coil."""
    parts = [Battery("G1"), toggle("S1", "switch"), Relay("K1"), Relay("K2", **second), Splice("X1")]
    return board("two rivals", parts,
                 [("G1:+", "S1:1"), ("S1:2", "X1:1"), ("X1:2", "K1:30"), ("X1:3", "K2:30"), ("K1:87a", "K2:86"),
                  ("K2:87a", "K1:86"), ("K1:85", "G1:-"), ("K2:85", "G1:-")])


def flasher_board(**flasher):
    """A flasher with its supply on one switch and its lamp on another."""
    parts = [Battery("G1"), toggle("S1", "supply"), Flasher("K9", **flasher), toggle("S2", "load"), Lamp("E1")]
    return board("a flasher", parts,
                 [("G1:+", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "S2:1"), ("S2:2", "E1:1"), ("E1:2", "G1:-"),
                  ("K9:31", "G1:-")], ("supply", "load"))


def many_switches(count):
    """A lamp on the first of many switches."""
    names = [f"switch {number}" for number in range(count)]
    return board("many", [Battery("G1"), toggle("S1", names[0]), Lamp("E1")],
                 [("G1:+", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")], names)


def without_ground(**flasher):
    """The same with a flasher that has no 31."""
    parts = [Battery("G1"), toggle("S1", "supply"), Flasher("K9", **flasher), toggle("S2", "load"), Lamp("E1")]
    return board("a flasher with two pins", parts,
                 [("G1:+", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "S2:1"), ("S2:2", "E1:1"), ("E1:2", "G1:-")],
                 ("supply", "load"))


def straight_short():
    """A battery with a wire across it once the switch is closed, and no fuse."""
    return board("a short", [Battery("G1"), toggle("S1", "switch", resistance=0.001)],
                 [("G1:+", "S1:1"), ("S1:2", "G1:-")])


def states_of(course, name):
    """Return the states of a part or control in order, without times. [text]"""
    return [state for _, _, state in course.spans(name)]


def old_tractor():
    """The farm's old tractor, invented: 6 V, its dynamo running, plus on the frame, a flasher that works by heat, stop and turn on one filament."""
    lamp = {"volts": 6.75, "watts": 21.0, "bulb": ""}
    relay = {"coil_resistance": 22.0, "pull_in_voltage": 3.6, "drop_out_voltage": 0.8}
    parts = [Battery("G1", voltage=7.2), Fuse("F1", 15.0), Fuse("F2", 10.0), key_switch("S1"), plunger_stop_switch("S2"),
             turn_lever("S3", poles=(("49a", "L", "R"), ("15", "15L", "15R"))), thermal_flasher("K9", rated_load=42.0, volts=6.75),
             Relay("K1", place="left", **relay), Relay("K2", place="right", **relay),
             Lamp("E1", place="rear left", **lamp), Lamp("E2", place="rear right", **lamp),
             Lamp("E3", place="front left", light="amber", **lamp), Lamp("E4", place="front right", light="amber", **lamp),
             Splice("X2", 3), Splice("X3", 4), Splice("X4", 3), Splice("X5", 3), Chassis("X1", 7)]
    pairs = [("G1:+", "X1:1"), ("G1:-", "X2:1"), ("X2:2", "F1:1"), ("X2:3", "F2:1"), ("F1:2", "S1:30"), ("S1:15", "X5:1"),
             ("X5:2", "K9:49"), ("X5:3", "S3:15"), ("K9:49a", "X3:1"), ("F2:2", "S2:1"), ("S2:2", "X4:1"), ("X3:2", "S3:49a"),
             ("S3:15L", "K1:86"), ("S3:15R", "K2:86"), ("X3:3", "K1:87"), ("X3:4", "K2:87"), ("X4:2", "K1:87a"),
             ("X4:3", "K2:87a"), ("K1:30", "E1:1"), ("K2:30", "E2:1"), ("S3:L", "E3:1"), ("S3:R", "E4:1"),
             ("K1:85", "X1:2"), ("K2:85", "X1:3"), ("E1:2", "X1:4"), ("E2:2", "X1:5"), ("E3:2", "X1:6"), ("E4:2", "X1:7")]
    wires = [Wire(f"W{number}", *pair, colour="BK" if "X1" in pair[1] else "RD", area=2.5, length=0.2 if number < 5 else 1.0)
             for number, pair in enumerate(pairs, start=1)]
    return Arrangement("The old orchard tractor: plus on the frame", [Control("key", OFF_ON), Control("brake pedal", ("released", "held")),
                       Control("turn lever", ("off", "left", "right"), ("left", "off", "right"))], parts, wires, frame="plus",
                       note="Invented.")
