"""Every lesson as it is committed, and as it runs: clean, readable, and the same again in a fresh folder without a network."""

import ast
import re
import subprocess
import sys

import nbformat
import pytest
from nbclient import NotebookClient

from circuitlab.commands.lessons import stripped
from circuitlab.ground.places import kit_folder

DEMANDED = ("00_start_here", "06_", "08_", "11_")
CODE_LINES, WORDS = 12, 900       # most code lines in a cell, fewer words than this to read in a lesson
SHORT = 500                       # fewer words than this to read in an extra
CELLS = 38                        # in a lesson at most; each question has one of its own
CARD, PAGE = "**Card, if you start here.**", r"\blesson\.(workbench|safety_ticket)\("
SHOWN = "nbval-check-output"      # tag: committed with its output, because the text speaks of it
YOURS = "yours"                   # tag: the learner's own cell

PATHS = sorted(kit_folder("lessons").glob("*.ipynb"))


@pytest.fixture(params=PATHS, ids=lambda path: path.stem)
def path(request):
    """Each committed lesson."""
    return request.param


@pytest.fixture
def lesson(path):
    """The lesson's notebook."""
    return nbformat.read(path, as_version=4)


# ------------------------------------------------------------------ what is looked for; each returns sentences

def tags(cell):
    """Return the tags of a cell. [text]"""
    return cell.metadata.get("tags", [])


def unclean(notebook):
    """Outputs and counts that should not be committed, or should be and are not; widget state."""
    found = ["it holds widget state"] if "widgets" in notebook.metadata else []
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        if SHOWN in tags(cell):
            if not cell.outputs or cell.execution_count is None:
                found.append(f"{cell.id} is tagged {SHOWN} and was never run")
        elif cell.outputs or cell.execution_count is not None:
            found.append(f"{cell.id} holds an output")
        found += [f"{cell.id} shows an error" for output in cell.outputs if output.output_type == "error"]
        if "execution" in cell.metadata:
            found.append(f"{cell.id} holds the times of a run")
    return found


def unprotected(notebook):
    """Cells a stray key could delete or change, and cells of the learner's that are locked."""
    found = []
    for cell in notebook.cells:
        locked = cell.metadata.get("deletable") is False and cell.metadata.get("editable") is False
        if YOURS in tags(cell) and cell.metadata.get("editable") is False:
            found.append(f"{cell.id} is the learner's and cannot be edited")
        elif YOURS not in tags(cell) and not locked:
            found.append(f"{cell.id} can be deleted or edited")
    return found


def prose(notebook):
    """Return the Markdown of a lesson without its fenced code. [text]"""
    text = "\n\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    return re.sub(r"^(```|~~~).*?^\1", "", text, flags=re.M | re.S)


def out_of_order(notebook):
    """Headings that skip a level, and a lesson that does not open with its one title."""
    levels = [len(marks) for marks in re.findall(r"^(#{1,6}) ", prose(notebook), flags=re.M)]
    found = [] if levels[:1] == [1] else ["the first heading is not the title"]
    found += ["there is more than one title"] if levels.count(1) > 1 else []
    return found + [f"a heading of level {after} follows one of level {before}"
                    for before, after in zip(levels, levels[1:]) if after > before + 1]


def unspoken(notebook):
    """Pictures in Markdown without words for those who cannot see them."""
    text = prose(notebook)
    found = [picture for alt, picture in re.findall(r"!\[(.*?)\]\((.*?)\)", text, flags=re.S) if not alt.strip()]
    return found + [tag for tag in re.findall(r"<img\b[^>]*>", text)
                    if not re.search(r"""\balt=["'][^"']*\w""", tag)]


def words(notebook):
    """Count the words a learner reads: Markdown without marks, tags and addresses. [1]"""
    text = re.sub(r"\]\([^)]*\)|<[^>]+>", " ", prose(notebook))
    return len(re.findall(r"[^\W_][\w.,'-]*", text))


def long_cells(notebook):
    """Code cells with more lines than one looks through at a glance."""
    return [f"{cell.id} has {len(cell.source.splitlines())} lines" for cell in notebook.cells
            if cell.cell_type == "code" and len(cell.source.splitlines()) > CODE_LINES]


def unfolded(notebook):
    """Cells that ask and stand open: their code is no part of the lesson."""
    return [f"{cell.id} asks and is not folded" for cell in notebook.cells if cell.cell_type == "code"
            and re.search(r"\blesson\.(?!progress\b)\w+\(", cell.source)
            and not cell.metadata.get("jupyter", {}).get("source_hidden")]


def overhanging(notebook):
    """Folded cells whose first line, the one that still shows, runs out of the page."""
    return [f"the first line of {cell.id} has {len(first)} letters" for cell in notebook.cells if cell.cell_type == "code"
            and cell.metadata.get("jupyter", {}).get("source_hidden") and len(first := cell.source.partition("\n")[0]) > 100]


def twice_named(notebook):
    """Names that two cells give to different things: a question of the first would work with what the second made."""
    found, before = [], {}
    for cell in notebook.cells:
        names = set()
        for each in ast.parse(cell.source).body if cell.cell_type == "code" else ():
            targets = each.targets if isinstance(each, ast.Assign) else ()
            names |= {each.name} if isinstance(each, ast.FunctionDef) else {
                name.id for target in targets for name in ast.walk(target)
                if isinstance(name, ast.Name) and isinstance(name.ctx, ast.Store)}
        found += [f"{name} in {before[name]} and {cell.id}" for name in sorted(names & before.keys())]
        before |= dict.fromkeys(names, cell.id)
    return found


def missing(notebook, is_first=False):
    """What every lesson has and this one has not: a card for whoever starts here, the guarded bench page, an exit line last."""
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    text = prose(notebook)
    found = [] if CARD in text or is_first else ["no card for whoever starts here"]
    guarded = [cell.id for cell in code if re.search(PAGE, cell.source)]
    found += [] if guarded else ["no page for the real bench behind the safety ticket"]
    bench = re.search(r"^## On the (workbench|real bench)\n(.*?)(?=^## |\Z)", text, flags=re.M | re.S)
    found += ["a step for the real bench in the open"] if bench and re.search(r"^\d+\. ", bench[2], flags=re.M) else []
    last = code[-1].source if code else ""
    return found + ([] if re.search(r'lesson\.note\("exit", [^()]*\?"\)', last) else ["no exit question at the end"])


# ------------------------------------------------------------------ the committed lessons

@pytest.mark.parametrize("start", DEMANDED)
def test_the_first_slice_is_there(start):
    """Start page, and one lesson on each step of the first way through."""
    assert [path.name for path in PATHS if path.stem.startswith(start)] != []


def test_lessons_are_numbered_once_and_named_by_what_is_done():
    """Two digits, or an x and a digit for an extra, which says so in its title; small letters; no number twice."""
    names = [path.stem for path in PATHS]
    extras = [path.stem for path in PATHS if "".join(nbformat.read(path, as_version=4).cells[0].source).startswith("# Extra: ")]
    assert len(extras) == 5 and extras == [name for name in names if name.startswith("x")]
    assert [name for name in names if not re.fullmatch(r"(\d\d[a-z]?|x\d)_[a-z0-9]+(_[a-z0-9]+)*", name)] == []
    assert len({name.partition("_")[0] for name in names}) == len(names)


def test_a_lesson_is_committed_clean(lesson):
    """No outputs save those the text speaks of, no widget state."""
    assert unclean(lesson) == []


def test_a_lesson_has_a_stable_form(lesson, path):
    """Format 4.5 with readable ids, the plain kernel, and the bytes the writer would give."""
    nbformat.validate(lesson)
    assert (lesson.nbformat, lesson.nbformat_minor) == (4, 5)
    assert [cell.id for cell in lesson.cells if re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f-]+)?", cell.id)] == []
    assert lesson.metadata.kernelspec.name == "python3"
    assert path.read_text(encoding="utf-8") == nbformat.writes(lesson) + "\n"


def test_a_lesson_protects_its_cells(lesson):
    """A key pressed beside a slider deletes nothing; the learner's cells are open."""
    assert unprotected(lesson) == []


def test_a_lesson_can_be_read_by_ear(lesson):
    """Headings in order, words for every picture."""
    assert out_of_order(lesson) + unspoken(lesson) == []


def test_a_lesson_is_short(lesson, path):
    """Few words to read, still fewer in an extra, few lines of code in a cell."""
    assert words(lesson) < (SHORT if path.stem.startswith("x") else WORDS)
    assert len(lesson.cells) <= CELLS
    assert long_cells(lesson) == []


def test_a_lesson_shows_questions_and_not_their_code(lesson):
    """Every cell that asks is folded, and the line that still shows fits the page."""
    assert unfolded(lesson) + overhanging(lesson) == []


def test_a_name_means_one_thing_in_a_lesson(lesson):
    """Questions work their answers out late, with whatever a name means then."""
    assert twice_named(lesson) == []


def test_a_lesson_opens_alone_and_closes_with_a_question(lesson, path):
    """A card, a page for the real bench that only the safety ticket opens, an exit line; lesson 00 is where all start."""
    assert missing(lesson, is_first=path.stem.startswith("00")) == []


def test_a_lesson_needs_nothing_from_elsewhere(lesson, path):
    """Every picture lies in the folder that is copied, and no cell reaches for the web or the shell."""
    text = prose(lesson)
    pictures = re.findall(r"!\[.*?\]\((\S+?)\)", text, flags=re.S) + re.findall(r"""<img\b[^>]*\bsrc=["']([^"']+)""", text)
    assert [picture for picture in pictures if not (path.parent / picture).is_file()] == []
    code = "\n".join(cell.source for cell in lesson.cells if cell.cell_type == "code")
    assert re.findall(r"^\s*[!%].*|https?://\S+|sys\.path", code, flags=re.M) == []


# ------------------------------------------------------------------ the running lessons

NO_NETWORK = '''
import socket
_connect = socket.socket.connect
def connect(self, address):
    if self.family in (socket.AF_INET, socket.AF_INET6) and address[0] not in ("127.0.0.1", "::1", "localhost"):
        raise OSError(f"a lesson reached for {address[0]}")
    return _connect(self, address)
socket.socket.connect = connect
'''


@pytest.fixture
def without_network(tmp_path_factory, monkeypatch):
    """Let Python programs started from here reach this machine only, and keep answers where a learner's go."""
    monkeypatch.delenv("PIN_THIRTY_ANSWERS", raising=False)
    folder = tmp_path_factory.mktemp("no_network")
    (folder / "sitecustomize.py").write_text(NO_NETWORK, encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", str(folder))


def test_the_network_is_really_off(without_network):
    """A program started like the kernels is refused by our own sentence."""
    code = "import urllib.request; urllib.request.urlopen('http://192.0.2.1/', timeout=5)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert "a lesson reached for 192.0.2.1" in done.stderr


def run(path):
    """Run a copy of a lesson from a fresh kernel and return sentences on what went wrong."""
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(notebook, timeout=60, kernel_name="python3", allow_errors=True, store_widget_state=False,
                            resources={"metadata": {"path": str(path.parent)}})
    client.execute()
    return [f"{cell.id}: {output.get('evalue') or output.get('text')}" for cell in notebook.cells
            if cell.cell_type == "code" for output in cell.outputs
            if output.output_type == "error" or output.get("name") == "stderr"]


@pytest.mark.in_turn(20, 2)
def test_a_lesson_runs_alone_and_again(path, tmp_path, without_network):
    """In a folder with nothing else in it, without a network, twice in a row; it changes nothing but the answers."""
    copy = tmp_path / path.name
    copy.write_text(stripped(path.read_text(encoding="utf-8")), encoding="utf-8")
    copy.chmod(0o444)
    before = copy.read_bytes()
    assert run(copy) == []
    assert run(copy) == []
    assert copy.read_bytes() == before
    assert {made.name for made in tmp_path.iterdir()} - {path.name, "answers"} == set()


# ------------------------------------------------------------------ the tests above can find what they look for

def notebook_of(*cells, **metadata):
    """Return a notebook of (kind, source, metadata) cells."""
    kinds = {"code": nbformat.v4.new_code_cell, "text": nbformat.v4.new_markdown_cell}
    return nbformat.v4.new_notebook(metadata=metadata, cells=[
        kinds[kind](source, id=f"cell-{number}", metadata=more) for number, (kind, source, more) in enumerate(cells)])


def test_a_planted_output_is_found():
    """A result, a cell never run, an error, widget state."""
    planted = notebook_of(("code", "1", {}), ("code", "1", {"tags": [SHOWN]}), ("code", "1", {}), widgets={"state": {}})
    planted.cells[0].outputs = [nbformat.v4.new_output("stream", text="1")]
    planted.cells[2].outputs = [nbformat.v4.new_output("error", ename="E", evalue="no", traceback=[])]
    assert unclean(planted) == ["it holds widget state", "cell-0 holds an output", "cell-1 is tagged nbval-check-output "
                                "and was never run", "cell-2 holds an output", "cell-2 shows an error"]


def test_a_planted_open_cell_is_found():
    """Half locked is open; a locked cell of the learner's is closed."""
    locked = {"deletable": False, "editable": False}
    planted = notebook_of(("text", "", locked), ("text", "", {"deletable": False}), ("code", "", {"tags": [YOURS]}),
                          ("code", "", locked | {"tags": [YOURS]}))
    assert unprotected(planted) == ["cell-1 can be deleted or edited", "cell-3 is the learner's and cannot be edited"]


def test_planted_headings_and_pictures_are_found():
    """A skipped level, a second title, a picture without words; code is not taken for a heading."""
    planted = notebook_of(("text", "# A\n### B\n```python\n# not a heading\n```\n", {}), ("text", "# C\n![](a.svg)", {}),
                          ("text", "![said](b.svg) <img src='c.svg' alt=''>", {}))
    assert out_of_order(planted) == ["there is more than one title", "a heading of level 3 follows one of level 1"]
    assert unspoken(planted) == ["a.svg", "<img src='c.svg' alt=''>"]
    assert out_of_order(notebook_of(("text", "## A", {}))) == ["the first heading is not the title"]


def test_a_planted_second_meaning_is_found():
    """A function that becomes a number; the same cell may change its own."""
    planted = notebook_of(("code", "def high(): pass\nlow = 1\nlow = 2", {}), ("code", "high, more = 3, 4", {}))
    assert twice_named(planted) == ["high in cell-0 and cell-1"]


def test_words_and_lines_are_counted():
    """Marks, tags and addresses are not words."""
    assert words(notebook_of(("text", "# One *two* [three](http://x.y/z)\n\n<b>four</b>, 12.5 V", {}))) == 6
    assert long_cells(notebook_of(("code", "x\n" * 13, {}), ("code", "x\n" * 12, {}))) == ["cell-0 has 13 lines"]


def test_a_planted_open_question_is_found():
    """Folded or not; a cell that asks nothing may stand open."""
    planted = notebook_of(("code", 'lesson.note("exit", "?")', {}), ("code", "lesson.progress()", {}),
                          ("code", 'lesson.note("more", "?")', {"jupyter": {"source_hidden": True}}))
    assert unfolded(planted) == ["cell-0 asks and is not folded"]


def test_a_planted_long_first_line_is_found():
    folded = {"jupyter": {"source_hidden": True}}
    planted = notebook_of(("code", "x" * 101, folded), ("code", f"{'x' * 100}\n{'y' * 101}", folded), ("code", "x" * 101, {}))
    assert overhanging(planted) == ["the first line of cell-0 has 101 letters"]


def test_a_planted_lesson_without_its_parts_is_found():
    """Neither card nor guarded page nor exit; steps in the open."""
    planted = notebook_of(("text", "# A\n\n## On the workbench\n\n1. Join the two.", {}), ("code", "lesson.progress()", {}))
    assert missing(planted) == ["no card for whoever starts here", "no page for the real bench behind the safety ticket",
                                "a step for the real bench in the open", "no exit question at the end"]
    whole = notebook_of(("text", f"# A\n\n{CARD} Volts.\n\n## On the workbench\n\nBelow.", {}),
                        ("code", "lesson.workbench(['Join.'])", {}), ("code", 'lesson.note("exit", "What first?")', {}))
    assert missing(whole) == []


def test_a_planted_failing_cell_is_found(tmp_path):
    """An error and a warning on stderr, each with its cell."""
    planted = notebook_of(("code", "1 / 0", {}), ("code", "import sys; print('hm', file=sys.stderr)", {}))
    nbformat.write(planted, tmp_path / "planted.ipynb")
    assert run(tmp_path / "planted.ipynb") == ["cell-0: division by zero", "cell-1: hm\n"]
