"""A lesson printed or exported from the kit's own JupyterLab: what its cells show and the learner's own code, no reply and no key."""

import ast
import re
from html import unescape
from pathlib import Path

import nbformat
import pytest
from nbconvert import HTMLExporter, MarkdownExporter
from traitlets.config import Config

from circuitlab.commands.editions import with_edition
from circuitlab.commands.lab import lab_words
from circuitlab.commands.lessons import stripped
from circuitlab.ground.known_cells import lesson_files

NAMES = {number: path.name for number, path in lesson_files().items()}
OWN = "yours"


def copied(number):
    """Return a lesson as a learner gets it, run: a line is shown by each cell."""
    path = lesson_files()[number]
    lesson = nbformat.reads(with_edition(stripped(path.read_text("utf-8")), path.name), as_version=4)
    for cell in lesson.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [nbformat.v4.new_output("stream", text=f"shown by {cell.id}\n")], 7
    return lesson


def printed(lesson, exporter=HTMLExporter, told=True):
    """Return what is read on the page that a server with the kit's words makes of a notebook. [text]"""
    word = next(word for word in lab_words(Path("lessons")) if "preprocessors" in word)
    where, name = word.removeprefix("--").split("=")
    config = Config({where.partition(".")[0]: {where.partition(".")[2]: [name]}}) if told else Config()
    page = exporter(config=config).from_notebook_node(lesson)[0]
    page = re.sub(r"<(style|script)\b.*?</\1>", " ", page, flags=re.S)
    return " ".join(unescape(re.sub(r"<[^>]+>", "", page)).split())


def replies(lesson):
    """Return the sentences that folded cells hold. [text]"""
    found = [node.value for cell in lesson.cells if cell.cell_type == "code" and OWN not in cell.metadata.get("tags", ())
             for node in ast.walk(ast.parse(cell.source)) if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    return [" ".join(each.split()) for each in found if each.startswith("Then ")]


@pytest.mark.parametrize("number", NAMES)
@pytest.mark.in_turn(5)
def test_no_reply_and_no_key_is_on_a_printed_page(number):
    """Not one sentence that answers a choice, nor how an answer is worked out; prose, what was shown and the learner's own cells are all there."""
    lesson = copied(number)
    said, own = replies(lesson), [cell for cell in lesson.cells if OWN in cell.metadata.get("tags", ())]
    page, whole = printed(copied(number)), printed(copied(number), told=False)
    assert len(said) > 5 and "truth=" in whole and [each for each in said if each in whole]
    assert [each for each in said if each in page] == [] and "truth=" not in page and "cl.idea" not in page and "In [" not in page.replace("In [7]:", "", len(own))
    assert [cell.id for cell in lesson.cells if cell.cell_type == "code" and f"shown by {cell.id}" not in page] == []
    for cell in own:
        assert " ".join(cell.source.split()) in page


def test_a_cell_without_a_result_leaves_no_gap_and_other_formats_hold_no_code_either():
    lesson = copied("00")
    tool = next(cell for cell in lesson.cells if cell.id == "meter-tool")
    tool.outputs = []
    page = printed(lesson, MarkdownExporter)
    assert "truth=" not in page and "def meter" not in page and "# yours" in page and "shown by machine" in page


def test_a_notebook_that_is_no_lesson_is_printed_as_it_stands():
    lesson = copied("00")
    del lesson.metadata["pin_thirty"]
    assert "truth=" in printed(lesson)
