"""Views show and never compute: no view names what solves, and with the solver's doors shut every ready result is shown."""

import ast
import re

import pytest

import circuitlab as cl
from circuitlab.reasoning.to_build import to_build
from circuitlab.views.build_sheet import sheet_page
from test_floors import PACKAGE, nodes, planted, rooms  # noqa: F401 (a fixture)

DOORS = {("solving.settling", "untimed_point"), ("solving.operating", "operating_point"), ("solving.playing", "run"),
         ("solving.playing", "Engine"), ("solving.sweeping", "sweep")}      # what finds states and volts anew
SHORTED = cl.changed(cl.arrangement("shared-filament-rear-relays"), cl.SwapTerminals("K1:87", "K1:87a"))


def module_of(room):
    return ".".join(part for part in room.with_suffix("").parts if part != "__init__")


def names_in(package):
    """Return what every name of a module stands for, ``{module: {name: (module, name)}}``, and each definition's tree."""
    known, trees = {}, {}
    for room, tree, _ in rooms(package):
        module, here = module_of(room), room.parts[:-1]
        own = known.setdefault(module, {})
        for node in nodes(tree):
            if isinstance(node, ast.ImportFrom) and node.level:
                base = [*here[:len(here) - node.level + 1], *(node.module or "").split(".")]
                for alias in node.names:
                    own[alias.asname or alias.name] = ".".join(filter(None, base)), alias.name
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                own[node.name] = module, node.name
                trees[module, node.name] = node
    return known, trees


def resolved(known, place):
    """Follow a name through the packages that pass it on."""
    for _ in range(5):
        module, name = place
        further = known.get(module, {}).get(name, place)
        if further == place:
            return place
        place = further
    return place


def solving_names(package):
    """Return every function below the views that asks, at whatever remove, for a state or volts anew.

    A class counts by no method of it: what a result works out when it is asked belongs to the result.
    """
    known, trees = names_in(package)
    uses = {place: {resolved(known, known[place[0]][node.id]) for node in nodes(tree)
                    if isinstance(node, ast.Name) and node.id in known[place[0]]}
            for place, tree in trees.items() if isinstance(tree, ast.FunctionDef) and place[0].split(".")[0] in ("solving", "reasoning")}
    found = set(DOORS)
    while more := {place for place, used in uses.items() if place not in found and used & found}:
        found |= more
    return found, known


def views_that_solve(package):
    """Return a sentence for every import by which a view reaches for the solver."""
    found, known = solving_names(package)
    return sorted(f"{module} imports {name}, which solves" for module, names in known.items() if module.split(".")[0] == "views"
                  for name, place in names.items() if resolved(known, place) in found or place[0] == "solving")


def test_no_view_imports_what_solves():
    """Of every import in the views, inside functions too; what solves is found by who calls whom."""
    found, _ = solving_names(PACKAGE)
    assert {("reasoning.rows_at_once", "lamp_table"), ("reasoning.proving", "prove"), ("reasoning.sizing", "fire_risks"),
            ("reasoning.sights", "proof_sight"), ("reasoning.faults.table", "fault_table")} <= found
    assert ("reasoning.flashing", "flash") not in found, "it measures a record"
    assert views_that_solve(PACKAGE) == []


@pytest.mark.parametrize(("text", "name"), [
    ("from ..solving import operating_point", "operating_point"),
    ("from ..reasoning.rows import table", "table"),
    ("def show(arrangement):\n    from ..reasoning import table\n    return table(arrangement)", "table"),
])
def test_a_planted_view_that_solves_is_found(planted, text, name):  # noqa: F811
    """Directly, through a function of the reasoning, and inside a function, passed on by a package."""
    package = planted("views/lamps.py", text)
    (package / "solving" / "__init__.py").write_text("from .operating import operating_point\n")
    (package / "solving" / "operating.py").write_text("def operating_point(arrangement):\n    return 1\n")
    (package / "reasoning" / "__init__.py").write_text("from .rows import table, LOOKS\n")
    (package / "reasoning" / "rows.py").write_text("from ..solving import operating_point\n\nLOOKS = ()\n\n\ndef _row(arrangement):\n"
                                                   "    return operating_point(arrangement)\n\n\ndef table(arrangement):\n"
                                                   "    return [_row(arrangement)]\n")
    assert views_that_solve(package) == [f"views.lamps imports {name}, which solves"]
    (package / "views" / "lamps.py").write_text("from ..reasoning import LOOKS\n")
    assert views_that_solve(package) == []


def asked_beforehand(results):
    """Ask the results for what they work out when they are asked."""
    for line in results["faults"].lines:
        results["faults"].reading(line), results["faults"].endangered(line)
    for row in results["proof"].table.rows:
        results["proof"].sight(row.positions)
    for table in (results["table"], results["proof"].table, results["built"].table, results["faults"].healthy):
        table.overheated, table.unpromised
    results["point"].endangered, results["comparison"].terminals


@pytest.fixture(scope="module")
def results():
    """One result of each kind, of an invented circuit with a mistake in it and with a fuse that blows."""
    blown = cl.changed(cl.arrangement("hazard-by-diodes"), cl.changes.Short("F1:2", "G1:-"))
    faults = cl.fault_table(SHORTED, faults=cl.changes.single_faults(SHORTED, ["blown lamp", "lost joint"])[:6])
    made = {"table": cl.lamp_table(SHORTED), "proof": cl.prove(SHORTED), "logic": cl.lamp_logic(SHORTED), "faults": faults,
            "comparison": cl.compare(cl.arrangement("shared-filament-rear-relays"), SHORTED), "sizing": cl.size(SHORTED),
            "point": cl.operating_point(blown), "course": cl.run(SHORTED, [(0.2, "key", "on")], 2.0), "built": to_build(SHORTED)}
    asked_beforehand(made)
    return made


VIEWS = {
    "the lamp table": ("table", lambda cl, result: result.text() + result.html()),
    "the proof": ("proof", lambda cl, result: result.text() + result.html()),
    "the logic": ("logic", lambda cl, result: result.text() + result.html()),
    "the faults": ("faults", lambda cl, result: result.text() + result.html()),
    "the comparison": ("comparison", lambda cl, result: result.text() + result.html()),
    "the sizing": ("sizing", lambda cl, result: result.text() + result.html()),
    "the settled status": ("point", lambda cl, result: result.text()),
    "both drawings": ("point", lambda cl, result: cl.draw(result.arrangement, result, readings=True)
                      + cl.draw_attached(result.arrangement, result)),
    "both drawings in words": ("point", lambda cl, result: result.arrangement.describe(result)
                               + result.arrangement.describe_attached(result)),
    "the time chart": ("course", lambda cl, result: cl.time_chart(result) + result.text() + result.status(1.0)),
    "the build sheet": ("built", lambda cl, result: sheet_page(result)),
}


@pytest.fixture
def shut(monkeypatch):
    """Whoever asks for a state or volts anew gets an error."""
    from circuitlab.solving import playing, settling, sweeping

    def solved(*_, **__):
        raise AssertionError("a view solves")
    monkeypatch.setattr(settling._Search, "__init__", solved)
    monkeypatch.setattr(playing.Engine, "__init__", solved)
    monkeypatch.setattr(sweeping._Lot, "__init__", solved)


@pytest.mark.parametrize("view", VIEWS)
def test_a_ready_result_is_shown_with_the_solver_shut(results, shut, view):
    """Text, page and picture of it."""
    name, show = VIEWS[view]
    assert len(show(cl, results[name])) > 100


def test_the_shut_doors_are_the_solvers(shut):
    """So that the test above can fail: point, time course and sweep all end there."""
    for solve in (lambda: cl.operating_point(SHORTED), lambda: cl.run(SHORTED), lambda: cl.lamp_table(SHORTED),
                  lambda: cl.sweep(SHORTED, [{}]).verdicts):
        with pytest.raises(AssertionError, match="a view solves"):
            solve()


# ------------------------------------------------------------------ tables come from one room

GRID = "views/grid.py"
READS = {"parts/tables.py"}      # the kit's own datasets, written by hand


def tables_by_hand(package):
    """Return a sentence for every room but the grid's that writes a table: its tags, its commas or its columns."""
    found = []
    for room, tree, _ in rooms(package):
        told = {node.body[0].value for node in nodes(tree)
                if isinstance(node, ast.Module | ast.FunctionDef | ast.ClassDef) and ast.get_docstring(node)}
        for node in nodes(tree) if room.as_posix() != GRID else ():
            tag = isinstance(node, ast.Constant) and isinstance(node.value, str) and node not in told and re.search(
                r"</?(table|caption|thead|tbody|tr|th|td)\b", node.value)
            called = ast.unparse(node.func) if isinstance(node, ast.Call) else ""
            comma = called in ("csv.writer", "csv.DictWriter") or called == "csv.reader" and room.as_posix() not in READS
            if tag or comma or called.endswith((".ljust", ".rjust")):
                found.append(f"{room.as_posix()}:{node.lineno} writes a table by hand: make a Grid of it")
    return found


def test_every_table_of_the_kit_is_a_grid():
    assert tables_by_hand(PACKAGE) == []


@pytest.mark.parametrize("text", ["def f(rows):\n    return ''.join(f'<tr><td>{row}</td></tr>' for row in rows)",
                                  "import csv\ncsv.writer(None)", "x = 'E1'.ljust(8)", "y = '<table class=\"a\">'"])
def test_a_planted_table_by_hand_is_found(planted, text):  # noqa: F811
    """Tags, commas, and columns filled up with blanks."""
    assert tables_by_hand(planted("views/lamps.py", text)) != []
    assert tables_by_hand(planted("views/lamps.py", "def f():\n    'A <table> of lamps.'\n    return Grid('', (), [])")) == []
