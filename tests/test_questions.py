"""Headless learners go through every kind of question: right, each wrong idea, blank, nonsense, another locale.

And what they read never holds the value they are asked for.
"""

import json
import re

import pytest
from hands import boxes, press, refusal, tick

import circuitlab as cl
from circuitlab.benches.asked import STATIC
from circuitlab.ground.errors import FileError
from circuitlab.teaching.ideas import IDEAS

ONE, CART = cl.arrangement("one-fused-lamp"), cl.arrangement("shared-filament-four-relays")
BATTERIES = {("G1", "voltage"): (12.2, 11.8, 12.6, 13.0, 13.4, 13.8)}
SWAPPED = [cl.SwapTerminals("K1:87", "K1:87a"), cl.SwapTerminals("K2:87", "K2:87a")]
ROWS = [{"key": "on", "turn lever": "left", "brake pedal": "held"}, {"brake pedal": "held"}]


def measure(lesson):
    return lesson.measure("open", "The switch is open. What is across it?", cl.vary(ONE, BATTERIES), "V",
                          lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"), ideas=[
                              cl.idea("M6", reads_as=0.0),
                              cl.idea("half", "the switch takes half the volts", "Then the lamp would have the other half.",
                                      "Which current would share the volts?",
                                      reads_as=lambda lamp: lamp.battery.voltage / 2)])


def grid(lesson):
    return lesson.grid("rows", "What does each rear lamp do?", CART, ROWS, ["E1", "E2"],
                       ideas=[cl.idea("M11", wires_as=SWAPPED)])


def sort(lesson):
    return lesson.sort("levels", "The switch is open. Which ends are live?", ONE, ["F1:2", "S1:2", "E1:2"], ["live", "dead"],
                       lambda lamp, end: "live" if cl.operating_point(lamp).is_live(end) else "dead",
                       ideas=[cl.idea("M6", wires_as=cl.AddWire(cl.Wire("W9", "S1:1", "S1:2")))])


def choose(lesson):
    return lesson.choose("shelf", "Coil dead. What is 30 joined to?", CART, ["87", "87a"],
                         lambda cart: "87a" if cl.operating_point(cart).states["K1"] == "released" else "87",
                         ideas=[cl.idea("M11", reads_as="87")])


def connect(lesson):
    return lesson.connect("list", "Write the connection list.", ONE,
                          ideas=[cl.idea("M7", wires_as=[cl.RemoveWire("W4"), cl.RemoveWire("W5")])])


WIRED = "G1:+ - F1:1\nF1:2 - S1:1\nS1:2 - E1:1\nE1:2 - G1:-"
GRID = {"E1": ["flashing", "steady"], "E2": ["steady", "steady"]}
FLIPPED = {"E1": ["steady", "dark"], "E2": ["flashing", "dark"]}
LIVE = {"F1:2": "live", "S1:2": "dead", "E1:2": "dead"}
KINDS = {  # kind: (maker, right answers, {idea: answers}, what the reply to the idea says, blank, nonsense)
    "measure": (measure, ["12.2", "12,2 V", "12200 mV", "+12.2"], {"M6": ["0", "0 mV", "0,0"], "half": ["6,1 V"]}, ["", " ", None],
                ["twelve", "12.2 A", "12 V or so", "1,234"]),
    "grid": (grid, [GRID], {"M11": [FLIPPED, GRID | {"E2": ["flashing", "dark"]}]}, [{}, None, {"E1": [None, None]}],
             ["dark", {"E1": ["dark"], "E2": ["dark", "dark"]}, GRID | {"E9": ["dark"]}, GRID | {"E1": ["blue", "dark"]}]),
    "sort": (sort, [LIVE], {"M6": [LIVE | {"S1:2": "live"}]}, [{}, None], ["live", {"F1:2": "live"}, LIVE | {"F1:2": "lit"}]),
    "choose": (choose, ["87a", "87A"], {"M11": ["87"]}, ["", None], ["88"]),
    "connect": (connect, [WIRED, WIRED.lower(), "\n".join(reversed(WIRED.splitlines())),
                          "W7: E1:1 - G1:-\nred S1:2 to E1:2\nF1:1 - S1:1\nF1:2 G1:+"], {"M7": [WIRED.rpartition("\n")[0]]},
                ["", "\n# nothing yet", None], ["F1:2", "F1:2 - F1:2", "F1:3 - S1:1", "Q1:1 - S1:1", "fuse to switch"]),
}


@pytest.fixture
def lesson(tmp_path):
    return cl.Lesson("97", tmp_path)


def ask(name, folder):
    return KINDS[name][0](cl.Lesson("97", folder))


@pytest.mark.parametrize("name", KINDS)
def test_a_right_answer_is_agreed_to_however_it_is_written(name, tmp_path):
    """Comma or point, prefix, any order of lines, ends of a lamp turned round, small letters."""
    right = KINDS[name][1]
    assert right
    for number, given in enumerate(right):
        question = ask(name, tmp_path / str(number))
        question.commit(given)
        assert "The circuit agrees" in question.reply, given
        assert question.credit == (name != "choose")        # one choice, and no other variant


@pytest.mark.parametrize("name", KINDS)
def test_each_wrong_idea_gets_the_reply_written_for_it(name, tmp_path):
    """The consequence of that very idea at the first try, and no other's."""
    ideas = KINDS[name][2]
    assert ideas
    for code, given in ideas.items():
        for number, answer in enumerate(given):
            question = ask(name, tmp_path / f"{code}{number}")
            question.commit(answer)
            own = next(one for one in question.task.ideas if one.code == code)
            assert "does not agree" in question.reply and plain(own.would) in question.reply, (code, answer)
            assert [event["idea"] for event in question.record.events()] == [code]


@pytest.mark.parametrize("name", KINDS)
def test_blank_and_nonsense_are_told_so_and_cost_no_try(name, tmp_path):
    """A sentence, no traceback, nothing in the record; the next try is the first."""
    _, _, _, blanks, nonsense = KINDS[name]
    question = ask(name, tmp_path)
    for given in [*blanks, *nonsense]:
        with pytest.raises(cl.CircuitLabError) as said:
            question.commit(given)
        assert 15 < len(str(said.value)) < 250 and "\n" not in str(said.value)
    assert question.record.events() == [] and not question.is_answered


@pytest.mark.parametrize("name", KINDS)
def test_a_press_on_commit_with_nothing_filled_in_is_answered(name, tmp_path):
    """Through the widgets, as a learner does it."""
    question = ask(name, tmp_path)
    press(question)

    assert 'role="alert"' in refusal(question) and "first" in refusal(question) or \
        "no connection yet" in refusal(question)


@pytest.mark.parametrize("name", KINDS)
def test_widgets_carry_an_answer_there_and_back(name, tmp_path):
    """What is put into the widgets is what Commit reads from them; a second sitting shows it again."""
    question = ask(name, tmp_path)
    right = KINDS[name][1][0]
    question.entry.put(right)
    press(question)
    assert "The circuit agrees" in question.reply

    again = ask(name, tmp_path)
    assert again.is_answered and again.entry.value == question.entry.value and again.reply == question.reply


def test_a_typed_answer_is_sent_whole(lesson):
    """A field that sends every letter still has some on the way when Commit is pressed, and half an answer is kept."""
    for question in (measure(lesson), connect(lesson), lesson.note("words", "Say it.")):
        waiting = [question.view]
        fields = []
        while waiting:
            widget = waiting.pop()
            waiting += getattr(widget, "children", ())
            fields += [widget] if hasattr(widget, "placeholder") and hasattr(widget, "continuous_update") else []
        assert [field.continuous_update for field in fields] == [False], question.item


def test_a_box_that_is_ticked_unticks_its_neighbours(lesson):
    """One look for each lamp and row."""
    question = grid(lesson)
    tick(question, "E1 dark")
    tick(question, "E1 steady")

    assert [box.value for box in boxes(question, "E1 dark")] == [False, False]
    assert question.entry.value["E1"] == ["steady", None]


def plain(text):
    """As it stands in a reply."""
    return text.replace("'", "&#x27;").replace('"', "&quot;")


# ------------------------------------------------------------------ connection lists

@pytest.mark.parametrize("lines, said", [
    ("G1:+ - F1:1\nF1:2 - S1:1\nS1:2 - E1:1\nX1:1 - G1:-", "lamp E1 terminal 2 is on no line"),
    (WIRED + "\nS1:1 - S1:2", "Line 5 makes both ends of S1 one place"),
    ("G1:+ - F1:1\nF1:2 - S1:1\nS1:2 - E1:1\nE1:2 - X1:1\nX1:2 - G1:-\nF1:2 - X1:2", "These two lines are one net: 4 and 6 make"),
    ("G1:+ - F1:1\nF1:2 - F1:1\nS1:1 - S1:2\nS1:2 - E1:1\nE1:2 - G1:-", "both ends of F1 one place"),
])
def test_a_second_wrong_list_is_told_where_to_look(lesson, lines, said):
    """Terminals on no line, and lines that make one net of two, by name."""
    question = connect(lesson)
    question.commit("G1:+ - E1:1\nE1:2 - G1:-")
    question.commit(lines, reason=question.reasons[0])

    assert said in question.reply


def test_a_first_wrong_list_is_answered_by_what_it_would_do(lesson):
    """Wired as typed and solved: the lamp burns with its switch off."""
    question = connect(lesson)
    question.commit("G1:+ - F1:1\nF1:2 - S1:1\nF1:2 - E1:1\nE1:2 - G1:-")
    assert "E1 is steady with lamp switch off. Shall it be?" in question.reply

    again = cl.Lesson("96").connect("short", "Write the list.", ONE)
    again.commit("G1:+ - F1:1\nF1:2 - G1:-\nS1:1 - E1:1\nS1:2 - E1:2")
    assert "F1 blows" in again.reply


@pytest.mark.parametrize("name", cl.arrangement_names())
def test_every_arrangement_of_the_kit_accepts_its_own_wires_as_a_list(name):
    """In reverse, and with every line turned round."""
    circuit = cl.arrangement(name)
    question = cl.Lesson("96").connect("own", "Write the list.", circuit)
    question.commit("\n".join(f"{wire.end} - {wire.start}" for wire in reversed(circuit.wires)))
    assert "The circuit agrees" in question.reply


def test_relays_may_not_be_exchanged_but_splices_need_not_be_named():
    """K1 is K1; a star may be wired anywhere on itself."""
    cart = cl.arrangement("relay-test-board")
    through = [f"{wire.start} - {wire.end}" for wire in cart.wires if not {"X1", "X2"} &
               {wire.start[:2], wire.end[:2]}]
    star = through + ["F1:2 - K1:30", "K1:30 - S1:1", "K1:85 - G1:-", "E1:2 - G1:-", "E2:2 - G1:-"]
    asked = lambda: cl.Lesson("96").connect("board", "Write the list.", cart)
    good, bad = asked(), asked()
    good.commit("\n".join(star))
    bad.commit("\n".join(star).replace("K1:87a", "K1:0").replace("K1:87 ", "K1:87a ").replace("K1:0", "K1:87"))

    assert "The circuit agrees" in good.reply
    assert "E2 is steady with test switch on" in bad.reply or "E1 is steady with test switch off" in bad.reply


# ------------------------------------------------------------------ the table of ideas

def test_no_two_ideas_share_a_sentence_and_none_is_long():
    """At most 40 words a sentence; no praise, no blame."""
    told = [sentence for one in IDEAS.values() for sentence in (one.because, one.would, one.look, one.instead, one.law)]

    assert len(IDEAS) == 19 and len(set(told)) == len(told) == 19 * 5
    assert [each for each in told if len(each.split()) > 40] == []
    assert [each for each in told if re.search(r"\b(wrong|stupid|silly|well done|bad|great)\b", each, re.I)] == []


# ------------------------------------------------------------------ nothing gives the answer away

def numbers(text):
    """Every number in a text, however it is written. [1]"""
    return [float(each.replace(",", ".")) for each in re.findall(r"\d+(?:[.,]\d+)?", text)]


@pytest.mark.parametrize("name", KINDS)
def test_what_a_learner_can_see_before_the_key_does_not_hold_it(name, tmp_path):
    """Replies, paper, repr, tab completion, what the notebook stores, and the record."""
    lesson = cl.Lesson("94", tmp_path)
    question = KINDS[name][0](lesson)
    posed, truth = question.way.posed, question.way.posed.truth
    seen = [repr(question), question.on_paper(), repr(question.way), repr(posed), repr(question.task)]
    if isinstance(truth, (int, float)):
        for typed in ("7777", f"{0.37 * truth:.5f}", "0.77"):
            menu = [None] if not question.way.tries else [each for each in question.reasons if not posed.holds(each)][:1]
            question.commit(typed, reason=menu[0] if question.way.tries and menu[0] != question.way.tries[-1]["reason"]
                            else next((each for each in question.reasons if posed.holds(each)), None)
                            if question.way.tries else None)
            seen.append(question.reply)
    seen += [json.dumps(question._repr_mimebundle_()[0] if isinstance(question._repr_mimebundle_(), tuple)
                        else question._repr_mimebundle_())]
    for text in seen:
        if isinstance(truth, (int, float)):
            assert not [number for number in numbers(re.sub(r"[0-9a-f]{32}", "", text))
                        if posed.kind.same(number, truth) or posed.kind.same(number / 1000, truth)], text
        assert posed.key() not in text or name == "choose", text   # those offer every answer
    assert [each for each in dir(question) if re.search("truth|answer$|work|tolerance|within|task|ladder|key", each)] == []
    assert [each for each in dir(posed) + dir(question.way) if re.search("truth|work|tolerance|within|task", each)] == []


def test_a_question_whose_sum_fails_does_not_show_it(lesson):
    """An error in the lesson's own way to the answer says neither the numbers nor the expression."""
    def broken(lamp):
        raise ValueError("expected 12.2 within 0.02")
    question = lesson.measure("broken", "Volts?", ONE, "V", broken)
    question.entry.put("3")
    press(question)

    assert "cannot be worked out" in refusal(question)
    assert "12.2" not in refusal(question) and "0.02" not in refusal(question)


# ------------------------------------------------------------------ paper twin and record

@pytest.mark.parametrize("name", KINDS)
def test_the_paper_twin_stands_in_where_there_are_no_widgets(name, tmp_path, monkeypatch):
    """By the environment or by static=True; beside the widgets for a page printed without a kernel."""
    question = ask(name, tmp_path)
    with_widgets = question._repr_mimebundle_()
    with_widgets = with_widgets[0] if isinstance(with_widgets, tuple) else with_widgets
    monkeypatch.setenv(STATIC, "1")
    alone = question._repr_mimebundle_()
    monkeypatch.delenv(STATIC)

    assert "application/vnd.jupyter.widget-view+json" in with_widgets and "<form" in with_widgets["text/html"]
    assert set(alone) == {"text/plain", "text/html"} and "<fieldset" in alone["text/html"]
    assert set(KINDS[name][0](cl.Lesson("97", tmp_path, static=True))._repr_mimebundle_()) == {"text/plain", "text/html"}


def test_plain_questions_have_a_paper_twin_too(lesson):
    """Predictions and notes."""
    choice = lesson.predict("a", "What does E1 do?", {"dark": "", "lit": ""}, lambda: "lit")
    note = lesson.note("c", "What next?")

    assert choice.on_paper().count("radio") == 5 and "____" in note.on_paper()
    assert all(question._repr_mimebundle_() for question in (choice, note))


def test_the_record_holds_try_reason_confidence_seed_and_version(tmp_path):
    """One line for each try, readable by a person."""
    question = measure(cl.Lesson("97", tmp_path))
    question.commit("0 V", "sure", "the switch is open, so there is nothing across it")
    question.commit("12,2", "guess", "an open contact stands between two different levels")
    first, second = question.record.events("open")

    assert (first["kit"], first["seed"], first["try"], first["answer"], first["confidence"], first["idea"], first["right"]) == (
        cl.__version__, 1, 1, "0 V", "sure", "M6", False)
    assert (second["try"], second["reason"], second["right"], second["credit"]) == (
        2, "an open contact stands between two different levels", True, 1.0)
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00", second["at"])


def test_an_answer_that_found_no_room_goes_in_with_the_next(tmp_path, monkeypatch):
    """A full disk: said in a sentence, still counted, no half line left, written once there is room."""
    question = measure(cl.Lesson("97", tmp_path))
    question.commit("0")
    before = question.record.path.read_bytes()
    real = __import__("os").fsync

    def full(_):
        raise OSError(28, "No space left on device")
    monkeypatch.setattr("circuitlab.benches.record.os.fsync", full)
    with pytest.raises(FileError, match="could not be written.*No space left"):
        question.commit("3", reason=question.reasons[0])
    assert question.record.path.read_bytes() == before and "Try 2" in question.reply
    monkeypatch.setattr("circuitlab.benches.record.os.fsync", real)
    menu = [reason for reason in question.reasons if reason != question.reasons[0]]
    question.commit("4", reason=menu[0])

    assert [json.loads(line)["try"] for line in question.record.path.read_text("utf-8").splitlines()] == [1, 2, 3]


def test_pasted_line_ends_do_not_break_the_record(tmp_path):
    """A separator that is no end of line for JSON is none for the record."""
    lesson = cl.Lesson("97", tmp_path)
    lesson.note("n", "Say it.").commit("one\u2028two\x85three")

    assert [event["answer"] for event in lesson.record.events("n")] == ["one\u2028two\x85three"]
