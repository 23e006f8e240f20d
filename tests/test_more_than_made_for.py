"""What has more than it is made for keeps an arrangement from being proved, and two from being alike: coils, flashers, resistors, chafes."""

import re

import pytest

from circuitlab import arrangement, compare, prove, size
from circuitlab.arrangements import Short, changed
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.arrangements.rows import rows_of
from circuitlab.reasoning import lamp_table, row_of
from circuitlab.reasoning.faults import batches, fault_table
from circuitlab.reasoning.sizing import fire_risks
from circuitlab.reasoning.observing import observe
from circuitlab.solving import operating_point

FOUR, LEDS = "shared-filament-four-relays", "led-lamps-load-resistors"
BULBS = [f"set E{number} volts 24 V" for number in (1, 2, 3, 4)]


def altered(name, *sentences):
    circuit = arrangement(name)
    for sentence in sentences:
        circuit = changed(circuit, read_change(sentence, circuit))
    return circuit


@pytest.mark.outside("a mini relay sheet: 24 V on a 12 V coil for 5 minutes at most")
def test_twelve_volt_coils_on_a_lorrys_battery_are_not_proved_and_compared_as_burning():
    lorry = altered(FOUR, *BULBS, "set G1 voltage 28 V", "set K9 volts 24 V")
    proof = prove(lorry, "turn-and-hazard-over-stop")
    assert proof.is_kept and not proof.is_proved and "Not proved, though all 12 rows keep the rule" in proof.text()
    said = next(words for words in proof.table.overheated if words.startswith("K1 "))
    assert "across its coil, 2.3 times the 12 V it is made for: it burns out within minutes (with " in said
    assert any(words.startswith("K1 ") for words in operating_point(lorry, {"key": "on", "turn lever": "left"}).overheated)
    assert not operating_point(lorry).overheated
    assert "Caution, after alone: K4 has 27.8 V across its coil" in compare(arrangement(FOUR), lorry).text()


def test_a_coil_is_told_beside_a_contact_of_its_relay_that_carries_more():
    lorry = altered(FOUR, *BULBS, "set G1 voltage 32 V", "set E1 volts 12 V", "set E1 watts 200 W", "set W22 area 16 mm2", "set F1 rating 100 A", "set F2 rating 100 A")
    said = [words for words in lamp_table(lorry).overheated if words.startswith("K1 ")]
    assert any("through 30-87a" in words for words in said) and any("across its coil" in words for words in said)


@pytest.mark.outside("a flasher chip's sheet: above some 20 V its relay is held off")
@pytest.mark.parametrize("volts, proved", [(16, True), (25.2, False)])
def test_a_flasher_that_may_hold_its_lamps_off_is_not_proved(volts, proved):
    relays = [f"set {name} pull in voltage {14 if not proved else 7} V" for name in ("K1", "K2", "K3", "K4")]
    coils = [f"set {name} coil resistance {340 if not proved else 85} ohm" for name in ("K1", "K2", "K3", "K4")]
    circuit = altered(FOUR, *(BULBS if not proved else ()), f"set G1 voltage {volts} V", *relays, *coils)
    proof = prove(circuit, timing=False)
    assert proof.is_kept and proof.is_proved == proved
    assert any(words.startswith("K9 has 25") and "holds them off above some 20.0 V" in words for words in proof.table.overheated) != proved


def test_two_fuses_blow_and_one_blows():
    shorts, held = altered(FOUR, "short E1:1 to chassis", "short S1:15 to chassis"), {"key": "on", "brake pedal": "held"}
    assert row_of(shorts, held).sentence == "F1, F2 blow" and row_of(shorts, {"key": "on"}).sentence == "F2 blows"
    assert "F1, F2 blow" in {failure.seen for failure in prove(shorts, timing=False).failures}


def test_a_start_that_nobody_can_tell_is_left_out():
    assert "starts over for 0.0 s" not in lamp_table(altered(FOUR, "corrode W35 at G1:- 0.5 ohm")).text()
    assert "starts over for 0.4 s" in lamp_table(altered(FOUR, "corrode W35 at G1:- 1 ohm")).text()


def test_an_led_lamp_is_called_so_where_the_battery_is_flat():
    flat = altered(LEDS, "set G1 voltage 8 V")
    said = [words for words in flat.cautions() if "'E1'" in words]
    assert said and "keep the LED lamp" in said[0] and "bulb" not in said[0]


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("watts, proved", [(10, False), (15, False), (16, True), (20, True)])
def test_a_resistor_behind_a_flasher_is_judged_by_its_mean_heat(watts, proved):
    """6 ohm at 13.8 V turn 31.6 W into heat while the flasher is on, half of the time."""
    circuit = altered(LEDS, f"set R1 rated watts {watts} W", f"set R2 rated watts {watts} W")
    point = operating_point(circuit, {"key": "on", "turn lever": "left"})
    assert point.current("R1") ** 2 * circuit.part("R1").resistance / 2 == pytest.approx(15.8, abs=0.05)
    proof = prove(circuit, timing=False)
    assert proof.is_kept and proof.is_proved == proved
    told = f"R1 turns 15.8 W into heat on average and is made for {watts}.0 W"
    assert any(words.startswith(told) for words in proof.table.overheated) != proved
    assert (told in compare(arrangement(LEDS), circuit).text()) != proved


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("ohms, burns", [(2.5, True), (5, True), (50, False)])
def test_a_chafe_that_burns_without_a_fuse_that_ends_it_is_not_proved(ohms, burns):
    circuit = altered(FOUR, f"short E1:1 to chassis {ohms} ohm")
    proof = prove(circuit, timing=False)
    assert proof.is_kept and proof.is_proved != burns
    assert any(re.match(r"the touch of E1:1 and X1:8 turns \d+(\.\d)? W into heat there alone", words) for words in proof.table.overheated) == burns
    compared = compare(arrangement(FOUR), circuit).text()
    assert ("may set fire" in compared) == burns and "added: the touch of E1:1 and X1:8" in compared and "short1" not in compared


def test_heat_is_told_with_three_digits_and_a_touch_by_the_places_it_joins():
    """Amps and watts from 100 on; the copper of a touch is nobody's, so nothing is said of its square millimetres."""
    circuit = altered(FOUR, "short G1:+ to G1:- 0.02 ohm")
    said = operating_point(circuit).overheated
    (touch,) = [words for words in said if "may set fire" in words]
    assert touch.startswith("the touch of G1:+ and G1:- turns 4050 W into heat there alone")      # (12.6 V / 28 mohm)**2 * 20 mohm
    assert not any("short1" in words or "1 mm2" in words for words in said)


def test_a_leak_is_called_one_by_size_and_no_joint():
    leaking = size(altered(FOUR, "short F1:2 to chassis 100 ohm"))
    broken = [finding for finding in leaking.findings if not finding.is_kept]
    assert [(finding.part, finding.rule) for finding in broken] == [("the touch of F1:2 and X1:8", "nothing leaks where two places touch")]
    assert "126 mA leak through 100.0 ohm, 1.59 W of heat, with everything at rest" in broken[0].sentence
    assert "joint" not in broken[0].sentence and "short1" not in leaking.text()


def test_a_chafe_that_burns_is_a_fire_risk_among_faults_alone_and_many_at_once():
    cart, rows = arrangement(FOUR), rows_of(arrangement(FOUR))
    chafes = [read_change(f"short E1:1 to chassis {ohms} ohm", cart) for ohms in (2.5, 50)]
    burns, warms = (next(line for line in fault_table(cart, faults=chafes).lines if str(line.fault) == str(chafe) or line.fault.words == str(chafe)) for chafe in chafes)
    assert burns.worst == "fire risk" != warms.worst
    assert any("may set fire" in reason for effect in burns.effects for reason in effect.reasons)
    quick = batches.observe_all(cart, rows, chafes)
    assert [[each.burning for each in seen] for seen in quick] == [
        [each.burning for each in observe(change.apply(cart), rows, cart)] for change in chafes]


def test_a_joint_that_glows_is_told_wherever_a_touch_of_as_many_watts_is():
    """1.5 ohm at the stop fuse of four stop lamps, as long as the pedal is held: I^2 R of the current that is left, worked out here."""
    circuit = altered("third-stop-lamp", "corrode W2 at S2:1 1.5 ohm")
    amps = abs(operating_point(circuit, {"brake pedal": "held"}).current("W2"))
    watts = amps**2 * 1.5
    assert watts > 20
    said = f"W2's joint turns {watts:.3g} W into heat at S2:1 alone"
    assert any(said in words for words in operating_point(circuit, {"brake pedal": "held"}).overheated)
    assert any(said in words for words in lamp_table(circuit).overheated)
    assert "Fire risk" in build_sheet(circuit) and "nothing glows where two things meet" in size(circuit).text()
    proof = prove(circuit, timing=False)
    assert not proof.is_proved and said in proof.text()


def test_a_touch_that_glows_is_a_fire_risk_of_the_sheet_too():
    """Some 6 ohm from a fed stud to the frame: under the fuse's rating, and 24 W in one place."""
    circuit = changed(arrangement("third-stop-lamp"), Short("X2:1", "X1", 6.0))
    assert any(finding.rule == "nothing glows where two things meet" and finding.value > 20 for finding in fire_risks(circuit))
    assert "Fire risk" in build_sheet(circuit)


def test_a_joint_that_glows_only_while_a_flasher_is_on_is_judged_by_its_mean():
    """24 W for half of the time are 12 W, which melt and do not glow: what the flasher lets through is averaged, what the pedal feeds is not."""
    circuit = altered("tied-stop-and-turn", "corrode W9 at S3:49a 5 ohm")
    on = operating_point(circuit, {"key": "on", "turn lever": "left"}, "on")
    assert 5 * on.current("W9")**2 > 20 and not any("joint" in words for words in (*on.overheated, *lamp_table(circuit).overheated))
