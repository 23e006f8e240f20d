"""The page of keys: made from the code, with every key and terminal there is, and examples that the kit reads."""

import os
import re
from dataclasses import fields
from itertools import product
from math import inf

import pytest

from circuitlab.arrangements import Arrangement, Wanted, arrangement, read_text, write_text
from circuitlab.arrangements.keys import file_table, table_kinds
from circuitlab.commands.line import main
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.places import kit_folder
from circuitlab.parts import KINDS, Battery, Control, Fuse, FuseBlock, Switch, Wire
from circuitlab.parts.conductors import COLOURS
from circuitlab.views.key_page import HEADING, PAGE, keys_page, keys_text

PATH = kit_folder("lessons") / PAGE
RECORDS = {**KINDS, "wire": Wire, "control": Control, "rule": Wanted}


def told(kind):
    """Return each key that is told of a kind of table, with what may stand behind it. [text]"""
    return {key: allowed for keys in file_table(kind).keys for key, allowed in keys.allowed.items()}


def reads(tables):
    """Return the arrangement in a text of some tables, with what every file must have put before it where it is lacking."""
    head = "" if "format = 1" in tables else 'format = 1\ntitle = "one table"\n\n'
    battery = "" if '"battery"' in tables else '\n\n[parts.G9]\nkind = "battery"'
    control = "" if "[controls" in tables or "turn lever" not in tables else (
        '\n\n[controls."turn lever"]\npositions = ["off", "left", "right"]')
    return read_text(f"{head}{tables}{battery}{control}\n")


# ------------------------------------------------------------------ the page

def test_the_page_is_what_the_code_makes_of_it():
    """From its heading on; ``PIN_THIRTY_REWRITE=1`` writes it anew."""
    text = PATH.read_text("utf-8")
    if os.environ.get("PIN_THIRTY_REWRITE"):
        PATH.write_text(keys_page(text), "utf-8")
        text = PATH.read_text("utf-8")
    assert text == keys_page(text), "the code says otherwise: PIN_THIRTY_REWRITE=1 pytest tests/test_key_page.py writes the page anew"
    assert text.count(HEADING) == 1 and all(f"\n### {kind}\n" in text for kind in table_kinds())


def test_what_stands_above_the_keys_stays_when_the_page_is_made_anew():
    assert keys_page(f"# Mine\n\nA word.\n\n{HEADING}\n\nold").startswith(f"# Mine\n\nA word.\n\n{HEADING}\n\nA circuit is one")


def test_the_page_is_a_link_away():
    readme = (kit_folder("lessons").parent / "README.md").read_text("utf-8")
    assert f"(lessons/{PAGE})" in readme and f"({PAGE})" in (kit_folder("lessons") / "all_lessons.md").read_text("utf-8")


def test_every_line_is_short_enough_for_a_window():
    assert [line for line in keys_text().splitlines() if len(line) > 120] == []


# ------------------------------------------------------------------ keys

@pytest.mark.parametrize("kind", sorted(RECORDS))
def test_every_key_of_a_record_is_told_with_words_and_no_other(kind):
    known = {field.name for field in fields(RECORDS[kind])} - {"name"} | ({"kind"} if kind in KINDS else set()) | (
        {"terminal"} if kind == "rule" else set())
    assert told(kind).keys() == known
    assert all(len(keys.words.split()) > 2 and not re.search(r"\[|:mod:|:func:", keys.words) for keys in file_table(kind).keys)
    assert all(f"`{key}`: {allowed}" in " ".join(keys_text(kind).split()) for key, allowed in told(kind).items())


def test_the_keys_of_the_file_itself_are_those_it_may_begin_with():
    whole = write_text(Arrangement("all", (), [Battery("G1"), Fuse("F1", 5)], note="n", ambient=25.0, frame="plus", not_known=["F1"]))
    assert told("file").keys() == set(re.findall(r"^(\w+) = ", whole.partition("[parts")[0], re.M))


@pytest.mark.parametrize("kind", sorted({*RECORDS} - {"rule", "control"}))
def test_what_is_told_as_allowed_is_taken_and_what_lies_beyond_is_not(kind):
    """Both ends of every range, every word of every choice; a tenth beyond, and a word that is none, are refused."""
    record, tried = RECORDS[kind], 0
    example = {"switch": Switch("S1", "c", {"on": [("1", "2")]}), "wire": Wire("W1", "G1:+", "F1:1"),
               "fuse block": FuseBlock("F5", "10 A, spare")}.get(kind) or record("P1")
    for key, allowed in told(kind).items():
        number = re.match(r"(?:a whole number, )?(-?[\d.e+-]+)(?: to (-?[\d.e+-]+)| \w+ or more)", allowed)
        words = re.findall(r'"(.*?)"', allowed.partition(" unless")[0].rpartition(",")[0]) if " or " in allowed and not number else []
        if number:
            low, high = float(number[1]), float(number[2] or inf)
            kind_of = int if "whole" in allowed else float
            beyond = [low - abs(low) / 10 - (low == 0) - (kind_of is int), high * 1.1 + (kind_of is int)]
            assert all(taken(example, key, kind_of(value)) for value in ([low] if high == inf else [low, high])), key
            assert not any(taken(example, key, kind_of(value)) for value in beyond if value != inf), key
        assert all(taken(example, key, word) for word in words) and not (words and taken(example, key, "none of these")), key
        tried += bool(number or words)
    assert tried >= sum("must" in field.metadata for field in fields(record))


def taken(example, key, value):
    """Tell whether a record takes a value, what it must fit among its others left aside. [yes/no]"""
    try:
        type(example)(**{field.name: getattr(example, field.name) for field in fields(example)} | {key: value})
    except CircuitLabError as error:
        return not re.search(rf"({key}|{key.replace('_', ' ')}) must be (between|\d+ to|.* or )", str(error))
    return True


@pytest.mark.parametrize("kind", [kind for kind in table_kinds() if kind not in ("held", "plan")])
def test_what_must_be_given_must_be(kind):
    """Each line of an example left out: the file is refused for those that are said to be needed, and for no other."""
    table = file_table(kind)
    example, all_keys = table.example.partition("\n\n[")[0], told(kind)
    for line in example.splitlines():
        key = line.partition(" = ")[0]
        if line.startswith("["):
            continue
        without = "\n".join(each for each in example.splitlines() if each != line)
        try:
            reads(_beside(kind, without) if kind in ("file", "wire", "rule") else without)
            assert not all_keys[key].endswith("must be given"), key
        except CircuitLabError:
            assert all_keys[key].endswith("must be given"), key
    assert {key for key, allowed in all_keys.items() if allowed.endswith("must be given")} <= {
        line.partition(" = ")[0] for line in example.splitlines()}


def _beside(kind, table):
    """Return the examples of all kinds in one text, that of one kind as given."""
    return "\n\n".join(table if each == kind else file_table(each).example for each in table_kinds())


def test_a_unit_is_that_of_the_docstring():
    """Where both the range and the docstring have one."""
    for kind, record in KINDS.items():
        text = "".join(parent.__doc__ or "" for parent in record.__mro__)
        for field in fields(record):
            unit = field.metadata.get("must", ("", "", "", ""))[-1]
            if unit in ("V", "A", "W", "ohm", "s", "C"):
                entry = re.search(rf"^ +(?:\w+, )*{field.name}\b.* : .*\n((?: {{8}}.*\n)+)", text, re.M)[1]
                assert f"[{unit}]" in entry, (kind, field.name)


def test_every_colour_letter_of_the_kit_is_told():
    words = next(keys.words for keys in file_table("wire").keys if "colour" in keys.allowed)
    assert re.findall(r"``\"(\w\w)\"``", words) == list(COLOURS)


# ------------------------------------------------------------------ terminals

def everything(kind):
    """Return every terminal that a part of a kind may have: of all its types, with and without what may be built in. [text]"""
    record = KINDS[kind]
    choices = {field.name: field.metadata["must"][1] for field in fields(record) if field.metadata.get("must", ("",))[0] == "must_be_one_of"}
    choices |= {field.name: (False, True) for field in fields(record) if isinstance(field.default, bool)}
    found = set()
    for values in product(*choices.values()):
        try:
            found |= {*record("P1", **dict(zip(choices, values))).terminals}
        except CircuitLabError:     # a pilot on what has no 31
            continue
    return found


@pytest.mark.parametrize("kind", sorted({*KINDS} - {"splice", "chassis", "connector", "switch", "fuse block", "distribution block"}))
def test_every_terminal_is_told_with_what_it_is(kind):
    named = {name for names in file_table(kind).terminals for name in names.split(", ")}
    assert named == everything(kind) and all(file_table(kind).terminals.values())
    assert all(f"`{name}`" in keys_text(kind).partition("Keys:")[0] for name in named)


def test_terminals_that_are_counted_or_named_by_whoever_builds_are_told_so():
    for kind, counts in (("splice", "ways"), ("chassis", "studs")):
        assert [*file_table(kind).terminals] == ["1, 2, 3 and so on"] and KINDS[kind]("X1", **{counts: 4}).terminals == ("1", "2", "3", "4")
    assert [*file_table("connector").terminals] == ["1s, 2s, 3s and so on", "1p, 2p, 3p and so on"]
    assert KINDS["connector"]("X5", "4-flat").terminals == ("1s", "2s", "3s", "4s", "1p", "2p", "3p", "4p")
    assert [*file_table("fuse block").terminals] == ["30, 15, 58, 75", "1, 2, 3 and so on"]
    assert KINDS["fuse block"]("F5", "75: 5 A; 58: spare").terminals == ("75", "58", "1", "2")
    assert [*file_table("distribution block").terminals] == ["1, 2, 3 and so on"] and KINDS["distribution block"]("X1", "31: 3").terminals == ("1", "2", "3")
    (words,) = file_table("switch").terminals.values()
    assert "`closes`" in keys_text("switch").partition("Keys:")[0] and "is a terminal" in words


# ------------------------------------------------------------------ examples

@pytest.mark.parametrize("kind", [kind for kind in table_kinds() if kind not in ("wire", "rule", "held")])
def test_the_example_of_a_kind_is_read_by_the_kit(kind):
    found = reads(_beside(kind, file_table(kind).example) if kind == "file" else file_table(kind).example)
    assert kind not in KINDS or kind in {part.kind for part in found.parts}


def test_all_examples_of_the_page_are_one_file_that_is_read():
    """In the order of the page; it holds every kind of part, and is written again as it stands."""
    blocks = re.findall(r"```toml\n(.*?)\n```", PATH.read_text("utf-8"), re.S)
    found = read_text("\n\n".join(blocks))
    assert len(blocks) == len(table_kinds()) and {part.kind for part in found.listed} == {*KINDS}
    assert found.wires and found.rule and found.held == (("F1", "blown"),) and {line.terminal for line in found.rule} > {""}
    assert all(block.split("\n\n")[0] in write_text(found) for block in blocks)


def test_a_state_that_may_be_held_is_told():
    held = keys_text("held")
    for part in (part for name in ("shared-filament-four-relays", "one-fused-lamp") for part in arrangement(name).parts):
        if len(part.states) > 1:
            assert f"{part.kind}: {', '.join(part.states)}" in " ".join(held.split())


# ------------------------------------------------------------------ the command

def test_the_command_prints_one_kind_or_the_page(capsys):
    assert main(["keys", "relay"]) == 0
    said = capsys.readouterr().out
    assert said == f"{keys_text('relay')}\n" and "`87a`: the break contact" in said and "### fuse" not in said
    assert main(["keys", "LED", "lamp"]) == 0 and "### LED lamp" in capsys.readouterr().out
    assert main(["keys", "led"]) == 0 and "### LED lamp" in capsys.readouterr().out
    assert main(["keys", "RELAY"]) == 0 and main(["keys"]) == 0
    assert keys_text() in capsys.readouterr().out and PATH.read_text("utf-8").endswith(f"{keys_text()}\n")


@pytest.mark.parametrize("typed, meant", [("rely", "relay"), ("fuze", "fuse"), ("wires", "wire")])
def test_a_kind_that_is_none_is_answered_with_what_may_be_meant(capsys, typed, meant):
    assert main(["keys", typed]) == 2
    said = capsys.readouterr().err
    assert f"no kind of table '{typed}'" in said and "It has: file, control, battery" in said and f"'{meant}'" in said.partition("Did you mean")[2]
