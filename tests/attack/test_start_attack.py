"""The start command attacked: things in the way, planted links, a full disk, kills. Nothing is lost; a sentence says what to do."""

import errno
import multiprocessing
import os
import random
import sys
import time

import nbformat
import pytest

from circuitlab.commands import lab, lessons
from circuitlab.commands.lessons import copy_lessons
from circuitlab.commands.line import main
from circuitlab.ground import saving

FOLDERS = ["answers", "pictures", ".jupyterlab", *(f".jupyterlab/{place}" for place in lab.PLACES.values()),
           ".jupyterlab/settings/@jupyterlab", ".jupyterlab/settings/@jupyterlab/notebook-extension",
           ".jupyterlab/config/labconfig"]


@pytest.fixture
def originals(tmp_path, monkeypatch):
    """A few lessons in the place of the kit's, so that many starts take no time."""
    source = tmp_path / "originals"
    (source / "pictures").mkdir(parents=True)
    for name in ("00_start_here.ipynb", "01_light_one_lamp.ipynb"):
        nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 + 1", id="sum")]), source / name)
    (source / "pictures" / "lamp.svg").write_text("<svg/>", encoding="utf-8")
    (source / "words.md").write_text("# Words\n", encoding="utf-8")
    monkeypatch.setattr(lessons, "kit_folder", lambda name: source)
    return source


@pytest.fixture
def start(originals, monkeypatch, capsys):
    """Return a function that starts on a folder, JupyterLab itself left out; it gives exit code and what was said."""
    monkeypatch.setattr(lab, "_jupyterlab", lambda: lambda words: None)
    monkeypatch.setattr(lab.os, "environ", dict(lab.os.environ))

    def start_on(*folder):
        code = main(["start", "--no-browser", *folder])
        said = capsys.readouterr()
        return code, said.out, said.err
    return start_on


def tree(folder):
    """Return everything below a folder: links by where they lead, files by their bytes, folders as None."""
    return {path.relative_to(folder).as_posix(): path.readlink() if path.is_symlink() else
            path.read_bytes() if path.is_file() else None for path in sorted(folder.rglob("*"))}


def refused(done, why):
    """Whether a start ended with one sentence that says why, and what to do next."""
    code, _, err = done
    return code == 2 and len(err.splitlines()) == 1 and why in err and (
        "start again" in err or "another with --folder" in err or "Give one, such as" in err)


# ------------------------------------------------------------------ things in the way

@pytest.mark.parametrize("place", FOLDERS)
def test_a_file_where_a_folder_should_be(start, tmp_path, place):
    """It is named and left as it is; once it is out of the way, the next start goes through."""
    mine = tmp_path / "mine"
    stone = mine / place
    stone.parent.mkdir(parents=True)
    stone.write_text("somebody's", encoding="utf-8")
    done = start("--folder", str(mine))
    assert refused(done, f"'{place}' in '{mine}' is not a folder"), done
    assert stone.read_text(encoding="utf-8") == "somebody's"
    stone.rename(tmp_path / "out of the way")
    assert start("--folder", str(mine))[0] == 0


@pytest.mark.parametrize("place", [each for each in FOLDERS if each != "answers"])
def test_a_link_where_the_kit_writes_leads_nowhere(start, tmp_path, place):
    """Somebody may have prepared it: nothing goes through it."""
    mine, elsewhere = tmp_path / "mine", tmp_path / "elsewhere"
    elsewhere.mkdir()
    (mine / place).parent.mkdir(parents=True)
    (mine / place).symlink_to(elsewhere)
    done = start("--folder", str(mine))
    assert refused(done, f"'{place}' in '{mine}' is a link to another place"), done
    assert list(elsewhere.iterdir()) == []


def test_answers_may_be_kept_elsewhere_by_a_link(start, tmp_path):
    """A learner's own way to keep them on another disk: the start writes nothing there."""
    mine, elsewhere = tmp_path / "mine", tmp_path / "elsewhere"
    elsewhere.mkdir()
    mine.mkdir()
    (mine / "answers").symlink_to(elsewhere)
    assert start("--folder", str(mine))[0] == 0
    assert list(elsewhere.iterdir()) == []


def test_planted_links_under_names_of_lessons_are_not_followed(start, originals, tmp_path):
    """Neither one in the place of a lesson, nor one under the passing name of its copy, to a file or to nothing."""
    mine, victim = tmp_path / "mine", tmp_path / "victim.txt"
    mine.mkdir()
    victim.write_text("somebody's", encoding="utf-8")
    planted = {"00_start_here.ipynb": victim, "00_start_here.ipynb.partial": victim, "words.md.partial": victim,
               "words.md": tmp_path / "nothing", "01_light_one_lamp.ipynb.partial": tmp_path / "nothing either"}
    for name, leads_to in planted.items():
        (mine / name).symlink_to(leads_to)
    assert start("--folder", str(mine))[0] == 0
    assert victim.read_text(encoding="utf-8") == "somebody's"
    assert not (tmp_path / "nothing").exists() and not (tmp_path / "nothing either").exists()
    assert {name: (mine / name).readlink() for name in planted} == planted
    assert not (mine / "01_light_one_lamp.ipynb").is_symlink()


@pytest.mark.parametrize(("folder", "why"), [
    ("", "has no name"), ("  ", "has no name"), ("~nosuchuser/x", "'~nosuchuser/x' cannot be used for the lessons: no home"),
    ("a\0b", "no file can have this name"), ("x" * 5000, "its name is too long"), ("y/" * 3000, "its name is too long"),
    ("{tmp}/file", "a file stands there"), ("{tmp}/file/x", "something above it is a file"),
    ("{tmp}/round", "cannot be used"),
    ("{tmp}/a\nb/file\n/x\0", "no file can have this name"),
])
def test_folders_that_cannot_be(start, tmp_path, folder, why):
    """Each gets one sentence with the next step."""
    (tmp_path / "file").write_text("somebody's", encoding="utf-8")
    (tmp_path / "round").symlink_to(tmp_path / "round")
    done = start("--folder", folder.format(tmp=tmp_path))
    assert refused(done, why), done
    assert (tmp_path / "file").read_text(encoding="utf-8") == "somebody's"


def test_a_folder_that_may_not_be_written(start, tmp_path, monkeypatch):
    """Of the lessons, and of JupyterLab's own things; what is there stays."""
    mine = tmp_path / "mine"
    assert start("--folder", str(mine))[0] == 0
    before, allowed = tree(mine), lessons.os.access
    for shut in (mine, mine / ".jupyterlab", mine / ".jupyterlab" / "runtime"):
        monkeypatch.setattr(lessons.os, "access", lambda path, mode, shut=shut: path != shut and allowed(path, mode))
        done = start("--folder", str(mine))
        assert refused(done, f"'{mine}' cannot be used for the lessons: you may not write there"), done
    assert tree(mine) == before


def test_no_home_folder(start, monkeypatch):
    """Where none is known, one must be given."""
    monkeypatch.setattr(lessons.Path, "home", lambda: (_ for _ in ()).throw(RuntimeError("Could not determine home")))
    assert refused(start(), "the usual folder cannot be used for the lessons")


# ------------------------------------------------------------------ settings

@pytest.mark.parametrize("damaged", [b"", b"{", b'{"theme": ', b"\xff\xfe\x00", b"[]", b"null"])
def test_damaged_settings_are_set_aside(start, tmp_path, damaged):
    """With a sentence; nothing of them is lost, and the kit's own settings stand there again."""
    mine = tmp_path / "mine"
    start("--folder", str(mine))
    file = mine / ".jupyterlab/settings/@jupyterlab/notebook-extension/tracker.jupyterlab-settings"
    good = file.read_bytes()
    for number in (1, 2):
        file.write_bytes(damaged)
        code, out, _ = start("--folder", str(mine))
        assert code == 0
        assert f"'{file.name}' was damaged. It is set aside as '{file.name}.damaged-{number}'." in out
        assert file.with_name(f"{file.name}.damaged-{number}").read_bytes() == damaged
        assert file.read_bytes() == good


def test_settings_with_remarks_are_the_learners(start, tmp_path, monkeypatch):
    """JupyterLab allows remarks and a last comma in them."""
    mine = tmp_path / "mine"
    start("--folder", str(mine))
    file = mine / ".jupyterlab/settings/@jupyterlab/notebook-extension/tracker.jupyterlab-settings"
    file.write_text('{\n  // as I like it\n  "windowingMode": "none",\n}\n', encoding="utf-8")
    before = file.read_bytes()
    code, out, _ = start("--folder", str(mine))
    assert (code, "damaged" in out, file.read_bytes()) == (0, False, before)
    monkeypatch.setitem(sys.modules, "json5", None)         # what reads them is missing: they are left alone
    code, out, _ = start("--folder", str(mine))
    assert (code, "damaged" in out, file.read_bytes()) == (0, False, before)


# ------------------------------------------------------------------ a full disk

def test_a_disk_that_is_full_at_any_write(start, tmp_path, monkeypatch, counts):
    """Every write in turn finds it full half way: a sentence, no half file; with space again it goes through."""
    write, mine, left = saving._write, tmp_path / "mine", 0

    def write_or_fail(path, content):
        nonlocal left
        left -= 1
        write(path, content if left else content[:len(content) // 2])
        if not left:
            raise OSError(errno.ENOSPC, "No space left on device")
    monkeypatch.setattr(saving, "_write", write_or_fail)
    assert start("--folder", str(mine))[0] == 0
    whole, writes = tree(mine), -left
    assert writes >= 8
    for number in range(1, writes + 1):
        mine, left, counts.tried = tmp_path / f"mine {number}", number, counts.tried + 1
        done = start("--folder", str(mine))
        assert refused(done, "the disk is full. Free some space, then start again"), done
        assert tree(mine).items() <= whole.items()
        counts.refused += 1
        assert start("--folder", str(mine))[0] == 0
        assert tree(mine) == whole


# ------------------------------------------------------------------ kills

@pytest.mark.parametrize("kills, most", [(1, 20), pytest.param(100, 100, marks=pytest.mark.full)])
def test_kills_while_lessons_are_copied(tmp_path, counts, kills, most):
    """What stands under a final name is whole at every moment, and the next start completes."""
    began = time.monotonic()
    whole = tree(copy_lessons(tmp_path / "whole").folder)
    takes, chance = time.monotonic() - began, random.Random(30)
    starting = multiprocessing.get_context("forkserver" if os.name == "posix" else "spawn")
    starting.set_forkserver_preload(["circuitlab.commands.lessons", "nbformat"])
    stopped_half_way = 0
    for number in range(most):
        if number >= kills and stopped_half_way:
            break                   # a single kill may come too late on a busy machine: then there are more
        folder = tmp_path / f"mine {number}"
        process = starting.Process(target=copy_lessons, args=(folder,))
        process.start()
        while not folder.exists() and process.is_alive():
            time.sleep(0.0005)
        time.sleep(chance.uniform(0, takes))
        process.kill()
        process.join()
        found = {name: content for name, content in tree(folder).items() if not name.endswith(".partial")}
        assert found.items() <= whole.items()
        stopped_half_way += len(found) < len(whole)
        assert tree(copy_lessons(folder).folder).items() >= whole.items()
        counts.tried, counts.held = counts.tried + 1, counts.held + 1
    assert stopped_half_way >= kills / 4


def test_what_a_killed_copy_left_is_taken_away_later(tmp_path, originals):
    """Not at once, since another start may be at work on it; and nothing that only looks alike."""
    mine = copy_lessons(tmp_path / "mine", originals).folder
    left, fresh, own = mine / ".0123456789abcdef.partial", mine / ".fedcba9876543210.partial", mine / ".my.partial"
    for path in (left, fresh, own):
        path.write_text("half", encoding="utf-8")
    for path in (left, own):
        os.utime(path, (0, 0))
    copy_lessons(mine, originals)
    assert (left.exists(), fresh.exists(), own.exists()) == (False, True, True)
