"""Numbers of a finding: that a size, its volts and its amps belong to the reading, what agrees, and light judged by the bulb a lamp is made for."""

import re

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.next_reading import Outcome
from circuitlab.reasoning.finding.pairs import _paired
from circuitlab.reasoning.finding.solved import Solved, solved

HAZARD, LAMP = cl.arrangement("shared-filament-rear-relays-hazard"), cl.arrangement("one-fused-lamp")
ON = {"lamp switch": "on"}


@pytest.mark.parametrize(("circuit", "symptom", "wire", "end", "ohms", "leads", "when"), [
    (HAZARD, "rear left dim when braking", "W31", "E1:1", 7.4, ("E1:1", "G1:-"), {"brake pedal": "held"}),
    (LAMP, "E1 dim when lamp switch on", "W3", "E1:1", 1.3, ("S1:2", "E1:1"), ON), (LAMP, "E1 dim when lamp switch on", "W2", "S1:1", 0.7, ("F1:2", "S1:1"), ON),
    (LAMP, "E1 dim when lamp switch on", "W3", "E1:1", 10.9, ("E1:1", "G1:-"), ON),
])
@pytest.mark.in_turn(4)
def test_a_size_its_volts_and_its_amps_are_those_of_the_circuit_with_so_many_ohms(circuit, symptom, wire, end, ohms, leads, when):
    """What is read comes from an operating point of the broken circuit; so does what is lost and what flows. Ohm's law between the three."""
    point = cl.operating_point(cl.changed(circuit, LoseJoint(wire, end, ohms)), {**circuit.positions(), **when}, "off")
    read, amps = cl.take_reading(point, *leads).value, abs(point.current(wire))
    row = symptom.partition(" when ")[2]
    found = find(circuit, symptom, f"{read:.2f} V from {leads[0]} to {leads[1]} when {row}")
    cause = next(cause for cause in found.causes if cause.repair.startswith(f"mend {wire},"))
    assert cause.about == pytest.approx(ohms, rel=0.05) and cause.amps == pytest.approx(amps, rel=0.03)
    assert cause.volts == pytest.approx(cause.about * cause.amps, rel=0.03)
    assert cause.fits[-1].agrees and cause.fits[-1].expected == pytest.approx(read, abs=0.02)


def test_amps_say_how_big_it_is_too():
    point = cl.operating_point(cl.changed(LAMP, LoseJoint("W3", "E1:1", 3.0)), ON)
    found = find(LAMP, "E1 dim when lamp switch on", f"{abs(point.current('F1')):.3f} A through F1 when lamp switch on")
    joints = [cause for cause in found.causes if cause.volts is not None and all(fit.agrees for fit in cause.fits)]
    assert joints and all(cause.about == pytest.approx(3.0, rel=0.1) for cause in joints)


def test_amps_tell_the_same_whichever_way_round_they_are_clamped_on():
    found, turned = (find(LAMP, "E1 dim when lamp switch on", f"{said} A through F1 when lamp switch on") for said in ("1.1", "-1.1"))
    assert found.contradiction is turned.contradiction is None
    for one, other in zip(found.causes, turned.causes, strict=True):
        assert (one.words, one.about, one.volts, one.fits[-1].expected) == (other.words, other.about, other.volts, other.fits[-1].expected)
        assert one.odds == pytest.approx(other.odds) and one.fits[-1].expected > 0


@pytest.mark.parametrize(("circuit", "symptom", "readings"), [
    (LAMP, "E1 dim when lamp switch on", ["12.2 V at E1:1 when lamp switch on", "0.05 V at F1:2"]),
    (LAMP, "E1 dark when lamp switch on", ["7 V at E1:1 when lamp switch on", "0.08 V at S1:1"]),
    (HAZARD, "rear left dark when braking", ["12.4 V from E1:1 to E1:2 when braking", "0 V from E1:1 to E1:2 when braking"]),
    (HAZARD, "rear left dim when braking", ["0.05 V at K1:87a when braking", "12.4 V at E1:1 when braking", "3 A through F1 when braking"]),
])
def test_nothing_agrees_that_is_far_from_what_is_expected(circuit, symptom, readings):
    """A volt, or a fifth: more than any hand meter, bulb and battery are off by."""
    found = find(circuit, symptom, readings)
    compared = 0
    for cause in found.causes:
        for fit in cause.fits:
            reading = getattr(fit.told, "reading", None)
            if fit.agrees and reading and isinstance(fit.expected, float):
                compared += 1
                assert abs(fit.expected - reading.value) < max(1.0, 0.2 * abs(reading.value)), (cause.words, str(fit.told), fit.expected)
    assert compared or all(not fit.agrees for cause in found.causes for fit in cause.fits if getattr(fit.told, "reading", None))


def test_two_values_between_the_same_leads_in_one_row_contradict_each_other():
    found = find(HAZARD, "rear left dark when braking", ["12.4 V from E1:1 to E1:2 when braking", "0 V from E1:1 to E1:2 when braking"])
    assert found.contradiction is not None and "These do not go together" in found.text()


def test_what_comes_and_goes_agrees_with_a_good_reading_where_the_complaint_does():
    """As expected of it while it is well; without 'only sometimes' the same reading speaks against it."""
    good = "0.01 V from S1:2 to E1:1 when lamp switch on"
    def fit(symptom):
        cause = next(cause for cause in find(LAMP, symptom, [good, "F1 whole"]).causes if cause.repair.startswith("mend W3,"))
        return next(fit for fit in cause.fits if str(fit.told).startswith("0.01"))
    assert fit("E1 dark when lamp switch on, only sometimes").agrees
    assert not any(cause.repair.startswith("mend W3,") for cause in find(LAMP, "E1 dark when lamp switch on", [good, "F1 whole"]).causes)


def test_a_meter_beats_the_eye():
    """Three volts make a lamp glow; the customer says dim, and no ground that would leave 12.5 V comes first."""
    found = find(LAMP, "E1 dim when lamp switch on", "3.0 V at E1:1 when lamp switch on")
    agreeing = [cause.repair.partition(",")[0] for cause in found.causes if all(fit.agrees for fit in cause.fits)]
    assert {"mend W1", "mend W2", "mend W3", "clean and tighten the clips of F1", "charge G1 and test it"} <= {*agreeing} and not {"mend W4", "mend W5"} & {*agreeing}
    assert [cause.repair.partition(",")[0] for cause in found.causes[:5]] == agreeing[:5]


@pytest.mark.outside("R5W 50 lm and P21W 460 lm at 13.5 V: UN Regulation No. 37")
def test_light_is_judged_by_the_bulb_the_lamp_is_made_for():
    """A weak bulb with all its volts is dim beside the one that belongs there."""
    everything = solved(LAMP)
    number = next(number for number, each in enumerate(everything.candidates, 1) if each.words.startswith("R5W in E1"))
    light = everything.light("E1")[:, everything.row(ON)].max(axis=1)
    assert light[number] / light[0] == pytest.approx(50 / 460, rel=0.1)
    found = find(LAMP, "E1 dim when lamp switch on", ["0.4 A through F1 when lamp switch on", "12.5 V at E1:1 when lamp switch on"])
    assert found.causes[0].words.startswith("R5W in E1") and all(fit.agrees for fit in found.causes[0].fits)


def test_the_ohms_told_times_the_amps_told_are_the_volts_told():
    """As printed, within what one or two figures leave."""
    for read in (0.4, 0.9, 2.28, 4.4, 7.0):
        said = " ".join(find(LAMP, "E1 dim when lamp switch on", f"{read} V from S1:2 to E1:1 when lamp switch on").text().split())
        ohms, volts, amps = map(float, re.search(r"about ([\d.]+) ohm between S1:2 and E1:1 \(W3\): ([\d.]+) V lost at ([\d.]+) A", said).groups())
        assert volts == read and ohms * amps == pytest.approx(volts, rel=0.08)


def test_a_dim_lamp_with_all_its_volts_and_a_good_ground_has_a_poor_bulb_or_holder():
    """Nothing is lost before the lamp nor behind it: what is left is the bulb, another bulb, and the contacts between bulb and holder."""
    found = find(LAMP, "E1 dim when lamp switch on", ["12.5 V at E1:1 when lamp switch on", "0.01 V at E1:2 when lamp switch on"])
    first = {cause.repair for cause in found.causes[:3]}
    assert first == {"put a new bulb into E1, the contacts of its holder clean", "clean the holder of E1 and the contacts of its bulb", "put a P21W into E1"}
    assert sum(cause.odds for cause in found.causes[:3]) > 0.7 and "between E1 and its holder" in found.text()


def test_no_size_is_worked_out_where_the_likeliest_is_open():
    """The grades together outweigh it, and it is the likeliest alone."""
    from circuitlab.reasoning.finding.joint_size import worked_out
    everything, found = solved(LAMP), find(LAMP, "E1 dim when lamp switch on", "2 V from S1:2 to E1:1 when lamp switch on")
    mine = [number for number, each in enumerate(everything.candidates) if each.words.endswith("(W3)")]
    by_grade = {everything.candidates[number].words.partition(" ")[0]: number for number in mine}
    posterior = everything.weighing.posterior(found.ahead.weights + 1e-9, found.symptoms, found.taken)
    assert worked_out(everything.weighing, posterior, mine, by_grade["open"], found.taken) is None
    assert worked_out(everything.weighing, posterior, mine, by_grade["1"], found.taken).volts == 2.0


@pytest.mark.full
def test_a_joint_at_which_a_flasher_cannot_stay_on_is_no_error():
    """The ground that all share at 5 ohm: with so many ohms nothing comes to rest while the flasher turns, and it is a cause all the same."""
    circuit = cl.arrangement("separate-filaments")
    for volts in (0.5, 3.0, 6.0, 8.8):
        found = find(circuit, "E3 dim when turn left", [f"{volts} V at X1:8 when turn left, while K9 on", f"{volts} V at X1:8 when turn left"])
        assert found.causes and all(cause.volts is None or cause.volts > 0 for cause in found.causes)


def test_leads_reach_the_holder_and_not_the_bulb():
    """Beside an operating point with those ohms behind the terminal: full volts where the lead is, less over the bulb."""
    everything = solved(LAMP)
    number = next(number for number, each in enumerate(everything.candidates, 1) if each.words == "5 ohm between E1 and its holder")
    row, (_, place), = everything.row(ON), *everything.candidates[number - 1].behind
    point = cl.operating_point(everything.candidates[number - 1].apply(LAMP), ON)
    assert everything.volts("E1:1")[number, row, 0] == pytest.approx(point.volts(place), abs=1e-6) and point.volts(place) > 12.4
    assert point.volts("E1:1") < 9 and everything.under_lamp("E1:1", "G1:-", row)[number, 0] > 11
    cold = everything.weighing.cold
    assert cold.ohms_of(number, "E1:1", "E1:2", ON) == pytest.approx(cold.ohms_of(0, "E1:1", "E1:2", ON) + 5, abs=0.1)
    assert cold.ohms("E1:1", "E1:2", ON)[number] == pytest.approx(cold.ohms_of(number, "E1:1", "E1:2", ON))


@pytest.mark.parametrize("turned", [False, True])
def test_a_pair_keeps_what_its_two_faults_do_to_light_and_leads(turned):
    """Half of a black bulb's light gone; a lead on the holder's terminal, not behind its poor contacts: beside operating points of both faults."""
    def pair(*begins):
        singles, joint = solved(LAMP), next(each for each in candidates_of(LAMP) if each.words.startswith(begins[0]))
        chosen = [next(number for number, each in enumerate(singles.candidates) if each.words.startswith(words)) for words in begins]
        both = Solved(LAMP, list(_paired(singles, np.full(len(singles.candidates), 0.01), chosen[::-1] if turned else chosen)), [ON])
        return both, joint, cl.operating_point(both.candidates[0].apply(LAMP), ON)

    black, joint, point = pair("0.1 ohm between S1:2 and E1:1", "bulb of E1 black")
    alone = cl.operating_point(joint.apply(LAMP), ON)
    assert black.light("E1")[1, 0, 0] == pytest.approx(0.5 * alone.light("E1"), rel=1e-6) and alone.light("E1") > 0.5
    for begins in ("0.1 ohm between S1:2 and E1:1", "0.1 ohm between E1:2 and X1:1"):      # a wire on the holder's terminal, and behind the lamp
        holder, _, point = pair(begins, "5 ohm between E1 and its holder")
        (_, place), = holder.candidates[0].behind
        assert holder.volts("E1:1")[1, 0, 0] == pytest.approx(point.volts(place), abs=1e-6) and point.volts(place) > 12.3 > 9 > point.volts("E1:1")
    chafed, _, _ = pair("W3 chafed through", "0.1 ohm between G1:+ and F1:1")
    assert chafed.candidates[0].chafed == ("W3", "E1:1", "S1:2")


@pytest.mark.parametrize(("said", "says"), [("10.6 kV at E1:1", "10.6 kV cannot be there, as nothing here gives more than 32 V"),
                                            ("-40 V at E1:1", "-40 V cannot be there")])
def test_volts_that_no_battery_gives_are_refused(said, says):
    with pytest.raises(cl.CircuitLabError, match=says):
        find(LAMP, "E1 dim when lamp switch on", said)


def test_ohms_are_told_to_count_with_the_battery_off():
    found = find(LAMP, "E1 dim when lamp switch on", "12.4 ohm at E1:1 when lamp switch on")
    assert "Ohms count only with the battery off" in found.text() and "Ohms count only with the battery off" in found.html()


@pytest.mark.parametrize(("said", "slip"), [("-0.9 V from S1:2 to E1:1 when lamp switch on", "the leads swapped"),
                                            ("9 V from S1:2 to E1:1 when lamp switch on", "the point one place to the left")])
def test_a_slip_of_hand_or_eye_is_named(said, slip):
    found = find(LAMP, "E1 dim when lamp switch on", ["11.5 V at E1:1 when lamp switch on", "0.01 V at E1:2 when lamp switch on", said])
    assert str(found.contradiction.told) == said and found.contradiction.slip == slip


def test_no_jumper_is_told_where_a_flasher_shall_be_off():
    from circuitlab.reasoning.finding.offer import Offer
    from circuitlab.views.find_words import aside_words
    found = find(HAZARD, "rear left dim when turn left")
    said = {phase: " ".join(aside_words(found, Offer(1.0, (), red="E1:1", black="G1:-", phases={"K9": phase}))) for phase in ("on", "off")}
    assert "a jumper with a fuse of its own from K9:49 to K9:49a" in said["on"]
    assert "no jumper" in said["off"] and "from K9:49 to K9:49a" not in said["off"]


# By Kirchhoff's second law, by hand: the open contact has the battery in the pause and nothing else in series has any; on, the battery sags and the
# ground that E5 shares lifts; what has no current in either phase reads alike
@pytest.mark.parametrize(("red", "black", "on"), [
    ("E1:1", "G1:-", "MAX"), ("E1:1", "E1:2", "MAX"), ("G1:+", "E1:1", "MIN"), ("F2:2", "E1:1", "MIN"), ("K9:49", "K9:49a", "MIN"),
    ("E1:2", "G1:-", "MAX"), ("G1:-", "E1:2", "MIN"), ("G1:-", "K9:49a", "MIN"), ("K9:49a", "E1:1", "MAX"), ("S2:1", "G1:-", "MIN"), ("E5:1", "G1:-", "MAX"),
    ("F1:1", "S2:1", ""), ("S5:2", "X11:1", "")])
def test_which_of_min_and_max_is_the_phase_asked_for_is_said_of_the_very_reading(red, black, on):
    from circuitlab.reasoning.finding.offer import Offer
    from circuitlab.views.find_words import aside_words
    found, other = find(HAZARD, "rear left dim when turn left"), {"MAX": "MIN", "MIN": "MAX"}
    turning = {**HAZARD.positions(), "key": "on", "turn lever": "left"}
    for phase, end, opposite in (("on", on, "off"), ("off", other.get(on, ""), "on")):
        said = " ".join(aside_words(found, Offer(1.0, (), red=red, black=black, positions=turning, phases={"K9": phase})))
        assert (f": {end} is {phase}, {other[end]} is {opposite}" in said) if end else "MAX" not in said, said


@pytest.mark.full
def test_the_fault_page_names_min_and_max_as_both_phases_of_the_sound_circuit_have_them():
    from circuitlab.reasoning.finding.fault_sheet import fault_sheet
    from circuitlab.views.fault_page import fault_page
    circuit = cl.arrangement("shared-filament-rear-relays")
    sheet, ends = fault_sheet(circuit), set()
    for entry in sheet.entries:
        for step, held in zip(entry.readings, entry.held):
            offer = step.offer
            if held:
                on, off = (cl.operating_point(circuit, offer.positions, phase).across(offer.red, offer.black) for phase in ("on", "off"))
                ends |= {held} if abs(on - off) > 0.05 else set()
                assert abs(on - off) <= 0.05 or (held == "MAX") == ((on > off) == (offer.phases["K9"] == "on")), offer
    page = fault_page(sheet)
    assert ends and all(f"({end})" in page for end in ends) and "MAX is on" not in page


@pytest.mark.parametrize(("said", "means"), [
    ("left rear is dim when I brake", "rear left dim when brake pedal held"),
    ("rear left dark when left turn signal", "rear left dark when key on and turn lever left"),
    ("rear left dark when I turn right", "rear left dark when key on and turn lever right"),
])
def test_a_customers_words_of_what_is_on(said, means):
    from circuitlab.reasoning.finding.told import read_symptom
    assert str(read_symptom(said, cl.arrangement("shared-filament-four-relays"))) == means


def test_nothing_is_likely_enough_from_symptoms_alone():
    """However likely: what would refute it comes next, and is read in a row that was told of, where current flows."""
    circuit = cl.arrangement("separate-filaments")
    symptoms = ["E3 dark when turn left", "E5 dark when turn left", "E4 dark when turn right", "E6 dark when turn right", "E1 steady when braking"]
    found = find(circuit, symptoms, odds={"flashers": 5000.0, "switches": 0.001, "fuses": 0.001})
    assert found.causes[0].odds > 0.9 and not found.is_found and found.next is not None
    assert "Likely enough to be mended" not in found.text()
    rows = [each.positions for each in found.symptoms]
    assert found.next.offer.instrument in ("look", "watch") or found.next.offer.positions in rows


def test_a_steady_value_speaks_against_what_makes_the_display_jump(monkeypatch):
    """A blade of K1 that touches its coil's makes it buzz: nothing steady is to be read there."""
    monkeypatch.setattr("circuitlab.reasoning.finding.cause.SHOWN", 0.0)
    monkeypatch.setattr("circuitlab.reasoning.finding.cause.MOST_CAUSES", 1000)
    found = find(HAZARD, "rear left dim when braking", "0.9 V from X3:2 to K1:87a when braking")
    (fit,) = [cause.fits[-1] for cause in found.causes if cause.words == "K1:30 touches K1:86"]
    assert (fit.expected, fit.agrees) == ("nothing steady", False) and found.causes[0].repair.startswith("mend W4,")
    (fit,) = [cause.fits[-1] for cause in find(HAZARD, "rear left dim when braking", "display jumps at K1:30 when braking").causes
              if cause.words == "K1:30 touches K1:86"]
    assert fit.agrees


def test_repairs_of_two_faults_at_once_are_both_named_in_short():
    outcome = Outcome(0.0, 1.0, 1.0, ("put a new bulb into E1, the contacts of its holder clean; and mend W37, from E3:2 to X1:3, with both its joints", "mend W4, from X3:2 to K1:87a"))
    assert outcome.in_short == ("put a new bulb into E1; and mend W37", "mend W4")


@pytest.mark.parametrize(("readings", "is_sound"), [
    (["0 A through F1"], True), (["12.6 V from G1:+ to G1:-", "F1 whole", "test lamp bright at F1:2"], True), (["0 V at E1:1"], True),
    (["1.8 A through F1"], False), (["F1 blown"], False), (["12.4 V at E1:1"], False), (["test lamp dim at F1:2"], False), (["display jumps at F1:2"], False)])
def test_readings_that_the_sound_circuit_shows_are_said_to_be_so(readings, is_sound):
    """At rest, without a symptom; the list below is then what would not show yet."""
    found = find(LAMP, (), readings)
    assert found.is_as_sound == is_sound and ("nothing is wrong there so far" in found.text()) == is_sound
    assert not find(LAMP, "E1 dark when lamp switch on", readings).is_as_sound
