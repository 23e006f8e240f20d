"""What the functions of the public page take: a thing of another kind is refused at the door, in one sentence.

One word means one thing in the whole kit, and so does the name of an argument: the table below says once what is
wanted under each name, with ``function.argument`` where a function means something else by it. What a function
checks better by itself (names, positions, quantities as text) is not in the table.
"""

import re
from functools import cache, wraps
from inspect import Parameter, signature
from math import isfinite
from numbers import Integral, Real
from os import PathLike
from typing import NamedTuple

from .calls import check_call
from .errors import ArgumentError

LONGEST = 40        # letters of a wrong text that are said


class Kind(NamedTuple):
    """A kind of argument: what it is called, how it is told, how to come by one. [text, callable, text]"""

    word: str
    fits: object
    example: str


def record(room, word, example):
    """Return the kind of a record, known by the end of its full name, so that its room need not be loaded here."""
    return Kind(word, lambda value: any(f"{each.__module__}.{each.__qualname__}".endswith(f".{room}")
                                        for each in type(value).__mro__), f"Make one with {example}.")


def _each(fits):
    """Return a check of a list (or what else can be gone through, a text apart), and of what it holds."""
    def all_fit(value):
        if isinstance(value, (list, tuple, set, frozenset, dict)):
            return all(map(fits, value))
        return not isinstance(value, (str, bytes, type)) and hasattr(value, "__iter__")
    return all_fit


def _is_number(value):
    try:
        return isinstance(value, Real) and not isinstance(value, bool) and isfinite(value)
    except OverflowError:
        return False


def _is_text(value):
    return isinstance(value, str)


def _is_word(value):
    return isinstance(value, str) and not value.lstrip().startswith("<")       # as a drawing does


def _is_path(value):
    return isinstance(value, PathLike) or _is_word(value)


def _is_pairs(value):
    return isinstance(value, dict) or isinstance(value, (list, tuple)) and all(
        isinstance(each, (list, tuple)) and len(each) == 2 for each in value)


def _is_change(value):
    return hasattr(value, "apply") and not isinstance(value, type)


def _is_one_or_more_changes(value):
    return _is_change(value) or isinstance(value, (list, tuple)) and all(map(_is_change, value))


ARRANGEMENT = record("record.Arrangement", "an arrangement", 'cl.arrangement("one-fused-lamp")')
CHANGES = record("history.Changes", "a list of changes", 'cl.Changes(arrangement).make("lift F1:2")')
TABLES = [record(*each, "cl.prove(arrangement)") for each in (("proving.Proof", "a proof"), ("faults.table.FaultTable", "a fault table"),
                                                            ("comparing.Comparison", "a comparison"))]
BOARDED = Kind("an arrangement, a list of changes to one, a proof, a fault table or a comparison",
               lambda value: any(kind.fits(value) for kind in (ARRANGEMENT, CHANGES, *TABLES)), ARRANGEMENT.example)
_AFTER = "Give its .after, the arrangement with the changes made; cl.changes.save_changes saves the list itself."
POINT = record("point.OperatingPoint", "an operating point", "cl.operating_point(arrangement)")
COURSE = record("time_course.TimeCourse", "a time course", "cl.run(arrangement)")
SIZING_LIMITS = record("sizing.limits.Limits", "limits of sizing", "cl.sizing.Limits()")
SHEET = record("sheet.Sheet", "a laid-out sheet", "lay_out(arrangement) of circuitlab.views.schematic")
FAULT = record("catalogue.Fault", "a fault", "cl.changes.single_faults(arrangement)")
SCRIPT = record("scripts.Script", "a script", "board.script, or cl.scripts.load_script(path, arrangement)")
RECORDS = (ARRANGEMENT, CHANGES, POINT, COURSE, SIZING_LIMITS, SHEET, FAULT)
TEXT = Kind("a text", _is_text, "Write it in quotes.")
PATH = Kind("the name of a file", _is_path, 'Write it in quotes, such as "cart.svg".')
ARRANGEMENT_FILE = Kind("the name of a file", _is_path, 'Write it in quotes, such as "cart.toml".')
FOLDER = Kind("the name of a folder", _is_path, 'Write it in quotes, such as "answers".')
NAME_OR_FILE = Kind("the name of an arrangement, or of a file", _is_path,
                    'Write it in quotes, such as "one-fused-lamp".')
SENTENCE = Kind("a sentence", _is_word, 'Such as "lift F1:2".')
POSITIONS = Kind("a position for each control that is moved", _is_pairs, 'Such as {"key": "on"}.')
KIND = Kind("the name of a kind", lambda value: _is_word(value) or _is_number(value) and value > 0, TEXT.example)
NUMBER = Kind("a number", _is_number, "Write it without quotes, such as 0.5.")
COUNT = Kind("a whole number of 0 or more", lambda value: isinstance(value, Integral) and value >= 0,
             "Write it without quotes, such as 12.")
SWITCH = Kind("True or False", lambda value: isinstance(value, (bool, int)), "Write True or False, without quotes.")
NAMES = Kind("a list of names", _each(_is_text), 'Put names in square brackets, such as ["E1"].')
ROWS = Kind("a list of rows", _each(_is_pairs), 'Write each as its positions, such as [{"key": "on"}].')
PHASES = Kind("a list of phases", _each(lambda value: _is_text(value) or _is_pairs(value)), 'Such as ["on", "off"].')
CASES = Kind("an arrangement or a list of cases", lambda value: ARRANGEMENT.fits(value) or _each(lambda _: True)(value),
             ARRANGEMENT.example)
CHANGE = Kind("a change", _is_change, 'Make one with cl.changes.read_change("lift F1:2", arrangement).')
CHANGE_LIST = Kind("a list of changes", _each(_is_one_or_more_changes), CHANGE.example)
FAULTS = Kind("a list of faults", _each(lambda value: FAULT.fits(value) or _is_change(value)), FAULT.example)
CARDS = Kind("changes by the words for them", _is_pairs, 'Such as {"F1 blown": cl.Hold("F1", "blown")}.')
STATES = Kind("states by part", _is_pairs, 'Such as {"F1": "blown"}.')
OPTIONS = Kind("options by what varies", _is_pairs, 'Such as [(("F1", "rating"), (5, 7.5))].')
LINKED = Kind("a list of groups of options", _each(_each(_is_pairs)), 'Such as [[{"K1": "K2"}, {"K1": "K3"}]].')
MEASURED = Kind("flashes by lamp", lambda value: isinstance(value, dict) and all(
    hasattr(each, "look") for each in value.values()), 'Such as {"E1": cl.flash(course, "E1")}.')
CALLED = Kind("a function", lambda value: callable(value) and not isinstance(value, type),
              "Give its name without brackets.")
AXES = Kind("axes of a figure", lambda value: hasattr(value, "get_xlim"), "Make them with plt.subplots().")
SEEDS = Kind("a list of seeds", lambda value: isinstance(value, (list, tuple, range)) and len(value) > 0
             and all(isinstance(each, int) for each in value), "Such as range(1, 201).")
QUESTIONS = Kind("a list of checks", _each(lambda value: hasattr(value, "is_right")),
                 "Give what lesson.choose and its like return.")
SENTENCES = Kind("a sentence or a list of sentences", lambda value: _is_word(value) or _each(
    lambda each: _is_word(each) or hasattr(each, "words"))(value), 'Such as "rear left dim when braking".')
LIST = Kind("a list", _each(lambda _: True), "Put it in square brackets.")

WANTED = {
    **dict.fromkeys(("arrangement", "before", "after"), ARRANGEMENT), "board.arrangement": BOARDED, "board.changes": CARDS,
    "point": POINT, "course": COURSE, "sheet": SHEET, "like": SHEET, "limits": SIZING_LIMITS, "seeds": SEEDS, "cases": CASES,
    "progress": CALLED, "ax": AXES, "measured": MEASURED, "questions": QUESTIONS, "steps": LIST,
    "changed.changes": CHANGE, "judge.choices": CHANGE, "sweep.changes": CHANGE_LIST, "save_changes.changes": CHANGES,
    "board.changes": CARDS, "faults": FAULTS, "compare.faults": SWITCH, "choose.faults": SWITCH, "choose.lamps": None,
    "rows": ROWS, "phases": PHASES, "operating_point.phases": None,
    **dict.fromkeys(("values", "names"), OPTIONS), "linked": LINKED,
    **dict.fromkeys(("lamps", "parts", "kinds", "operated", "trace", "marked"), NAMES),
    **dict.fromkeys(("prefix", "background", "family", "code", "unit", "table.name", "lamp", "wire_for_current.table"), TEXT),
    "path": PATH, "find.case": PATH, "load.path": ARRANGEMENT_FILE, "save.path": ARRANGEMENT_FILE, "name_or_file": NAME_OR_FILE, "kind": KIND,
    **dict.fromkeys(("find.symptoms", "find.readings"), SENTENCES), "sentence": SENTENCE, "positions": POSITIONS, **dict.fromkeys(("board.script", "replayed.script", "save_script.script"), SCRIPT), "acts": LIST, "begun": LIST,
    **dict.fromkeys(("wire_for_current.amps", "temperature", "resistivity", "k", "moment", "width_mm", "gauge",
                     "say.value", "flash.start", "flash.end", "pedal_at", "pedal_for"), NUMBER),
    **dict.fromkeys(("most", "pictures"), COUNT), **dict.fromkeys(("told", "currents", "pages", "stands_in", "finding_text.why"), SWITCH),
}


def must_be(value, kind, argument, function):
    """Raise an ArgumentError unless a value is of a kind.

    >>> must_be("one-fused-lamp", ARRANGEMENT, "arrangement", "draw")
    Traceback (most recent call last):
    ...
    circuitlab.ground.errors.ArgumentError: draw: 'arrangement' must be an arrangement, not the text 'one-fused-lamp'. \
Make one with cl.arrangement("one-fused-lamp").
    """
    if not kind.fits(value):
        holds = isinstance(value, (list, tuple)) and value and kind.word.startswith("a list")
        got = "a list with something else in it" if holds else _said(value)
        example = _AFTER if kind is ARRANGEMENT and CHANGES.fits(value) else kind.example
        raise ArgumentError(f"{function}: '{argument}' must be {kind.word}, not {got}. {example}",
                            function=function, argument=argument, got=value)


def _said(value):
    """Return what a wrong thing is, in few words. [text]"""
    if isinstance(value, str):
        if value.lstrip().startswith("<"):
            return "a drawing or a table already made"
        return f"the text {value[:LONGEST] + '...' if len(value) > LONGEST else value!r}"
    if value is None or isinstance(value, bool):
        return repr(value)
    if isinstance(value, (int, float)):
        is_short = isinstance(value, float) or abs(value) < 10 ** LONGEST
        return f"the number {value!r}" if is_short else "a number far too large"
    if isinstance(value, type):
        return f"{value.__name__} itself"
    words = [kind.word for kind in RECORDS if kind.fits(value)]
    plain = {list: "a list", tuple: "a list", dict: "a dict", set: "a set"}
    name = re.sub("(?<=[a-z])(?=[A-Z])", " ", type(value).__name__)
    own = f"{'an' if name[0] in 'AEIO' else 'a'} {name.lower()}" if type(value).__module__.startswith("circuitlab.") else ""
    what = words[0] if words else plain.get(type(value)) or own or f"a thing of the kind {name}"
    return what + (" with nothing in it" if type(value) in plain and not value else "")


@cache
def checked(thing, first=0):
    """Return a function with its arguments checked by the table above; a class comes back as it is.

    Of a method the ``first`` one is none of the caller's.
    """
    if isinstance(thing, type):
        return thing
    checks, more = [], None
    for place, parameter in enumerate(signature(thing).parameters.values()):
        kind = _wanted(thing, parameter.name)
        if kind and parameter.kind is Parameter.VAR_POSITIONAL:
            more = place, parameter.name, kind
        elif kind:
            checks.append((place, parameter.name, kind, parameter.default))

    @wraps(thing)
    def asked(*given, **named):
        for place, name, kind, default in checks:
            value = given[place] if place < len(given) else named.get(name, default)
            if value is not default:
                must_be(value, kind, name, thing.__name__)
        if more:
            for value in given[more[0]:]:
                must_be(value, more[2], more[1], thing.__name__)
        try:
            return thing(*given, **named)
        except TypeError:
            check_call(thing, thing.__name__, given[first:], named, "argument", first=first, hint=_hint(thing, (*given, *named.values())))
            raise
    return asked


def _wanted(thing, name):
    return WANTED.get(f"{thing.__name__}.{name}", WANTED.get(name))


def _hint(thing, values):
    """Return what says more of an argument that is missing or not known: what it is, or where a position belongs."""
    def hint(name, is_missing):
        if is_missing:
            kind = _wanted(thing, name)
            return f"{kind.word}. {kind.example}" if kind else ""
        circuits = [circuit for circuit in (getattr(each, "arrangement", each) for each in values) if ARRANGEMENT.fits(circuit)]
        control = name.replace("_", " ")
        if not any(control in circuit.controls_by_name for circuit in circuits):
            return ""
        position = circuits[0].control(control).positions[-1]
        stands = f'{{"{control}": "{position}"}}'
        takes = signature(thing).parameters
        if "script" in takes:
            return (f"'{control}' is a control. Move it in the script, such as script=[(0.5, \"{control}\", \"{position}\")], "
                    f"or let it stand there from the start: positions={stands}.")
        if "positions" in takes:
            return f"'{control}' is a control. Where it stands goes into positions={stands}."
        return (f"'{control}' is a control. Where it stands is said of an operating point: "
                f"cl.operating_point(arrangement, {stands}).")
    return hint
