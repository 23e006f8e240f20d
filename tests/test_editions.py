"""A learner's lessons and the kit's of today: what is older, what was edited, and that nothing is lost or doubled."""

import json

import pytest

from circuitlab.commands.editions import edition
from circuitlab.commands.lessons import copy_lessons
from circuitlab.commands.line import main


def notebook(*sources):
    """Return the text of a notebook with code cells."""
    cells = [{"cell_type": "code", "id": f"c{number}", "metadata": {}, "source": source, "outputs": [], "execution_count": None}
             for number, source in enumerate(sources)]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def kit(tmp_path):
    """Two lessons of a kit."""
    folder = tmp_path / "kit"
    folder.mkdir()
    (folder / "01_one.ipynb").write_text(notebook("1", "print('one')"))
    (folder / "02_two.ipynb").write_text(notebook("2"))
    return folder


@pytest.fixture
def own(tmp_path, kit):
    """A learner's copy of them."""
    copy_lessons(tmp_path / "own", kit)
    return tmp_path / "own"


def edit(path, more, where="source"):
    """Change the first cell of a learner's notebook."""
    found = json.loads(path.read_text())
    found["cells"][0][where] = more
    path.write_text(json.dumps(found))


def test_a_fresh_copy_is_of_today_and_outputs_make_no_edition(own, kit):
    edit(own / "01_one.ipynb", [{"output_type": "stream", "name": "stdout", "text": "one"}], "outputs")
    copied = copy_lessons(own, kit)
    assert copied.outdated == () and "newer edition" not in copied.sentence


def test_an_edited_lesson_of_today_is_left_in_peace(own, kit):
    edit(own / "01_one.ipynb", "my own line")
    assert copy_lessons(own, kit).outdated == ()


def test_an_older_lesson_is_told_from_an_edited_one_and_only_offered(own, kit):
    edit(own / "02_two.ipynb", "my own line")
    for lesson in kit.iterdir():
        lesson.write_text(notebook("better"))
    before = {path.name: path.read_bytes() for path in own.glob("*.ipynb")}
    copied = copy_lessons(own, kit)
    assert [(each.name, each.is_edited) for each in copied.outdated] == [("01_one.ipynb", False), ("02_two.ipynb", True)]
    assert ("newer editions of 2 lessons of yours: '01_one.ipynb' (as it was copied), '02_two.ipynb' (edited by you). "
            "Start with --renew") in copied.sentence
    assert {path.name: path.read_bytes() for path in own.glob("*.ipynb")} == before


def test_renewing_keeps_every_earlier_one_aside_and_brings_todays(own, kit):
    edit(own / "02_two.ipynb", "my own line")
    before = {path.name: path.read_bytes() for path in own.glob("*.ipynb")}
    (own / "answers" / "lesson-01.jsonl").write_text("kept\n")
    for turn in (1, 2):
        for lesson in kit.iterdir():
            lesson.write_text(notebook(f"better {turn}"))
        copied = copy_lessons(own, kit, renew=True)
        assert copied.aside.name == f"earlier-{turn}" and copied.outdated == () and f"'earlier-{turn}'" in copied.sentence
    assert {path.name: path.read_bytes() for path in (own / "earlier-1").iterdir()} == before
    assert edition(json.loads((own / "01_one.ipynb").read_text())) == edition(json.loads(notebook("better 2")))
    assert (own / "answers" / "lesson-01.jsonl").read_text() == "kept\n"
    assert copy_lessons(own, kit, renew=True).aside is None and not (own / "earlier-3").exists()


def test_a_lesson_that_got_another_name_leaves_no_twin(own, kit):
    (kit / "01_one.ipynb").rename(kit / "01_first.ipynb")
    copied = copy_lessons(own, kit)
    assert [(each.name, each.today) for each in copied.outdated] == [("01_one.ipynb", "01_first.ipynb")]
    copy_lessons(own, kit, renew=True)
    assert sorted(path.name for path in own.glob("*.ipynb")) == ["01_first.ipynb", "02_two.ipynb"]


def test_a_notebook_of_ones_own_is_never_touched(own, kit):
    for name, text in (("01_my_trial.ipynb", notebook("x")), ("notes.ipynb", notebook("y")), ("03_broken.ipynb", "{"),
                       ("01_one-Copy1.ipynb", (own / "01_one.ipynb").read_text())):
        (own / name).write_text(text)
    edit(own / "01_one-Copy1.ipynb", "a second trial")
    assert copy_lessons(own, kit, renew=True).outdated == ()
    assert (own / "01_my_trial.ipynb").read_text() == notebook("x") and (own / "03_broken.ipynb").read_text() == "{"
    assert "a second trial" in (own / "01_one-Copy1.ipynb").read_text()


def test_a_copy_of_an_older_kit_has_no_mark_and_may_have_been_edited(own, kit):
    (own / "01_one.ipynb").write_text(notebook("1 as it was"))
    (older,) = copy_lessons(own, kit).outdated
    assert older.is_edited is None and older.words == "'01_one.ipynb' (perhaps edited by you)"


def test_the_command_offers_and_renews(tmp_path, monkeypatch, capsys):
    """From the command line, with the kit's own lessons; JupyterLab itself is left out."""
    monkeypatch.setattr("circuitlab.commands.lab.open_lab", lambda *given, **more: 0)
    folder = tmp_path / "lessons"
    assert main(["start", "--folder", str(folder), "--no-browser"]) == 0
    edit(folder / "01_close_the_loop.ipynb", "mine")
    found = json.loads((folder / "01_close_the_loop.ipynb").read_text())
    found["metadata"]["pin_thirty"]["edition"] = "an earlier one"
    (folder / "01_close_the_loop.ipynb").write_text(json.dumps(found))
    capsys.readouterr()
    main(["start", "--folder", str(folder), "--no-browser"])
    assert "'01_close_the_loop.ipynb' (edited by you). Start with --renew" in capsys.readouterr().out
    main(["start", "--folder", str(folder), "--no-browser", "--renew"])
    assert "Your earlier editions are in 'earlier-1'" in capsys.readouterr().out
    assert "mine" in (folder / "earlier-1" / "01_close_the_loop.ipynb").read_text()
