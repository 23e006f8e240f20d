"""Each of the nineteen wrong ideas is asked for in a lesson, by a choice that whoever has it takes, and answered there."""

import re
from html import escape

import pytest
from worked_lessons import LONGEST_REPLY, Question, choices, reply_to, right_answer, worked

from circuitlab.ground.places import kit_folder
from circuitlab.teaching.ideas import IDEAS

# Which lesson probes the idea, in which question, and what somebody with the idea says there.
PROBED = {
    "M1": ("01", "in-out", "more in W3"), "M2": ("01", "second-lamp", "it stays"),
    "M3": ("03", "behind", "as bright as before"), "M4": ("03", "neighbours", "as bright as before"),
    "M5": ("02", "socket", "about zero volts"), "M6": ("02", "open-switch", "about zero volts"),
    "M7": ("01", "one-wire", "it lights"), "M8": ("03", "shell", "about zero volts"),
    "M9": ("02", "two-zeros", "neither"), "M10": ("06", "click", "both, so the lamp is bad"),
    "M11": ("06", "normally-closed", "87"), "M12": ("06", "operated", "both"),
    "M13": ("10", "volts", "about twice"), "M14": ("10", "front", "E1, E2"),
    "M15": ("01", "bigger-fuse", "the fuse"), "M16": ("08", "meter", "all the time"),
    "M17": ("04", "drop", "all of them"), "M18": ("08", "rate", "B"), "M19": ("04", "cold", "yes, all the time")}


def test_every_idea_of_the_table_is_probed_in_a_lesson():
    """None is left out, none invented, and no two share a choice."""
    assert list(PROBED) == list(IDEAS) == [f"M{number}" for number in range(1, 20)]
    assert len(set(PROBED.values())) == len(PROBED)


@pytest.mark.in_turn(5)
@pytest.mark.parametrize("code", PROBED)
def test_whoever_has_the_idea_gets_its_reply(code, tmp_path, monkeypatch):
    """The choice is wrong, its reply is unlike its neighbours', and it sends the learner to look or to think on."""
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(tmp_path))
    number, item, choice = PROBED[code]
    (path,) = kit_folder("lessons").glob(f"{number}_*.ipynb")
    lesson = worked(path.stem).lesson
    asked = lesson.questions[item]
    if isinstance(asked, Question) and asked.asked.after:
        before = lesson.questions[asked.asked.after]
        lesson.answer(before.item, right_answer(before))
    reply = reply_to(asked, choice)
    others = [reply_to(asked, other) for other in choices(asked) if other != choice]

    assert right_answer(asked) != choice
    assert escape(reply) in lesson.answer(item, choice, "sure").reply
    assert reply not in others and 5 <= len(reply.split()) <= LONGEST_REPLY
    assert re.search(r"\?|Look|Compare|Count|Draw|Take|Watch|Put|Find|Read", reply), reply
