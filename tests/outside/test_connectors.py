"""Every contact of every connector of the kit against the list it is said to come from, and the connector's law in a circuit.

The published side is written here, apart from the tables. Where no copy was read, the test says from memory.
"""

from collections import Counter
from math import inf

import pytest

from circuitlab.arrangements import Hold, SetValue, changed
from circuitlab.parts import Battery, Connector, Resistor
from circuitlab.parts.connector import TYPES, pins_of, side_by_side
from circuitlab.parts.catalogue import table
from circuitlab.solving import operating_point

from outside.small_circuits import circuit
from outside.test_data import fails

AREA, GAUGE = "area [mm2]", "gauge [AWG]"

# pin: function, DIN 72552 code, colour. ISO 1724 as a connector maker, an encyclopedia and a car's manual list it
ISO_1724 = {"1": ("left turn", "L", "YE"), "2": ("rear fog", "54G", "BU"), "3": ("ground", "31", "WH"), "4": ("right turn", "R", "GN"),
            "5": ("right tail", "58R", "BN"), "6": ("stop", "54", "RD"), "7": ("left tail", "58L", "BK")}
# ISO 11446:2012 as a connector maker and two encyclopedias list it: 1 to 7 as ISO 1724
ISO_11446 = {**ISO_1724, "8": ("reversing", "", "PK"), "9": ("plus, permanent", "30", "OG"), "10": ("plus, switched", "15", "GY"),
             "11": ("ground of 10", "31", "WHBK"), "12": ("tells that a trailer is there", "", ""), "13": ("ground of 9", "31", "WHRD")}
# four wires, as a trade page lists them for the flat connector of SAE J1239; in which order they lie: from memory
J1239 = {"1": ("ground", "", "WH"), "2": ("tail", "", "BN"), "3": ("left stop and turn", "", "YE"), "4": ("right stop and turn", "", "GN")}
# the colours of SAE J2863 as two trade lists have them; the numbers: from memory
J2863 = {"1": ("ground", "", "WH"), "2": ("brakes", "", "BU"), "3": ("tail", "", "BN"), "4": ("plus, permanent", "", "BK"),
         "5": ("left stop and turn", "", "YE"), "6": ("right stop and turn", "", "GN"), "7": ("reversing", "", "VT")}
# ISO 1185: functions as a trailer lamp maker lists them; codes and colours from memory
ISO_1185 = {"1": ("ground", "31", "WH"), "2": ("left tail", "58L", "BK"), "3": ("left turn", "L", "YE"), "4": ("stop", "54", "RD"),
            "5": ("right turn", "R", "GN"), "6": ("right tail", "58R", "BN"), "7": ("trailer brake", "", "BU")}
# ISO 12098: functions as a trailer lamp maker lists them; colours from memory
ISO_12098 = {"1": ("left turn", "L", "YE"), "2": ("right turn", "R", "GN"), "3": ("rear fog", "54G", "BU"), "4": ("ground", "31", "WH"),
             "5": ("left tail", "58L", "BK"), "6": ("right tail", "58R", "BN"), "7": ("stop", "54", "RD"), "8": ("reversing", "", "PK"),
             "9": ("plus, permanent", "30", "OG"), "10": ("brake lining worn", "", "GY"), "11": ("spring brake on", "", "WHBK"),
             "12": ("axle lift", "", "WHBU"), "13": ("ground of 14 and 15", "31", "WHRD"), "14": ("data, high", "", "WHGN"),
             "15": ("data, low", "", "WHBN")}
PUBLISHED = {"12N": ISO_1724, "13-pin": ISO_11446, "4-flat": J1239, "7-blade": J2863, "24N": ISO_1185, "15-pin": ISO_12098}
# how many cores of which size. A cable maker's overview of the standards; ISO 11446 without a core for 12; J2863 in AWG
CORES = {"12N": {1.5: 6, 2.5: 1}, "13-pin": {1.5: 7, 2.5: 5}, "24N": {1.5: 6, 2.5: 1}, "15-pin": {1.5: 12, 2.5: 3}}
GAUGES = {"7-blade": {14: 4, 12: 1, 10: 2}}
# which of them are the thick ones: ISO 1724 and ISO 11446, a connector maker's copies of their tables
THICK = {"12N": {"3"}, "13-pin": {"3", "9", "10", "11", "13"}}


def check_contacts(kind, rows):
    """Function, code and colour of every contact; the published word is the beginning of the table's."""
    assert [row["pin"] for row in rows] == [*PUBLISHED[kind]]
    for row in rows:
        function, code, colour = PUBLISHED[kind][row["pin"]]
        assert row["function"].startswith(function) and (row["code"], row["colour"]) == (code, colour), row


def check_sizes(kind, rows):
    found = Counter(row[AREA] for row in rows if row[AREA]), Counter(row[GAUGE] for row in rows if row[GAUGE])
    assert found == (CORES.get(kind, {}), GAUGES.get(kind, {}))
    assert kind not in THICK or {row["pin"] for row in rows if row[AREA] == 2.5} == THICK[kind]


@pytest.mark.outside("ISO 1724, ISO 11446, ISO 12098, SAE J1239, SAE J2863 as makers' and trade lists have them; ISO 1185: a lamp maker's list")
@pytest.mark.parametrize("kind", TYPES)
def test_every_contact_has_the_function_code_and_colour_of_its_list(kind):
    check_contacts(kind, pins_of(kind))


@pytest.mark.parametrize("kind", TYPES)
@pytest.mark.parametrize("column", ["function", "colour", "code"])
def test_a_contact_listed_otherwise_is_found(kind, column):
    for place in range(len(pins_of(kind))):
        rows = [dict(row) for row in pins_of(kind)]
        rows[place][column] = "else"
        assert fails(check_contacts, kind, rows)


@pytest.mark.outside("sizes of cores: a cable maker's overview of the standards; ISO 1724 and ISO 11446 contact by contact, a connector maker's copies")
@pytest.mark.parametrize("kind", TYPES)
def test_every_core_is_as_thick_as_its_standard_has_it(kind):
    check_sizes(kind, pins_of(kind))


@pytest.mark.parametrize("kind", [*CORES, *GAUGES])
def test_a_core_of_another_size_is_found(kind):
    for place in range(len(pins_of(kind))):
        rows = [dict(row) for row in pins_of(kind)]
        if rows[place][AREA] or rows[place][GAUGE]:
            rows[place] |= {AREA: 4.0, GAUGE: None}
            assert fails(check_sizes, kind, rows)


@pytest.mark.outside("a question-and-answer page, low trust: the mating face of a 7-blade socket, notch up, by the hours of a clock; common practice: the flat one in a row")
def test_contacts_of_known_places_lie_where_the_page_has_them():
    """11 h tail, 1 h plus, 3 h right, 5 h brakes, 7 h ground, 9 h left, reversing in the middle."""
    hours = {"tail": (-1, 1), "plus": (1, 1), "right": (2, 0), "brakes": (1, -1), "ground": (-1, -1), "left": (-2, 0), "reversing": (0, 0)}
    for row in pins_of("7-blade"):
        across, up = hours[row["function"].split(",")[0].split()[0]]
        assert (2 * (row["across [1]"] - 2), row["up [1]"] - 2) == pytest.approx((across, 0.87 * up))
    assert side_by_side("4-flat") == (("1", "2"), ("2", "3"), ("3", "4"))
    assert {frozenset(pair) for pair in side_by_side("7-blade")} >= {frozenset(pair) for pair in ("34", "46", "62", "21", "15", "53")}


CLOCK = {"above": (0, 1), "above right": (0.87, 0.5), "below right": (0.87, -0.5), "below": (0, -1), "below left": (-0.87, -0.5), "above left": (-0.87, 0.5),
         "middle": (0, 0)}


@pytest.mark.outside("12N: a boat class's page (from behind the car into its socket, notch below: 1 above, 2 to 6 on clockwise, 7 in the middle) and a motor trade's "
                     "teaching page (seen from the plug's side, by DIN 72552 codes)")
def test_two_pages_have_the_contacts_of_12n_in_the_places_of_the_table():
    clockwise = dict(zip("123456", ("above", "above right", "below right", "below", "below left", "above left"))) | {"7": "middle"}
    by_code = {"L": "above", "54": "above left", "54G": "above right", "58L": "middle", "58R": "below left", "31": "below right", "R": "below"}
    for row in pins_of("12N"):
        assert clockwise[row["pin"]] == by_code[row["code"]], "the two pages agree"
        assert (row["across [1]"] - 2, row["up [1]"] - 2) == pytest.approx(CLOCK[clockwise[row["pin"]]])
    assert {row["connector"]: row["notch"] for row in table("connectors") if row["notch"]} == {"12N": "below", "7-blade": "above"}
    assert {frozenset(pair) for pair in side_by_side("12N")} == {frozenset(pair) for pair in ("12", "23", "34", "45", "56", "61", *(f"7{pin}" for pin in "123456"))}


@pytest.mark.outside("SAE J1239, its scope: 7.5 A of lamps on one circuit; SAE J2863, a summary: 5 A on a signal circuit; ISO 1185 and 12098 are for 24 V")
def test_kinds_have_the_volts_contacts_and_amperes_of_their_standards():
    kinds = {row["connector"]: row for row in table("connectors")}
    assert tuple(kinds) == TYPES and {row["connector"] for row in table("connector_pins")} == {*TYPES}
    assert all(row["pins [1]"] == len(pins_of(kind)) for kind, row in kinds.items())
    assert {kind for kind, row in kinds.items() if row["supply [V]"] == 24} == {"24N", "15-pin"}
    assert {kind: row["lamp circuit [A]"] for kind, row in kinds.items() if row["lamp circuit [A]"]} == {"4-flat": 7.5, "7-blade": 5.0}
    assert {kind: row["standard"] for kind, row in kinds.items()} == {"12N": "ISO 1724", "13-pin": "ISO 11446", "4-flat": "SAE J1239",
                                                                     "7-blade": "SAE J2863", "24N": "ISO 1185", "15-pin": "ISO 12098"}


# ------------------------------------------------------------------ the law

def fed(*parts, wires):
    return circuit([Battery("G1", 12.0, 0.001), *parts], wires)


def behind(connector, ohms=4.0):
    """Return a resistor fed over pin 3 and grounded over pin 1 of a 4-flat connector."""
    return fed(connector, Resistor("R1", ohms), wires=[("G1:+", "X5:3s"), ("X5:3p", "R1:1"), ("R1:2", "X5:1p"), ("X5:1s", "G1:-")])


@pytest.mark.outside("Ohm's law: 12 V over 4 ohm and what the two contacts have, the four wires and the battery adding their own")
@pytest.mark.parametrize("pins, ohms", [((), 0.01), ({"3": 2.0}, 2.005), ({"1": 0.5, "3": 2.0}, 2.5), ({"3": inf}, inf), ({"1": inf}, inf)])
def test_current_through_a_connector_is_that_of_its_contacts(pins, ohms):
    whole = behind(Connector("X5", "4-flat", pins=pins))
    wires = sum(wire.resistance for wire in whole.wires)
    assert operating_point(whole).current("R1") == pytest.approx(12.0 / (4.0 + ohms + wires + 0.001), rel=1e-9, abs=1e-12)


def test_parted_the_socket_keeps_its_volts_and_the_plug_floats():
    point = operating_point(changed(behind(Connector("X5", "4-flat")), Hold("X5", "parted")))
    assert point.volts("X5:3s") == pytest.approx(12.0, abs=1e-3) and point.current("R1") == 0
    assert point.is_floating("X5:3p") and point.is_floating("X5:1p") and not point.is_floating("X5:1s")


@pytest.mark.outside("Ohm's law: a leak of 500 ohm beside the load takes 12 / 500 A, mated or parted")
def test_water_between_two_pins_leaks_in_the_socket():
    wet = changed(behind(Connector("X5", "4-flat", water={"1-3": 500.0})))
    for circuit_ in (wet, changed(wet, Hold("X5", "parted"))):
        order = len(Connector("X5", "4-flat").numbers)
        assert abs(operating_point(circuit_).current("X5", order)) == pytest.approx(12 / 500, rel=0.02)
    assert operating_point(changed(wet, SetValue("X5", "water", "none"))).current("R1") == pytest.approx(
        operating_point(behind(Connector("X5", "4-flat"))).current("R1"), rel=1e-9)
