"""A class handed in by malice and by accident: 24 folders not to be trusted, which must not stop the marking.

Every folder is made by a function that gets its place and a place outside the class, and returns what must be said to
name it: a piece of its name that can be shown, and a piece of what is wrong, or nothing where nothing is wrong with it.
"""

import json
import os
import sys
import zipfile

import circuitlab as cl
from circuitlab.teaching.gathering import lesson_book

LESSON = "00"
MARKER = "marker-written-by-a-script"
SECRET_TEXT = "what lies outside the class"
SCRIPT = '"><script>document.title="owned"</script><img src=x onerror=alert(1)>'
FORMULAS = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", " =1")
NOTEBOOK = {"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [
    {"cell_type": "code", "id": "a", "metadata": {"tags": ["start"]}, "outputs": [], "execution_count": None,
     "source": "open({0!r}, 'w')"}]}


def line(asked, answer, event="predicted", **more):
    """Return a line of a record as the kit writes it."""
    told = {"kit": cl.__version__, "lesson": LESSON, "seed": None, "item": asked, "event": event, "answer": answer,
            "confidence": "sure", "right": None, "at": "2026-01-01T00:00:00+00:00"}
    return json.dumps(told | more, ensure_ascii=False) + "\n"


def right_lines(**more):
    """Return the lines of somebody who is right in everything predicted and observed."""
    return "".join(line(item, question.truth(), question.kind, right=True, **more)
                   for item, question in lesson_book(LESSON).questions.items() if question.kind in ("predicted", "observed"))


def record(place, text=None, name=f"lesson-{LESSON}.jsonl"):
    """Write a record into a folder, made when it is not there."""
    place.mkdir(parents=True, exist_ok=True)
    (place / name).write_bytes(text if isinstance(text, bytes)
                               else (right_lines() if text is None else text).encode("utf-8", "surrogatepass"))
    return place / name


def huge(place, outside):
    with open(record(place), "r+b") as file:
        file.truncate(150_000_000)
    return "far too long"


def many_files(place, outside):
    record(place)
    for number in range(1000):
        (place / f"lesson-{LESSON} ({number}).jsonl").touch()
    return "not the record"


def deep(place, outside):
    inner = place
    inner.mkdir()
    for _ in range(60):
        inner = inner / "answers"
    inner.mkdir(parents=True)
    record(inner)
    return "no answer"


def linked_folder(place, outside):
    record(outside / "theirs", right_lines(item=SECRET_TEXT))
    place.symlink_to(outside / "theirs", target_is_directory=True)
    return "link"


def linked_record(place, outside):
    place.mkdir()
    (place / f"lesson-{LESSON}.jsonl").symlink_to(record(outside / "second", right_lines(item=SECRET_TEXT)))
    return "link"


def linked_answers(place, outside):
    record(outside / "third", right_lines(item=SECRET_TEXT))
    place.mkdir()
    (place / "answers").symlink_to(outside / "third", target_is_directory=True)
    return "link"


def dangling(place, outside):
    place.mkdir()
    (place / f"lesson-{LESSON}.jsonl").symlink_to(place / f"lesson-{LESSON}.jsonl")
    return "link"


def pipe(place, outside):
    place.mkdir()
    os.mkfifo(place / f"lesson-{LESSON}.jsonl")
    return "a pipe"


def folder_for_record(place, outside):
    record(place / f"lesson-{LESSON}.jsonl")
    return "a folder"


def notebook(place, outside):
    text = json.dumps(NOTEBOOK).replace("{0!r}", repr(str(outside / MARKER)).replace('"', "'"))
    record(place, text, "00_start_here.ipynb")
    record(place, f"open({str(outside / MARKER)!r}, 'w')\n", "sitecustomize.py")
    record(place, text.replace("\n", " "))
    return "not written by the kit"


def scripts(place, outside):
    record(place, right_lines() + line(SCRIPT, SCRIPT) + line("before-switch", SCRIPT) + line("exit", SCRIPT, "noted")
           + line("exit", SCRIPT, "noted", lesson=SCRIPT) + line("across-open", SCRIPT, kit=SCRIPT)
           + line("open-switch-volts", SCRIPT, "tried", seed=1, reason=SCRIPT))
    record(place, "", f"lesson-{SCRIPT.replace('/', '')}.jsonl")
    return "no such question"


def formulas(place, outside):
    record(place, right_lines() + "".join(line(each, each) + line("before-switch", each) + line("exit", each, "noted")
                                          for each in FORMULAS))
    for each in FORMULAS[:4]:
        record(place, "", f"{each}.jsonl")
    return "no such question"


def odd_values(place, outside):
    deep_list = "[" * 100_000 + "]" * 100_000
    odd = [deep_list, "1" * 5000, "NaN", "-Infinity", "1e999", '"\\ud800"', "{}", "[]", "null",
           '"' + "x" * 100_000 + '"']
    lines = [line("before-switch", "ANSWER").replace('"ANSWER"', each) for each in odd]
    record(place, "".join([*lines,
                           *(line("open-switch-volts", "V", "tried", seed=0).replace('"V"', each) for each in odd)]))
    return "cut off or edited by hand"


def many_lines(place, outside):
    record(place, right_lines() + "{}\nx\n" * 30_000)
    return "not written by the kit"


def zipped(place, outside):
    place.mkdir()
    with zipfile.ZipFile(place / f"lesson-{LESSON}.jsonl", "w") as packed:
        packed.writestr(f"../../{MARKER}", "x" * 1000)
    return "cut off or edited by hand"


def plain(text, said, **more):
    """Return what makes a folder with one record of a text."""
    def make(place, outside):
        record(place, text() if callable(text) else text, **more)
        return said
    return make


FOLDERS = {  # name of the folder: what makes it
    "a bell\x07and \x1b[31mred": plain(None, ""), "first\nsecond half": plain(None, ""),
    "turned \u202etxt.exe": plain(None, ""),
    SCRIPT.replace("/", ""): scripts, "=cmd|' !A0": formulas, "@SUM(A1) {0} %s": plain(None, ""),
           "\t=1": plain(None, ""),
    "n" * 250: plain(None, ""), "huge": huge, "many files": many_files, "deep": deep, "linked folder": linked_folder,
    "linked record": linked_record, "linked answers": linked_answers, "dangling": dangling, "pipe": pipe,
    "a folder for a record": folder_for_record, "notebook": notebook, "odd values": odd_values,
    "many lines": many_lines,
    "zipped.zip": zipped, "other kit": plain(lambda: right_lines(kit="9.9.9"), "of kit 9.9.9"),
    "other lesson": plain(lambda: right_lines(lesson="07"), "an answer to another lesson"),
    "wide letters": plain(lambda: right_lines().encode("utf-16"), ""),
}


def make_class(folder, outside):
    """Make the class with two sound seats around the hostile folders; return what each must be called in, by folder."""
    outside.mkdir()
    said = {}
    record(folder / "seat 1" / "answers")
    for name, make in FOLDERS.items():
        said[name] = make(folder / name, outside)
    record(folder / "zz seat 2")
    return said


CAN = sys.platform != "win32"       # names and links such as these cannot be made there
