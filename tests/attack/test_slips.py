"""The commonest slips of a hand, in every maker of parts and records: each ends in one sentence of the kit."""

import inspect
from dataclasses import replace
from decimal import Decimal
from math import inf, nan

import pytest

import circuitlab as cl
from circuitlab import arrangements
from circuitlab.arrangements import Arrangement, Wanted, arrangement, read_text, write_text
from circuitlab.ground.arguments import checked
from circuitlab.ground.errors import ArrangementError, CircuitLabError, PartError, shown
from circuitlab.ground.limits import wrong_with_text
from circuitlab.ground.quantities import read_quantity
from circuitlab.parts import Battery, Control, Part, Switch, Wire, catalogue
from circuitlab import parts as kinds

MAKERS = {  # maker: a call that is right
    **{
        getattr(kinds, name): {"name": "P1"}
        for name in kinds.__all__
        if name not in ("Branch", "JOINT", "KINDS", "Part", "Role")
    },
    Control: {"name": "key", "positions": ("off", "on")},
    Wire: {"name": "W1", "start": "G1:+", "end": "P1:1"},
    Switch: {"name": "P1", "control": "key", "closes": {"on": [("1", "2")]}},
    kinds.FuseBlock: {"name": "P1", "ways": "10 A, spare"},
    kinds.DistributionBlock: {"name": "P1", "bars": "30: 4"},
    kinds.toggle: {"name": "P1", "control": "key"},
    kinds.hazard_switch: {"name": "P1", "joins": [("L", "R")]},
    Wanted: {"lamp": "E1", "look": "steady", "when": {"key": "on"}},
    Arrangement: {"title": "one", "parts": [Battery("G1")]},
    catalogue.bulb: {"name": "P21W"},
    catalogue.lamp: {"name": "P1", "bulb_name": "P21W"},
    catalogue.relay: {"name": "P1", "kind": "mini 85 ohm"},
    catalogue.fuse: {"name": "P1", "kind": "7.5 A"},
    catalogue.fuse_colour: {"kind": "15 A"},
    catalogue.flasher: {"name": "P1", "kind": "thermal fixed load"},
    catalogue.diode: {"name": "P1", "kind": "1N4007"},
    catalogue.led_lamp: {"name": "P1"},
    catalogue.load_resistor: {"name": "P1"},
    catalogue.near_names: {"name": "P21W"},
    catalogue.carries: {"area": 1.5, "table_name": "chassis wiring"},
    catalogue.largest_fuse: {"area": 1.5},
    catalogue.greatest_resistance: {"area": 1.5},
    catalogue.table: {"name": "lamps"},
    arrangement: {"name_or_file": "one-fused-lamp"},
    read_quantity: {"text": "12 V", "unit": "V"},
    cl.changes.read_change: {"sentence": "blow F1", "arrangement": cl.arrangement("one-fused-lamp")},
    cl.MoveWire: {"wire": "W2", "source": "S1:1", "target": "X1:2"},
    cl.SwapTerminals: {"first": "F1:1", "second": "F1:2"},
    cl.LoseJoint: {"wire": "W2", "terminal": "S1:1", "resistance": 2.0},
    cl.Hold: {"part": "F1", "state": "blown"},
    cl.changes.ReplacePart: {"part": cl.Fuse("F1", 3)},
    cl.changes.FrameOn: {"pole": "plus"},
    cl.changes.AddPart: {"part": cl.Fuse("F9", 3)},
    cl.changes.RemovePart: {"part": "E1"},
    cl.SetValue: {"part": "F1", "field": "rating", "value": 3.0},
    cl.AddWire: {"wire": Wire("W9", "S1:1", "E1:1")},
    cl.RemoveWire: {"wire": "W2"},
    cl.changes.AddControl: {"control": Control("key", ("off", "on"))},
    cl.changes.Lift: {"terminal": "F1:1"},
    cl.changes.Short: {"first": "F1:1", "second": "E1:1", "resistance": 1.0},
    cl.rules.Rule: {"sentences": ("E1: dark",), "words": {"go": ("key on",)}},
    arrangements.NamedChange: {"name": "one", "steps": (cl.Hold("F1", "blown"),)},
    cl.rule: {"name_or_text": "E1: dark"},
    read_text: {"text": write_text(cl.arrangement("one-fused-lamp"))},
    cl.sizing.awg_to_mm2: {"gauge": 18},
}
MAKERS = {checked(maker): right for maker, right in MAKERS.items()}      # as the public page gives them
SLIPS = (
    None,
    "",
    "words",
    "21 W",
    "12",
    7,
    -1,
    21.5,
    True,
    10**5000,
    nan,
    inf,
    1j,
    Decimal("1.5"),
    b"on",
    (),
    [],
    {},
    ["a"],
    ("on",),
    [["a", "b"]],
    [("a", "b", "c")],
    [("a", "b"), None],
    {"on": "12"},
    {"on": [("1", "2")]},
    {1: [("1", "2")]},
    {"on": [("1", 2)]},
    {"key": 1},
    {None},
    object(),
    int,
    "x" * 100_000,
    "9" * 5_000,
    "\n",
    "a\tb",
    "a\u202eb",
    "\ud800",
    "\0",
    "  ",
    "a:b",
    'a"b',
    [[[[[[[]]]]]]],
    Wire("W9", "G1:+", "P1:1"),
    Control("key", ("off", "on")),
)


def ends_in_a_sentence(counts, what, make):
    """Return what was made, or None where the kit refused it in a sentence that can be printed and read."""
    counts.tried += 1
    try:
        made = make()
    except CircuitLabError as error:
        assert str(error).endswith((".", "?")) and len(str(error)) < 3_000, str(error)
        assert not wrong_with_text(str(error).replace("\n", " "), 10_000), ascii(str(error))
        counts.refused += 1
        return None
    except Exception as error:  # whatever it is, it is no sentence
        pytest.fail(f"{what} ended in {type(error).__name__}: {error}")
    counts.held += 1
    return made


OURS = {"more", "unit", "where", "arrangement"}  # no words of a learner


def test_no_slip_in_a_call_ends_in_an_error_of_another_kind(counts):
    for maker, right in MAKERS.items():
        maker(**right)
        for name in sorted(set(inspect.signature(maker).parameters) - OURS):
            for slip in SLIPS:
                made = ends_in_a_sentence(counts, f"{maker.__name__}: {name}", lambda: maker(**right | {name: slip}))
                if isinstance(made, Part):
                    _is_written_and_read(made)
                if isinstance(made, cl.rules.Rule):
                    ends_in_a_sentence(
                        counts, "with_rule", lambda: cl.rules.with_rule(cl.arrangement("one-fused-lamp"), made)
                    )
                if hasattr(made, "apply"):
                    _is_said_and_read(counts, made)
    assert counts.tried > 8_000 and counts.held > 500


def test_a_call_with_too_little_too_much_or_what_nobody_knows_is_answered_in_words(counts):
    for maker, right in MAKERS.items():
        if maker.__module__.startswith("circuitlab.parts"):
            for call in (
                lambda: maker(*["x"] * 40),
                lambda: maker(**right, colour_of_the_sky="blue"),
                lambda: maker(*right.values(), **right),
                lambda: maker(*[None] * 3),
                lambda: maker(),
            ):
                assert ends_in_a_sentence(counts, maker.__name__, call) is None, maker


def _is_said_and_read(counts, change):
    """A change that was taken with an odd value is made or refused, and then says itself so that it is read back."""
    circuit = cl.arrangement("one-fused-lamp")
    after = ends_in_a_sentence(counts, shown(change), lambda: change.apply(circuit))
    if after is not None:
        assert cl.changes.read_change(str(change), circuit).apply(circuit) == after, str(change)


def _is_written_and_read(part):
    """A part that was taken with an odd value must come back from a file as well."""
    controls = [Control("key", ("off", "on")), Control("lever", ("off", "left", "right"))]
    try:
        if isinstance(part, Wire):
            circuit = Arrangement(
                "one", controls, [Battery("G1"), Battery("P1")], [replace(part, start="G1:+", end="P1:+")]
            )
        else:
            circuit = Arrangement("one", controls, [Battery("G9"), part])
    except CircuitLabError:
        return
    assert read_text(write_text(circuit)) == circuit


@pytest.mark.parametrize(
    "make, error, words",
    [
        (
            lambda: cl.Lamp("E1", 21),
            PartError,
            r"lamp 'E1': 21 alone behind the name would be its volts. If its watts are meant, write Lamp\('E1', watts=21\)",
        ),
        (lambda: cl.Lamp("E1", "21 W"), PartError, r"write Lamp\('E1', watts='21 W'\)"),
        (lambda: cl.LedLamp("E1", 3), PartError, r"LED lamp 'E1': 3 alone behind the name.*LedLamp\('E1', watts=3\)"),
        (
            lambda: cl.Control("key", ("on")),
            ArrangementError,
            r"control 'key': positions='on' is one text, not a list.*with a comma between them, such as \('off', 'on'\)",
        ),
        (
            lambda: cl.Control("key", None),
            ArrangementError,
            r"positions must be a list of positions such as .*, got None",
        ),
        (
            lambda: cl.Control("key"),
            PartError,
            r"a Control needs 'positions', which is not given. Write Control\('NAME', \('off', 'on'\)\)",
        ),
        (
            lambda: cl.toggle("S3", "turn lever", ["left", "right"]),
            PartError,
            r"switch 'S3': 'left' and 'right' are taken for its two terminals.*write turn_lever\('S3'\) or Switch",
        ),
        (
            lambda: cl.toggle("S3", "turn lever", "12"),
            PartError,
            r"terminals must be a pair of terminals in quotes.*got '12'",
        ),
        (
            lambda: cl.catalogue.turn_lever("S3", poles=("49a", "L", "R")),
            PartError,
            r"poles must be a list of \(common, left, right\)",
        ),
        (
            lambda: cl.catalogue.plunger_stop_switch("S2", closed_in="held"),
            PartError,
            r"closed_in must be a list of positions such as \('held',\)",
        ),
        (lambda: cl.Lamp(), PartError, r"a lamp needs 'name', which is not given. Write Lamp\('NAME'\)"),
        (lambda: cl.Lamp(watts=21), PartError, r"a lamp needs 'name'"),
        (lambda: cl.Lamp(21), PartError, r"a part cannot be named 21. Use letters and a number, such as E1"),
        (lambda: cl.Lamp("E1", wats=21), cl.CircuitLabError, r"a lamp has no value 'wats'.*Did you mean 'watts'"),
        (lambda: cl.Lamp("E1", 13.5, 21, volts=12), PartError, r"a lamp is given its 'volts' twice"),
        (lambda: cl.Fuse("F1", 5, "", "", "blade", 1), PartError, r"a fuse takes 5 values at most, got 6"),
        (lambda: cl.Splice("X1", 10**5000), PartError, r"ways must be 2 to 24, got an int too large to write out"),
        (lambda: cl.Fuse("F1", 10**5000), PartError, r"rating must be between 0.1 and 500 A, got an int too large"),
        (lambda: cl.Relay("K1", ["make"]), PartError, r"contact must be changeover, make or dual, got \['make'\]"),
        (
            lambda: cl.Lamp("E\n1"),
            PartError,
            r"a part cannot be named 'E\\n1'.*holds a line break \(U\+000A\) at place 2",
        ),
        (
            lambda: cl.Lamp("E1", place="left\u202e"),
            PartError,
            r"place holds a letter that is not seen \(U\+202E\) at place 5",
        ),
        (lambda: cl.Lamp("E1", note="\ud800"), PartError, r"note holds half of a letter \(U\+D800\)"),
        (
            lambda: cl.Arrangement("a\x1b[2J", parts=[Battery("G1")]),
            ArrangementError,
            r"title holds a control character",
        ),
        (lambda: cl.Control("key", ("off", "o\u2028n")), ArrangementError, r"position 'o\\u2028n' holds a line break"),
        (lambda: cl.Switch("S1", "key", {"on": [("a:b", "c")]}), PartError, r"terminal 'a:b' holds a colon"),
    ],
)
def test_a_common_slip_is_named_with_the_next_step(make, error, words):
    with pytest.raises(error, match=words):
        make()


def test_a_switch_whose_position_its_control_does_not_have_is_named():
    with pytest.raises(
        CircuitLabError, match="switch 'S1' closes with 'lever' in 'on', but control 'lever' has no position 'on'"
    ):
        Arrangement("one", [Control("lever", ("off", "left"))], [Battery("G1"), cl.toggle("S1", "lever")])


def test_two_numbers_and_named_values_still_make_lamps():
    assert cl.Lamp("E1", 12.8, 26.9) == cl.Lamp("E1", volts=12.8, watts=26.9)
    assert cl.Lamp("E1", volts=12.0) == cl.Lamp("E1", "12 V") == cl.Lamp("E1").with_value("volts", 12.0)
