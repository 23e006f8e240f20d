"""What lessons 05 and 11b make of a circuit wired on their boards: right in any order and with any names, wrong, half done, or nothing."""

import json
import re

import pytest
from hands import press, refusal
from worked_lessons import notebook, words

import circuitlab as cl
from circuitlab.arrangements import write_text
from circuitlab.teaching.book import AT_ONCE, LATER, WRONG, Marking
from circuitlab.teaching.gathering import lesson_book

pytestmark = pytest.mark.usefixtures("answers")

# By hand, from drawing 1 and from what a relay's terminals are for.
DRAWING_1 = ("G1:+ F1:1", "F1:2 S1:1", "S1:2 X2:1", "X2:2 E1:1", "X2:3 E2:1", "E1:2 X1:1", "E2:2 X1:2", "X1:3 G1:-")
TIE = ("X3:2 E1:1", "X4:3 E1:1", "X3:3 E2:1", "X5:3 E2:1")
MENDED = ("X3:2 K1:87a", "X4:3 K1:87", "X3:3 K2:87a", "X5:3 K2:87", "K1:30 E1:1", "K2:30 E2:1",
          "S3:SL K1:86", "S3:SR K2:86", "K1:85 X1:5", "K2:85 X1:5")
NEEDED = ("start", "drawings", "open-cart", "own-board", "wire-one", "wire-tie", "wire-mend")     # cells, of both lessons
CROSSED = {"K1": "K2", "K2": "K1"}      # K2 for the left, K1 for the right


class Bench:
    """What of a lesson its board needs, run as it is committed, and a hand at board and questions."""

    def __init__(self, name):
        self.names, self.count = {}, 100
        for cell in notebook(name).cells:
            if cell.id in NEEDED:
                exec(cell.source, self.names)
        self.lesson, self.board = self.names["lesson"], self.names["own_board"]

    def types(self, *sentences):
        """Type changes as the list sends them; none is refused."""
        for sentence in sentences:
            act = self.board.desk.last + 1
            said = list(self.board.desk.hear({"kind": "typed", "words": sentence, "act": act, "at": act}))
            assert not [each["words"] for each in said if each["kind"] == "trouble"], sentence

    def wires(self, *joins):
        """Add wires, each ``"from to"``, under names of no order."""
        for join in joins:
            self.count += 7
            self.types("add wire W{} from {} to {} 0.5 m 1 mm2".format(self.count, *join.split()))

    def commits(self, item):
        """Press Commit below a question and return what is read there."""
        question = self.lesson.questions[item]
        press(question)
        return words(refusal(question) or question.reply)


@pytest.fixture
def drawn():
    return Bench("05_draw_and_list")


@pytest.fixture
def cart():
    return Bench("11b_wire_your_own_cart")


def turned(joins):
    """Return the same joins backwards, each from its other end."""
    return [" ".join(reversed(join.split())) for join in reversed(joins)]


# ------------------------------------------------------------------ lesson 05: the nets of drawing 1

@pytest.mark.parametrize("joins", [DRAWING_1, turned(DRAWING_1), [join.replace("X2:3 E2:1", "E1:1 E2:1") for join in DRAWING_1],
    [join.replace("F1:1", "F1:x").replace("F1:2", "F1:1").replace("F1:x", "F1:2") for join in DRAWING_1]])
def test_drawing_1_is_right_in_any_order_past_the_splice_or_with_a_turned_fuse(drawn, joins):
    drawn.wires(*joins)
    assert "The circuit agrees" in drawn.commits("built")
    assert drawn.lesson.questions["built"].credit == 1


def test_parts_and_wires_may_be_called_otherwise(drawn):
    drawn.wires(*DRAWING_1)
    drawn.types("rename E1 to E8", "rename F1 to F3", "rename W107 to W1")
    assert "The circuit agrees" in drawn.commits("built")


@pytest.mark.parametrize("joins, said, stands", [
    ([join.replace("X2:3", "F1:2") for join in DRAWING_1], "one place of", "Not proved"),                          # E2 ahead of the switch: drawing 3
    (DRAWING_1[:-1], "is on no line", "Not proved"),                                                               # half done: no way back
    (DRAWING_1[:3], "is on no line", "Not proved"),
    (("G1:+ F1:1", "F1:2 E1:1", "F1:2 E2:1", "E1:2 S1:1", "E2:2 S1:1", "S1:2 X1:1", "X1:3 G1:-"), "one place of", "Proved")])   # lamps do right, nets do not
def test_what_is_wired_otherwise_or_half_is_told_so_and_where(drawn, joins, said, stands):
    """The last keeps the rule, and the board says so: the lesson asks for the nets."""
    drawn.wires(*joins)
    (proof,) = drawn.board.desk.hear({"kind": "prove", "act": drawn.board.desk.last, "wanted": True})
    assert proof["words"].startswith(stands)
    told = drawn.commits("built")
    assert "does not agree" in told and said in told
    assert drawn.lesson.questions["built"].credit == 0


def test_a_part_that_was_taken_away_is_named(drawn):
    drawn.wires(*DRAWING_1[:2])
    drawn.types("remove E2")
    assert "E2 is not on the board any more" in drawn.commits("built")


# ------------------------------------------------------------------ lesson 12: the tie and its mend

@pytest.mark.full
def test_the_tie_fails_eight_rows_on_the_board_and_the_mend_proves_them_all(cart):
    """The numbers of the board are those of the kit's own tie and cart; each question has its own circuit."""
    before = cart.board.arrangement
    cart.wires(*TIE)
    tied = cl.prove(cart.board.arrangement)
    assert len(tied.failing_rows) == 8 and tied.failing_rows == cl.prove(cl.arrangement("tied-stop-and-turn")).failing_rows
    assert "E3 is steady. It should be dark there." in cart.commits("mend")
    assert "The circuit agrees" in cart.commits("tie")
    cart.types(*(f"remove {wire.name}" for wire in cart.board.arrangement.wires if wire not in before.wires))
    cart.wires(*MENDED)
    assert cl.prove(cart.board.arrangement).is_proved
    assert "The circuit agrees" in cart.commits("mend")
    assert [cart.lesson.questions[item].credit for item in ("tie", "mend")] == [1, 1]
    assert cl.compare(cl.arrangement("shared-filament-rear-relays"), cart.board.arrangement).is_same


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("joins, renamed", [
    (turned(MENDED), ("rename E1 to E11", "rename K1 to K7", "rename K2 to K1")),
    ([re.sub("K[12]", lambda found: CROSSED[found[0]], join) for join in MENDED], ()),
    ([join.replace(":86", ":x").replace(":85", ":86").replace(":x", ":85") for join in MENDED], ())])
def test_a_mend_counts_by_what_every_row_does(cart, joins, renamed):
    """Other names, the relays exchanged, coils turned round."""
    cart.wires(*joins)
    cart.types(*renamed)
    assert "The circuit agrees" in cart.commits("mend")


@pytest.mark.full
def test_relays_of_the_learners_own_do_as_well(cart):
    cart.types("add part K3 relay", "add part K4 relay")
    cart.wires(*(re.sub("K([12])", lambda found: f"K{int(found[1]) + 2}", join) for join in MENDED))
    assert "The circuit agrees" in cart.commits("mend")


@pytest.mark.parametrize("changed, said", [
    ({"X3:2 K1:87a": "X3:2 K1:87", "X4:3 K1:87": "X4:3 K1:87a"}, r"E1 is dark\. It should be steady"),          # 87 and 87a mixed up
    ({"S3:SL K1:86": "X4:3 K1:86", "X4:3 K1:87": "E3:1 K1:87"}, "key on, brake pedal held, turn lever left, E1"),  # the coil on what flashes
    ({"K2:85 X1:5": ""}, "turn lever right, E2 is"),                                                               # half done: a coil without ground
    ({"K1:30 E1:1": "K1:30 E2:1"}, "E1 is dark"),
    ({"X3:2 K1:87a": "X3:2 X1:5"}, "F1 blow")])
@pytest.mark.in_turn(3)
def test_a_wrong_or_half_mend_is_told_its_first_row(cart, changed, said):
    cart.wires(*filter(None, (changed.get(join, join) for join in MENDED)))
    told = cart.commits("mend")
    assert "does not agree" in told and re.search(said, told), told
    assert cart.lesson.questions["mend"].credit == 0


def test_a_mend_that_would_burn_is_no_mend(cart):
    """Every lamp does right, and 3.8 A flow through 0.1 mm2."""
    cart.wires(*MENDED)
    cart.types("set W8 area 0.1 mm2")
    assert re.search("Every lamp does what it should, but W8 carries 3.8.* overheats", cart.commits("mend"))


def test_on_paper_no_terminal_of_the_key_is_named_beside_those_of_the_board(cart, drawn):
    assert "X1:3" in drawn.lesson.questions["built"].on_paper()
    assert "X4:4" not in cart.lesson.questions["tie"].on_paper() and "X3:2" in cart.lesson.questions["tie"].on_paper()


def test_half_a_tie_is_no_tie(cart):
    cart.wires(*TIE[:2])
    assert "E2 is dark. It should be steady there." in cart.commits("tie")


def test_where_the_tie_itself_breaks_the_rule_both_are_told_and_none_for_what_should_be(cart):
    """The mended cart committed as the tie: it keeps the rule, and the tie that is asked for does not."""
    cart.wires(*MENDED)
    told = cart.commits("tie")
    assert "E3 is dark. Wired as asked it is steady there, and so breaks the rule, which wants it dark." in told and "should be" not in told
    tied = cl.row_of(cl.arrangement("tied-stop-and-turn"), {"brake pedal": "held"})
    assert (tied.cells["E3"].look, tied.cells["E3"].wanted) == ("steady", "dark")


def test_rules_and_controls_changed_on_the_board_mend_nothing(cart):
    """What the tie shall do is not asked of its own rule; a control more is told."""
    cart.wires(*TIE)
    cart.types("rule E3: steady when \"brake pedal\" held")
    assert "It should be dark there" in cart.commits("mend")
    cart.types("add part S8 switch, control knob, closes \"on: 1-2\" with control knob: off, on")
    assert "Something else can be thrown" in cart.commits("mend")


def test_every_further_try_is_told_its_row_and_the_key_names_no_wire(cart, monkeypatch):
    monkeypatch.setattr("circuitlab.benches.laddered.PAUSE", 0.0)
    told = []
    for join in MENDED[4:8]:
        cart.wires(join)
        told.append(cart.commits("mend"))
    assert all("It should be" in each for each in told) and "rows are not as asked" in told[1] and "30 belongs to the lamp" in told[3]
    press(cart.lesson.questions["mend"], "Show the key")
    assert "Two rear relays" in words(cart.lesson.questions["mend"].reply) and not re.search(r"W\d", words(cart.lesson.questions["mend"].reply))


# ------------------------------------------------------------------ clicked, kept, marked

@pytest.mark.parametrize("name, items", [("05_draw_and_list", ["built"]), ("11b_wire_your_own_cart", ["tie", "mend"])])
def test_whoever_only_clicks_gets_nothing(name, items):
    """Nothing is counted before a wire is there; the same wiring twice neither."""
    bench = Bench(name)
    for item in items:
        for _ in range(4):
            assert "nothing is wired yet" in bench.commits(item)
        assert not bench.lesson.questions[item].is_answered
    bench.types("add wire from X1:1 to X1:2".replace("wire", "wire W900") + " 0.5 m 1 mm2")
    for item in items:
        assert "does not agree" in bench.commits(item)
        assert "the answer you gave before" in bench.commits(item)


def test_the_board_says_what_is_to_be_wired_next(cart):
    """The first that is asked and is not right yet, word for word; nothing once all is."""
    asked = {item: question.question for item, question in cart.lesson.questions.items() if item in ("tie", "mend")}
    assert cart.board.task == asked["tie"]
    before = cart.board.arrangement
    cart.wires(*TIE[:2])
    cart.commits("tie")
    assert cart.board.task == asked["tie"]
    cart.wires(*TIE[2:])
    cart.commits("tie")
    assert cart.board.task == asked["mend"] != asked["tie"]
    cart.types(*(f"remove {wire.name}" for wire in cart.board.arrangement.wires if wire not in before.wires))
    cart.wires(*MENDED)
    cart.commits("mend")
    assert cart.board.task == ""


def test_the_board_that_is_shown_is_judged_after_its_cell_was_run_again(cart):
    """The question asks for the board of that name."""
    cart.wires(*TIE)
    (cell,) = (cell for cell in notebook("11b_wire_your_own_cart").cells if cell.id == "own-board")
    exec(cell.source, cart.names)
    assert "nothing is wired yet" in cart.commits("tie")
    cart.board = cart.names["own_board"]
    cart.wires(*TIE)
    assert "The circuit agrees" in cart.commits("tie")


def test_a_board_tells_its_circuit_as_it_is_wired(cart):
    """What a hand took out is there; changes are; a circuit from a file does too."""
    board = cart.board
    assert board.arrangement == cart.names["open_cart"]
    cart.wires(TIE[0])
    list(board.desk.hear({"kind": "change", "what": "out", "name": "F1", "act": 90, "at": 90}))
    assert "F1" in board.arrangement.by_name and board.arrangement.wires[-1].terminals == ("X3:2", "E1:1")
    assert board.desk.present != board.arrangement


def test_what_was_wired_is_kept_and_marked_anew(cart, answers):
    """The record holds the circuit as the text of its file; a verdict in it is not believed."""
    cart.wires(*TIE)
    cart.commits("mend")
    cart.commits("tie")
    again = Bench("11b_wire_your_own_cart")
    assert "The circuit agrees" in words(again.lesson.questions["tie"].reply)
    assert again.board.arrangement == again.names["open_cart"]
    lines = [json.loads(line) for line in (answers / "lesson-11b.jsonl").read_text(encoding="utf-8").splitlines()]
    assert lines[-1]["answer"] == write_text(cart.board.arrangement)
    marking = Marking(lesson_book("11b"))
    assert [marking.take(line) for line in lines] == ["", ""]
    assert {item: mark.word for item, mark in marking.marks().items()} == {"mend": WRONG, "tie": AT_ONCE}
    forged = Marking(lesson_book("11b"))
    assert "the circuit says wrong" in forged.take(lines[0] | {"right": True, "credit": 1.0})
    assert forged.take(lines[0] | {"answer": "no circuit at all"}) and forged.take(lines[0] | {"answer": "#" * 50_000})
    right = lines[0] | {"answer": write_text(cl.arrangement("shared-filament-rear-relays")), "right": True}
    forged.take(right)
    assert forged.marks()["mend"].word == LATER
