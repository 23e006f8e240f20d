"""The record under attack: writers killed, two kernels on one file with a failing disk, records spoiled by chance.

Whatever was acknowledged is there, once; whatever is left of the file is read; no lesson and no marking stops.
"""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections import Counter
from random import Random

import every_kind
import ipywidgets
import pytest
from attack.mutating_records import mutated
from every_kind import NUMBER, opened, worked_through
from hands import refusal
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitlab.benches.record import Record
from circuitlab.teaching import class_marking
from circuitlab.teaching.record_lines import MOST_LETTERS

KEEP_ADDING = """
import os, random, sys
from circuitlab.benches.record import Record
for line in sys.stdin:                  # one writer for each line, a process of its own
    writer = os.fork()
    if not writer:
        record, chance = Record("11", sys.argv[1], "9"), random.Random(int(line))
        os.write(1, f"{os.getpid()}\\n".encode())
        for number in range(10 ** 6):
            letters = "x" * chance.choice((0, 0, 0, 10, 10, 10, 1000, 1000, 70_000, 700_000))
            record.add("q", "noted", answer=f"w{int(line)} {number} {letters}")
            os.write(1, f"{number}\\n".encode())
    os.waitpid(writer, 0)
    os.write(1, b"dead\\n")
"""
ADD_ON_A_BAD_DISK = """
import os, random, resource, signal, sys, time
from circuitlab.benches.record import Record
from circuitlab.ground.errors import FileError
folder, name, seed, count = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
record, chance = Record("11", folder, "9"), random.Random(seed)
if "no locks" in name:
    from circuitlab.ground import appending
    appending.fcntl = appending.msvcrt = None
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
real, failed = os.fsync, 0
def fsync(file):
    if chance.random() < 0.1:
        time.sleep(0.002)               # so that the other one writes in between
        raise OSError(28, "No space left on device")
    real(file)
bad = seed % 2
if bad:
    os.fsync = fsync
for number in range(count + 1):
    last = number == count
    try:
        if bad and not last and chance.random() < 0.3:      # a disk that is full after some letters of the line
            there = record.path.stat().st_size if record.path.exists() else 0
            resource.setrlimit(resource.RLIMIT_FSIZE, (there + chance.randrange(1, 150), -1))
        if last:
            os.fsync = real
        record.add("q", "noted", answer=f"{name} {number}")
    except FileError:
        failed += 1
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (-1, -1))
print(failed)
"""


def start(code, *words):
    """Start a writer in a process of its own."""
    return subprocess.Popen([sys.executable, "-c", code, *map(str, words)], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                            text=True)


def answers(folder):
    """Return the answers in a record, as they are read by the kit."""
    return [event["answer"] for event in Record("11", folder, "9").events()]


# ------------------------------------------------------------------ writers

def kill_writers(folder, kills, counts):
    """Kill one writer after the other at moments drawn by chance; look at the record each time.

    On a fast disk a hundred writers fill a record, which then takes nothing more: it is moved away long before, as
    a learner is told to.
    """
    kept, writers, path = Counter(), start(KEEP_ADDING, folder), Record("11", folder).path
    begun = 0
    for seed in range(kills):
        if path.exists() and path.stat().st_size > MOST_LETTERS / 2:
            path.rename(path.with_suffix(f".{seed}"))
            kept, begun = Counter(), seed
        writers.stdin.write(f"{seed}\n")
        writers.stdin.flush()
        writer = int(writers.stdout.readline())
        time.sleep(Random(seed).uniform(0, 0.12))
        os.kill(writer, signal.SIGKILL)
        told = [int(line) for line in iter(writers.stdout.readline, "dead\n")]
        there = Counter(" ".join(answer.split()[:2]) for answer in answers(folder))
        assert not kept - there, "a line of an earlier writer is gone"
        for number in told:
            assert there[f"w{seed} {number}"] == 1, (seed, number)
        assert max(there.values(), default=1) == 1
        counts.tried, counts.held, kept = counts.tried + len(told), counts.held + len(told), there
        lines = [line for line in (path.read_bytes() if path.exists() else b"").split(b"\n") if line]
        cut = [line for line in lines if not line.endswith(b"}")]
        assert len(cut) <= seed + 1 - begun and len(answers(folder)) == len(lines) - len(cut)
    writers.communicate()


@pytest.mark.skipif(os.name != "posix", reason="kills as POSIX does")
def test_a_killed_writer_loses_nothing_it_had_acknowledged(tmp_path, counts):
    """Five writers, one after the other on one record."""
    kill_writers(tmp_path, 5, counts)


@pytest.mark.full
@pytest.mark.skipif(os.name != "posix", reason="kills as POSIX does")
def test_a_hundred_killed_writers_lose_nothing_they_had_acknowledged(tmp_path, counts):
    """Each at a moment of its own."""
    kill_writers(tmp_path, 100, counts)


@pytest.mark.in_turn(2)
@pytest.mark.skipif(os.name != "posix", reason="limits a file's size as POSIX does")
@pytest.mark.parametrize("name", ["with locks", "no locks"])
def test_two_kernels_on_one_record_lose_nothing_though_one_has_a_bad_disk(tmp_path, counts, name):
    """200 answers of each; a third of one's writes break off in the middle of a line, a tenth fail behind it."""
    count = 200
    good, bad = (start(ADD_ON_A_BAD_DISK, tmp_path, f"{name} {who}", seed, count) for who, seed in (("good", 2), ("bad", 3)))
    failed = [int(each.communicate()[0]) for each in (good, bad)]
    assert failed[0] == 0 < 40 < failed[1]
    found = answers(tmp_path)
    for who in ("good", "bad"):
        assert [answer for answer in found if who in answer] == [f"{name} {who} {number}" for number in range(count + 1)]
    assert len(found) == 2 * (count + 1)
    if name == "with locks":
        assert Record("11", tmp_path).trouble() == ""
    counts.tried, counts.refused, counts.held = len(found) + failed[1], failed[1], len(found)


# ------------------------------------------------------------------ what is written is read

LETTERS = st.one_of(st.characters(), st.integers(0, 0x10FFFF).map(chr), st.integers(0xD800, 0xDFFF).map(chr),
                    st.sampled_from("\n\r\0\x85\u2028\ufeff\ufffe\"\\{}"))
TEXT = st.text(LETTERS, max_size=30)
PLAIN = st.one_of(st.none(), st.booleans(), st.integers(-2 ** 53, 2 ** 53), st.floats(allow_nan=False, allow_infinity=False), TEXT)
ANSWERS = st.one_of(PLAIN, st.lists(PLAIN, max_size=4), st.dictionaries(TEXT, PLAIN | st.lists(PLAIN, max_size=3), max_size=3))


def whole(value):
    """Return a value with whole characters only: two halves that belong together are one, a half alone is U+FFFD."""
    if isinstance(value, str):
        joined = re.sub("([\ud800-\udbff])([\udc00-\udfff])", lambda pair: chr(
            0x10000 + (ord(pair[1]) - 0xD800) * 0x400 + ord(pair[2]) - 0xDC00), value)
        return re.sub("[\ud800-\udfff]", "\N{REPLACEMENT CHARACTER}", joined)
    if isinstance(value, dict):
        return {whole(key): whole(each) for key, each in value.items()}
    return [whole(each) for each in value] if isinstance(value, list) else value


@settings(deadline=None, max_examples=200)
@given(st.lists(st.fixed_dictionaries({"item": TEXT, "answer": ANSWERS, "reason": st.none() | TEXT, "confidence": st.none() | TEXT,
                                       "seed": st.none() | st.integers(0, 2 ** 33), "right": st.none() | st.booleans()}), min_size=1,
                max_size=3))
def test_every_event_that_can_be_written_is_read_back_equal(tmp_path_factory, events):
    """Any text, halves of characters as the sign for a lost one; from the file, and before it could be written."""
    folder = tmp_path_factory.mktemp("record")
    kinds = ("predicted", "observed", "noted", "tried", "helped", "renewed", "held", "checked", "read")
    record = Record("11", folder, "9")
    for number, event in enumerate(events):
        record.add(event=kinds[number % len(kinds)], **event)
    read = Record("11", folder).events()
    assert [{key: each[key] for key in event} for each, event in zip(read, events)] == [whole(event) for event in events]
    assert Record("11", folder).trouble() == "" and len(read) == len(events)


# ------------------------------------------------------------------ spoiled records

@pytest.fixture
def class_of_one(tmp_path, monkeypatch):
    """A folder for a class of one seat, marked by the questions of the small lesson; widgets without a browser to send to."""
    monkeypatch.setattr(class_marking, "lesson_book", every_kind.gathered)
    monkeypatch.setattr(ipywidgets.Widget, "open", lambda widget: None)
    (tmp_path / "class" / "seat 1").mkdir(parents=True)
    return tmp_path / "class"


def attack(folder, seeds, counts, capsys):
    """Spoil a whole record, open the lesson on it, answer once more, mark the class."""
    place = folder / "seat 1"
    record = worked_through(place)
    path = place / f"lesson-{NUMBER}.jsonl"
    for seed in seeds:
        spoilt = mutated(record, seed)
        path.write_bytes(spoilt)
        trouble = Record(NUMBER, place).trouble()
        capsys.readouterr()
        lesson, _ = opened(place)
        told = capsys.readouterr().out
        assert told.strip() == trouble and told.count("cannot be") <= 1, seed
        for item, question in lesson.questions.items():
            assert "Cannot do that" not in refusal(question), (seed, item, refusal(question))
        assert not untouched(record, spoilt) - Counter(json.dumps(event) for event in lesson.record.events()), seed
        lesson.answer("exit", f"one more, {seed}")
        assert lesson.record.events()[-1]["answer"] == f"one more, {seed}", seed
        (student,) = class_marking.class_summary(folder).students
        assert student.marks[NUMBER, "exit"].word == "kept", seed
        assert path.read_bytes().startswith(spoilt), f"{seed}: something was cut off"
        counts.tried += 1
        counts.refused += bool(told)
        counts.held += not told


def untouched(record, spoilt):
    """Return the events of the lines of a record that stand in a spoilt one as they were."""
    here = Counter(line.rstrip(b"\r").removeprefix(b"\xef\xbb\xbf") for line in spoilt.split(b"\n"))
    return Counter(json.dumps(json.loads(line)) for line in here.elements() if line in set(record.split(b"\n")) - {b""})


def test_no_spoilt_record_stops_a_lesson_or_the_marking(class_of_one, counts, capsys):
    """60 of them, every kind of question."""
    attack(class_of_one, range(30), counts, capsys)


@pytest.mark.full
def test_thousands_of_spoilt_records_stop_neither_lesson_nor_marking(class_of_one, counts, capsys):
    """Other ones."""
    attack(class_of_one, range(30, 3060), counts, capsys)
