"""What the kit's own JupyterLab may run when a notebook is opened: the kit's lessons in the learner's own copy, and nothing else."""

import json
import re

import nbformat
import pytest

from circuitlab.commands.ready import FOREIGN, UNSEEN, told
from circuitlab.ground import known_cells
from circuitlab.ground.known_cells import LAB, YOURS, lesson_cells, menus, remember, remember_lessons, starts, sum_of
from circuitlab.ground.places import kit_folder

NAME = "00_start_here.ipynb"
LESSONS = sorted(path.name for path in kit_folder("lessons").glob("*.ipynb"))


@pytest.fixture
def private(tmp_path, monkeypatch):
    """The private folder of the kit's own JupyterLab, in which this kernel runs."""
    monkeypatch.setenv(LAB, str(tmp_path))
    return tmp_path


def asked(name=NAME, **changed):
    """Return what is told of a lesson some of whose cells hold another text, or which has cells more."""
    cells = {identity: text for identity, (text, *_) in lesson_cells(name).items()} | {
        identity.replace("_", "-"): text for identity, text in changed.items()}
    return told(json.dumps([name, list(cells.items())]))


@pytest.mark.parametrize("name", LESSONS)
def test_every_lesson_of_the_kit_is_run(private, name):
    found = asked(name)
    assert found["is_own"] and not found["has_run"] and not found["unseen"] and found["said"] == ""


def test_a_notebook_that_only_carries_the_kits_name_is_not_run(private):
    """A locked cell that was changed, or a name the kit does not have: one sentence, also when it was run by hand before."""
    planted = "import os; os.remove('all')"
    assert asked(machine=planted)["said"] == FOREIGN and not asked(machine=planted)["is_own"]
    assert not told(json.dumps(["99_foreign.ipynb", [["machine", planted]]]))["is_own"]
    assert asked(machine=planted)["starts"] == {}


def test_what_was_never_run_here_waits_and_once_run_by_hand_it_goes_by_itself(private):
    """A cell of the learner's that somebody else filled, and a cell that was added."""
    found = asked(meter="red = 1", added="2 + 2")
    assert found["is_own"] and found["said"] == UNSEEN
    assert found["unseen"] == {"meter": starts(NAME)["meter"], "added": ""}
    remember(["red = 1"])
    assert asked(meter="red = 1", added="2 + 2")["unseen"] == {"added": ""}
    remember(["2 + 2"])
    assert asked(meter="red = 1", added="2 + 2")["said"] == ""
    assert len((private / known_cells.KNOWN).read_text().split()) == 2
    remember(["2 + 2"])
    assert len((private / known_cells.KNOWN).read_text().split()) == 2


def test_outside_the_kits_own_jupyterlab_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.delenv(LAB, raising=False)
    remember(["red = 1"])
    assert asked(meter="red = 1")["unseen"] and list(tmp_path.iterdir()) == []


def test_a_lesson_of_a_kit_that_was_started_here_is_run_also_when_the_kit_has_another_edition(private, monkeypatch):
    """Every start keeps in mind what its lessons hold, each cell once."""
    was = "was = 'another edition'"
    with monkeypatch.context() as then:
        then.setattr(known_cells, "_kits", lambda: {sum_of(was)})
        remember_lessons(private)
        remember_lessons(private)
    assert (private / known_cells.KNOWN).read_text() == f"{sum_of(was)}\n"
    assert asked(machine=was)["is_own"] and not asked(machine=f"{was}#")["is_own"]


# ------------------------------------------------------------------ the learner's own cells, in every lesson

def code(name):
    """Return the code cells of a lesson."""
    return [cell for cell in nbformat.read(kit_folder("lessons") / name, as_version=4).cells if cell.cell_type == "code"]


@pytest.mark.parametrize("name", LESSONS)
def test_a_slip_costs_its_own_cell_and_all_other_code_is_folded(name):
    """By the tag that lets the cells below go on; nothing to see but what is the learner's, and no lambda in it."""
    own = [cell for cell in code(name) if YOURS in cell.metadata.get("tags", ())]
    assert [cell.id for cell in own if "raises-exception" not in cell.metadata.tags or "lambda" in cell.source] == []
    assert [cell.id for cell in code(name) if cell not in own and not cell.metadata.get("jupyter", {}).get("source_hidden")] == []
    assert {cell.id for cell in own} == {*starts(name)}


@pytest.mark.parametrize(("name", "identity"), [(name, identity) for name in LESSONS for identity in menus(name)])
def test_every_menu_finds_its_values_in_its_cell_and_names_cells_below(name, identity):
    """Read by the rule of the page: each value behind the one before it, no remark counts; whatever is chosen can be read."""
    menu, begun = menus(name)[identity], starts(name)[identity]
    text, at = re.sub(r"^[ \t]*#.*$", lambda line: " " * len(line[0]), begun, flags=re.M), 0
    for words, choices in menu.get("menu", ()):
        values = [choice if isinstance(choice, str) else choice[0] for choice in choices]
        standing = [(found, -len(value), value) for value in values if (found := text.find(value, at)) >= 0]
        assert standing, (words, values)
        place, length, value = min(standing)
        assert words and len({*values}) == len(values) > 1
        for other in values:
            compile(begun[:place] + other + begun[place - length:], identity, "exec")
        at = place - length
    below = [cell.id for cell in code(name)]
    then = menu.get("then", [])
    assert then == "below" or {*then} <= {*below[below.index(identity) + 1:]}


def test_every_cell_that_is_only_set_can_be_set_by_menu():
    """The circuit that is wired in lesson 00 as well: both ends of each wire."""
    without = [(name.partition("_")[0], identity) for name in LESSONS for identity in starts(name) if not menus(name).get(identity, {}).get("menu")]
    assert without == [] and any(map(starts, LESSONS))
