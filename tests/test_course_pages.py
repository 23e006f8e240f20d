"""The pages beside the lessons: words and letters, task map, teacher's guide agree with the kit and with each other."""

import ast
import csv
import json
import re
from html import unescape
from itertools import takewhile

import lesson_minutes as times
import pytest

import circuitlab as cl
from circuitlab.benches import ticket
from circuitlab.commands.class_tables import labels_in
from circuitlab.ground.places import kit_folder
from circuitlab.teaching.gathering import lesson_book
from circuitlab.teaching.kinds import Choice, Number
from circuitlab.views.bench_pages import safety_page
from circuitlab.views.faces import face_of
from circuitlab.views.style import COLOUR_WORDS

LESSONS = kit_folder("lessons")
NUMBERS = {path.name.partition("_")[0] for path in LESSONS.glob("[0-9][0-9]*_*.ipynb")}


def page(name):
    return (LESSONS / name).read_text("utf-8")


def table(text, heading):
    """Return the body rows of the table under a heading, cell by cell. [text]"""
    section = text.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in section.splitlines() if line.startswith("|")]
    return rows[2:]


# ------------------------------------------------------------------ from lesson to lesson

LIST = "[All lessons](all_lessons.md)"


def ends(path):
    """Return the first and the last cell of a lesson. [text]"""
    cells = json.loads(path.read_text("utf-8"))["cells"]
    return "".join(cells[0]["source"]), "".join(cells[-1]["source"])


def before_code(path):
    """Return what a reader sees above a lesson's first code. [text]"""
    cells = json.loads(path.read_text("utf-8"))["cells"]
    return "".join(line for cell in takewhile(lambda each: each["cell_type"] == "markdown", cells) for line in cell["source"])


def test_every_lesson_leads_to_the_next_and_to_the_list():
    """By its number, title and file; the last one says that it is the last."""
    paths = sorted(LESSONS.glob("[0-9][0-9]*_*.ipynb"))
    for path, after in zip(paths, [*paths[1:], None]):
        first, last = ends(path)
        leads = f"**Next:** [{after.name.partition('_')[0]} {title(after)}]({after.name})" if after else "This is the last lesson"
        assert LIST in first and last.endswith(f"{leads}. {LIST}."), path.name
        assert "Choose **Run > Run All Cells**" in before_code(path), f"{path.name} does not say what to do first"


def title(path):
    """Return the title of a lesson. [text]"""
    return ends(path)[0].partition("\n")[0].removeprefix("# ")


def test_the_list_has_every_lesson_with_what_it_asks():
    """In order, by title; the question is the one the lesson opens with; every other page linked is there."""
    listed = re.findall(r"^\| (?:\*\*)?\[(\d.*?)\]\((\S+?)\)(?:\*\*)? \| (.*) \| \d+ \|$", page("all_lessons.md"), flags=re.M)
    lessons = sorted(LESSONS.glob("[0-9][0-9]*_*.ipynb"))
    assert [(words, file) for words, file, _ in listed] == [(f"{path.name.partition('_')[0]} {title(path)}", path.name) for path in lessons]
    asked = [re.search(r"\*\*(.*?\?)\*\*", ends(path)[0], flags=re.S)[1].replace("\n", " ") for path in lessons]
    assert [question for *_, question in listed] == asked
    assert all((LESSONS / file).is_file() for file in re.findall(r"\]\((\S+?)\)", page("all_lessons.md")))


def test_every_extra_is_on_the_list_and_in_the_task_map():
    """By its title and the question it opens with; each leads back to the list and says what to do first."""
    paths = sorted(LESSONS.glob("x[0-9]_*.ipynb"))
    asked = [re.search(r"\*\*(.*?\?)\*\*", ends(path)[0], flags=re.S)[1].replace("\n", " ") for path in paths]
    listed = re.findall(r"^\| \[(Extra: .*?)\]\((\S+?)\) \| (.*) \| \d+ \|$", page("all_lessons.md"), flags=re.M)
    assert listed == [(title(path), path.name, question) for path, question in zip(paths, asked)] != []
    for path in paths:
        first, last = ends(path)
        assert LIST in first and last.endswith(f"{LIST}."), path.name
        assert "Choose **Run > Run All Cells**" in before_code(path) and path.name[:2] in page("task_map.md"), path.name


# ------------------------------------------------------------------ words and letters

def test_the_words_page_is_a_link_away_from_lesson_00():
    """By its name, from the folder that is copied."""
    assert "[words.md](words.md)" in page("00_start_here.ipynb")


def test_the_colour_letters_are_those_of_the_kit():
    """Every colour of the kit in its order, with its word, and letters of four other worlds."""
    rows = table(page("words.md"), "Colour letters")
    assert [(row[0], row[1]) for row in rows] == list(COLOUR_WORDS.items())
    assert {len(row) for row in rows} == {6} and all(cell for row in rows for cell in row)


def test_letters_that_mean_two_colours_are_all_named():
    """Whatever the table gives to two colours is in the warning below it."""
    rows = table(page("words.md"), "Colour letters")
    means = {}
    for row in rows:
        for letters in {each.strip() for cell in row[2:] for each in cell.split(",")} - {"\N{EN DASH}"}:
            means.setdefault(letters.upper(), set()).add(row[1])
    double = {letters for letters, colours in means.items() if len(colours) > 1}
    warned = page("words.md").partition("**The same letter")[2].partition("\n\n")[0]
    assert {"P"} <= double
    assert [letters for letters in double if not re.search(rf"\b{letters} is ", warned)] == []


def test_gauges_have_their_areas():
    """To three digits, and between the two metric sizes beside them."""
    rows = table(page("words.md"), "Wire: two worlds")
    assert len(rows) >= 6
    for gauge, area, below, above in rows:
        exact = cl.sizing.read_quantity(f"{gauge} AWG", "mm2")
        assert area == f"{exact:.3g}"
        assert float(below) <= exact <= float(above)


def test_bulbs_are_those_of_the_dataset():
    """Every near pair of 12 V, its filaments and its cap; none missing, none made up."""
    with (kit_folder("datasets") / "lamps.csv").open(encoding="utf-8", newline="") as file:
        lines = [line for line in csv.DictReader(file)
                 if line["family"] == "UNECE" and line["near name"] and line["rated [V]"] == "12"]
    wanted = {line["bulb"]: [line["near name"], str(sum(each["bulb"] == line["bulb"] for each in lines)), line["cap"]]
              for line in lines}
    assert {row[0]: row[1:] for row in table(page("words.md"), "Bulbs: two worlds")} == wanted


@pytest.mark.parametrize("name", ["words.md"])
def test_a_page_names_its_sources(name):
    """And says what is from memory."""
    sources = page(name).partition("## Where this comes from")[2]
    assert "from memory" in sources and len(sources.split()) > 30


# ------------------------------------------------------------------ task map, benches, guide

def test_the_task_map_names_lessons_that_are_there():
    """Every lesson serves a task, every task has its lessons, every place its own."""
    text = page("task_map.md")
    tasks, places = table(text, "Tasks and lessons"), table(text, "Where such tasks stand")
    spoken = set(re.findall(r"\b\d\d[a-z]?\b", " ".join(row[1] for row in tasks)))
    assert len(tasks) >= 10 and len(places) >= 7
    assert spoken <= NUMBERS and NUMBERS - spoken == set()
    assert [row[0] for row in tasks if not re.search(r"\b\d\d[a-z]?\b", row[1])] == []
    assert {number for row in places for number in re.findall(r"\b\d\d[a-z]?\b", row[2])} <= NUMBERS
    assert "from memory" in text.partition("## Where this comes from")[2]


def blows_after(rating):
    """Return when the kit's fuse blows on a short behind a supply that gives 10 A at most, or None. [s]"""
    supply = cl.Battery("G1", 12.6, 12.6 / 10)
    shorted = cl.Arrangement("short", [cl.Control("short", ["off", "on"])],
                             [supply, cl.Fuse("F1", rating), cl.toggle("S1", "short")],
                             [cl.Wire("W1", "G1:+", "F1:1"), cl.Wire("W2", "F1:2", "S1:1"), cl.Wire("W3", "S1:2", "G1:-")])
    course = cl.run(shorted, [(0.0, "short", "on")], 60)
    return next((event.time for event in course.events if event.state == "blown"), None)


def test_what_a_limited_supply_can_blow_is_what_the_kit_shows():
    """Percent of rating, and seconds to one digit, for each fuse; the promise of the standard decides what to expect."""
    rows = table(page("bench_list.md"), "What a 10 A supply can blow")
    for rating, percent, seconds, expect in rows[:6]:
        time = blows_after(float(rating))
        assert abs(float(percent) - 1000 / float(rating)) < 1
        assert seconds == ("never" if time is None else f"{time:.1f}"), rating
        assert expect.startswith("blows") == (float(percent) >= 135) and expect.startswith("folds") == (float(percent) <= 110)


def test_two_cold_lamps_ask_for_more_than_the_supply_gives():
    """One cold lamp already does, as the page says of cold lamps."""
    lamp = cl.arrangement("one-fused-lamp")
    cold = lamp.part("E1").branches()[0].device.cold_resistance
    assert lamp.battery.voltage / cold > 2 * 10


def test_the_guide_is_one_printed_side():
    """Short enough for A4 in 9 points, as it was when it was printed: so many lines of table, so many words."""
    text = page("teachers_guide.md")
    assert len(re.findall(r"^\|", text, flags=re.M)) <= 34 and len(text.split()) <= 960
    assert [each for each in ("Pairs", "Split", "Rotate") if f"**{each}**" not in text] == []


def rates(text):
    """Return the minutes that the guide counts with for each thing a step holds. [min]"""
    said = text.partition("**Counted with**")[2].partition("\nFrom bare parts")[0].replace("100 words read aloud", "words")
    found = dict(re.findall(r"(?:, |: )(?:a )?([a-z]+(?: [a-z]+)?) (\d+(?:\.\d+)?)", said))
    return {thing: float(minutes) for thing, minutes in found.items()}


def test_a_step_of_the_guide_has_the_minutes_that_what_is_in_it_takes():
    """By the guide's own rates; one choice is the least that is given."""
    text = page("teachers_guide.md")
    minutes = rates(text)
    assert set(minutes) == {"choice", "reading", "board", "bench reading", "row", "wire", "look", "words", "signing"}
    steps = re.findall(r"^\| (\d+) \| (.*?) \| (.*?) \| \d\d[a-z]? \|$", text, flags=re.M)
    assert len(steps) == 13
    for given, step, held in steps:
        takes = 0
        for number, thing in (each.split(" ", 1) for each in held.split(", ")):
            takes += int(number) * minutes[thing.removesuffix("s") if thing != "words" else thing] / (100 if thing == "words" else 1)
        assert 0 < takes <= int(given), step


def test_the_guide_counts_with_the_minutes_of_the_one_room():
    """Those a lesson's own minutes are made of, to a tenth; and it tells what each task at the real bench takes from bare parts."""
    text = page("teachers_guide.md")
    wanted = {"choice": times.SECONDS[Choice] * (1 + times.AGAIN) / 60, "reading": times.SECONDS[Number] / 60, "board": times.BOARD / 60,
              "bench reading": times.READING, "row": times.ROW, "wire": times.WIRE, "look": times.LOOK, "words": 100 / times.WORDS_A_MINUTE,
              "signing": times.SIGNING}
    assert rates(text) == {thing: round(minutes, 1) for thing, minutes in wanted.items()}
    told = [int(minutes) for minutes in re.findall(r"[a-z] (\d+)", text.partition("From bare parts to proved:")[2].partition("\n")[0])]
    assert told == [minutes for minutes, _ in times.bench_tasks().values()]


def periods(text):
    """Return the rows of each period's table: minutes, step, what is in it, lesson. [text]"""
    return {head: table(text, head) for head in re.findall(r"^## (Period .*)$", text, flags=re.M)}


def test_a_period_of_the_plan_is_no_longer_than_the_guide_says():
    """The minutes of its steps, at the length of a period that stands in the first line."""
    text = page("teachers_guide.md")
    length = int(re.search(r"(\d+) minutes each", text)[1])
    assert length == 45 and len(periods(text)) == 2
    for head, steps in periods(text).items():
        assert 0.9 * length <= sum(int(minutes) for minutes, *_ in steps) <= length, head


def test_every_student_can_be_signed_off_in_the_minutes_there_are():
    """While the others work at the real bench, and in a third period behind its first and before its last minutes; nobody is left over."""
    text = page("teachers_guide.md")
    length, students = (int(re.search(words, text)[1]) for words in (r"(\d+) minutes each", r"For (\d+) students"))
    signed = 0
    for steps in periods(text).values():
        (bench,) = [(int(minutes), int(found[1])) for minutes, step, *_ in steps if (found := re.search(r"you sign (\d+)", step))]
        assert 0 < bench[1] * times.SIGNING <= bench[0]
        signed += bench[1]
    rest, first, last = (int(re.search(words, text)[1]) for words in (r"The other (\d+) come", r"(\d+) minutes to start", r"(\d+) for the exit line"))
    assert rest * times.SIGNING + first + last <= length and signed + rest == students
    told = re.search(r"Three minutes for each student: (\d+) .*?, (\d+) .*? the other (\d+) of (\d+)", page("bench_list.md"), flags=re.S)
    assert times.SIGNING == 3 and [int(told[1]) + int(told[2]), int(told[3]), int(told[4])] == [signed, rest, students]


PRINTED = ("one-fused-lamp", "relay-test-board", "shared-filament-rear-relays")


def bench_parts():
    """Return the rows of the parts of a bench: names, kind as the build sheet calls it, pieces, words."""
    rows = []
    for named, pieces, words in table(page("bench_list.md"), "One bench for two"):
        *names, kind = named.split(", ")
        first, to, last = names[0].partition(" to ")
        names = [f"{first[0]}{number}" for number in range(int(first[1:]), int(last[1:]) + 1)] if to else names
        rows.append((names, kind, int(pieces), words))
    return rows


def test_the_bench_list_has_the_parts_of_the_sheets_it_prints_under_their_names():
    """Each part of the three circuits in one row, by name and kind as the build sheet has them; as many pieces as the circuit with the most."""
    text, rows, most = page("bench_list.md"), bench_parts(), {}
    assert set(re.findall(r"circuitlab sheet (\S+)", text)) == set(PRINTED)
    for circuit in map(cl.arrangement, PRINTED):
        counted = {}
        for part in circuit.parts:
            sheet = face_of(part).details(part)
            kind = f"lamp {part.bulb}" if isinstance(part, cl.Lamp) else sheet.partition(",")[0]
            (row,) = [place for place, (names, called, *_) in enumerate(rows) if part.name in names and called == kind]
            counted[row] = counted.get(row, 0) + 1
            for value in (getattr(part, "type", ""), getattr(part, "contact", ""), f"{part.rating:g} A" if hasattr(part, "rating") else "",
                          f"{part.watts:g} W at {part.volts:g} V" if isinstance(part, cl.Lamp) else "", getattr(part, "control", "")):
                assert value in rows[row][3], (part.name, value)
            if isinstance(part, (cl.Chassis, cl.Splice)):
                assert len(part.terminals) <= int(re.search(r"(\d+) (?:studs|ways)", rows[row][3])[1]), part.name
        most = {row: max(counted.get(row, 0), most.get(row, 0)) for row in {*counted, *most}}
    assert {place: pieces for place, (_, _, pieces, _) in enumerate(rows)} == most


def bench_steps(name):
    """Return the steps of a lesson's page for the real bench. [text]"""
    cells = ("".join(cell["source"]) for cell in json.loads(page(name))["cells"] if cell["cell_type"] == "code")
    return ast.literal_eval(next(cell for cell in cells if cell.startswith("lesson.workbench("))[len("lesson.workbench("):-1])


def test_no_ohms_are_read_while_power_is_on():
    """The relay's coil is found by ohms with nothing connected; operated it is read in volts. Guide, card and lesson say the same."""
    first, *rest = bench_steps("06_test_the_relay.ipynb")
    assert "nothing connected: meter on ohms" in first and "coil" in first
    powered = [step for step in rest if "supply" in step or "Lamp lit" in step]
    assert len(powered) == 2 and all("meter on volts" in step for step in powered) and "no ohms now" in powered[0]
    assert powered[0].index("Power off") < powered[0].index("coil pins you found") < powered[0].index("Power on")
    guide = " ".join(page("teachers_guide.md").replace("\n> ", " ").split())
    assert "No ohms while power is on" in guide and "released by ohms, operated by volts" in guide
    assert "Ohms only with the power off" in unescape(safety_page())


def test_students_print_the_sheet_that_leaves_looks_and_volts_open():
    """As the bench list says for the class: the full one tells what the lesson asks."""
    printed = [step for step in bench_steps("06_test_the_relay.ipynb") if "circuitlab sheet" in step]
    assert len(printed) == 1 and "--blank" in printed[0]


def test_the_bench_list_says_where_the_plug_of_1_ohm_may_go_and_for_how_long():
    """Joule's law with the kit's amps: one lamp through the plug; what two and four lamps draw without it, the most that may be; the battery by itself."""
    told = " ".join(page("bench_list.md").partition("**Where the plug of 1 ohm may go.**")[2].partition("Print for each pair")[0].split())
    one, two, amps, many, battery = map(float, re.search(r"turns (\d+) W .* up to (\d+) W: one minute.* lamps ([\d.]+) A would make (\d+) W .* over (\d+) W", told).groups())
    cart, hazard = (cl.arrangement(f"shared-filament-rear-relays{more}") for more in ("", "-hazard"))
    braking, turning = {"brake pedal": "held"}, {"key": "on", "turn lever": "left"}
    assert cl.operating_point(cl.changed(cart, cl.SetValue("W20", "start_joint", 1.0)), braking).current("E1") ** 2 == pytest.approx(one, abs=0.5)
    both = cl.operating_point(cart, turning)
    assert 0.85 * two < (both.current("E1") + both.current("E3")) ** 2 <= two
    row = {"hazard": "on", "brake pedal": "held", "tail lamps": "on"}
    common = abs(cl.operating_point(hazard, row).current("W49"))
    assert common == pytest.approx(amps, abs=0.05) and many == round(amps ** 2) and many > 2 * 25
    g1 = hazard.part("G1")
    assert battery < (g1.voltage / (1 + g1.internal_resistance)) ** 2 < 1.1 * battery
    assert all(each in told for each in ("Never into a ground or feed that more lamps share", "Never across the supply or a battery", "supply off, wait"))


def test_guide_and_bench_list_say_what_a_code_does_not_prove():
    """That whoever has the kit can make codes and answers, how the words are kept, what to look at instead."""
    guide, benches = (" ".join(page(name).split()) for name in ("teachers_guide.md", "bench_list.md"))
    assert "whoever has it can issue codes with words of his own" in guide and "Keep your words secret" in guide and "What counts, you watch" in guide
    told = benches.partition("**What a code proves, and what not.**")[2].partition("**Whose numbers.**")[0]
    assert all(each in told for each in ("does not prove who worked them", "anybody can issue codes", "`--secret`", "At the bench"))


def test_a_shared_laptop_has_a_folder_for_each_label():
    """Guide and bench list say it, what a label is, and with a command that the kit takes."""
    guide, benches = (" ".join(page(name).split()) for name in ("teachers_guide.md", "bench_list.md"))
    before = guide.partition("## Before")[2].partition("## Period 1")[0]
    for text in (before, benches):
        folder = re.search(r"start --folder \"(.*?)\"", text)[1]
        assert labels_in(folder, "labels.txt") == ["seat 4"]
    assert "for each learner or pair" in before and "A label is whoever hands in one record: a learner, or a pair" in benches
    assert "deletes the record and types the same code" in benches.partition("**What a code proves")[2]


def test_a_ticket_passed_at_home_is_brought_along():
    """To the folder whose pages it opens; the guide says by which file, which is the one that the lesson reads."""
    for text in (page("teachers_guide.md"), page("bench_list.md")):
        assert f"lesson-{ticket.LESSON}.jsonl" in text and re.search(r"on paper it opens none", text, flags=re.I)


def test_the_times_of_the_guide_fit_its_periods():
    """A board of lesson 11 has the minutes of its own task, a side does not fit the step at the real board, and a split class swaps after a period."""
    guide = " ".join(page("teachers_guide.md").split())
    whole, side = (times.bench_tasks()[f"the cart with two rear relays, {words}"][0] for words in ("whole", "left side"))
    (step,) = [int(row[0]) for row in periods(page("teachers_guide.md"))["Period 2: one lamp with two jobs"] if row[1].startswith("Real board")]
    assert side > step and f"beforehand, {whole:.0f} minutes each: nobody wires 20 wires of one side in the {step} minutes there are" in guide
    assert "12 at benches, 12 at screens, swapped in the next period" in guide


def test_the_page_without_names_is_told_for_what_it_is():
    """A learner who knows his own marks finds his row in it."""
    (line,) = [line for line in (kit_folder("lessons").parent / "README.md").read_text("utf-8").splitlines() if "class-summary FOLDER" in line]
    assert "a page without names (a row of marks can still be recognised)" in line


def test_before_a_class_copies_the_kit_its_owner_is_asked():
    """As long as the README says that no licence has been chosen."""
    assert "No licence has been chosen yet" in (kit_folder("lessons").parent / "README.md").read_text("utf-8")
    assert "Nobody has leave to copy the kit yet: ask its owner" in page("teachers_guide.md").partition("## Before")[2].partition("## Period")[0]


@pytest.mark.parametrize(("number", "earns"), [("06", {"no-click", "normally-closed", "unmarked"}), ("11", {"transfer"})])
def test_the_guide_plans_the_questions_that_earn_credit(number, earns):
    """They stand under *Check* of the two lessons, behind what the periods do, and are homework there."""
    guide, section, found = " ".join(page("teachers_guide.md").split()), "", {}
    for cell in json.loads(next(LESSONS.glob(f"{number}_*.ipynb")).read_text("utf-8"))["cells"]:
        source = "".join(cell["source"])
        section = (re.findall(r"^## (.*)$", source, flags=re.M) or [section])[-1] if cell["cell_type"] == "markdown" else section
        found |= dict.fromkeys(re.findall(r"lesson\.choose\(\s*\"(.*?)\"", source), section)
    book = lesson_book(number)
    assert {item for item, where in found.items() if where == "Check" and book.questions[item].earns} == earns
    assert "Homework, with *Check* of 06 and 11: only checks earn credit" in guide and "Till then the grid shows ideas" in guide


@pytest.mark.outside("Brysbaert 2019, reading aloud in English: 183 words a minute (from memory)")
def test_a_student_reads_aloud_no_faster_than_adults_do():
    assert rates(page("teachers_guide.md"))["words"] >= 100 / 183


def test_the_boards_of_lesson_11_are_as_large_as_the_guide_says():
    """Twelve rows, and twenty wires that the left side needs."""
    cart, right = cl.arrangement("shared-filament-rear-relays"), {"E2", "E4", "K2", "X5"}
    left = [wire for wire in cart.wires if not {"S3:R", "S3:SR"} & {wire.start, wire.end}
            and not right & {end.partition(":")[0] for end in (wire.start, wire.end)}]
    text = page("teachers_guide.md")
    assert f"wires {len(left)} wires of one side" in text and f"its {cart.count_rows()} rows" in text
    fuses = {part.rating for part in cart.of_kind(cl.Fuse)}
    assert f"{fuses.pop():g} A each" in text and not fuses


def test_pages_point_at_each_other():
    """Every page but the start is named in the guide; the guide's own period tables name lessons that are there."""
    text = page("teachers_guide.md")
    assert set(re.findall(r"`(\w+\.md)`", text)) == {path.name for path in LESSONS.glob("*.md")} - {"teachers_guide.md"}
    assert set(re.findall(r"\| (\d\d[a-z]?) \|$", text, flags=re.M)) <= NUMBERS
