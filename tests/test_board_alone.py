"""A board in one file: what it plays back is what the kit works out, and its page lets nothing in; no browser here."""

import json
import re
import sys
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from random import Random

import pytest
from small_boards import board, buzzer, lamp_board, many_switches, self_holding, straight_short, without_ground
from test_fuse_on_a_flasher import lamps_behind

import circuitlab as cl
from circuitlab.arrangements import Hold, arrangement_names
from circuitlab.benches.board.alone import board_page
from circuitlab.benches.board.reel import Reel
from circuitlab.commands import boards
from circuitlab.commands.line import main
from circuitlab.ground.files import own_kind
from circuitlab.parts import Battery, Breaker, Flasher, Fuse, Lamp, toggle
from circuitlab.reasoning.throws import MOST_ROWS_PLAYED, Throws
from circuitlab.views.board.alone_page import NO_PLUGS, PLUGS

FOUR = "shared-filament-four-relays"
HOSTILE = "</script><img src=x onerror=alert(1)><!--"


def drawn_on(page):
    """Return what a page plays back, as its browser reads it."""
    return json.loads(re.search('<script type="application/json" id="drawn">(.*?)</script>', page, re.DOTALL)[1])


def at_curve(curve, moment):
    """Return ``[volts, light]`` of a curve at a moment, straight between its points. [V], [1]"""
    before = max(place for place, (at, *_) in enumerate(curve) if at <= moment or place == 0)
    (at, *here), (then, *there) = curve[before], curve[min(before + 1, len(curve) - 1)]
    share = (moment - at) / (then - at) if then > at else 0.0
    return [a + share * (b - a) for a, b in zip(here, there)]


@pytest.mark.in_turn(21, 7)
@pytest.mark.parametrize("name", arrangement_names())
def test_every_row_and_phase_is_that_of_the_lamp_table(name):
    """Lamp volts are the table's in every phase it has; states, and volts at every terminal, are the operating point's of that row and phase.

    Where a row has several stands, as where a flasher that runs already goes on, that is asked of the first, which is come to
    from rest most directly, as in the table.
    """
    circuit = cl.arrangement(name)
    drawn, table = Reel(circuit).wind(), cl.lamp_table(circuit)
    stands = [(drawn["pictures"][stand["stretches"][0]["key"]]["positions"], stand) for stand in drawn["stands"]]
    swinging = [part for part in circuit.parts if part.swings]
    told = 0
    for row in table.rows:
        own = [stand for positions, stand in stands if positions == row.positions]
        assert own
        if row.verdict != "settled":
            continue
        for stand in own[:1]:
            seen = {lamp: [] for lamp in table.lamps}
            for stretch in stand["stretches"]:
                picture = drawn["pictures"][stretch["key"]]
                phases = {part.name: "on" if picture["states"][part.name] == part.on_state else "off" for part in swinging}
                point = cl.operating_point(circuit, row.positions, phases)
                assert picture["states"] == point.states
                begin = max(at for at, key in stand["swaps"] if key == stretch["key"])
                end = min((at for at, _ in stand["swaps"] if at > begin), default=stand["turn"])
                for lamp, volts in seen.items():
                    volts.append(at_curve(stand["curves"][lamp], (begin + end) / 2)[0])
                    assert volts[-1] == pytest.approx(point.lamp_volts(lamp), abs=0.1)
                for place, end in enumerate(drawn["names"]):
                    if ":" in end:
                        words, volts = drawn["words"][stretch["told"][place]], point.meter(end)
                        value = re.match(rf"{re.escape(end)}: (.*?) V", words)
                        assert (value is None) == (volts is None), words
                        if value:
                            assert float(value[1].replace("\N{MINUS SIGN}", "-")) == pytest.approx(volts, abs=0.15), words
                            told += 1
            for lamp, volts in seen.items():
                assert max(volts) == pytest.approx(max(row.cells[lamp].volts), abs=0.1), (row.positions, lamp)
                assert min(volts) == pytest.approx(min(row.cells[lamp].volts), abs=0.1), (row.positions, lamp)
    assert told > 10
    mated = drawn["throws"][drawn["begins"]["X5"]["throw"]]["stand"] if drawn["still"]["plugs"] else len(stands)
    assert mated - len(table.rows) == (2 if name == "tied-stop-and-turn" else 0)      # a running flasher, its lamps fed from behind


@pytest.mark.parametrize("circuit", [pytest.param(cl.arrangement(FOUR), marks=pytest.mark.full, id=FOUR), without_ground(type="thermal variable load"), self_holding(), lamp_board()],
                         ids=lambda circuit: circuit.title)
def test_every_throw_is_a_run_of_the_same_script(circuit):
    """Each begun anew and played in one piece: pictures when their states stand, curves to what an eye can tell."""
    reel, chance = Reel(circuit), Random(30)
    drawn, found = reel.wind(), reel.played[()].stands
    for number, stand in enumerate(found):
        for stretch, moment in zip(drawn["stands"][number]["stretches"], stand.moments, strict=True):
            for control, throws in stretch["throws"].items():
                for position, which in throws.items():
                    throw = drawn["throws"][which]
                    course = cl.run(circuit, [*stand.script, (moment, control, position)], moment + throw["settled"] / 1e6 + 1e-6)
                    for _ in range(4):
                        at = chance.randrange(throw["settled"])
                        key = [key for begin, key in throw["swaps"] if begin <= at][-1]
                        point = course.at(moment + at / 1e6)
                        assert drawn["pictures"][key]["states"] == point.states
                        for lamp, curve in throw["curves"].items():
                            volts, light = at_curve(curve, at)
                            assert volts == pytest.approx(point.lamp_volts(lamp), abs=0.1)
                            assert light == pytest.approx(point.light(lamp), abs=0.01)


def test_every_position_can_be_thrown_to_from_every_stand_and_leads_to_its_row():
    """And where one turn follows a throw, nothing jumps: volts and light go on from where the throw leaves them."""
    circuit = cl.arrangement(FOUR)
    drawn = Reel(circuit).wind()
    where = [drawn["pictures"][stand["stretches"][0]["key"]]["positions"] for stand in drawn["stands"]]
    for positions, stand in zip(where, drawn["stands"], strict=True):
        for stretch in stand["stretches"]:
            for control in circuit.controls:
                throws = stretch["throws"][control.name]
                assert set(throws) == set(control.positions) - {positions[control.name]}
                for position, which in throws.items():
                    throw = drawn["throws"][which]
                    to = drawn["stands"][throw["stand"]]
                    assert where[throw["stand"]] == positions | {control.name: position}
                    for lamp, curve in throw["curves"].items():
                        assert curve[-1][2] == pytest.approx(to["curves"][lamp][0][2], abs=0.015)


def test_of_a_part_it_is_told_why_it_is_as_it_is():
    """By tracing the four-relay wiring by hand: K1's coil hangs on the turn lever, E1 on the pedal through K1's break contact."""
    drawn = Reel(cl.arrangement(FOUR)).wind()
    rest = drawn["stands"][0]["stretches"][0]["told"]
    told = {name: drawn["words"][number] for name, number in zip(drawn["names"], rest, strict=True)}
    assert re.search(r"K1 rests: its coil has 0\.0 V, because S[13] is open", told["K1"])
    assert "because S2 is open" in told["E1"]


def last_throw(drawn, *acts):
    """Return the last throw of hands that wait for each to settle."""
    throw = drawn["throws"][0]
    for control, position in acts:
        throw = drawn["throws"][drawn["stands"][throw["stand"]]["stretches"][0]["throws"][control][position]]
    return throw


def test_what_came_before_is_remembered():
    """A relay that holds has two stands in one row; a fuse that blew stays blown."""
    drawn = Reel(self_holding()).wind()
    held = last_throw(drawn, ("start", "on"), ("start", "off"))
    assert held["stand"] != 0
    assert held["curves"]["E1"][-1][1] > 12
    assert last_throw(drawn, ("start", "on"), ("start", "off"), ("stop", "on"), ("stop", "off"))["stand"] == 0
    drawn = Reel(cl.changed(cl.arrangement("one-fused-lamp"), cl.changes.Short("E1:1", "G1:-"))).wind()
    blown = drawn["stands"][last_throw(drawn, ("lamp switch", "on"), ("lamp switch", "off"))["stand"]]
    assert drawn["pictures"][blown["stretches"][0]["key"]]["states"]["F1"] == "blown"


@pytest.mark.parametrize(("circuit", "verdict", "says"), [
    (buzzer(), "buzzing", "K1 buzzes at about"), (straight_short(), "shorted", "G1 is shorted")], ids=["buzzing", "shorted"])
def test_a_verdict_stops_it_and_going_back_goes_on(circuit, verdict, says):
    """No volts are told there, and the sentence is the kit's."""
    drawn = Reel(circuit).wind()
    stand = drawn["stands"][last_throw(drawn, ("switch", "on"))["stand"]]
    assert stand["verdict"] == verdict
    assert says in stand["sentence"]
    assert all(says in drawn["words"][number] for number in stand["stretches"][0]["told"])
    assert last_throw(drawn, ("switch", "on"), ("switch", "off"))["stand"] == 0


def test_what_takes_longer_than_is_waited_for_is_said():
    """A fuse a little overloaded blows after minutes: the page does not call the row settled with the fuse whole."""
    throws = Throws(lamp_board(fuse=1.493))
    assert len(list(throws)) == 3
    assert cl.operating_point(throws.arrangement, {"switch": "on"}).states["F1"] == "blown"
    on = next(stand for stand in throws.stands if stand.positions == {"switch": "on"})
    assert on.course.at(on.course.until).states["F1"] == "whole"
    assert on.verdict == "unfinished"
    assert "still changes 60 s after the throw" in on.sentence


def test_a_fuse_that_flashes_warm_it_is_waited_for():
    """It blows after some eleven seconds of flashing, in the table as in a run; a turn of flashing seen before is no end."""
    circuit = lamps_behind(Fuse("F1", 4.3), Flasher("K9"))
    assert cl.operating_point(circuit, {"switch": "on"}).states["F1"] == "blown"
    assert cl.run(circuit, [(0.0, "switch", "on")], 5.0).at(5.0).states["F1"] == "whole"
    drawn = Reel(circuit).wind()
    stand = drawn["stands"][last_throw(drawn, ("switch", "on"))["stand"]]
    assert [drawn["pictures"][stretch["key"]]["states"]["F1"] for stretch in stand["stretches"]] == ["blown"]


def test_a_breaker_that_trips_goes_through_its_own_turn():
    """On and off by heat, over and over; as long as in a run of a minute."""
    circuit = board("a breaker", [Battery("G1"), Breaker("F1", 1.3), toggle("S1", "switch"), Lamp("E1")],
                    [("G1:+", "F1:1"), ("F1:2", "S1:1"), ("S1:2", "E1:1"), ("E1:2", "G1:-")])
    drawn = Reel(circuit).wind()
    stand = drawn["stands"][last_throw(drawn, ("switch", "on"))["stand"]]
    opens = [event.time for event in cl.run(circuit, [(0.0, "switch", "on")], 60.0).events if event.name == "F1" and event.state == "open"]
    assert stand["turn"] / 1e6 == pytest.approx(opens[-1] - opens[-2], rel=0.01)


def test_names_that_would_be_code_are_text_everywhere_on_the_page():
    """In markup escaped, in data without a bracket that a browser could take for the end of a script."""
    one = cl.arrangement("one-fused-lamp")
    page = board_page(replace(one.with_parts(replace(one.part("E1"), place=HOSTILE)), title=HOSTILE))
    assert page.count("</script>") == 2
    assert "<img" not in page
    assert "onerror=alert(1)&gt;" in page
    assert "<" not in re.search('id="drawn">(.*?)</script>', page, re.DOTALL)[1]
    assert drawn_on(page)["still"]["title"] == HOSTILE


def test_the_page_may_run_its_own_script_alone_and_names_nothing_outside():
    """By its policy, whose hash is that of its script; the only address in it is the name of SVG."""
    page = board_page(cl.arrangement("one-fused-lamp"))
    script = re.search('<script type="module">(.*?)</script>', page, re.DOTALL)[1]
    policy = re.search('Content-Security-Policy" content="(.*?)"', page)[1]
    assert policy.startswith("default-src 'none'")
    assert f"script-src 'sha256-{b64encode(sha256(script.encode()).digest()).decode()}';" in policy
    assert set(re.findall("https?://[^\"' ]*", page)) == {"http://www.w3.org/2000/svg"}
    assert own_kind(page.encode()) == "a board in one file"


@pytest.mark.parametrize("form", ["current-path", "attached"])
def test_the_command_writes_a_page_with_cautions(tmp_path, capsys, form):
    """In either form, the same bytes for the same circuit; the sentence says what it is."""
    file = tmp_path / "board.html"
    assert main(["board", "one-fused-lamp", "--out", str(file), "--form", form]) == 0
    assert "Computed, not measured." in capsys.readouterr().out
    page = file.read_text(encoding="utf-8")
    for words in ("Computed, not measured.", "local code and licensed practice", "Fuse at the battery end", "someone else looks"):
        assert words.lower() in page.lower()
    assert drawn_on(page)["still"]["form"] == {"current-path": "schematic"}.get(form, form)
    assert main(["board", "one-fused-lamp", "--out", str(file), "--form", form]) == 0
    assert [each.name for each in tmp_path.iterdir()] == ["board.html"]


def test_a_fault_in_the_circuit_is_said_at_the_top():
    """So that nobody takes what it shows for how the sound one does."""
    cart = cl.arrangement("one-fused-lamp")
    told = "This circuit carries a fault: E1 stays blown."
    assert told in board_page(cl.changed(cart, cl.changes.read_change("blow E1", cart)))
    assert told not in board_page(cart)


def test_only_a_board_is_replaced_by_a_board(tmp_path, capsys):
    """The one before is kept; a build sheet, and anybody's page, stay as they are."""
    file, sheet, page = (tmp_path / name for name in ("board.html", "sheet.html", "page.html"))
    assert main(["board", "one-fused-lamp", "--out", str(file)]) == 0
    first = file.read_bytes()
    assert main(["board", "relay-test-board", "--out", str(file)]) == 0
    assert "board.before-1.html" in capsys.readouterr().out
    assert (tmp_path / "board.before-1.html").read_bytes() == first != file.read_bytes()
    main(["sheet", "one-fused-lamp", "--out", str(sheet)])
    page.write_text("<!doctype html>\n<html><head><title>mine</title></head></html>", encoding="utf-8")
    for other in (sheet, page):
        before = other.read_bytes()
        assert main(["board", "one-fused-lamp", "--out", str(other)]) == 2
        assert "left as it is" in capsys.readouterr().err
        assert other.read_bytes() == before
    assert main(["sheet", "one-fused-lamp", "--out", str(file)]) == 2


def refused(capsys, *words):
    """Return the one line with which a command refuses. [text]"""
    assert main(["board", *map(str, words)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    return said.err


def test_what_is_too_large_is_refused_with_the_limit_and_what_to_do(tmp_path, capsys, monkeypatch):
    """By rows before anything is played, by ways to rest, and by bytes; nothing is written."""
    file = tmp_path / "many.toml"
    cl.save(many_switches(7), file)
    out = tmp_path / "board.html"
    said = refused(capsys, file, "--out", out)
    assert f"has 128 rows, and a board in one file holds {MOST_ROWS_PLAYED} at most. Leave out controls" in said
    monkeypatch.setattr("circuitlab.reasoning.throws.MOST_STANDS", 3)
    assert "in more than 3 ways" in refused(capsys, FOUR, "--out", out)
    monkeypatch.setattr(boards, "MOST_BYTES", 20_000)
    assert "would take 0 MB, and 0 MB is the most" in refused(capsys, "one-fused-lamp", "--out", out)
    assert "does not end in .html" in refused(capsys, "one-fused-lamp", "--out", tmp_path / "board.pdf")
    assert not out.exists()


@pytest.mark.full
def test_the_largest_arrangement_of_the_kit_fits():
    """So that the limits refuse no circuit of the lessons."""
    rows = [len(cl.lamp_table(cl.arrangement(name)).rows) for name in ("shared-filament-four-relays-hazard", "hazard-by-diodes")]
    assert max(rows) == 48 <= MOST_ROWS_PLAYED
    assert len(board_page(cl.arrangement("shared-filament-four-relays-hazard")).encode()) < boards.MOST_BYTES / 4


FLAT = "trailer-4-flat-combined-lamps"


def test_every_throw_is_played_with_the_plug_parted_too():
    """Each row of the cart with its trailer away: states and lamp volts of that circuit's operating point; the mated ones come first."""
    circuit = cl.arrangement(FLAT)
    away = cl.changed(circuit, Hold("X5", "parted"))
    drawn, table = Reel(circuit).wind(), cl.lamp_table(away)
    assert drawn["still"]["plugs"] == ["X5"] and [*drawn["begins"]] == ["", "X5"] and drawn["begins"][""]["throw"] == 0
    assert drawn["begins"]["X5"]["table"] == table.html() != drawn["begins"][""]["table"] == cl.lamp_table(circuit).html()
    first = drawn["throws"][drawn["begins"]["X5"]["throw"]]["stand"]
    assert 0 < first < len(drawn["stands"])
    for number, stand in enumerate(drawn["stands"]):
        pictures = [drawn["pictures"][stretch["key"]] for stretch in stand["stretches"]]
        assert {picture["states"]["X5"] for picture in pictures} == {"parted" if number >= first else "mated"}
        onward = [which for stretch in stand["stretches"] for by in stretch["throws"].values() for which in by.values()]
        assert onward and all((drawn["throws"][which]["stand"] >= first) == (number >= first) for which in onward)
    rows = {tuple(drawn["pictures"][stand["stretches"][0]["key"]]["positions"].items()): stand for stand in drawn["stands"][:first - 1:-1]}
    assert len(rows) == len(table.rows)
    for row in table.rows:
        stand = rows[tuple(row.positions.items())]
        ends = [at for at, _ in stand["swaps"]] + [stand["turn"]]
        for lamp in table.lamps:
            seen = max(at_curve(stand["curves"][lamp], (begin + end) / 2)[0] for begin, end in zip(ends, ends[1:]))
            assert seen == pytest.approx(max(volts or 0.0 for volts in row.cells[lamp].volts), abs=0.15), (row.positions, lamp)
        said = {lamp: look for lamps, look in re.findall(r"((?:E\d+(?:, )?)+) ([a-z][^;.]*)", stand["said"]) for lamp in lamps.split(", ")}
        assert {lamp: re.sub(r" \d+ a minute", "", look) for lamp, look in said.items()} == {lamp: row.cells[lamp].look for lamp in table.lamps}, row.positions
    told = dict(zip(drawn["names"], drawn["stands"][first]["stretches"][0]["told"], strict=True))
    assert "connector, out" in drawn["words"][told["X5"]]


def test_the_page_says_how_it_parts_a_plug_or_that_it_cannot(monkeypatch):
    circuit = cl.arrangement(FLAT)
    with_plug, without = board_page(circuit), board_page(cl.arrangement("one-fused-lamp"))
    assert PLUGS in with_plug and NO_PLUGS not in with_plug and PLUGS not in without and NO_PLUGS not in without
    monkeypatch.setattr(sys.modules["circuitlab.benches.board.reel"], "MOST_PLUGS", 0)
    page = board_page(circuit)
    assert NO_PLUGS in page and PLUGS not in page and drawn_on(page)["still"]["plugs"] == []
