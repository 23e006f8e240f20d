"""A relay wired as a buzzer, what learners try first: it buzzes in every row, and every answer of the kit says so."""

from dataclasses import replace
from html import unescape

import pytest

import circuitlab as cl
from circuitlab.commands.line import main
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.solving import sweep

from small_boards import buzzer, relay_board

BUZZES = "K77 buzzes at about 59 Hz"
RESTLESS = "K77 buzzes: each move undoes itself"


@pytest.fixture(scope="module")
def buzzing():
    """Return the hazard arrangement with a relay that feeds its coil through its own rest contact, 48 rows and phases."""
    cart = cl.arrangement("hazard-third-relay")
    for sentence in ("add part K77 relay", "add wire W701 from F1:2 to K77:30 RD",
                     "add wire W702 from K77:87a to K77:86 RD", "add wire W703 from K77:85 to X1:1 BK"):
        cart = cl.changes.read_change(sentence, cart).apply(cart)
    return cart


@pytest.fixture(scope="module")
def file(buzzing, tmp_path_factory):
    """Return its file."""
    path = tmp_path_factory.mktemp("buzzing") / "buzzing.toml"
    cl.save(buzzing, path)
    return str(path)


def test_every_row_of_the_lamp_table_says_that_it_buzzes_and_how_fast(buzzing):
    """As a sweep, and one by one; in text and as a table for the page."""
    table = cl.lamp_table(buzzing)
    assert {(row.verdict, row.sentence) for row in table.rows} == {("buzzing", BUZZES)} and len(table.rows) == 24
    assert table.rows[3] == cl.row_of(buzzing, table.rows[3].positions)
    assert table.troubles == ((BUZZES, 24),)
    assert {cell.look for row in table.rows for cell in row.cells.values()} == {"dark", "steady", "flashing"}, "no lamp hangs on it"
    said = table.text()
    assert f"in every row: {BUZZES}." in said and said.count(BUZZES) == 1 and "so nothing is proved" in said
    assert f"{BUZZES} (24 rows)" in table.html()


def with_lamp(buzzing, **times):
    """Return it with a lamp on the buzzing relay's make contact, and other times of the relay. [s]"""
    lamp = cl.changes.read_change("add part E9 lamp", buzzing).apply(buzzing)
    for sentence in ("add wire W704 from K77:87 to E9:1 RD", "add wire W705 from E9:2 to X1:1 BK"):
        lamp = cl.changes.read_change(sentence, lamp).apply(lamp)
    return lamp.with_parts(replace(lamp.part("K77"), **times))


@pytest.mark.parametrize("times, verdict, sentence, look", [
    ({}, "buzzing", BUZZES, "dim"),
    ({"release_time": 0.020}, "buzzing", "K77 buzzes at about 33 Hz", "flickers"),
    ({"operate_time": 0.050, "release_time": 0.040}, "chatter", "K77 chatters at about 11 Hz", "flickers")])
def test_a_lamp_on_the_buzzing_contact_flickers_where_the_eye_can_follow(buzzing, times, verdict, sentence, look):
    """At 59 Hz, 5 of 17 ms on, it looks even: effective 6.8 V of 13.5 V are a tenth of its light. The others go on as they are."""
    board = with_lamp(buzzing, **times)
    row = cl.row_of(board, {})
    assert (row.verdict, row.sentence) == (verdict, sentence)
    assert {name: cell.look for name, cell in row.cells.items()} == {"E1": "dark", "E2": "dark", "E3": "dark", "E4": "dark",
                                                                       "E9": look}
    assert cl.operating_point(board).verdict == cl.run(board, until=3.0).verdict == verdict


def test_a_lamp_without_a_filament_is_as_bright_as_its_mean(buzzing):
    """A LED lamp on for 5 of 17 ms gives three tenths of its light, so it counts as lit; slower it flickers as well."""
    quick, slow = (cl.row_of(cl.changed(with_lamp(buzzing, **times), cl.changes.read_change("replace E9 by LED lamp", buzzing_lamp)), {})
                   for times, buzzing_lamp in (({}, with_lamp(buzzing)), ({"release_time": 0.02}, with_lamp(buzzing))))
    assert (quick.cells["E9"].look, slow.cells["E9"].look) == ("steady", "flickers")


@pytest.mark.parametrize("name", [row["relay"] for row in cl.catalogue.table("relays") if row["contact"] == "changeover"])
def test_relays_of_the_table_buzz_at_the_rate_of_their_times_and_slower_with_a_suppressor(name):
    """Operate, release and what the suppressor adds, in the course and in the table alike: slowest with a diode."""
    rates = {}
    for suppression in ("none", "resistor", "diode"):
        relay = replace(cl.catalogue.relay("K1", name), suppression=suppression)
        board = buzzer().with_parts(relay, cl.Battery("G1", 2 * relay.pull_in_voltage))
        course, row = cl.run(board, [(0.0, "switch", "on")], until=2.0), cl.row_of(board, {"switch": "on"})
        landed = [event.time for event in course.events if event.state == "operated"]
        period = (landed[-1] - landed[0]) / (len(landed) - 1)
        slowing = release_slowing(relay)
        assert period == pytest.approx(relay.operate_time + relay.release_time + slowing, abs=3e-6)
        assert row.sentence == course.sentence == f"K1 buzzes at about {1 / period:.0f} Hz"
        rates[suppression] = 1 / period
    assert rates["none"] > rates["resistor"] > rates["diode"] * 1.1


def release_slowing(relay):
    """Return by how much a relay's suppressor delays its release, from a board of its own. [s]"""
    def released(each):
        board = relay_board().with_parts(replace(each, contact="changeover"), cl.Battery("G1", 2 * each.pull_in_voltage))
        course = cl.run(board, [(0.1, "switch", "on"), (1.0, "switch", "off")], 2.0)
        return max(event.time for event in course.events if event.name == "K1" and event.state == "released")
    return released(relay) - released(replace(relay, suppression="none"))


def test_many_relays_in_step_are_played_for_as_many_turns_each():
    """A rate needs turns to count: four relays used to be given six moves each, a turn and a half."""
    board = cl.LoseJoint("W44", "X1:7", 5.0).apply(cl.arrangement("hazard-by-diodes"))
    course = cl.run(board, [(0.0, "hazard", "on")], until=2.0)
    assert all(sum(event.name == name and event.state == "operated" for event in course.events) >= 6 for name in ("K1", "K4"))


def test_a_sweep_calls_chatter_what_a_point_calls_so(buzzing):
    """Relays of which the search cannot tell are played; quick ones are not."""
    slow = with_lamp(buzzing, operate_time=0.2)
    found = sweep([(each, {}, "on") for each in (buzzing, slow, with_lamp(buzzing))])
    assert list(found.verdicts) == ["buzzing", "chatter", "buzzing"]
    assert cl.operating_point(slow).sentence == "K77 chatters: each move undoes itself"


def test_a_meter_beside_the_buzzer_reads_and_on_it_jumps(buzzing):
    """What a digital meter does there: common practice."""
    point = cl.operating_point(buzzing)
    assert [cl.take_reading(point, end).word for end in ("F1:2", "X1:1", "K77:87a", "K77:86")] == [
        "live", "dead", "unsteady", "unsteady"]
    assert cl.take_reading(point, "F1:2").value == pytest.approx(12.6, abs=0.1)


@pytest.mark.parametrize("rule", [None, "turn-and-hazard-over-stop"])
def test_a_proof_fails_in_every_row_and_names_the_relay(buzzing, rule):
    """Once for each row, and no more is claimed of orders than was walked through."""
    proof = cl.prove(buzzing, rule)
    assert [failure.seen for failure in proof.failures] == [f"buzzing: {BUZZES}"] * 24
    said = proof.text(table=False)
    assert said.count(BUZZES) == 1 and f"* in every row: buzzing: {BUZZES}" in said
    assert "no throw leads on from a row that comes to no rest" in said and "leads to the same" not in said
    assert len(cl.prove(buzzing, rule, sample=20).failures) == 20


def test_a_comparison_says_what_came_to_no_rest_and_when(buzzing):
    """Neither way round is the healthy one blamed, and no lamp is said to look different."""
    cart = cl.arrangement("hazard-third-relay")
    after, before = cl.compare(cart, buzzing), cl.compare(buzzing, cart)
    assert len(after.changed_rows) == len(before.changed_rows) == 0
    for said, comparison in (("after", after), ("before", before)):
        for shown in (comparison.text(), comparison.html()):
            assert f"Without a steady result {said}: {BUZZES} (24 rows)." in shown
            assert shown.count("Without a steady result") == 1
    assert "steady result" not in cl.compare(cart, cart).text()


def test_a_fault_table_says_that_it_buzzes_without_a_fault(buzzing):
    """What is lost besides is told as ever."""
    faults = [fault for fault in single_faults(buzzing) if "W703" in str(fault) and "lose" in str(fault)][:1]
    table = fault_table(buzzing, faults=[*faults, cl.Hold("E1", "blown")])
    assert table.troubles == ((BUZZES, 24),)
    assert f"Even without a fault there is no steady result: {BUZZES} (24 rows)." in " ".join(table.text().split())
    ended = table.line(faults[0])
    assert ended.worst == "no effect", "what ends the buzzing is no wrong signal"
    assert table.line(str(cl.Hold("E1", "blown"))).counts == {"signal lost": 3, "lamp lost": 16, "no effect": 5}
    assert fault_table(cl.arrangement("hazard-third-relay"), faults=faults[:0]).troubles == ()


def test_sizing_logic_and_the_build_sheet_name_the_buzzing_relay(buzzing):
    """Each in its own words."""
    broken = [finding for finding in cl.sizing.judge(buzzing) if not finding.is_kept]
    (finding,) = broken
    assert finding.part == "every row" and RESTLESS in finding.sentence
    assert "K77 buzzes" in cl.size(buzzing).text()
    logic = cl.lamp_logic(buzzing)
    assert logic.undoing == logic.remembering == ("K77",)
    assert "K77 is fed only while it is released, so it undoes its own move and buzzes." in logic.text()


def test_a_relay_that_holds_itself_undoes_nothing():
    """It remembers, and the words for it stay."""
    from small_boards import self_holding
    logic = cl.lamp_logic(self_holding())
    assert logic.undoing == () and logic.remembering and "holds itself" in logic.text()


def test_the_build_sheet_warns_of_a_circuit_that_buzzes(buzzing, tmp_path):
    """Before anything else, and only where something is wrong."""
    sheet = cl.write_build_sheet(buzzing, tmp_path / "sheet.html").read_text(encoding="utf-8")
    said = f"As listed, this circuit has rows without a steady result: {BUZZES} (24 rows)."
    assert said in unescape(sheet) and sheet.index("As listed") < sheet.index("Before you touch a wire")
    sound = cl.write_build_sheet(cl.arrangement("hazard-third-relay"), tmp_path / "sound.html")
    assert "As listed, this circuit" not in sound.read_text(encoding="utf-8")


def test_a_point_a_course_and_a_drawing_say_that_it_buzzes(buzzing):
    """The course knows the rate, the point does not."""
    point, course = cl.operating_point(buzzing), cl.run(buzzing, until=1.0)
    assert (point.verdict, point.sentence) == ("buzzing", RESTLESS)
    assert (course.verdict, course.sentence) == ("buzzing", BUZZES)
    assert "<svg" in cl.draw(buzzing, point=point) and RESTLESS in buzzing.describe(point=point)


@pytest.mark.in_turn(2)
@pytest.mark.parametrize(("words", "code", "said"), [
    (["prove"], 1, BUZZES), (["prove", "--rule", "own"], 1, BUZZES), (["size"], 1, RESTLESS),
    (["faults", "--most", "2", "--kind", "blown lamp"], 0, BUZZES), (["sheet", "--out", "sheet.html"], 0, "sheet.html"),
    (["draw", "--out", "drawn.svg", "--row", "key=on"], 1, RESTLESS),
    (["draw", "--out", "drawn.svg", "--row", "key=on", "--readings"], 2, f"In the row given {RESTLESS}.")])
def test_every_command_says_so_and_leaves_as_promised(file, words, code, said, tmp_path, monkeypatch, capsys):
    """No command ends in a traceback."""
    monkeypatch.chdir(tmp_path)
    assert main([words[0], file, *words[1:]]) == code
    spoken = capsys.readouterr()
    assert said in " ".join((spoken.out + spoken.err).split())


@pytest.mark.full
def test_a_drawing_without_an_answer_says_that_it_draws_neither_live_nor_dead(buzzing):
    """Both forms, for the eye and spoken; its lines are neither heavy nor thin. A bench says what to do next."""
    point = cl.operating_point(buzzing)
    for drawing, spoken in ((cl.draw(buzzing, point=point), buzzing.describe(point=point)),
                            (cl.draw_attached(buzzing, point), buzzing.describe_attached(point))):
        assert "live and dead are not drawn" in " ".join(drawing.split()) and "Mend that first" in spoken
    assert "not played: mend that first" in cl.run(buzzing, until=1.0).status(0.1)
    sound = cl.arrangement("hazard-third-relay")
    assert "not drawn" not in cl.draw(sound, point=cl.operating_point(sound))
