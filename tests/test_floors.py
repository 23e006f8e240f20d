"""The house holds: imports run downwards, outside libraries stay in their rooms, rooms stay small."""

import ast
import re
import subprocess
import sys
import warnings
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import networkx
import pytest

import circuitlab

PACKAGE = Path(circuitlab.__file__).parent
FLOORS = ["ground", "parts", "arrangements", "solving", "reasoning", "views", "teaching", "benches", "commands"]
ROOMS = {  # outside library (or guarded part of the standard library): the folder whose rooms may import it
    "schemdraw": "views/faces/*",
    "resvg_py": "views/printing/*",
    "svglib": "views/printing/*",
    "reportlab": "views/printing/*",
    "matplotlib": "views/printing/*",
    "ipywidgets": "benches/*",
    "IPython": "benches/*",
    "anywidget": "benches/board/*",
    "traitlets": "benches/board/*",
    "numpy": "solving/sweep*.py or reasoning/finding/*.py",      # the sweeps, and what weighs all candidates at once
    "networkx": "arrangements/*",
    "tomllib": "arrangements/*",
    "nbformat": "commands/*",
    "nbconvert": "commands/*",
    "jupyterlab": "commands/*",
    "json5": "commands/*",
    "jupyter_server": "commands/*",
}
ROOM_TARGET, ROOM_LIMIT, FUNCTION_LIMIT = 300, 350, 50  # lines
EMPTY_NAMES = {"util", "utils", "helper", "helpers", "misc", "common", "tools"}


def rooms(package):
    """Yield (path inside the package, syntax tree, text) of every room."""
    for path in sorted(package.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        yield path.relative_to(package), parsed(text), text


@cache
def parsed(text):
    """Return the syntax tree of a room; every test here looks at the same rooms."""
    return ast.parse(text)


@cache
def nodes(tree):
    """Return every node of a tree."""
    return tuple(ast.walk(tree))


def called(node):
    """Return the last name of what a call calls, or None. [text]"""
    return getattr(node.func, "attr", getattr(node.func, "id", None))


def floor_of(module):
    """Return the floor of a room or module path, or None for the public page, which may show any floor."""
    name = module[0].removesuffix(".py") if module else "__init__"
    return {"__init__": None, "__main__": "commands"}.get(name, name)


def imports(room, tree):
    """Yield (line, dots, module path) of every import, those inside functions too.

    A relative one is resolved to its place inside the package.
    """
    for node in nodes(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, 0, alias.name.split(".")
        elif isinstance(node, ast.ImportFrom):
            module = node.module.split(".") if node.module else []
            if not node.level:
                yield node.lineno, 0, module
                continue
            here = list(room.parts[:-1])
            base = here[:len(here) - (node.level - 1)] + module
            for alias in node.names:      # from .. import views: the name may be the floor
                yield node.lineno, node.level, base or [alias.name]


def called_imports(room, tree):
    """Yield (line, dots, module path) of every import that is a call; the path is None where only running it would tell."""
    for node in nodes(tree):
        if isinstance(node, ast.Call) and called(node) in ("import_module", "__import__"):
            said = node.args[0] if node.args else None
            if not (isinstance(said, ast.Constant) and isinstance(said.value, str)):
                yield node.lineno, 0, None
                continue
            name = said.value.lstrip(".")
            dots = len(said.value) - len(name)
            yield node.lineno, dots, [*room.parts[:len(room.parts) - dots], *name.split(".")] if dots else name.split(".")


def crossings(package):
    """Return a sentence for every import that goes up, or leaves the room of its library."""
    found = []
    for room, tree, _ in rooms(package):
        floor = floor_of(room.parts)
        if floor is not None and floor not in FLOORS:
            found.append(f"{room.as_posix()} lies on no floor")
            continue
        if floor is not None:       # the public page loads each name from the floor it says, when it is first asked for
            found += [f"{room.as_posix()}:{line} imports what only running it would tell"
                      for line, _, module in called_imports(room, tree) if module is None]
        called = [each for each in called_imports(room, tree) if each[2]]
        for line, dots, module in [*imports(room, tree), *called]:
            where = f"{room.as_posix()}:{line}"
            if module == ["__version__"]:        # the one thing the public page says that a room may ask
                continue
            if dots:
                target = floor_of(module)
                if target not in FLOORS:
                    found.append(f"{where} imports {'.'.join(module)}, which lies on no floor")
                elif floor and FLOORS.index(target) > FLOORS.index(floor):
                    found.append(f"{where} imports upwards, {target} from {floor}")
            elif module[0] == "circuitlab":
                found.append(f"{where} imports the package by name; write a relative import")
            elif module[0] in ROOMS:
                if not any(fnmatch(room.as_posix(), each) for each in ROOMS[module[0]].split(" or ")):
                    found.append(f"{where} imports {module[0]}, which belongs into {ROOMS[module[0]]}")
            elif module[0] not in sys.stdlib_module_names:
                found.append(f"{where} imports {module[0]}, which no room may")
    return found


def circles(package):
    """Return a sentence for every ring of rooms that import each other, inside functions too; a folder's own page is a room."""
    trees = {tuple(part for part in room.with_suffix("").parts if part != "__init__"): (room, tree)
             for room, tree, _ in rooms(package)}
    graph = networkx.DiGraph()
    for here, (room, tree) in trees.items():
        for node in nodes(tree):
            if isinstance(node, ast.ImportFrom) and node.level:
                base = list(room.parts[:len(room.parts) - node.level]) + (node.module.split(".") if node.module else [])
                for alias in node.names:        # the name may be a room
                    there = tuple([*base, alias.name])
                    graph.add_edge(here, there if there in trees else tuple(base))
    rings = [sorted(map(".".join, ring)) for ring in networkx.strongly_connected_components(graph) if len(ring) > 1]
    return [f"{' and '.join(ring)} import each other" for ring in sorted(rings)]


def oversizes(package):
    """Return a sentence for every room or function that is too long, and for names that say nothing."""
    found = []
    for room, tree, text in rooms(package):
        lines = len(text.splitlines())
        if lines > ROOM_LIMIT:
            found.append(f"{room.as_posix()} has {lines} lines, above {ROOM_LIMIT}")
        if {part.removesuffix(".py").lower() for part in room.parts} & EMPTY_NAMES:
            found.append(f"{room.as_posix()} has a name that says nothing")
        for node in nodes(tree):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                size = node.end_lineno - node.lineno + 1
                if ast.get_docstring(node) is not None:
                    size -= node.body[0].end_lineno - node.body[0].lineno + 1
                if size > FUNCTION_LIMIT:
                    found.append(f"{room.as_posix()}:{node.lineno} {node.name} has {size} lines, above {FUNCTION_LIMIT}")
    return found


def test_imports_run_downwards_and_libraries_stay_in_their_rooms():
    """Of every import in the package, inside functions too."""
    assert crossings(PACKAGE) == []


def test_no_rooms_import_each_other():
    """Nor around a corner: what two rooms need of each other belongs into a third below them, or above."""
    assert circles(PACKAGE) == []


def test_rooms_and_functions_stay_small_and_are_named_for_their_subject():
    """A room above its target is said in the summary; above its limit it fails."""
    for room, _, text in rooms(PACKAGE):
        lines = len(text.splitlines())
        if lines > ROOM_TARGET:
            warnings.warn(f"{room.as_posix()} has {lines} lines; the target is {ROOM_TARGET}", stacklevel=1)
    assert oversizes(PACKAGE) == []


def test_every_floor_is_there():
    """So that the tests above look at the house they mean."""
    assert {path.name for path in PACKAGE.iterdir() if (path / "__init__.py").exists()} == set(FLOORS)


@pytest.mark.parametrize("module", ["circuitlab", *(f"circuitlab.{floor}" for floor in FLOORS[:5]),
                                    "circuitlab.commands.line"])
def test_importing_loads_no_outside_library(module):
    """Everything up to the reasoning, and the command line, starts on the standard library alone."""
    code = (f"import sys; before = set(sys.modules); import {module}; "
            "new = {name.partition('.')[0] for name in set(sys.modules) - before}; "
            "print(sorted(new - set(sys.stdlib_module_names) - {'circuitlab'}))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# ------------------------------------------------ the tests above can find what they look for

@pytest.fixture
def planted(tmp_path):
    """Return a function that builds a small house with one given room."""
    def plant(room, text):
        for floor in FLOORS:
            (tmp_path / floor).mkdir(exist_ok=True)
            (tmp_path / floor / "__init__.py").write_text("")
        path = tmp_path / room
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        return tmp_path
    return plant


@pytest.mark.parametrize(("room", "text", "sentence"), [
    ("parts/lamp.py", "from ..solving import run", "parts/lamp.py:1 imports upwards, solving from parts"),
    ("parts/lamp.py", "from ..solving.run import run", "parts/lamp.py:1 imports upwards, solving from parts"),
    ("parts/lamp.py", "from .. import views", "parts/lamp.py:1 imports upwards, views from parts"),
    ("parts/lamp.py", "def f():\n    from ..views import tables", "parts/lamp.py:2 imports upwards, views from parts"),
    ("views/faces/pen.py", "from ...benches import panel",
     "views/faces/pen.py:1 imports upwards, benches from views"),
    ("views/tables.py", "from circuitlab.parts import Lamp",
     "views/tables.py:1 imports the package by name; write a relative import"),
    ("views/tables.py", "import schemdraw.elements",
     "views/tables.py:1 imports schemdraw, which belongs into views/faces/*"),
    ("views/schematic/pen.py", "import schemdraw", "views/schematic/pen.py:1 imports schemdraw, which belongs into views/faces/*"),
    ("solving/point.py", "def f():\n    import numpy as np",
     "solving/point.py:2 imports numpy, which belongs into solving/sweep*.py or reasoning/finding/*.py"),
    ("views/tables.py", "from IPython.display import HTML", "views/tables.py:1 imports IPython, which belongs into benches/*"),
    ("benches/panel.py", "import scipy", "benches/panel.py:1 imports scipy, which no room may"),
    ("ground/read.py", "import tomllib", "ground/read.py:1 imports tomllib, which belongs into arrangements/*"),
    ("attic.py", "", "attic.py lies on no floor"),
    ("reasoning/rows.py", "from importlib import import_module\nimport_module('..views.tables', __package__)",
     "reasoning/rows.py:2 imports upwards, views from reasoning"),
    ("reasoning/rows.py", "import importlib\ndef f():\n    return importlib.import_module('circuitlab.views')",
     "reasoning/rows.py:3 imports the package by name; write a relative import"),
    ("reasoning/rows.py", "def f(floor):\n    return __import__(floor)", "reasoning/rows.py:2 imports what only running it would tell"),
    ("reasoning/rows.py", "from importlib import import_module\nimport_module('numpy')",
     "reasoning/rows.py:2 imports numpy, which belongs into solving/sweep*.py or reasoning/finding/*.py"),
    ("parts/lamp.py", "from ..attic import old", "parts/lamp.py:1 imports attic, which lies on no floor"),
])
def test_a_planted_crossing_is_found(planted, room, text, sentence):
    """One wrong import, one sentence."""
    assert crossings(planted(room, text)) == [sentence]


@pytest.mark.parametrize(("room", "text"), [
    ("benches/panel.py", "from .. import __version__"),
    ("__init__.py", "from .reasoning import lamp_table"),
    ("__main__.py", "from .commands.line import main"),
    ("views/faces/pen.py", "import schemdraw\nfrom ..style import INK\nfrom ...parts import Lamp\nfrom . import shape"),
    ("benches/tiles/meter.py", "import ipywidgets\nfrom ..panel import tile"),
    ("benches/panel.py", "import ipywidgets\nfrom ..views import tables\nfrom .. import views"),
    ("solving/point.py", "import math\nfrom .network import Network"),
    ("solving/__init__.py", "from importlib import import_module\nimport_module('.sweeping', __name__)"),
    ("__init__.py", "from importlib import import_module\ndef f(name):\n    return import_module(name)"),
])
def test_an_honest_import_is_left_alone(planted, room, text):
    """Downwards, on the same floor, or in the library's own room."""
    assert crossings(planted(room, text)) == []


@pytest.mark.parametrize(("one", "other", "third", "found"), [
    ("from .bulbs import bulb", "def f():\n    from .lamp import Lamp", "", ["parts.bulbs and parts.lamp import each other"]),
    ("from . import bulbs", "from .names import find", "from .lamp import Lamp",
     ["parts.bulbs and parts.lamp and parts.names import each other"]),
    ("from .bulbs import bulb", "from .names import find", "", []),
    ("from ..ground import errors", "from .lamp import Lamp", "from .bulbs import bulb\nfrom .lamp import Lamp", [])])
def test_a_planted_circle_is_found(planted, one, other, third, found):
    """Of two rooms, of three, inside a function; none where all imports lead on."""
    for room, text in (("parts/lamp.py", one), ("parts/bulbs.py", other), ("parts/names.py", third)):
        house = planted(room, text)
    assert circles(house) == found


@pytest.mark.parametrize(("room", "text", "words"), [
    ("parts/lamp.py", "x = 1\n" * 351, "has 351 lines"),
    ("parts/lamp.py", "def long():\n    'Said.'\n" + "    x = 1\n" * 50, "long has 51 lines"),
    ("parts/utils.py", "", "name that says nothing"),
])
def test_a_planted_oversize_is_found(planted, room, text, words):
    """Too long a room, too long a function, an empty name."""
    (sentence,) = oversizes(planted(room, text))
    assert words in sentence


def test_a_long_docstring_does_not_count(planted):
    """A function is measured by what it does."""
    text = "def kept():\n    '''\n" + "    word\n" * 90 + "    '''\n" + "    x = 1\n" * 49
    assert oversizes(planted("parts/lamp.py", text)) == []


# ------------------------------------------------------------------ doors: rooms named by a result, found when asked for

OPENS = {"views", "reasoning.paths:path_to", "arrangements.rows:count_rows", "arrangements.cautions:warnings_for",
         "arrangements.text:write_text"}


def doors(package):
    """Yield (room, line, place) of every view a result names and every door it has; the place is None where it is no text."""
    for room, tree, _ in rooms(package):
        for node in nodes(tree):
            said = []
            if isinstance(node, ast.Call) and called(node) == "Door":
                said = node.args or [node]
            elif isinstance(node, ast.Assign):
                pairs = [(node.targets[0], node.value)]
                if all(isinstance(each, ast.Tuple) for each in pairs[0]):
                    pairs = zip(node.targets[0].elts, node.value.elts)
                said = [value for name, value in pairs if getattr(name, "id", None) in ("text_view", "html_view")]
            for each in said:
                yield room.as_posix(), node.lineno, each.value if isinstance(each, ast.Constant) else None


def shut_doors(package, opens=OPENS):
    """Return a sentence for every door that leads nowhere, or where none may lead."""
    found = []
    for room, line, place in doors(package):
        if room == "ground/showing.py":        # where they are made; without a view it is empty
            continue
        if place is None or ":" not in place:
            found.append(f"{room}:{line} has a door of which only running it would tell where it leads")
            continue
        if place.split(".")[0] not in opens and place not in opens:
            found.append(f"{room}:{line} has a door to {place}, which is no view")
        there, name = place.split(":")
        file = package.joinpath(*there.split("."))
        file = file / "__init__.py" if file.is_dir() else file.with_suffix(".py")
        if not file.exists() or not re.search(rf"^def {name}\(|import .*\b{name}\b", file.read_text(encoding="utf-8"), re.MULTILINE):
            found.append(f"{room}:{line} has a door to {place}, and nothing is there")
    return found


def test_every_door_leads_to_a_view_that_is_there():
    """A name in a string is no import, so it is looked at by itself: every view named, and few other rooms."""
    named = {place for _, _, place in doors(PACKAGE)}
    assert {"views.tables:lamp_table_html", "views.schematic:draw", "reasoning.paths:path_to"} <= named
    assert shut_doors(PACKAGE) == []


@pytest.mark.parametrize(("text", "says"), [
    ('class Table:\n    text_view, html_view = "views.lamps:told", "views.lamps:shown"', "views.lamps:shown, and nothing is there"),
    ('class Table:\n    html_view = "views.tables:told"', "views.tables:told, and nothing is there"),
    ('class Table:\n    solve = Door("solving.sweeping:sweep")', "solving.sweeping:sweep, which is no view"),
    ('class Table:\n    text_view = "views." + "lamps:told"', "only running it would tell"),
    ('def f(where):\n    return Door(where)', "only running it would tell"),
])
def test_a_planted_door_to_nowhere_is_found(planted, text, says):
    """A function or a room that is not there, another floor, a place put together."""
    package = planted("reasoning/rows.py", text)
    (package / "views" / "lamps.py").write_text("def told(table):\n    return ''\n")
    assert any(says in each for each in shut_doors(package))
