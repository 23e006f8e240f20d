"""Dead shorts: which fuse a short blows and in which row, where a wire may chafe, and that no fuse is put in before a look with the battery off."""

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.arrangements import AddPart, Hold, Short
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.faults import FAR
from circuitlab.reasoning.finding.assumptions import EFFORTS
from circuitlab.reasoning.finding.case import Case
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.solved import solved
from circuitlab.views.find_words import FUSE

from repairers import Bench, followed, ohms_read

HAZARD, SEPARATE = (cl.arrangement(name) for name in ("shared-filament-rear-relays-hazard", "separate-filaments"))
LAMPS_OUT = "E1 out, E2 out, E3 out, E4 out, E5 out, E6 out"
TURNS = ["rear left dark when turn left", "rear right dark when turn right"]
NO_WAY = f"no way from F2:2 to X1:1 when key on, F2 out, {LAMPS_OUT}"


def share(found, words):
    """Return the odds of every candidate whose words begin so."""
    return sum(weight for each, weight in zip(found.ahead.solved.candidates, found.ahead.weights) if each.words.startswith(words))


def numbers(everything, words):
    return [number for number, each in enumerate(everything.candidates, 1) if each.words.startswith(words)]


# ------------------------------------------------------------------ which fuse blows

@pytest.mark.parametrize(("circuit", "wire", "fuse", "row"), [
    (SEPARATE, "W9", "F2", {"key": "on", "brake pedal": "released", "turn lever": "left"}),
    (HAZARD, "W21", "F2", {"key": "on", "brake pedal": "released", "turn lever": "left", "hazard": "off", "tail lamps": "off"}),
    (HAZARD, "W21", "F3", {"key": "off", "brake pedal": "released", "turn lever": "off", "hazard": "on", "tail lamps": "off"}),
])
@pytest.mark.in_turn(3)
def test_a_short_behind_a_flashers_contact_blows_the_fuse_where_the_flasher_is_on(circuit, wire, fuse, row):
    """The flasher's electronics lose their volts each time it comes on; its contact is closed all the same. So nothing is read live there."""
    everything = solved(circuit)
    mine = numbers(everything, f"{wire} chafed")
    assert mine and any(fuse in everything.candidates[number - 1].blows for number in mine)
    assert all(everything.danger[number, everything.row(row)] for number in mine)
    rest = everything.row(circuit.positions())
    assert not any(everything.danger[number, rest] for number in mine)


def test_with_the_flasher_held_on_the_same_short_blows_that_fuse_by_an_operating_point():
    """Beside the kit's own meter: each candidate by itself, the flasher's contact held closed."""
    everything, row = solved(SEPARATE), {"key": "on", "brake pedal": "released", "turn lever": "left"}
    for number in numbers(everything, "W9 chafed"):
        short = [change for change in everything.candidates[number - 1].changes if isinstance(change, Short)]
        point = cl.operating_point(cl.changed(SEPARATE, *short, Hold("K9", "on")), row, "on")
        assert point.states["F2"] == "blown"


@pytest.mark.full
def test_a_fuse_that_keeps_blowing_does_not_end_in_a_new_fuse():
    """No way with the flasher's contact open says nothing of what lies behind it; ohms from behind it do."""
    found = find(HAZARD, TURNS, ["F2 blown", "F3 whole", NO_WAY])
    assert share(found, "F2 blown") < 0.8 and not found.is_found and share(found, "W20") + share(found, "W21") + share(found, "W22") > 0.04
    proof = find(HAZARD, TURNS, ["F2 blown", "F3 whole", NO_WAY, f"0.05 ohm from K9:49a to X1:1, F2 out, {LAMPS_OUT}"])
    behind = share(proof, "W20 chafed") + share(proof, "W21 chafed") + share(proof, "W22 chafed") + share(proof, "K9:49a touches")
    assert behind > 0.95 and share(proof, "F2 blown") < 0.01 and proof.contradiction is None


def test_a_fuse_goes_in_only_after_a_look_with_the_battery_off():
    """Whatever was read: wherever a fuse is the repair, that stands beside it."""
    for circuit, symptoms, readings in ((HAZARD, TURNS, ["F2 blown", "F3 whole", NO_WAY]), (SEPARATE, ["E3 dark when turn left"], ["F2 blown"]),
                                        (cl.arrangement("one-fused-lamp"), "E1 dark when lamp switch on", [
                                            "F1 blown", "no way from F1:2 to X1:1 when lamp switch on, F1 out, E1 out"])):
        found = find(circuit, symptoms, readings)
        assert found.causes[0].repair.startswith("put a new F")
        said = " ".join(found.text().split())
        assert "only after a look with the battery off, ohms from behind it to the frame, has found no short" in said


# ------------------------------------------------------------------ what was told of which row

def test_a_fuse_that_had_no_reason_to_blow_clears_nobody():
    """Hazard was never used: that its fuse is whole says little of a wire which both feed."""
    told = ["F2 blown", f"0.1 ohm from F2:2 to X1:1 when key on, F2 out, {LAMPS_OUT}",
            f"no way from F2:2 to X1:1 when key on, F2 out, {LAMPS_OUT}, W11 lifted at S4:49"]
    without, with_whole = find(HAZARD, TURNS, told), find(HAZARD, TURNS, [*told, "F3 whole"])
    assert share(with_whole, "W11 chafed") > 0.3 * share(without, "W11 chafed") > 0
    assert share(with_whole, "W11 chafed") > 3 * share(with_whole, "W8 chafed")
    assert not any("Against it" in line and "F3 whole" in line for line in with_whole.text().splitlines())


def test_it_counts_where_the_row_was_told_of():
    """The same wire, and hazard told of: then its fuse would be gone."""
    told = ["F2 blown", f"0.1 ohm from F2:2 to X1:1 when key on, F2 out, {LAMPS_OUT}", "F3 whole"]
    unused, used = (find(HAZARD, [*TURNS, *more], told) for more in ([], ["front left flashing when hazard on"]))
    assert share(used, "W11 chafed") < 0.1 * share(unused, "W11 chafed")


def test_lots_of_fuses_are_told_by_the_rows_that_blow_them():
    """Of one short every lot that some rows blow, none that no rows do; their odds are those of one."""
    everything = solved(HAZARD)
    mine = numbers(everything, "W11 chafed")
    assert {everything.candidates[number - 1].blows for number in mine} == {("F2",), ("F3",), ("F2", "F3")}
    assert len({everything.lots[number] for number in mine}) == 1
    assert sum(everything.candidates[number - 1].share for number in mine) == pytest.approx(1.0)
    assert np.array_equal(everything.escaped[mine].any(axis=1), [len(everything.candidates[number - 1].blows) < 2 for number in mine])


# ------------------------------------------------------------------ where a wire chafes

def test_a_wire_taken_off_one_end_still_touches_the_frame_from_its_other():
    """Beside the kit's own meter on a circuit whose wire touches at the end that stays on; off the other end it makes no difference."""
    everything, positions = solved(SEPARATE), {"turn lever": "left"}
    number, = numbers(everything, "W12 chafed")
    name, end, start = everything.candidates[number - 1].chafed
    wire, lamps = SEPARATE.part("W12"), ("F2", "E1", "E2", "E3", "E4", "E5", "E6")
    assert (name, end, start) == ("W12", wire.end, wire.start)
    for lifted, touching in ((end, start), (start, end)):
        chafing = cl.changed(SEPARATE, Short(touching, "X1:1"))
        for red in (start, end):
            read = ohms_read(chafing, red, "X1:1", positions, (("W12", lifted),), lamps)
            ours = everything.weighing.cold.ohms_of(number, red, "X1:1", positions, (("W12", lifted),), lamps)
            together = everything.weighing.cold.ohms(red, "X1:1", positions, (("W12", lifted),), lamps)[number]
            assert ours == together and (read is None or read > FAR) == (ours == np.inf) == (red == lifted)
    both = (("W12", end), ("W12", start))
    assert everything.weighing.cold.ohms_of(number, start, "X1:1", positions, both, lamps) == np.inf


def test_a_wire_that_is_off_at_the_lamp_and_still_shorted_is_not_ruled_out():
    """And one whose short is gone with it off the lamp is not proved: what lies behind it is likelier."""
    vehicle = cl.arrangement("combined-turn-stop-lever")
    symptoms = ["rear left dark when turn left", "front left dark when turn left"]
    out = ", ".join(f"{lamp.name} out" for lamp in vehicle.of_kind(cl.Lamp))
    wire, row = vehicle.part("W8"), "when key on and turn lever left"
    off = f"W8 lifted at {wire.end}"
    still = find(vehicle, symptoms, ["F2 blown", f"0.1 ohm from {wire.start} to X1:1 {row}, F1 out, F2 out, {out}, {off}"])
    gone = find(vehicle, symptoms, ["F2 blown", f"no way from {wire.start} to X1:1 {row}, F1 out, F2 out, {out}, {off}"])
    assert share(still, "W8 chafed") > 0.15 and share(gone, "W8 chafed") < 0.05 < share(gone, "E1:1 touches")


def test_the_proposals_find_a_wire_that_chafes_at_its_near_end():
    """A bench whose wire touches the frame along its length, whichever end is taken off."""
    vehicle = cl.arrangement("combined-turn-stop-lever")
    wire = vehicle.part("W8")
    found, readings, _ = followed(Bench(vehicle, (Short(wire.end, "X1:1"),), chafed="W8"))
    best = found.spans[0].repairs if found.spans else (found.causes[0].repair,)
    assert any(each.startswith("free W8 from the frame") for each in best) and readings < 12


def test_what_is_off_and_out_already_costs_no_minutes_again():
    """The next ohms there are as many minutes less as the battery and the lamps took, and a lamp left in on that line is a minute more."""
    def effort(*told):
        return min(each.effort for each in find(SEPARATE, "front left dark when turn left", ["F2 blown", *told]).ahead.left.all()
                   if each.instrument == "ohms" and each.red == "E3:1" and each.lifted == (("W13", "E5:1"),))
    row, out = "no way from F2:2 to X1:1 when key on and turn left", "F2 out, E1 out, E2 out, E3 out, E4 out, E5 out, E6 out"
    new, ready, again = effort(), effort(f"{row}, {out}"), effort(f"{row}, {out.removesuffix(', E5 out, E6 out')}")
    assert new - ready == pytest.approx(EFFORTS["battery off"] + 2 * EFFORTS["a lamp taken out"]) and again - ready == pytest.approx(EFFORTS["a lamp taken out"])


@pytest.mark.parametrize(("tester", "lights"), [(cl.Lamp("E9", 13.5, 26.5), False), (cl.LedLamp("E9"), True)])
def test_a_bulb_in_the_place_of_the_fuse_stays_dark_on_a_sound_coil_and_an_led_does_not(tester, lights):
    """By Ohm's law: 12.6 V over 85 ohm is 0.15 A, a twelfth of what a bulb of 21 W draws at 12 V, and more than enough for an LED."""
    board = cl.changed(cl.arrangement("relay-test-board"), cl.Hold("F1", "blown"), cl.LoseJoint("W6", "K1:87"), AddPart(tester),
                       cl.AddWire(cl.Wire("W91", "F1:1", "E9:1", length=0.5)), cl.AddWire(cl.Wire("W92", "E9:2", "F1:2", length=0.5)))
    point = cl.operating_point(board, {"test switch": "on"})
    assert (point.light("E9") > 0.25) == lights and point.current("E9") <= 12.6 / board.part("K1").coil_resistance
    assert all(each in FUSE for each in ("best of 21 W", "no LED", "85 ohm", "flickers"))


# ------------------------------------------------------------------ a fuse seen blown is never doubted

REAR = cl.arrangement("shared-filament-rear-relays")


@pytest.mark.parametrize(("circuit", "symptoms"), [
    (REAR, ["left turn signal dark", "right turn signal flashing"]), (SEPARATE, ["left turn signals dark", "right turn signals fine"]),
    (cl.arrangement("shared-filament-four-relays"), ["left turn signals dark", "right turn signals fine"]),
    (REAR, ["rear left dark when braking", "rear right steady when braking"])])
@pytest.mark.in_turn(4)
def test_a_fuse_that_went_where_the_other_side_still_worked_is_a_short_and_nothing_is_read_live_there(circuit, symptoms):
    """The customer saw the other side before it went, or with a new fuse in."""
    fuse = "F1" if "braking" in symptoms[0] else "F2"
    found = find(circuit, symptoms, f"{fuse} blown")
    shorted = np.array([bool(each.blows) for each in found.ahead.solved.candidates])
    assert found.ahead.weights[shorted].sum() > 0.5 and (found.contradiction is None or f"{fuse} blown" != str(found.contradiction.told))
    row = found.symptoms[0].positions
    live = [each for each in found.ahead.left.all() if each.instrument == "meter"]
    assert [each for each in live if each.positions == row] == [] and found.next.offer.instrument in ("look", "watch", "ohms")


def test_no_live_reading_where_a_blown_fuse_feeds_until_ohms_were_read():
    """However unlikely a short has become, down to one in ten thousand."""
    told = ["F2 blown", "12.6 V from G1:+ to G1:-"]
    everything = solved(REAR)
    feeds = {number for number in range(len(everything.rows)) if any(everything.danger[at, number] for at, each in enumerate(everything.candidates, 1) if "F2" in each.blows)}
    before = find(REAR, "left turn signal dark", told)
    assert feeds and {everything.row(each.positions) for each in before.ahead.left.all() if each.instrument == "meter"} & feeds == set()


@pytest.mark.full
def test_a_fuse_that_goes_again_is_a_short():
    once, again = (find(SEPARATE, "no brake lights", words) for words in ("F1 blown", "F1 blown again"))
    assert share(once, "F1 blown") > 0.2 > 0.02 > share(again, "F1 blown") and str(again.taken[0]) == "F1 blown again"
    row, other = (find(SEPARATE, "no turn signals", f"F2 blown when turn {side}") for side in ("left", "right"))
    assert share(row, "W12 chafed") > 5 * share(row, "W14 chafed") and share(other, "W14 chafed") > 5 * share(other, "W12 chafed")


@pytest.mark.outside("A fuse is never replaced by one of a higher rating, nor bridged: common practice, in every owner's handbook")
@pytest.mark.parametrize("words", ["put a 20 A fuse into F1", "bridged F1 with a wire", "F1: 10A in", "jumper across F2"])
def test_what_takes_a_fuses_guard_away_is_no_repair(words):
    case = Case(REAR).with_symptom("no brake lights")
    with pytest.raises(CircuitLabError, match="is a fuse of 7.5 A, and what lies behind it is sized for that"):
        case.with_repair(words)
    assert case.with_repair("W2 freed from the frame, F1 new, 7.5 A").repair


# ------------------------------------------------------------------ battery, clamps and clips

@pytest.mark.parametrize(("symptoms", "readings", "repair"), [
    ("no brake lights", ["12.6 V at F1:1 when braking", "0 V at F1:2 when braking", "F1 whole"], "clean and tighten the clips of F1"),
    ("brake lights dim", ["12.6 V at F1:1 when braking", "10.6 V at F1:2 when braking"], "clean and tighten the clips of F1"),
    ("all dark", ["0 V at G1:+"], "charge G1"), ("brake lights dim", ["11 V at G1:+ when braking", "10.9 V at F1:2 when braking", "10.6 V at E1:1 when braking"], "charge G1"),
    ("all dark", ["12.6 V from G1:+ to G1:-", "0 V at F1:1", "0 V at F2:1"], "clean and tighten the clamp G1:+")])
def test_battery_clamp_and_clips_are_on_the_list(symptoms, readings, repair):
    found = find(REAR, symptoms, readings)
    assert found.causes[0].repair.startswith(repair) and all(fit.agrees for fit in found.causes[0].fits)


def test_all_dark_with_a_whole_fuse_is_not_found_without_volts():
    """A flat battery, a clamp and the main ground look alike."""
    found = find(REAR, "all dark", "F1 whole")
    assert not found.is_found and {cause.repair.partition(",")[0] for cause in found.causes[:3]} == {"mend W29", "charge G1 and test it", "clean and tighten the clamp G1:+"}


@pytest.mark.outside("service manuals 2002 and 2004: more than 50 mA at rest is a drain")
def test_a_drain_is_not_what_the_sound_circuit_shows():
    found = find(REAR, (), "0.15 A through F2")
    assert not found.is_as_sound


def test_ohms_read_elsewhere_clear_no_blown_fuse():
    """Only those with that fuse out have looked behind it."""
    def gone(reading):
        return find(REAR, "left turn signal dark", ["F2 blown", reading]).ahead.known.gone
    assert gone("0.7 ohm from E1:1 to E1:2") == {"F2"} and gone("no way from F2:2 to X1:1 when turn left, F2 out, E1 out, E2 out, E3 out, E4 out") == frozenset()
