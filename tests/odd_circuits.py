"""Circuits, changes and names at the edge of what may be written: words of the grammar, quotes, commas, spaces."""

from dataclasses import fields

from hypothesis import strategies as st

from circuitlab.arrangements import (
    AddControl,
    AddPart,
    AddWire,
    Arrangement,
    FrameOn,
    MovePart,
    Hold,
    Lift,
    LoseJoint,
    MoveWire,
    RemoveControl,
    RemovePart,
    RemoveWire,
    Rename,
    RenameControl,
    ReplacePart,
    SetAmbient,
    SetRule,
    SetTitle,
    SetValue,
    Short,
    SwapTerminals,
    Wanted,
)
from circuitlab.parts import KINDS, Battery, Chassis, Control, Lamp, LedLamp, Switch, Wire
from circuitlab.parts.conductors import COLOURS
from circuitlab.parts.flasher import TYPES

WORDS = (
    "to",
    "from",
    "at",
    "by",
    "with",
    "and",
    "or",
    "not",
    "when",
    "else",
    "always",
    "never",
    "shown",
    "in",
    "as",
    "a",
    "an",
    "new",
    "part",
    "wire",
    "control",
    "lamp",
    "chassis",
    "wires",
    "its",
    "inf",
    "none",
    "yes",
    "steady",
    "dark",
    "flash",
    "on",
    "off",
    "left",
    "blown",
    "operated",
    "1",
    "2.",
    "0.5 m",
    "12 V",
    "RD",
    "turn left",
    "changes to",
    "ambient",
    "# no",
    "[x]",
    "a.toml",
    "it's",
    'say "so"',
    "\\",
    '"',
    "a, b",
    "a; b",
    "a: b",
    "low speed, off",
    "half way",
    " x",
    "x ",
    "a  b",
    "\N{NO-BREAK SPACE}x",
    "Gr\N{LATIN SMALL LETTER U WITH DIAERESIS}n",
    "\N{CJK UNIFIED IDEOGRAPH-706F}",
    "=1+1",
    "-",
    ".",
    ",",
    "a-b",
    "(",
    ")",
    "a (b)",
    "K1",
    "E1",
    "key",
    "key on",
    "true",
    "x\N{ZERO WIDTH JOINER}y",
    "{a}",
    "'",
    "set K1 rating 3 A",
)
LETTERS = "aKZ19 .,:;\"'\\-#=[](){}/\u00e9\u03a9\u706f\u200d\U0001f4a1"
FORBIDDEN = ("", " ", "\n", "a\tb", "a\u202eb", "\ud800", "\x1b[2J", "a\u2028b", "x" * 61, "\0", "\u200d")
words = st.one_of(
    st.sampled_from(WORDS), st.sampled_from(WORDS), st.text(LETTERS, min_size=1, max_size=8).filter(str.strip)
)
texts = st.integers(0, 99).flatmap(lambda chance: st.sampled_from(FORBIDDEN) if chance == 50 else words)
ambients = st.one_of(st.just(20.0), st.floats(-30, 85), st.integers(-31, 86))
names = words.filter(lambda text: ":" not in text)
SORTS = (
    MoveWire,
    SwapTerminals,
    LoseJoint,
    ReplacePart,
    SetAmbient,
    SetValue,
    AddWire,
    RemoveWire,
    AddPart,
    RemovePart,
    AddControl,
    FrameOn,
    MovePart,
    Hold,
    Short,
    Rename,
    RenameControl,
    RemoveControl,
    SetRule,
    SetTitle,
    Lift,
)
CHOICES = {
    "contact": ("changeover", "make", "dual"),
    "suppression": ("none", "resistor", "diode"),
    "type": TYPES,
    "worked_by": ("hand", "key", "pedal", "pressure"),
    "light": ("red", "amber", "white"),
}


@st.composite
def controls(draw):
    positions = draw(st.lists(texts, min_size=2, max_size=4, unique=True))
    return Control(draw(texts), positions, draw(st.one_of(st.just(()), st.permutations(positions))))


@st.composite
def values(draw, record, field):
    """Draw a value for one field of a part: often allowed, never of another sort."""
    if field.name in CHOICES:
        return draw(st.sampled_from(CHOICES[field.name]))
    if isinstance(field.default, bool):
        return draw(st.booleans())
    if isinstance(field.default, int):
        return draw(st.integers(1, 6))
    if field.default is None:      # a temperature, or none of its own
        return draw(st.one_of(st.none(), st.floats(-60, 200), st.integers(-9, 9)))
    if isinstance(field.default, float):
        near = 10.0 if field.default in (0.0, float("inf")) else field.default
        return draw(st.one_of(st.floats(near / 2, near * 2), st.just(near), st.integers(1, 9)))
    return draw(texts)


def _plain_fields(record):
    return [
        field for field in fields(record) if field.name not in ("name", "control", "closes", "start", "end", "colour")
    ]


@st.composite
def parts(draw, moved, record=None, name=None):
    record, name = record or draw(st.sampled_from(list(KINDS.values()))), name or draw(names)
    given = {
        field.name: draw(values(record, field))
        for field in draw(
            st.lists(st.sampled_from(_plain_fields(record)), max_size=3, unique_by=lambda each: each.name)
        )
    }
    if record is Switch:
        control = draw(st.sampled_from(moved))
        pairs = st.lists(st.tuples(names, names), min_size=1, max_size=2)
        given |= {
            "control": control.name,
            "closes": draw(st.dictionaries(st.sampled_from(control.positions), pairs, min_size=1, max_size=2)),
        }
    return record(name, **given)


@st.composite
def wires(draw, ends, name=None):
    start, end = draw(st.lists(st.sampled_from(ends), min_size=2, max_size=2, unique=True))
    given = {
        field.name: draw(values(Wire, field))
        for field in draw(st.lists(st.sampled_from(_plain_fields(Wire)), max_size=2, unique_by=lambda each: each.name))
    }
    colour = draw(st.sampled_from(("", *COLOURS, "RDBU")))
    return Wire(name or draw(names), start, end, colour, **given)


@st.composite
def arrangements(draw):
    """Draw a small arrangement; making it may be refused, with an error of the kit."""
    moved = draw(st.lists(controls(), min_size=1, max_size=2, unique_by=lambda control: control.name))
    own = iter(draw(st.lists(names.filter(lambda name: name not in ("G1", "X1")), min_size=6, max_size=6, unique=True)))
    made = [
        Battery("G1"),
        draw(parts(moved, Lamp, next(own))),
        draw(parts(moved, Switch, next(own))),
        draw(parts(moved, None, next(own))),
        Chassis("X1", 3),
    ]
    ends = [f"{part.name}:{terminal}" for part in made for terminal in part.terminals]
    joined = [draw(wires(ends, next(own))) for _ in range(draw(st.integers(1, 3)))]
    lamps = [part.name for part in made if isinstance(part, Lamp)]
    places = st.dictionaries(st.sampled_from(moved), st.integers(0, 3), max_size=2)
    rule = [
        Wanted(
            draw(st.sampled_from(lamps)),
            draw(st.sampled_from(("steady", "flashing", "dark"))),
            {
                control.name: control.positions[place % len(control.positions)]
                for control, place in draw(places).items()
            },
        )
        for _ in range(draw(st.integers(0, 4)))
    ]
    held = {part.name: draw(st.sampled_from(part.states)) for part in made[1:2] if draw(st.booleans())}
    return Arrangement(
        draw(texts), moved, made, joined, rule, held, draw(st.sampled_from(("", "odd", *WORDS))), draw(texts), draw(ambients),
        draw(st.sampled_from(("minus", "minus", "plus")))
    )


@st.composite
def rules(draw, arrangement, part):
    """Draw what the rule is to say of a lamp or a terminal; it may say nothing."""
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    named = draw(st.sampled_from([*lamps, *(f"{part.name}:{end}" for end in part.terminals)]))
    looks = ("live", "flashing", "dead") if ":" in named else ("steady", "flashing", "dark")
    when = st.lists(st.sampled_from(arrangement.controls), max_size=2, unique=True) if arrangement.controls else st.just([])
    lines = [(draw(st.sampled_from(looks)), tuple((each.name, draw(st.sampled_from(each.positions))) for each in draw(when)))
             for _ in range(draw(st.integers(0, 3)))]
    return SetRule(named, tuple(lines))


@st.composite
def changes(draw, arrangement):
    """Draw one change of any sort; making or applying it may be refused, with an error of the kit."""
    ends, names = arrangement.terminals, [part.name for part in arrangement.parts]
    wire = draw(st.sampled_from(arrangement.wires or (Wire("none", "a:1", "b:1"),)))
    part = arrangement.part(draw(st.sampled_from(names)))
    sort = draw(st.sampled_from(SORTS))
    end = st.sampled_from(ends)
    if sort is MoveWire:
        return MoveWire(wire.name, draw(st.sampled_from(wire.terminals)), draw(end))
    if sort is SwapTerminals:
        return SwapTerminals(draw(end), draw(end))
    if sort is LoseJoint:
        return LoseJoint(
            wire.name, draw(st.sampled_from(wire.terminals)), draw(st.sampled_from((float("inf"), 0.5, 3e-3, 1e5)))
        )
    if sort is ReplacePart:
        record = LedLamp if type(part) is Lamp else type(part)
        return ReplacePart(draw(parts(arrangement.controls, record, part.name)))
    if sort is SetAmbient:
        return SetAmbient(draw(ambients))
    if sort is SetValue:
        thing = draw(st.sampled_from((part, wire)))
        field = draw(st.sampled_from([field for field in fields(thing) if field.name not in ("name", "start", "end")]))
        value = {field.name: draw(values(type(thing), field))}
        if field.name == "closes":
            value = {"closes": draw(parts(arrangement.controls, Switch)).closes}
        return SetValue(thing.name, field.name, value[field.name])
    if sort is AddWire:
        return AddWire(draw(wires(ends)))
    if sort is RemoveWire:
        return RemoveWire(wire.name)
    if sort is AddPart:
        return AddPart(draw(parts(arrangement.controls)))
    if sort is RemovePart:
        return RemovePart(part.name)
    if sort is AddControl:
        return AddControl(draw(controls()))
    if sort is MovePart:
        return MovePart(part.name, draw(st.floats(0, 2000)), draw(st.floats(0, 2000)))
    if sort is FrameOn:
        return FrameOn(draw(st.sampled_from(("minus", "plus"))))
    if sort is Hold:
        states = arrangement.control(part.control).positions if isinstance(part, Switch) else part.states
        return Hold(part.name, draw(st.sampled_from(states)))
    if sort is Short:
        return Short(draw(end), draw(st.one_of(end, st.just("X1"))), draw(st.sampled_from((0.01, 2.5, 1e5))))
    if sort is Rename:
        return Rename(draw(st.sampled_from((part.name, wire.name))), draw(texts))
    if sort in (RenameControl, RemoveControl) and arrangement.controls:
        control = draw(st.sampled_from(arrangement.controls)).name
        return RenameControl(control, draw(texts)) if sort is RenameControl else RemoveControl(control)
    if sort is SetRule:
        return draw(rules(arrangement, part))
    if sort is SetTitle:
        return SetTitle(draw(texts))
    return Lift(draw(end))
