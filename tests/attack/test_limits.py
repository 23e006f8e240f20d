"""How large anything may be: counted before any work starts, refused in one sentence, taken right up to the limit."""

from dataclasses import replace
from time import perf_counter

import pytest

import circuitlab as cl
from circuitlab.arrangements import Arrangement, Changes, Wanted, changed, read_change, read_text, write_text
from circuitlab.arrangements.rows import count_rows, rows_of
from circuitlab.ground import limits
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError, PartError
from circuitlab.ground.quantities import read_quantity
from circuitlab.parts import Battery, Breaker, Control, Fuse, Lamp, Splice, Switch, Wire
from circuitlab.reasoning.faults import fault_table
from circuitlab.reasoning.orders import stays
from circuitlab.solving.sweeping import sweep
from circuitlab.commands.build_sheets import build_sheet

LETTERS = {"name": limits.MOST_NAME, "place": limits.MOST_LINE, "note": limits.MOST_NOTE}


def many(controls, positions=2, parts=()):
    """Return one lamp on one fuse, and so many controls that work nothing."""
    moved = [
        Control(f"switch {number}", [f"place {place}" for place in range(positions)]) for number in range(controls)
    ]
    return Arrangement(
        "many",
        moved,
        [Battery("G1"), Fuse("F1"), Lamp("E1"), *parts],
        [Wire("W1", "G1:+", "F1:1"), Wire("W2", "F1:2", "E1:1"), Wire("W3", "E1:2", "G1:-")],
        [Wanted("E1", "steady")],
    )


# ------------------------------------------------------------------ rows

ASKED = {
    "lamp table": cl.lamp_table,
    "proof": cl.prove,
    "faults": fault_table,
    "sizes": cl.size,
    "comparison": lambda it: cl.compare(it, it),
    "logic": cl.lamp_logic,
    "orders": stays,
    "sweep": sweep,
    "rows": rows_of,
    "build sheet": build_sheet,
    "two lines of a rule": lambda it: cl.rules.with_rule(
        it,
        "\n".join(
            f"E1: steady when {' and '.join(f'{control.name} {control.rest}' for control in it.controls)}"
            for _ in range(2)
        ),
    ),
}


@pytest.mark.parametrize("ask", ASKED.values(), ids=ASKED)
@pytest.mark.parametrize("controls, positions", [(17, 2), (31, 2), (50, 24)])
def test_more_rows_than_are_gone_through_are_refused_before_any_is_built(ask, controls, positions):
    """With 31 controls one such table would fill 5 GB; none of these takes a tenth of a second of work."""
    circuit = many(controls, positions)
    begun = perf_counter()
    with pytest.raises(
        ArrangementError,
        match=rf"{positions ** controls} rows.*; {limits.MOST_ROWS} are (gone through|compared) "
        "at most.*Leave out controls .* ask one row.* or a sample",
    ) as caught:
        ask(circuit)
    assert perf_counter() - begun < 2.0 and caught.value.pieces["rows"] == positions**controls == count_rows(circuit)


def test_rows_up_to_the_limit_are_gone_through():
    assert len(rows_of(many(16))) == limits.MOST_ROWS == count_rows(many(16))
    assert build_sheet(many(10)).count('class="box"') == 1_024


def test_a_sample_and_one_row_need_no_limit():
    circuit = many(50, 24)
    assert len(cl.prove(circuit, sample=5, timing=False).table.rows) == 5
    assert cl.row_of(circuit, circuit.positions()).cells["E1"].look == "steady"


def test_phases_are_counted_too():
    """Each breaker doubles what one row stands for: eleven of them would be solved 2,048 times."""
    breakers = [Breaker(f"F{number}") for number in range(2, 13)]
    for ask in (cl.lamp_table, cl.prove, lambda it: cl.row_of(it, it.positions())):
        with pytest.raises(
            ArrangementError, match="'many' has 11 flashers and breakers, so 2048 combinations .* all but 10"
        ):
            ask(many(1, parts=breakers))
    assert len(cl.row_of(many(1, parts=breakers[:3]), {"switch 0": "place 0"}).cells["E1"].volts) == 8


# ------------------------------------------------------------------ how much of everything


def test_parts_wires_controls_and_lines_are_counted():
    circuit = many(0)
    splices = [Splice(f"X{number}") for number in range(limits.MOST_PARTS - 2)]
    wires = [Wire(f"W{number}", "G1:+", "F1:1") for number in range(limits.MOST_WIRES + 1)]
    for field, more, words in (
        ("parts", [*circuit.parts, *splices], f"at most {limits.MOST_PARTS} parts, got {limits.MOST_PARTS + 1}"),
        ("wires", wires, f"at most {limits.MOST_WIRES} wires, got {limits.MOST_WIRES + 1}"),
        ("rule", [Wanted("E1", "dark")] * (limits.MOST_RULES + 1), "lines in its rule, got"),
    ):
        with pytest.raises(ArrangementError, match=words):
            replace(circuit, **{field: more})
        assert replace(circuit, **{field: more[:-1]})
    with pytest.raises(
        ArrangementError, match=f"at most {limits.MOST_CONTROLS} controls, got {limits.MOST_CONTROLS + 1}"
    ):
        many(limits.MOST_CONTROLS + 1)
    with pytest.raises(
        ArrangementError, match=f"has {limits.MOST_POSITIONS + 1} positions, {limits.MOST_POSITIONS} are allowed"
    ):
        many(1, limits.MOST_POSITIONS + 1)
    with pytest.raises(PartError, match=f"joins {limits.MOST_PAIRS + 1} pairs, {limits.MOST_PAIRS} are allowed"):
        Switch("S1", "key", {"on": [("1", str(number)) for number in range(2, limits.MOST_PAIRS + 3)]})
    with pytest.raises(ArrangementError, match=f"at most {limits.MOST_WIRES} wires"):
        changed(replace(circuit, wires=wires[:-1]), cl.AddWire(wires[-1]))


@pytest.mark.parametrize("field, most", LETTERS.items())
def test_letters_are_counted_in_python_in_a_file_and_in_a_sentence(field, most):
    circuit = cl.arrangement("one-fused-lamp")
    words, long = f"has {most + 1} letters, {most} are allowed", "x" * (most + 1)
    assert Lamp(**{"name": "E1", field: long[1:]})
    with pytest.raises(PartError, match=words):
        Lamp(**{"name": "E1", field: long})
    with pytest.raises(PartError, match=words):
        read_change(f"set E1 {field} {long}" if field != "name" else f"add part {long} lamp", circuit)
    text = write_text(circuit)
    given = (
        text.replace("[parts.E1]\n", f"[parts.{long}]\n")
        if field == "name"
        else write_text(changed(circuit, cl.changes.ReplacePart(replace(circuit.part("E1"), **{field: "HERE"})))).replace(
            "HERE", long
        )
    )
    assert long in given
    with pytest.raises(CircuitLabError, match=words):
        read_text(given)


def test_letters_of_titles_controls_and_positions_are_counted():
    for make, most in (
        (lambda long: Arrangement(long, parts=[Battery("G1")]), limits.MOST_LINE),
        (lambda long: Control(long, ("off", "on")), limits.MOST_NAME),
        (lambda long: Control("key", ("off", long)), limits.MOST_NAME),
        (lambda long: Switch("S1", "key", {"on": [("1", long)]}), limits.MOST_NAME),
        (lambda long: Arrangement("one", parts=[Battery("G1")], note=long), limits.MOST_NOTE),
    ):
        assert make("x" * most)
        with pytest.raises(CircuitLabError, match=f"has {most + 1} letters, {most} are allowed"):
            make("x" * (most + 1))


# ------------------------------------------------------------------ numbers and nesting


@pytest.mark.in_turn(2)
@pytest.mark.parametrize(
    "typed", ["9" * 5_000, "-" + "9" * 5_000, "1e" + "9" * 5_000, "0." + "0" * 5_000 + "1", " " * 200_000 + "x"]
)
def test_a_number_of_thousands_of_digits_is_refused_wherever_it_is_typed(typed):
    circuit = cl.arrangement("shared-filament-four-relays")
    for ask in (
        lambda: read_quantity(typed, "V"),
        lambda: Fuse("F1", typed),
        lambda: read_change(f"set F1 rating {typed}", circuit),
        lambda: read_change(f"set X2 ways {typed}", circuit),
        lambda: read_change(f"corrode W5 at X3:3 {typed}", circuit),
        lambda: read_change(f"add wire W99 from X3:2 to E3:1 RD {typed} m", circuit),
        lambda: cl.catalogue.fuse("F1", typed),
    ):
        with pytest.raises(CircuitLabError) as caught:
            ask()
        assert len(str(caught.value)) < 2_000 and "digits for integer" not in str(caught.value)


@pytest.mark.parametrize(
    "line",
    [
        "ways = 1" + "0" * 5_000,
        "ways = 0x1" + "0" * 5_000,
        "ways = 1" + "0" * 2_000,
        "note = " + "[" * 50 + "]" * 50,
        "note = " + "[" * 90_000,
        "note" + ".a" * 500 + " = 1",
        "note = {a = {a = {a = {a = {a = {a = {a = {a = {a = 1}}}}}}}}}",
    ],
)
def test_digits_and_depth_of_a_file_are_refused_in_words(line):
    text = write_text(cl.arrangement("shared-filament-four-relays")).replace("[parts.X2]\n", f"[parts.X2]\n{line}\n")
    with pytest.raises(FileError, match="a whole number of more than 1000 digits|tables or lists more than 8 deep"):
        read_text(text, where="'mine.toml'")


@pytest.mark.parametrize("key", ["format", "title", "note", "controls", "parts", "rule", "held"])
def test_a_huge_whole_number_anywhere_in_a_file_is_refused_in_words(key):
    """In hexadecimal Python reads as many digits as there are, and then cannot say them."""
    with pytest.raises(FileError, match="a whole number of more than 1000 digits"):
        read_text(f"{key} = 0x1{'0' * 5000}\n")


@pytest.mark.parametrize(
    "condition", ["(" * 3_000 + "key on" + ")" * 3_000, "not " * 3_000 + "key on", "(not " * 500 + "key on" + ")" * 500]
)
def test_brackets_without_end_are_refused_in_words(condition):
    cart = cl.arrangement("shared-filament-four-relays")
    with pytest.raises(ArrangementError, match="more than 20 brackets stand inside each other"):
        cl.rules.with_rule(cart, f"E1: steady when {condition}")
    nested = "(" * 20 + "key on" + ")" * 20
    assert cl.rules.with_rule(cart, f"E1: steady when {nested}").rule == cl.rules.with_rule(cart, "E1: steady when key on").rule


@pytest.mark.parametrize(
    "joined", [" and ".join, lambda pieces: f"not ({' or '.join(piece.replace(' or ', ' and ') for piece in pieces)})"]
)
def test_a_condition_that_multiplies_out_is_refused_before_it_is(joined):
    """Twenty choices of two are a million cases; nothing is worked out for them."""
    circuit, begun = many(40), perf_counter()
    pairs = [f"(switch {number} place 1 or switch {number + 1} place 1)" for number in range(0, 40, 2)]
    with pytest.raises(ArrangementError, match="falls into [0-9]+ cases joined by 'or', 64 are allowed"):
        cl.rules.with_rule(circuit, f"E1: steady when {joined(pairs)}")
    assert perf_counter() - begun < 2.0
    assert len(cl.rules.with_rule(circuit, f"E1: steady when {joined(pairs[:3])}").rule) == 8


def test_a_sentence_and_a_file_may_not_be_endless():
    circuit = cl.arrangement("one-fused-lamp")
    with pytest.raises(ArrangementError, match="a sentence has 20000 letters at most, got 20001"):
        read_change("x" * 20_001, circuit)
    with pytest.raises(ArrangementError, match="a sentence must be words in quotes, got an int too large to write out"):
        Changes(circuit).make(10**5000)
    with pytest.raises(FileError, match="letters, 4000000 are allowed. It is no file of this kit"):
        read_text("#" * 4_000_001)
