"""Time courses against scipy's DOP853 at 1e-10, at rest against the operating point, and a late coil against a root.

The judge of the light replays the record's pieces between events; the judge of the late coil finds the event himself.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from circuitlab.arrangements import Arrangement, arrangement, SetAmbient, arrangement_names, changed
from circuitlab.parts import Battery, Control, Lamp, Relay, Resistor, Splice, Switch, Wire
from circuitlab.solving import operating_point, run

from judges.curves import COLD
from judges.heating import Heating, Replay
from judges.kirchhoff import settle

HAZARD = "shared-filament-rear-relays-hazard"
RUNS = {
    "turning while braking": ("shared-filament-four-relays", [
        (0.2, "key", "on"), (0.7, "turn lever", "left"), (2.1, "brake pedal", "held"), (4.03, "turn lever", "right"),
        (6.2, "turn lever", "off"), (7.0, "brake pedal", "released")], 8.0),
    "everything at once": (HAZARD, [
        (0.1, "tail lamps", "on"), (0.5, "brake pedal", "held"), (1.2, "hazard", "on"),
        (3.77, "brake pedal", "released"), (4.4, "hazard", "off"), (4.4, "key", "on"),
        (4.9, "turn lever", "right")], 7.0),
    "tied wires": ("tied-stop-and-turn", [
        (0.3, "key", "on"), (0.9, "turn lever", "left"), (2.4, "brake pedal", "held"),
        (3.6, "brake pedal", "released")], 5.0),
}


def worst(course, replay, moments):
    """Return the greatest difference of the light over the greatest light. [1]"""
    peak = max(max(values) for values in course.light.values())
    points = [course.at(moment) for moment in moments]
    return max(abs(point.light(name) - replay.light(name, moment)) for name in course.light
               for moment, point in zip(moments, points)) / peak


@pytest.mark.in_turn(3, 1)
@pytest.mark.parametrize("name", RUNS)
def test_the_light_agrees_with_scipys_most_careful_method(name):
    """5e-4 of the peak at 400 moments; the kit's steps are set for about 3e-4."""
    kit, script, until = RUNS[name]
    course = run(arrangement(kit), script, until)
    assert course.verdict == "settled" and len(course.events) > 20
    replay = Replay(course)
    assert worst(course, replay, [until * step / 400 for step in range(401)]) <= 5e-4


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("celsius", [-30.0, 85.0])
def test_the_light_agrees_in_the_cold_and_in_the_heat(celsius):
    """The judge's filaments cool down to the ambient and his copper follows it, by his own formulas."""
    kit, script, until = RUNS["turning while braking"]
    course = run(changed(arrangement(kit), SetAmbient(celsius)), script, until)
    assert course.verdict == "settled"
    moments = [until * step / 200 for step in range(201)]
    assert worst(course, Replay(course), moments) <= 5e-4
    assert worst(run(arrangement(kit), script, until), Replay(course), moments) > 5e-4, "another one than in a room"


def test_the_comparison_finds_a_filament_that_is_a_hundredth_too_heavy():
    kit, script, until = RUNS["tied wires"]
    course = run(arrangement(kit), script, until)
    replay = Replay(course)
    for heating in replay.known.values():
        heating.capacity = heating.capacity * 1.01
    replay.run()
    assert worst(course, replay, [until * step / 400 for step in range(401)]) > 5e-4


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", arrangement_names())
def test_a_course_left_alone_comes_to_the_operating_point(name):
    """All controls in their last position but the flasher's feed, so nothing swings.

    Temperature to 3e-5 of itself, what a step may be off; volts to 1e-5 V, what that makes of them.
    """
    circuit = arrangement(name)
    script = [(0.1, control.name, control.positions[-1]) for control in circuit.controls
              if control.name not in ("key", "hazard")]
    # where a lamp goes dark on the way only radiation cools it, and slowly
    until = 900.0 if name in ("relay-test-board", "combined-turn-stop-lever-trailer", "trailer-12n-separate-lamps") else 30.0
    course = run(circuit, script, until)
    end = course.at(until)
    rest = operating_point(circuit, {control: position for _, control, position in script})
    assert end.states == rest.states
    for terminal in circuit.terminals:
        assert end.volts(terminal) == pytest.approx(rest.volts(terminal), abs=1e-5)
    for lamp in course.light:
        if circuit.part(lamp).kind == "lamp":
            assert end.temperature(lamp) == pytest.approx(rest.temperature(lamp), rel=3e-5)
        else:                                                # an LED lamp has no filament: its light follows its volts
            assert end.light(lamp) == pytest.approx(rest.light(lamp), abs=1e-4)


# --- a coil held back by a shared ground ---------------------------------------------------------------------------

def shared_ground(ohms, lamps=3):
    """Return lamps and a coil switched together, all on one ground point with a resistance to the battery."""
    names = [f"E{order}" for order in range(1, lamps + 1)]
    parts = [Battery("G1"), Switch("S1", "switch", {"on": [("1", "2")]}), Relay("K1"), Resistor("R1", ohms),
             Splice("X1", 8), Splice("X2", 8), *(Lamp(name) for name in names)]
    pairs = [("G1:+", "S1:1"), ("S1:2", "X1:1"), ("X1:2", "K1:86"), ("K1:85", "X2:1"), ("X2:2", "R1:1"),
             ("R1:2", "G1:-")]
    for order, name in enumerate(names, start=3):
        pairs += [(f"X1:{order}", f"{name}:1"), (f"{name}:2", f"X2:{order}")]
    return Arrangement("a shared ground", controls=[Control("switch", ("off", "on"))], parts=parts,
                       wires=[Wire(f"W{order}", *pair) for order, pair in enumerate(pairs, start=1)])


def opens_after(circuit):
    """Return how long after the switch the rest contact opens. [s]"""
    course = run(circuit, [(0.5, "switch", "on")], until=3.0)
    return next(event.time for event in course.events if (event.name, event.state) == ("K1", "gap")) - 0.5


def pulls_in_after(circuit):
    """Return how long after the switch the coil first has its pull-in current, found by scipy's root search. [s]"""
    judge, _ = settle(circuit, {"switch": "off"}, "on")
    heating = Heating(circuit, judge.states | {"S1": "on"})
    at = heating.circuit
    plus, minus = at.index["K1:86"], at.index["K1:85"]

    def coil(_, kelvin):
        volts = heating.point_volts(kelvin)
        return volts[plus] - volts[minus] - circuit.part("K1").pull_in_voltage
    coil.terminal, coil.direction = True, 1
    cold = np.full(len(heating.all), COLD)
    if coil(0.0, cold) >= 0:
        return 0.0
    found = solve_ivp(heating.slopes, (0.0, 3.0), cold, method="DOP853", rtol=1e-10, atol=1e-7, events=coil)
    return float(found.t_events[0][0])


@pytest.mark.parametrize("ohms", [0.2, 0.3, 0.5, 0.8])
def test_a_coil_on_a_bad_shared_ground_operates_late_at_the_very_moment(ohms):
    """While the filaments are cold their inrush lifts the ground under the coil. Travel to the gap is 8 ms.

    To 20 us, where 100 us would do for any lesson.
    """
    late = pulls_in_after(shared_ground(ohms))
    assert late > 0.005
    assert opens_after(shared_ground(ohms)) == pytest.approx(late + 0.008, abs=2e-5)


def test_on_a_good_ground_it_operates_in_its_own_time():
    assert pulls_in_after(shared_ground(0.001)) == 0.0
    assert opens_after(shared_ground(0.001)) == pytest.approx(0.008, abs=1e-6)
    assert opens_after(shared_ground(0.8)) > 3 * opens_after(shared_ground(0.001))
