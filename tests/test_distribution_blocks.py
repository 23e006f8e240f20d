"""The distribution block: bars that lie apart, studs, what a bar may carry, its cover, in lists and drawings."""

import re

import pytest

import circuitlab as cl
from circuitlab.arrangements import Arrangement, changed, read_change, read_text, write_text
from circuitlab.arrangements.apart import Apart
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.ground.errors import ArrangementError, CircuitLabError, PartError, UnknownName
from circuitlab.parts import Battery, DistributionBlock, Fuse, Resistor, Splice, Wire
from circuitlab.reasoning.why import why
from circuitlab.views.attached import lay_out_attached
from circuitlab.views.schematic import lay_out


def fed(bars="30: 4, 31: 4", loads=(6.0, 12.0), **block):
    """Return two loads behind fuses, plus and minus brought to them by one block with two bars."""
    parts = [Battery("G1", 12.6, 0.02), DistributionBlock("X4", bars, **block)]
    pairs = [("G1:+", "X4:1"), ("X4:5", "G1:-")]
    for number, ohms in enumerate(loads, 1):
        parts += [Fuse(f"F{number}", 15.0), Resistor(f"R{number}", ohms)]
        pairs += [(f"X4:{1 + number}", f"F{number}:1"), (f"F{number}:2", f"R{number}:1"), (f"R{number}:2", f"X4:{5 + number}")]
    return Arrangement("fed by a block", parts=parts, wires=[Wire(f"W{number}", *pair, "RD", 0.3) for number, pair in enumerate(pairs, 1)])


FED = fed()


@pytest.mark.parametrize(("bars", "says"), [
    ("30: 1", "bar 30 needs at least 2 studs"), ("30 4", "Write each bar with the number of its studs"), ("99: 4", "no bar '99'. It has: 30, 15, 58, 75, 31"),
    ("30: 13, 31: 12", "at most 24 studs, got 25"), ("", "bars has ''"), (3, "bars must be text"), ("30: 4, 30: 3", "bar 30 is given twice"), ("30: -2", "bars has '30: -2'")])
def test_bars_that_cannot_be_are_refused_in_a_sentence_that_names_the_block(bars, says):
    with pytest.raises(CircuitLabError, match=says) as error:
        DistributionBlock("X4", bars)
    assert "'X4'" in str(error.value) and isinstance(error.value, PartError | UnknownName)


def test_its_studs_are_numbered_on_from_bar_to_bar_and_stand_so_in_a_file():
    assert DistributionBlock("X4", "6").bars == "30: 6" and FED.part("X4").studs == {"30": ("1", "2", "3", "4"), "31": ("5", "6", "7", "8")}
    assert read_text(write_text(FED)) == FED
    more = changed(FED, read_change('set X4 bars "30: 4, 31: 6"', FED))
    assert more.part("X4").terminals[-1] == "10" and changed(FED, read_change("set X4 rated amps 60 A", FED)).part("X4").rated_amps == 60.0
    with pytest.raises(UnknownName, match="wire 'W8' goes to 'X4:7', but distribution block 'X4' has no terminal '7'"):
        changed(FED, read_change('set X4 bars "30: 4, 31: 2"', FED))


def test_its_bars_are_apart_and_all_studs_of_one_are_joined():
    """By Ohm's law: 12.6 V over what lies in a row; copper 0.017241 ohm mm2/m (IEC 60028), 1 mohm a joint and a stud, 4.7 mohm a fuse of 15 A."""
    point = cl.operating_point(FED)
    wire = 0.002 + 0.017241 * 0.3
    stud, fuse = 0.001, 0.0047
    ways = [ohms + fuse + 3 * wire + 2 * stud for ohms in (6.0, 12.0)]
    amps = 12.6 / (0.02 + 2 * wire + 2 * stud + 1 / sum(1 / each for each in ways))
    assert point.current("W1") == pytest.approx(amps, rel=1e-9)
    assert point.volts("X4:1") - point.volts("X4:5") > 12.4 and FED.cautions() == ()
    assert abs(point.volts("X4:4") - point.volts("X4:1")) < 0.01 and abs(point.volts("X4:8") - point.volts("X4:5")) < 0.01


def test_in_the_place_of_a_splice_all_looks_are_the_same():
    cart = cl.arrangement("shared-filament-four-relays")
    for splice in cart.of_kind(Splice):
        there = cart.with_parts(DistributionBlock(splice.name, f"30: {splice.ways}", place=splice.place))
        for one, other in zip(cl.lamp_table(cart).rows, cl.lamp_table(there).rows, strict=True):
            assert [cell.look for cell in one.cells.values()] == [cell.look for cell in other.cells.values()]
        assert cl.prove(there).is_proved and there.cautions() == cart.cautions()


def test_a_wire_on_another_stud_of_its_bar_is_where_it_was_and_on_the_other_bar_it_was_moved():
    same, other = (changed(FED, read_change(f"move W3 from X4:2 to X4:{stud}", FED)) for stud in (4, 8))
    assert "on another terminal of the same splice or chassis: wire W3 X4:2 to X4:4" in str(cl.compare(FED, same))
    assert "moved: wire W3, still on F1:1, from X4:2 to X4:8" in str(cl.compare(FED, other))
    assert cl.operating_point(same).current("R1") == pytest.approx(cl.operating_point(FED).current("R1"), rel=1e-9)
    assert cl.operating_point(other).current("R1") == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(("amps", "told"), [(9.0, False), (3.0, True)])
def test_what_flows_over_a_bar_is_held_to_what_is_printed_on_it(amps, told):
    """2.1 and 1.05 A come to 3.1 A over each bar."""
    circuit = fed(rated_amps=amps)
    point = cl.operating_point(circuit)
    said = [words for words in point.overheated if "X4" in words]
    assert bool(said) == told and all(re.match(r"X4 carries 3\.1\d A over its bar 3[01], made for 3 A for long: it gets too hot", words) for words in said)
    assert len(said) == 2 * told
    broken = [each for each in cl.size(circuit).broken if each.part == "X4" and each.rule == "the bar carries the load"]
    assert bool(broken) == told and all(each.value == pytest.approx(3.13, rel=0.02) for each in broken)
    assert len(broken) == len({each.sentence for each in broken}) == 2 * told, "each bar once, through however many studs all of it goes"
    assert bool([each for each in cl.lamp_table(circuit).overheated if "X4" in each]) == told


def test_what_comes_in_by_two_studs_counts_together():
    block = DistributionBlock("X4", "30: 4", rated_amps=50.0)
    assert block.overheated([30.0, 15.0, -45.0, 0.0]) == ()
    (words,) = block.overheated([30.0, 25.0, -25.0, -30.0])
    assert words == "X4 carries 55.0 A over its bar 30, made for 50 A for long: it gets too hot for its housing"


def test_without_its_cover_a_caution_says_what_a_spanner_does():
    (words,) = fed(cover=False).cautions()
    assert "has no cover" in words and "Supply off before anyone works there" in words
    assert changed(fed(cover=False), read_change(words.rpartition(": ")[2], FED)).cautions() == ()


def test_it_stays_in_its_place_and_each_bar_is_told():
    with pytest.raises(ArrangementError, match="distribution block 'X4' stays where it is"):
        Apart(FED).without("X4")
    said = str(why(cl.operating_point(FED), "X4"))
    assert "X4 30 has 12." in said and "X4 31 has 0.0" in said


def test_sheet_and_connection_list_name_bars_amps_and_spare_studs():
    page = build_sheet(FED)
    assert "distribution block, 100 A, bar 30 with 4 studs, bar 31 with 4 studs, with cover" in page
    assert "X4: bar 30 is studs 1 to 4, spare 4; bar 31 is studs 5 to 8, spare 8." in page
    chart = page.partition("X4: to glue on its lid")[2] or page.partition("to glue on its lid")[2]
    cells = [re.sub("<[^>]*>", " ", row).split() for row in chart.partition("<tbody>")[2].partition("</table>")[0].split("</tr>")[:-1]]
    assert [row[:2] for row in cells] == [["30", str(stud)] for stud in range(1, 5)] + [["31", str(stud)] for stud in range(5, 9)]
    for bar, stud, *rest in cells:
        wires = FED.wires_at[f"X4:{stud}"]
        assert rest[0] == (wires[0] if wires else "no")
    full = changed(FED, read_change("add wire W9 from X4:4 to F2:1 RD 1 m 1 mm2", FED))
    assert "X4: bar 30 is studs 1 to 4, none spare; bar 31" in build_sheet(full)


def test_each_bar_is_a_line_of_its_own_in_paths_and_one_block_for_the_builder():
    sheet, attached = lay_out(FED), lay_out_attached(FED)
    bars = {metal.key: metal for metal in sheet.metals if metal.part == "X4"}
    assert {key: metal.terminals for key, metal in bars.items()} == {
        "X4.30": ("X4:1", "X4:2", "X4:3", "X4:4"), "X4.31": ("X4:5", "X4:6", "X4:7", "X4:8")}
    assert bars["X4.30"].lines[0][1] < bars["X4.31"].lines[0][1]
    assert {label.text for label in sheet.labels if label.owner.startswith("X4.")} == {"X4 30 free: 4", "X4 31 free: 8"}
    assert [block.part for block in attached.blocks].count("X4") == 1
    planned = FED.planned()
    assert lay_out(planned).spots == sheet.spots and {key for key, *_ in planned.plan.schematic} >= {"X4.30", "X4.31"}
