"""No shipped file holds the key of a question: each right answer is worked out here, and then looked for in every byte.

Looked for are the ways in which a key could lie about: beside its question's name or a word such as "answer", in
outputs, metadata, words for pictures and prose ahead of its question, in file names, or put into another alphabet.
What cannot be told this way: a choice that is right and also an ordinary word of the prose.
"""

import ast
import base64
import codecs
import hashlib
import json
import re
import shutil
from functools import cache
from pathlib import Path

import nbformat
import pytest
from worked_lessons import of_kind, worked

import circuitlab as cl
from circuitlab.benches.asked import Question
from circuitlab.benches.laddered import Laddered
from circuitlab.ground.known_cells import MARK, YOURS
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.kinds import BlankTable, Lines, Number, Sort, Wired

ROOTS = {"circuitlab": Path(cl.__file__).parent, "lessons": kit_folder("lessons"), "datasets": kit_folder("datasets")}
SKIPPED = {"__pycache__", ".ipynb_checkpoints", "answers"}
LESSONS = sorted(path.stem for path in ROOTS["lessons"].glob("[0-9x][0-9]*_*.ipynb"))
LABEL = r"(?:right[ _]answer|answers?|keys?|solutions?|correct|truth|expected)"
GLUE = r"""["'\]]*\s*(?:[:=,;|\t]|is)\s*["'\[({]*\s*"""
SEEDS = 5


def shipped(roots):
    """Return the text of every shipped file by its name. [text]"""
    return {f"{name}/{path.relative_to(root).as_posix()}": path.read_text("utf-8", errors="replace")
            for name, root in roots.items() for path in sorted(root.rglob("*"))
            if path.is_file() and not SKIPPED & set(path.parts)}


class Key:
    """One right answer: of which lesson and item, its text, or its number with unit and tolerance."""

    def __init__(self, lesson, item, text="", number=None, unit="", tolerance=0.0):
        self.lesson, self.item, self.text, self.number, self.unit, self.tolerance = lesson, item, text, number, unit, tolerance

    def is_number(self, written, thousandths=False):
        """Whether a number in a text would be taken for right."""
        value = float(written.replace(",", ".")) / (1000 if thousandths else 1)
        return self.number is not None and abs(abs(value) - abs(self.number)) <= self.tolerance


@cache
def keys_of(name):
    """Return the keys of a lesson, worked out from its circuits."""
    lesson, number = worked(name).lesson, name.partition("_")[0]
    found = [Key(number, item, asked.asked.truth()) for item, asked in of_kind(lesson, Question).items()]
    for item, asked in of_kind(lesson, Laddered).items():
        for seed in range(1, SEEDS + 1) if asked.way.can_renew else [1]:
            posed = asked.task.pose(asked.task.variants.of(seed))
            kind, truth = posed.kind, posed.truth
            if isinstance(kind, Number):
                found.append(Key(number, item, "", truth, kind.unit, kind.within * abs(truth)))
            elif isinstance(kind, (BlankTable, Sort)):
                found.append(Key(number, item, json.dumps(truth)))
            elif not isinstance(kind, (Lines, Wired)):           # a circuit's wires are its own list; the list is what is to be read
                found.append(Key(number, item, str(truth)))
    return found


def in_code(key):
    """Return a key's text as somebody may have hidden it. [text]"""
    raw = f"{key.item}:{key.text}".encode(), key.text.encode()
    coded = [base64.b64encode(each).decode().rstrip("=") for each in raw] + [each.hex() for each in raw]
    coded += [getattr(hashlib, name)(each).hexdigest() for each in raw for name in ("md5", "sha1", "sha256")]
    return coded + [codecs.encode(key.text, "rot13")] * (" " in key.text) + [key.text[::-1]] * (" " in key.text)


@cache
def runs(text):
    """Return the runs of letters and figures in a text, each once: what is in code is within one of them. [text]"""
    return "\n".join(set(re.findall(r"[0-9A-Za-z+/]{7,}", text)))


def beside(key, text):
    """Whether a text has the key next to its question's name or to a word such as answer."""
    before = rf"\b{re.escape(key.item)}{GLUE}(?:{LABEL}{GLUE})?|\b{LABEL}{GLUE}"
    if key.number is None:
        return re.search(f"(?:{before}){re.escape(key.text)}(?![\\w-])", text, re.I) is not None
    return any(key.is_number(each) for each in re.findall(f"(?:{before})-?(\\d+(?:[.,]\\d+)?)", text, re.I))


def numbers_told(key, text):
    """Return the quantities of a text that a reading would take for right. [text]"""
    pattern = rf"(?<![\w.,])(\d+(?:[.,]\d+)?)[ \N{{NO-BREAK SPACE}}]?(m?){re.escape(key.unit)}(?!\w)"
    return [each for each, milli in re.findall(pattern, text) if key.is_number(each, bool(milli))]


def cells_ahead(key, notebook):
    """Return what a learner can read of a lesson ahead of a question: prose, and all stored outputs and metadata. [text]"""
    asked = next((number for number, cell in enumerate(notebook.cells) if f'"{key.item}"' in cell.source), len(notebook.cells))
    prose = [cell.source for cell in notebook.cells[:asked] if cell.cell_type == "markdown"]
    stored = [json.dumps([cell.get("outputs", []), {name: value for name, value in cell.metadata.items() if name != MARK or YOURS not in cell.metadata.tags}])
              for cell in notebook.cells]      # a menu of the learner's own cell holds every look, right or wrong
    return "\n".join(prose), "\n".join([*stored, json.dumps(notebook.metadata)])


def written_down(notebook):
    """Return the questions whose truth is typed and not worked out: a lambda or value without a name in it. [text]"""
    found = []
    for cell in notebook.cells:
        if cell.cell_type == "code":
            for call in (each for each in ast.walk(ast.parse(cell.source)) if isinstance(each, ast.Call)):
                for word in (each for each in call.keywords if each.arg == "truth"):
                    body = word.value.body if isinstance(word.value, ast.Lambda) else word.value
                    if not any(isinstance(each, (ast.Name, ast.Call, ast.Attribute)) for each in ast.walk(body)):
                        found.append(cell.id)
    return found


def given_away(name, keys, files):
    """Return sentences on every place at which a lesson's keys lie about."""
    own = f"lessons/{name}.ipynb"
    notebook = nbformat.reads(files[own], as_version=4)
    found = [f"{own}: {cell} writes its answer down" for cell in written_down(notebook)]
    for key in keys:
        coded = in_code(key) if len(key.text) > 4 else ()
        for file, text in files.items():
            if any(each in (text if " " in each else runs(text)) for each in coded):
                found.append(f"{file}: {key.item}, in code")
            if (file == own or len(key.item) > 5 and key.item in text or f"lesson {key.lesson}" in text) and beside(key, text):
                found.append(f"{file}: {key.item}, beside its name")
            if key.number is None and re.sub(r"\W", "_", f"{key.item} {key.text}".lower()) in re.sub(r"\W", "_", file.lower()):
                found.append(f"{file}: {key.item}, in the file's name")
        prose, stored = cells_ahead(key, notebook)
        if key.number is not None and (numbers_told(key, prose) or numbers_told(key, stored)):
            found.append(f"{own}: {key.item}, its number is told")
        if len(key.text.split()) > 1 and key.text in stored:
            found.append(f"{own}: {key.item}, in an output or in metadata")
    return found


pytestmark = pytest.mark.usefixtures("answers")


@pytest.fixture(scope="module")
def files():
    return shipped(ROOTS)


def test_what_is_searched_is_what_is_shipped(files):
    """Lessons, their pictures, the guide, the datasets and the kit itself."""
    ends = {Path(file).suffix for file in files}
    assert {".ipynb", ".svg", ".md", ".csv", ".toml", ".py"} <= ends and "lessons/teachers_guide.md" in files
    assert len(files) > 200


@pytest.mark.in_turn(26, 8)
@pytest.mark.parametrize("name", LESSONS)
def test_no_shipped_file_holds_a_key(name, files):
    """Every question of the lesson against every file."""
    keys = keys_of(name)
    assert len(keys) >= (8 if name[:2].isdecimal() else 4)
    assert given_away(name, keys, files) == []


# ------------------------------------------------------------------ the search finds what is planted in a copy

NAME, ITEM, READ = "00_start_here", "across-open", "lit-lamp-volts"


def plant_metadata(notebook, folder, key, number):
    notebook.cells[3].metadata["answer"] = key


def plant_beside_name(notebook, folder, key, number):
    notebook.metadata["marks"] = {ITEM: key}


def plant_output(notebook, folder, key, number):
    cell = next(cell for cell in notebook.cells if cell.cell_type == "code")
    cell.outputs = [nbformat.v4.new_output("stream", text=f"{number} V")]


def plant_prose(notebook, folder, key, number):
    notebook.cells[0].source += f"\n\nThe lit lamp has {number.replace('.', ',')} V."


def plant_words_for_a_picture(notebook, folder, key, number):
    notebook.cells[0].source += f"\n\n![A lamp with {number} V](pictures/one_fused_lamp.svg)"


def plant_typed_truth(notebook, folder, key, number):
    cell = next(cell for cell in notebook.cells if f'"{ITEM}"' in cell.source)
    cell.source = re.sub(r"truth=", f'truth=lambda: "{key}", hidden=', cell.source, count=1)


def plant_table(notebook, folder, key, number):
    (folder / "marks.csv").write_text(f"item,answer\n{ITEM},{key}\n", "utf-8")


def plant_number_in_a_table(notebook, folder, key, number):
    (folder / "marks.csv").write_text(f"item;answer\n{READ};{number}\n", "utf-8")


def plant_code(notebook, folder, key, number):
    (folder / "bits.txt").write_text(base64.b64encode(f"{ITEM}:{key}".encode()).decode(), "utf-8")


def plant_digest(notebook, folder, key, number):
    (folder / "bits.txt").write_text(hashlib.sha256(key.encode()).hexdigest(), "utf-8")


def plant_guide(notebook, folder, key, number):
    with (folder / "teachers_guide.md").open("a", encoding="utf-8") as guide:
        guide.write(f"\n| lesson 00 | {ITEM} | {key} |\n")


def plant_file_name(notebook, folder, key, number):
    (folder / f"{ITEM}_{key.replace(' ', '_')}.svg").write_text("<svg/>", "utf-8")


PLANTS = [make for name, make in list(globals().items()) if name.startswith("plant_")]


@pytest.mark.in_turn(12, 2)
@pytest.mark.parametrize("plant", PLANTS, ids=lambda make: make.__name__)
def test_a_planted_key_is_found(plant, tmp_path, files):
    """In a copy of the lessons with one key planted, something is found; without, nothing."""
    folder = tmp_path / "lessons"
    shutil.copytree(ROOTS["lessons"], folder, ignore=shutil.ignore_patterns(*SKIPPED))
    keys = keys_of(NAME)
    right = next(key.text for key in keys if key.item == ITEM)
    number = next(f"{key.number:.2f}" for key in keys if key.item == READ)
    copy = lambda: shipped({"lessons": folder})
    assert given_away(NAME, keys, copy()) == []
    notebook = nbformat.read(folder / f"{NAME}.ipynb", as_version=4)
    plant(notebook, folder, right, number)
    nbformat.write(notebook, folder / f"{NAME}.ipynb")
    assert given_away(NAME, keys, copy()) != []
