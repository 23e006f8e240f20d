"""The commands: what they print, how they leave, and that bad input gets a sentence instead of a traceback."""

import json
import os
import re
import signal
import subprocess
import sys
import time
import tomllib
import urllib.error
import urllib.request
from pathlib import Path

import nbformat
import pytest

import circuitlab
from circuitlab.commands.lessons import copy_lessons, stripped
from circuitlab.commands.line import main
from circuitlab.ground.errors import FileError
from circuitlab.ground.places import kit_folder

BUZZER = """format = 1
title = "a relay fed through its own break contact"
parts.G1.kind = "battery"
parts.F1.kind = "fuse"
parts.F1.rating = 5.0
parts.K1.kind = "relay"
parts.E1.kind = "lamp"
wires.W1 = {start = "G1:+", end = "F1:1", length = 0.5, area = 1.0}
wires.W2 = {start = "F1:2", end = "K1:30", length = 0.5, area = 1.0}
wires.W3 = {start = "K1:87a", end = "K1:86", length = 0.5, area = 1.0}
wires.W4 = {start = "K1:85", end = "G1:-", length = 0.5, area = 1.0}
wires.W5 = {start = "K1:87a", end = "E1:1", length = 0.5, area = 1.0}
wires.W6 = {start = "E1:2", end = "G1:-", length = 0.5, area = 1.0}
"""


# ------------------------------------------------------------------ the list, the proof, the sheet

def test_the_list_shows_every_arrangement_with_its_title(capsys):
    """Compared with the files themselves, read without the kit."""
    assert main(["arrangements"]) == 0
    lines = capsys.readouterr().out.splitlines()
    files = sorted((kit_folder("datasets") / "arrangements").glob("*.toml"), key=lambda file: file.stem)
    assert len(files) >= 8
    assert [re.split(r"  +", line, maxsplit=1) for line in lines] == \
        [[file.stem, tomllib.loads(file.read_text(encoding="utf-8"))["title"]] for file in files]


def test_prove_prints_the_lamp_table(capsys):
    """The same text as the view makes."""
    from circuitlab.arrangements import arrangement
    from circuitlab.reasoning import lamp_table
    from circuitlab.views.tables import lamp_table_text

    assert main(["prove", "one-fused-lamp"]) == 0
    out = capsys.readouterr().out
    assert out == lamp_table_text(lamp_table(arrangement("one-fused-lamp"))) + "\n"
    assert "E1" in out and "steady" in out and "dark" in out


def test_prove_reads_a_file_of_ones_own(tmp_path, capsys):
    """A copy under another name gives the same table."""
    own = tmp_path / "mine.toml"
    own.write_bytes((kit_folder("datasets") / "arrangements" / "one-fused-lamp.toml").read_bytes())
    assert main(["prove", str(own)]) == 0
    first = capsys.readouterr().out
    main(["prove", "one-fused-lamp"])
    assert [line for line in first.splitlines() if "mine" not in line] == \
        [line for line in capsys.readouterr().out.splitlines() if "one-fused-lamp" not in line]


def test_a_cart_of_ones_own_begins_as_a_copy(tmp_path, capsys):
    own = tmp_path / "my-cart.toml"
    assert main(["copy", "one-fused-lamp", str(own)]) == 0
    assert "It is plain text" in capsys.readouterr().out and circuitlab.load(own).parts == circuitlab.arrangement("one-fused-lamp").parts
    own.write_text(own.read_text(encoding="utf-8").replace("rating = 5.0", "rating = 7.5"), encoding="utf-8")
    assert main(["size", str(own)]) in (0, 1) and "7.50 A" in capsys.readouterr().out
    assert main(["copy", str(own), str(tmp_path / "other.toml")]) == 0 and circuitlab.load(tmp_path / "other.toml").part("F1").rating == 7.5
    assert main(["copy", "one-fused-lmp", str(own)]) == 2 and "Did you mean 'one-fused-lamp'" in capsys.readouterr().err
    for words in (["one-fused-lamp"], ["--out", str(own)], ["one-fused-lamp", "--out", str(own)]):
        assert main(["arrangements", *words]) == 2 and "write: copy one-fused-lamp my-cart.toml" in capsys.readouterr().err


def test_every_command_takes_a_list_of_changes(tmp_path, capsys):
    """What a board saves is a circuit of one's own, for whoever writes no Python."""
    file = tmp_path / "mine.changes"
    circuitlab.changes.save_changes(circuitlab.Changes(circuitlab.arrangement("one-fused-lamp")).make("blow E1"), file)
    assert main(["prove", str(file)]) == 1
    assert "* dark (rule: steady)" in capsys.readouterr().out
    assert main(["draw", str(file), "--out", str(tmp_path / "mine.svg")]) == 0
    assert main(["sheet", str(file), "--out", str(tmp_path / "mine.html")]) == 0
    assert main(["board", str(file), "--out", str(tmp_path / "board.html")]) == 0
    assert main(["compare", "one-fused-lamp", str(file)]) == 1


def test_a_sentence_for_each_lamp_is_one_rule(capsys):
    """Common practice: a cart has more than one lamp. None of the sentences is dropped without a word."""
    lines = ["rear left: flash when turn left, else steady when stop, else dark", "rear right: dark"]
    assert main(["prove", "shared-filament-rear-relays", "--rule", lines[0], "--rule", lines[1]]) == 1
    out = capsys.readouterr().out
    assert "rear left: flash when" in out and "rear right: dark" in out and "E2 (rear right)" in out
    assert main(["prove", "shared-filament-rear-relays", "--rule", lines[0], "--rule", "own"]) == 2
    assert "'own' is no sentence" in capsys.readouterr().err


def test_a_broken_rule_leaves_with_one_whether_or_not_the_rule_is_named(capsys):
    """Its own rule, judged in the lamp table and in the proof; and --help says so."""
    assert main(["prove", "tied-stop-and-turn"]) == 1
    assert "break the rule" in capsys.readouterr().out
    assert main(["prove", "tied-stop-and-turn", "--rule", "own"]) == 1
    with pytest.raises(SystemExit):
        main(["prove", "--help"])
    assert "keeps the arrangement's own rule, with 1 when a row does not" in " ".join(capsys.readouterr().out.split())


def test_prove_leaves_with_one_when_a_row_does_not_settle(tmp_path, capsys):
    """A relay that feeds itself through its own break contact buzzes."""
    own = tmp_path / "buzzer.toml"
    own.write_text(BUZZER, encoding="utf-8")
    assert main(["prove", str(own)]) == 1
    assert "buzzes" in capsys.readouterr().out


def test_the_sheet_is_written(tmp_path, capsys):
    """One HTML page with every wire of the arrangement on it."""
    from circuitlab.arrangements import arrangement

    assert main(["sheet", "one-fused-lamp", "--out", str(tmp_path / "sheet.html")]) == 0
    page = (tmp_path / "sheet.html").read_text(encoding="utf-8")
    assert all(re.search(rf"\b{wire.name}\b", page) for wire in arrangement("one-fused-lamp").wires)
    assert "sheet.html" in capsys.readouterr().out


def test_size_says_what_is_kept(capsys):
    """Leaves with 0 and names the table wires were held to."""
    assert main(["size", "one-fused-lamp", "--table", "free air, 60 C insulation"]) == 0
    out = capsys.readouterr().out
    assert "every rule is kept" in out and "By the table 'free air, 60 C insulation'" in out


def test_size_leaves_with_one_when_a_rule_is_broken(tmp_path, capsys):
    """A fuse of 2 A under a lamp of nearly as much; the rule is named, the row too."""
    own = tmp_path / "weak.toml"
    text = (kit_folder("datasets") / "arrangements" / "one-fused-lamp.toml").read_text(encoding="utf-8")
    own.write_text(text.replace("rating = 5.0", "rating = 2.0"), encoding="utf-8")
    assert main(["size", str(own), "--battery", "44 Ah"]) == 1
    out = capsys.readouterr().out
    assert re.search(r"F1: 1\.\d+ A, 9\d % of its rating, flow with lamp switch on\. "
                     "That breaks the rule 'the fuse carries the load'", out)


@pytest.mark.parametrize(("words", "sentence"), [
    (["size", "one-fused-lmap"], "the kit has no arrangement 'one-fused-lmap'"),
    (["size", "one-fused-lamp", "--table", "chasis wiring"], "ampacity table 'chasis wiring'.*mean 'chassis wiring'"),
    (["size", "one-fused-lamp", "--battery", "much"], "'much' is not a quantity"),
    (["size", "one-fused-lamp", "--battery", "0"], "capacity must be a number of Ah above 0"),
    (["prove", "one-fused-lmap"], "the kit has no arrangement 'one-fused-lmap'.*Did you mean 'one-fused-lamp'"),
    (["prove", "nowhere.toml"], "'nowhere.toml' cannot be opened: there is no such file"),
    (["prove", "."], "the kit has no arrangement"),
    (["prove", "{tmp}"], "'folder.toml' cannot be opened"),
    (["prove", "{cut}"], "'cut.toml' cannot be read as TOML"),
    (["sheet", "one-fused-lamp", "--out", "{tmp}/none/sheet.html"], "'sheet.html' cannot be written"),
    (["sheet", "nothing", "--out", "sheet.html"], "the kit has no arrangement 'nothing'"),
    (["board", "one-fused-lamp", "--out", "{tmp}/none/board.html"], "'board.html' cannot be written"),
    (["board", "one-fused-lamp", "--out", "board.svg"], "'board.svg' does not end in .html"),
    (["start", "--folder", "{cut}"], "cannot be used for the lessons"),
])
def test_bad_input_gets_a_sentence(tmp_path, monkeypatch, capsys, words, sentence):
    """On stderr, with code 2, nothing on stdout and no traceback."""
    folder, cut = tmp_path / "folder.toml", tmp_path / "cut.toml"
    folder.mkdir()
    cut.write_text('format = 1\ntitle = "cut', encoding="utf-8")
    words = [word.format(tmp=folder, cut=cut) for word in words]
    monkeypatch.chdir(tmp_path)
    assert main(words) == 2
    said = capsys.readouterr()
    assert re.search(sentence, said.err), said.err
    assert len(said.err.splitlines()) == 1
    assert said.out == ""


def test_bad_input_leaves_the_program_with_a_sentence_as_well(tmp_path):
    done = subprocess.run([sys.executable, "-m", "circuitlab", "prove", "nowhere.toml"], capture_output=True, text=True, cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == ""
    assert "'nowhere.toml' cannot be opened: there is no such file" in done.stderr and done.stderr.count("\n") == 1


def test_a_list_cut_short_by_its_reader_is_no_error():
    """Such as by ``| head``."""
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run([sys.executable, "-m", "circuitlab", "arrangements"], stdout=writer, stderr=subprocess.PIPE,
                          text=True)
    os.close(writer)
    assert done.stderr == ""


# ------------------------------------------------------------------ the learner's copy

@pytest.fixture
def originals(tmp_path):
    """A small folder of lessons, one of them run, with things beside it that are nobody's to copy."""
    source = tmp_path / "lessons"
    (source / ".ipynb_checkpoints").mkdir(parents=True)
    (source / "answers").mkdir()
    (source / "pictures").mkdir()
    cell = nbformat.v4.new_code_cell("1 + 1", execution_count=3, id="sum", metadata={
        "tags": ["nbval-check-output"], "execution": {"iopub.execute_input": "then"}, "editable": False})
    cell.outputs = [nbformat.v4.new_output("execute_result", {"text/plain": "2"}, execution_count=3)]
    run = nbformat.v4.new_notebook(cells=[cell], metadata={"widgets": {"state": {}}})
    nbformat.write(run, source / "00_start_here.ipynb")
    nbformat.write(run, source / ".ipynb_checkpoints" / "00_start_here-checkpoint.ipynb")
    (source / "answers" / "somebody.jsonl").write_text("{}")
    (source / "pictures" / "lamp.svg").write_text("<svg/>")
    (source / "teachers_guide.md").write_text("# For the teacher\n")
    return source


def test_the_copy_is_stripped_and_the_original_stays(originals, tmp_path):
    """Notebooks without outputs; guide and pictures as they are; checkpoints and answers of others not at all."""
    before = {path: path.read_bytes() for path in originals.rglob("*") if path.is_file()}
    copied = copy_lessons(tmp_path / "mine", originals)
    assert copied.new == ("00_start_here.ipynb", "pictures/lamp.svg", "teachers_guide.md")
    assert sorted(path.name for path in copied.folder.rglob("*") if path.is_file()) == \
        ["00_start_here.ipynb", "lamp.svg", "teachers_guide.md"]
    assert list((copied.folder / "answers").iterdir()) == []
    notebook = nbformat.read(copied.folder / "00_start_here.ipynb", as_version=4)
    (cell,) = notebook.cells
    assert (cell.outputs, cell.execution_count, cell.source, cell.id) == ([], None, "1 + 1", "sum")
    assert cell.metadata == {"tags": ["nbval-check-output"], "editable": False}
    assert "widgets" not in notebook.metadata
    assert {path: path.read_bytes() for path in originals.rglob("*") if path.is_file()} == before


def test_work_already_done_is_kept_and_new_lessons_are_added(originals, tmp_path):
    """A second start changes no byte of what is there."""
    first = copy_lessons(tmp_path / "mine", originals)
    (first.folder / "00_start_here.ipynb").write_text('{"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}')
    (first.folder / "answers" / "mine.jsonl").write_text("my answers")
    (originals / "01_light_one_lamp.ipynb").write_text((originals / "00_start_here.ipynb").read_text())
    second = copy_lessons(tmp_path / "mine", originals)
    assert second.new == ("01_light_one_lamp.ipynb",)
    assert second.sentence.startswith("3 files of yours kept as they are, 1 new one added. ")
    assert "'00_start_here.ipynb' (perhaps edited by you). Start with --renew" in second.sentence
    assert (first.folder / "00_start_here.ipynb").read_text().startswith('{"cells": []')
    assert (first.folder / "answers" / "mine.jsonl").read_text() == "my answers"


@pytest.mark.parametrize("inside", [".", "pictures", "mine/deeper"])
def test_the_originals_are_never_opened_for_work(originals, inside):
    """A folder among the kit's own lessons is refused before anything is made in it."""
    before = sorted(originals.rglob("*"))
    with pytest.raises(FileError, match="holds the kit's own lessons. Give another folder"):
        copy_lessons(originals / inside, originals)
    assert sorted(originals.rglob("*")) == before


def test_stripping_twice_changes_nothing(originals):
    """So a stripped original and its copy are the same text."""
    once = stripped((originals / "00_start_here.ipynb").read_text())
    assert stripped(once) == once


# ------------------------------------------------------------------ JupyterLab

@pytest.fixture
def started(tmp_path):
    """The start command in a folder of its own; yields the process and the address it printed."""
    process = subprocess.Popen([sys.executable, "-m", "circuitlab", "start", "--no-browser", "--folder", "mine"],
                               cwd=tmp_path, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT, text=True, bufsize=1)
    said = []
    for line in process.stdout:
        said.append(line)
        found = re.search(r"(http://127\.0\.0\.1:\d+)/doc\S*\?token=(\w+)", line)
        if found:
            break
    else:
        pytest.fail("start ended early: " + "".join(said))
    yield process, found[1], found[2]
    process.kill()
    process.wait()
    process.stdout.close()


def ask(address, token, path):
    """Return the JSON JupyterLab answers with, waiting until it answers at all."""
    request = urllib.request.Request(address + path, headers={"Authorization": f"token {token}"})
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    for _ in range(100):
        try:
            with opener.open(request, timeout=5) as answer:
                return json.load(answer)
        except urllib.error.HTTPError:
            raise
        except urllib.error.URLError:       # it prints its address a moment before it answers
            time.sleep(0.1)
    raise AssertionError("JupyterLab did not answer")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGINT for one process")
def test_start_opens_a_quiet_jupyterlab_on_the_copy_and_stops_on_interrupt(started, tmp_path):
    """It shows the learner's folder, refuses who has not the printed token, asks the web nothing, and leaves when told, without a question."""
    process, address, token = started
    ask(address, token, "/api/status")
    with pytest.raises(urllib.error.HTTPError, match="403"):
        ask(address, "wrong", "/api/contents")
    shown = {entry["name"] for entry in ask(address, token, "/api/contents")["content"]}
    assert "00_start_here.ipynb" in shown and "answers" in shown
    settings = ask(address, token, "/lab/api/settings/@jupyterlab/apputils-extension:notification")["settings"]
    assert (settings["fetchNews"], settings["checkForUpdates"]) == ("false", False)
    assert (tmp_path / "mine" / ".jupyterlab" / "settings").is_dir()
    process.send_signal(signal.SIGINT)
    assert process.wait(20) == 0


def test_help_names_every_command():
    """So the README's table and the help agree."""
    done = subprocess.run([sys.executable, "-m", "circuitlab"], capture_output=True, text=True, check=True)
    readme = (Path(circuitlab.__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`python -m circuitlab ([\w-]+)", readme))
    helped = set(re.findall(r"^    ([\w-]+)\s", done.stdout, re.M))
    assert named == helped == {"arrangements", "bench-sheet", "board", "choose", "class-answers", "class-codes", "class-paper", "class-summary", "compare", "contact-sheet", "copy", "draw", "faults", "find",
                               "keys", "prove", "sheet", "size", "start"}


def test_prove_begins_with_what_will_go_wrong_with_parts_that_do_not_fit(tmp_path, capsys):
    """A 24 V lamp on the 12 V battery is solved, and said."""
    from circuitlab.arrangements import SetValue, arrangement, changed, save
    save(changed(arrangement("one-fused-lamp"), SetValue("E1", "volts", 28.0)), tmp_path / "mixed.toml")
    assert main(["prove", str(tmp_path / "mixed.toml")]) in (0, 1)
    said = capsys.readouterr().out
    assert said.startswith("Caution: lamp 'E1'") and said.count("Caution:") == 1
    assert main(["prove", "one-fused-lamp"]) == 0 and "Caution:" not in capsys.readouterr().out


@pytest.mark.parametrize("is_open", [True, False])
def test_messages_to_the_browser_do_not_wait_for_company(monkeypatch, is_open):
    """The connection that the lessons' JupyterLab is told to use switches the socket's delay off, then connects."""
    from jupyter_server.services.kernels.websocket import KernelWebsocketHandler
    from traitlets.utils.importstring import import_item

    from circuitlab.commands.lab import lab_words

    word = next(word for word in lab_words(Path("lessons")) if "kernel_websocket_connection_class" in word)
    connection_class = import_item(word.partition("=")[2])
    said, handler = [], object.__new__(KernelWebsocketHandler)
    handler.ws_connection = object() if is_open else None
    monkeypatch.setattr(KernelWebsocketHandler, "set_nodelay", lambda self, value: said.append(value), raising=False)
    monkeypatch.setattr(connection_class.__mro__[1], "connect", lambda self: said.append("connected"))
    connection = object.__new__(connection_class)
    connection.setup_instance()
    connection.websocket_handler = handler
    connection.connect()
    assert said == ([True] if is_open else []) + ["connected"]


@pytest.mark.parametrize("command", ["board", "prove", "draw", "sheet", "size"])
def test_whoever_asks_for_help_is_told_where_the_names_are_listed(command, capsys):
    with pytest.raises(SystemExit):
        main([command, "--help"])
    assert "a name that the command 'arrangements' lists" in " ".join(capsys.readouterr().out.split())
    assert main(["arrangements"]) == 0 and "one-fused-lamp" in capsys.readouterr().out
