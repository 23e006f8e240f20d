"""24 hostile folders in a class: none is run, nothing outside is read or written, the rest is marked, each is named."""

import csv
import sys
from hashlib import sha256
from html.parser import HTMLParser

import pytest

from circuitlab.commands.line import main
from circuitlab.teaching.class_marking import class_summary
from circuitlab.teaching.class_records import read_class

from attack.hostile_class import (CAN, FOLDERS, FORMULAS, LESSON, MARKER, SCRIPT, SECRET_TEXT, make_class, record,
                                  right_lines)
from attack.judging import bounded, hides

pytestmark = pytest.mark.skipif(not CAN, reason="folders of such names cannot be made here")

TAGS = {"html", "head", "meta", "title", "style", "body", "section", "div", "h1", "p", "span", "b", "small", "table",
        "thead", "tbody",
        "tfoot", "tr", "th", "td", "ul", "li"}
ATTRIBUTES = {"lang", "charset", "scope", "class", "title", "role", "aria-label", "name", "content",
              "colspan"}
PAGES = ("grid.html", "projector.html", "grid.csv", "misconceptions.csv")
MOST_LINES = 300    # that the command may print about a class of 26 folders
WATCHED = ("open", "os.listdir", "os.scandir", "subprocess.Popen", "os.system", "os.exec", "socket.connect",
           "os.remove", "os.rename")


class Watch:
    """What the process opens, lists, starts or removes while it is on; an audit hook cannot be taken off again."""

    def __init__(self):
        self.is_on, self.seen = False, []
        sys.addaudithook(self)

    def __call__(self, event, words):
        if self.is_on and event in WATCHED:
            self.seen.append((event, str(words[0])))


WATCH = Watch()


def prints(folder):
    """Return what every file under a folder holds, and when it was changed; links and pipes are left out."""
    return {str(path): (sha256(path.read_bytes()).hexdigest(), path.stat().st_mtime_ns)
            for path in folder.rglob("*") if path.is_file() and not path.is_symlink()}


@pytest.fixture(scope="module")
def summary(attacked):
    """The class marked, without the command."""
    return class_summary(attacked["folder"])


@pytest.fixture(scope="module")
def attacked(tmp_path_factory):
    """The class, what the command printed, what the pages hold, and what was opened meanwhile."""
    base = tmp_path_factory.mktemp("attack")
    folder, outside, out = base / "class", base / "outside", base / "pages"
    said = make_class(folder, outside)
    before = prints(base)
    capture = pytest.MonkeyPatch()
    from io import StringIO
    shown = StringIO()
    capture.setattr(sys, "stdout", shown)
    WATCH.is_on, WATCH.seen = True, []
    try:
        with bounded():
            ended = main(["class-summary", str(folder), "--out", str(out)])
    finally:
        WATCH.is_on = False
        capture.undo()
    after = {path: each for path, each in prints(base).items() if not path.startswith(str(out))}
    return {"folder": folder, "outside": outside, "out": out, "said": said, "ended": ended, "printed": shown.getvalue(),
            "seen": list(WATCH.seen), "changed": before != after,
            "pages": {name: (out / name).read_text(encoding="utf-8-sig") for name in PAGES}}


def shown_name(name):
    """Return the longest piece of a folder's name that can be shown as it is, or its last letters."""
    pieces = "".join("\n" if hides(letter) else letter for letter in name).split("\n")
    return max(pieces, key=len)[-30:]


# ------------------------------------------------------------------ nothing is run, nothing outside is touched

@pytest.mark.full
def test_the_class_is_marked_in_part_and_nothing_is_changed(attacked):
    """It ends with 1, leaves every file of the class and outside as it was, and writes its pages alone."""
    assert attacked["ended"] == 1 and not attacked["changed"]
    assert {path.name for path in attacked["out"].iterdir()} == set(PAGES)


def test_no_script_is_run_and_nothing_is_started(attacked):
    """No notebook, no module of the class, no other program, no connection."""
    assert not list(attacked["outside"].rglob(MARKER)) and not list(attacked["folder"].rglob(MARKER))
    harmless = ("open", "os.listdir", "os.scandir", "os.remove", "os.rename")
    assert [each for each in attacked["seen"] if each[0] not in harmless] == []
    moved = [path for event, path in attacked["seen"] if event in ("os.remove", "os.rename")]
    assert all(path.startswith(str(attacked["out"])) for path in moved)
    opened = [path for event, path in attacked["seen"] if event == "open" and path.startswith(str(attacked["folder"]))]
    assert opened and all(path.endswith(".jsonl") for path in opened)


def test_nothing_outside_the_class_is_read(attacked):
    """Links that lead out of a student's folder are not followed."""
    assert [path for _, path in attacked["seen"] if path.startswith(str(attacked["outside"]))] == []
    assert not any(SECRET_TEXT in text for text in [attacked["printed"], *attacked["pages"].values()])
    linked = [path for event, path in attacked["seen"] if event == "open" and "linked" in path]
    assert linked == []


def test_a_file_that_is_too_long_is_not_opened(attacked):
    """150 MB are refused by their size."""
    assert (attacked["folder"] / "huge" / f"lesson-{LESSON}.jsonl").stat().st_size == 150_000_000
    assert [path for event, path in attacked["seen"] if event == "open" and "/huge/" in path] == []


# ------------------------------------------------------------------ the rest is marked, the broken are named

def test_the_sound_seats_are_marked_as_if_they_were_alone(summary, tmp_path):
    """Before and after the hostile ones in the alphabet; so are those with nothing but an odd name."""
    record(tmp_path / "class" / "seat 1")
    alone = class_summary(tmp_path / "class").students[0]
    for name in ("seat 1", "zz seat 2", "first\nsecond half", "wide letters", "n" * 250):
        found = [student for student in summary.students if student.name.endswith(shown_name(name))]
        assert len(found) == 1 and found[0].marks == alone.marks and found[0].troubles == (), name


@pytest.mark.parametrize("name", [name for name in FOLDERS])
def test_each_hostile_folder_is_named_with_what_is_wrong(attacked, name):
    """In what the command prints and in the table; one whose name alone is odd is in the table."""
    wrong, piece = attacked["said"][name], shown_name(name)
    rows = [row for row in csv.reader(attacked["pages"]["grid.csv"].splitlines()) if row and piece in row[0]]
    assert rows, "not in the table"
    if wrong:
        lines = [line for line in attacked["printed"].split("\n") if piece in line]
        assert any(wrong in line for line in lines), [line[:300] for line in lines]
        assert wrong in rows[0][-1]


def test_what_is_printed_steers_no_screen_and_stays_short(attacked):
    """One line for each thing, no control or direction letter, no flood."""
    printed = attacked["printed"]
    odd = sorted({f"U+{ord(letter):04X}" for letter in printed if hides(letter)} - {"U+000A"})
    assert not odd
    lines = printed.rstrip("\n").split("\n")
    assert len(lines) <= MOST_LINES and max(map(len, lines)) <= 600
    assert all(line.endswith(".") for line in lines)


# ------------------------------------------------------------------ the pages

class Seen(HTMLParser):
    """Every tag with its attributes, and the text between."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.attributes, self.text = [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += attributes

    def handle_data(self, data):
        self.text.append(data)


@pytest.mark.parametrize("page", PAGES[:2])
def test_no_tag_and_no_attribute_comes_from_a_learner(attacked, summary, page):
    """The pages have the kit's tags alone, as many as a class of the same size has; what a learner wrote is text."""
    seen = Seen(attacked["pages"][page])
    assert set(seen.tags) <= TAGS and {name for name, _ in seen.attributes} <= ATTRIBUTES
    assert not any((value or "").strip().lower().startswith(("javascript:", "data:")) for _, value in seen.attributes)
    odd = sorted({f"U+{ord(letter):04X}" for letter in attacked["pages"][page] if hides(letter)} - {"U+000A"})
    assert not odd
    if page == "grid.html":
        assert any("<img src=x onerror=alert(1)>" in text for text in seen.text)     # shown as it is written
    assert seen.tags.count("tr") == len(summary.students) + 3     # heads, and two rows of sums


@pytest.mark.parametrize("page", PAGES[2:])
def test_no_cell_of_a_table_is_a_formula(attacked, page):
    """Whatever a name, an answer or a trouble begins with; each row has as many cells as the heads."""
    rows = list(csv.reader(attacked["pages"][page].splitlines()))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert [cell for row in rows for cell in row if cell[:1] in ("=", "+", "-", "@", "\t", "\r", "\n")
            or cell.lstrip()[:1] in ("=", "@")] == []


def test_answers_of_other_people_do_not_count(tmp_path):
    """With issued codes: numbers of nobody, and of the neighbour."""
    from circuitlab.teaching import issue_code
    from circuitlab.teaching.seeds import read_code, seed_of

    from attack.hostile_class import line

    codes = {("seat 1", LESSON): issue_code("s", LESSON, "seat 1"),
             ("seat 2", LESSON): issue_code("s", LESSON, "seat 2")}
    seed = seed_of(read_code(codes["seat 1", LESSON]), "open-switch-volts", 0)
    for seat in ("seat 1", "seat 2"):
        record(tmp_path / "class" / seat, right_lines() + line("open-switch-volts", 12.0, "tried", seed=seed)
               + line("lit-lamp-volts", 12.0, "tried", seed=3))
    one, two = class_summary(tmp_path / "class", codes=codes).students
    assert (LESSON, "open-switch-volts") in one.marks and (LESSON, "open-switch-volts") not in two.marks
    assert [sum("not issued" in each.words for each in seat.troubles) for seat in (one, two)] == [1, 2]


def test_labels_of_a_class_cannot_become_formulas_or_tags(tmp_path, capsys):
    """Codes issued for hostile labels are a plain table that is read back whole."""
    labels = [each.strip() + f" {number}" for number, each in enumerate((*FORMULAS, SCRIPT, "\u202eseat"))]
    (tmp_path / "labels.txt").write_text("\n".join(labels), encoding="utf-8")
    ended = main(["class-codes", "--secret", "s", "--lesson", LESSON, "--labels", str(tmp_path / "labels.txt"), "--out",
                  str(tmp_path / "codes.csv")])
    said = capsys.readouterr().err
    if ended:
        assert "labels.txt" in said and len(said.rstrip("\n").split("\n")) == 1
        return
    rows = list(csv.reader((tmp_path / "codes.csv").read_text(encoding="utf-8-sig").splitlines()))
    assert len(rows) == len(labels) + 2 and all(cell[:1] not in "=+-@\t\r" for row in rows for cell in row)


def test_a_class_of_nothing_but_hostile_folders_ends_in_a_sentence(tmp_path, capsys):
    """Nothing to mark: one sentence, and 2."""
    (tmp_path / "class" / "a\x1b[31m").mkdir(parents=True)
    assert main(["class-summary", str(tmp_path / "class"), "--out", str(tmp_path / "pages")]) == 2
    said = capsys.readouterr().err.rstrip("\n")
    assert said.count("\n") == 0 and not any(map(hides, said))


def test_every_folder_is_looked_at(attacked):
    """Neither more nor fewer than are there: 24 hostile ones and two sound ones."""
    assert len(FOLDERS) == 24 and len(read_class(attacked["folder"])) == 26
