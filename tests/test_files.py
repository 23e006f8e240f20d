"""A person's files: whatever they hold gets read or a sentence, and saving destroys none of them."""

import builtins
import errno
import os
import random
import shutil
import stat
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

import circuitlab as cl
from circuitlab.arrangements import text as arrangement_text
from circuitlab.arrangements.history import HEADING as CHANGES_HEADING
from circuitlab.commands.line import main
from circuitlab.ground import files, saving
from circuitlab.ground.errors import CircuitLabError, FileError
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning.rules import rule
from circuitlab.teaching.hand_out import hand_out

LAMP = cl.arrangement("one-fused-lamp")
OTHER = cl.changed(LAMP, cl.SetValue("F1", "rating", 3.0))
NOTEBOOK = b'{\n "cells": [],\n "metadata": {},\n "nbformat": 4,\n "nbformat_minor": 5\n}\n'
RECORD = b'{"kit": "0.1.0", "lesson": "07", "seed": null, "item": "predict", "event": "predicted"}\n'
POSIX = pytest.mark.skipif(os.name != "posix", reason="no pipes, rights or limits of this kind here")


# ------------------------------------------------------------------ reading

def issued(path, out):
    """Issue codes from a file of labels and return the table."""
    words = ["class-codes", "--secret", "plums", "--lesson", "07", "--labels", str(path), "--out", str(out), "--again"]
    if main(words):
        raise FileError("refused")
    return out.read_bytes()


def codes_of(path, out):
    """Return the codes in a table, as the class summary reads them."""
    from circuitlab.commands.class_tables import codes_in

    return codes_in(files.read(path), path)


READERS = {     # by the file's name: what it holds, and how it is read
    "cart.toml": (arrangement_text.write_text(LAMP), lambda path, _: cl.load(path)),
    "rule.toml": ('format = 1\ntitle = "mine"\nsentences = ["E1: steady when lamp switch on"]\n', lambda path, _: rule(path)),
    "cart.changes": ('changes to one-fused-lamp\nbroken:\n  blow F1\nset W1 note "a, b"\nend of changes\n',
                     lambda path, _: cl.changes.load_changes(path).sentences),
    "labels.txt": ("seat 1\nseat 2, by the window\n", issued),
    "codes.csv": ('label,lesson,code\nseat 1,07,61H5-00NN\n"seat 2, left",07,H36T-H2N9\nend of the table,07,2 codes\n', codes_of),
}


@pytest.fixture(params=READERS)
def reader(request, tmp_path, capsys):
    """A file, what it holds as text, and what its reader makes of bytes put there; a command's error is raised as well."""
    (text, read), path = READERS[request.param], tmp_path / request.param

    def reading(data):
        path.write_bytes(data)
        try:
            return read(path, tmp_path / "out.csv")
        except FileError as error:
            said = str(error) if str(error) != "refused" else capsys.readouterr().err
            raise FileError(said) from None
    return text, reading


@pytest.mark.parametrize("marked", [False, True])
@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
def test_a_mark_at_the_start_and_any_line_ends_are_read(reader, marked, end):
    text, reading = reader
    plain = reading(text.encode())
    assert reading((b"\xef\xbb\xbf" if marked else b"") + text.replace("\n", end).encode()) == plain


@pytest.mark.parametrize("encoding, mark", [("utf-16-le", b"\xff\xfe"), ("utf-16-be", b"\xfe\xff"), ("utf-16-le", b""),
                                            ("utf-16-be", b"")])
def test_utf_16_is_named_as_what_it_is(reader, encoding, mark):
    text, reading = reader
    with pytest.raises(FileError, match=r"is saved as UTF-16\. Save it as UTF-8"):
        reading(mark + text.encode(encoding))


def test_a_letter_of_another_encoding_is_found_by_its_line(reader):
    """As an older editor saves it; the kit's own heading above it or not."""
    text, reading = reader
    lines = text.count("\n")
    with pytest.raises(FileError, match=f"is not saved as UTF-8: line {lines + 1} holds a letter of another encoding"):
        reading(text.replace("\n", "\r\n").encode() + "# dr\xfccken".encode("latin-1"))


@pytest.mark.parametrize("data, words", [
    (bytes(range(256)) * 4, "is not a readable text file, it holds NUL bytes"),
    (b"format = 1\n\0\0title", "is not a readable text file, it holds NUL bytes"),
    (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "it seems to be a picture"), (b"PK\x03\x04\x14\0", "it seems to be a packed file"),
    (b"\x01\x02\xff\xf0" * 9, "a file of another kind"),
    ("title\n".encode("utf-32"), "is saved as UTF-32")])
def test_what_is_no_text_gets_a_sentence(reader, data, words):
    with pytest.raises(FileError, match=words):
        reader[1](data)


def places(tmp_path):
    """Places that are no file to be read, with what is said of them."""
    (tmp_path / "folder.toml").mkdir()
    yield tmp_path / "folder.toml", "it is a folder, not a file"
    yield tmp_path / "none.toml", "there is no such file"
    yield tmp_path / "none" / "a.toml", "there is no such file"
    yield str(tmp_path / "a\0b.toml"), r"'a\\x00b.toml' cannot be opened: no file can have this name"
    yield tmp_path / f"{'n' * 300}.toml", "n…n+.toml' cannot be opened: its name is too long"
    if os.name == "posix":
        os.mkfifo(tmp_path / "pipe.toml")
        yield tmp_path / "pipe.toml", "it is a device or a pipe, not a file"
        (tmp_path / "null.toml").symlink_to("/dev/zero")
        yield tmp_path / "null.toml", "it is a device or a pipe, not a file"
        (tmp_path / "round.toml").symlink_to("round.toml")
        yield tmp_path / "round.toml", "leads back to itself"


@pytest.mark.parametrize("read", [cl.load, rule, cl.changes.load_changes], ids=["arrangement", "rule", "changes"])
def test_what_is_no_file_gets_a_sentence(read, tmp_path):
    """A pipe that nobody writes into would otherwise be waited for."""
    for path, words in places(tmp_path):
        with pytest.raises(FileError, match=words):
            read(path)
    with pytest.raises(CircuitLabError, match="'path' must be the name of a file, not the number 7"):
        cl.load(7)


def test_a_file_one_may_not_read_gets_a_sentence(tmp_path, monkeypatch):
    (tmp_path / "locked.toml").write_text("format = 1")

    def refused(*given, **named):
        raise PermissionError(errno.EACCES, "Permission denied")
    monkeypatch.setattr(files, "open", refused, raising=False)
    with pytest.raises(FileError, match="'locked.toml' cannot be opened: you may not read it"):
        cl.load(tmp_path / "locked.toml")


def test_a_file_far_too_large_is_refused_before_it_is_read(reader, tmp_path, monkeypatch):
    text, reading = reader
    real = builtins.open

    def watched(path, *given, **named):
        assert Path(path).stat().st_size <= files.MOST_BYTES, "it was opened"
        return real(path, *given, **named)
    monkeypatch.setattr(files, "open", watched, raising=False)
    with pytest.raises(FileError, match="it holds more than 5 MB, the most that is read"):
        reading(text.encode() + b" " * files.MOST_BYTES)


# ------------------------------------------------------------------ what a list of changes may name

@pytest.mark.parametrize("name", ["a/b", "../secret", "..", ".", "a\\b", "C:cart", "x" * 300, "/etc/passwd", "a\0b", ""])
def test_a_list_of_changes_names_no_other_folder(tmp_path, name):
    folder = tmp_path / "mine"
    folder.mkdir()
    cl.save(LAMP, tmp_path / "secret.toml")
    (folder / "bad.changes").write_text(f"changes to {name}\nblow F1\n", encoding="utf-8")
    with pytest.raises(FileError) as told:
        cl.changes.load_changes(folder / "bad.changes")
    assert "is not the name of an arrangement" in str(told.value) or "\0" in name and "NUL bytes" in str(told.value)
    assert len(str(told.value)) < 300 and "\n" not in str(told.value)


@pytest.mark.parametrize("name", ["a:b", "n" * 201, "cart.toml", " cart"])
def test_a_list_is_not_saved_that_could_not_find_its_arrangement(tmp_path, name):
    with pytest.raises(FileError, match="a list of changes cannot name an arrangement"):
        cl.changes.save_changes(cl.Changes(replace(LAMP, name=name)).make("blow F1"), tmp_path / "a.changes")
    assert not list(tmp_path.iterdir())


def test_a_list_of_changes_reads_nothing_outside_its_folder(tmp_path, monkeypatch):
    """Neither where the kit was started, nor through a link; with its ending, a name in the same folder is meant."""
    (tmp_path / "mine").mkdir()
    cl.save(LAMP, tmp_path / "secret.toml")
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "mine" / "a.changes"
    path.write_text("changes to secret.toml\nblow F1\nend of changes\n", encoding="utf-8")
    with pytest.raises(CircuitLabError, match="the kit has no arrangement 'secret'"):
        cl.changes.load_changes(path)
    if os.name == "posix":
        (tmp_path / "mine" / "secret.toml").symlink_to(tmp_path / "secret.toml")
        with pytest.raises(FileError, match="line 1: 'secret.toml' is a link to another folder"):
            cl.changes.load_changes(path)
        (tmp_path / "mine" / "secret.toml").unlink()
    cl.save(OTHER, tmp_path / "mine" / "secret.toml")
    assert cl.changes.load_changes(path).before.part("F1").rating == 3.0


# ------------------------------------------------------------------ saving: what may be replaced

def commanded(*words):
    """Run a command; its refusal is raised."""
    def act(path, first):
        if main([word.format(path=path, name="one-fused-lamp" if first else "relay-test-board") for word in words]):
            raise FileError("refused")
    return act


SAVERS = {      # by the file's name: what saves one thing or another there
    "cart.toml": lambda path, first: cl.save(LAMP if first else OTHER, path),
    "cart.changes": lambda path, first: cl.changes.save_changes(cl.Changes(LAMP).make("blow F1" if first else "lose W2 at S1:1"), path),
    "cart.svg": lambda path, first: cl.save_picture(LAMP if first else OTHER, path),
    "cart.png": lambda path, first: cl.save_picture(LAMP if first else OTHER, path),
    "cart.pdf": lambda path, first: cl.save_picture(LAMP if first else OTHER, path, form="attached"),
    "pages.svg": lambda path, first: cl.save_picture(LAMP if first else OTHER, path, pages=True),
    "sheet.html": lambda path, first: cl.write_build_sheet(LAMP if first else OTHER, path),
    "drawn.svg": commanded("draw", "{name}", "--out", "{path}"),
    "sheeted.html": commanded("sheet", "{name}", "--out", "{path}"),
    "codes.csv": lambda path, first: issued(labels_beside(path, first), path),
}


def labels_beside(path, first):
    """Write labels for one class or another."""
    file = path.parent / "labels" / "labels.txt"
    file.parent.mkdir(exist_ok=True)
    file.write_text("seat 1\nseat 2\n" if first else "seat 3\n")
    return file


@pytest.fixture(params=SAVERS)
def saver(request, tmp_path):
    """A path, and what saves one thing or another there."""
    (tmp_path / "out").mkdir()
    return tmp_path / "out" / request.param, SAVERS[request.param]


def listing(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("data, words", [
    (NOTEBOOK, "a notebook"), (RECORD, "a learner's record"), (b"shopping: wire, fuses\n", "a text of another kind"),
    (b"%PDF-1.7\n%of another program\n", "a PDF"), (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(40), "a picture"),
    (b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"/>', "a picture"),
    (b"<!DOCTYPE html>\n<html><body>mine</body></html>", "a web page"), (bytes(range(256)), "a file of another kind")])
def test_what_is_not_the_kits_own_is_left_as_it_is(saver, data, words, capsys):
    path, act = saver
    path.write_bytes(data)
    before = listing(path.parent)
    with pytest.raises(FileError) as told:
        act(path, True)
    said = str(told.value) if str(told.value) != "refused" else capsys.readouterr().err
    assert f"'{path.name}' is there already and seems to be {words}" in said and "Save under another name" in said
    assert listing(path.parent) == before


def test_a_file_of_the_kit_of_another_kind_is_left_as_it_is(tmp_path):
    cl.save(LAMP, tmp_path / "cart.toml")
    before = listing(tmp_path)
    with pytest.raises(FileError, match="seems to be an arrangement"):
        cl.changes.save_changes(cl.Changes(LAMP).make("blow F1"), tmp_path / "cart.toml")
    shutil.copy(kit_folder("datasets") / "rules" / "separate-lamps.toml", tmp_path / "rule.toml")
    for told in (False, True):
        with pytest.raises(FileError, match="seems to be a rule"):
            cl.save(LAMP, tmp_path / "rule.toml", replace_comments=told)
    (tmp_path / "rule.toml").unlink()
    assert listing(tmp_path) == before


def test_the_kits_own_is_replaced_and_the_old_one_kept(saver, capsys):
    """Each under a name of its own; the same once more keeps no second copy of anything."""
    path, act = saver
    act(path, True)
    first = path.read_bytes()
    capsys.readouterr()
    act(path, True)
    assert listing(path.parent) == {path.name: first}
    assert "kept as" not in capsys.readouterr().out
    saved = act(path, False)
    second, kept = path.read_bytes(), path.with_name(f"{path.stem}.before-1{path.suffix}")
    assert second != first and listing(path.parent) == {path.name: second, kept.name: first}
    saved = saved[0] if isinstance(saved, tuple) else saved
    told = saved.sentence if isinstance(saved, saving.Saved) else capsys.readouterr().out
    assert f"What was there before is kept as '{kept.name}'." in told
    act(path, True)
    again = path.with_name(f"{path.stem}.before-2{path.suffix}")
    assert listing(path.parent) == {path.name: first, kept.name: first, again.name: second}
    act(path, False)
    assert listing(path.parent) == {path.name: second, kept.name: first, again.name: second}


def test_a_name_that_is_taken_is_passed_over_and_there_is_an_end(tmp_path):
    path = tmp_path / "cart.toml"
    cl.save(LAMP, path)
    for number in range(1, saving.MOST_KEPT):
        (tmp_path / f"cart.before-{number}.toml").write_text(f"mine, {number}")
    before = listing(tmp_path)
    assert cl.save(OTHER, path).kept.name == "cart.before-99.toml"
    assert {name: data for name, data in listing(tmp_path).items() if name in before and name != "cart.toml"}.items() <= before.items()
    whole = listing(tmp_path)
    with pytest.raises(FileError, match="99 earlier ones are kept beside it, the most there may be. Remove"):
        cl.save(cl.changed(LAMP, cl.SetValue("F1", "rating", 1.0)), path)
    assert listing(tmp_path) == whole


def test_an_empty_file_holds_nothing_to_keep(tmp_path):
    (tmp_path / "cart.toml").touch()
    assert cl.save(LAMP, tmp_path / "cart.toml").kept is None and cl.load(tmp_path / "cart.toml").title == LAMP.title
    assert [path.name for path in tmp_path.iterdir()] == ["cart.toml"]


def test_an_arrangement_written_by_hand_may_be_replaced(tmp_path):
    """It lacks the kit's heading and can be read all the same; one that cannot is left."""
    path = tmp_path / "mine.toml"
    path.write_text('format = 1\ntitle = "mine"\nparts.G1.kind = "battery"\n')
    assert cl.save(LAMP, path).kept.read_text() == 'format = 1\ntitle = "mine"\nparts.G1.kind = "battery"\n'
    path.write_text('format = 1\ntitle = "mine"\nparts.G1.kind = "lantern"\n')
    with pytest.raises(FileError, match="seems to be a text of another kind"):
        cl.save(LAMP, path)


@pytest.mark.in_turn(3)
@POSIX
def test_a_link_a_folder_a_pipe_and_what_may_only_be_read_are_left(saver, tmp_path, capsys):
    path, act = saver
    (tmp_path / "elsewhere").mkdir()
    act(tmp_path / "elsewhere" / path.name, True)
    real = tmp_path / "elsewhere" / path.name
    before = real.read_bytes()

    def refused(words):
        with pytest.raises(FileError) as told:
            act(path, False)
        assert words in (str(told.value) if str(told.value) != "refused" else capsys.readouterr().err)
        assert listing(real.parent) == {path.name: before}
    path.symlink_to(real)
    refused("is a link to another place, and nothing is written through it")
    path.unlink()
    path.symlink_to(real.with_name("nowhere"))
    refused("is a link to another place")
    path.unlink()
    path.mkdir()
    refused("it is a folder, not a file")
    path.rmdir()
    os.mkfifo(path)
    refused("it is a device or a pipe, not a file")
    path.unlink()
    act(path, True)
    path.chmod(0o444)
    refused("is there already and may only be read")


@POSIX
def test_the_rights_of_a_file_stay(tmp_path):
    path = tmp_path / "cart.toml"
    cl.save(LAMP, path)
    fresh = stat.S_IMODE(path.stat().st_mode)
    (tmp_path / "plain").touch()
    assert fresh == stat.S_IMODE((tmp_path / "plain").stat().st_mode)
    path.chmod(0o660)
    cl.save(OTHER, path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o660


def test_a_board_says_what_it_kept_and_what_it_left(tmp_path):
    desk, file = cl.board(LAMP).desk, str(tmp_path / "cart.changes")

    def said(**message):
        return list(desk.hear(message))[-1]["words"]
    said(kind="typed", act=1, at=0, words="blow F1")
    said(kind="save", file=file)
    said(kind="typed", act=2, at=0, words="lose W2 at S1:1")
    assert "What was there before is kept as 'cart.before-1.changes'." in said(kind="save", file=file)
    assert cl.changes.load_changes(tmp_path / "cart.before-1.changes").sentences == ("blow F1",)
    (tmp_path / "lesson-07.jsonl").write_bytes(RECORD)
    assert "seems to be a learner's record: it is left as it is" in said(kind="save", file=str(tmp_path / "lesson-07.jsonl"))
    assert (tmp_path / "lesson-07.jsonl").read_bytes() == RECORD


def test_the_contact_sheet_leaves_a_page_that_is_not_its_own(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("circuitlab.arrangements.arrangement_names", lambda: ["one-fused-lamp"])
    (tmp_path / "index.html").write_text("<!doctype html><html>mine</html>")
    assert main(["contact-sheet", "--out", str(tmp_path)]) == 2
    assert "seems to be a web page" in capsys.readouterr().err
    (tmp_path / "index.html").write_text("")
    assert main(["contact-sheet", "--out", str(tmp_path)]) == 0 and "kept" not in capsys.readouterr().out
    monkeypatch.setattr("circuitlab.arrangements.arrangement_names", lambda: ["relay-test-board"])
    assert main(["contact-sheet", "--out", str(tmp_path)]) == 0
    assert "kept as 'index.before-1.html'" in capsys.readouterr().out


def test_a_lesson_handed_out_and_changed_since_is_left(tmp_path):
    """The same once more is no harm."""
    folder = hand_out("06", tmp_path)
    (notebook,) = folder.glob("*.ipynb")
    before = notebook.read_bytes()
    hand_out("06", tmp_path)
    assert notebook.read_bytes() == before
    notebook.write_bytes(before + b"\n")
    (folder / "answers" / "README.txt").write_text("hand in by Friday")
    with pytest.raises(FileError, match="seems to be a notebook: it is left as it is"):
        hand_out("06", tmp_path)
    assert notebook.read_bytes() == before + b"\n"
    assert (folder / "answers" / "README.txt").read_text() == "hand in by Friday"


# ------------------------------------------------------------------ the marks

def test_the_kit_knows_what_it_writes():
    """The heading of every format stands in one room; a writer that drifts from it would never replace its own."""
    assert files.own_kind(arrangement_text.HEADING.encode()) == "an arrangement"
    assert files.own_kind(CHANGES_HEADING.encode()) == "a list of changes"
    for name, kind in (("arrangements", "an arrangement"), ("rules", "a rule")):
        kept = list((kit_folder("datasets") / name).glob("*.toml"))
        assert kept and all(files.own_kind(path.read_bytes()) == kind for path in kept)
    for path in kit_folder("lessons").glob("pictures/*.svg"):
        assert files.own_kind(path.read_bytes()) == "a drawing of the kit (SVG)", path
    for path in kit_folder("lessons").glob("*.ipynb"):
        assert files.seeming(path.read_bytes()) == "a notebook", path


@pytest.mark.outside("Portable Network Graphics (PNG) Specification, W3C, section 11.3.4.3: tEXt, keyword Software")
def test_another_reader_finds_the_mark_in_a_picture(tmp_path):
    """Pillow checks each chunk's length and check sum; the picture is otherwise as it was."""
    with Image.open(cl.save_picture(LAMP, tmp_path / "cart.png")) as picture:
        picture.load()
        assert picture.info["Software"] == "Pin Thirty"


# ------------------------------------------------------------------ half-way through

@pytest.mark.in_turn(3)
def test_a_full_disk_leaves_the_old_file_whole(saver, monkeypatch, capsys):
    """Half of it goes in, then there is no room; nothing half written is left behind."""
    path, act = saver
    act(path, True)
    before, real = listing(path.parent), builtins.open

    class Full:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *given):
            self.file.close()

        def write(self, data):
            self.file.write(data[:len(data) // 2])
            raise OSError(errno.ENOSPC, "No space left on device")
    monkeypatch.setattr(saving, "open", lambda *given, **named: Full(real(*given, **named)), raising=False)
    with pytest.raises(FileError) as told:
        act(path, False)
    said = str(told.value) if str(told.value) != "refused" else capsys.readouterr().err
    assert f"'{path.name}' cannot be written: the disk is full. Free some space, then save again. What stands there" in said
    assert listing(path.parent) == before
    with pytest.raises(FileError):
        act(path.with_stem("fresh"), False)
    assert listing(path.parent) == before


@pytest.mark.parametrize("step", ["fsync", "replace", "link"])
def test_an_error_at_any_step_leaves_a_whole_file(tmp_path, monkeypatch, step):
    """A disk that cannot settle, a file another program holds, a disk without second names."""
    path = tmp_path / "cart.toml"
    cl.save(LAMP, path)
    before = path.read_bytes()

    def broken(*given, **named):
        raise PermissionError(errno.EACCES, "broken")
    monkeypatch.setattr(saving.os, step, broken)
    if step == "link":
        assert cl.save(OTHER, path).kept.read_bytes() == before and cl.load(path).part("F1").rating == 3.0
    else:
        with pytest.raises(FileError, match="another program has it open"):
            cl.save(OTHER, path)
        assert path.read_bytes() == before
    assert not list(tmp_path.glob(".*"))


@POSIX
def test_a_limit_of_the_system_leaves_the_old_file_whole(tmp_path):
    """A real write that stops half way, in a process of its own that may write 100 kB to a file."""
    path = tmp_path / "cart.changes"
    path.write_text("changes to cart\nblow F1\n")
    code = ("import resource, signal, sys; from circuitlab.ground import saving\n"
            "signal.signal(signal.SIGXFSZ, signal.SIG_IGN); resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))\n"
            "try: saving.save('changes to cart\\n' + 'blow F2\\n' * 100_000, sys.argv[1])\n"
            "except saving.FileError as error: print(error)")
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    assert "cannot be written: it is too large for its disk" in done.stdout
    assert listing(tmp_path) == {"cart.changes": b"changes to cart\nblow F1\n"}


SAVING = """
import sys
from circuitlab.ground import saving
if sys.argv[2] == "copies":
    del saving.os.link
size = int(sys.argv[3])
print("ready", flush=True)
while True:
    for letter in "ab":
        saving.save("changes to cart\\n" + letter * size, sys.argv[1])
"""
SIZE = 4_000_000


def killed_while_saving(folder, way, wait):
    """Kill a process that saves over and over; return how many files of the folder are not whole."""
    folder.mkdir()
    path, whole = folder / "cart.changes", {f"changes to cart\n{letter * SIZE}".encode() for letter in "ab"}
    path.write_bytes(b"changes to cart\n" + b"a" * SIZE)
    with subprocess.Popen([sys.executable, "-c", SAVING, str(path), way, str(SIZE)], stdout=subprocess.PIPE) as process:
        assert process.stdout.readline() == b"ready\n"
        time.sleep(wait)
        process.kill()
    found = listing(folder)
    assert path.name in found
    broken = [name for name, data in found.items() if not name.endswith(".partial") and data and data not in whole]
    broken += [name for name, data in found.items() if name == path.name and not data]
    shutil.rmtree(folder)
    return broken


@pytest.mark.parametrize("way", ["names", "copies"])
def test_a_kill_half_way_leaves_the_old_file_or_the_new(tmp_path, way):
    """At seeded moments; no name ever holds a part of a file."""
    chance = random.Random(30)
    for number in range(5):
        assert killed_while_saving(tmp_path / str(number), way, chance.uniform(0, 0.12)) == []


@pytest.mark.full
@pytest.mark.parametrize("way", ["names", "copies"])
def test_many_kills_half_way_leave_the_old_file_or_the_new(tmp_path, way, counts):
    """The same at many more moments."""
    chance = random.Random(87)
    for number in range(120):
        counts.tried += 1
        assert killed_while_saving(tmp_path / str(number), way, chance.uniform(0, 0.25)) == []
        counts.held += 1


def test_changes_to_a_changed_arrangement_are_not_saved_as_changes_to_the_one_of_that_name(tmp_path):
    """What was built in before would be lost without a word, for the name is still the old one's."""
    built = cl.Changes(cl.arrangement("hazard-third-relay")).make("add part K77 relay").after
    with pytest.raises(FileError, match="'hazard-third-relay' that is found there is another.*cl.save"):
        cl.changes.save_changes(cl.Changes(built).make("lift F1:2"), tmp_path / "late.changes")
    with pytest.raises(FileError, match="'elsewhere' is not found"):
        cl.changes.save_changes(cl.Changes(replace(built, name="elsewhere")).make("lift F1:2"), tmp_path / "late.changes")
    assert not list(tmp_path.iterdir())
    cl.save(built, tmp_path / "mine.toml")
    cl.changes.save_changes(cl.Changes(cl.load(tmp_path / "mine.toml")).make("lift F1:2"), tmp_path / "late.changes")
    assert cl.changes.load_changes(tmp_path / "late.changes").after.part("K77")


@pytest.mark.parametrize("wrong", ["one-fused-lamp", None, 7])
def test_changes_are_made_to_an_arrangement(wrong):
    with pytest.raises(CircuitLabError, match="Changes: 'before' must be an arrangement, not .*cl.arrangement"):
        cl.Changes(wrong)
