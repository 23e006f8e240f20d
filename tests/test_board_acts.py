"""What hands did on a board, as a script: told, saved, read again and played act by act; no browser here."""

import json

import pytest

import circuitlab as cl
from circuitlab.arrangements.parted import parted
from circuitlab.arrangements.tried import Tried, cards_of
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.ground.errors import ScriptError

CART = cl.arrangement("shared-filament-four-relays")
BLOWN = {"F1 blown": cl.Hold("F1", "blown")}
HANDS = (
    ("act", 0.5, {"control": "brake pedal", "position": "held"}),
    ("act", 0.5, {"control": "key", "position": "on"}),
    ("change", 1.0, {"what": "out", "name": "K2"}),
    ("change", 1.2, {"what": "off", "name": "W5", "terminal": "X3:3"}),
    ("card", 1.5, {"words": "F1 blown", "made": True}),
    ("dial", 2.0, {"words": "flash rate", "value": 120.0}),
    ("lead", 2.1, {"lead": "red", "terminal": "E1:1"}),
    ("act", 2.2, {"control": "turn lever", "position": "left"}),
    ("card", 2.5, {"words": "F1 blown", "made": False}),
    ("change", 3.0, {"what": "back", "name": "K2"}),
)


def hear(desk, **message):
    """Return what a desk answers, by kind, the last of each."""
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear({"act": desk.last + 1, **message})}


def worked():
    """Return a desk on which hands did all kinds of things."""
    desk = Desk(CART, changes=BLOWN)
    for kind, at, what in HANDS:
        assert "trouble" not in hear(desk, kind=kind, at=round(at * TICK), **what)
    return desk


def stands(desk):
    return desk.apart.out, desk.apart.off, desk.tried.made, desk.tried.words, desk.present, desk.live.script


def played(desk):
    """Let a page come for every act."""
    while desk.coming:
        moment = desk.next_at
        answers = hear(desk, kind="next")
        assert "trouble" not in answers
        if "now" in answers:
            assert answers["now"]["at"] == moment and answers["now"]["next"] == desk.next_at
    return answers


def test_what_hands_did_is_told_line_by_line():
    """A change as what differs from before."""
    lines = [words for _, words in hear(worked(), kind="acts")["acts"]["lines"]]
    assert len(lines) == len(HANDS)
    assert lines[0] == "brake pedal held" and lines[3] == "lose W5 at X3:3" and lines[4] == "blow F1"
    assert lines[5] == "set K9 rate 120 per minute" and lines[6] == "red lead on E1:1" and lines[8] == "undone: blow F1; new F1"


@pytest.mark.parametrize("through_a_file", [False, True])
def test_a_replay_is_the_same_record_and_everything_can_be_put_back_as_before(through_a_file, tmp_path):
    """Every state and light at moments between, from the first act to a second after the last; cards, dials and hands alike."""
    desk = worked()
    first, before = desk.live, stands(desk)
    if through_a_file:
        name = str(tmp_path / "mine.script")
        assert "mine.script" in hear(desk, kind="keep", name=name)["kept"]["words"]
        desk = Desk(CART, changes=BLOWN)
        assert hear(desk, kind="take", name=name)["still"]["fresh"]
    else:
        assert hear(desk, kind="replay")["acts"]["next"] == TICK // 2
    assert desk.live.script == () and desk.live.positions == CART.positions() and desk.present == CART
    played(desk)
    assert stands(desk) == before
    first.ahead(4.0), desk.live.ahead(4.0)
    for step in range(41):
        assert first.at(step / 10).states == desk.live.at(step / 10).states
        assert all(first.at(step / 10).light(lamp) == desk.live.at(step / 10).light(lamp) for lamp in ("E1", "E2", "E3", "E4"))
    assert hear(desk, kind="change", at=5 * TICK, what="on", name="W5", terminal="X3:3")["now"]["off"] == []


def test_a_hand_ends_a_replay_and_goes_on_by_itself():
    desk = worked()
    hear(desk, kind="replay")
    hear(desk, kind="next")
    said = hear(desk, kind="act", at=TICK * 3 // 4, control="key", position="on")
    assert said["now"]["next"] is None and desk.coming == []
    assert [act.to for act in desk.live.script] == ["held", "on"]
    assert hear(desk, kind="next") == {}


def test_the_script_of_a_fault_is_of_the_healthy_circuit_and_begins_with_the_fault(tmp_path):
    """Saved on a board of a fault table, read on a plain one, played by `cl.scripts.replayed` as well."""
    table = cl.fault_table(CART, faults=[cl.LoseJoint("W18", "K1:87")])
    desk = Desk(table)
    hear(desk, kind="act", at=TICK, control="turn lever", position="off")
    name = str(tmp_path / "fault.script")
    hear(desk, kind="keep", name=name)
    script = cl.scripts.load_script(name, CART)
    assert script.begun == ("lose W18 at K1:87",) and script.start == cl.changed(CART, cl.LoseJoint("W18", "K1:87"))
    assert cl.scripts.replayed(script).at(1.0).states == desk.live.at(1.0).states
    plain = Desk(CART)
    hear(plain, kind="take", name=name)
    assert plain.apart.off == (("W18", "K1:87"),) and plain.present == script.start and plain.live.positions == script.positions
    hear(desk, kind="take", name=name)
    assert desk.tried.made == tuple(desk.tried.cards) and desk.present == script.start


def test_the_acts_on_a_comparison_are_played_again_after_the_change(tmp_path):
    """Another circuit has no sentence: a script is of the second one; with the change undone it cannot be saved, and says so."""
    after = cl.changed(CART, cl.SwapTerminals("K1:87", "K1:87a"))
    desk = Desk(cl.compare(CART, after))
    hear(desk, kind="change", at=TICK, what="out", name="F1")
    before = stands(desk)
    hear(desk, kind="replay")
    played(desk)
    assert stands(desk) == before and desk.script.arrangement == after
    hear(desk, kind="card", at=2 * TICK, words="the change", made=False)
    assert "whole circuit" in hear(desk, kind="keep", name=str(tmp_path / "x.script"))["trouble"]["words"]
    assert "has no sentence" in hear(desk, kind="replay")["trouble"]["words"] and desk.present != after


@pytest.mark.parametrize(("text", "says"), [
    ("script of one-fused-lamp\nend of script\n", "this is a script of 'one-fused-lamp', not of 'shared-filament-four-relays'"),
    ("script of shared-filament-four-relays\nbegin: changed\n  lift K77:30\nend of script\n", "K77"),
    ("script of shared-filament-four-relays\n0.5 s: key to on\n", "its last line is missing"), (None, "no.such")])
def test_a_script_that_does_not_fit_is_said_and_nothing_is_lost(text, says, tmp_path):
    path = tmp_path / ("no.such" if text is None else "a.script")
    if text:
        path.write_text(text, encoding="utf-8")
    desk = worked()
    before = stands(desk)
    assert says in hear(desk, kind="take", name=str(path))["trouble"]["words"]
    assert stands(desk) == before and desk.coming == []


def test_a_board_is_opened_with_a_script_and_its_control_acts_are_run():
    """`run` plays the acts up to where the circuit is changed."""
    script = worked().script
    desk = cl.board(CART, BLOWN, script=script).desk
    assert desk.still()["opens"] == "acts" and desk.next_at == TICK // 2
    course = cl.run(CART, [act for act in script.acts if act.when < 1.0], 1.0)
    played(desk)
    assert course.at(0.9).states == desk.live.at(0.9).states
    with pytest.raises(ScriptError, match="this is a script of"):
        cl.board(cl.arrangement("one-fused-lamp"), script=script)


def test_what_no_card_and_no_hand_does_is_kept_as_a_whole():
    """A wire moved by a sentence, and a relay out beside it."""
    lost = [f"lose {wire.name} at {end}" for wire in CART.wires for end in wire.terminals if end.startswith("K4:")]
    tried, apart = parted(Tried(cl.Changes(CART), cards_of(BLOWN)), ["swap K1:87 and K1:87a", *lost])
    assert apart.out == ("K4",) and tried.made == ()
    assert apart.with_back("K4").arrangement == cl.changed(CART, cl.SwapTerminals("K1:87", "K1:87a"))
