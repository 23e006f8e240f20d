"""What is not known: a wire or part nobody has looked at, and what hangs on it."""

import pytest

import circuitlab as cl
from circuitlab.arrangements import read_text
from circuitlab.arrangements.not_known import possibilities
from circuitlab.reasoning import lamp_table, row_of
from circuitlab.reasoning.not_known import otherwise_words
from circuitlab.benches.board.desk import Desk

CART = cl.arrangement("shared-filament-four-relays")
HELD = {"brake pedal": "held"}


def marked(*names, cart=CART):
    """Return a cart with some things not known."""
    return cl.changed(cart, *map(cl.changes.MarkNotKnown, names))


@pytest.mark.in_turn(6)
@pytest.mark.parametrize("name", [wire.name for wire in CART.wires] + [part.name for part in CART.parts if part.name != "G1"])
def test_a_look_is_not_known_where_it_is_another_with_the_wires_taken_out(name):
    """Each wire, and each part by all its wires, taken out by hand: what differs there, and only that, hangs on it."""
    wires = [name] if name.startswith("W") else [wire.name for wire in CART.wires if name in [end.partition(":")[0] for end in wire.terminals]]
    whole, without = lamp_table(CART).rows, lamp_table(cl.changed(CART, *map(cl.RemoveWire, wires))).rows
    for row, one, other in zip(lamp_table(marked(name)).rows, whole, without, strict=True):
        assert {lamp for lamp, cell in row.cells.items() if cell.look == "not known"} == {
            lamp for lamp in row.cells if one.cells[lamp].look != other.cells[lamp].look}
        assert row == row_of(marked(name), row.positions)


def test_what_hangs_on_it_is_not_proved_and_what_does_not_is():
    proof = cl.prove(marked("K2"))
    assert not proof.is_proved and proof.is_kept and not proof.failures
    assert {row.hangs.get("E2") for row in proof.table.hanging} == {"steady, or dark without K2", "flashing, or dark without K2"}
    assert "Not proved: nothing breaks the rule in all 12 rows. 7 rows hang on what is not known (K2)" in proof.text()
    twice = cl.changed(CART, cl.AddWire(cl.Wire("W77", *CART.part("W5").terminals)))     # beside a sound one it does not matter
    assert cl.prove(twice).is_proved
    proof = cl.prove(marked("W77", cart=twice))
    assert proof.is_proved and "W77 is not known, and no look that the rule asks hangs on it." in proof.text()
    assert "How fast lamps flash is told with it as described." in proof.text()
    proof = cl.prove(marked("W77", "W5", cart=twice))       # but one of the two has to be there
    assert not proof.is_proved and proof.table.hanging[0].hangs["E2"] == "steady, or dark without W77 and W5"


def test_a_rule_that_is_broken_either_way_is_broken():
    row = {"key": "on", "turn lever": "left"}
    broken = cl.changed(marked("W20"), cl.RemoveWire("W5"))
    proof = cl.prove(broken)
    assert not proof.is_kept and "in 5 rows" in proof.brief
    assert row_of(broken, broken.positions(row)).cells["E3"].look == "not known"


def test_a_meter_says_what_else_it_may_show():
    point = cl.operating_point(marked("W5"), CART.positions(HELD))
    assert otherwise_words(point, "E1:1") == "" and otherwise_words(cl.operating_point(CART, HELD), "E2:1") == ""
    hanging = [f"K2:{end}" for end in CART.part("K2").terminals if otherwise_words(point, f"K2:{end}")]
    gone = cl.operating_point(cl.changed(CART, cl.RemoveWire("W5")), HELD)
    for terminal in hanging:
        assert abs((point.meter(terminal) or 0.0) - (gone.meter(terminal) or 0.0)) > 0.3
    assert otherwise_words(point, "E2:1") == "Not known: 12.2 V, or nothing without W5."


def test_a_board_says_so_at_what_is_looked_at_and_read():
    desk = Desk(marked("W5"), HELD)
    told = [answer["words"] for answer in desk.hear({"kind": "tell", "name": "E2:1", "at": 0})]
    assert told[0].endswith("Not known: 12.2 V, or nothing without W5.")
    read, = desk.hear({"kind": "read", "red": "E2:1", "black": "G1:-", "instrument": "meter", "since": 0, "at": 0})
    assert read["words"].endswith("Not known: 12.2 V, or nothing without W5.")


def test_it_is_marked_unmarked_written_and_read():
    cart = marked("W5", "K1")
    assert cart.not_known == ("W5", "K1") and cart != CART
    assert read_text(cart.write_text(), cart.name) == cart
    assert cart.cautions()[0].startswith("W5 (wire), K1 (relay) are not known: each may be as described or let nothing through")
    for sentence, left in (("mark W5 known", ("K1",)), ("mark K2 not known", ("W5", "K1", "K2")), ("remove W5", ("K1",)),
                           ("remove K1 with its wires", ("W5",) if "K1" not in str(CART.part("W5").terminals) else ())):
        change = cl.changes.read_change(sentence, cart)
        assert str(change) == sentence and change.apply(cart).not_known == left
    assert list(possibilities(cart)) == [(), ("W5",), ("K1",), ("W5", "K1")]


def test_drawings_put_a_question_mark_to_its_name():
    cart = marked("W5", "E2", "K2")
    for picture in (cl.draw(cart), cl.draw_attached(cart)):
        assert "W5 ? " in picture and "E2 ?" in picture and "K2 ?" in picture and "E1 ?" not in picture
        assert "W5 ?" not in cl.draw(CART)


@pytest.mark.parametrize("sentence, words", [
    ("mark G1 not known", "battery 'G1' cannot be not known"), ("mark W99 not known", "has no"), ("mark W5 known", "'W5' is known already"),
    ("mark W5 perhaps", "Write it so: mark W3 not known")])
def test_what_cannot_be_marked_is_said_in_a_sentence(sentence, words):
    with pytest.raises(cl.CircuitLabError) as said:
        cl.changes.read_change(sentence, CART)
    assert words in str(said.value)


def test_too_much_that_is_not_known_is_refused():
    names = [wire.name for wire in CART.wires[:7]]
    with pytest.raises(cl.CircuitLabError, match="7 things are not known"):
        marked(*names)
    with pytest.raises(cl.CircuitLabError, match="must be a list of names"):
        read_text(CART.write_text().replace("format = 1", 'format = 1\nnot_known = "W5"'))


def test_a_comparison_says_that_all_but_its_rows_takes_what_is_not_known_as_described():
    """Volts are told of what is described on both sides: marking a wire changes none."""
    cart = cl.arrangement("shared-filament-rear-relays")
    doubt, off = marked("W3", cart=cart), cl.changed(cart, cl.LoseJoint("W3", "X3:1"))
    told = cl.compare(doubt, off).text()
    assert "W3 is not known before: only the rows tell what hangs on that; terminals, currents" in " ".join(told.split())
    assert cl.compare(cart, doubt).differences == () and "W3 is not known after" in cl.compare(cart, doubt).text()
    assert "not known" not in cl.compare(cart, off).text()
    assert cl.compare(cart, marked("E3", cart=cart)).differences == (), "E3 has its volts, as described"
