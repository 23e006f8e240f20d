"""The command line given wrong words: one sentence on stderr, a stated number, no traceback, no unseen letter."""

import os
import re
import signal
import subprocess
import sys
from contextlib import suppress

import pytest

from circuitlab.commands import class_kit
from circuitlab.commands.line import main
from circuitlab.teaching.hand_out import main as hand_out

CART, EVIL = "one-fused-lamp", "\x1b[31mred\u202e\x07"
DRAW, SHEET = ["draw", CART, "--out"], ["sheet", CART, "--out"]
ROW = ["draw", CART, "--out", "a.svg", "--row"]
CODES = ["class-codes", "--secret", "s", "--lesson", "07", "--out", "c.csv", "--labels"]
SUMMARY = ["class-summary", "class", "--out", "pages"]
TARGETS = ("nonsense", EVIL, "folder.toml", "folder", "binary.toml", "empty.toml", "missing.toml", "", "/",
           "a" * 5000 + ".toml", "." * 300, "file")
WRONG = [
    *([command, target, *more] for command, more in (
        ("prove", ()), ("sheet", ("--out", "o.html")), ("size", ()), ("draw", ("--out", "o.svg")), ("faults", ()),
        ("compare", (CART,))) for target in TARGETS),
    *(["prove", CART, "--rule", rule] for rule in ("nonsense", "folder.toml", "missing.toml", EVIL, ":", "E9: steady", "",
                                                   "a" * 5000)),
    *(["prove", CART, "--sample", sample] for sample in ("0", "-1", "x", "1.5")),
    *(["size", CART, "--table", table] for table in ("nonsense", EVIL)),
    *(["size", CART, "--battery", battery] for battery in ("nan", "-5", "0", "12 V", "x", "1e999", "9" * 5000)),
    *(["faults", CART, "--most", most] for most in ("0", "-3", "x", "9" * 5000)),
    *(["faults", CART, "--kind", kind] for kind in ("x", EVIL, "")), ["faults", CART, "--rule", "zz"],
    *([*DRAW, out] for out in ("a.gif", "none/a.svg", "", ".svg", "x" * 300 + ".svg", "file/a.svg", "folder.svg",
                                 f"none/{EVIL}.svg")),
    *([*ROW, row] for row in ("nonsense", "lamp switch", "lamp switch=", "lamp switch=blue", "x=on", "=",
                              "lamp switch=on,lamp switch=off", EVIL)),
    *([*DRAW, "a.svg", *more] for more in (("--form", "nonsense"), ("--form", EVIL), ("--view", "face"),
                                            ("--readings",), ("--phase", "x"), ("--pins", "Z"), ("--dark", "--light"))),
    *([*SHEET, out] for out in ("a.txt", "none/a.html", "folder", "", "folder.html")),
    *(["board", CART, "--out", out] for out in ("a.txt", "none/a.html", "folder", "", "folder.html")), ["board", CART, "--out", "a.html", "--form", "x"],
    *(["contact-sheet", "--out", out] for out in ("file", "file/x")), ["contact-sheet", "--out", "x", "--kind", "pdf"],
    *(["class-codes", "--lesson", lesson, "--out", "c.csv", "--labels", "labels.txt"]
      for lesson in ("07", "7", "99", EVIL)),
    *([*CODES, labels] for labels in ("folder", "missing", "binary.toml", "twice.txt", "many.txt", "long.txt",
                                      "evil.txt", "blank.txt", "")),
    ["class-codes", "--secret", "", "--lesson", "07", "--labels", "labels.txt", "--out", "c.csv"],
    ["class-codes", "--secret", "s", "--lesson", "07", "--labels", "labels.txt", "--out", "folder"],
    ["class-codes", "--secret", "s", "--lesson", "07", "--labels", "labels.txt", "--out", "folder", "--again"],
    ["class-codes", "--secret", "s", "--lesson", "07", "--labels", "labels.txt", "--out", "file/c.csv"],
    *(["class-summary", folder, "--out", "pages"] for folder in ("missing", "file", "folder", "class", EVIL)),
    *([*SUMMARY, "--codes", codes] for codes in ("large.csv", "labels.txt", "folder", "missing", "binary.toml",
                                                 "no codes.csv", "two codes.csv", "blank.txt", "three.csv")),
    ["class-summary", "class", "--out", "file"], ["class-summary", "class", "--out", "class/pages"],
    [*SUMMARY, "--lesson", "99"], [*SUMMARY, "--key", "pages/key.html"],
    ["nonsense"], [EVIL], ["arrangements", "more"], ["arrangements", f"--{EVIL}"], ["prove"],
    ["draw", CART], ["compare", CART],
]

MANY_SEATS = "".join(f"seat {number}\n" for number in range(100_000))


@pytest.fixture(autouse=True)
def odd_files(tmp_path, monkeypatch):
    """A folder with everything a word may be meant for, and is not."""
    monkeypatch.chdir(tmp_path)
    for folder in ("folder", "folder.toml", "folder.html", "folder.svg", "class/seat 1", f"class/{EVIL}"):
        (tmp_path / folder).mkdir(parents=True)
    for name, content in {
            "file": "x", "empty.toml": "", "labels.txt": "seat 1\nseat 2\n", "twice.txt": "seat 1\n SEAT  1\n",
            "blank.txt": "\n \n", "many.txt": MANY_SEATS, "long.txt": "a" * 361_000,
            "evil.txt": EVIL,
            "large.csv": f"label,lesson,code\n{'a' * 200_000},07,4ECX-QNY4\n", "three.csv": "label,lesson,code\na,07\n",
            "no codes.csv": "label,lesson,code\nseat 1,07,nonsense\n",
            "two codes.csv": "label,lesson,code\nseat 1,07,7K3M-9QXD\nSeat 1,7,8K3M-9QXD\n",
            "class/seat 1/lesson-07.jsonl": "{}\n", f"class/{EVIL}/lesson-07.jsonl": "{}\n"}.items():
        (tmp_path / name).write_text(content, encoding="utf-8")
    (tmp_path / "binary.toml").write_bytes(b"\xff\x00\x80" * 99)


def left(words, capsys):
    """Run a command; return the number it left with, what it printed and what it complained of."""
    try:
        code = main(words)
    except SystemExit as end:       # argparse leaves like this
        code = end.code
    printed = capsys.readouterr()
    return code, printed.out, printed.err


@pytest.mark.parametrize("words", WRONG, ids=lambda words: " ".join(words)[:60].encode("unicode_escape").decode())
def test_wrong_words_get_one_sentence_and_the_number_for_bad_input(words, capsys):
    """Above the sentence argparse prints how the command is used."""
    code, out, err = left(words, capsys)
    said = err.rstrip("\n").split("\n")[-1] if err.startswith("usage:") else err.rstrip("\n")
    assert (code, out) == (2, "")
    if words[0] == "class-summary" and "can be marked" in said:      # a class is told seat by seat
        said = said.replace("\n", " ")
    assert said and said.isprintable() and len(said) < 2500
    assert "Traceback" not in said and "Errno" not in said and "0x" not in said


@pytest.mark.parametrize(("words", "says"), [
    (CODES + ["many.txt"], "'many.txt' holds 100000 lines, a class has at most 2000. Is it the right file?"),
    (CODES + ["long.txt"], "line 1 of 'long.txt' has 361000 letters, a label has at most 60. Shorten it."),
    (CODES + ["evil.txt"],
     r"line 1 of 'evil.txt' holds a letter that is not to be seen: \x1b[31mred\u202e\x07. Give a text file"),
    (CODES + ["twice.txt"],
     "the label 'SEAT  1' stands twice in 'twice.txt', in line 1 and line 2. Give each learner another one."),
    (SUMMARY + ["--codes", "large.csv"], "'large.csv' is not a table of codes. Give one that class-codes wrote, with "
                                         "commas: label, lesson, code. A cell in line 2 is far too long."),
    (SUMMARY + ["--codes", "three.csv"], "label, lesson, code. Line 2 has 2 cells."),
    (SUMMARY + ["--codes", "no codes.csv"], "'no codes.csv', line 2: the code 'nonsense' has a wrong letter in it."),
    (["class-codes", "--lesson", "07", "--out", "c.csv", "--labels", "labels.txt"],
     "the secret of the class is not given, and nobody is here to ask. Give it with --secret WORDS."),
])
def test_tables_of_a_class_are_named_with_line_and_remedy(words, says, capsys):
    """Which file, which line, what to do."""
    assert says in left(words, capsys)[2]


def test_two_codes_for_one_learner_are_not_guessed_between(tmp_path, capsys):
    """The same label in other letters, and a lesson without its zero as a table program leaves it."""
    from circuitlab.teaching import issue_code
    first, second = issue_code("one", "07", "seat 1"), issue_code("two", "07", "seat 1")
    (tmp_path / "codes.csv").write_text(f"label,lesson,code\nseat 1,07,{first}\nSeat  1,7,{second}\n", encoding="utf-8")
    said = left(SUMMARY + ["--codes", "codes.csv"], capsys)[2]
    assert "holds two codes for 'Seat  1' in lesson 07, the second in line 3" in said


def test_a_secret_that_is_not_typed_is_asked_for_again(monkeypatch, capsys):
    """Ctrl+D at the question."""
    def ended(_):
        raise EOFError
    monkeypatch.setattr(class_kit, "getpass", ended)
    monkeypatch.setattr(sys, "stdin", type("Seat", (), {"closed": False, "isatty": lambda self: True})())
    code, _, err = left(["class-codes", "--lesson", "07", "--out", "c.csv", "--labels", "labels.txt"], capsys)
    assert code == 2
    assert err == "no secret was typed. Type the words you keep for this class, or give them with --secret.\n"


@pytest.mark.parametrize(("words", "says"), [
    ([], "hand_out takes the number of a lesson and nbgrader's folder"), (["06"], "hand_out takes"),
    (["06", "a", "b"], "hand_out takes"),
    (["--help"], "hand_out takes"), (["66", "s"], "there is no lesson '66'. The lessons are 00 to 12"),
    (["99", "s"], "there is no lesson '99'. The lessons are"),
    (["06", "file"], "cannot be used for the assignment"),
    ([EVIL, "s"], r"there is no lesson '\x1b[31mred\u202e\x07'"),
])
def test_hand_out_says_what_it_takes(words, says, capsys):
    """Wrong words, a lesson that is not there, a file where a folder is wanted."""
    assert hand_out(words) == 2
    printed = capsys.readouterr()
    assert says in printed.err and printed.out == "" and printed.err.rstrip("\n").isprintable()


def test_a_name_of_a_folder_never_reaches_the_terminal_as_it_is(tmp_path, capsys):
    """A class in which one folder's name holds an escape, a bell and a letter that turns the line round."""
    from circuitlab import Lesson
    lesson = Lesson("01", tmp_path / "class" / "seat 2")
    lesson.record.add("a question", "predicted", answer="x", right=True)
    code, out, err = left(["class-summary", "class", "--out", "pages"], capsys)
    assert code in (1, 2)
    assert re.search(r"31mred.{,12}: (skipped|no answers yet)", out + err)
    assert (out + err).replace("\n", "").isprintable()


def test_a_title_never_reaches_the_terminal_as_it_is(tmp_path, capsys):
    """An arrangement of somebody else's, whose title would clear the screen."""
    from circuitlab.ground.places import kit_folder
    text = (kit_folder("datasets") / "arrangements" / f"{CART}.toml").read_text(encoding="utf-8")
    title = next(line for line in text.split("\n") if line.startswith("title"))
    (tmp_path / "theirs.toml").write_text(text.replace(title, r'title = "one \u001b[2J lamp"'), encoding="utf-8")
    code, out, err = left(["prove", "theirs.toml"], capsys)
    assert (out + err).replace("\n", "").isprintable() and code in (0, 2)
    assert r"\x1b[2J" in out or "U+001B" in err or r"\u001b" in err


@pytest.mark.parametrize(("words", "says"), [
    (["prove", "listed.toml"], "'listed.toml' is a list of changes, not an arrangement. Open it with cl.changes.load_changes;"),
    (["prove", "nb.ipynb"], "'nb.ipynb' is a notebook, not an arrangement. Open it in JupyterLab."),
    (["prove", "drawn.toml"], "'drawn.toml' is a drawing of the kit (SVG), not an arrangement."),
    (["prove", "missing.ipynb"], "'missing.ipynb' cannot be opened: there is no such file."),
    (["prove", "empty.toml"], "'empty.toml' is empty: it is no arrangement."),
    (["contact-sheet", "--out", "file"], "'file' cannot be used for the contact sheet: a file stands there, and it must be a folder."),
    ([*ROW, "lamp", "switch=on"], 'Put what holds a blank in quotes, such as --row "lamp switch=on"')])
def test_a_file_of_another_kind_is_told_for_what_it_is(tmp_path, words, says, capsys):
    """And what is done with such a one."""
    import circuitlab as cl
    cart = cl.arrangement(CART)
    cl.changes.save_changes(cl.Changes(cart).make("blow F1"), "mine.changes")
    (tmp_path / "listed.toml").write_bytes((tmp_path / "mine.changes").read_bytes())
    (tmp_path / "nb.ipynb").write_text('{"cells": []}', encoding="utf-8")
    (tmp_path / "drawn.toml").write_text(cl.draw(cart), encoding="utf-8")
    code, out, err = left(words, capsys)
    assert (code, out) == (2, "") and says in err


def test_what_was_saved_is_found_under_the_name_it_was_saved_under(tmp_path):
    """Without an ending as well; and a file in another encoding is left as it is and told for what it is."""
    import circuitlab as cl
    cart = cl.arrangement(CART)
    cl.save(cart, "mine")
    assert cl.arrangement("mine").parts == cart.parts
    (tmp_path / "wide.toml").write_bytes(cart.write_text().encode("utf-16"))
    with pytest.raises(cl.CircuitLabError, match="is there already and seems to be a text saved as UTF-16: it is left as it is"):
        cl.save(cart, "wide.toml")
    with pytest.raises(cl.CircuitLabError, match="'mine' is an arrangement, not a list of changes. Open it with cl.load."):
        cl.changes.load_changes("mine")


# ------------------------------------------------------------------ streams

def ran(words, **more):
    """Run a command as a process of its own; return (exit code, stderr)."""
    done = subprocess.run([sys.executable, "-m", "circuitlab", *words], text=True, stderr=subprocess.PIPE, timeout=120,
                          **more)
    return done.returncode, done.stderr


@pytest.mark.skipif(os.name == "nt", reason="Windows closes a pipe in another way")
@pytest.mark.parametrize("words", [["--help"], ["prove", "shared-filament-four-relays-hazard"], ["prove", "--help"]])
def test_a_reader_who_has_seen_enough_is_no_error(words):
    """Such as ``| head -1``, in the help as well."""
    reader, writer = os.pipe()
    os.close(reader)
    assert ran(words, stdout=writer) == (0, "")
    os.close(writer)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="only Linux has a disk that is always full")
def test_a_full_disk_behind_the_output_is_said():
    """``prove > table.txt`` where there is no room."""
    with open("/dev/full", "w") as full:
        code, err = ran(["prove", CART], stdout=full)
    assert code == 2 and err == "stopped: No space left on device.\n"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGINT for one process")
def test_ctrl_c_at_the_question_for_the_secret_is_one_sentence():
    """The question is asked at a terminal; nothing is written."""
    ours, theirs = os.openpty()
    words = ["class-codes", "--lesson", "07", "--labels", "labels.txt", "--out", "c.csv"]
    process = subprocess.Popen([sys.executable, "-m", "circuitlab", *words], stdin=theirs, stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE, text=True, start_new_session=True)
    asked = process.stderr.read(len("Class secret: "))
    for _ in range(12):     # a signal that comes just before the read is seen only after it: who waits presses again
        process.send_signal(signal.SIGINT)
        with suppress(subprocess.TimeoutExpired):
            out, err = process.communicate(timeout=5)
            break
    os.close(theirs)
    os.close(ours)
    assert asked == "Class secret: " and process.returncode == 130
    assert err.strip() == "stopped before the end." and out == ""
    assert not os.path.exists("c.csv")
