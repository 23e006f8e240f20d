"""Sizing against published examples, tables and sheets: wire by drop and by current, contacts, coils, fuses, drain."""

from dataclasses import replace

import pytest

from circuitlab.ground.quantities import awg_to_mm2
from circuitlab.parts import Battery, Control, Fuse, Lamp, Relay, Resistor, Splice, Wire, toggle, overheating
from circuitlab.reasoning.sizing import (Limits, capacity, drain, judge, survey, warmed, wire_for_current,
                                         wire_for_drop, worst_loops)
from circuitlab.reasoning.sizing import limits as tables, wires
from circuitlab.reasoning.sizing.wires import FOOT, SIZES

from outside.small_circuits import agrees, circuit, wire_of

COPPER = {"outside": 10.09, "abyc": 10.75}   # ohm circular mil / ft, each as its own source prints it


def size_named(label):
    """Return a size by what it is called."""
    return next(size for sizes in SIZES.values() for size in sizes if size.label == label)


def the(findings, rule, part):
    return next(finding for finding in findings if (finding.rule, finding.part) == (rule, part))


# --- wire by the volts it may lose ---------------------------------------------------------------------------------

def check_wire_ohms(length, area, resistivity, printed):
    """The loss at 1 A over the length, from the area that loses 1 V."""
    ohms = wire_for_drop(1.0, length, 1.0, resistivity=resistivity).area / area
    assert agrees(ohms, printed)


@pytest.mark.outside("College Physics 2e, section 20.3, problem: 20.0 m of 12 gauge, 2.053 mm across, is 0.104 ohm")
def test_twenty_metres_of_twelve_gauge_lose_a_tenth_of_a_volt_an_ampere():
    """By the printed resistivity, and in the solved circuit by the kit's own copper."""
    check_wire_ohms(20.0, 3.14159265 / 4 * 2.053**2, 0.0172, "0.104")
    line = circuit([Battery("G1"), Fuse("F1", 20), Resistor("R1", 2.0)],
                   [("G1:+", "F1:1"), Wire("W9", "F1:2", "R1:1", length=20.0, area=awg_to_mm2(12)), ("R1:2", "G1:-")])
    (piece,) = [piece for piece in worst_loops(survey(line))["R1"].out if piece.length == 20.0]
    assert agrees(piece.volts / piece.amps, "0.104")


@pytest.mark.outside("University Physics 2, section 9.3: 5 m of 12 gauge, 3.31 mm2, resistivity 1.68e-8, is 0.025 ohm")
def test_five_metres_of_twelve_gauge():
    check_wire_ohms(5.0, 3.31, 0.0168, "0.025")


def check_long_feeder(k):
    """116 035 circular mils, so 2/0; 1/0 is too small."""
    need = wire_for_drop(25.0, 2 * 2300 * FOOT, 230.0 - 220.0, k=k)
    assert agrees(need.circular_mils, "116035")
    assert need.awg.label == "2/0 AWG"
    assert size_named("1/0 AWG").area < need.area


@pytest.mark.outside("Lessons in Electric Circuits, DC, wire size: 25 A over 2300 ft, 10 V to lose: 116 035 cmil, 2/0")
def test_a_long_feeder_takes_two_aught():
    check_long_feeder(COPPER["outside"])
    assert size_named("2/0 AWG").circular_mils == pytest.approx(133_100, rel=1e-3)
    assert size_named("1/0 AWG").circular_mils == pytest.approx(105_500, rel=1e-3)


def check_thin_feeder(k):
    """The wire's ohms are what a loop of 1 A would lose; the short-circuit current by the solver, a tenth as large."""
    ohms = wire_for_drop(1.0, 2300 * FOOT, 1.0, k=k).circular_mils / 4107
    assert agrees(ohms, "5.651") and agrees(2 * ohms, "11.301")
    line = circuit([Battery("G1", 23.0, 0.001), Resistor("R1", 0.5)],
                   [wire_of("W1", "G1:+", "R1:1", ohms), wire_of("W2", "R1:2", "G1:-", ohms - 0.501)])
    assert survey(line).load("R1").amps * 10 == pytest.approx(20.352, abs=0.0015)


@pytest.mark.outside("Lessons in Electric Circuits, DC, wire size: 2300 ft of 14 gauge, 5.651 ohm, shorted 20.352 A")
def test_the_same_feeder_in_fourteen_gauge():
    check_thin_feeder(COPPER["outside"])


def line_readings(wire_ohms):
    """Return current, load volts and volts per wire of 14 V on 250 ohm through two wires."""
    line = circuit([Battery("G1", 14.0, 0.001), Resistor("R1", 250.0)],
                   [wire_of("W1", "G1:+", "R1:1", wire_ohms), wire_of("W2", "R1:2", "G1:-", wire_ohms)])
    found = worst_loops(survey(line))["R1"]
    legs = [sum(piece.volts for piece in leg) for leg in (found.out, found.back)]
    return survey(line).load("R1").amps * 1000, found.load_volts, *legs


LINE = "Lessons in Electric Circuits, DC, temperature of conductors: two wires of 15 ohm, then 35 C at 0.004041 per K"


@pytest.mark.outside(LINE)
@pytest.mark.parametrize("warm, printed", [(20.0, ("50", "12.5", "0.75", "0.75")),
                                           (35.0, ("49.677", "12.42", "0.79", "0.79"))])
def test_each_leg_of_a_long_line_loses_the_printed_volts(warm, printed):
    ohms = 15.0 * (1 + 0.004041 * (warm - 20.0))
    assert all(agrees(value, text) for value, text in zip(line_readings(ohms), printed))
    assert not all(agrees(value, text) for value, text in zip(line_readings(ohms * 1.03), printed))


BOAT = "ABYC E-11 formula in a marine dealer's table: CM = 10.75 x 10 A x 21 ft / 0.36 V = 6271: 12 AWG, but 10 SAE"


def check_bilge_pump(k):
    need = wire_for_drop(10.0, (11 + 10) * FOOT, 0.36, k=k)
    assert agrees(need.circular_mils, "6271")
    assert need.awg.label == "12 AWG" and need.sae.label == "10 SAE"


@pytest.mark.outside(BOAT)
def test_a_bilge_pump_takes_twelve_awg_or_ten_sae():
    check_bilge_pump(COPPER["abyc"])


@pytest.mark.outside("ABYC E-11 formula in a marine dealer's table: at 10 % it is 16 AWG; at 3 % of 32 V 2352 cmil")
def test_the_same_pump_with_more_volts_to_lose():
    assert wire_for_drop(10.0, 21 * FOOT, 1.2, k=10.75).awg.label == "16 AWG"
    assert agrees(wire_for_drop(10.0, 21 * FOOT, 1.2, k=10.75).circular_mils, "1881")
    assert agrees(wire_for_drop(10.0, 21 * FOOT, 0.96, k=10.75).circular_mils, "2352")


@pytest.mark.outside(BOAT)
@pytest.mark.parametrize("size, fits", [("12 AWG", True), ("12 SAE", False), ("10 SAE", True)])
def test_the_solved_pump_loses_three_per_cent_in_its_copper_or_more(size, fits):
    """10 A in the solved circuit. The formula counts copper alone, at K = 10.75; the circuit's copper has 10.371."""
    area = size_named(size).area
    pump = circuit([Battery("G1", 12.0, 0.001), Resistor("R1", 1.1608)],
                   [Wire("W1", "G1:+", "R1:1", length=11 * FOOT, area=area),
                    Wire("W2", "R1:2", "G1:-", length=10 * FOOT, area=area)])
    found = worst_loops(survey(pump))["R1"]
    assert survey(pump).load("R1").amps == pytest.approx(10.0, abs=0.1)
    lost = sum(piece.volts for piece in found.out + found.back if piece.length)
    assert (lost * COPPER["abyc"] / 10.371 <= 0.03 * 12.0) == fits


@pytest.mark.outside("IEC 60028: 0.017241 ohm mm2/m, 0.00393 per K; ABYC's K of 10.75 is copper at about 29 C")
def test_the_formula_and_the_copper_agree_at_the_formulas_temperature():
    formula = wire_for_drop(10.0, 6.4, 0.36, k=COPPER["abyc"]).area
    assert wire_for_drop(10.0, 6.4, 0.36, temperature=29.0).area == pytest.approx(formula, rel=2e-3)
    assert wire_for_drop(10.0, 6.4, 0.36).area == pytest.approx(wire_for_drop(10.0, 6.4, 0.36, k=10.371).area, rel=1e-4)
    assert wire_for_drop(10.0, 6.4, 0.36).area != pytest.approx(formula, rel=0.03)


# --- wire by the current it may carry ------------------------------------------------------------------------------

PRINTED = {
    "free air, 60 C insulation": {18: 13, 16: 18, 14: 25, 12: 30, 10: 40},
    "free air, 90 C insulation": {18: 18, 16: 24, 14: 35, 12: 40, 10: 55},
    "chassis wiring": {18: 8.1, 16: 11.5, 14: 16.2, 12: 23, 10: 32.5},
    "fuse for wire": {16: 7.5, 14: 15, 12: 20, 10: 30, 8: 50, 6: 80},
    "marine, 105 C insulation": {18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 8: 80},
}
READ_IN = {
    "free air, 60 C insulation": "Lessons in Electric Circuits, DC, ampacity, 60 C insulation in free air at 30 C",
    "free air, 90 C insulation": "Lessons in Electric Circuits, DC, ampacity, 90 C insulation in free air at 30 C",
    "chassis wiring": "old handbook table of chassis wiring",
    "fuse for wire": "builders' table of the largest fuse for a wire (practice)",
    "marine, 105 C insulation": "a cable maker's table of UL 1426 boat cable, outside engine spaces",
}
TABLES = [pytest.param(table, id=table, marks=pytest.mark.outside(READ_IN[table])) for table in PRINTED]


def check_table(table):
    """A fuse of the printed amperes guards that gauge in a solved circuit, one a tenth larger does not."""
    for gauge, amps in PRINTED[table].items():
        for factor, is_kept in ((1.0, True), (1.1, False)):
            line = circuit([Battery("G1"), Fuse("F1", amps * factor), Resistor("R1", 12.0)],
                           [("G1:+", "F1:1"), ("F1:2", "R1:1"), ("R1:2", "G1:-")], length=0.2, area=awg_to_mm2(gauge))
            assert the(judge(line, limits=Limits(table)), "the fuse guards its thinnest wire", "F1").is_kept == is_kept
        assert wire_for_current(amps, table).awg.label == f"{gauge} AWG"


@pytest.mark.parametrize("table", TABLES)
def test_a_fuse_may_be_as_large_as_the_table_lets_its_wire_carry(table):
    check_table(table)


@pytest.mark.outside("ASTM B258 areas and IEC 60228 areas: 1.5 mm2 lies between 16 and 14 AWG, 0.75 mm2 below 18 AWG")
def test_a_metric_wire_counts_as_the_gauge_with_no_more_copper():
    table = PRINTED["chassis wiring"]
    assert capacity(1.5).amps == table[16] and capacity(2.5).amps == table[14] and capacity(1.0).amps == table[18]
    assert capacity(awg_to_mm2(16) - 0.001).amps == table[18]
    assert 0.75 < awg_to_mm2(18) and capacity(0.75).amps == pytest.approx(table[18] * 0.75 / 0.823, rel=1e-3)


@pytest.mark.parametrize("table", [table for table in PRINTED if table != "fuse for wire"])
def test_thinner_than_the_table_is_on_the_safe_side_in_proportion(table):
    """From gauge to gauge every printed table gives the thinner wire at least its share of the copper."""
    gauges = sorted(PRINTED[table])
    for thick, thin in zip(gauges, gauges[1:]):
        assert PRINTED[table][thin] >= PRINTED[table][thick] * awg_to_mm2(thin) / awg_to_mm2(thick)


# --- contacts, coils, fuses ----------------------------------------------------------------------------------------

SHEET = "a maker's mini ISO relay sheet, 35/50 A class"


def contact(amps, side):
    """Return a relay that carries about so many amperes on one contact, behind a fuse that bears it."""
    rest = 0.001 + 0.001 + 0.005 + 10 * 0.001
    return circuit([Battery("G1", 12.6, 0.001), Fuse("F1", 80.0), toggle("S1", "coil"), Relay("K1"),
                    Resistor("R1", 12.6 / amps - rest), Splice("X1"), Splice("X2")],
                   [("G1:+", "F1:1"), ("F1:2", "X1:1"), ("X1:2", "S1:1"), ("S1:2", "K1:86"), ("X1:3", "K1:30"),
                    (f"K1:{side}", "R1:1"), ("K1:85", "X2:1"), ("R1:2", "X2:2"), ("X2:3", "G1:-")],
                   [Control("coil", ("off", "on"))])


def check_contact(amps, side, is_kept):
    board = contact(amps, side)
    finding = the(judge(board), "the contact carries the load", "K1")
    assert finding.value == pytest.approx(amps, rel=0.02)
    assert finding.is_kept == is_kept


@pytest.mark.outside(f"{SHEET}: at 85 C the make contact carries 35 A, the break contact 25 A")
@pytest.mark.parametrize("amps, side, is_kept", [(33.5, "87", True), (36.5, "87", False),
                                                 (24.0, "87a", True), (26.5, "87a", False)])
def test_a_contact_is_held_to_the_sheet(amps, side, is_kept):
    check_contact(amps, side, is_kept)


def lamps_on_a_contact(watts, side):
    """Return cold filaments of so many watts on one contact, almost at the battery."""
    board = contact(1.0, side)
    return board.with_parts(Lamp("R1", watts=watts))


@pytest.mark.outside(f"{SHEET}: makes 120 A on 87, 45 A on 87a")
@pytest.mark.parametrize("watts, side, is_kept", [(120.0, "87", True), (170.0, "87", False),
                                                  (40.0, "87a", True), (70.0, "87a", False)])
def test_the_inrush_is_held_to_what_the_contact_makes(watts, side, is_kept):
    finding = the(judge(lamps_on_a_contact(watts, side)), "the contact stands the inrush", "K1")
    assert finding.is_kept == is_kept and finding.value > 5 * watts / 13.5


@pytest.mark.outside(f"{SHEET}: least contact load 1 A at 5 V")
@pytest.mark.parametrize("amps, is_kept", [(0.9, False), (1.1, True)])
def test_a_contact_needs_an_ampere_to_stay_clean(amps, is_kept):
    assert the(judge(contact(amps, "87")), "the contact is kept clean", "K1").is_kept == is_kept


def check_warm_coil(temperature, ohms, volts):
    warm, pull_in = warmed(Relay("K1", coil_resistance=90.0, pull_in_voltage=6.5), temperature)
    assert agrees(warm.warm_resistance, ohms) and agrees(pull_in, volts)


@pytest.mark.outside("TE note on coil temperature: 90 ohm, 6.5 V at 20 C; warm values computed from its 0.003929 per K")
@pytest.mark.parametrize("temperature, ohms, volts",
                         [(85, "113.0", "8.16"), (125, "127.1", "9.18"), (-40, "68.8", "4.97")])
def test_a_warm_coil_needs_the_computed_volts(temperature, ohms, volts):
    check_warm_coil(temperature, ohms, volts)


@pytest.mark.outside("TE note on coil temperature: the pull-in current stays, so the volts in a circuit decide")
@pytest.mark.parametrize("supply, is_kept", [(8.1, False), (8.3, True)])
def test_a_coil_at_85_c_is_held_to_those_volts(supply, is_kept):
    relay = Relay("K1", coil_resistance=90.0, pull_in_voltage=6.5)
    coil = circuit([Battery("G1", supply, 0.001), Fuse("F1", 3), relay],
                   [("G1:+", "F1:1"), ("F1:2", "K1:86"), ("K1:85", "G1:-")])
    assert the(judge(coil), "the coil pulls in when warm", "K1").is_kept == is_kept


@pytest.mark.outside("common practice, fuse makers' rule: a fuse carries 75 to 80 % of its rating all day")
@pytest.mark.parametrize("share, limit, is_kept", [(0.79, 0.80, True), (0.81, 0.80, False),
                                                   (0.74, 0.75, True), (0.79, 0.75, False)])
def test_a_fuse_is_held_to_its_share(share, limit, is_kept):
    rest = 0.001 + 6 * 0.001 + 0.008
    board = circuit([Battery("G1", 12.6, 0.001), Fuse("F1", 10.0), Resistor("R1", 12.6 / (10 * share) - rest)],
                    [("G1:+", "F1:1"), ("F1:2", "R1:1"), ("R1:2", "G1:-")])
    finding = the(judge(board, limits=Limits(load_share=limit)), "the fuse carries the load", "F1")
    assert finding.value == pytest.approx(10 * share, rel=2e-3) and finding.is_kept == is_kept


@pytest.mark.outside("load sheets of switch makers: the inrush of a filament is 10 to 15 times its current")
@pytest.mark.parametrize("watts", [5.5, 26.5])
def test_the_inrush_found_is_ten_to_fifteen_times(watts):
    near = circuit([Battery("G1"), Fuse("F1", 10), toggle("S1", "switch"), Lamp("E1", watts=watts)],
                   [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")],
                   [Control("switch", ("off", "on"))])
    assert 10 <= survey(near).load("E1").times <= 15


@pytest.mark.outside("service manual, limits it credits to SAE: 0.2 V in a cable, 0.3 V in a contact")
@pytest.mark.parametrize("rule, part, ohms", [("little is lost in a wire", "W3", 0.2),
                                              ("little is lost in a contact", "S1", 0.3)])
def test_what_a_cable_or_a_contact_may_lose(rule, part, ohms):
    """1 A through a little less and a little more than the printed tenths of an ohm."""
    for factor, is_kept in ((0.97, True), (1.03, False)):
        area = 0.17241 / (ohms * factor) if part == "W3" else 2.5
        wire = Wire("W3", "S1:2", "R1:1", length=10.0, area=area)
        switch = toggle("S1", "switch", resistance=ohms * factor if part == "S1" else 0.01)
        board = circuit([Battery("G1", 12.6, 0.001), Fuse("F1", 3), switch, Resistor("R1", 1.0)],
                        [("G1:+", "F1:1"), ("F1:2", "S1:1"), wire, ("R1:2", "G1:-")],
                        [Control("switch", ("off", "on"))])
        rest = 12.6 / survey(board).load("R1").amps - 1.0
        one_ampere = board.with_parts(replace(board.part("R1"), resistance=12.6 - rest))
        assert survey(one_ampere).load("R1").amps == pytest.approx(1.0, rel=1e-3)
        assert the(judge(one_ampere), rule, part).is_kept == is_kept


# --- the drain -----------------------------------------------------------------------------------------------------

def hours_until_empty(amps, capacity):
    """Return twice the time until the battery is half empty, in hours, with so many amperes drawn at rest."""
    line = circuit([Battery("G1", 12.6, 0.001), Resistor("R1", 12.6 / amps - 0.005)],
                   [("G1:+", "R1:1"), ("R1:2", "G1:-")])
    return drain(line, capacity).days_to_half * 24 * 2


@pytest.mark.outside("Lessons in Electric Circuits, DC, batteries: 70 Ah last 20 h at 3.5 A and 70 000 h at 1 mA")
@pytest.mark.parametrize("amps, printed", [(3.5, "20"), (0.001, "70000")])
def test_a_battery_lasts_as_long_as_printed(amps, printed):
    assert agrees(hours_until_empty(amps, 70.0), printed)
    assert not agrees(hours_until_empty(amps * 1.05, 70.0), printed)


# --- the checks above find what they look for ----------------------------------------------------------------------

@pytest.mark.parametrize("check, wrong", [
    (check_long_feeder, 10.371), (check_thin_feeder, 10.371), (check_bilge_pump, 10.371),
    (lambda rho: check_wire_ohms(5.0, 3.31, rho, "0.025"), 0.0178),
    (lambda rho: check_wire_ohms(20.0, 3.3103, rho, "0.104"), 0.0175)])
def test_a_wrong_copper_is_found(check, wrong):
    with pytest.raises(AssertionError):
        check(wrong)


@pytest.mark.parametrize("table", PRINTED)
def test_a_wrong_table_is_found(monkeypatch, table):
    lines, source = tables.ampacity(table)
    monkeypatch.setattr(wires, "ampacity", lambda name: ({**lines, 14: lines[14] * 1.15}, source))
    with pytest.raises(AssertionError):
        check_table(table)


@pytest.mark.parametrize("side, wrong, amps, is_kept", [("87", 40.0, 36.5, False), ("87", 30.0, 33.5, True),
                                                        ("87a", 35.0, 26.5, False), ("87a", 20.0, 24.0, True)])
def test_a_wrong_contact_rating_is_found(monkeypatch, side, wrong, amps, is_kept):
    monkeypatch.setitem(overheating.CONTACT_CARRIES, side, wrong)
    with pytest.raises(AssertionError):
        check_contact(amps, side, is_kept)


@pytest.mark.parametrize("wrong", [0.0039, 0.004041])
def test_a_wrong_rise_of_the_coil_is_found(monkeypatch, wrong):
    monkeypatch.setattr("circuitlab.parts.conductors.WARMING", wrong)
    with pytest.raises(AssertionError):
        for case in ((85, "113.0", "8.16"), (125, "127.1", "9.18"), (-40, "68.8", "4.97")):
            check_warm_coil(*case)
