"""The public page of the package: what it offers, what it costs to import, and that all of it is explained."""

import ast
import inspect
import subprocess
import sys

import pytest

import circuitlab as cl


def test_every_public_name_is_there():
    """The list and the page agree, in both directions."""
    assert all(hasattr(cl, name) for name in cl.__all__)
    assert len(set(cl.__all__)) == len(cl.__all__)
    assert set(dir(cl)) == set(cl.__all__)


def test_an_unknown_public_name_is_answered_with_those_there_are():
    """A slip of the pen gets the list."""
    with pytest.raises(AttributeError, match="has no 'lamptable'. It has: .*lamp_table"):
        cl.lamptable


@pytest.mark.parametrize("name", sorted(cl.__all__))
def test_every_public_name_is_explained(name):
    """A docstring whose first line is a sentence, with the unit after it where there is one."""
    thing = getattr(cl, name)
    text = inspect.getdoc(thing) or ""

    assert text.splitlines()[0].rstrip().endswith((".", ":", "]")), text
    assert not text.startswith(f"{name}("), "a dataclass's own signature is no explanation"


def numbers_of(function):
    """The parameters of a public function whose default is a float."""
    return [key for key, parameter in inspect.signature(function).parameters.items()
            if isinstance(parameter.default, float)]


@pytest.mark.parametrize("name", sorted(name for name in cl.__all__ if inspect.isfunction(getattr(cl, name))))
def test_every_number_a_public_function_takes_has_its_unit(name):
    """Each float parameter is named in the docstring, in a block with a unit in brackets."""
    text = inspect.getdoc(getattr(cl, name))
    for key in numbers_of(getattr(cl, name)):
        assert key in text, key
        assert "[" in text[text.index(key):].split("\n\n")[0], key


def test_importing_the_kit_needs_nothing_but_python():
    """No outside library is loaded, so that the core also runs where there is none."""
    code = ("import sys; before = set(sys.modules); import circuitlab; "
            "print(sorted({m.partition('.')[0] for m in set(sys.modules) - before} "
            "- set(sys.stdlib_module_names) - {'circuitlab'}))")
    loaded = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout

    assert ast.literal_eval(loaded) == []
