"""The lessons are in words that a learner has: hard words counted, glossary words explained where they first come up, no odd idioms.

The list of easy words is that of Dale and Chall (1995), about 3,000 that four of five pupils of the fourth grade know, as the package
``textstat`` carries it. ``-s`` prints what was measured, with the figures of the day on which the limits were set beside it.
"""

import json
import re

import pytest
from lesson_minutes import bench_tasks, needed, told
from lesson_path import CODE, LESSONS, ROAD, count, path, plain
from plain_words import explained, glossary, hard, is_known, listed

from circuitlab.ground.places import kit_folder

MOST_HARD, MOST_WORDS = 0.05, 1800      # share of the words, and words on the path with one wrong try for each question
EVENING = 150                           # min
BAD = "Notwithstanding its idiosyncratic terminology, subsequent paragraphs elucidate miscellaneous ramifications."
FIGURES = {     # words on the path, hard words in percent: on the day the limits were set, and before the lessons were rewritten
    "00": "1665, 2.6; before 1796, 11.0", "01": "1795, 1.7; before 2878 with 01b, 12.0", "01b": "1109, 1.8", "02": "1681, 1.4; before 1877, 10.4",
    "03": "1720, 2.4; before 1895, 10.7", "04": "1799, 3.3; before 1976, 12.0", "05": "1734, 2.2; before 1905, 8.7",
    "06": "1639, 2.0; before 2279 with 06b, 10.2", "06b": "932, 1.4", "07": "1672, 1.4; before 1777, 7.8", "08": "1800, 2.2; before 2051, 9.3",
    "09": "1705, 1.2; before 2013, 8.9", "10": "1765, 3.0; before 2107, 11.2", "11": "1763, 1.3; before 2581 with 11c, 9.2",
    "11b": "1050, 2.6", "11c": "1460, 1.3", "12": "1793, 2.6; before 3014 with 11b, 8.6",
    "x1": "646, 2.7", "x2": "681, 4.5; before 658, 6.2", "x3": "534, 3.4; before 531, 5.6", "x4": "676, 4.9; before 675, 5.8",
    "x5": "649, 4.7; before 648, 4.9"}
EVERYDAY = {    # words of the glossary that anybody knows before the first lesson, or that also have a plain sense
    "plus", "minus", "zero", "unit", "pedal", "lever", "vehicle", "released", "row", "look"}
IDIOMS = {      # said by readers to have stopped them, and their kin
    "a lamp is lit and does not burn": r"\b(lamps?|E\d|it|which \w+)\s+burns?\b|\bburned\b|\bburns (steadily|bright)",
    "a current does not part": r"\bways? parts?\b|levels? parts?\b|They part at",
    "nothing makes up for anything": r"\bmakes? up for\b|weigh each other out",
    "a lamp does not turn": r"\bthe lamp turns\b", "one word for a way": r"\broads?\b",
    "parts do not mind or see": r"\bminds?\b|see each other|does the coil notice|the fuse looks on",
    "a lamp does not hang": r"\b(lamps?|E\d)\b[^.?!]{0,20}\bhangs?\b|\bhangs? on\b", "a model is not tidy": r"\btidy\b",
    "a cart is not invented twice": r"\binvented\b", "good, not sound": r"\bsound\b"}
MODES = pytest.mark.parametrize("name", LESSONS)


def number(name):
    return name.partition("_")[0]


def words_of(name):
    """Return the words of a lesson's path; those of the page for the real bench are read there. [1]"""
    return sum(count(each.text) for each in path(name) if each.kind != "steps")


def hard_of(passages):
    """Return the hard words of passages, and their share of all words. [text], [1]"""
    counted = [hard(each if isinstance(each, str) else each.text) for each in passages]
    found = [word for words, _ in counted for word in words]
    return found, len(found) / sum(many for _, many in counted)


def odd(text):
    """Return which idioms a text has, and where. [text]"""
    bare = re.sub(CODE, " ", plain(text))
    return [f"{rule}: {hit[0]}" for rule, sign in IDIOMS.items() for hit in re.finditer(sign, bare, flags=re.I)
            if not re.search(r"((on|cross|off|before) the|short)$", bare[:hit.start()].rstrip()[-12:], flags=re.I)]


# ------------------------------------------------------------------ the measures

@MODES
@pytest.mark.outside("Dale and Chall 1995, list of 3,000 familiar words, as the package textstat carries it; rules of counting from memory")
@pytest.mark.in_turn(24, 8)
def test_few_words_are_hard(name):
    """In prose, questions, the replies seen and the steps at the bench."""
    found, share = hard_of(path(name))
    print(f"\nlesson {number(name)}: {words_of(name)} words, {100 * share:.1f} % hard ({FIGURES[number(name)]})")
    assert share <= MOST_HARD, sorted(set(found))


@MODES
@pytest.mark.in_turn(4)
def test_a_lesson_can_be_read_in_one_sitting(name):
    """With one wrong try for each question, the longest reply each."""
    assert words_of(name) <= MOST_WORDS


def test_a_planted_sentence_is_found():
    """A lesson of such sentences fails, and one in a short text does; a glossary word and forms of easy words do not."""
    found, share = hard_of([BAD])
    assert share > MOST_HARD and {"idiosyncratic", "ramifications", "elucidate"} <= set(found)
    lesson = [each.text for each in path("06b_pull_in_and_let_go")]
    assert hard_of(lesson)[1] <= MOST_HARD < hard_of([*lesson, *[BAD] * 6])[1]
    assert hard("The lamps were moved, and the driver's hands stopped.")[0] == []
    assert is_known("fuses") and is_known("welded") and not is_known("idiosyncratic")
    assert len(listed()) > 2900 and "circuit" not in listed()


@pytest.mark.full
def test_the_glossary_is_of_the_trade_and_not_a_way_round_the_measure():
    """Every word in it says what it means, is said in some lesson, and is not on the list of easy words for all its parts."""
    entries, said = glossary(), " ".join(each.text for name in LESSONS for each in path(name)).lower()
    assert 80 < len(entries) < 130 and [word for word, means in entries.items() if len(means.split()) < 2] == []
    single = {part for word in entries for part in re.findall(r"[a-z]+", word.lower())}
    assert single == explained()
    unsaid = [part for part in single - listed() if part[:-1] not in said]
    assert unsaid == []


# ------------------------------------------------------------------ explained where it first comes up

def first_question(word):
    """Return the lesson and cell whose question is the first to use a word, or None. [text], [1]"""
    sign = re.compile(rf"\b{re.escape(word)}(s|es|ed)?\b", re.I)
    return next(((name, each.cell) for name in LESSONS for each in path(name)
                 if each.kind == "question" and sign.search(re.sub(CODE, " ", each.text))), None)


def is_explained_by(word, name, cell):
    """Whether the word stands in italics, as an explained one does, in that lesson ahead of the cell, or in an earlier lesson."""
    sign = re.compile(rf"\b{re.escape(word)}(s|es|ed)?\b", re.I)
    return any(sign.search(marked) for other in LESSONS[:LESSONS.index(name) + 1] for each in path(other)
               if each.kind == "prose" and (other != name or each.cell <= cell)
               for marked in re.findall(r"(?<!\*)\*([^*\n]+)\*(?!\*)|\*\*([^*\n]+)\*\*", each.text) for marked in marked if marked)


@pytest.mark.full
def test_a_word_of_the_glossary_is_explained_before_a_question_uses_it():
    """In the course's order; whoever starts later has the card."""
    used = {word: first_question(word) for word in glossary() if word not in EVERYDAY}
    assert sum(place is not None for place in used.values()) > 40
    assert [(word, *place) for word, place in used.items() if place and not is_explained_by(word, *place)] == []


# ------------------------------------------------------------------ idioms

@MODES
@pytest.mark.in_turn(4)
def test_no_reader_is_stopped_by_an_idiom(name):
    """In nothing that is read."""
    assert [(each.item, found) for each in path(name) for found in odd(each.text)] == []


@pytest.mark.parametrize("text", ["In which rows does E1 burn? E1 burns.", "current divides only where ways part", "That makes up for the short period.",
    "the lamp turns only then", "Which road leads home?", "LEDs and diodes mind.", "Lamp E1 hangs on 87.", "a tidy model", "a sound lamp"])
def test_a_planted_idiom_is_found(text):
    assert odd(text)


def test_plain_sentences_are_no_idioms():
    assert odd("E1 is lit. Twelve volts burn skin. Local code says what may go on the road, and goes on the road.") == []


# ------------------------------------------------------------------ minutes, and the short road

@MODES
@pytest.mark.in_turn(4)
def test_the_minutes_said_are_those_needed(name, answers):
    """At the top of the lesson and in the list of lessons, the same: what reading and answering take, in whole steps."""
    said = re.findall(r"\*You need:\* (\d+) minutes", " ".join(each.text for each in path(name) if each.kind == "prose"))
    listed_ = re.search(rf"\({name}\.ipynb\)(?:\*\*)? \| .* \| (\d+) \|", (kit_folder("lessons") / "all_lessons.md").read_text("utf-8"))
    assert said == [listed_[1]] == [str(told(name))], f"needs {needed(name):.1f} min"


def test_a_side_of_the_cart_is_not_wired_in_nine_minutes():
    """Each wire takes its time."""
    tasks = {words: minutes for words, (minutes, _) in bench_tasks().items()}
    assert tasks["the cart with two rear relays, left side"] == 20 * 1 + 3 + 6 * 0.5
    assert tasks["the cart with two rear relays, left side"] < tasks["the cart with two rear relays, whole"]


def test_the_short_road_is_one_evening_and_marked_on_its_way():
    """Its lessons say at the top which they are and what comes next, and at the end once more; the list and the README tell of it, and the list adds
    up its minutes."""
    files = {number(name): name for name in LESSONS}
    ends = {each: [passage.text for passage in path(files[each]) if passage.kind == "prose"][-1] for each in files}
    tops = {each: next(iter(path(files[each]))).text for each in files}
    for place, each in enumerate(ROAD):
        line = next(line for line in tops[each].splitlines() if line.startswith("*Short road"))
        after = f"({files[ROAD[place + 1]]}.ipynb)" if place + 1 < len(ROAD) else "your own proved cart"
        assert line.startswith(f"*Short road, {place + 1} of {len(ROAD)}.*") and after in line
        leads = f"Short road, next: [**lesson {ROAD[place + 1]}**]{after}." if place + 1 < len(ROAD) else "The short road ends here."
        assert leads in ends[each].splitlines()
        assert ends[each].lower().index("short road") < ends[each].index("**Next:** [")
    assert [each for each in tops if "Short road" in tops[each]] == [each for each in ends if "short road" in ends[each].lower()] == list(ROAD)
    page = (kit_folder("lessons") / "all_lessons.md").read_text("utf-8")
    bold = re.findall(r"^\| \*\*\[(\w+) .* \| (\d+) \|$", page, flags=re.M)
    assert [each for each, _ in bold] == list(ROAD) and f"{sum(int(minutes) for _, minutes in bold)} minutes to a cart" in page
    assert sum(int(minutes) for _, minutes in bold) <= EVENING
    assert "short road" in (kit_folder("lessons").parent / "README.md").read_text("utf-8").partition("\n## ")[0]


def test_no_lambda_is_in_sight_on_the_short_road():
    """Neither in an open cell nor in the first line of a folded one, which plain JupyterLab shows."""
    for each in ROAD:
        (name,) = (name for name in LESSONS if number(name) == each)
        for cell in json.loads((kit_folder("lessons") / f"{name}.ipynb").read_text("utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                source = "".join(cell["source"])
                seen = source.partition("\n")[0] if cell["metadata"].get("jupyter", {}).get("source_hidden") else source
                assert "lambda" not in seen, (each, cell["id"])
