"""A board that finds a fault: what is clicked is the sentence that it is, what is told can be taken back, and the case is the command's. No browser here."""

import asyncio
import json
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint, Short
from circuitlab.arrangements.complaints import LOOKS, SAID_BESIDES
from circuitlab.arrangements.rows import rows_of
from circuitlab.benches.board.desk import TICK
from circuitlab.benches.board.seeking import FindBoard
from circuitlab.benches.board.telling import FindDesk
from circuitlab.commands.line import main
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Lamp
from circuitlab.reasoning.finding import solved as solving
from circuitlab.reasoning.finding.case import Case
from circuitlab.reasoning.finding.case_file import load_case, save_case
from circuitlab.reasoning.finding.told import read_out_of_reach, read_symptom, read_taken
from circuitlab.views.find_words import COLD, LIVE, cause_words, place_words, reason_words

from repairers import Bench
from test_fuse_blocks import SPLIT

CART, TIED, LAMP = (cl.arrangement(name) for name in ("shared-filament-four-relays", "tied-stop-and-turn", "one-fused-lamp"))
BRAKING = {"brake pedal": "held"}


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def say(desk, kind, **more):
    """Return what a desk answers, by kind, the last of each, as a page gets it."""
    message = {"kind": kind, "at": 0, **more}
    if kind in ("act", "change"):
        message["act"] = desk.last + 1
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear(message)}


def desk_of(circuit, positions=None):
    """Return the desk of a board on which switches were set one after the other."""
    desk = FindDesk(Case(circuit, circuit=circuit.name))
    for control, position in (positions or {}).items():
        say(desk, "act", control=control, position=position)
    return desk


def drafted(desk, **more):
    """Return the sentence that a desk makes of what was clicked and typed. [text]"""
    return say(desk, "draft", **more)["drafted"]["words"]


def in_a_thread(work):
    """Return what work gives in a thread of its own, where no loop of a browser's runs."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(work).result(60)


def sought(desk):
    return say(desk, "seek", version=desk.version)


# ------------------------------------------------------------------ sentences

def test_what_is_said_of_many_lamps_is_listed_lamp_by_lamp():
    """And each can be taken back; the case keeps that, and a board that goes on with it shows it so."""
    desk = desk_of(CART)
    listed = say(desk, "say", words="no brake lights")["case"]["said"]
    assert [each["lamp"] for each in listed] == ["E1", "E2"]
    say(desk, "unsay", number=0, back=True)
    say(desk, "mend", vehicle="the cart, bay 3")
    assert desk.case.back == ("rear left dark when brake pedal held",) and desk.case.symptoms == ("rear right dark when brake pedal held",)
    say(desk, "file_case", file="mine.case")
    other = desk_of(CART)
    listed = say(other, "resume", file="mine.case")["case"]["said"]
    assert [(each["lamp"], each["back"]) for each in listed] == [("E2", False), ("E1", True)] and other.case.vehicle == "the cart, bay 3"


@pytest.mark.parametrize("circuit", [LAMP, CART, cl.arrangement("combined-turn-stop-lever-trailer")], ids=lambda circuit: circuit.name)
def test_every_look_chosen_beside_every_lamp_in_every_row_reads_back_as_it_was_chosen(circuit):
    """And with every remark."""
    for number, row in enumerate(rows_of(circuit)):
        desk = desk_of(circuit, {name: position for name, position in row.items() if position != circuit.positions()[name]})
        for place, lamp in enumerate(circuit.of_kind(Lamp)):
            look, besides = LOOKS[(number + place) % len(LOOKS)], SAID_BESIDES[:(number + place) % (len(SAID_BESIDES) + 1)]
            symptom = read_symptom(drafted(desk, lamp=lamp.name, look=look, besides=besides), circuit)
            assert (symptom.lamp, symptom.look, symptom.positions, symptom.said) == (lamp.name, look, row, besides)


@pytest.mark.parametrize(("clicked", "sentence"), [
    ({"said": "0,9", "red": "X3:2", "black": "K1:87a", "instrument": "meter"}, "0,9 V from X3:2 to K1:87a when brake pedal held"),
    ({"said": "900 mV", "red": "X3:2", "black": "G1:-", "instrument": "meter"}, "900 mV at X3:2 when brake pedal held"),
    ({"said": "12", "red": "K9:49a", "black": "G1:-", "instrument": "meter", "phases": {"K9": "on"}}, "12 V at K9:49a when brake pedal held, while K9 on"),
    ({"said": "jumps", "red": "K1:30", "black": "G1:-", "instrument": "meter"}, "display jumps at K1:30 when brake pedal held"),
    ({"said": "dim", "red": "K1:87a", "black": "G1:-", "instrument": "test lamp"}, "test lamp dim at K1:87a when brake pedal held"),
    ({"said": "3.7", "through": "F1", "instrument": "amps"}, "3.7 A through F1 when brake pedal held"),
    ({"said": "no way", "red": "F1:2", "black": "X1:1", "instrument": "ohms"}, "no way from F1:2 to X1:1 when brake pedal held"),
    ({"said": "whole", "seen": "F1", "instrument": "look"}, "F1 whole"),
    ({"said": "1.8", "red": "E1:2", "black": "G1:-", "instrument": "meter", "sure": False}, "1.8 V at E1:2 when brake pedal held, not sure"),
])
def test_leads_on_terminals_and_what_they_show_are_the_sentence_that_the_command_takes(clicked, sentence):
    words = drafted(desk_of(CART, BRAKING), **clicked)
    assert words == sentence
    taken = read_taken(words, CART)
    if taken.reading:
        assert taken.reading.positions == CART.positions(BRAKING)
        assert {taken.reading.red, taken.reading.black} >= {clicked.get("red", taken.reading.red), clicked.get("black", taken.reading.black)}
    assert taken.sure == clicked.get("sure", True)


def test_what_may_be_seen_of_each_fuse_and_bulb_is_what_can_be_typed_of_it():
    """A way of a block may have no fuse in it; a fuse that stands by itself and a bulb are whole or blown."""
    desk = desk_of(SPLIT)
    seen = desk.still()["finds"]["seen"]
    assert seen == {name: ["whole", "blown", *["missing"] * name.startswith("F5.")] for name in ("F5.1", "F5.2", "F5.4", "E1", "E2")}
    for name, states in seen.items():
        for state in states:
            words = drafted(desk, said=state, seen=name, instrument="look")
            assert words == f"{name} {state}" and str(read_taken(words, SPLIT)) == words
    typed, clicked = (desk_of(SPLIT) for _ in range(2))
    say(typed, "say", words="no fuse in F5.1")
    say(clicked, "say", words=drafted(clicked, said="missing", seen="F5.1", instrument="look"))
    assert typed.case.readings == clicked.case.readings == ("F5.1 missing",)
    assert [(cause.words, cause.odds) for cause in typed.found().causes] == [(cause.words, cause.odds) for cause in clicked.found().causes]
    assert clicked.found().causes[0].words == "no fuse sits in the place of F5.1"


def test_what_nobody_can_get_at_is_a_sentence_too():
    """A terminal, and a part."""
    desk = desk_of(CART)
    for clicked, name in (({"red": "X3:2", "seen": ""}, "X3:2"), ({"red": "K1", "seen": "K1"}, "K1")):
        assert read_out_of_reach(drafted(desk, said="cannot get at this one", instrument="meter", **clicked), CART) == name


def test_what_hands_took_out_and_off_on_the_drawing_is_told_with_the_reading():
    desk = desk_of(CART)
    say(desk, "change", what="out", name="E1")
    say(desk, "change", what="off", name="W4", terminal="X3:2")
    words = drafted(desk, said="0.4", red="F1:2", black="X1:1", instrument="ohms")
    assert words == "0.4 ohm from F1:2 to X1:1, W4 lifted at X3:2, E1 out"
    taken = read_taken(words, CART)
    assert taken.lifted == (("W4", "X3:2"),) and taken.out == ("E1",)


@pytest.mark.parametrize(("words", "said"), [
    ("", "nothing is said yet"), ("1 V from X3:2 to X3:2 when braking", "both leads are on X3:2"), ("rear left dimmish when braking", "A look is one of"),
    ("3 A at K1:87a", "amps flow through something"), ("12 V at K7:30", "K7"), ("rear middle dim when braking", "rear left"), ("12 bananas", "no reading that can be read")])
def test_what_cannot_be_read_gets_a_sentence_and_changes_nothing(words, said):
    desk = desk_of(CART)
    before = desk.said, desk.version
    assert said in say(desk, "say", words=words)["trouble"]["words"]
    assert (desk.said, desk.version) == before


def test_what_the_sound_circuit_shows_between_the_leads_stands_beside_what_is_typed():
    """As the kit's own meter reads it."""
    desk = desk_of(LAMP, {"lamp switch": "on"})
    told = say(desk, "read", red="S1:2", black="E1:1", instrument="meter", since=0, at=TICK)["reading"]
    value = cl.take_reading(cl.operating_point(LAMP, {"lamp switch": "on"}), "S1:2", "E1:1").value
    assert told["words"] == f"A sound circuit: {cl.say(told['value'], 'V')}." and told["value"] == pytest.approx(value, rel=0.02)


# ------------------------------------------------------------------ told, taken back, told again

TOLD = ["load bed dim when lamp switch on", "0.9 V from S1:2 to E1:1 when lamp switch on"]


def test_what_is_told_on_the_board_finds_what_the_same_sentences_find():
    desk = desk_of(LAMP)
    for words in TOLD:
        say(desk, "say", words=words)
    found, wanted = desk.found(), cl.find(LAMP, TOLD[:1], TOLD[1:])
    assert [(cause.repair, cause.odds) for cause in found.causes] == [(cause.repair, cause.odds) for cause in wanted.causes]
    assert [*desk.case.symptoms, *desk.case.readings] == TOLD


def test_what_is_taken_back_counts_no_more_and_is_not_lost():
    """It stays listed, and told again it counts as before; told twice it is one sentence."""
    desk = desk_of(LAMP)
    for words in TOLD:
        say(desk, "say", words=words)
    both = desk.found().causes[0].odds
    listed = say(desk, "unsay", number=1, back=True)["case"]["said"]
    assert [(each["words"], each["back"]) for each in listed] == [(TOLD[0], False), (TOLD[1], True)]
    assert desk.case.readings == () and desk.found().causes[0].odds == cl.find(LAMP, TOLD[0]).causes[0].odds != both
    say(desk, "unsay", number=1, back=False)
    assert desk.found().causes[0].odds == both
    say(desk, "say", words=TOLD[0])
    assert sorted(each.words for each in desk.said) == sorted(TOLD)
    assert "no sentence 7" in say(desk, "unsay", number=7, back=True)["trouble"]["words"]


def test_a_symptom_knows_its_lamp_look_and_row_again():
    """So that the page shows beside each lamp what was told of it in the row that its switches stand in."""
    said = say(desk_of(CART, BRAKING), "say", words="left rear weak when braking")["case"]["said"]
    assert said == [{"words": "rear left dim when brake pedal held", "back": False, "lamp": "E1", "look": "dim", "positions": CART.positions(BRAKING)}]


def test_an_answer_to_what_was_told_before_more_was_told_is_not_sent():
    desk = desk_of(LAMP)
    say(desk, "say", words=TOLD[0])
    late = desk.version
    say(desk, "say", words=TOLD[1])
    assert say(desk, "seek", version=late) == {}


# ------------------------------------------------------------------ the answer

def test_the_left_rear_dim_case_is_told_in_the_words_of_the_finding():
    """Causes with their places, how big, why, what would refute them; the next reading with its leads, row, reason and outcomes."""
    desk = desk_of(CART, BRAKING)
    say(desk, "say", words=drafted(desk, lamp="E1", look="dim"))
    answers, found = sought(desk), desk.found()
    assert [each["words"] for each in answers["found"]["causes"]] == [cause_words(cause) for cause in found.causes[:8]]
    further, offer = answers["further"], found.next.offer
    assert place_words(found, offer) in further["head"] and reason_words(found.next) in further["reason"]
    assert (further["offer"]["red"], further["offer"]["black"], further["offer"]["positions"]) == (offer.red, offer.black, offer.positions)
    assert len(further["outcomes"]) == len(found.next.outcomes) and all("leaves" in words for words in further["outcomes"])
    assert all(words.startswith(("Refuted unless", "No reading parts")) for words in further["refuting"] if words)
    say(desk, "say", words=drafted(desk, said="0.9", red="X3:2", black="K1:87a", instrument="meter"))
    best = sought(desk)["found"]["causes"][0]
    assert best["words"] == "about 0.5 ohm between X3:2 and K1:87a (W4): 0.90 V lost at 1.8 A" and sorted(best["place"]) == ["K1:87a", "X3:2"]


@pytest.mark.outside("training session P1-13: dim right tail lamp, 6 V across its ground joint, 6 V left for the lamp: the fault lies between splice and ground")
def test_six_volts_over_the_ground_told_by_clicks_mark_the_stretch_between_lamp_and_ground():
    """The place that the drawing marks first is the printed one."""
    desk = desk_of(TIED, BRAKING)
    say(desk, "say", words=drafted(desk, lamp="E2", look="dim"))
    for volts, red, black in (("6.1", "E2:2", "X1:2"), ("6.1", "E2:1", "E2:2")):
        say(desk, "say", words=drafted(desk, said=volts, red=red, black=black, instrument="meter"))
    assert sorted(sought(desk)["found"]["causes"][0]["place"]) == ["E2:2", "X1:2"]


def test_before_anything_is_told_the_board_says_whose_circuit_it_shows_and_what_to_be_careful_of():
    answers = sought(desk_of(LAMP))
    assert answers["found"]["causes"] == [] and answers["further"]["offer"] is None
    said = " ".join(answers["found"]["before"])
    assert "yours is in front of you" in said and LIVE in said and COLD in said


def test_what_the_sound_circuit_shows_is_said_to_be_so_and_stays_told():
    desk = desk_of(LAMP, {"lamp switch": "on"})
    words = drafted(desk, lamp="E1", look="steady")
    say(desk, "say", words=words)
    answers = sought(desk)
    assert "is what the sound circuit shows" in answers["found"]["head"] and answers["further"]["offer"] is None
    assert [each.words for each in desk.said] == [words]


def test_where_something_may_be_shorted_the_battery_is_off_and_that_is_said_first():
    """Each proposal is answered as the instruments would; the first with ohms has its caution before all else, and its parts out."""
    bench, desk = Bench(TIED, (Short("E1:1", "E1:2"),)), desk_of(TIED)
    say(desk, "say", words=bench.complaint())
    for _ in range(12):
        further, step = sought(desk)["further"], desk.found().next
        if step.offer.instrument == "ohms":
            break
        say(desk, "say", words=bench.answer(step.offer))
    assert further["first"] and further["caution"] == COLD and "battery off" in further["head"]
    assert {"F1", "E1", "E2", "E3", "E4"} <= {*further["offer"]["out"]}


# ------------------------------------------------------------------ the case

def test_a_case_saved_on_the_board_is_gone_on_with_by_the_command_and_by_find(capsys, elsewhere):
    """Kept after every further sentence without a heap of older ones; the command finds the same."""
    desk = desk_of(LAMP)
    say(desk, "say", words=TOLD[0])
    assert "left.case" in say(desk, "file_case", file="left")["filed"]["words"]
    say(desk, "say", words=TOLD[1])
    assert "left.case" in sought(desk)["filed"]["words"]
    assert [path.name for path in elsewhere.iterdir()] == ["left.case"]
    assert main(["find", "left.case"]) == 0
    assert cause_words(desk.found().causes[0]) in " ".join(capsys.readouterr().out.split())
    board = cl.find(LAMP, case="left.case")
    assert [each.words for each in board.desk.said] == TOLD and board.finding.causes[0].repair == desk.found().causes[0].repair


def test_the_command_goes_on_with_a_case_of_a_circuit_of_ones_own_that_lies_beside_it(capsys):
    cl.save(LAMP, "my-cart.toml")
    desk = desk_of(cl.load("my-cart.toml"))
    say(desk, "say", words=TOLD[0])
    say(desk, "file_case", file="own.case")
    assert main(["find", "own.case"]) == 0
    assert TOLD[0] in capsys.readouterr().out


def test_what_comes_next_is_not_worked_out_where_more_was_told_meanwhile():
    desk = desk_of(LAMP)
    say(desk, "say", words=TOLD[0])
    answers = desk.hear({"kind": "seek", "version": desk.version})
    assert next(answers)["kind"] == "found"
    say(desk, "say", words=TOLD[1])
    assert [*answers] == []


def test_going_on_with_a_case_takes_back_what_was_told_before_and_loses_nothing():
    first, second = desk_of(LAMP), desk_of(LAMP)
    say(first, "say", words=TOLD[0])
    say(first, "file_case", file="left.case")
    say(second, "say", words=TOLD[1])
    answers = say(second, "resume", file="left.case")
    assert [(each["words"], each["back"]) for each in answers["case"]["said"]] == [(TOLD[1], True), (TOLD[0], False)]
    assert "1 symptom" in answers["filed"]["words"]
    assert "there is no such file" in say(second, "resume", file="none.case")["trouble"]["words"]
    other = desk_of(TIED)
    say(other, "say", words="rear left dim when braking")
    assert "another circuit" in say(other, "resume", file="left.case")["trouble"]["words"] and len(other.case.symptoms) == 1


def test_rows_worked_again_repair_and_who_signs_close_the_case(elsewhere):
    """The row is the one that the switches stand in; the report is the command's page."""
    desk = desk_of(LAMP)
    for words in TOLD:
        say(desk, "say", words=words)
    told = say(desk, "retests")["retests"]
    assert (told["row"], told["expected"], told["rows"], told["closed"]) == ("everything at rest", "all dark", 2, False)
    say(desk, "retest", how="good")
    say(desk, "act", control="lamp switch", position="on")
    assert say(desk, "retests")["retests"]["expected"] == "load bed steady"
    say(desk, "retest", how="flickers")
    answers = say(desk, "mend", repair="mend W3", signed="A. Fitter, 30 November", vehicle="the cart")
    assert not answers["retests"]["closed"] and "nobody signs yet: not good: lamp switch on: flickers" in answers["trouble"]["words"]
    assert (desk.case.repair, desk.case.vehicle, desk.case.signed) == ("mend W3", "the cart", "")
    assert not say(desk, "retest", how="good")["retests"]["closed"]
    assert say(desk, "mend", repair="mend W3", signed="A. Fitter, 30 November", vehicle="the cart")["retests"]["closed"] and desk.case.is_closed
    assert "left.html" in say(desk, "report", file="left")["filed"]["words"]
    page = (elsewhere / "left.html").read_text(encoding="utf-8")
    assert "mend W3" in page and "A. Fitter" in page and all(words in page for words in TOLD)


def test_the_report_goes_to_a_page_by_the_name_that_was_written(elsewhere):
    """With its ending in letters of any case, or without one; another ending is refused."""
    desk = desk_of(LAMP)
    say(desk, "say", words=TOLD[0])
    for name in ("LEFT.HTML", "rear", ""):
        assert "The report is in" in say(desk, "report", file=name)["filed"]["words"]
    assert "'left.pdf' does not end in .html" in say(desk, "report", file="left.pdf")["trouble"]["words"]
    assert sorted(path.name for path in elsewhere.iterdir()) == ["LEFT.HTML", "rear.html", "report.html"]


@pytest.mark.parametrize("how", ["", "  "])
def test_a_row_of_which_nothing_is_said_is_not_good(how):
    """An untouched field closes no case."""
    desk = desk_of(LAMP)
    assert "nothing is said of this row. Press 'this row is good'" in say(desk, "retest", how=how)["trouble"]["words"]
    assert desk.case.retests == () and say(desk, "retests")["retests"]["waiting"] == ["everything at rest", "lamp switch on"]


# ------------------------------------------------------------------ the widget

def test_without_a_sentence_find_is_a_board_and_with_one_a_finding(capsys):
    board = cl.find(LAMP)
    assert isinstance(board, FindBoard) and board.still["opens"] == "find" and board.case.symptoms == ()
    assert cl.find(LAMP, TOLD[0]).causes
    kept = cl.find(LAMP, TOLD[0], stands_in=True, case="new.case")
    assert kept.case.symptoms == (TOLD[0],) and kept.case.stands_in
    with pytest.raises(CircuitLabError, match="name of a column"):
        cl.find(LAMP, odds={"bulbs": 0.1})
    with pytest.raises(CircuitLabError, match="Did you mean 'workshop practice'"):
        cl.find(LAMP, odds="workshop practise")


def test_a_case_that_is_there_takes_odds_efforts_and_that_it_stands_in():
    """Said of the board that goes on with it, as of the command; what is not said stays as it was, and all of it goes into the file."""
    save_case(Case(LAMP, TOLD[:1], odds="handbook rates", efforts=(("F1", 7.5), ("S1", 3.0)), circuit=LAMP.name), "there.case")
    kept = cl.find(LAMP, case="there.case").case
    assert (kept.odds, kept.efforts, kept.stands_in) == ("handbook rates", (("F1", 7.5), ("S1", 3.0)), False)
    board = cl.find(LAMP, odds="workshop practice", efforts={"S1": 20.0}, stands_in=True, case="there.case")
    assert (board.case.odds, dict(board.case.efforts), board.case.stands_in) == ("workshop practice", {"F1": 7.5, "S1": 20.0}, True)
    sought(board.desk)
    assert load_case("there.case", LAMP) == board.case
    with pytest.raises(CircuitLabError, match="has no line 'X9'"):
        cl.find(LAMP, efforts={"X9": 3}, case="there.case")


def test_the_board_answers_a_hand_while_a_finding_is_worked_out(monkeypatch):
    """The finding waits until the act is answered: were it worked out in the same thread, the act would wait for ever."""
    board, sent, answered = cl.find(LAMP), [], threading.Event()
    found = board.desk.found

    def slowly():
        assert answered.wait(20)
        return found()
    monkeypatch.setattr(board.desk, "found", slowly)
    monkeypatch.setattr(board, "send", lambda answer: sent.append(answer["kind"]))

    async def work():
        board._hear(board, {"kind": "say", "words": TOLD[0]}, [])
        board._hear(board, {"kind": "seek", "version": board.desk.version}, [])
        board._hear(board, {"kind": "act", "control": "lamp switch", "position": "on", "act": 1, "at": round(0.5 * TICK)}, [])
        assert "now" in sent and "found" not in sent
        answered.set()
        while "further" not in sent:
            await asyncio.sleep(0.01)
    in_a_thread(lambda: asyncio.run(asyncio.wait_for(work(), 30)))
    assert sent.index("now") < sent.index("found") < sent.index("further")


def test_the_finding_of_a_board_waits_for_what_is_worked_out_beside(monkeypatch):
    """Asked for in a cell meanwhile: both work on one desk, one after the other in the same thread; an error comes through."""
    board, order, begun, asked = cl.find(LAMP, TOLD[0], case="new.case"), [], threading.Event(), threading.Event()
    found = board.desk.found

    def slowly():
        order.append(("begins", threading.get_ident()))
        begun.set()
        assert asked.wait(20)
        order.append(("ends", threading.get_ident()))
        return found()
    monkeypatch.setattr(board.desk, "found", slowly)
    monkeypatch.setattr(board, "send", lambda answer: None)

    async def work():
        board._hear(board, {"kind": "seek", "version": board.desk.version}, [])
        assert await asyncio.to_thread(begun.wait, 20)
        threading.Timer(0.3, asked.set).start()
        return board.finding
    finding = in_a_thread(lambda: asyncio.run(work()))
    assert [word for word, _ in order] == ["begins", "ends"] * (len(order) // 2) and len({thread for _, thread in order}) == 1
    assert finding.causes[0].repair == cl.find(LAMP, TOLD[0]).causes[0].repair
    monkeypatch.setattr(board.desk, "found", lambda: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        board.finding


def test_what_a_test_lamp_gives_is_worked_out_while_it_is_held_there(monkeypatch):
    """Once for each place and row; telling it then solves nothing more."""
    board, asked = cl.find(CART, "rear left dim when braking", case="new.case"), []
    held = {"kind": "read", "red": "K1:87a", "black": "G1:-", "instrument": "test lamp", "at": 0, "since": 0}
    assert board.desk.lamp_place(held) is None         # nothing is known of the fault yet: no use to work anything out
    assert board.finding.causes
    sweep = solving.sweep
    monkeypatch.setattr(solving, "sweep", lambda *given: asked.append(1) or sweep(*given))
    monkeypatch.setattr(board, "send", lambda answer: None)

    def hear(**message):
        in_a_thread(lambda: board._hear(board, message, []))
    hear(kind="act", control="brake pedal", position="held", act=1, at=1)
    for moment in (2, 3):
        hear(**held | {"at": moment})
    assert board.finding and asked
    once = len(asked)
    hear(kind="say", words="test lamp dim at K1:87a when braking")
    assert board.finding.taken and len(asked) == once
    hear(kind="say", words="test lamp dim at E1:1 when braking")
    assert board.finding.taken and len(asked) > once


def test_a_stumble_of_the_kit_is_said_and_the_board_goes_on(monkeypatch):
    board, sent = cl.find(LAMP), []
    monkeypatch.setattr(board, "send", sent.append)
    monkeypatch.setattr(board.desk, "found", lambda: 1 / 0)
    in_a_thread(lambda: board._hear(board, {"kind": "seek", "version": board.desk.version}, []))
    assert "the kit stumbled (ZeroDivisionError" in sent[-1]["words"]
    in_a_thread(lambda: board._hear(board, {"kind": "say", "words": TOLD[0]}, []))
    assert board.case.symptoms == (TOLD[0],)


@pytest.mark.parametrize("change", [LoseJoint("W3", "E1:1", 0.5), LoseJoint("W2", "S1:1")])
def test_following_the_proposals_on_the_board_comes_to_the_fault(change):
    """Every act as a page would do it: the row set, the leads where the kit wants them, what the instrument shows typed."""
    bench, desk = Bench(LAMP, (change,)), desk_of(LAMP)
    say(desk, "say", words=bench.complaint())
    for _ in range(10):
        step = sought(desk)["further"]["offer"]
        if step is None:
            break
        for control, position in step["positions"].items():
            say(desk, "act", control=control, position=position)
        shown = bench.shown(desk.found().next.offer)
        where = {"seen": step["look"]} if step["look"] else {"red": step["red"], "black": step["black"], "phases": step["phases"]}
        say(desk, "say", words=drafted(desk, said=shown, instrument=step["instrument"], **where))
    assert change.wire in {wire for cause in desk.found().causes[:2] for wire in [cause.repair.split()[1].strip(",")]}
