"""A maker's name stands in a source column of a table and nowhere else that a learner may see."""

import ast
import json
import re
from pathlib import Path

import pytest

import circuitlab
from circuitlab.ground.places import kit_folder
from circuitlab.parts.catalogue import table, table_names

MAKERS = re.compile(r"\b(TE|OEN|Panasonic|Hella|Bosch|Littelfuse|Osram|Philips|Narva|Omron|Finder|Vishay|Tyco)\b")
PACKAGE = Path(circuitlab.__file__).parent


@pytest.mark.parametrize("name", table_names())
def test_no_cell_but_a_source_names_a_maker(name):
    for row in table(name):
        for column, value in row.items():
            assert column == "source" or not MAKERS.search(f"{column} {value}"), row


def test_the_search_finds_the_makers_that_sources_name():
    found = {match for name in table_names() for row in table(name) for match in MAKERS.findall(row["source"])}
    assert {"TE", "OEN"} <= found


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.stem)
def test_no_text_of_the_package_names_a_maker(path):
    """Docstrings are shown as well; comments are not."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            assert not MAKERS.search(node.value), f"{path.name}:{node.lineno}"


@pytest.mark.parametrize("pattern", ["datasets/**/*.toml", "datasets/*.md", "lessons/*.ipynb", "lessons/*.md"])
def test_no_arrangement_and_no_lesson_names_a_maker(pattern):
    folder, _, rest = pattern.partition("/")
    paths = sorted(kit_folder(folder).glob(rest))
    assert paths
    for path in paths:
        text = path.read_text(encoding="utf-8")
        if path.suffix == ".ipynb":
            text = "\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"])
        assert not MAKERS.search(text), path.name
