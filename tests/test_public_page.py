"""The public page of the package: what it offers, what it costs to import, and that all of it is explained and shown."""

import ast
import doctest
import inspect
import subprocess
import sys
from operator import attrgetter

import pytest

import circuitlab as cl

MOST = 67                   # names on the page, those of its shelves' pages apart
SHELVES = [name for name in cl.__all__ if inspect.ismodule(getattr(cl, name))]
NAMES = [name for name in cl.__all__ if name not in SHELVES] + [
    f"{shelf}.{name}" for shelf in SHELVES for name in getattr(cl, shelf).__all__]


def public(name):
    """Return what stands on the page under a name, or on a shelf (``changes.Lift``)."""
    return attrgetter(name)(cl)


def test_the_page_is_short():
    """What is wanted less often is on a shelf, what shows a result is a method of it."""
    assert len(cl.__all__) <= MOST
    assert SHELVES == ["catalogue", "changes", "rules", "scripts", "sizing"]


@pytest.mark.parametrize("page", [cl, *map(public, SHELVES)], ids=lambda page: page.__name__)
def test_every_public_name_is_there(page):
    """The list and the page agree, in both directions; no name stands in two places."""
    assert all(hasattr(page, name) for name in page.__all__)
    assert len(set(page.__all__)) == len(page.__all__)
    assert dir(page) == page.__all__
    assert page is cl or not set(page.__all__) & set(cl.__all__)


def test_the_page_is_listed_by_what_one_does():
    """``help(cl)`` names every name, in its group or on its shelf."""
    said = cl.__doc__.partition("The page, by what one does:")[2]
    listed = dict(line.split(": ", 1) for line in said.strip().splitlines())
    groups = {group: names.split(", ") for group, names in listed.items() if not group.startswith("cl.")}
    assert list(groups) == ["describe", "change", "solve", "prove", "draw", "size", "print", "teach", "catch"]
    assert sorted([*sum(groups.values(), []), *SHELVES]) == cl.__all__
    for shelf in SHELVES:
        assert listed[f"cl.{shelf}"].endswith(f". {', '.join(public(shelf).__all__)}")


@pytest.mark.parametrize(("page", "name", "says"), [
    (cl, "lamptable", "circuitlab has no 'lamptable'. It has: .*lamp_table"),
    (cl, "AddPart", r"circuitlab has no 'AddPart'. Write cl.changes.AddPart. It has: "),
    (cl.rules, "Lift", "circuitlab.rules has no 'Lift'. It has: Rule, Wanted"),
])
def test_an_unknown_public_name_is_answered_with_those_there_are(page, name, says):
    """A slip of the pen gets the list, and what stands on a shelf the shelf."""
    with pytest.raises(AttributeError, match=says):
        getattr(page, name)


def failures_of(thing, name):
    """Return what an example of a docstring gives instead of what it says, or that there is none."""
    module = sys.modules[inspect.unwrap(thing).__module__]
    shown = doctest.DocTestParser().get_doctest(inspect.getdoc(thing) or "", {**vars(module)}, name, None, 0)
    said = []
    if not shown.examples:
        return [f"{name} has no example"]
    doctest.DocTestRunner().run(shown, out=said.append)
    return said


@pytest.mark.parametrize("name", NAMES)
def test_every_public_name_has_an_example_that_runs(name, tmp_path, monkeypatch):
    """In its docstring, behind ``>>>``."""
    monkeypatch.chdir(tmp_path)
    assert failures_of(public(name), name) == []
    assert not list(tmp_path.iterdir()), "an example leaves files behind"


def test_a_missing_example_and_one_that_does_not_run_are_found():
    """So that the test above can fail."""
    def plain():
        """Return nothing."""

    def wrong():
        """Return nothing.

        >>> 1 + 1
        3
        """
    plain.__module__ = wrong.__module__ = "circuitlab"
    assert failures_of(plain, "plain") == ["plain has no example"]
    assert "Expected:" in "".join(failures_of(wrong, "wrong"))


def test_the_examples_are_collected_with_the_tests(pytestconfig):
    """The plain command runs every doctest of the package."""
    assert "--doctest-modules" in pytestconfig.getini("addopts") and "circuitlab" in pytestconfig.getini("testpaths")


@pytest.mark.parametrize("name", NAMES)
def test_every_public_name_is_explained(name):
    """A docstring whose first line is a sentence, with the unit after it where there is one."""
    thing = public(name)
    text = inspect.getdoc(thing) or ""

    assert text.splitlines()[0].rstrip().endswith((".", ":", "]")), text
    assert not text.startswith(f"{thing.__name__}("), "a dataclass's own signature is no explanation"


def numbers_of(function):
    """The parameters of a public function whose default is a float."""
    return [key for key, parameter in inspect.signature(function).parameters.items()
            if isinstance(parameter.default, float)]


@pytest.mark.parametrize("name", [name for name in NAMES if inspect.isfunction(public(name))])
def test_every_number_a_public_function_takes_has_its_unit(name):
    """Each float parameter is named in the docstring, in a block with a unit in brackets."""
    text = inspect.getdoc(public(name))
    for key in numbers_of(public(name)):
        assert key in text, key
        assert "[" in text[text.index(key):].split("\n\n")[0], key


def test_importing_the_kit_needs_nothing_but_python():
    """No outside library is loaded, so that the core also runs where there is none."""
    code = ("import sys; before = set(sys.modules); import circuitlab; "
            "print(sorted({m.partition('.')[0] for m in set(sys.modules) - before} "
            "- set(sys.stdlib_module_names) - {'circuitlab'}))")
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout

    assert ast.literal_eval(loaded) == []
