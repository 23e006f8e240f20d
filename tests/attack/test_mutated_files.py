"""10,000 spoiled files of every kind the kit reads: each holds what it promises, or is refused in a sentence.

Learners' records are attacked apart. A file that is read must give the same again when written, a lamp table, an
operating point, words, and in a sample both drawings; a file that is refused is named, in one line a person can read.
"""

import csv
from functools import cache
from io import StringIO
from math import isfinite

import pytest

import circuitlab as cl
from circuitlab.arrangements import arrangement, arrangement_names
from circuitlab.arrangements.text import read_text, write_text
from circuitlab.commands.line import main
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning import prove, rule, rule_names
from circuitlab.teaching import issue_code
from circuitlab.views.tables import lamp_table_text, settled_status

from attack.hostile_class import record
from attack.judging import Tries, nans_in, picture_faults, table_of
from attack.mutating import mutated
from random_arrangements import random_arrangement

TRIES = {"arrangement": 5000, "rule": 2200, "change list": 1400, "code list": 700, "label list": 700}
PLAIN = 0.015           # share that the plain test command tries; the long run tries the rest
DRAWN = 50              # one spoiled arrangement that is read in so many is drawn
ENDING = {"arrangement": "toml", "rule": "toml", "change list": "txt", "code list": "csv", "label list": "txt"}

CHANGES = """
a lost ground:
  lose {wire}
  corrode {wire} 0.8 ohm
set F1 rating 3 A
add part E7 lamp, watts 5 W, place "rear left"
add wire W60 from F1:2 to E7:1 RD 0.5 m 1 mm2
add wire W61 from E7:2 to G1:- BK 50 cm 18 AWG
add control "dome lamp": off, on
add part S9 switch, control "dome lamp", closes "on: 1-2"
swap S9:1 and S9:2
move W60 to S9:1
blow E7
short E7:1 to chassis
replace E1 by LED lamp, watts 3 W
hold S9 on
lift F1:2
remove W60
end of changes
"""
JOINTS = {"one-fused-lamp": "W4 at X1:1", "combined-turn-stop-lever": "W1 at G1:+",
          "shared-filament-four-relays": "W1 at G1:+"}


@cache
def originals(kind):
    """Return sound texts of one kind."""
    if kind == "arrangement":
        small = ["one-fused-lamp", "relay-test-board", "combined-turn-stop-lever"]
        whole = [write_text(arrangement(name)) for name in [*small * 5, *arrangement_names()]]
        return whole + [write_text(random_arrangement(seed, 4, 12)) for seed in range(20)]
    if kind == "rule":
        return [(kit_folder("datasets") / "rules" / f"{name}.toml").read_text(encoding="utf-8")
                for name in rule_names()]
    if kind == "change list":
        return [f"changes to {name}{CHANGES.format(wire=wire)}" for name, wire in JOINTS.items()]
    labels = [f"seat {number}" for number in range(1, 25)] + ["Zo\N{LATIN SMALL LETTER E WITH DIAERESIS}",
                                                              '"quoted, with comma"', "-7"]
    if kind == "label list":
        return ["\n".join(labels[:count]) + "\n" for count in (3, 12, 27)]
    lines = [f"{label},00,{issue_code('invented', '00', label)}" for label in labels[:25]]
    return ["\n".join(["label,lesson,code", *lines[:count], f"end of the table,00,{min(count, len(lines))} codes"]) + "\n" for count in (2, 25)]


# ------------------------------------------------------------------ what a file that is read must hold

def whole(made, is_drawn):
    """Return what a loaded arrangement breaks: written and read the same, a table, a point, words, drawings."""
    broken = []
    text = write_text(made)
    if read_text(text, made.name) != made or write_text(read_text(text, made.name)) != text:
        broken.append("written and read again it is another arrangement")
    point = cl.operating_point(made)
    results = [point.states, *([point.volts(terminal) for terminal in made.terminals] if point.is_settled else [])]
    results += [point.current(wire.name) for wire in made.wires] if point.is_settled else []
    table = table_of(made)
    if table:
        results.append(table.rows)
        lamp_table_text(table)
    broken += [f"NaN in{where}" for where in nans_in(results)]
    said = settled_status(point) if point.is_settled else point.sentence
    if not said.strip():
        broken.append("nothing is said of it")
    if is_drawn:
        for picture in (cl.draw(made, point), cl.draw_attached(made, point)):
            broken += picture_faults(picture)
        broken += [] if made.describe(point).strip() and made.describe_attached(point).strip() else ["no words"]
    return broken


def use_rule(asked, seed):
    """A rule that is read is put on an arrangement and proved in a few rows, or does not fit it."""
    broken = [f"NaN in the rule{where}" for where in nans_in([asked.limits])]
    small = arrangement("combined-turn-stop-lever" if seed % 2 else "flashing-line-only")
    proof = prove(small, asked, sample=2, timing=seed % 10 == 0)
    return broken + [f"NaN in the proof{where}" for where in nans_in([proof.failures])]


def use_changes(made, seed, folder):
    """A list that is read says itself so that it is read the same again, and what it makes is whole."""
    cl.changes.save_changes(made, folder / "again.txt")
    again = cl.changes.load_changes(folder / "again.txt")
    is_same = again.sentences == made.sentences and again.after == made.after
    broken = [] if is_same else ["saved and read again it is another list"]
    return broken + whole(made.after, is_drawn=seed % DRAWN == 0)


def summarise(path, folder, capsys):
    """Let the command take a table of codes for a class of one; it says in one line what is wrong with the table."""
    record(folder / "class" / "seat 4")
    ended = main(["class-summary", str(folder / "class"), "--codes", str(path), "--out", str(folder / "pages"),
                  "--again"])
    said = capsys.readouterr()
    if ended == 2:
        raise cl.CircuitLabError(said.err.removesuffix("\n"))
    return said.out


def use_summary(said):
    """The class is marked, by the codes there are."""
    return [] if "1 seat with answers" in said else [f"nobody is marked: {said!r}"]


def issue(path, out, capsys):
    """Issue codes through the command, which says in one line what is wrong with the labels."""
    out.unlink(missing_ok=True)
    ended = main(["class-codes", "--secret", "invented", "--lesson", "11", "--labels", str(path), "--out", str(out)])
    said = capsys.readouterr().err
    if ended:
        raise cl.CircuitLabError(said.removesuffix("\n"))
    return out


def is_number(cell):
    """Tell whether a cell is a plain number, which a table program takes for one and for nothing else."""
    try:
        return isfinite(float(cell.replace(",", ".")))
    except ValueError:
        return False


def use_issued(out):
    """A code for each label, none that a table program takes for a formula, the same when read back."""
    rows = list(csv.reader(StringIO(out.read_bytes().decode("utf-8-sig"), newline="")))
    broken = [f"a formula: {row!r}" for row in rows for cell in row if cell[:1] in ("=", "+", "-", "@", "\t", "\r")
              and not is_number(cell)]
    return broken + ([] if {len(row) for row in rows} == {3} and len(rows) > 1 else ["the table is not whole"])


def attack(kind, seeds, folder, counts, capsys):
    """Spoil, write and try one file for each seed; fail with what broke."""
    path, out = folder / f"spoiled.{ENDING[kind]}", folder / "codes.csv"
    read, use = {"arrangement": (lambda: cl.load(path), lambda made: whole(made, is_drawn=seed % DRAWN == 0)),
                 "rule": (lambda: rule(str(path)), lambda asked: use_rule(asked, seed)),
                 "change list": (lambda: cl.changes.load_changes(path), lambda made: use_changes(made, seed, folder)),
                 "code list": (lambda: summarise(path, folder, capsys), use_summary),
                 "label list": (lambda: issue(path, out, capsys), use_issued)}[kind]
    texts, tries = originals(kind), Tries(counts)
    for seed in seeds:
        path.write_bytes(mutated(texts[seed % len(texts)], seed))
        tries.make(f"seed {seed}", read, use, path.name)
    tries.check()


@pytest.mark.parametrize("kind", TRIES)
def test_a_spoiled_file_is_held_or_refused_in_a_sentence(kind, tmp_path, counts, capsys):
    """The first part of each kind."""
    attack(kind, range(int(TRIES[kind] * PLAIN)), tmp_path, counts, capsys)


@pytest.mark.full
@pytest.mark.parametrize("kind", TRIES)
def test_thousands_of_spoiled_files_are_held_or_refused_in_a_sentence(kind, tmp_path, counts, capsys):
    """The rest of each kind."""
    attack(kind, range(int(TRIES[kind] * PLAIN), TRIES[kind]), tmp_path, counts, capsys)


def test_most_spoilings_leave_a_file_that_is_looked_into():
    """The attack is worth something only if it comes past the first line: of every kind some are read, some are not."""
    assert sum(TRIES.values()) == 10_000
    read = {True: 0, False: 0}
    for seed in range(200):
        try:
            read_text(mutated(originals("arrangement")[seed % 40], seed).decode("utf-8"))
            read[True] += 1
        except (cl.CircuitLabError, UnicodeDecodeError):
            read[False] += 1
    assert min(read.values()) > 40, read


@pytest.mark.parametrize("name", JOINTS)
def test_the_unspoiled_list_of_changes_is_sound(name, tmp_path):
    """Else nothing behind its first bad line would be tried."""
    (tmp_path / "sound.txt").write_text(f"changes to {name}{CHANGES.format(wire=JOINTS[name])}", encoding="utf-8")
    assert len(cl.changes.load_changes(tmp_path / "sound.txt").entries) == CHANGES.count("\n") - 4
