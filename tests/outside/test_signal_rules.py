"""Rules of the road for signal lamps, checked on the kit's arrangements and on circuits built for the purpose.

Every group has a planted mistake that its check must find.
"""

from dataclasses import replace

import pytest

from circuitlab.arrangements import SwapTerminals, arrangement, arrangement_names, changed
from circuitlab.parts import Battery, Chassis, Control, Fuse, Lamp, Relay, Splice, toggle
from circuitlab.reasoning import flash, lamp_table
from circuitlab.solving import operating_point, run

from outside.small_circuits import circuit

SHARED = [name for name in arrangement_names() if name.startswith("shared-filament-")]


# --- stop and turn on one filament ---------------------------------------------------------------------------------

def steady_while_signalling(circuit):
    """Return (positions, lamp) wherever a rear lamp is steady although its turn or the hazard is selected."""
    found = []
    rear = {lamp.name: "left" if "left" in lamp.place else "right" for lamp in circuit.of_kind(Lamp)
            if lamp.place in ("rear left", "rear right")}
    assert sorted(rear.values()) == ["left", "right"], "one shared lamp on each side"
    for row in lamp_table(circuit).rows:
        assert row.verdict == "settled", row
        hazard = row.positions.get("hazard") == "on"
        turn = row.positions["turn lever"] if row.positions["key"] == "on" else "off"
        found += [(row.positions, lamp) for lamp, side in rear.items()
                  if (hazard or turn == side) and row.cells[lamp].look != "flashing"]
    return found


@pytest.mark.outside("SAE J586 FEB84 and J588 NOV84, par. 5.4.2, as quoted in NHTSA interpretation 12221.ztv; "
                     "hazard over stop: NHTSA interpretation 2629y")
@pytest.mark.parametrize("name", SHARED)
def test_a_stop_signal_never_comes_on_in_a_lamp_that_is_signalling(name):
    assert len(SHARED) == 4
    assert steady_while_signalling(arrangement(name)) == []


def test_the_tied_wires_break_the_stop_and_turn_rule():
    broken = steady_while_signalling(arrangement("tied-stop-and-turn"))
    assert {row["brake pedal"] for row, _ in broken} == {"held"} and len(broken) == 2


@pytest.mark.parametrize("name", SHARED)
def test_make_and_break_contact_mixed_up_break_the_stop_and_turn_rule(name):
    assert steady_while_signalling(changed(arrangement(name), SwapTerminals("K1:87", "K1:87a")))


@pytest.mark.outside("FMVSS 108 (old S5.5.4), SAE J586 par. 2.1: stop lamps lit for as long as the service brake is "
                     "applied")
@pytest.mark.parametrize("name", SHARED)
def test_stop_lamps_are_lit_as_long_as_the_pedal_is_held(name):
    """From the press to the release and not after: volts appear and vanish with the pedal, no delay in any contact.

    Above 5 V counts: two cold filaments pull the first instant down to about 8 V.
    """
    course = run(arrangement(name), [(0.5, "brake pedal", "held"), (2.0, "brake pedal", "released")], until=3.0)
    for lamp in ("E1", "E2"):
        lit = [t for t, volts in zip(course.times, course.lamp_volts[lamp]) if volts > 5]
        assert (min(lit), max(lit)) == (0.5, 2.0)
        assert flash(course, lamp, 0.51, 1.99).look == "steady"


# --- relay logic ---------------------------------------------------------------------------------------------------

MAKE, BREAK = "87", "87a"


def ladder(branches, inverted=False):
    """Return switches A and B, a relay for each contact, and a lamp.

    ``branches`` lie side by side; each is a row of contacts such as ``("A", MAKE)``. With ``inverted`` they feed one
    more coil, whose break contact feeds the lamp.
    """
    contacts = [contact for branch in branches for contact in branch]
    relays = [Relay(f"K{order}") for order, _ in enumerate(contacts, start=1)]
    parts = [Battery("G1"), toggle("S1", "A"), toggle("S2", "B"), *relays, Lamp("E1"), Splice("X1", 12),
             Splice("X2", 6), Splice("X3", 6), Splice("X4", 6), Chassis("X5", 12)]
    pairs = [("G1:+", "X1:1"), ("X1:2", "S1:1"), ("X1:3", "S2:1"), ("S1:2", "X3:1"), ("S2:2", "X4:1"),
             ("X5:1", "G1:-"), ("E1:2", "X5:2")]
    bus, number, way = {"A": "X3", "B": "X4"}, 0, 4
    for order, branch in enumerate(branches, start=1):
        live = f"X1:{way}"
        way += 1
        for name, contact in branch:
            number += 1
            pairs += [(live, f"K{number}:30"), (f"{bus[name]}:{number + 1}", f"K{number}:86"),
                      (f"K{number}:85", f"X5:{number + 2}")]
            live = f"K{number}:{contact}"
        pairs.append((live, f"X2:{order}"))
    if inverted:
        parts.append(Relay("K9"))
        pairs += [("X2:6", "K9:86"), ("K9:85", "X5:12"), (f"X1:{way}", "K9:30"), ("K9:87a", "E1:1")]
    else:
        pairs.append(("X2:6", "E1:1"))
    return circuit(parts, pairs, [Control("A", ("off", "on")), Control("B", ("off", "on"))], length=0.3, area=1.0)


def truth(circuit):
    """Return in which rows the lamp is steady, as 0 and 1 for A B = 00, 01, 10, 11; a lamp between is an error."""
    looks = [row.cells["E1"].look for row in lamp_table(circuit).rows]
    assert set(looks) <= {"dark", "steady"}
    return tuple(int(look == "steady") for look in looks)


LADDERS = {
    "parallel make contacts are OR": ([[("A", MAKE)], [("B", MAKE)]], False, (0, 1, 1, 1)),
    "series make contacts are AND": ([[("A", MAKE), ("B", MAKE)]], False, (0, 0, 0, 1)),
    "a break contact is NOT": ([[("A", BREAK)]], False, (1, 1, 0, 0)),
    "parallel break contacts are NAND": ([[("A", BREAK)], [("B", BREAK)]], False, (1, 1, 1, 0)),
    "series break contacts are NOR": ([[("A", BREAK), ("B", BREAK)]], False, (1, 0, 0, 0)),
    "two contacts for each input make XOR": ([[("A", BREAK), ("B", MAKE)], [("A", MAKE), ("B", BREAK)]], False,
                                             (0, 1, 1, 0)),
    "NAND into a coil with a break contact is AND": ([[("A", BREAK)], [("B", BREAK)]], True, (0, 0, 0, 1)),
}


@pytest.mark.outside("Lessons in Electric Circuits, Digital, ladder logic: digital logic functions")
@pytest.mark.parametrize("name", LADDERS)
def test_contacts_combine_as_the_textbook_says(name):
    branches, inverted, wanted = LADDERS[name]
    assert truth(ladder(branches, inverted)) == wanted


@pytest.mark.parametrize("name", LADDERS)
def test_one_contact_of_the_wrong_kind_changes_the_truth(name):
    branches, inverted, wanted = LADDERS[name]
    wrong = changed(ladder(branches, inverted), SwapTerminals("K1:87", "K1:87a"))
    assert truth(wrong) != wanted


# --- a ground fault ------------------------------------------------------------------------------------------------

def fault(switch_first, grounded=True):
    """Return fuse, switch and lamp in a row, the wire between switch and lamp touching ground."""
    row = ["G1:+", "F1:1", "F1:2", "S1:1", "S1:2", "E1:1", "E1:2", "X1:1"]
    if not switch_first:
        row = ["G1:+", "F1:1", "F1:2", "E1:1", "E1:2", "S1:1", "S1:2", "X1:1"]
    between = row[5]
    pairs = [*zip(row[::2], row[1::2]), ("X1:2", "G1:-"), *([(between, "X1:3")] if grounded else [])]
    return circuit([Battery("G1"), Fuse("F1", 5.0), toggle("S1", "switch"), Lamp("E1"), Chassis("X1", 3)], pairs,
                   [Control("switch", ("off", "on"))], length=1.0, area=1.0)


def outcome(circuit, position):
    point = operating_point(circuit, {"switch": position})
    return point.states["F1"], point.light("E1") > 0.5


@pytest.mark.outside("Lessons in Electric Circuits, Digital, ladder logic: ladder diagrams and ground faults")
def test_a_ground_fault_blows_the_fuse_or_keeps_the_lamp_on():
    """Switch on the live side: off stays off, on blows the fuse. Switch on the ground side: on, whatever it does."""
    assert outcome(fault(True), "off") == ("whole", False)
    assert outcome(fault(True), "on") == ("blown", False)
    assert outcome(fault(False), "off") == outcome(fault(False), "on") == ("whole", True)
    course = run(fault(True), [(0.5, "switch", "on")], until=3.0)
    assert [event.state for event in course.events if event.name == "F1"] == ["blown"]


def test_without_the_fault_the_same_circuits_behave():
    """The planted opposite: no ground fault, so no blown fuse and a lamp that obeys."""
    for switch_first in (True, False):
        assert outcome(fault(switch_first, False), "off") == ("whole", False)
        assert outcome(fault(switch_first, False), "on") == ("whole", True)


# --- flash rate ----------------------------------------------------------------------------------------------------

RATES = "StVZO s.54; UN R48 par. 6.5.9; SAE J974 par. 4.3: 60 to 120 flashes per minute, both included"


def signalling(rate, on_share, moved_at=0.3, until=9.0):
    """Return the course of a left turn with another flasher in place; key on from the beginning."""
    cart = arrangement("shared-filament-four-relays")
    cart = cart.with_parts(replace(cart.part("K9"), rate=rate, on_share=on_share))
    return run(cart, [(moved_at, "turn lever", "left")], until, {"key": "on"})


@pytest.mark.outside(RATES)
@pytest.mark.parametrize("rate, on_share", [
    (60, 0.3), (60, 0.75), (75, 0.5), (90, 0.5), (105, 0.4), (120, 0.3), (120, 0.75)])
def test_the_measured_rate_is_the_set_one_and_within_the_limits(rate, on_share):
    """To 1e-5: the clock ticks in microseconds, and a period of 0.5 s or more is rounded to one tick."""
    for lamp in ("E1", "E3"):
        seen = flash(signalling(rate, on_share), lamp)
        assert seen.look == "flashing" and seen.is_rate_allowed
        assert seen.rate == pytest.approx(rate, rel=1e-5)
        assert seen.on_share == pytest.approx(on_share, rel=1e-5)
    assert flash(signalling(rate, on_share), "E2").look == "dark"


@pytest.mark.parametrize("rate", [57, 59.5, 120.5, 126])
def test_a_rate_outside_the_limits_is_found(rate):
    seen = flash(signalling(rate, 0.5), "E1")
    assert seen.look == "flashing" and not seen.is_rate_allowed


def appearance(rate, on_share, moved_at):
    """Return how long after the lever the lamp appears and first goes out again. [s]

    Seen from the light itself: half the greatest light of the run.
    """
    course = signalling(rate, on_share, moved_at, moved_at + 6.0)
    light = course.light["E1"]
    lit = [t - moved_at for t, now in zip(course.times, light) if t >= moved_at and now >= max(light) / 2]
    gone = [t - moved_at for t, now in zip(course.times, light) if t - moved_at > lit[0] and now < max(light) / 2]
    return lit[0], gone[0]


@pytest.mark.in_turn(4)
@pytest.mark.outside("UN R48 par. 6.5.9.1: light within 1 s of operating the control, first extinction within 1.5 s")
@pytest.mark.parametrize("rate, on_share", [(60, 0.5), (90, 0.5), (120, 0.5), (60, 0.75)])
def test_the_lamp_appears_within_a_second_of_the_lever_whenever_it_is_moved(rate, on_share):
    """The flasher runs by itself, so the lever is moved at nine moments of its swing."""
    for ninth in range(9):
        appears, goes = appearance(rate, on_share, 1.0 + ninth / 9 * 60 / rate)
        assert appears <= 1.0 and goes <= 1.5, (ninth, appears, goes)


def test_a_flasher_of_half_the_least_rate_appears_too_late():
    assert any(appearance(30, 0.4, 1.0 + ninth / 9 * 2)[0] > 1.0 for ninth in range(9))


def flasher_drop(cart):
    """Return the volts lost in the flasher while it feeds four lamps. [V]"""
    point = operating_point(cart, {"hazard": "on"})
    assert abs(point.current("K9", 1)) > 6, "four lamps draw some 7 A"
    return point.across("K9:49", "K9:49a")


@pytest.mark.outside("SAE J945: the lowest drop over a flasher in its on period is at most 0.5 V on average")
def test_the_flasher_drops_less_than_half_a_volt_under_four_lamps():
    assert 0 < flasher_drop(arrangement("shared-filament-rear-relays-hazard")) <= 0.5


def test_a_flasher_with_a_burnt_contact_drops_more(monkeypatch):
    monkeypatch.setattr("circuitlab.parts.flasher.CONTACT", 0.2)
    burnt = replace(arrangement("shared-filament-rear-relays-hazard"), title="burnt flasher contact")
    assert flasher_drop(burnt) > 0.5
