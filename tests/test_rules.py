"""Rules in words: what a sentence means in every row, what is refused and how, and the rules that come with the kit."""

import re
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.ground.errors import ArrangementError, CircuitLabError, FileError, UnknownName
from circuitlab.parts import Lamp
from circuitlab.reasoning import Rule, rule, rule_names, rule_sentence, with_rule
from circuitlab.reasoning.conditions import Condition, always, literal, never

from small_boards import lamp_board

CART = arrangement("shared-filament-four-relays-hazard")
ROWS = [dict(zip((control.name for control in CART.controls), row))
        for row in product(*(control.positions for control in CART.controls))]


def asked(text, lamp="E1", circuit=CART):
    """Return for every row what a rule asks of a lamp."""
    ruled = with_rule(circuit, text)
    return [ruled.wanted(lamp, row) for row in ROWS]


# --- what a sentence means -----------------------------------------------------------------------------------------

def test_the_sentence_of_the_trade_means_what_it_says_in_every_row():
    got = asked("rear left: flash when turn left or hazard, else steady when stop, else dark")
    for row, look in zip(ROWS, got):
        turning = row["turn lever"] == "left" and row["key"] == "on"
        wanted = "flashing" if turning or row["hazard"] == "on" else \
            "steady" if row["brake pedal"] == "held" else "dark"
        assert look == wanted, row


@pytest.mark.parametrize("condition, truth", [
    ("key on", lambda row: row["key"] == "on"),
    ("key", lambda row: row["key"] == "on"),
    ("turn lever", lambda row: row["turn lever"] != "off"),
    ("not turn lever left", lambda row: row["turn lever"] != "left"),
    ("key on and hazard on or stop", lambda row: row["key"] == row["hazard"] == "on" or row["brake pedal"] == "held"),
    ("key on and (hazard on or stop)", lambda row: row["key"] == "on" and (row["hazard"] == "on"
                                                                          or row["brake pedal"] == "held")),
    ("not (key on or hazard on)", lambda row: row["key"] == "off" and row["hazard"] == "off"),
    ("not key on or hazard on", lambda row: row["key"] == "off" or row["hazard"] == "on"),
    ("turn left or turn right", lambda row: row["turn lever"] != "off" and row["key"] == "on"),
    ("always", lambda row: True),
])
def test_and_or_not_and_brackets(condition, truth):
    assert asked(f"E1: steady when {condition}") == ["steady" if truth(row) else "dark" for row in ROWS]


def test_a_lamp_is_named_by_its_place_or_its_name_and_several_share_a_sentence():
    ruled = with_rule(CART, "Rear Left, E2 and front left: steady when stop")
    assert [line.lamp for line in ruled.rule] == ["E1", "E2", "E3"]
    assert with_rule(CART, "rear left: dark").wanted("E1", ROWS[0]) == "dark"
    assert with_rule(CART, "rear left: dark").wanted("E2", ROWS[0]) is None


def test_a_sentence_alone_needs_no_else_dark_and_lines_may_be_typed_together():
    assert asked("rear left: steady when stop") == asked("rear left: steady when stop, else dark")
    both = with_rule(CART, "rear left: steady when stop\nrear right: flash when hazard.")
    assert {line.lamp for line in both.rule} == {"E1", "E2"}


def test_a_word_means_turning_without_a_key_where_there_is_none():
    keyless = replace(CART, controls=tuple(control for control in CART.controls if control.name != "key"),
                      parts=tuple(part for part in CART.parts if part.name != "S1"),
                      wires=tuple(wire for wire in CART.wires if "S1" not in wire.start + wire.end), rule=())
    line, = with_rule(keyless, "rear left: flash when turn left").rule
    assert line.when == (("turn lever", "left"),)


def test_words_of_ones_own_count_before_those_of_the_trade():
    own = Rule(("rear left: steady when stop",), words={"stop": ("hazard on",)})
    assert asked(own) == asked("rear left: steady when hazard on")


@pytest.mark.parametrize("name", arrangement_names())
def test_the_sentence_of_a_record_reads_back_to_the_same_rule(name):
    circuit = arrangement(name)
    text = "\n".join(rule_sentence(circuit, lamp.name) for lamp in circuit.of_kind(Lamp))
    again = with_rule(circuit, text)
    rows = product(*(control.positions for control in circuit.controls))
    for row in rows:
        where = dict(zip((control.name for control in circuit.controls), row))
        assert all(again.wanted(lamp.name, where) == circuit.wanted(lamp.name, where)
                   for lamp in circuit.of_kind(Lamp))


# --- what is refused -----------------------------------------------------------------------------------------------

@pytest.mark.parametrize("text, error, words", [
    ("rear lft: steady when stop", UnknownName, "no lamp 'rear lft'.*Did you mean 'rear left'"),
    ("E9: steady when stop", UnknownName, "no lamp 'E9'"),
    ("rear left: steady when clutch pressed", UnknownName, "no switch or word 'clutch pressed'"),
    ("rear left: steady when key left", UnknownName, "control 'key' has no position 'left'. It has: off, on"),
    ("rear left: glow when stop", UnknownName, "no choice 'glow'. It has: flash, steady, dark"),
    ("rear left: flash if stop", ArrangementError, "after 'flash' write 'when' and a condition"),
    ("rear left: flash when", ArrangementError, "after 'flash' write 'when'"),
    ("rear left: flash when stop, steady when hazard", ArrangementError, "does not begin with 'else'"),
    ("rear left: flash when stop or", ArrangementError, "something is missing at the end of a condition"),
    ("rear left: flash when (stop", ArrangementError, "a bracket is opened and not closed"),
    ("rear left: flash when stop)", ArrangementError, r"'\)' is out of place"),
    ("rear left: dark, else steady when stop", ArrangementError, "contradicts itself: choice 2"),
    ("rear left: flash when key, else steady when key and stop", ArrangementError, "choice 2 .* can never count"),
    ("rear left: flash when turn lever left and turn lever right", ArrangementError, "can never be true"),
    ("rear left: steady when stop\nE1: flash when hazard", ArrangementError, "two lines contradict each other about E1"),
    (":", ArrangementError, "is not a line of a rule"),
    ("first one wins", UnknownName, "the kit has no rule 'first one wins'"),
])
def test_a_rule_that_makes_no_sense_is_refused_in_words(text, error, words):
    with pytest.raises(error, match=words):
        with_rule(CART, text)


def test_two_lines_that_agree_about_a_lamp_are_no_contradiction():
    assert asked("rear left: steady when stop\nE1: steady when brake pedal held, else dark") == \
        asked("rear left: steady when stop")


def test_a_word_whose_control_is_missing_says_which():
    with pytest.raises(UnknownName, match="'hazard' stands for 'hazard on', but arrangement .* no control for 'hazard'. It has: switch"):
        with_rule(replace(lamp_board(), rule=()), "E1: flash when hazard")


def test_a_rule_without_any_fitting_lamp_is_refused():
    with pytest.raises(ArrangementError, match="speaks of no lamp of.*E1 .load bed."):
        with_rule(arrangement("one-fused-lamp"), "turn-and-hazard-over-stop")
    with pytest.raises(ArrangementError, match="a rule needs sentences"):
        Rule(())


@pytest.mark.parametrize("text, words", [
    ("format = 1", "is not a rule"), ("format = 2\nsentences = ['E1: dark']", "says format 2"),
    ("format = 1\nsentence = 'E1: dark'", "has no key 'sentence'"), ("format = 1\nsentences = [1]", "needs sentences"),
    ("format = 1\nsentences = ['E1: dark']\n[limits]\nslowst = 3", "has no value 'slowst'.*Did you mean 'slowest'"), ("format = ", "cannot be read"),
    *((f"format = 1\nsentences = ['E1: dark']\n{more}", words) for more, words in (
        ("[words]\nstop = [['key on']]", "is not a rule"), ("[words]\nstop = []", "is not a rule"),
        ("[colours]\nrear = [['red']]", "is not a rule"), ("title = 3", "is not a rule"), ("if_fitted = 'no'", "is not a rule"),
        ("[limits]\nslowest = nan", "mine.toml.*limit 'slowest' .* must be a number from 0 to 1000"),
        (f"[limits]\nslowest = 1{'0' * 900}", "limit 'slowest'"), ("[limits]\nmost_on = true", "limit 'most_on'"))),
])
def test_a_rule_file_that_cannot_be_read_says_why(tmp_path, text, words):
    path = tmp_path / "mine.toml"
    path.write_text(text)
    with pytest.raises(CircuitLabError, match=words):
        rule(path)


def test_a_rule_file_that_is_not_there_says_so(tmp_path):
    with pytest.raises(FileError, match="there is no such file"):
        rule(tmp_path / "none.toml")


# --- the kit's rules -----------------------------------------------------------------------------------------------

@pytest.mark.parametrize("name", rule_names())
def test_every_rule_of_the_kit_names_its_source_and_fits_the_shared_and_the_separate_lamps(name):
    read = rule(name)
    assert read.title and read.note and read.name == name
    assert "from memory" in read.source or "NHTSA" in read.source
    assert with_rule(CART, read).rule and with_rule(arrangement("separate-filaments"), read).rule


def test_the_kit_has_variants_for_who_wins():
    """One row tells them apart: brake held, lever left, hazard on."""
    assert len(rule_names()) >= 5
    row = {"key": "on", "brake pedal": "held", "turn lever": "left", "hazard": "off", "tail lamps": "off"}
    hazard = {**row, "turn lever": "off", "hazard": "on"}
    looks = {name: (with_rule(CART, name).wanted("E1", row), with_rule(CART, name).wanted("E1", hazard))
             for name in ("turn-and-hazard-over-stop", "turn-over-stop-over-hazard", "stop-over-turn")}
    assert looks == {"turn-and-hazard-over-stop": ("flashing", "flashing"),
                     "turn-over-stop-over-hazard": ("flashing", "steady"), "stop-over-turn": ("steady", "steady")}


@pytest.mark.parametrize("name", [name for name in arrangement_names() if name not in (
    "one-fused-lamp", "relay-test-board")])
def test_the_rule_in_every_file_is_the_one_fixed_beforehand(name):
    circuit = arrangement(name)
    again = with_rule(circuit, "turn-and-hazard-over-stop")
    for row in product(*(control.positions for control in circuit.controls)):
        where = dict(zip((control.name for control in circuit.controls), row))
        assert {lamp.name: circuit.wanted(lamp.name, where) for lamp in circuit.of_kind(Lamp)} == \
            {lamp.name: again.wanted(lamp.name, where) for lamp in circuit.of_kind(Lamp)}


# --- conditions ----------------------------------------------------------------------------------------------------

DOMAIN = (("a", ("0", "1")), ("b", ("0", "1", "2")), ("c", ("0", "1")), ("d", ("0", "1", "2")))
VALUES = [dict(zip((name for name, _ in DOMAIN), row)) for row in product(*(values for _, values in DOMAIN))]
LITERALS = st.sampled_from([(name, frozenset(chosen)) for name, values in DOMAIN
                            for chosen in ({values[0]}, {values[1]}, set(values[1:]))])
TERMS = st.lists(st.lists(LITERALS, min_size=1, max_size=3), max_size=6)


def made(terms):
    whole = never(DOMAIN)
    for factors in terms:
        product_ = always(DOMAIN)
        for name, allowed in factors:
            product_ &= literal(DOMAIN, name, *allowed)
        whole |= product_
    return whole


def truth(terms, row):
    return any(all(row[name] in allowed for name, allowed in factors) for factors in terms)


@settings(max_examples=150, deadline=None)
@given(TERMS, TERMS)
def test_and_or_not_and_the_shortest_form_keep_the_truth_of_every_row(first, second):
    one, two = made(first), made(second)
    for row in VALUES:
        a, b = truth(first, row), truth(second, row)
        assert one.holds(row) == one.shortest().holds(row) == a
        assert ((one | two).holds(row), (one & two).holds(row), (~one).holds(row)) == (a or b, a and b, not a)
    assert one.is_never == (not any(truth(first, row) for row in VALUES))
    assert one.is_always == all(truth(first, row) for row in VALUES)


@settings(max_examples=60, deadline=None)
@given(TERMS)
def test_no_term_of_the_shortest_form_can_be_left_out_or_widened(terms):
    short = made(terms).shortest()
    rows = [row for row in VALUES if short.holds(row)]
    for term in short.terms:
        without = Condition(DOMAIN, tuple(other for other in short.terms if other is not term))
        assert any(not without.holds(row) for row in rows)
        for name, allowed in term.items():
            for value in set(dict(DOMAIN)[name]) - allowed:
                wider = Condition(DOMAIN, ({**term, name: allowed | {value}},))
                assert any(wider.holds(row) and not short.holds(row) for row in VALUES)


def test_every_rule_that_the_readme_names_is_one_of_the_kits():
    named = set(re.findall(r"`([a-z]+(?:-[a-z]+)*-over-[a-z]+)`", (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")))
    assert named and named <= set(rule_names())
