"""Every public name of the kit, given the commonest wrong things: a result or a sentence, never a foreign error.

Every name of its shelves as well, such as ``cl.changes``, and every method of a result that another room works out. What
each one takes is read off its signature. A right value for every argument it must have stands below, once for each name
of an argument, and once more where a function means something else by it. One argument at a time is then wrong.
"""

import inspect
from functools import cache
from operator import attrgetter

import pytest

import circuitlab as cl
from circuitlab.ground.showing import Door

MOST_LETTERS = 2000         # of a sentence, those that list a catalogue included
SHELVES = [name for name in cl.__all__ if inspect.ismodule(getattr(cl, name))]
METHODS = {     # of a result, by the name of its kind: its doors, its views, and the questions of a lesson
    "small": "describe describe_attached count_rows cautions write_text planned html_view", "point": "path_to text_view",
    "course": "plot status text_view html_view", "lesson": "workbench safety_ticket issue_code", "asked": "fairness",
    **dict.fromkeys(("table", "proof", "logic", "comparison", "faults", "sizing", "finding"), "text_view html_view"),
}
PUBLIC = [name for name in cl.__all__ if name not in SHELVES and name != "CircuitLabError"] + [
    f"{shelf}.{name}" for shelf in SHELVES for name in getattr(cl, shelf).__all__]


@pytest.fixture(autouse=True)
def elsewhere(tmp_path, monkeypatch):
    """What a wrong word writes or looks for, it does in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    cl.save(cl.arrangement("one-fused-lamp"), "small.toml")
    cl.changes.save_changes(cl.Changes(cl.arrangement("one-fused-lamp")).make("set F1 rating 3"), "small.changes")
    cl.scripts.save_script(cl.board(cl.arrangement("one-fused-lamp")).script, "small.script")


def public(name):
    """Return what stands on the page, on a shelf (``changes.Lift``), or what a result has (``proof:text_view``)."""
    owner, _, method = name.rpartition(":")
    if not owner:
        return attrgetter(name)(cl)
    of = owners()[owner]
    return Door(getattr(of, method)).__get__(of) if method.endswith("_view") else getattr(of, method)


def takes(name):
    """Return the arguments of a public name, by their names."""
    return inspect.signature(public(name)).parameters


@cache
def owners():
    """Return a result of each kind whose methods are called."""
    small = cl.arrangement("one-fused-lamp")
    other, lesson = cl.changed(small, cl.SetValue("F1", "rating", 3.0)), cl.Lesson("07")
    return {
        "small": small, "other": other, "point": cl.operating_point(small), "course": cl.run(small, [(0.1, "lamp switch", "on")], 0.5),
        "proof": cl.prove(small, timing=False), "logic": cl.lamp_logic(small), "comparison": cl.compare(small, other),
        "sizing": cl.size(small), "table": cl.lamp_table(small), "faults": cl.fault_table(small), "lesson": lesson,
        "finding": cl.find(small, "E1 dark when lamp switch on"),
        "asked": lesson.choose("a", "Which?", small, {"E1": "It is dark.", "F1": "It is whole.", "S1": "It is open."},
                               truth=lambda _: "E1"),
    }


NAMES = [*PUBLIC, *(f"{owner}:{method}" for owner, methods in METHODS.items() for method in methods.split())]
CALLED = [name for name in NAMES if takes(name)]


@cache
def right_things():
    """Return a right value for each name of an argument, or for ``function.argument``."""
    has = owners()
    small = has["small"]
    return {
        "arrangement": small, "before": small, "after": has["other"], "cases": small, "point": has["point"],
        "course": has["course"], "proof": has["proof"], "changes": cl.Changes(small),
        "Arrangement.parts": small.parts, "Arrangement.controls": small.controls, "Arrangement.wires": small.wires,
        "questions": [has["asked"]], "steps": [], "what": has["proof"],
        "name_or_file": "one-fused-lamp", "path": "out.toml", "save_picture.path": "out.svg",
        "write_build_sheet.path": "out.html", "load.path": "small.toml", "load_changes.path": "small.changes",
        "load_script.path": "small.script", "acts": [], "board.arrangement": small, "board.script": cl.board(small).script, "script": cl.board(small).script, "save_script.path": "out.script",
        "vary.values": {("F1", "rating"): (5.0, 7.5)}, "name": "X1", "title": "a title", "part": "F1",
        "sentence": "lose W1 at F1:1",
        "bulb.name": "P21W", "bulb_name": "P21W", "near_names.name": "P21W", "table.name": "ampacity",
        "Control.name": "key",
        "choose.faults": False, "choose.most": 1, "choose.filaments": "separate", "choose.trailer": "no",
        "diode.kind": "1N4001", "flasher.kind": "thermal fixed load", "fuse.kind": "5", "fuse_colour.kind": "5",
        "relay.kind": "mini 85 ohm", "number": "07", "label": "seat 4", "secret": "apples",
        "code": "M6",
        "because": "a word", "would": "a word", "look": "steady", "asked": "E1: steady",
        "name_or_text": "stop-over-turn",
        "read_quantity.text": "3 V", "unit": "V", "value": 3.0, "gauge": 18, "amps": 3.0,
        "length": 2.0, "volts": 0.2, "area": 1.0, "table_name": "chassis wiring", "moment": 0.2, "lamp": "E1",
        "positions": {"lamp switch": "on"}, "Control.positions": ("off", "on"), "control": "key", "wire": "W1",
        "symptoms": "E1 dark when lamp switch on", "readings": "F1 whole", "odds": "handbook rates", "efforts": {"E1": 5},
        "AddControl.control": cl.Control("key", ("off", "on")), "AddWire.wire": cl.Wire("W90", "F1:1", "F1:2", "RD"),
        "AddPart.part": cl.Lamp("E9"), "ReplacePart.part": cl.Fuse("F1", 3.0), "source": "F1:1", "target": "F1:2",
        "terminal": "F1:1", "first": "F1:1", "second": "F1:2", "start": "F1:1", "end": "F1:2", "state": "blown", "pole": "plus",
        "field": "rating", "sentences": "E1: steady", "FuseBlock.ways": "10 A, spare", "Switch.control": "key", "Switch.closes": {"on": [("1", "2")]},
        "old": "F1", "new": "F9", "RenameControl.old": "lamp switch", "lines": [("steady", {"lamp switch": "on"})],
        "x": 40, "y": 20, "joins": [("30", "15")], "ambient": -20.0, "red": "F1:1", "black": "G1:-",
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
    right, needed, short = right_things(), {}, public(name).__name__
    for key, parameter in takes(name).items():
        own, is_asked = right.get(f"{short}.{key}"), parameter.kind is parameter.POSITIONAL_OR_KEYWORD
        if own is not None or parameter.default is parameter.empty and is_asked:
            needed[key] = right[key] if own is None else own
    for key in {"Wire": ("start", "end"), "hazard_switch": ("joins",)}.get(short, ()):
        needed[key] = right[key]
    return needed


def test_no_method_that_another_room_works_out_is_left_out():
    """Every door of a result is called below."""
    for owner, methods in METHODS.items():
        doors = {name for kind in type(owners()[owner]).__mro__ for name, each in vars(kind).items() if isinstance(each, Door)}
        assert doors <= set(methods.split()), owner


@pytest.mark.parametrize("name", CALLED)
def test_the_right_things_give_a_result(name):
    """So that what the next test tells of a wrong argument is told of that one alone."""
    public(name)(**right_call(name))


@pytest.mark.parametrize("name", CALLED)
def test_a_wrong_thing_gives_a_result_or_a_sentence_about_it(name):
    """Never a foreign error; the sentence names the argument or what was given for it, and ends."""
    needed = right_call(name)
    for key, parameter in takes(name).items():
        if parameter.kind is parameter.VAR_KEYWORD:
            continue
        for what, wrong in wrong_things().items():
            given, more = {**needed, key: wrong}, ()
            if parameter.kind is parameter.VAR_POSITIONAL:
                given, more = {}, (*needed.values(), wrong)
            try:
                public(name)(*more, **given)
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


# ------------------------------------------------------------------ calls that do not fit

NEEDED = {name: [key for key, each in takes(name).items()
                 if each.default is each.empty and each.kind in (each.POSITIONAL_OR_KEYWORD, each.KEYWORD_ONLY)]
          for name in CALLED}


@pytest.mark.parametrize("name", [name for name in CALLED if NEEDED[name]])
def test_what_is_left_out_of_a_call_is_named(name):
    """Each of the things a public name must have, left out alone."""
    whole = right_call(name)
    for key in NEEDED[name]:
        with pytest.raises(cl.CircuitLabError) as caught:
            public(name)(**{other: value for other, value in whole.items() if other != key})
        said = str(caught.value)
        assert f"needs '{key}', which is not given" in said and "Write " in said and said.endswith(".")
        assert "positional" not in said and len(said) < 500


@pytest.mark.parametrize("name", [name for name in NAMES if not any(each.kind is each.VAR_KEYWORD for each in takes(name).values())])
def test_what_a_call_does_not_take_is_named_beside_what_it_takes(name):
    """One name too many, and forty things too many."""
    known = [key for key, each in takes(name).items() if each.kind is not each.VAR_POSITIONAL]
    with pytest.raises(cl.CircuitLabError) as caught:
        public(name)(**right_call(name), sparrow=1)
    said = str(caught.value)
    assert "'sparrow'" in said and all(key in said for key in known[:3]) and said.endswith((".", "?"))
    if not any(each.kind is each.VAR_POSITIONAL for each in takes(name).values()):
        with pytest.raises(cl.CircuitLabError) as caught:
            public(name)(*right_call(name).values(), *[None] * 40)
        assert "positional" not in str(caught.value)


@pytest.mark.parametrize(("call", "says"), [
    (lambda cart: cl.save(cart), "save needs 'path', which is not given: the name of a file. Write it in quotes, such as "
                                 "\"cart.toml\". Write save(arrangement=..., path=...)."),
    (lambda cart: cl.compare(cart), "compare needs 'after', which is not given: an arrangement. Make one with "
                                    "cl.arrangement(\"one-fused-lamp\"). Write compare(before=..., after=...)."),
    (lambda cart: cl.prove(), "prove needs 'arrangement', which is not given: an arrangement. Make one with "),
    (lambda cart: cl.run(cart, key="on"), "run has no argument 'key'. It has: arrangement, script, until, positions. "
     "'key' is a control. Move it in the script, such as script=[(0.5, \"key\", \"on\")], or let it stand there from the "
     "start: positions={\"key\": \"on\"}."),
    (lambda cart: cl.operating_point(cart, brake_pedal="held"),
     "'brake pedal' is a control. Where it stands goes into positions={\"brake pedal\": \"held\"}."),
    (lambda cart: cl.draw(cart, key="on"), "'key' is a control. Where it stands is said of an operating point: "
                                           "cl.operating_point(arrangement, {\"key\": \"on\"})."),
    (lambda cart: cl.lamp_table(cart, progres=print), "lamp_table has no argument 'progres'."),
    (lambda cart: cart.count_rows(cart), "count_rows takes no arguments, got 1. Leave the brackets empty."),
    (lambda cart: cl.lamp_table(cart, None, cart), "lamp_table takes 2 arguments at most, got 3. In order: arrangement, progress."),
    (lambda cart: cl.rules.rule_names("all"), "rule_names takes no arguments, got 1. Leave the brackets empty."),
    (lambda cart: cl.save(cart, "a.toml", path="b.toml"), "save is given its 'path' twice."),
    (lambda cart: cl.operating_point(cart).volts(), "OperatingPoint.volts needs 'terminal', which is not given. Write "),
    (lambda cart: cl.run(cart).at(time=2), "TimeCourse.at has no argument 'time'. It has: moment."),
    (lambda cart: cl.Changes(cart).undo(1, 2), "Changes.undo takes 1 argument at most, got 2. In order: place."),
    (lambda cart: cl.Changes(cart).make(title="x"), "Changes.make has no argument 'title'. It has: name."),
    (lambda cart: cart.part(), "Arrangement.part needs 'name', which is not given."),
    (lambda cart: cl.Lesson(), "a Lesson needs 'number', which is not given."),
    (lambda cart: cl.Lesson("07").note("a"), "Lesson.note needs 'question', which is not given."),
    (lambda cart: cl.Lesson("07").measure("a", "How much?", cart, "V", lambda _: 1.0, witin=0.1),
     "a question has no argument 'witin'."),
    (lambda cart: cl.sweep(cart).volts(), "Sweep.volts needs 'terminal', which is not given."),
    (lambda cart: cl.vary(cart, side=1), "vary: side=1 is no list of options"),
])
def test_a_call_that_does_not_fit_says_how_to_write_it(call, says):
    """Functions and methods; a position given by name is told where it belongs."""
    with pytest.raises(cl.CircuitLabError) as caught:
        call(cl.arrangement("shared-filament-rear-relays"))
    assert says in str(caught.value)
