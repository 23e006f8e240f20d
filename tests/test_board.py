"""The desk of the live board: what it answers to a hand, and what its page is given; no widget and no browser here."""

import json

import pytest

import circuitlab as cl
from circuitlab.arrangements import arrangement_names
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.ground.joined import reached
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


@pytest.mark.in_turn(4)
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", arrangement_names())
def test_arrow_keys_lead_from_every_part_to_every_other(name, form):
    """In both forms of every arrangement; and every area is large enough for a finger (WCAG 2.2, 2.5.8), every terminal has a place."""
    circuit = cl.arrangement(name)
    still = still_of(form, FORMS[form].lay_out(circuit))
    beside = {key: list(ways.values()) for key, ways in still["arrows"].items()}
    assert {area["name"] for area in still["areas"]} == {part.name for part in circuit.parts + circuit.wires}
    assert all(set(reached(beside, key)) == set(beside) for key in beside)
    assert all(right - left >= 24 and low - top >= 24 for left, top, right, low in (area["box"] for area in still["areas"]))
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


def test_what_cannot_be_done_is_said_and_the_board_goes_on():
    """A control that is not there; the page hears where everything stands, under the number it waits for."""
    desk = Desk(cl.arrangement(FOUR))
    answers(desk, kind="hello")
    said = act(desk, 1, 0.5, "brake pedl", "held")
    assert "brake pedl" in said["trouble"]["words"]
    assert "brake pedal" in said["trouble"]["words"]
    assert said["now"]["act"] == 1
    assert act(desk, 2, 0.6, "brake pedal", "held")["now"]["at"] == round(0.6 * TICK)
