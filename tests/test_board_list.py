"""The connection list of a board: what its desk tells and hears. No browser here."""

import json
import shlex
import sys
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements.cautions import free_contacts
from circuitlab.arrangements.nets import wires_on, wires_to_minus
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.benches.board.listing import SAFE
from circuitlab.views.board.connections import connections

REAR = "shared-filament-rear-relays"


@pytest.fixture
def desk():
    return Desk(cl.arrangement(REAR))


def say(desk, kind, second=0.0, **more):
    """Return what a desk answers, by kind, the last of each."""
    message = {"kind": kind, "act": desk.last + 1, "at": round(second * TICK), **more}
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear(message)}


def field(told, name, column):
    """Return one field of a wire or part that is listed."""
    row = next(row for row in (*told["wires"], *told["parts"]) if row["name"] == name)
    return next(each for each in (*row["fields"], *row.get("values", ()), *filter(None, [row.get("place")])) if each["column"] == column)


def test_every_wire_is_a_row_and_what_stands_in_it_is_the_wire(desk):
    """Name, both ends, letters, metres and mm2 of each, in the order of the circuit."""
    told = say(desk, "list")["list"]
    shown = [tuple(each["shown"] for each in row["fields"]) for row in told["wires"]]
    assert shown == [(wire.name, wire.start, wire.end, wire.colour, f"{wire.length:g}", f"{wire.area:g}") for wire in desk.present.wires]


@pytest.mark.in_turn(11)
@pytest.mark.parametrize("name", cl.arrangement_names())
def test_what_stands_in_a_field_put_behind_its_sentence_changes_nothing(name):
    """Of every field of every wire and part: typed as it stands, the circuit is the same one."""
    circuit = cl.arrangement(name)
    told = connections(circuit)
    fields = [each for row in told["wires"] for each in row["fields"] if each["column"] in ("colour", "m", "mm2") and each["shown"]]
    fields += [each for row in told["parts"] for each in (*row["values"], row["place"]) if each["shown"]]
    assert len(fields) > 2 * len(circuit.wires)
    for each in fields:
        assert cl.changes.read_change(each["says"] + each["shown"], circuit).apply(circuit) == circuit, each


@pytest.mark.parametrize(("name", "column", "typed", "holds"), [
    ("W3", "from", "K1:87a", lambda part: part.start == "K1:87a"), ("W3", "to", "K2:87a", lambda part: part.end == "K2:87a"),
    ("W3", "colour", "BUWH", lambda part: part.colour == "BUWH"), ("W3", "m", "0,4", lambda part: part.length == 0.4),
    ("W3", "mm2", "18 AWG", lambda part: part.area == pytest.approx(0.823, abs=0.001)), ("F1", "rating", "10", lambda part: part.rating == 10),
    ("E1", "place", "rear left, high", lambda part: part.place == "rear left, high")])
def test_what_is_typed_into_a_field_is_so_in_circuit_and_list(desk, name, column, typed, holds):
    """The new list comes with the sentence that was taken, before anything is drawn."""
    words = field(say(desk, "list")["list"], name, column)["says"] + typed
    answers = list(desk.hear({"kind": "typed", "words": words, "act": 1, "at": 0}))
    assert holds(desk.present.part(name))
    assert answers[0]["kind"] == "list" and answers[0]["took"] == words
    assert field(answers[0], name, column)["shown"] == field(say(desk, "list")["list"], name, column)["shown"]


@pytest.mark.parametrize(("name", "column", "typed", "says"), [
    ("W3", "from", "K1:88", "no terminal '88'"), ("W3", "from", "X3:1", "both ends are on 'X3:1'"), ("W3", "to", "K7:86", "Did you mean 'K9'"),
    ("W3", "to", "K1", "Which of its terminals"), ("W3", "to", "", "cannot be read"), ("W3", "to", "K1:87 K1:30", "cannot be read"), ("W3", "colour", "red", "Write RD"),
    ("W3", "colour", "RDX", "two IEC 60757 letters pairs"), ("W3", "m", "far", "is not a quantity"), ("W3", "m", "-1", "between 0.001 and 100 m"),
    ("W3", "mm2", "0", "between 0.05 and 200 mm2"), ("F1", "rating", "many", "is not a quantity"), ("S1", "control", "kee", "no control 'kee'")])
def test_a_field_that_cannot_be_taken_is_answered_with_one_sentence_and_all_stays(desk, name, column, typed, says):
    """The page hears which sentence it was, and no new list."""
    told = say(desk, "list")["list"]
    words, before = field(told, name, column)["says"] + typed, desk.present
    said = say(desk, "typed", words=words)
    assert says in said["trouble"]["words"] and said["trouble"]["asked"] == words
    assert "list" not in said and desk.present == before


@pytest.mark.parametrize(("ends", "about"), [("from X3.2 to E1", "X3.2"), ("from X3:2 to E1", "E1"), ("from X3:2 to e1:9", "E1:9"), ("from G1:- to K77:86", "K77")])
def test_a_refusal_says_which_of_the_typed_words_it_is_about_and_calls_the_circuit_no_name(desk, ends, about):
    """A learner wired it and never met the name it is kept by."""
    trouble = say(desk, "typed", words=f"add wire W77 {ends} RD 1 m 1 mm2")["trouble"]
    assert trouble["about"] == about and about.partition(":")[0] in trouble["words"]
    assert desk.present.name not in trouble["words"] and "arrangement" not in trouble["words"]


def test_the_next_wire_has_a_free_name_and_is_as_the_last_one(desk):
    assert say(desk, "list")["list"]["next"] == {"name": "W30", "from": "", "to": "", "colour": "BK", "m": "0.4", "mm2": "2.5"}
    say(desk, "typed", words="remove W7")
    assert say(desk, "typed", words="add wire W30 from K1:30 to K2:30 BUWH 1.2 m 0.75 mm2")["list"]["next"] == {
        "name": "W7", "from": "", "to": "", "colour": "BUWH", "m": "1.2", "mm2": "0.75"}


def test_terminals_without_a_wire_are_offered_first(desk):
    """What is offered is every terminal once, each with the part it belongs to."""
    say(desk, "typed", words="remove W14")
    offered = say(desk, "list")["list"]["offers"]["terminals"]
    free = len(desk.present.loose)
    assert {end for end, _ in offered[:free]} == set(desk.present.loose) and "S3:L" in dict(offered[:free])
    assert sorted(end for end, _ in offered) == sorted(desk.present.terminals)
    assert dict(offered)["S3:L"] == "switch, steering column; no wire yet" and dict(offered)["K9:49"] == "flasher, under the dash"


def test_how_the_circuit_stands_is_said_in_three_lines(desk):
    """Loose ends, cautions, and what to do on metal; loose terminals are not told twice."""
    assert say(desk, "list")["list"]["stands"] == ["No terminal that a part needs is loose.", "No caution.", SAFE]
    loose, cautions, _ = say(desk, "typed", words="remove W26")["list"]["stands"]
    assert loose == "Loose: K1:85; without a wire there the part cannot work." and cautions == "No caution."
    loose, *_ = say(desk, "typed", words="add part E9 lamp")["list"]["stands"]
    assert loose.endswith("Without any wire: E9.")
    _, cautions, _ = say(desk, "typed", words="add wire W99 from G1:+ to E9:1")["list"]["stands"]
    assert cautions.startswith("1 caution: No fuse lies between the battery's plus and E9")


def test_the_rule_is_proved_when_asked_and_what_fails_is_named(desk):
    """Against the proof itself; a lamp without a rule is named, and so is a circuit without lamps."""
    assert say(desk, "prove", wanted=True)["proved"] == {"kind": "proved", "words": "Proved: every lamp has a rule and every row keeps it.", "proved": True, "left": False}
    say(desk, "typed", words="swap K1:87 and K1:87a")
    proof = cl.prove(desk.present)
    said = say(desk, "prove", wanted=True)["proved"]
    assert said["words"].startswith(f"Not proved: {len(proof.failing_rows)} of 12 rows do otherwise. First: {proof.failures[0].sentence}")
    assert not said["proved"] and proof.failures
    bare = Desk(cl.Arrangement("bare", parts=[cl.Battery("G1")]))
    assert say(bare, "prove", wanted=True)["proved"]["words"] == "Not proved: there is no lamp yet."
    say(bare, "typed", words="add part E1 lamp")
    assert say(bare, "prove", wanted=True)["proved"]["words"] == "Not proved: E1 has no rule."


def test_what_has_more_than_it_is_made_for_is_named_beside_a_rule_that_is_kept():
    hot = Desk(cl.Changes(cl.arrangement("one-fused-lamp")).make("set E1 watts 110", "set F1 rating 15", "set W2 area 0.5").after)
    (told,) = cl.prove(hot.present).table.overheated
    assert say(hot, "prove", wanted=True)["proved"]["words"] == f"Not proved: the rule is kept, but parts have more than they are made for. First: {told}."


def test_a_proof_that_takes_long_waits_until_it_is_asked_for_by_hand(desk, monkeypatch):
    monkeypatch.setattr(sys.modules["circuitlab.benches.board.listing"], "ENOUGH", 1e-6)
    said = say(desk, "prove")["proved"]
    assert said["left"] and said["words"].startswith("Not known yet: ") and "Press 'prove'" in said["words"]
    assert say(desk, "prove", wanted=True)["proved"]["proved"]


def test_the_list_is_told_with_every_change_while_it_is_open_and_not_after(desk):
    """Undone, prepared and by hand as well."""
    say(desk, "list")
    assert "list" in say(desk, "typed", words="remove W3") and "list" in say(desk, "undo", words="")
    assert "list" in say(desk, "change", what="out", name="F1")
    assert not any(wire["name"] == "W3" for wire in say(desk, "typed", words="remove W3")["list"]["wires"])
    assert "list" not in say(desk, "list", open=False) and "list" not in say(desk, "typed", words="remove W4")


def test_a_board_with_nothing_wired_opens_with_its_list():
    assert Desk(cl.Arrangement("bare", parts=[cl.Battery("G1"), cl.Chassis("X1")])).still()["opens"] == "list"
    assert Desk(cl.arrangement("one-fused-lamp")).still()["opens"] == ""


def test_what_is_typed_after_saving_runs_as_it_stands_and_no_copy_is_named_that_is_gone(desk, tmp_path):
    """The program that runs the lessons is named whole, so that it is found outside their environment too."""
    desk.folder, desk.keeps = tmp_path, True
    say(desk, "list")
    assert ".unsaved" in say(desk, "typed", words="remove W3")["list"]["kept"]
    stored = say(desk, "store", file="mine")["stored"]
    assert stored["kept"] == "" and not list(tmp_path.glob("*.unsaved"))
    program, *rest = shlex.split(stored["words"].partition("On a command line: ")[2])
    assert program == sys.executable and rest == ["-m", "circuitlab", "prove", str(tmp_path / "mine.toml")]


def test_the_circuit_is_saved_whole_and_read_again(desk, tmp_path):
    """As it is wired, whatever hands took out; a name without ending gets one, and what cannot be written is said."""
    desk.folder = tmp_path
    say(desk, "typed", words="set F1 rating 10")
    say(desk, "change", what="out", name="F2")
    assert "mine.toml" in say(desk, "store", file="mine")["stored"]["words"]
    assert cl.load(tmp_path / "mine.toml") == replace(cl.changed(cl.arrangement(REAR), cl.SetValue("F1", "rating", 10.0)), name="mine")
    assert "has no name" in say(desk, "store", file=" ")["trouble"]["words"]
    assert "its folder is missing" in say(desk, "store", file="nowhere/mine")["trouble"]["words"]
    (tmp_path / "letter.toml").write_text("dear all")
    assert "is left as it is" in say(desk, "store", file="letter.toml")["trouble"]["words"] and (tmp_path / "letter.toml").read_text() == "dear all"


def kept_desk(folder, circuit):
    """Return a desk as one in a notebook of a folder, its list open."""
    desk = Desk(circuit)
    desk.folder, desk.keeps = folder, True
    say(desk, "list")
    return desk


def test_a_copy_is_kept_of_each_step_and_the_next_board_takes_it_up(tmp_path):
    """Where nothing is changed there is none; saved, it is gone; another board's copy gets another name."""
    circuit = cl.arrangement("one-fused-lamp")
    first, copy = kept_desk(tmp_path, circuit), tmp_path / "one-fused-lamp.unsaved"
    assert not copy.exists()
    for words in ("set F1 rating 3", "remove W4"):
        said = say(first, "typed", words=words)["list"]
        assert cl.load(copy) == first.present and "one-fused-lamp.unsaved" in said["kept"]
    assert [path.name for path in tmp_path.iterdir()] == ["one-fused-lamp.unsaved"]
    second = kept_desk(tmp_path, circuit)
    assert say(second, "list")["list"]["offered"] == [copy.name]
    say(second, "typed", words="remove W1")
    assert (tmp_path / "one-fused-lamp-2.unsaved").exists() and cl.load(copy) == first.present
    third = kept_desk(tmp_path, circuit)
    said = say(third, "take_up", file=copy.name)
    assert third.present.wires == first.present.wires and said["still"]["fresh"] and "Save it" in said["stored"]["words"]
    say(third, "typed", words="set F1 rating 2")
    assert cl.load(copy).part("F1").rating == 2
    say(third, "store", file="mine.toml")
    assert not copy.exists() and cl.load(tmp_path / "mine.toml").part("F1").rating == 2
    assert "no copy 'lost.unsaved'" in say(third, "take_up", file="lost.unsaved")["trouble"]["words"]


def test_where_no_copy_can_be_kept_the_edit_is_made_and_it_is_said(tmp_path):
    desk = kept_desk(tmp_path / "nowhere", cl.arrangement("one-fused-lamp"))
    said = say(desk, "typed", words="set F1 rating 3")["list"]
    assert desk.present.part("F1").rating == 3 and said["kept"].startswith("No copy is kept: ") and "folder is missing" in said["kept"]


def test_what_was_undone_is_made_again_until_something_else_is_done(desk):
    """The list says what each of the two would do; with nothing left the desk says so and all stays."""
    say(desk, "list")
    for words in ("remove W3", "set F1 rating 10"):
        said = say(desk, "typed", words=words)["list"]
    assert (said["undo"], said["redo"]) == ("set F1 rating 10 A", "")
    said = say(desk, "undo", words=said["undo"])["list"]
    assert (said["undo"], said["redo"]) == ("remove W3", "set F1 rating 10 A") and desk.present.part("F1").rating == 7.5
    said = say(desk, "redo")["list"]
    assert (said["undo"], said["redo"]) == ("set F1 rating 10 A", "") and desk.present.part("F1").rating == 10
    say(desk, "undo", words="set F1 rating 10 A")
    assert say(desk, "typed", words="remove W4")["list"]["redo"] == ""
    assert "nothing to do again" in say(desk, "redo")["trouble"]["words"] and desk.listed == ["remove W3", "remove W4"]


@pytest.mark.parametrize(("name", "column", "typed", "says"), [
    ("K1", "name", "K2", "the name 'K2' is taken"), ("W3", "name", "F1", "the name 'F1' is taken"), ("K1", "name", "K 9", "cannot be read")])
def test_a_name_that_cannot_be_given_is_answered_and_all_stays(desk, name, column, typed, says):
    words, before = field(say(desk, "list")["list"], name, column)["says"] + typed, desk.present
    assert says in say(desk, "typed", words=words)["trouble"]["words"] and desk.present == before


def test_each_rule_that_is_published_is_offered_as_sentences_that_put_it_on(desk):
    """Lamp by lamp the same lines as `with_rule` gives, and each has its source."""
    offered = say(desk, "list")["list"]["rule"]["published"]
    assert [each["name"] for each in offered] == cl.rules.rule_names() and all(each["source"] for each in offered)
    for each in offered:
        made, asked = desk.tried.arrangement, cl.rules.with_rule(desk.tried.arrangement, each["name"])
        for words in each["sentences"]:
            made = cl.changes.read_change(words, made).apply(made)
        for lamp in (line.lamp for line in asked.rule if not line.terminal):
            assert [line for line in made.rule if line.lamp == lamp] == [line for line in asked.rule if line.lamp == lamp]


def test_what_is_usual_of_a_wire_is_told_for_its_terminals(desk):
    """Black to minus, short from the battery's live pole: with plus on the frame that is minus, and nothing is black."""
    told = connections(desk.present)["usual"]
    assert {end for end, usual in told["at"].items() if usual == {"colour": "BK"}} == {"G1:-", *(f"X1:{stud}" for stud in range(1, 7))}
    assert told["at"]["G1:+"] == {"m": "0.2"}
    last = [wire for wire in desk.present.wires if not {"G1:+", "G1:-"} & {*wire.terminals} and "X1" not in str(wire.terminals)][-1]
    assert told["elsewhere"] == {"colour": last.colour, "m": f"{last.length:g}"}
    turned = connections(cl.changed(cl.changes.bare(), cl.changes.FrameOn("plus")))["usual"]
    assert turned == {"at": {"G1:-": {"m": "0.2"}}, "elsewhere": {"colour": "RD", "m": "0.5"}}


def test_the_button_that_takes_a_part_away_names_the_wires_that_go_with_it():
    rows = {part["name"]: part["takes"] for part in connections(cl.arrangement("one-fused-lamp"))["parts"]}
    wires = [wire.name for wire in cl.arrangement("one-fused-lamp").wires if "F1" in (wire.start.partition(":")[0], wire.end.partition(":")[0])]
    assert rows["F1"] == f"its wires {', '.join(wires)}" and len(wires) == 2
    assert {part["takes"] for part in connections(cl.changes.bare())["parts"]} == {""}


def test_what_goes_with_a_part_is_told_before_it_goes(desk):
    """By the ends of the wires in the file: each with that part's name; of a lamp what the rule says of it as well. A part alone just goes."""
    rows = {part["name"]: part for part in say(desk, "list")["list"]["parts"]}
    for part in desk.present.listed:
        wires = [wire.name for wire in desk.present.wires if {f"{part.name}:{end}" for end in part.terminals} & {*wire.terminals}]
        ruled = ", and what the rule says of it" * any(line.part == part.name for line in desk.present.rule)
        assert rows[part.name]["goes"] == f"{part.name} and its {len(wires)} wires: {', '.join(wires)}{ruled}" and rows[part.name]["leaving"] == [part.name, *wires]
    assert rows["F2"]["goes"] == "F2 and its 2 wires: W6, W7" and rows["E1"]["goes"].endswith(", and what the rule says of it")
    say(desk, "typed", words="add part E9 lamp")
    assert next(part for part in say(desk, "list")["list"]["parts"] if part["name"] == "E9")["goes"] == ""


@pytest.mark.parametrize("words", ["remove F2", "take F2", "delete the F2"])
def test_a_part_is_typed_away_with_its_wires_only_in_so_many_words_and_comes_back_in_one_step(desk, words):
    before = desk.present
    trouble = say(desk, "typed", words=words)["trouble"]["words"]
    assert trouble == "this takes away F2 and its 2 wires: W6, W7. Type 'remove F2 with its wires' if that is meant." and desk.present == before
    assert "trouble" not in say(desk, "typed", words="remove F2 with its wires")
    assert {"F2", "W6", "W7"}.isdisjoint(desk.present.by_name) and len(desk.listed) == 1
    say(desk, "undo", words=desk.listed[-1])
    assert desk.present == before
    say(desk, "typed", words="add part F9 fuse, rating 5 A")
    assert "trouble" not in say(desk, "typed", words="remove F9"), "nothing goes with it"


def test_what_was_undone_is_told_of_no_more_and_a_lead_left_on_it_reads_nothing(desk):
    """No trouble that would stay on the page: it may ask before it knows."""
    say(desk, "typed", words="add part F3 fuse")
    assert say(desk, "tell", name="F3", second=0.1)["told"]["words"].startswith("F3, fuse, whole")
    say(desk, "undo", second=0.2, words=desk.listed[-1])
    assert say(desk, "tell", name="F3", second=0.3) == {"told": {"kind": "told", "name": "F3", "words": ""}}
    for ends in ({"red": "F3:1", "black": "G1:-"}, {"red": "G1:+", "black": "F3:1"}):
        said = say(desk, "read", second=0.3, instrument="meter", since=0, **ends)
        assert said == {"reading": {"kind": "reading", "words": "F3:1 is not there at this moment. Put its lead on another terminal.", "value": None, "lowest": None, "highest": None}}
    assert say(desk, "read", second=0.3, instrument="meter", since=0, red="G1:+", black="G1:-")["reading"]["value"] > 12


def test_a_contact_without_a_wire_is_named_beside_what_the_parts_need(desk):
    """A pedal whose switch hangs on one wire keeps its lamps dark, though no part is broken by it; a plug's spare pin is nothing left out."""
    feed, = desk.present.wires_at["S2:1"]
    loose, *_ = say(desk, "list")["list"]["stands"]
    assert loose == "No terminal that a part needs is loose."
    loose, *_ = say(desk, "typed", words=f"remove {feed}")["list"]["stands"]
    assert loose == "No terminal that a part needs is loose. No wire on F1:2, S2:1: nothing flows over those contacts."
    four = Desk(cl.arrangement("shared-filament-four-relays"))
    assert "No wire on K3:87a, K4:87a: nothing flows over those contacts." in say(four, "list")["list"]["stands"][0]
    assert free_contacts(cl.arrangement("trailer-12n-separate-lamps")) == ()


def test_the_usual_colour_of_a_wire_is_that_of_what_its_terminals_carry():
    """Not that of the last one, a trailer's white way back: what feeds a lamp would look like ground."""
    circuit = cl.arrangement("trailer-4-flat-combined-lamps")
    desk = Desk(cl.changed(circuit, *(cl.changes.read_change(words, circuit) for words in ("remove W4", "remove W52"))))
    last = say(desk, "typed", words="add wire W90 from E7:2 to X20:2 WH 1 m 1 mm2") and desk.present.wires[-1]
    assert last.colour == "WH"
    told = connections(desk.present)["usual"]
    away = [wire for wire in desk.present.wires if "X1:" not in str(wire.terminals) and wire.colour != "WH"]
    assert told["elsewhere"]["colour"] == away[-1].colour == "BN"
    assert told["at"]["X3:2"] == told["at"]["S2:2"] == {"colour": desk.present.part("W3").colour} == {"colour": "OG"}
    assert told["at"]["X20:1"] == told["at"]["X5:1p"] == {"colour": "WH"} and told["at"]["X1:2"] == {"colour": "BK"}
    assert "K1:87a" not in told["at"]
    for wire in circuit.wires:
        carried = {circuit.part(name).colour for name in circuit.wires_at[wire.start]}
        assert wire.name in wires_on(circuit)[wire.start] and (len(carried) == 1 or wire.start not in connections(circuit)["usual"]["at"])
    assert {wire.name for wire in circuit.wires if wire.colour == "WH"} < wires_to_minus(circuit)
