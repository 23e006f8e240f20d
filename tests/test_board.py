"""The desk of the live board: what it answers to a hand, and what its page is given; no widget and no browser here."""

import asyncio
import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest

import circuitlab as cl
from circuitlab.arrangements import arrangement_names
from circuitlab.benches.board.alone import ALL, ALONE
from circuitlab.benches.board.board import PAGE, joined
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.ground.joined import reached
from circuitlab.reasoning.leads import take_reading
from circuitlab.reasoning.why import why
from circuitlab.solving.live import Live
from circuitlab.views.board import FORMS, still_of

FOUR = "shared-filament-four-relays"


def answers(desk, **message):
    """Return what a desk answers, by kind, the last of each."""
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear(message)}


def act(desk, number, seconds, control, position):
    """Let a hand move a control."""
    return answers(desk, kind="act", act=number, at=round(seconds * TICK), control=control, position=position)


def test_where_a_control_stands_at_the_act_is_known_before_anything_lies_ahead():
    """At the very end of the record, which is the moment of the last act."""
    live = Live(cl.arrangement(FOUR))
    assert live.act(0.5, "brake pedal", "held").positions["brake pedal"] == "held"
    assert live.act(0.5, "key", "on").positions == {"key": "on", "brake pedal": "held", "turn lever": "off"}


@pytest.mark.in_turn(21, 5)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", arrangement_names())
def test_arrow_keys_lead_from_every_part_to_every_other(name, form):
    """In both forms of every arrangement; and every area is large enough for a finger (WCAG 2.2, 2.5.8), every terminal has a place."""
    circuit = cl.arrangement(name)
    still = still_of(form, FORMS[form].lay_out(circuit))
    beside = {key: list(ways.values()) for key, ways in still["arrows"].items()}
    named = {kind: {area["name"] for area in still["areas"] if area["kind"] == kind} for kind in ("part", "wire", "terminal")}
    assert named["part"] | named["wire"] == {part.name for part in circuit.parts + circuit.wires}
    assert named["terminal"] == set(still["terminals"])
    assert all(set(reached(beside, key)) == set(beside) for key in beside)
    assert all(min(right - left, low - top) * 10 / still["least_letter"] >= 24 for left, top, right, low in (area["box"] for area in still["areas"]))
    assert {end for wire in circuit.wires for end in wire.terminals} <= set(still["terminals"])


def test_the_page_plays_back_what_a_run_of_the_same_script_gives():
    """Every picture stands when its state does, and the curves are the run's, to what an eye can tell."""
    desk, circuit = Desk(cl.arrangement(FOUR)), cl.arrangement(FOUR)
    pictures = answers(desk, kind="hello")["now"]["pictures"]
    script = [(0.5, "key", "on"), (0.7, "turn lever", "left"), (2.2, "brake pedal", "held")]
    for number, line in enumerate(script, 1):
        said = act(desk, number, *line)
        pictures |= said["now"]["pictures"] | said["ahead"]["pictures"]
        assert said["now"]["act"] == said["ahead"]["act"] == number
    course = cl.run(circuit, script, 7.0)
    swaps = [[said["now"]["at"], said["now"]["key"]], *said["ahead"]["swaps"]]
    assert len(swaps) > 8
    for (at, key), (then, _) in zip(swaps, swaps[1:] + [[said["ahead"]["until"], ""]]):
        middle = (at + then) / 2 / TICK
        assert pictures[key]["states"] == course.at(middle).states
        assert pictures[key]["positions"] == course.at(middle).positions
    for lamp, curve in said["ahead"]["curves"].items():
        for (at, volts, light), (then, far_volts, far_light) in zip(curve, curve[1:]):
            if then > at >= 2.2:
                point = course.at((at + then) / 2)
                assert (volts + far_volts) / 2 == pytest.approx(point.lamp_volts(lamp), abs=0.05)
                assert (light + far_light) / 2 == pytest.approx(point.light(lamp), abs=0.01)


def test_a_picture_is_sent_once_and_all_of_them_again_to_a_page_that_begins_anew():
    """A flash is a swap between pictures that the page has already."""
    desk = Desk(cl.arrangement(FOUR))
    answers(desk, kind="hello")
    act(desk, 1, 0.5, "key", "on")
    act(desk, 2, 0.6, "turn lever", "left")
    more = answers(desk, kind="more", act=2)["ahead"]
    assert more["from"] == round(4.6 * TICK)
    assert len(more["swaps"]) >= 10
    assert more["pictures"] == {}
    again = answers(desk, kind="hello")
    assert len(again["now"]["pictures"]) == 1
    assert len(again["ahead"]["pictures"]) >= 2


def test_after_minutes_without_an_act_the_other_form_is_drawn_as_far_back_as_the_record_goes():
    """And an act that is refused then leaves the board as it was."""
    desk = Desk(cl.arrangement(FOUR), {"key": "on", "turn lever": "left"})
    answers(desk, kind="hello")
    for second in range(3, 203, 4):
        answers(desk, kind="more", act=0, at=second * TICK)
    said = answers(desk, kind="form", form="attached", at=200 * TICK)
    assert "trouble" not in said and said["still"]["still"]["form"] == "attached"
    assert said["now"]["at"] == said["ahead"]["from"] == round(desk.live.begin * TICK) and said["ahead"]["until"] > 200 * TICK
    for moment, key in said["ahead"]["swaps"][::20]:
        point = desk.live.at(moment / TICK)
        assert (said["now"]["pictures"] | said["ahead"]["pictures"])[key]["states"] == dict(point.states)
    refused = answers(desk, kind="act", act=1, at=201 * TICK, control="horn", position="on")
    assert "no control 'horn'" in refused["trouble"]["words"] and refused["now"]["act"] == 1


def test_what_cannot_be_done_is_said_and_the_board_goes_on():
    """A control that is not there; the page hears where everything stands, under the number it waits for."""
    desk = Desk(cl.arrangement(FOUR))
    answers(desk, kind="hello")
    said = act(desk, 1, 0.5, "brake pedl", "held")
    assert "brake pedl" in said["trouble"]["words"]
    assert "brake pedal" in said["trouble"]["words"]
    assert said["now"]["act"] == 1
    assert act(desk, 2, 0.6, "brake pedal", "held")["now"]["at"] == round(0.6 * TICK)


def brightest(said, lamp):
    """Return the greatest light of a lamp in the piece ahead, save its first half second. [1]"""
    curve = said["ahead"]["curves"][lamp]
    return max(light for at, _, light in curve if at > curve[0][0] + 0.5)


@pytest.mark.parametrize(("taken", "back"), [
    ({"what": "out", "name": "F1"}, {"what": "back", "name": "F1"}),
    ({"what": "out", "name": "E1"}, {"what": "back", "name": "E1"}),
    ({"what": "out", "name": "K1"}, {"what": "back", "name": "K1"}),
    ({"what": "off", "name": "W22", "terminal": "K1:30"}, {"what": "on", "name": "W22", "terminal": "K1:30"})])
def test_what_is_pulled_darkens_the_lamp_and_lights_it_again_when_put_back(taken, back):
    """Fuse, lamp, relay and a wire's end, each in the way of the rear left stop lamp; the drawing stays where it is."""
    desk = Desk(cl.arrangement(FOUR))
    act(desk, 1, 0.5, "brake pedal", "held")
    gone = answers(desk, kind="change", act=2, at=2 * TICK, **taken)
    assert brightest(gone, "E1") < 0.01
    assert "still" not in gone
    assert taken["name"] in (*gone["now"]["out"], *(wire for wire, _ in gone["now"]["off"]))
    again = answers(desk, kind="change", act=3, at=4 * TICK, **back)
    assert brightest(again, "E1") > 0.6
    assert again["now"]["out"] == again["now"]["off"] == []
    assert desk.present == cl.arrangement(FOUR)


def test_wires_of_one_terminal_stay_together_in_a_socket_whose_part_is_out():
    """The ground of one relay's coil runs on over the terminal of the other, whose relay is pulled."""
    cart = cl.arrangement(FOUR)
    chained = cl.changed(cart, cl.MoveWire("W30", "X1:5", "K2:85"))
    desk = Desk(chained)
    gone = answers(desk, kind="change", act=1, at=TICK, what="out", name="K2")
    assert "still" in gone
    act(desk, 2, 2.0, "key", "on")
    act(desk, 3, 2.1, "turn lever", "left")
    assert desk.live.at(3.0).states["K1"] == "operated"


def test_a_blown_fuse_is_put_back_blown_and_a_new_one_is_whole():
    """A wire's end dropped on the frame blows it; only a new fuse lights the lamp again."""
    cart = cl.changed(cl.arrangement("one-fused-lamp"), cl.changes.Short("F1:2", "G1:-"))
    desk = Desk(cart, {})
    short = next(wire.name for wire in cart.wires if wire.name.startswith("short"))
    assert desk.live.at(0).states["F1"] == "blown"
    answers(desk, kind="change", act=1, at=TICK, what="off", name=short, terminal="F1:2")
    act(desk, 2, 1.5, "lamp switch", "on")
    for number, what in enumerate(("out", "back"), 3):
        assert brightest(answers(desk, kind="change", act=number, at=number * TICK, what=what, name="F1"), "E1") < 0.01
    new = answers(desk, kind="change", act=5, at=5 * TICK, what="new", name="F1")
    assert brightest(new, "E1") > 0.6
    assert new["ahead"]["said"].startswith("a new F1 put in. E1 ")


@pytest.mark.parametrize(("message", "says"), [
    ({"what": "out", "name": "G1"}, "battery 'G1' stays where it is"),
    ({"what": "out", "name": "K77"}, "has no part 'K77'"),
    ({"what": "off", "name": "W1", "terminal": "K1:30"}, "wire 'W1' is not on 'K1:30'"),
    ({"what": "off", "name": "F1", "terminal": "F1:1"}, "fuse 'F1' is no wire")])
def test_what_a_hand_cannot_take_is_said(message, says):
    """And nothing is lost: everything stands as before, and the next act is answered."""
    desk = Desk(cl.arrangement(FOUR))
    said = answers(desk, kind="change", act=1, at=TICK, **message)
    assert says in said["trouble"]["words"]
    assert said["now"]["act"] == 1
    assert "trouble" not in act(desk, 2, 2.0, "brake pedal", "held")


@pytest.mark.full
def test_the_meter_keeps_the_least_and_the_most_of_a_flashing_lamp():
    """As a run's own points have them; with the first look, and kept up by later ones."""
    desk, cart = Desk(cl.arrangement(FOUR)), cl.arrangement(FOUR)
    script = [(0.5, "key", "on"), (0.6, "turn lever", "left")]
    for number, line in enumerate(script, 1):
        act(desk, number, *line)
    course = cl.run(cart, script, 5.0)
    looked = {"kind": "read", "red": "E1:1", "black": "G1:-", "instrument": "meter", "since": round(0.7 * TICK)}
    for moment in (1.4, 1.6, 3.0):
        seen = [course.at(0.7 + step / 1000 * (moment - 0.7)).meter("E1:1", "G1:-") for step in range(1001)]
        said = answers(desk, at=round(moment * TICK), **looked)["reading"]
        assert said["lowest"] == pytest.approx(min(seen), abs=0.05)
        assert said["highest"] == pytest.approx(max(seen), abs=0.05)
        assert said["value"] == pytest.approx(seen[-1], abs=0.001)


def test_ohms_are_refused_while_volts_stand_on_what_is_measured_in_either_phase():
    """Common practice: resistance is measured with the power off. The lamp's own value comes once the battery's wire is off."""
    desk = Desk(cl.arrangement(FOUR), {"key": "on", "turn lever": "left"})
    looked = {"kind": "read", "red": "E1:1", "black": "E1:2", "instrument": "ohms", "since": 0}
    for tenth in range(12):
        (said,) = desk.hear({**looked, "at": tenth * TICK // 10})
        assert said["value"] is None
        assert said["words"] == "Ohms only without power: up to 12.0 V between E1:1 and E1:2. Take the wires off G1:- first, the clamp on the frame."
    for wire in desk.present.wires_at["G1:-"]:       # as it is said there, and as the procedure with the battery off has it
        list(desk.hear({"kind": "change", "act": desk.last + 1, "what": "off", "name": wire, "terminal": "G1:-", "at": 2 * TICK}))
    (said,) = desk.hear({**looked, "at": 2 * TICK})
    assert said["value"] == pytest.approx(take_reading(cl.operating_point(desk.present), "E1:1", "E1:2", "ohms").value)
    dark = Desk(cl.arrangement("one-fused-lamp"))
    assert [answer["value"] for answer in dark.hear({**looked, "at": 0})] == [pytest.approx(0.4585, rel=1e-3)]


@pytest.mark.parametrize("form", FORMS)
def test_a_piece_has_its_own_terminals_and_every_wire_leads_from_one_to_another(form):
    """So that a key leads from a coil along the coil's wires, and along a wire to the piece at its end."""
    for name in (FOUR, "one-fused-lamp", "insulated-body", "relay-test-board", "hazard-by-diodes"):
        circuit = cl.arrangement(name)
        areas = still_of(form, FORMS[form].lay_out(circuit))["areas"]
        own = {end for area in areas if area["kind"] == "part" for end in area["ends"]}
        assert {end for wire in circuit.wires for end in wire.terminals} <= own
    if form == "schematic":
        ends = {area["key"]: set(area["ends"]) for area in still_of(form, FORMS[form].lay_out(cl.arrangement(FOUR)))["areas"]}
        assert ends["K1.coil"] == {"K1:85", "K1:86"} and ends["K1.contact"] == {"K1:30", "K1:87", "K1:87a"}


def test_what_comes_of_an_act_is_said_as_it_ends():
    """A lamp that neither flashes nor stays as it is goes out or comes on; none is said to be changing."""
    desk, said = Desk(cl.arrangement("relay-test-board")), []
    for number, (moment, place) in enumerate(((0.5, "on"), (2.0, "off")), 1):
        said += [answer["said"] for answer in act(desk, number, moment, "test switch", place).values() if answer.get("said")]
        assert {lamp: desk.live.at(moment + 1).light(lamp) > 0.5 for lamp in ("E1", "E2")} == {"E1": place == "on", "E2": place == "off"}
    assert said == ["test switch on. E1 comes on; E2 goes out.", "test switch off. E1 goes out; E2 comes on."]
    line = Desk(cl.arrangement("flashing-line-only"))
    assert act(line, 1, 0.3, "brake pedal", "held")["ahead"]["said"] == "brake pedal held. E1, E2 come on; E3, E4 dark."


def test_a_thing_is_told_with_what_is_read_there():
    """Volts and amps of the moment asked for, of a part, a wire and a terminal; a part that is out says so."""
    desk = Desk(cl.arrangement(FOUR))
    act(desk, 1, 0.5, "brake pedal", "held")
    told = {name: answers(desk, kind="tell", at=3 * TICK, name=name)["told"]["words"] for name in ("E1", "W22", "K1:30", "K1")}
    point = cl.run(cl.arrangement(FOUR), [(0.5, "brake pedal", "held")], 3.0).at(3.0)
    amps = f"{point.current('E1'):.2f} A"
    assert amps in told["E1"]
    assert amps in told["W22"]
    assert told["K1:30"].startswith(f"K1:30: {point.meter('K1:30'):.1f} V, live. {why(point, 'K1:30')}")
    assert "released" in told["K1"]
    answers(desk, kind="change", act=2, at=4 * TICK, what="out", name="E1")
    assert "lamp, out" in answers(desk, kind="tell", at=5 * TICK, name="E1")["told"]["words"]


def test_a_shorted_battery_stops_the_board_and_another_act_goes_on_from_there():
    """The verdict is told with the piece; the cause taken away, it runs again."""
    desk = Desk(cl.arrangement(FOUR))
    shorted = cl.changed(cl.arrangement(FOUR), cl.changes.Short("G1:+", "G1:-"))
    desk = Desk(shorted)
    said = answers(desk, kind="hello")["ahead"]
    assert said["verdict"] == "shorted"
    short = next(wire.name for wire in shorted.wires if wire.name.startswith("short"))
    assert answers(desk, kind="change", act=1, at=TICK, what="off", name=short, terminal="G1:+")["ahead"]["verdict"] == "settled"


def test_the_modules_of_the_page_can_be_joined_and_stay_small():
    """No name twice at their tops, each imports from those before it alone; 350 lines at most, as rooms of Python."""
    seen = {}
    assert {path.stem for path in PAGE.glob("*.js")} == set(ALL) and set(ALONE) < set(ALL)
    for place, name in enumerate(ALL):
        text = (PAGE / f"{name}.js").read_text(encoding="utf-8")
        assert text.count("\n") <= 350
        assert set(re.findall(r'from "\./(\w+)\.js"', text)) <= set(ALL[:place])
        for top in re.findall(r"^(?:export )?(?:const|let|class|function) (\w+)", text, re.MULTILINE):
            assert seen.setdefault(top, name) == name, top
    assert "import " not in re.sub(r"//.*", "", joined())
    assert joined().count("export ") == 1


def test_a_prepared_change_is_made_and_undone_and_a_dial_turned_while_it_runs():
    """The desk's record afterwards against operating points of circuits changed by hand."""
    cart, blown = cl.arrangement(FOUR), cl.Hold("F1", "blown")
    desk = Desk(cart, changes={"F1 blown": blown})
    assert desk.still()["cards"] == ["F1 blown"] and [dial["words"] for dial in desk.still()["dials"]] == ["supply", "flash rate", "on share"]
    act(desk, 1, 0.5, "brake pedal", "held")
    said = answers(desk, kind="card", act=2, at=TICK, words="F1 blown", made=True)
    assert said["now"]["made"] == ["F1 blown"] and desk.present == cl.changed(cart, blown)
    assert desk.live.at(2.0).lamp_volts("E1") == 0.0
    answers(desk, kind="card", act=3, at=3 * TICK, words="F1 blown", made=False)
    answers(desk, kind="dial", act=4, at=4 * TICK, words="supply", value=10.0)
    there = cl.operating_point(cl.changed(cart, cl.SetValue("G1", "voltage", 10.0)), {"brake pedal": "held"})
    assert abs(desk.live.at(7.0).lamp_volts("E1") - there.lamp_volts("E1")) < 0.01
    assert "between 0 and 16 V" in answers(desk, kind="dial", act=5, at=7 * TICK, words="supply", value=48.0)["trouble"]["words"]
    assert "no change 'x'" in answers(desk, kind="card", act=6, at=7 * TICK, words="x", made=True)["trouble"]["words"]


@pytest.mark.parametrize(("volts", "state"), [([0, 6.6], "released"), ([0, 7.4], "operated"), ([0, 12, 2.8], "operated"), ([0, 12, 2.2], "released")])
def test_the_supply_is_turned_from_nothing_up_to_where_a_relay_pulls_in_and_down_to_where_it_drops_out(volts, state):
    """At 7 V and 2.5 V, as the sheet of the kit's relay has it (its source is named in parts/relay.py)."""
    desk = Desk(cl.arrangement("relay-test-board"), {"test switch": "on"})
    for number, value in enumerate(volts, 1):
        said = answers(desk, kind="dial", act=number, at=number * TICK, words="supply", value=float(value))
        assert said["ahead"]["verdict"] == "settled"
    assert desk.live.at(number + 1.0).states["K1"] == state


@pytest.mark.parametrize("form", FORMS)
def test_a_page_without_widgets_keeps_a_still_picture_and_its_sentence(monkeypatch, a_page_listens, form):
    """Beside the widget for an export or a kernel that is gone; alone where paper is asked for. No id is on the page twice."""
    board = cl.board(cl.arrangement("separate-filaments"), positions={"key": "on", "turn lever": "left"}, form=form)
    bundle, paper = board._repr_mimebundle_()[0], []
    assert "application/vnd.jupyter.widget-view+json" in bundle
    for each in (board, cl.board(cl.arrangement("separate-filaments"), form=form)):
        monkeypatch.setenv("PIN_THIRTY_STATIC", "1")
        shown = each._repr_mimebundle_()
        assert set(shown) == {"text/plain", "text/html"}
        paper.append(shown["text/html"])
        monkeypatch.delenv("PIN_THIRTY_STATIC")
    assert paper[0] == bundle["text/html"] and "<svg" in paper[0]
    assert "turn lever left" in paper[0] and "E3, front left: lit" in paper[0] and "K9 is on" in paper[0]
    ids = [re.findall(r' id="([^"]+)"', each) for each in paper]
    assert ids[0] and not set(ids[0]) & set(ids[1])
    with_those_of_the_board = [*ids[0], *re.findall(r' id="([^"]+)"', json.dumps(list(board.desk.hear({"kind": "hello"}))).replace("\\", ""))]
    assert len(set(ids[0])) == len(ids[0]) and not set(ids[0]) & set(with_those_of_the_board[len(ids[0]):])


@pytest.mark.parametrize("changes, said", [({"odd": "swap"}, "the change 'odd' of a board: "), ({"odd": (cl.Hold("F1", "blown"), "swap")}, "the change 'odd' of a board: "),
                                           ({"gone": cl.Hold("K77", "off")}, "the change 'gone' of a board: .* has no part 'K77'"), (5, "'changes' must be changes by the words for them")])
def test_a_prepared_change_that_does_not_fit_is_refused_at_once(changes, said):
    """Not at the press of its button, when nobody would see why."""
    with pytest.raises(cl.CircuitLabError, match=said):
        cl.board(cl.arrangement("one-fused-lamp"), changes)


def test_another_picture_stands_where_a_dial_took_the_volts_away():
    """Every part stands as before, and nothing is live any more."""
    desk = Desk(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"})
    first = answers(desk, kind="hello")["now"]
    turned = answers(desk, kind="dial", act=1, at=TICK, words="supply", value=0.0)["now"]
    shown = [each["pictures"][each["key"]] for each in (first, turned)]
    assert shown[0]["states"] == shown[1]["states"] and shown[0]["svg"] != shown[1]["svg"]


def test_a_circuit_without_control_or_lamp_is_a_board_too(a_page_listens):
    bare = [cl.Wire("W1", "G1:+", "R1:1", "RD"), cl.Wire("W2", "R1:2", "G1:-", "BK")]
    board = cl.board(cl.Arrangement("a battery", parts=[cl.Battery("G1"), cl.Resistor("R1")], wires=bare))
    assert {answer["kind"] for answer in board.desk.hear({"kind": "hello"})} == {"now", "ahead"}
    assert "There is no lamp." in board._repr_mimebundle_()[0]["text/html"]


def test_a_page_opened_again_goes_on_where_time_had_come_to():
    """Not where the last act was: what lay ahead of that is shown from the moment that the page was heard of last."""
    desk = Desk(cl.arrangement(FOUR))
    answers(desk, kind="hello")
    act(desk, 1, 0.5, "key", "on")
    act(desk, 2, 1.0, "turn lever", "left")
    for second in (3, 7, 11):
        answers(desk, kind="more", act=2, at=second * TICK)
    assert answers(desk, kind="stop", at=13.25 * TICK) == {}
    again = answers(desk, kind="hello")
    assert (again["now"]["at"], again["ahead"]["from"]) == (13.25 * TICK, 13.25 * TICK)
    assert again["ahead"]["until"] > 13.25 * TICK
    assert again["now"]["pictures"][again["now"]["key"]]["states"]["K9"] == desk.live.at(13.25).states["K9"]
    assert again["ahead"]["curves"]["E1"][0][0] <= 13.25
    assert answers(desk, kind="form", form="attached")["now"]["at"] == TICK       # an open page has what came after


def test_a_hand_on_one_board_is_answered_before_what_lies_ahead_on_others():
    """Three boards ask in one turn of the kernel's loop: first what a hand changes, then its own piece, then the others'."""
    sent, boards = [], [cl.board(cl.arrangement("one-fused-lamp")) for _ in range(3)]
    for number, each in enumerate(boards):
        list(each.desk.hear({"kind": "hello"}))
        each.send = lambda answer, number=number: sent.append((number, answer["kind"]))

    async def asked():
        for each in boards[:2]:
            each._hear(None, {"kind": "more", "act": 0}, [])
        boards[2]._hear(None, {"kind": "act", "act": 1, "at": TICK, "control": "lamp switch", "position": "on"}, [])
        assert sent == [(2, "now")]
        await asyncio.sleep(0.5)

    with ThreadPoolExecutor() as another:       # where no loop runs yet, as one does beside a browser's tests
        another.submit(asyncio.run, asked()).result()
    assert sent == [(2, "now"), (2, "ahead"), (0, "ahead"), (1, "ahead")]
