"""Fuses against their gates, wire against its tables, the supply against its usual figures."""

from dataclasses import replace
from math import log

import pytest

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.ground.quantities import awg_to_mm2
from circuitlab.parts import Battery, Control, Flasher, Fuse, Lamp, Resistor, Switch, Wire, toggle
from circuitlab.parts.catalogue import table
from circuitlab.reasoning import lamp_table
from circuitlab.reasoning.sizing import judge
from circuitlab.solving import operating_point, run, sweep

from outside.small_circuits import agrees, circuit

# --- fuses ---------------------------------------------------------------------------------------------------------

TYPE_C = ("ISO 8820-3 type C (regular blade), gates from memory; the longest times at 200, 350 and 600 % also in the "
          "TE mini ISO relay sheet")
GATES = {1.35: (0.75, 600.0), 1.60: (0.25, 50.0), 2.00: (0.15, 5.0), 3.50: (0.04, 0.5), 6.00: (0.02, 0.1)}  # s


def overload(times, rating, note="", family="blade"):
    """Return a fuse that a resistor loads with ``times`` its rating once the switch is closed.

    The battery's inner resistance, fuse, contact and eight joints of 1 mohm are counted into the resistance wanted.
    """
    fuse = Fuse("F1", rating, note=note, family=family)
    supply = 60.0
    rest = 0.001 + 0.01 + 8 * 0.001 + fuse.branches()[0].resistance
    load = Resistor("R1", supply / (times * rating) - rest)
    return circuit([Battery("G1", supply, 0.001), fuse, toggle("S1", "switch"), load],
                   [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "R1:1"), ("R1:2", "G1:-")],
                   [Control("switch", ("off", "on"))])


def blow_time(times, rating, until, note="", family="blade"):
    """Return the time from closing the switch to the fuse blowing, or None. [s]"""
    course = run(overload(times, rating, note, family), [(0.25, "switch", "on")], until=until)
    assert course.at(0.25).current("F1") == pytest.approx(times * rating, rel=1e-3), "the overload meant"
    return next((event.time - 0.25 for event in course.events if (event.name, event.state) == ("F1", "blown")), None)


def check_gate(times, rating, note=""):
    least, most = GATES[times]
    took = blow_time(times, rating, most + 1, note)
    assert took is not None and least <= took <= most


@pytest.mark.outside(TYPE_C)
@pytest.mark.parametrize("times", GATES)
@pytest.mark.parametrize("rating", [3.0, 7.5, 15.0, 30.0])
def test_an_overloaded_fuse_blows_within_its_gate(times, rating):
    check_gate(times, rating)


@pytest.mark.outside(TYPE_C)
@pytest.mark.parametrize("rating", [3.0, 7.5, 15.0, 30.0])
def test_a_fuse_holds_ten_per_cent_more_than_its_rating(rating):
    """The gate is 100 h; two minutes are 80 heat times of the law, after which nothing changes any more."""
    assert blow_time(1.10, rating, 120.0) is None
    assert operating_point(overload(1.10, rating), {"switch": "on"}).states["F1"] == "whole"
    assert operating_point(overload(1.35, rating), {"switch": "on"}).states["F1"] == "blown"


@pytest.mark.parametrize("constant, value, times", [
    ("stores", ((1.0, 15.0),), 6.0), ("stores", ((1.0, 15.0),), 3.5), ("stores", ((1.0, 0.15),), 2.0),
    ("stores", ((1.0, 0.15),), 1.35), ("heat_limit", 1.4**2, 1.35)])
def test_the_gates_find_a_wrong_fuse(monkeypatch, constant, value, times):
    monkeypatch.setattr(Fuse, constant, value)
    with pytest.raises(AssertionError):
        check_gate(times, 15.0, note=f"planted {constant} {value}")


@pytest.mark.outside("TE mini ISO relay sheet: overloads of 35 A fuses per ISO 8820-3 last 1800 s, 5 s, 0.5 s and "
                     "0.1 s at most")
@pytest.mark.parametrize("times, most", [(1.35, 1800.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1)])
def test_a_35_a_fuse_is_gone_before_the_relay_suffers(times, most):
    assert 0 < blow_time(times, 35.0, min(most, 60.0) + 0.5) <= most


def of_table(family):
    """Return the gates of a family as ``(times the rating, least, most)``; ``None`` for no end. [s]"""
    return [(row["load [%]"] / 100, row["least [s]"], row["most [s]"]) for row in table("fuse_gates")
            if row["family"] == family]


@pytest.mark.outside("ISO 8820-3 types C and F, from memory; DIN 72581-3 form E: opening times")
@pytest.mark.parametrize("family, rating", [("blade", 10.0), ("blade from 35 A", 40.0), ("mini blade", 10.0),
                                            ("maxi blade", 60.0)])
def test_every_family_opens_near_the_middle_of_every_gate_of_its_table(family, rating):
    """On the scale of the logarithm, between a quarter and four fifths of the way from the least to the most."""
    gates = of_table(family)
    assert len(gates) >= 4
    for times, least, most in gates:
        made = family.removesuffix(" from 35 A")
        if most is None:
            assert operating_point(overload(times, rating, family=made), {"switch": "on"}).states["F1"] == "whole"
            continue
        took = blow_time(times, rating, most + 1, family=made)
        assert took and 0.25 <= log(took / least) / log(most / least) <= 0.80, (family, times, took)


@pytest.mark.outside("torpedo fuses, from memory: an hour at most at 150 %, some seconds at 250 %")
def test_a_torpedo_fuse_is_slow_but_opens():
    assert blow_time(1.10, 8.0, 300.0, family="torpedo") is None
    assert 10 < blow_time(1.5, 8.0, 3600.0, family="torpedo") and 1 < blow_time(2.5, 8.0, 60.0, family="torpedo") < 10


@pytest.mark.outside("root mean square counts for a pulsed load: 8.4 A for half the time are 5.94 A")
@pytest.mark.parametrize("amps, wanted", [(1.5, "whole"), (2.0, "blown")])
def test_a_fuse_on_a_flashing_load_is_judged_over_the_whole_period(amps, wanted):
    """150 % half the time is 106 % for good, 200 % is 141 %; settled point, lamp table and time course agree."""
    parts = [Battery("G1", 12.0, 0.001), Fuse("F1", 10.0), toggle("S1", "switch"),
             Flasher("K9", 90.0, 0.5), Resistor("R1", 12.0 / (10 * amps) - 0.045)]
    board = circuit(parts, [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "R1:1"), ("R1:2", "G1:-"),
                            ("K9:31", "G1:-")], [Control("switch", ("off", "on"))])
    point = operating_point(board, {"switch": "on"})
    course = run(board, [(0.0, "switch", "on")], until=600.0)
    assert point.states["F1"] == course.at(600.0).states["F1"] == wanted
    assert run(board, [], until=1.0, positions={"switch": "on"}).at(0.5).states["F1"] == wanted
    (found,) = sweep(board, [{"switch": "on"}], ["on"]).state("F1")
    assert found == wanted
    (row,) = [row for row in lamp_table(board).rows if row.positions["switch"] == "on"]
    assert row.blown == (("F1",) if wanted == "blown" else ())
    says = [one.sentence for one in judge(board) if one.rule == "the fuse lives through the inrush"]
    assert not any("with everything at rest" in one and "blows" in one for one in says)


@pytest.mark.outside("DIN 72581-3: a large blade fuse drops 125 mV at 20 A, 100 mV above, at most")
@pytest.mark.parametrize("rating, most", [(20.0, 0.125), (30.0, 0.100)])
def test_a_fuse_at_its_rating_drops_little(rating, most):
    point = operating_point(overload(1.0, rating), {"switch": "on"})
    assert 0 < point.across("F1:1", "F1:2") <= most


@pytest.mark.outside("maker sheets of regular blade fuses, from memory: cold resistance by rating")
@pytest.mark.parametrize("rating, least, most", [(5.0, 0.0175, 0.0175), (10.0, 0.0075, 0.0079), (15.0, 0.0046, 0.0048),
                                                 (20.0, 0.0031, 0.0034), (30.0, 0.0019, 0.0020)])
def test_a_fuse_has_the_resistance_of_the_sheets(rating, least, most):
    point = operating_point(overload(1.0, rating), {"switch": "on"})
    ohms = point.across("F1:1", "F1:2") / point.current("F1")
    assert least * 0.999 <= ohms <= most * 1.001


def test_between_and_beyond_the_ratings_of_the_sheets_a_fuse_has_less_the_more_it_carries():
    ohms = [Fuse("F1", rating).branches()[0].resistance for rating in (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)]
    assert ohms == sorted(ohms, reverse=True) and 0.0079 < ohms[5] < 0.0175


# --- wire ----------------------------------------------------------------------------------------------------------

def ohms_per_km(area, length=10.0):
    """Return what a wire's copper has, from the volts along it and its current, joints taken off. [ohm/km]"""
    wire = Wire("W1", "G1:+", "R1:1", length=length, area=area)
    point = operating_point(circuit([Battery("G1", 12.0), Resistor("R1", 10.0)], [wire, ("R1:2", "G1:-")]))
    joints = wire.start_joint + wire.end_joint
    return (point.across("G1:+", "R1:1") / point.current("W1") - joints) / length * 1000


AWG = {8: "2.06", 10: "3.28", 12: "5.21", 14: "8.28", 16: "13.17", 18: "20.94", 20: "33.29", 22: "52.94"}  # ohm/km


def check_gauge(gauge):
    """0.1 % beside the printed digits: the table was made with a resistivity 0.05 % lower than IEC 60028."""
    assert ohms_per_km(awg_to_mm2(gauge)) == pytest.approx(float(AWG[gauge]), rel=1e-3, abs=0.006)


@pytest.mark.outside("published table of American wire gauges, ohm/km at 20 C")
@pytest.mark.parametrize("gauge", AWG)
def test_a_gauge_has_the_resistance_of_the_table(gauge):
    check_gauge(gauge)


@pytest.mark.outside("Lessons in Electric Circuits, DC, conductor size: diameters and circular mils")
@pytest.mark.parametrize("gauge, inch, circular_mils", [
    (10, "0.1019", 10380), (12, "0.08081", 6530), (14, "0.06408", 4107), (16, "0.05082", 2583), (18, "0.04030", 1624),
    (20, "0.03196", 1022), (22, "0.02535", 642.5)])
def test_a_gauge_has_the_diameter_and_area_of_the_table(gauge, inch, circular_mils):
    """Printed digits, which the table rounds or cuts: one unit of the last digit; circular mils 5.067075e-4 mm2."""
    from math import pi, sqrt
    diameter = sqrt(awg_to_mm2(gauge) * 4 / pi) / 25.4
    assert abs(diameter - float(inch)) <= 10.0 ** -len(inch.partition(".")[2])
    assert awg_to_mm2(gauge) / 5.067075e-4 == pytest.approx(circular_mils, rel=1e-3)


CLASS_5 = {0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91}  # plain, ohm/km


def check_class_5(area):
    """Below the maximum, and by no more than 15 %: a maximum leaves room for strand lay and tolerance."""
    assert 0.85 * CLASS_5[area] <= ohms_per_km(area) < CLASS_5[area]


@pytest.mark.outside("IEC 60228 class 5, plain copper: greatest resistance at 20 C; resistivity IEC 60028")
@pytest.mark.parametrize("area", CLASS_5)
def test_copper_of_the_nominal_area_lies_just_below_the_greatest_resistance(area):
    check_class_5(area)


@pytest.mark.outside("College Physics 2e, section 20.3, problem: 20.0 m of 12 gauge, 2.053 mm across, is 0.104 ohm")
def test_twenty_metres_of_twelve_gauge():
    assert agrees(ohms_per_km(awg_to_mm2(12)) * 20 / 1000, "0.104")
    assert not agrees(ohms_per_km(awg_to_mm2(12)) * 20 / 1000 * 1.05, "0.104")


@pytest.mark.parametrize("factor", [0.9, 1.18])
def test_the_wire_checks_find_a_wrong_resistivity(monkeypatch, factor):
    monkeypatch.setattr("circuitlab.parts.conductors.RESISTIVITY", 0.017241 * factor)
    from circuitlab.solving.network import network
    network.cache_clear()
    try:
        with pytest.raises(AssertionError):
            check_gauge(16)
        with pytest.raises(AssertionError):
            check_class_5(1.5)
    finally:
        network.cache_clear()


# --- the whole of a healthy circuit --------------------------------------------------------------------------------

def greatest_drop(circuit, kind_is):
    """Return the greatest volts lost in one branch of parts of a kind, over all rows."""
    worst = 0.0
    for row in lamp_table(circuit).rows:
        point = operating_point(circuit, row.positions)
        for part in circuit.parts + circuit.wires:
            if kind_is(part):
                worst = max(worst, *(abs(point.current(part.name, order)) * branch.resistance
                                     for order, branch in enumerate(part.branches())))
    return worst


@pytest.mark.in_turn(3)
@pytest.mark.outside("service manual, limits it credits to SAE: 0.3 V over a switch contact at most; over 1 V is a "
                     "fault")
@pytest.mark.parametrize("name", arrangement_names())
def test_a_healthy_arrangement_loses_little_on_the_way(name):
    """A line is a whole wire with both its joints here, so it gets the 0.5 V of simple circuits and connectors."""
    cart = arrangement(name)
    assert 0 < greatest_drop(cart, lambda part: isinstance(part, Switch)) <= 0.3
    assert 0 < greatest_drop(cart, lambda part: isinstance(part, Wire)) <= 0.5


def test_a_corroded_switch_loses_more():
    cart = arrangement("one-fused-lamp")
    worn = cart.with_parts(replace(cart.part("S1"), resistance=0.5))
    assert greatest_drop(worn, lambda part: isinstance(part, Switch)) > 0.3


# --- supply --------------------------------------------------------------------------------------------------------

@pytest.mark.outside("lead battery at rest, rule of thumb: full 12.6 V, half 12.2 V; a healthy one has 4 to 10 mohm "
                     "(common practice)")
def test_the_battery_is_a_full_and_healthy_one():
    idle = circuit([Battery("G1"), Resistor("R1", 1e6)], [("G1:+", "R1:1"), ("R1:2", "G1:-")])
    loaded = circuit([Battery("G1"), Resistor("R1", 0.5)], [("G1:+", "R1:1"), ("R1:2", "G1:-")])
    rest, load = operating_point(idle), operating_point(loaded)
    assert agrees(rest.volts("G1:+"), "12.6")
    ohms = (rest.volts("G1:+") - load.volts("G1:+")) / load.current("R1")
    assert 0.004 <= ohms <= 0.010
    assert not agrees(operating_point(circuit([Battery("G1", 12.2), Resistor("R1", 1e6)],
                                              [("G1:+", "R1:1"), ("R1:2", "G1:-")])).volts("G1:+"), "12.6")


@pytest.mark.outside("instruction for load resistors beside LED lamps: 6 ohm at 13.5 V draws 2.25 A and turns 30.4 W "
                     "into heat")
def test_a_load_resistor_replaces_a_bulb():
    def drawn(scale, ohms):
        point = operating_point(circuit([Battery("G1", 13.5, 0.001), Resistor("R1", ohms * scale)],
                                        [("G1:+", "R1:1"), ("R1:2", "G1:-")]))
        return point.current("R1") * scale, point.current("R1") * point.across("R1:1", "R1:2") * scale
    amps, watts = drawn(100, 6.0)
    assert agrees(amps, "2.25") and agrees(watts, "30.4")
    assert not agrees(drawn(100, 6.3)[0], "2.25")
    bulb = circuit([Battery("G1", 13.5), Lamp("E1")], [("G1:+", "E1:1"), ("E1:2", "G1:-")])
    assert amps >= operating_point(bulb).current("E1")
