"""Every public name of the kit, given the commonest wrong things: a result or a sentence, never a foreign error.

What each one takes is read off its signature. A right value for every argument it must have stands below, once for each
name of an argument, and once more where a function means something else by it. One argument at a time is then wrong.
"""

import inspect
from functools import cache

import pytest

import circuitlab as cl
from circuitlab.teaching.gathering import lesson_questions

MOST_LETTERS = 2000         # of a sentence, those that list a catalogue included
CALLED = sorted(name for name in cl.__all__
                if name != "CircuitLabError" and inspect.signature(getattr(cl, name)).parameters)


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    """What a wrong word writes or looks for, it does in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    cl.save(cl.arrangement("one-fused-lamp"), "small.toml")
    cl.save_changes(cl.Changes(cl.arrangement("one-fused-lamp")).make("set F1 rating 3"), "small.changes")


@cache
def right_things():
    """Return a right value for each name of an argument, or for ``function.argument``."""
    small = cl.arrangement("one-fused-lamp")
    other, lesson = cl.changed(small, cl.SetValue("F1", "rating", 3.0)), cl.Lesson("07")
    laddered = next(each for each in lesson_questions("07").values() if each.kind == "tried")
    proof, faults = cl.prove(small, timing=False), cl.fault_table(small)
    return {
        "arrangement": small, "before": small, "after": other, "cases": small, "point": cl.operating_point(small),
        "course": cl.run(small, [(0.1, "lamp switch", "on")], 0.5), "proof": proof, "logic": cl.lamp_logic(small),
        "comparison": cl.compare(small, other), "sizing": cl.size(small), "table": cl.lamp_table(small),
        "fault_table_html.table": faults, "fault_table_text.table": faults, "changes": cl.Changes(small),
        "task": laddered,
        "Arrangement.parts": small.parts, "Arrangement.controls": small.controls, "Arrangement.wires": small.wires,
        "questions": [lesson.choose("a", "Which?", small, {"E1": "It is dark.", "F1": "It is whole.", "S1": "It is open."},
                                    truth=lambda _: "E1")],
        "steps": [], "workbench.lesson": lesson, "safety_ticket.lesson": lesson, "what": proof,
        "name_or_file": "one-fused-lamp", "path": "out.toml", "save_picture.path": "out.svg",
        "save_pages.path": "out.svg",
        "write_build_sheet.path": "out.html", "load.path": "small.toml", "load_changes.path": "small.changes",
        "vary.values": {("F1", "rating"): (5.0, 7.5)}, "name": "X1", "title": "a title", "part": "F1",
        "sentence": "lose W1 at F1:1",
        "bulb.name": "P21W", "bulb_name": "P21W", "near_names.name": "P21W", "table.name": "ampacity",
        "Control.name": "key",
        "diode.kind": "1N4001", "flasher.kind": "free-running", "fuse.kind": "5", "fuse_colour.kind": "5",
        "relay.kind": "mini 85 ohm", "number": "07", "lesson": "07", "label": "seat 4", "secret": "apples",
        "code": "M6",
        "because": "a word", "would": "a word", "look": "steady", "asked": "E1: steady",
        "name_or_text": "stop-over-turn",
        "text": cl.write_text(small), "read_quantity.text": "3 V", "unit": "V", "value": 3.0, "gauge": 18, "amps": 3.0,
        "length": 2.0, "volts": 0.2, "area": 1.0, "table_name": "chassis wiring", "moment": 0.2, "lamp": "E1",
        "positions": {"lamp switch": "on"}, "Control.positions": ("off", "on"), "control": "key", "wire": "W1",
        "AddControl.control": cl.Control("key", ("off", "on")), "AddWire.wire": cl.Wire("W90", "F1:1", "F1:2", "RD"),
        "AddPart.part": cl.Lamp("E9"), "ReplacePart.part": cl.Fuse("F1", 3.0), "source": "F1:1", "target": "F1:2",
        "terminal": "F1:1", "first": "F1:1", "second": "F1:2", "start": "F1:1", "end": "F1:2", "state": "blown",
        "field": "rating", "sentences": "E1: steady", "Switch.control": "key", "Switch.closes": {"on": [("1", "2")]},
        "joins": [("30", "15")], "red": "F1:1", "black": "G1:-", "Reading.value": 12.6,
    }


@cache
def wrong_things():
    """Return what is given in the place of something else: nothing, a word, a number, a picture, a record, a list."""
    right = right_things()
    return {
        "nothing": None, "no word": "", "a name": "one-fused-lamp", "a word": "nonsense", "a number": 7,
        "below 0": -1.5,
        "no number": float("nan"), "endless": float("inf"), "yes": True, "a drawing": cl.draw(right["arrangement"]),
        "an arrangement": right["arrangement"], "a point": right["point"], "a course": right["course"],
        "a proof": right["proof"],
        "a part": cl.Lamp("E1"), "a class": cl.Lamp, "an instance": object(), "names": ["E1", "F1"],
        "an empty list": [],
        "a list in a list": [[1]], "three numbers": (1, 2, 3), "an empty dict": {}, "a dict": {"E1": "on"},
        "bytes": b"cart",
        "an escape": "rear\x1b[K",
    }


def right_call(name):
    """Return the arguments of a call that works."""
    right, needed = right_things(), {}
    for key, parameter in inspect.signature(getattr(cl, name)).parameters.items():
        own, is_asked = right.get(f"{name}.{key}"), parameter.kind is parameter.POSITIONAL_OR_KEYWORD
        if own is not None or parameter.default is parameter.empty and is_asked:
            needed[key] = right[key] if own is None else own
    for key in {"Wire": ("start", "end"), "hazard_switch": ("joins",)}.get(name, ()):
        needed[key] = right[key]
    return needed


@pytest.mark.parametrize("name", CALLED)
def test_the_right_things_give_a_result(name):
    """So that what the next test tells of a wrong argument is told of that one alone."""
    getattr(cl, name)(**right_call(name))


@pytest.mark.parametrize("name", [name for name in CALLED])
def test_a_wrong_thing_gives_a_result_or_a_sentence_about_it(name):
    """Never a foreign error; the sentence names the argument or what was given for it, and ends."""
    needed = right_call(name)
    for key, parameter in inspect.signature(getattr(cl, name)).parameters.items():
        if parameter.kind is parameter.VAR_KEYWORD:
            continue
        for what, wrong in wrong_things().items():
            given, more = {**needed, key: wrong}, ()
            if parameter.kind is parameter.VAR_POSITIONAL:
                given, more = {}, (*needed.values(), wrong)
            try:
                getattr(cl, name)(*more, **given)
            except cl.CircuitLabError as error:
                said = str(error)
                assert key.replace("_", " ") in said.replace("_", " ") or names(said, wrong), f"{what} as {key}: {said}"
                assert said.endswith((".", "?")) and len(said) <= MOST_LETTERS, f"{what} as {key}: {said}"
                assert said.replace("\n", "").isprintable(), f"{what} as {key}: {said!r}"
            except Exception as error:
                raise AssertionError(f"{what} as '{key}' of {name} gave {type(error).__name__}: {error}") from error


def names(said, wrong):
    """Tell whether a sentence holds the wrong thing, as it was given or as it is quoted."""
    if isinstance(wrong, (str, list, dict)) and not wrong:
        return True             # nothing in it that could be named
    inside = [str(each) for each in wrong] if isinstance(wrong, (list, tuple, dict)) else []
    written = str(wrong), repr(wrong), repr(wrong)[1:-1], *inside
    return any(each[:10].casefold() in said.casefold() for each in written)
