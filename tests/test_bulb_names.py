"""The name of a bulb is its data: in Python, in a file, in a typed change."""

from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import read_text, write_text
from circuitlab.ground.errors import PartError, UnknownName
from circuitlab.parts import Lamp, LedLamp
from circuitlab.parts.catalogue import bulbs, table

LOOP = cl.arrangement("one-fused-lamp")


def from_file(lines):
    """Return the lamp of the kit's loop, its lines in the file written anew."""
    text = write_text(LOOP)
    head, _, rest = text.partition("[parts.E1]\n")
    return read_text(f"{head}[parts.E1]\nkind = \"lamp\"\n{lines}\n\n[{rest.partition(chr(10) + '[')[2]}").part("E1")


def figures(lamp):
    return lamp.volts, lamp.watts, lamp.bulb, lamp.light


@pytest.mark.outside("UN Regulation 37 and US trade number lists, from memory: watts at test volts; P21/5W: 97/24/EC")
@pytest.mark.parametrize("name, wanted", [
    ("R5W", (13.5, 5.5, "R5W", "red")), ("PY21W", (13.5, 26.5, "PY21W", "amber")),
    ("1156", (12.8, 26.9, "1156", "red")), ("P21W 24 V", (28.0, 29.7, "P21W 24 V", "red")),
    ("P21/5W", (13.5, 26.5, "P21/5W", "red"))])
def test_a_name_alone_brings_its_figures(name, wanted):
    assert figures(Lamp("E1", bulb=name)) == wanted
    assert figures(from_file(f'bulb = "{name}"')) == wanted
    typed = cl.changed(LOOP, cl.changes.read_change(f'set E1 bulb "{name}"', LOOP)).part("E1")
    assert figures(typed)[:3] == wanted[:3] and typed.light in ("amber", LOOP.part("E1").light)
    replaced = cl.changed(LOOP, cl.changes.read_change(f'replace E1 by new lamp, bulb "{name}"', LOOP)).part("E1")
    assert figures(replaced) == wanted


@pytest.mark.parametrize("name", list(dict.fromkeys(one.name for one in bulbs() if one.rated_volts == 12)))
def test_a_name_typed_for_a_new_lamp_in_the_old_ones_place_brings_its_figures_as_one_typed_with_set_does(name):
    """Whether the old lamp was a bulb by name or one with figures of its own."""
    for circuit in (LOOP, cl.changed(LOOP, cl.SetValue("E1", "watts", 8.0))):
        made = [cl.changes.read_change(f"{words} bulb {name}", circuit).apply(circuit).part("E1")
                for words in ("replace E1 by lamp,", "set E1")]
        assert figures(made[0]) == figures(made[1]) and made[0].bulb == name


def test_the_filament_of_two_is_told_by_its_watts():
    assert figures(from_file('bulb = "1157"\nwatts = 8.26')) == (14.0, 8.26, "1157", "red")
    assert figures(Lamp("E1", bulb="P21/5W", watts="6 W")) == (13.5, 6.0, "P21/5W", "red")


@pytest.mark.parametrize("make, words", [
    (lambda: Lamp("E1", bulb="R5W", watts=26.5),
     r"^lamp 'E1': bulb R5W draws 5 to 5.5 W at 13.5 V, and it is said to draw 26.5 W at 13.5 V. Give the name alone"),
    (lambda: from_file('bulb = "P21W"\nwatts = 5.0'), r"bulb P21W draws 21 to 26.5 W at 13.5 V, and it is said to draw 5 W"),
    (lambda: Lamp("E1", 28.0, 29.7, "P21W"), r"said to draw 29.7 W at 28 V"),
    (lambda: Lamp("E1", bulb="WY5W", light="white"), r"bulb WY5W has amber glass and cannot show white"),
    (lambda: from_file('bulb = "PY21W"\nlight = "red"'), r"bulb PY21W has amber glass and cannot show red")])
def test_a_name_and_other_figures_contradict_in_one_sentence(make, words):
    with pytest.raises(PartError, match=words):
        make()


@pytest.mark.parametrize("make", [lambda: Lamp("E1", bulb="R6W"), lambda: from_file('bulb = "R6W"'),
                                  lambda: cl.changes.read_change("set E1 bulb R6W", LOOP),
                                  lambda: cl.changes.read_change("add part E9 lamp, bulb R6W, watts 5 W", LOOP)])
def test_a_name_that_no_table_has_is_answered_with_those_there_are(make):
    with pytest.raises(UnknownName, match=r"the kit's catalogue has no bulb 'R6W'. It has: .*Did you mean 'R"):
        make()


def test_figures_of_ones_own_need_no_name_and_lose_one_that_is_not_theirs():
    assert figures(Lamp("E1", watts=5)) == (13.5, 5, "", "red")
    assert figures(Lamp("E1", watts=25)) == (13.5, 25, "P21W", "red"), "what a P21W may draw"
    typed = cl.changed(LOOP, cl.changes.read_change("set E1 watts 5 W", LOOP)).part("E1")
    assert (typed.watts, typed.bulb) == (5.0, "")
    assert LedLamp("E1", bulb="whatever is printed on it").bulb.startswith("whatever")


@pytest.mark.in_turn(7)
@pytest.mark.parametrize("one", bulbs(), ids=lambda one: f"{one.name} {one.filament} {one.rated_volts:g} V")
def test_every_bulb_survives_a_file_and_a_sentence(one):
    """With the figures of the table and with others that its name allows."""
    whole = cl.catalogue.lamp("E1", one.name, None if one.filament == "single" else one.filament, one.rated_volts)
    for lamp in (whole, replace(whole, watts=0.97 * whole.watts), replace(whole, volts=1.01 * whole.volts)):
        board = LOOP.with_parts(lamp)
        assert read_text(write_text(board), board.name) == board
        said = str(cl.changes.ReplacePart(lamp))
        assert cl.changed(LOOP, cl.changes.read_change(said, LOOP)) == board


@pytest.mark.outside("UN Regulation 37, from memory: W21W 460 lm, W5W 50 lm +-20 % at 13.5 V; lamp rerating, light U^3.4")
@pytest.mark.parametrize("name, flux", [("7440", 460), ("2825", 50)])
def test_a_us_number_for_a_unece_bulb_gives_its_light_at_the_same_volts(name, flux):
    one = cl.catalogue.bulb(name)
    assert one.flux * (13.5 / one.volts) ** 3.4 == pytest.approx(flux, rel=0.20)


READ = {"P21/5W", "PY21/5W", "1157", "2057", "1034", "2357", "2397", "1003"}   # in a copy of the sheet or list
TOLD = {"912", "chassis wiring"}                                              # in a page that summarises
STRONG = {"fuses": {"blade", "maxi blade", "torpedo"}, "fuse_gates": {"maxi blade"}, "diodes": set(),
          "wire_resistance": {"IEC 60228 class 1 and 2", "IEC 60228 class 5", "IEC 60228 class 5 tinned"},
          "ampacity": {"free air, 60 C insulation", "free air, 90 C insulation"}, "leds": set(),
          "fuse_for_wire": set(), "lamps": READ}


@pytest.mark.parametrize("name", STRONG)
def test_no_mark_is_stronger_than_what_was_read(name):
    """The list of what was read in a copy is kept here, apart from the tables."""
    for row in table(name):
        key = next(iter(row.values()))
        assert row["mark"] != "verified" or key in STRONG[name], row
        assert row["mark"] != "secondary" or key in STRONG[name] | TOLD, row


@pytest.mark.parametrize("value", [1e300, 10**400, -5, 0, float("nan"), float("inf"), True, None, [21], "much", "5 A"])
@pytest.mark.parametrize("field", ["volts", "watts", "bulb"])
def test_whatever_is_given_for_a_figure_or_a_name_ends_in_one_sentence(field, value):
    for more in ({}, {"bulb": "1157"} if field != "bulb" else {"watts": 5.0}):
        with pytest.raises(cl.CircuitLabError) as caught:
            Lamp("E1", **{field: value} | more)
        assert "\n" not in str(caught.value)
