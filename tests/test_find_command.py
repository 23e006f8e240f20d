"""The command ``find``: all at once and asked at a keyboard, cases paused and resumed, the report and the fault page."""

import re
from dataclasses import replace
from pathlib import Path
from shlex import split

import pytest

import circuitlab as cl
from circuitlab.arrangements import LoseJoint
from circuitlab.arrangements.complaints import READING_FORMS, SAID_BESIDES, SYMPTOM_FORMS, WHOLE_FORMS
from circuitlab.arrangements.mirrored import mirror
from circuitlab.commands import finding as command
from circuitlab.commands.line import main
from circuitlab.reasoning.finding.assumptions import SAID
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.finding.case import Case
from circuitlab.reasoning.finding.case_file import load_case, save_case
from circuitlab.reasoning.finding.fault_sheet import fault_sheet
from circuitlab.reasoning.finding.finding import find
from circuitlab.reasoning.finding.kept import Keeper
from circuitlab.reasoning.finding.repairs import after_failing
from circuitlab.views.fault_page import fault_page
from circuitlab.views.find_words import put_back

from repairers import Bench

DIM, LOST = "E1 dim when lamp switch on", "0.9 V from S1:2 to E1:1 when lamp switch on"
LAMP = cl.arrangement("one-fused-lamp")


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def said(capsys):
    return " ".join(capsys.readouterr().out.split())


class Keyboard:
    """Somebody who types these lines, and then answers what was asked for as the instruments would."""

    def __init__(self, lines, bench=None, monkeypatch=None):
        self.lines, self.bench, self.asked = list(lines), bench, []
        if monkeypatch:
            monkeypatch.setattr("sys.stdin", self)
            monkeypatch.setattr("circuitlab.commands.asking_faults.Asking._show", self.shown(command.Asking._show))

    def shown(self, show):
        def keep(asking, found):
            self.found = found
            return show(asking, found)
        return keep

    def isatty(self):
        return True

    def readline(self):
        if self.lines:
            return f"{self.lines.pop(0)}\n"
        if self.bench is None or self.found.next is None:
            return ""
        self.asked.append(self.found.next.offer)
        return f"{self.bench.shown(self.found.next.offer)}\n"


def test_all_at_once(capsys):
    assert main(["find", "one-fused-lamp", "--symptom", DIM, "--reading", LOST, "--reading", "F1 whole"]) == 0
    out = said(capsys)
    assert re.search(r" 1\. 9\d % about 0\.5 ohm between S1:2 and E1:1 \(W3\): 0\.90 V lost at 1\.8 A", out) and "advises and does not certify" in out
    assert "Likely enough to be mended: mend W3" in out


def test_nothing_that_agrees_leaves_with_1_where_nothing_is_on_the_list(capsys, monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.finding.cause.MOST_CAUSES", 0)
    assert main(["find", "one-fused-lamp", "--symptom", DIM]) == command.NOTHING_FITS == 1
    assert "No cause is left: nothing on the list agrees with what was told" in said(capsys)


@pytest.mark.parametrize(("words", "says"), [
    (["--symptom", "E1 steady when lamp switch on"], "is what the sound circuit shows"),
    (["--reading", "1 V from F1:1 to F1:1"], "both leads are on F1:1"),
    (["--symptom", DIM, "--odds", "guess"], "has no column of odds 'guess'"),
    (["--symptom", DIM, "--effort", "X9=3"], "has no line 'X9'"), (["--symptom", DIM, "--effort", "often"], "--effort 'often' cannot be read"),
    (["--most", "0"], "--most must be 1 or more"), (["--page", "faults.pdf"], "'faults.pdf' does not end in .html"),
    (["--case", "a.case", "--retest", "in the rain: good"], "'in the rain' is no row"),
])
def test_bad_input_gets_one_sentence_and_leaves_with_2(capsys, words, says):
    assert main(["find", "one-fused-lamp", *words]) == 2
    err = capsys.readouterr().err
    assert says in err and len(err.splitlines()) == 1


def test_the_help_prints_every_form(capsys):
    with pytest.raises(SystemExit):
        main(["find", "--help"])
    out = capsys.readouterr().out
    assert all(f"  {form}\n" in out for form in (*SYMPTOM_FORMS, *WHOLE_FORMS, *READING_FORMS))


def test_words_that_stand_below_and_above_are_the_same():
    assert set(SAID) == set(SAID_BESIDES)


def test_asked_at_a_keyboard_it_finds_a_hidden_fault_and_takes_repair_and_retest(capsys, monkeypatch):
    keyboard = Keyboard(["E1 purple", "F1 whole", DIM, ""], Bench(LAMP, (LoseJoint("W2", "S1:1", 1.0),)), monkeypatch)
    assert main(["find", "one-fused-lamp", "--case", "mine.case"]) == 130      # the answers end where the repair is asked for
    out = said(capsys)
    assert "A look is one of" in out and keyboard.found.causes[0].repair.startswith("mend W2,") and "What was repaired?" in out
    case = load_case("mine.case", LAMP)
    assert case.symptoms == (DIM,) and len(case.readings) == 1 + len(keyboard.asked) > 1
    assert [path.name for path in Path().iterdir()] == ["mine.case"]        # what was kept between two answers is gone


def test_a_value_alone_a_whole_sentence_and_taking_back(capsys, monkeypatch):
    Keyboard([DIM, "", "F1 whole", "cannot get at S1:1", "why", "take back", "12 apples", "", ], monkeypatch=monkeypatch)
    assert main(["find", "one-fused-lamp"]) == 0
    out = said(capsys)
    assert "told: F1 whole" in out and "told: cannot get at S1:1" in out and "Refuted unless" in out and "is no reading that can be read" in out
    again = out.partition("The same again: ")[2]
    assert split(again) == ["python", "-m", "circuitlab", "find", "one-fused-lamp", "--symptom", DIM, "--reading", "F1 whole"]


def test_a_resumed_case_asks_on_where_it_stood(capsys, monkeypatch):
    """First for readings, then for rows and a signature, without asking anything twice; what was taken back stays on record."""
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--symptom", DIM, "--vehicle", "the cart, bay 3"]) == 0
    keyboard = Keyboard(["F1 blown", "take back", LOST, "mend W3", "good", ""], monkeypatch=monkeypatch)
    assert main(["find", "mine.case"]) == 0 and keyboard.lines == []
    case, out = load_case("mine.case", LAMP), said(capsys)
    assert (case.readings, case.back, case.repair, case.waiting) == ((LOST,), ("F1 blown",), "mend W3", ("lamp switch on",))
    assert "What does the customer see?" not in out and case.vehicle == "the cart, bay 3"
    keyboard = Keyboard(["good", "A. Fitter, today"], monkeypatch=monkeypatch)
    assert main(["find", "mine.case"]) == 0 and keyboard.lines == []
    assert load_case("mine.case", LAMP).is_closed and "What was repaired?" not in said(capsys)
    keyboard = Keyboard(["nobody asks any more"], monkeypatch=monkeypatch)
    assert main(["find", "mine.case", "--report", "report.html"]) == 0 == main(["find", "mine.case"]) and keyboard.lines != []
    page = Path("report.html").read_text("utf-8")
    assert "Vehicle: the cart, bay 3" in page and re.search(r"taken back</t.><td>F1 blown", page)


def test_nobody_signs_for_rows_that_wait(capsys):
    """What else is told is kept; rows are told as symptoms are, all that wait at once as well."""
    words = ["find", "one-fused-lamp", "--case", "z.case", "--symptom", DIM, "--reading", LOST, "--repair", "W3"]
    assert main([*words, "--retest", "when lamp switch on: ok", "--signed", "me"]) == 2
    assert "nobody signs yet: 1 of 2 rows still to be worked again, first of them 'everything at rest'" in capsys.readouterr().err
    case = load_case("z.case", LAMP)
    assert (case.repair, case.retests, case.signed) == ("W3", (("lamp switch on", "good"),), "")
    assert main(["find", "z.case", "--report", "z.html"]) == 0 and "The case is open: 1 row not worked again, not signed." in said(capsys)
    assert main(["find", "z.case", "--retest", "all rows: good", "--signed", "me"]) == 0
    assert "The case is closed: repaired, every row good, signed." in said(capsys) and load_case("z.case", LAMP).is_closed
    assert main(["find", "one-fused-lamp", "--case", "y.case", "--symptom", DIM, "--signed", "me"]) == 2
    assert "nobody signs yet: no repair is noted" in capsys.readouterr().err


@pytest.mark.parametrize("repair", ["W2", "free W2", "W2 taped", "free W2 from the frame", "W2 freed at the grommet; new F1"])
def test_a_repair_that_names_the_wire_is_about_it(repair):
    case = Case(LAMP).with_symptom("E1 dark when lamp switch on").with_reading("F1 blown").with_reading("0.1 ohm from F1:2 to X1:1, F1 out, E1 out")
    found = case.found()
    found = replace(found, causes=tuple(cause for cause in found.causes if cause.repair.startswith("free W2 ")))
    assert case.with_repair(repair).other_than(found) == "" and case.with_repair("W5").other_than(found).startswith("free W2 ")


def test_what_somebody_else_wrote_into_a_case_meanwhile_stays_beside_it(capsys):
    """What the same hand reads and goes on with leaves no copy."""
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--symptom", DIM]) == 0
    for sentence in (LOST, "F1 whole"):
        assert main(["find", "mine.case", "--reading", sentence]) == 0
    assert [path.name for path in Path().iterdir()] == ["mine.case"]
    case = load_case("mine.case", LAMP)
    keeper = Keeper("mine.case", is_read=True)
    assert main(["find", "mine.case", "--repair", "mend W3", "--retest", "all rows: good"]) == 0
    saved = keeper(case.with_reading("cannot get at S1:1"))
    assert saved.kept.name == "mine.before-1.case" and load_case(saved.kept, LAMP).retests and not load_case("mine.case", LAMP).retests
    keeper(case)
    assert sorted(path.name for path in Path().iterdir()) == ["mine.before-1.case", "mine.case"]


def test_what_was_off_and_out_is_put_back_before_the_next_reading_and_at_the_end():
    tied, out = cl.arrangement("tied-stop-and-turn"), "F1 out, E1 out, E2 out, E3 out, E4 out"
    found = find(tied, "rear left dark when braking", ["F1 blown", f"0.1 ohm from F1:2 to X1:1 when braking, W5 lifted at X2:3, {out}"])
    offer = found.next.offer
    assert offer.instrument == "ohms" and put_back(found, offer) == [*([] if ("W5", "X2:3") in offer.lifted else ["W5 on X2:3"]),
                                                                     *(name for name in out.replace(" out", "").split(", ") if name not in offer.out)]
    assert put_back(found) == ["W5 on X2:3", "E1", "E2", "E3", "E4"]       # F1 is blown: a new one goes in last, as is said there
    ended = replace(found, is_found=True)
    vars(ended)["next"] = None
    assert "Put back what is off or out: W5 on X2:3, E1, E2, E3, E4. New fuses of the same rating: F1, only once no short is read any more." in " ".join(
        ended.text().split())


def test_what_is_told_again_is_taken_back_no_more(capsys):
    case = Case(LAMP).with_reading("F1 whole").with_taken_back("F1 whole")
    assert (case.readings, case.back) == ((), ("F1 whole",))
    case = case.with_reading("F1 whole")
    assert (case.readings, case.back) == (("F1 whole",), ())


def test_a_case_of_many_lamps_keeps_a_sentence_of_each(capsys):
    cart = cl.arrangement("shared-filament-four-relays")
    case = Case(cart).with_symptom("no brake lights")
    assert case.symptoms == ("rear left dark when brake pedal held", "rear right dark when brake pedal held")
    save_case(case, "mine.case")
    assert load_case("mine.case", cart).symptoms == case.symptoms


def test_the_same_again_is_all_that_was_said_as_a_shell_takes_it(capsys, monkeypatch, tmp_path):
    """With its odds, efforts and how the circuit is taken; a file of two words stays one word."""
    cl.save(LAMP, "my cart.toml")
    Keyboard([DIM, "", LOST, "", ""], monkeypatch=monkeypatch)
    options = ["--odds", "handbook rates", "--effort", "S1=20", "--stands-in"]
    assert main(["find", "my cart.toml", *options]) == 0
    again = split(said(capsys).partition("The same again: ")[2])
    assert again[:5] == ["python", "-m", "circuitlab", "find", "my cart.toml"] and again[5:9] == ["--symptom", DIM, "--reading", LOST]
    assert again[9:] == options and main(again[3:]) == 0 and "0.90 V lost at 1.8 A" in said(capsys)


def test_a_case_is_closed_when_every_row_was_worked_again_and_somebody_signed(capsys, monkeypatch):
    Keyboard([DIM, "", LOST, "mend W3", "good", "good", "A. Fitter, today"], monkeypatch=monkeypatch)
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--report", "report.html"]) == 0
    case = load_case("mine.case", LAMP)
    assert case.is_closed and case.retests == (("everything at rest", "good"), ("lamp switch on", "good")) and case.signed == "A. Fitter, today"
    page = open("report.html", encoding="utf-8").read()
    assert "<p>closed: repaired, every row good, signed</p>" in page and "mend W3" in page and "A. Fitter, today" in page and "Ruled out since" in page


def test_a_case_is_paused_and_resumed(capsys):
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--symptom", DIM]) == 0
    assert main(["find", "mine.case", "--reading", LOST]) == 0
    assert "0.90 V lost at 1.8 A" in said(capsys)
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--retest", "lamp switch on: E1 still dim", "--repair", "mend W3"]) == 0
    case = load_case("mine.case", LAMP)
    assert (case.symptoms, case.readings, case.repair, case.waiting) == ((DIM,), (LOST,), "mend W3", ("everything at rest",)) and not case.is_closed


def test_a_case_comes_back_as_it_was_saved(tmp_path):
    case = Case(LAMP, (DIM,), (LOST, "cannot get at S1:1"), "handbook rates", (("F1", 7.5),), "mend W3", (("lamp switch on", "good"),), "A. Fitter",
                "one-fused-lamp")
    assert load_case(save_case(case, tmp_path / "mine.case", ["F1 blown"]), LAMP) == case


@pytest.mark.parametrize(("spoil", "says"), [
    (lambda text: text.replace("end of case\n", ""), "its last line is missing"),
    (lambda text: text.replace("case of ", "list of "), "is no case. Its first line must be"),
    (lambda text: text.replace("fingerprint: ", "fingerprint: 0"), "a case of another circuit than"),
    (lambda text: text.replace("symptom: ", "symptom: a "), "line 3: "),
    (lambda text: text.replace("symptom: ", "complaint: "), "is no line of a case"),
])
def test_a_spoiled_case_gets_one_sentence_that_names_the_line(capsys, spoil, says):
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--symptom", DIM]) == 0
    path = "mine.case"
    with open(path, encoding="utf-8") as file:
        text = file.read()
    with open(path, "w", encoding="utf-8") as file:
        file.write(spoil(text))
    capsys.readouterr()
    assert main(["find", "mine.case"]) == 2
    assert says in capsys.readouterr().err


def test_a_case_of_a_circuit_that_was_changed_since_is_refused(capsys):
    cl.save(LAMP, "mine.toml")
    assert main(["find", "mine.toml", "--case", "mine.case", "--symptom", DIM]) == 0
    cl.save(cl.changed(LAMP, cl.SetValue("F1", "rating", 3.0)), "mine.toml")
    assert main(["find", "mine.case"]) == 2
    assert "its parts or wires have changed since" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["one-fused-lamp", pytest.param("tied-stop-and-turn", marks=pytest.mark.full)])
def test_the_fault_page_holds_every_lamp_its_suspects_and_first_readings_with_what_is_sound(name, capsys):
    assert main(["find", name, "--page", "faults.html"]) == 0
    page = open("faults.html", encoding="utf-8").read()
    circuit = cl.arrangement(name)
    sheet = fault_sheet(circuit)
    assert page == fault_page(sheet)
    told = {words for entry in sheet.entries for words in (entry.said, entry.other_side)}
    for lamp in circuit.of_kind(cl.Lamp):
        assert {each.split()[len(lamp.place.split())] for each in told if each.startswith(f"{lamp.place} ")} == {"dark", "dim"}
    for entry in sheet.entries:
        assert 1 <= len(entry.readings) <= 3 and entry.said in page and entry.other_side in page and entry.finding.causes
        for step, sound in zip(entry.readings, entry.sound):
            if step.offer.instrument == "meter":
                point = cl.operating_point(circuit, step.offer.positions, step.offer.phases or "off")
                assert sound == pytest.approx(cl.take_reading(point, step.offer.red, step.offer.black).shown, abs=0.02)
    assert "sound: " in page and "http" not in page and "width=device-width" in page and "does not certify" in page


@pytest.mark.parametrize(("name", "rows"), [
    ("separate-filaments", {"brake pedal held": {"dark", "dim"}, "key on and turn lever left": {"dark", "dim", "fast", "steady"}}),
    pytest.param("shared-filament-rear-relays-hazard", {"brake pedal held": {"dark", "dim"}, "tail lamps on": {"dark", "dim"}, "hazard on": {"dark", "dim", "steady"},
                  "key on and turn lever left": {"dark", "fast", "steady"}}, marks=pytest.mark.full)])
def test_the_fault_page_has_every_job_of_the_lamps_and_each_side_once(name, rows):
    """Of all that a control lights, and of each lamp in every row that lights it; the other side's names are those of parts wired alike."""
    circuit = cl.arrangement(name)
    sheet, found = fault_sheet(circuit), {}
    for entry in sheet.entries:
        look, _, row = re.search(r"\b(dark|dim|steady|fast) (when) (.*)", entry.said).groups()
        found.setdefault(row, set()).add(look)
    assert found == rows
    twins = dict(sheet.twins)
    for here, there in twins.items():
        one, other = (circuit.part(end.partition(":")[0]) for end in (here, there))
        assert type(one) is type(other)
    assert twins["E1"] == "E2" and [entry.said for entry in sheet.entries if "right" in entry.said] == []
    assert {entry.other_side for entry in sheet.entries if "left" in entry.said} == {
        re.sub(r"\bleft\b", "right", entry.said) for entry in sheet.entries if "left" in entry.said}


def test_a_side_that_is_wired_otherwise_is_told_by_itself():
    """One wire of the right is longer by half, or leads elsewhere: then nothing is said to be the same."""
    circuit = cl.arrangement("tied-stop-and-turn")
    wire = next(wire for wire in circuit.wires if "E2:1" in wire.terminals)
    assert mirror(circuit).names["E2"] == "E1" and mirror(circuit).row({"key": "on", "brake pedal": "held", "turn lever": "left"})["turn lever"] == "right"
    assert mirror(cl.changed(circuit, cl.SetValue(wire.name, "length", 1.5 * wire.length))) is None
    assert mirror(cl.arrangement("one-fused-lamp")) is None


def test_stopped_from_the_keyboard_says_how_far_it_was(capsys, monkeypatch):
    def interrupt(watching, done, total, what=None):
        watching._far = done, total, "candidates"
        if done:
            raise KeyboardInterrupt
    monkeypatch.setattr("circuitlab.commands.watching.Watching.__call__", interrupt)
    monkeypatch.setattr("circuitlab.reasoning.finding.solved._kept", [])
    assert main(["find", "one-fused-lamp", "--symptom", DIM]) == 130
    assert capsys.readouterr().err.startswith("stopped after ")


def test_a_case_is_kept_where_a_page_is_written_and_where_one_sentence_is_bad(capsys):
    """Nothing typed is lost."""
    assert main(["find", "one-fused-lamp", "--case", "page.case", "--symptom", DIM, "--page", "faults.html"]) == 0
    assert load_case("page.case", LAMP).symptoms == (DIM,) and "The case is in" in said(capsys)
    assert main(["find", "one-fused-lamp", "--case", "bad.case", "--symptom", DIM, "--reading", "12 apples", "--reading", LOST, "--repair", "mend W3"]) == 2
    err = capsys.readouterr().err
    assert "'12 apples' is no reading that can be read" in err and "All else is kept in" in err and len(err.splitlines()) == 1
    kept = load_case("bad.case", LAMP)
    assert (kept.symptoms, kept.readings, kept.repair) == ((DIM,), (LOST,), "mend W3")


def test_a_failed_retest_lowers_its_repair_and_stays_on_record(capsys):
    assert main(["find", "one-fused-lamp", "--case", "mine.case", "--symptom", DIM, "--reading", LOST, "--repair", "mend W3"]) == 0
    before = load_case("mine.case", LAMP).found().causes[0]
    capsys.readouterr()
    assert main(["find", "mine.case", "--retest", "lamp switch on: still dim", "--report", "report.html"]) == 0
    out, page = said(capsys), open("report.html", encoding="utf-8").read()
    after = load_case("mine.case", LAMP).found()
    odds = next(cause.odds for cause in after.causes if cause.repair == before.repair)
    assert odds < before.odds and "Repaired and not cured: mend W3" in out and "not cured, lamp switch on: still dim" in page
    assert main(["find", "mine.case", "--repair", "mend W2", "--report", "again.html"]) == 0
    case = load_case("mine.case", LAMP)
    assert case.tried == ("mend W3, not cured: lamp switch on: still dim",) and case.repair == "mend W2" and not case.retests
    assert "Repaired and not cured: mend W3" in said(capsys) and "Tried: mend W3" in open("again.html", encoding="utf-8").read()
    assert case.failed == ("mend W3",) and "Likely enough to be mended: mend W3" not in case.found().text()


def test_a_report_says_where_another_thing_was_repaired_than_the_cause_asks_for():
    told = ["find", "one-fused-lamp", "--symptom", DIM, "--reading", LOST, "--report"]
    assert main([*told, "other.html", "--repair", "mend W2"]) == 0 and main([*told, "same.html", "--repair", "new wire for W3"]) == 0
    pages = [open(name, encoding="utf-8").read() for name in ("other.html", "same.html")]
    assert [("Another thing was repaired" in page) for page in pages] == [True, False]


def test_a_repair_of_one_wire_is_none_of_another_whose_name_begins_so():
    """W1 and W16 are two wires: a failed repair of either lowers none of the other, and is another thing repaired."""
    circuit = cl.arrangement("tied-stop-and-turn")
    candidates = candidates_of(circuit)
    for failed, other in (("mend W16", "mend W1"), ("mend W1", "mend W16")):
        odds = after_failing(circuit, candidates, [1.0] * len(candidates), [failed])
        lowered = {each.repair.partition(",")[0] for each, share in zip(candidates, odds) if share < 1.0}
        assert lowered == {failed} and other in {each.repair.partition(",")[0] for each in candidates}
    found = Case(circuit, ("rear left dark when brake pedal held",)).found()
    best = next(cause for cause in found.causes if cause.repair.startswith("mend W16,"))
    wanted = replace(found, causes=(best,))
    assert Case(circuit, repair="mend W1").other_than(wanted) == best.repair and Case(circuit, repair=best.repair).other_than(wanted) == ""
    assert Case(circuit, repair="mend").other_than(wanted) == Case(circuit).other_than(wanted) == Case(circuit, repair="mend W1").other_than(
        replace(found, causes=())) == ""
