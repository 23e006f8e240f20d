"""The tables of a class: one that was cut off is refused, and no label leads out of the folder of the class."""

import pytest

from circuitlab.commands.class_tables import END, HEADS, codes_in, codes_lines, labels_in, table_text
from circuitlab.commands.line import main
from circuitlab.ground.errors import FileError
from circuitlab.teaching import issue_code
from circuitlab.views.grid import MARK

SECRET, SEATS = "invented quinces in may", [f"seat {number}" for number in range(1, 13)]


def issued(lesson="06", labels=SEATS):
    """Return a table of codes as the command writes it, its lines ended by one letter as they are read. [text]"""
    return table_text(codes_lines(lesson, [(label, issue_code(SECRET, lesson, label)) for label in labels])).replace("\r\n", "\n")


def refused(text):
    """Return the sentence by which a table is refused, or nothing where it is read."""
    try:
        codes_in(text, "codes.csv")
    except FileError as error:
        return str(error)
    return ""


def test_a_table_cut_off_anywhere_is_refused():
    """At every letter but behind the last line, at the end of every line too; the whole of it is read."""
    text = issued()
    assert len(codes_in(text, "codes.csv")) == len(SEATS)
    assert [at for at in range(len(text.removesuffix(" codes\n"))) if not refused(text[:at])] == []


@pytest.mark.parametrize("lines", range(1, len(SEATS) + 2))
def test_a_table_cut_at_the_end_of_a_line_gets_one_sentence(lines):
    """Which file, what is missing, what to do next."""
    said = refused("".join(issued().splitlines(keepends=True)[:lines]))
    assert said.startswith("'codes.csv' is cut off") and said.endswith("the same words and labels make the same codes, so nothing is lost.")
    assert (f"it holds {lines - 1} code" in said and END in said) if lines > 1 else "it holds no code" in said


def test_a_line_that_is_gone_from_the_middle_is_missed():
    lines = issued().splitlines(keepends=True)
    said = refused("".join(lines[:4] + lines[5:]))
    assert "'codes.csv' is not whole: of lesson 06 it holds 11 codes, and its last line says 12 codes." in said


def test_tables_of_two_lessons_put_together_are_whole_where_each_is():
    """In any order of lines, as a table program sorts them, and without the 0 of 06."""
    heads, *first = issued().splitlines(keepends=True)
    second = issued("07").splitlines(keepends=True)[1:]
    both = codes_in(heads + "".join(sorted(first + second)).replace(",06,", ",6,"), "codes.csv")
    assert len(both) == 24 and {lesson for _, lesson in both} == {"06", "07"}
    assert "of lesson 07 it holds 12 codes" in refused(heads + "".join(first + second[:-1]))


def test_nothing_is_written_from_a_table_that_was_cut_off(tmp_path, monkeypatch, capsys):
    """Neither papers, nor answers, nor pages of the class."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "codes.csv").write_text("".join(issued().splitlines(keepends=True)[:9]), "utf-8")
    (tmp_path / "class" / "seat 1").mkdir(parents=True)
    before = sorted(tmp_path.rglob("*"))
    for words in (["class-paper", "--lesson", "06", "--out", "a.html"], ["class-answers", "--secret", SECRET, "--lesson", "06", "--out", "a.html"],
                  ["class-summary", "class", "--out", "pages"]):
        assert main([*words, "--codes", "codes.csv"]) == 2
        said = capsys.readouterr().err
        assert "'codes.csv' is cut off, or an older kit wrote it: of lesson 06 it holds 8 codes" in said and said.count("\n") == 1
    assert sorted(tmp_path.rglob("*")) == before


# ------------------------------------------------------------------ labels

LEADING = ["..", ".", "...", "../seat 4", "seat/4", "C:\\seat", "a\\b", "/tmp", ".hidden", "seat.", "a:b"]


@pytest.mark.parametrize("label", LEADING)
def test_a_label_that_leads_elsewhere_is_refused(label):
    """From the list of labels, and from a table of codes; what is allowed stands in the sentence."""
    with pytest.raises(FileError) as first:
        labels_in(f"seat 1\n{label}\n", "labels.txt")
    assert str(first.value).startswith(f"line 2 of 'labels.txt' has the label '{label}', and a label names a learner's folder.")
    assert "Letters, figures, spaces and signs such as - _ ( ) are allowed" in str(first.value) and "Write another one" in str(first.value)
    assert "line 3 of 'codes.csv' has the label" in refused(issued(labels=["seat 1", label]))


@pytest.mark.parametrize("label", ["seat 4", "Seat 4 (window)", "A-1_b", "Z\u00fcrich 3", "v1.2", "=1+1", "seat, left", '"Ann"', END])
def test_any_other_label_is_taken_and_comes_back(label):
    """A formula, a comma, and the words of the last line too."""
    assert labels_in(f"{label}\n", "labels.txt") == [label]
    text = issued(labels=[label])
    assert text.startswith(MARK + ",".join(HEADS)) and list(codes_in(text, "codes.csv")) == [(label.casefold(), "06")]


def test_a_bad_label_writes_no_table(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "labels.txt").write_text("seat 1\n..\n", "utf-8")
    assert main(["class-codes", "--secret", SECRET, "--lesson", "06", "--labels", "labels.txt", "--out", "codes.csv"]) == 2
    assert "the label '..'" in capsys.readouterr().err and not (tmp_path / "codes.csv").exists()
