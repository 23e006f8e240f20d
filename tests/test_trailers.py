"""The trailers behind a connector: proved, sized, and what they do without their ground. Their rows by hand are in ``expected_rows``."""

from math import inf

import pytest

from circuitlab.arrangements import Hold, LoseJoint, SetValue, Short, arrangement, changed
from circuitlab.parts import Battery, Connector, Resistor
from circuitlab.reasoning import lamp_table, prove
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.sizing import judge, size
from circuitlab.solving import operating_point
from circuitlab.views.sizing_words import sizing_text

from outside.small_circuits import circuit

TWELVE, FLAT = (arrangement(name) for name in ("trailer-12n-separate-lamps", "trailer-4-flat-combined-lamps"))


@pytest.mark.parametrize("trailer", [TWELVE, FLAT], ids=["12N", "4-flat"])
def test_each_is_proved_without_a_caution(trailer):
    proof = prove(trailer)
    assert proof.is_proved and len(proof.table.rows) == 24 and trailer.cautions() == ()


@pytest.mark.parametrize("trailer", [TWELVE, FLAT], ids=["12N", "4-flat"])
def test_everything_is_sized(trailer):
    assert [finding.part for finding in judge(trailer) if not finding.is_kept] == []


@pytest.mark.parametrize("trailer, pins", [(TWELVE, "134567"), (FLAT, "1234")], ids=["12N", "4-flat"])
def test_size_names_each_pin_of_the_plug_with_what_flows_there(trailer, pins):
    """The ground's has the sum of the others at most, and no line says only that it is the connector."""
    sizing = size(trailer)
    lines = [line.split() for line in sizing_text(sizing).splitlines() if line.split()[:1] == ["X5"]]
    assert all(line[1] == "pin" for line in lines) and {line[2] for line in lines} == {*pins}
    amps = {load.what: load.amps for load in sizing.survey.loads if load.part == "X5" and load.amps}
    assert amps.keys() == {f"pin {pin}" for pin in pins}
    ground = amps.pop("pin 3" if trailer is TWELVE else "pin 1")
    assert max(amps.values()) < ground <= sum(amps.values()) + 0.01


def test_a_poor_pin_is_named_in_the_rule_that_it_breaks():
    (broken,) = [finding for finding in judge(changed(FLAT, SetValue("X5", "pins", "3: 0.1 ohm"))) if not finding.is_kept and finding.part == "X5"]
    assert "are lost in its pin 3 with" in broken.sentence


# ------------------------------------------------------------------ the ground of a trailer lost at the plug

BRIGHT, TAIL, VOLTS = 6.095, 23.73, 12.8      # ohm of both filaments of a 1157 at its rating, as if constant; V


def lost_white(left=False, right=False, tails=False, ground=inf):
    """A trailer with two lamps of two filaments behind a 4-flat connector, every filament a resistor.

    On the car two tails hang on brown, and on the wire of each side that is not fed its own bright filament.
    """
    parts = [Battery("G1", VOLTS, 0.001), Connector("X5", "4-flat", pins={"1": ground}, contact_resistance=0.001)]
    parts += [Resistor(name, ohms) for name, ohms in (("R1", BRIGHT), ("R2", BRIGHT), ("R3", TAIL), ("R4", TAIL))]     # trailer: left, right, tails
    pairs = [("X5:3p", "R1:1"), ("X5:4p", "R2:1"), ("X5:2p", "R3:1"), ("X5:2p", "R4:1"), *((f"R{number}:2", "X5:1p") for number in range(1, 5)), ("X5:1s", "G1:-")]
    for fed, pin, on_car in ((left, "3", [("R5", BRIGHT)]), (right, "4", [("R6", BRIGHT)]), (tails, "2", [("R7", TAIL), ("R8", TAIL)])):
        for name, ohms in on_car:
            parts.append(Resistor(name, ohms))
            pairs += [(f"X5:{pin}s", f"{name}:1"), (f"{name}:2", "G1:-")]
        pairs += [("G1:+", f"X5:{pin}s")] if fed else []
    return operating_point(circuit(parts, pairs))


@pytest.mark.outside("worked by hand with constant resistances: back feed through the other filaments of a trailer without its white wire, common practice")
def test_volts_of_a_lost_white_wire_are_those_worked_by_hand():
    """Left turn alone: 1 / 6.095 S feed the floating white; from it 1 / 12.19 S lead over the right lamp and the car's, 1 / 23.73 S over the tails.

    So white is at 12.8 x 0.1641 / (0.1641 + 0.0820 + 0.0421) = 7.29 V, and each lamp of a pair in series has half of that.
    """
    point = lost_white(left=True)
    feed, right, tails = 1 / BRIGHT, 1 / (2 * BRIGHT), 1 / TAIL
    white = VOLTS * feed / (feed + right + tails)
    assert white == pytest.approx(7.29, abs=0.005)
    assert point.volts("X5:1p") == pytest.approx(white, abs=0.02)
    assert [point.across(f"R{number}:1", f"R{number}:2") for number in (1, 2, 3, 4)] == pytest.approx([VOLTS - white, -white / 2, -white / 2, -white / 2], abs=0.02)
    assert point.current("R1") == pytest.approx(0.905, abs=0.003)


@pytest.mark.outside("worked by hand: left turn with tail lamps on, where the wrong side is the brighter; and brake with the tail lamps off")
def test_with_tail_lamps_on_the_wrong_side_is_brighter_and_with_the_brake_the_tails_glow():
    """Tails on: white at 12.8 (g + t) / (g + t + h), g of the left lamp, t of both tails, h over right lamp and car: 9.62 V.

    Brake alone: 2 g feed it, both tails and the car's lead on: 11.34 V.
    """
    point = lost_white(left=True, tails=True)
    white = VOLTS * (1 / BRIGHT + 2 / TAIL) / (1 / BRIGHT + 2 / TAIL + 1 / (2 * BRIGHT))
    assert white == pytest.approx(9.62, abs=0.005) and point.volts("X5:1p") == pytest.approx(white, abs=0.02)
    assert abs(point.across("R2:1", "R2:2")) == pytest.approx(4.81, abs=0.02)
    assert point.across("R1:1", "R1:2") == pytest.approx(3.18, abs=0.02)
    braked = lost_white(left=True, right=True)
    assert braked.across("R1:1", "R1:2") == pytest.approx(1.46, abs=0.02) and abs(braked.across("R3:1", "R3:2")) == pytest.approx(5.67, abs=0.02)


@pytest.mark.outside("worked by hand: brake and tail lamps over a ground of so many ohms; two bright and two tail filaments")
@pytest.mark.parametrize("ohms, volts", [(0.1, 12.29), (0.5, 10.61), (1.0, 9.06), (2.0, 7.01), (5.0, 4.18)])
def test_a_poor_pin_of_the_ground_takes_volts_from_all_lamps(ohms, volts):
    """The wires and the other pins have some 8 mohm in all, which takes 0.04 V of 12.3 more."""
    point = lost_white(left=True, right=True, tails=True, ground=ohms)
    assert [point.across(f"R{number}:1", f"R{number}:2") for number in (1, 4)] == pytest.approx([volts, volts], abs=0.05)


LOST = {"pin 1 open": SetValue("X5", "pins", "1: inf"),
        "white wire off the plug": LoseJoint(next(wire.name for wire in FLAT.wires if wire.end == "X5:1p"), "X5:1p")}


@pytest.mark.outside("common practice, as trade pages and a magazine's answers tell of a lost white wire: both turns flash together, "
                     "the brake puts the running lamps out, lamps dim or swap")
@pytest.mark.parametrize("how", LOST)
def test_the_flat_trailer_without_its_white_wire_does_what_the_trade_tells(how):
    lost = changed(FLAT, LOST[how])
    on = {"key": "on"}

    def light(lamps, positions):
        point = operating_point(lost, on | positions, "on")
        return [point.light(lamp) for lamp in lamps], [point.lamp_volts(lamp) for lamp in lamps]

    trailer, cart = ("E7", "E8", "E9", "E10"), ("E1", "E2", "E5", "E6")
    (left, right, *tails), (_, back, *backs) = light(trailer, {"turn lever": "left"})
    assert 0.01 < left < 0.25 and min(right, *tails) > 0 and max(back, *backs) < -1      # all four at once, three of them backwards
    (left, right, *_), _ = light(trailer, {"turn lever": "left", "tail lamps": "on"})
    assert right > 2 * left                                                       # the wrong side
    (left, right, *tails), (*_, back) = light(trailer, {"brake pedal": "held"})
    assert max(left, right) < 0.01 < min(tails) and back < -3                     # stop lamps dark, tail lamps glow in their place
    lit, _ = light(trailer, {"tail lamps": "on", "brake pedal": "held"})
    assert max(lit) < 1e-6                                                        # nothing is left that leads to ground
    assert min(light(cart, {"tail lamps": "on", "brake pedal": "held"})[0]) > 0.6   # the cart's own are as ever


def test_a_parted_plug_leaves_the_cart_alone_and_the_trailer_dark():
    for trailer in (TWELVE, FLAT):
        apart = lamp_table(changed(trailer, Hold("X5", "parted")))
        for row, whole in zip(apart.rows, lamp_table(trailer).rows, strict=True):
            for lamp in trailer.of_kind(type(trailer.part("E1"))):
                wanted = "dark" if "trailer" in lamp.place else whole.cells[lamp.name].look
                assert row.cells[lamp.name].look == wanted, (row.positions, lamp.name)


def test_two_pins_that_touch_put_two_signals_together():
    """Pins 3 and 4 of the 4-flat lie side by side: with a bent one between them both sides of trailer and cart flash."""
    point = operating_point(changed(FLAT, Short("X5:3s", "X5:4s")), {"key": "on", "turn lever": "left"}, "on")
    assert min(point.light(lamp) for lamp in ("E1", "E2", "E7", "E8")) > 0.25


# ------------------------------------------------------------------ faults of a connector, and the reading that reveals each

def faults_of(trailer, kinds):
    return [fault for fault in single_faults(trailer, kinds) if fault.place.startswith("X5")]


@pytest.mark.parametrize("trailer, pins, pairs", [(TWELVE, "134567", 9), (FLAT, "1234", 3)], ids=["12N", "4-flat"])
def test_every_used_pin_can_be_poor_or_open_and_water_joins_neighbours(trailer, pins, pairs):
    """Pin 2 of the 12N is spare, so no fault of it is met; neighbours are 3-4, 4-5, 5-6, 6-1 in its ring
    and 7 in the middle with five of them, 1-2, 2-3, 3-4 in the flat one."""
    for kind in ("poor pin", "open pin"):
        assert [fault.place for fault in faults_of(trailer, [kind])] == [f"X5:{pin}p" for pin in pins]
    assert len(faults_of(trailer, ["plug parted"])) == len(faults_of(trailer, ["plug half in"])) == 1
    assert len(faults_of(trailer, ["water in a plug"])) == pairs


@pytest.mark.full
def test_each_fault_of_the_plug_is_told_by_what_is_seen_and_by_a_reading_at_it():
    """Pin 1 open or poor: the wrong lamps light, and the volts between its halves tell it. Parted: the plug's side floats. Water: ohms between two pins."""
    table = fault_table(FLAT, faults=faults_of(FLAT, ["poor pin", "open pin", "plug parted", "plug half in", "water in a plug"]))
    lines = {line.fault.words: line for line in table.lines}
    white, lost = lines["pin 1 of X5 poor, 5 ohm"], lines["pin 1 of X5 open: corroded, bent or pushed back"]
    assert white.worst == lost.worst == lines["plug of X5 half in, 5 ohm at every pin"].worst == "wrong signal"
    for line in (white, lost):
        told = table.reading(line)
        assert told.faulty.red == "X5:1p" and told.faulty.black in ("X5:1s", "G1:-") and told.healthy.value < 0.2 and told.faulty.value > 5
    apart = lines["plug of X5 out of its socket"]
    told = table.reading(apart)
    assert apart.worst == "lamp lost" and told.faulty.red.startswith("X5:") and told.faulty.red.endswith("p") and told.faulty.value is None
    for pin in "234":
        assert lines[f"pin {pin} of X5 poor, 5 ohm"].worst == "lamp lost"
    wet = {words: line for words, line in lines.items() if words.startswith("water")}
    assert {line.worst for line in wet.values()} == {"no effect"}       # 100 ohm light no filament
    ohms = {words: table.reading(line) for words, line in wet.items()}
    told = ohms["water between X5:2s and X5:3s, 100 ohm"]
    assert (told.faulty.red, told.faulty.black) == ("X5:2s", "X5:3s") and told.healthy.value is None and told.faulty.value == pytest.approx(100, rel=0.01)
    assert ohms["water between X5:3s and X5:4s, 100 ohm"] is None       # both are on the stop line by 87a: no ohms between them


@pytest.mark.outside("Joule's law: 1 ohm at 12.8 V over itself and 1 ohm more; 20 W in one joint glow, from memory")
@pytest.mark.parametrize("ohms, glows", [(1.0, True), (10.0, False)])
def test_a_poor_pin_that_may_set_fire_is_told(ohms, glows):
    """Some 6.4 A make 41 W of it, and 1.2 A 1.4 W."""
    parts = [Battery("G1", VOLTS, 0.001), Connector("X5", "4-flat", pins={"1": 1.0}), Resistor("R1", ohms)]
    point = operating_point(circuit(parts, [("G1:+", "R1:1"), ("R1:2", "X5:1p"), ("X5:1s", "G1:-")]))
    watts = point.current("X5", 0) ** 2 * 1.0
    assert watts == pytest.approx((VOLTS / (1.0 + ohms)) ** 2, rel=0.03)
    assert point.overheated == ((f"pin 1 of X5 turns {watts:.1f} W into heat there alone: it glows there and may set fire to what is near",) if glows else ())


# ------------------------------------------------------------------ found from what the driver behind tells

def test_a_lost_white_wire_is_found_from_stop_lamps_dark_and_a_tail_lamp_that_glows():
    """The white way: the pin, the wire before it and the one behind; white and tail put on each other's pin, or the plug half in, look so too, and are rare. Next is the plug's ground."""
    told = find(FLAT, ("E7 dark when braking", "E8 dark when braking", "E9 dim when braking", "E1 steady when braking"))
    white = [wire for wire in FLAT.wires if {"X5:1s", "X5:1p"} & {*wire.terminals}]
    assert {cause.repair for cause in told.causes if cause.odds < 0.1} == {*(f"change the wires on X5:1{half} and X5:2{half} over" for half in "sp"),
                                                                               "put the plug of X5 in until it locks"}
    assert sum(cause.odds for cause in told.causes if cause.odds > 0.1) > 0.95
    assert len(white) == 2 and {cause.repair for cause in told.causes if cause.odds > 0.1} == {
        "clean pin 1 of X5, or put it right, on both halves", *(f"mend {wire.name}, from {wire.start} to {wire.end}, with both its joints" for wire in white)}
    assert told.next.offer.red.startswith("X5:1")
