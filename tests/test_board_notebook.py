"""The command ``board`` without ``--out``: a notebook that holds one board, written once, opened in the kit's JupyterLab."""

import ast
import os

import nbformat
import pytest

import circuitlab as cl
from circuitlab.arrangements import bare
from circuitlab.benches.board.board import Board
from circuitlab.benches.board.seeking import FindBoard
from circuitlab.commands import lab, running
from circuitlab.commands.board_notebook import notebook_text
from circuitlab.commands.line import main
from circuitlab.ground.places import kit_folder

LAMP = cl.arrangement("one-fused-lamp")


@pytest.fixture
def begin(tmp_path, monkeypatch):
    """Return a function that types the command in a folder and gives the words JupyterLab was opened with, and the notebook."""
    begun = []
    monkeypatch.setattr(lab, "_jupyterlab", lambda: begun.append)
    monkeypatch.setattr(lab.os, "environ", dict(os.environ))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("USERPROFILE", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)

    def type_it(*words):
        before = set(tmp_path.rglob("*.ipynb"))
        assert main(["board", *words, "--no-browser"]) == 0
        new = [path for path in set(tmp_path.rglob("*.ipynb")) - before]
        return begun.pop(), new
    return type_it


def shown_by(notebook, monkeypatch):
    """Run the notebook's cell in its folder and return the board it shows; the notebook itself is sound."""
    found = nbformat.read(notebook, as_version=4)
    nbformat.validate(found)
    monkeypatch.chdir(notebook.parent)
    (cell,) = [cell for cell in found.cells if cell.cell_type == "code"]
    *before, last = ast.parse(cell.source).body
    scope = {}
    exec(compile(ast.Module(before, []), "cell", "exec"), scope)
    return eval(compile(ast.Expression(last.value), "cell", "eval"), scope)


def test_an_empty_board_and_one_of_the_kit_lie_in_the_learners_own_folder(begin, tmp_path, monkeypatch):
    own = tmp_path / "home" / "pin-thirty-lessons"
    words, [notebook] = begin()
    assert notebook == own / "my_board.ipynb" and f"--ServerApp.root_dir={own}" in words and "--no-browser" in words
    assert f"--LabApp.default_url=/{running.VIEW}/tree/my_board.ipynb" in words
    assert shown_by(notebook, monkeypatch).desk.tried.arrangement == bare()
    assert shown_by(notebook, monkeypatch).desk.form == "attached"
    notebook.unlink()
    begin("--form", "current-path")
    assert shown_by(notebook, monkeypatch).desk.form == "schematic"
    _, [notebook] = begin("one-fused-lamp", "--form", "attached")
    board = shown_by(notebook, monkeypatch)
    assert notebook.parent == own and isinstance(board, Board) and board.desk.tried.arrangement == LAMP and board.desk.form == "attached"


@pytest.mark.parametrize("name", ["my cart.toml", "it's \"mine\".toml", "ends.changes", "inner/deep.toml"])
def test_a_board_of_ones_own_file_lies_beside_it(begin, tmp_path, monkeypatch, name):
    """What is saved on it by that name is then that very file."""
    if os.name == "nt" and '"' in name:
        pytest.skip("no file has this name there")
    (tmp_path / name).parent.mkdir(exist_ok=True)
    changes = cl.Changes(LAMP).make("set F1 rating 3 A")
    cl.changes.save_changes(changes, name) if name.endswith(".changes") else cl.save(changes.after, name)
    words, [notebook] = begin(name)
    assert notebook == (tmp_path / name).with_name(f"{(tmp_path / name).stem}_board.ipynb")
    assert f"--ServerApp.root_dir={notebook.parent}" in words and [word for word in words if "default_url" in word][0].endswith("_board.ipynb")
    assert not any(set(word) & set(" '\"") for word in words if "default_url" in word)
    assert shown_by(notebook, monkeypatch).desk.tried.arrangement.part("F1").rating == 3.0


def test_a_file_among_the_lessons_opens_on_all_of_them_and_another_folder_names_it_in_full(begin, tmp_path, monkeypatch):
    own = tmp_path / "home" / "pin-thirty-lessons"
    (own / "mine").mkdir(parents=True)
    cl.save(LAMP, own / "mine" / "cart.toml")
    words, [notebook] = begin(str(own / "mine" / "cart.toml"))
    assert f"--ServerApp.root_dir={own}" in words and f"--LabApp.default_url=/{running.VIEW}/tree/mine/cart_board.ipynb" in words
    assert notebook.parent == own / "mine"
    words, [notebook] = begin(str(own / "mine" / "cart.toml"), "--folder", "other")
    assert notebook == tmp_path / "other" / "cart_board.ipynb" and f"--ServerApp.root_dir={tmp_path / 'other'}" in words
    assert shown_by(notebook, monkeypatch).desk.tried.arrangement.parts == LAMP.parts


def test_a_notebook_that_is_there_is_opened_as_it_is(begin, tmp_path, capsys):
    _, [notebook] = begin("--folder", "mine")
    text = notebook.read_text(encoding="utf-8").replace("import circuitlab as cl", "import circuitlab as cl     # mine")
    notebook.write_text(text, encoding="utf-8")
    capsys.readouterr()
    _, new = begin("--folder", "mine")
    assert not new and notebook.read_text(encoding="utf-8") == text
    assert "which was there already and opens as it is." in capsys.readouterr().out
    notebook.write_text(text[:200], encoding="utf-8")
    assert main(["board", "--folder", "mine"]) == 2
    assert "'my_board.ipynb' is no notebook any more, perhaps cut off. Give it another name" in capsys.readouterr().err
    assert notebook.read_text(encoding="utf-8") == text[:200]


@pytest.mark.parametrize("words, says", [
    (["nowhere.toml"], "'nowhere.toml' cannot be opened"), (["one-fused-lmp"], "Did you mean 'one-fused-lamp'"),
    (["--out", "x.html"], "Say which: board one-fused-lamp --out board.html"),
    (["one-fused-lamp", "--out", "x.html", "--no-browser"], "Leave them out, or leave out --out"),
    (["--folder", ""], "has no name"), (["--folder", str(kit_folder("lessons"))], "holds the kit's own lessons")])
def test_what_cannot_be_opened_is_said_in_a_sentence_and_nothing_is_written(begin, tmp_path, capsys, words, says):
    assert main(["board", *words]) == 2
    said = capsys.readouterr()
    assert says in said.err and len(said.err.splitlines()) == 1 and not said.out
    assert not list(tmp_path.rglob("*.ipynb")) and not list(kit_folder("lessons").glob("*_board.ipynb"))


def test_a_title_is_shown_as_it_stands():
    cells = nbformat.reads(notebook_text("<b>5 * 3 $x$ [a](b)", "cl.board()"), as_version=4).cells
    assert cells[0].source.splitlines()[0] == r"# \<b\>5 \* 3 \$x\$ \[a\](b)"


def test_a_jupyterlab_that_runs_on_the_folder_is_shown_the_board(tmp_path, monkeypatch):
    """By a page of the kit's own in its private folder, which keeps the token out of the list of programs; else by its address."""
    opened = []
    monkeypatch.setattr(running.webbrowser, "open", lambda address: opened.append(address) or True)
    server = running.Server("http://127.0.0.1:8888/", "5" * 48, tmp_path / "jpserver-7-open.html")
    said = running.show_again(server, page="mine/my cart_board.ipynb")
    link = f"http://127.0.0.1:8888/doc/tree/mine/my%20cart_board.ipynb?token={'5' * 48}"
    leading = tmp_path / "jpserver-7-open-page.html"
    assert opened == [leading.as_uri()] and f"url={link}" in leading.read_text(encoding="utf-8") and link in said
    again = running.Server(server.address, server.token, tmp_path / "gone" / "jpserver-7-open.html")
    running.show_again(again, page="mine/my cart_board.ipynb")
    assert opened[1:] == [link]


def test_a_board_that_finds_a_fault_keeps_its_case_beside_it(begin, tmp_path, monkeypatch):
    """Of a circuit of the kit; the case it begins is gone on with, and a file of one's own lies beside its notebook."""
    words, [notebook] = begin("one-fused-lamp", "--find")
    own = tmp_path / "home" / "pin-thirty-lessons"
    assert notebook == own / "one-fused-lamp_find.ipynb" and f"--LabApp.default_url=/{running.VIEW}/tree/one-fused-lamp_find.ipynb" in words
    board = shown_by(notebook, monkeypatch)
    assert isinstance(board, FindBoard) and board.case.symptoms == () and board.desk.file == "one-fused-lamp.case"
    monkeypatch.chdir(tmp_path)
    cl.save(LAMP, "my cart.toml")
    _, [notebook] = begin("my cart.toml", "--find")
    assert notebook == tmp_path / "my cart_find.ipynb" and shown_by(notebook, monkeypatch).case.arrangement.parts == LAMP.parts


def test_a_case_opens_on_the_board_that_goes_on_with_it(begin, tmp_path, monkeypatch):
    """Its circuit is found as the command find does; from another folder both are named in full."""
    assert main(["find", "one-fused-lamp", "--case", "left.case", "--symptom", "E1 dim when lamp switch on"]) == 0
    _, [notebook] = begin("left.case")
    board = shown_by(notebook, monkeypatch)
    assert notebook == tmp_path / "left_find.ipynb" and board.case.symptoms == ("E1 dim when lamp switch on",) and board.desk.file == "left.case"
    _, [notebook] = begin("left.case", "--folder", "elsewhere")
    assert notebook == tmp_path / "elsewhere" / "left_find.ipynb" and shown_by(notebook, monkeypatch).case.symptoms == board.case.symptoms


@pytest.mark.parametrize(("words", "says"), [
    (["--find"], "a fault is found in a circuit"), (["one-fused-lamp", "--find", "--form", "attached"], "--form is not for a board that finds a fault"),
    (["one-fused-lamp", "--find", "--out", "board.html"], "--folder, --no-browser and --find are for the live board"), (["lost.case"], "lost.case")])
def test_a_board_to_find_a_fault_on_is_refused_in_one_sentence(words, says, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["board", *words]) == 2
    err = capsys.readouterr().err
    assert says in err and len(err.splitlines()) == 1 and list(tmp_path.iterdir()) == []
