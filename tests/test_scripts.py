"""Scripts: what hands did, saved, read again, replayed, and played by run."""

from dataclasses import replace
from random import Random

import pytest

from circuitlab.arrangements import Changes, arrangement
from circuitlab.ground.errors import CircuitLabError, FileError, ScriptError, UnknownName
from circuitlab.parts import Control
from circuitlab.solving import run
from circuitlab.solving.acts import CHANGE, CONTROL, LEAD, Act
from circuitlab.solving.live import Live
from circuitlab.solving.scripts import load_script, replayed, save_script, script_of

from small_boards import lamp_board, relay_board

CART = arrangement("shared-filament-four-relays-hazard")
BROKEN = [("lift F1:2",), ("lose W5 at X3:2", "blow F2"), ()]


def worked(seed, until=8.0):
    """A course in which controls were moved, the circuit was changed and leads were put on, by chance."""
    chance, live, moment = Random(seed), Live(CART, {"key": "on"}), 0.0
    for number in range(40):
        moment = round(moment + chance.choice([0.0, 0.004, 0.1234567, 0.5]), 6)
        control = chance.choice(CART.controls)
        if number % 13 == 7:
            made = BROKEN[number // 13]
            made = tuple(sentence for sentence in made if "W5" not in sentence or CART.part("W5"))
            made = tuple(f"lose W5 at {CART.part('W5').end}" if "W5" in sentence else sentence for sentence in made)
            live.change(moment, Changes(CART).make(*made).after if made else CART, made, ["F2"] if not made else [])
        elif number % 5 == 3:
            live.lead(moment, chance.choice(["red", "black"]), chance.choice(["K1:87", "G1:-", ""]))
        else:
            live.act(moment, control.name, chance.choice(control.positions))
    live.ahead(moment + 1.0)
    return live


@pytest.mark.parametrize("seed", range(3))
def test_a_script_saved_and_read_again_replays_to_the_same_course(seed, tmp_path):
    live = worked(seed)
    path = save_script(script_of(live), tmp_path / "mine.script")
    again = load_script(path, CART)
    assert again.acts == live.script and again.positions == live.started == CART.positions({"key": "on"})
    second = replayed(again)
    second.ahead(live.until)
    assert (second.events, second.verdict, second.script) == (live.events, live.verdict, live.script)
    for lamp in ("E1", "E4"):
        assert second.at(live.until).light(lamp) == pytest.approx(live.at(live.until).light(lamp), abs=1e-9)
    assert str(again) == str(script_of(live)) == path.read_text(encoding="utf-8").rstrip("\n")


def test_run_plays_acts_as_it_plays_actions_and_leads_move_nothing():
    acts = [Act(0.5, CONTROL, "switch", "on"), Act(0.7, LEAD, "red", "E1:1"), Act(1.5, CONTROL, "switch", "off")]
    assert run(relay_board(), acts, 2.0).events == run(relay_board(), [(0.5, "switch", "on"), (1.5, "switch", "off")], 2.0).events
    assert run(relay_board(), acts, 2.0).script == ((0.5, "switch", "on"), (1.5, "switch", "off"))
    first = run(relay_board(), acts[:2], 1.0).carry_on(acts[2:], 2.0)
    assert first.events == run(relay_board(), acts, 2.0).events
    with pytest.raises(ScriptError, match="changed at 1 s, and one record is of one circuit"):
        run(relay_board(), [*acts[:2], Act(1.0, CHANGE, ("lift E1:1",), ())], 2.0)


def test_names_that_look_like_the_grammar_come_back(tmp_path):
    control = Control('to "be" : s: changed', ("off", "held: 1.5 s", "on \N{RIGHT DOUBLE QUOTATION MARK}"))
    circuit = lamp_board()
    switch = replace(circuit.part("S1"), control=control.name, closes=(("held: 1.5 s", (("1", "2"),)),))
    circuit = replace(circuit.with_parts(), controls=(control,), parts=tuple(switch if part.name == "S1" else part for part in circuit.parts),
                      title='  "a board": ')
    live = Live(circuit)
    for number, position in enumerate(control.positions[::-1]):
        live.act(0.123456 * number, control.name, position)
    path = save_script(script_of(live), tmp_path / "odd.script")
    assert load_script(path, circuit).acts == live.script and len(live.script) == 3


SOUND = ('script of one-fused-lamp\nbegin: "lamp switch" off\n0.5 s: "lamp switch" to on\n1 s: changed\n  lift F1:2\n  new F1\n'
         "2 s: red lead on E1:1\n3 s: red lead off\nend of script\n")


def test_a_script_by_hand_is_read(tmp_path):
    (tmp_path / "a.script").write_text(SOUND, encoding="utf-8")
    assert load_script(tmp_path / "a.script", arrangement("one-fused-lamp")).acts == (
        Act(0.5, CONTROL, "lamp switch", "on"), Act(1.0, CHANGE, ("lift F1:2",), ("F1",)), Act(2.0, LEAD, "red", "E1:1"),
        Act(3.0, LEAD, "red", ""))


@pytest.mark.parametrize("old, new, words", [
    ("one-fused-lamp", "relay-test-board", "line 1: this is a script of 'relay-test-board', not of 'one-fused-lamp'"),
    ("script of", "tale of", "is no script. Its first line must be 'script of '"),
    ("to on", "to up", "line 3: control 'lamp switch' has no position 'up'"), ("to on", "at on", "line 3: .* is no act. Write"),
    ("0.5 s", "soon s", "line 3: .* is no act"), ("0.5 s", "-1 s", "line 3: .* is no act"), ("0.5 s", "nan s", "line 3: .* is no act"),
    ("1 s", "0.1 s", "line 4: this act stands below one at 0.5 s"), ("lift F1:2", "lift F9:2", "line 4: .*has no part 'F9'"),
    ("new F1", "new F7", "line 4: .*has no part 'F7'"), ("E1:1", "E1:8", "line 7: .*no terminal '8'"),
    ("1 s: changed\n", "", "line 4: 'lift F1:2' is set in, and no change stands above it"),
    ('begin: "lamp switch" off', 'begin: "lamp switch"', "line 2: .*does not say where a control stood"),
    ('"lamp switch" off', "key off", "line 2: .*has no control 'key'"), ("end of script\n", "", "its last line is missing: 'end of script'"),
    ("red lead on", "green lead on", "line 7: .* is no act"),
])
def test_a_spoiled_script_is_refused_with_its_line(old, new, words, tmp_path):
    (tmp_path / "a.script").write_text(SOUND.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(FileError, match=words):
        load_script(tmp_path / "a.script", arrangement("one-fused-lamp"))


def test_a_script_is_no_other_file_and_never_replaces_one(tmp_path):
    circuit = arrangement("one-fused-lamp")
    (tmp_path / "a.script").write_text("changes to one-fused-lamp\nend of changes\n", encoding="utf-8")
    with pytest.raises(FileError, match="is a list of changes, not a script"):
        load_script(tmp_path / "a.script", circuit)
    with pytest.raises(FileError):
        save_script(script_of(Live(circuit)), tmp_path / "a.script")
    assert "changes to" in (tmp_path / "a.script").read_text(encoding="utf-8")


def test_a_change_without_sentences_cannot_be_written_down(tmp_path):
    live = Live(lamp_board())
    live.change(1.0, relay_board())
    with pytest.raises(ScriptError, match="the change at 1 s was given as a whole circuit"):
        save_script(script_of(live), tmp_path / "a.script")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("seeds", [range(200), pytest.param(range(200, 3000), marks=pytest.mark.full)])
def test_a_script_spoiled_by_chance_is_refused_in_the_kits_words_or_replayed(seeds, tmp_path):
    circuit, path, refused = arrangement("one-fused-lamp"), tmp_path / "a.script", 0
    for seed in seeds:
        chance, text = Random(seed), bytearray(SOUND.encode())
        for _ in range(chance.choice([1, 2, 8])):
            place = chance.randrange(len(text))
            text[place:place + chance.choice([0, 1, 5])] = chance.choice([b"", b"\0", b"\xff", b'"', b"\n", b" ", b"9", b"1e9", b" s: ", b"new "])
        path.write_bytes(bytes(text))
        try:
            replayed(load_script(path, circuit))
        except CircuitLabError:
            refused += 1
    assert 0 < refused < len(seeds)


def test_leads_are_asked_back():
    live = Live(lamp_board())
    with pytest.raises(UnknownName, match="no lead 'green'"):
        live.lead(1.0, "green", "E1:1")
    with pytest.raises(UnknownName, match="no terminal '9'"):
        live.lead(1.0, "red", "E1:9")
    assert live.script == ()
