"""What may stand in the text file: every kind of table with its keys and terminals, told by the records themselves.

The words are those of each record's docstring, the defaults and what is allowed
those that the record looks at, so that nothing is typed twice.
"""

import re
from dataclasses import MISSING, dataclass, fields
from functools import cache
from inspect import cleandoc
from math import inf

from ..ground.errors import CircuitLabError, unknown_name
from ..parts import (KINDS, Battery, Breaker, Chassis, Connector, Control, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp, Relay, Resistor, Splice, Switch,
                     TwoFilamentLamp, Wire)
from ..parts.law import AMBIENT
from .ambient import COLDEST, WARMEST
from .checks import POLES
from .plan import SIDES, TURNED, Plan
from .record import Arrangement
from .text import FORMAT, HEADING, SHAPES, write_text
from .wanted import LAMP_LOOKS, TERMINAL_LOOKS, Wanted

_LAST = ("place", "note")       # keys that every part has
_HEAD = {"format": f"a whole number, {FORMAT}, must be given", "title": "text, must be given", "note": "text",
         "ambient": f"{COLDEST:g} to {WARMEST:g} C, {AMBIENT:g} unless given",
         "frame": f'"{POLES[0]}" or "{POLES[1]}", "{POLES[0]}" unless given', "not_known": 'a list of names such as ["W3"]'}
_PLACES = {"attached.NAME": f'[right, down], with "{TURNED}" behind where it is so', "schematic.NAME": f'[right, ..., down], with "{TURNED}" behind likewise',
           "columns": "[[right, part, ...], ...], in the table [plan]", "wires.NAME": f'[terminal, side, terminal, side, down, ...], each side "{SIDES[0]}" or "{SIDES[1]}"'}
_FORMAT_WORDS = "Which form of file this is."
_LOOKS = f"of a lamp {', '.join(LAMP_LOOKS)}, of a terminal {', '.join(TERMINAL_LOOKS)}, must be given"


@dataclass(frozen=True)
class Keys:
    """Keys that are told together, as volts and watts of a lamp.

    Attributes
    ----------
    allowed : dict of str to str
        For each key what may stand behind it, and what holds unless it is given. [text]
    words : str
        What it means. [text]
    """

    allowed: dict
    words: str


@dataclass(frozen=True)
class Table:
    """One kind of table of the file.

    Attributes
    ----------
    kind : str
        Of the part; or ``file``, ``control``, ``wire``, ``rule``, ``held``. [text]
    words : str
        What it is, in a sentence or two. [text]
    keys : tuple of Keys
        In the order they are told.
    terminals : dict of str to str
        What each terminal is; one name, or several with commas. [text]
    example : str
        The table as it may stand in a file. [text]
    """

    kind: str
    words: str
    keys: tuple
    terminals: dict
    example: str


def table_kinds():
    """Return the kinds of table there are: the file's own keys, controls, every kind of part, wires, rule, what is held, and the plan. [text]"""
    return ("file", "control", *KINDS, "wire", "rule", "held", "plan")


def file_table(kind):
    """Return what may stand in one kind of table, as a Table.

    Raises
    ------
    UnknownName
        For a kind that is none; near ones are named.

    >>> file_table("relay").terminals["87"]
    'the make contact: joined to 30 while the coil has its volts'
    """
    if kind not in table_kinds():
        raise unknown_name("the file of a circuit", "kind of table", kind, table_kinds())
    examples = _examples()
    if kind == "file":
        words = {"format": _FORMAT_WORDS} | {name: said for names, said, _ in _said(Arrangement) for name in names}
        return Table(kind, "What stands above the first table: which form of file it is, and the circuit as a whole.",
                     tuple(Keys({key: allowed}, words[key]) for key, allowed in _HEAD.items()), {}, examples[kind])
    if kind == "held":
        states = (f"{name}: {', '.join(record.states)}" for name, record in KINDS.items() if len(record.states) > 1)
        words = f"NAME is that of the part. There are for a {'; '.join(states)}; switch: the positions of its control."
        return Table(kind, "What stays as it is whatever happens, such as a blown fuse or a stuck relay.",
                     (Keys({"NAME": "a state of that part, in quotes"}, words),), {}, examples[kind])
    if kind == "plan":
        words = {name: said for names, said, _ in _said(Plan) for name in names}
        return Table(kind, _first_words(Plan), tuple(Keys({key: allowed}, words[key.partition(".")[0]]) for key, allowed in _PLACES.items()), {},
                     examples[kind])
    record = {"control": Control, "wire": Wire, "rule": Wanted}.get(kind) or KINDS[kind]
    return Table(kind, _first_words(record), tuple(_keys(kind, record)), _terminals(record), examples[kind])


def _keys(kind, record):
    """Yield the keys of a record, those that all parts have last."""
    known = {field.name: field for field in fields(record) if field.name != "name"}
    if kind in KINDS:
        yield Keys({"kind": f'"{kind}", must be given'}, "What the part is.")
    told = sorted(((names, words) for names, words, _ in _said(record) if known.keys() & {*names}),
                  key=lambda entry: (entry[0][0] in _LAST, min(list(known).index(name) for name in entry[0] if name in known)))
    for names, words in told:
        if kind == "rule" and "lamp" in names:
            names = ("lamp", "terminal")
        yield Keys({name: _allowed(kind, record, known[name]) if name in known else "text, in the place of lamp" for name in names}, words)


def _allowed(kind, record, field):
    """Return what may stand behind a key, and what holds unless it is given. [text]"""
    look, *limits = field.metadata.get("must", ("",))
    if kind == "rule" and field.name == "look":
        return _LOOKS
    if field.name in SHAPES:
        words = SHAPES[field.name][1]
    elif look == "must_be_number":
        low, high, unit = limits
        words = f"{low:g} {unit} or more" if high == inf else f"{low:g} to {high:.10g} {unit}"
    elif look == "must_be_whole":
        words = f"a whole number, {limits[0]} to {limits[1]}"
    elif look == "must_be_one_of":
        *others, last = (f'"{word}"' for word in limits[0])
        words = f"{', '.join(others)} or {last}"
    else:
        words = "true or false" if isinstance(field.default, bool) else "text"
        if isinstance(field.default, float):
            words = f"a number in {next(unit for names, _, unit in _said(record) if field.name in names)}"
    return words + _unless(kind, record, field)


def _unless(kind, record, field):
    if field.default is MISSING or _must_be_given(kind, record, field.name):
        return ", must be given"
    if isinstance(field.default, bool):
        return f", {str(field.default).lower()} unless given"
    if isinstance(field.default, int | float):
        return f", {field.default:g} unless given"
    return f', "{field.default}" unless given' if isinstance(field.default, str) and field.default else ""


def _must_be_given(kind, record, key):
    """Tell whether a file without that key is refused: what guards names its rating, all else as its record says. [yes/no]"""
    one = next(thing for thing in (*_whole().parts, *_whole().wires, *_whole().controls, *_whole().rule) if type(thing) is record)
    given = {field.name: getattr(one, field.name) for field in fields(record) if field.name != key}
    try:
        record(**given)
    except CircuitLabError:
        return True
    return key == "rating" and record.guards


# ------------------------------------------------------------------ words of a docstring

def _sections(record):
    """Yield the first paragraph and the sections of the docstrings of a record and those it is made from, ``(heading, text)``."""
    for each in record.__mro__[:-1]:
        text = cleandoc(each.__doc__ or "")
        yield "", " ".join(text.partition("\n\n")[0].split())
        yield from ((found[1], found[2]) for found in re.finditer(r"^(\w+)\n-+\n(.*?)(?=\n\n\w+\n-+\n|\n\n>>>|\Z)", text, re.M | re.S))


def _first_words(record):
    return next(_sections(record))[1]


@cache
def _said(record):
    """Return ``(names, words, unit)`` of every entry under Parameters, each name where it is first told. [text]"""
    found, known = [], set()
    for heading, text in _sections(record):
        for entry in re.finditer(r"^(\w+(?:, \w+)*) : .*\n((?: +.*\n?)+)", f"{text}\n", re.M) if heading == "Parameters" else ():
            names = tuple(name for name in entry[1].split(", ") if name not in known)
            known |= {*names}
            words, _, unit = " ".join(entry[2].split()).partition(" [")
            found += [(names, words, unit.partition("]")[0])] if names else []
    return tuple(found)


def _terminals(record):
    """Return what each terminal is, from the section Terminals of its docstring or that of a record it is made from. [text]"""
    text = next((text for heading, text in _sections(record) if heading == "Terminals"), "")
    return {name.strip(): " ".join(words.split()) for name, words in re.findall(r"^(\S.*?) : (.*(?:\n +.*)*)", text, re.M)}


# ------------------------------------------------------------------ examples

@cache
def _whole():
    """Return an arrangement with one of each kind of table: no circuit to build, a file that can be read."""
    parts = [Battery("G1", place="under the seat"), Fuse("F1", 7.5, place="beside the battery"),
             Breaker("F2", 15.0, place="beside the battery"), Resistor("R1", 6.0, rated_watts=50.0, place="rear left"),
             Splice("X2", ways=4, place="under the dash"), Chassis("X1", studs=6, place="cart frame"),
             Switch("S3", "turn lever", {"left": [("49a", "L")], "right": [("49a", "R")]}, place="steering column"),
             Relay("K1", suppression="diode", place="relay box under the seat"),
             Flasher("K9", type="electronic with lamp-out sensing", place="under the dash"),
             Lamp("E3", bulb="PY21W", place="front left"), LedLamp("E1", watts=3.0, place="rear left"), TwoFilamentLamp("E5", bulb="1157", place="rear right"),
             Diode("V1", forward_current=3.0, resistance=0.03, place="under the dash"),
             Connector("X5", "12N", pins={"3": 2.0}, water={"2-3": 500.0}, place="tail of the cart"),
             Converter("K11", "unpowered", loses=0.5, place="tail of the cart"),
             FuseBlock("F5", "30: 10 A, 7.5 A mini blade, spare; 15: 10 A, spare", place="under the dash"),
             DistributionBlock("X6", "30: 4, 31: 6", place="under the seat")]
    wires = [Wire("W1", "G1:+", "F1:1", "RD", 0.2, 2.5, note="keep it short: nothing guards it")]
    rule = [Wanted("E3", "flashing", {"turn lever": "left"}), Wanted("S3:L", "dead", {"turn lever": "off"})]
    return Arrangement("Orchard cart", [Control("turn lever", ("off", "left", "right"), ("left", "off", "right"))], parts, wires, rule,
                       [("F1", "blown")], note="Invented, to show every kind of table.", ambient=25.0, not_known=["W1"],
                       plan=Plan([("K1", 40, 62, False), ("X2", 12, 30, True)], [("K1.coil", [9], 14, False)],
                                 [(12, "X2"), (40, "K1")], [("W1", "G1:+", "right", "F1:1", "left", 2, 4)]))


def _examples():
    """Return for each kind of table how it is written. [text]"""
    head, *blocks, _ = write_text(_whole()).removeprefix(f"{HEADING}\n").strip().split("\n\n")
    found = {"file": head}
    for block in blocks:
        kind = re.search(r'^kind = "(.*)"$', block, re.M)
        key = kind[1] if kind else {"controls": "control", "wires": "wire", "rule": "rule", "held": "held", "plan": "plan"}[re.match(r"\[+(\w+)", block)[1]]
        found[key] = f"{found[key]}\n\n{block}" if key in found else block
    return found
