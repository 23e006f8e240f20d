"""Tests ask questions, books and records what they show openly, or press and read their widgets as in ``hands.py``."""

import ast
from pathlib import Path

import pytest

from circuitlab.ground.places import kit_folder

TESTS = Path(__file__).parent
PACKAGE = kit_folder("lessons").parent / "circuitlab"
ROOMS = ("teaching/**/*.py", *(f"benches/{room}.py" for room in (
    "asked", "entries", "guard", "laddered", "lesson", "record", "ticket")))


def is_private(name):
    """Whether a name is a class's own business; those that end in underscores belong to Python or to the notebook."""
    return name.startswith("_") and not name.endswith("_")


def members(tree):
    """Yield the private members that the classes of a room have: methods, what stands in the class, what is put on ``self``."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            yield from (each.name for each in node.body if isinstance(each, ast.FunctionDef) and is_private(each.name))
            yield from (name.id for each in node.body if isinstance(each, ast.Assign) for name in each.targets
                        if isinstance(name, ast.Name) and is_private(name.id))
        elif isinstance(node, ast.Attribute) and ast.unparse(node.value) == "self" and is_private(node.attr):
            yield node.attr


def reads(tree, private):
    """Yield ``line: name`` of every private member read by a dot or by its name, off anything but itself or an imported room."""
    rooms = {each.asname or each.name for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)
             for each in node.names if each.name.islower()}
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute):
            of, names = node.value, [node.attr]
        elif isinstance(node, ast.Call) and len(node.args) > 1 and ast.unparse(node.func).endswith(("getattr", "setattr")):
            of, names = node.args[0], [each.value for each in node.args[1:] if isinstance(each, ast.Constant)]
        else:
            continue
        if ast.unparse(of) not in {"self", "cls", "super()"} | rooms:
            yield from (f"{node.lineno}: {name}" for name in names if name in private)


@pytest.fixture(scope="module")
def private():
    """Return the private members of everything a question is made of."""
    found = {name for room in ROOMS for path in PACKAGE.glob(room) for name in members(ast.parse(path.read_text("utf-8")))}
    assert {"_entry", "_shown", "_guard", "_keep", "_waiting"} <= found
    return found


@pytest.mark.parametrize("path", sorted(TESTS.rglob("*.py")), ids=lambda path: path.relative_to(TESTS).as_posix())
def test_no_test_reads_the_private_members_of_a_question(path, private):
    """What a learner sees and a teacher marks is open; how a question keeps it may change."""
    assert list(reads(ast.parse(path.read_text("utf-8")), private)) == []


@pytest.mark.parametrize(("text", "found"), [
    ("assert question._entry.value == ''", ["1: _entry"]),
    ("lesson.questions['a']._shown\nx = ask()._guard", ["1: _shown", "2: _guard"]),
    ("getattr(question, '_entry')\nmonkeypatch.setattr(question, '_shown', 1)", ["1: _entry", "2: _shown"]),
    ("class Seen:\n    def f(self):\n        return self._entry, super()._shown", []),
    ("from circuitlab.teaching import book\nbook._keep, setattr(book, '_keep', 1)", []),
    ("question.entry, question._repr_mimebundle_(), bench._courses, getattr(question, 'shown')", []),
])
def test_a_planted_read_is_found(text, found, private):
    """By a dot or by name, off whatever it is read; a class's own and the notebook's names are left alone."""
    assert list(reads(ast.parse(text), private)) == found
