"""The fuse block: its ways and rails, what of it a hand, a file and a sentence may do, and that it does what separate fuses do."""

import re
from dataclasses import replace

import pytest

import circuitlab as cl
from circuitlab.arrangements import Arrangement, ReplacePart, changed, read_change, read_text, write_text
from circuitlab.arrangements.apart import Apart
from circuitlab.arrangements.counterparts import counterparts
from circuitlab.arrangements.mirrored import mirror
from circuitlab.benches.board.desk import Desk
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.ground.errors import ArrangementError, CircuitLabError, PartError, UnknownName
from circuitlab.parts import Battery, Chassis, Control, Fuse, FuseBlock, Lamp, Resistor, Switch, Wire
from circuitlab.parts.distribution import BARS
from circuitlab.parts.fuse_block import RAILS
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.faults.catalogue import ODDS
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.why import why
from circuitlab.views.attached import lay_out_attached
from circuitlab.views.board.words import told_of
from circuitlab.views.schematic import lay_out

from test_paths_stand import Board as InPaths
from test_wired_and_still import Board as Attached

CARTS = ("shared-filament-four-relays", "separate-filaments", "shared-filament-four-relays-hazard", "tail-and-stop-two-filaments")


def in_one_block(cart, name="F9"):
    """Return a cart with one block in the place of the fuses at the battery, and what each fuse is called there."""
    fed = {wire.end for wire in cart.wires if wire.start == "G1:+"}
    fuses = [fuse for fuse in cart.of_kind(Fuse) if f"{fuse.name}:1" in fed]
    moved = {f"{fuse.name}:1": f"{name}:30" for fuse in fuses} | {f"{fuse.name}:2": f"{name}:{way}" for way, fuse in enumerate(fuses, 1)}
    wires = [replace(wire, start=moved.get(wire.start, wire.start), end=moved.get(wire.end, wire.end)) for wire in cart.wires]
    feeds = [wire for wire in wires if wire.end == f"{name}:30"]
    block = FuseBlock(name, ", ".join(f"{fuse.rating:g} A" for fuse in fuses), place="beside the battery")
    parts = [block, *(part for part in cart.listed if part not in fuses)]
    return replace(cart, parts=parts, wires=[wire for wire in wires if wire not in feeds[1:]], plan=type(cart.plan)()), {
        fuse.name: f"{name}.{way}" for way, fuse in enumerate(fuses, 1)}


def split(**more):
    """Return a circuit with a split block: the brake lamp on the battery, the tail lamp behind the key, a spare way on each rail."""
    parts = [Battery("G1"), FuseBlock("F5", "30: 10 A, 7.5 A, spare; 15: 5 A mini blade, spare", place="under the dash"), Chassis("X1", 4),
             Switch("S1", "key", {"on": [("30", "15")]}), Switch("S2", "pedal", {"held": [("1", "2")]}),
             Lamp("E1", place="rear left"), Lamp("E2", bulb="R5W", place="at the back")]
    pairs = [("G1:+", "F5:30"), ("F5:1", "S2:1"), ("S2:2", "E1:1"), ("F5:2", "S1:30"), ("S1:15", "F5:15"), ("F5:4", "E2:1"),
             ("E1:2", "X1:1"), ("E2:2", "X1:2"), ("X1:3", "G1:-")]
    wires = [Wire(f"W{number}", *pair, "RD", 0.3) for number, pair in enumerate(pairs, 1)]
    return Arrangement("a split block", [Control("key", ("off", "on")), Control("pedal", ("released", "held"))], parts, wires, **more)


SPLIT = split()
ON = {"key": "on", "pedal": "held"}


# ------------------------------------------------------------------ the part

@pytest.mark.parametrize(("written", "stands", "terminals"), [
    ("10 A,  15A, spare", "10 A, 15 A, spare", ("30", "1", "2", "3")), ("30: 7,5 A", "7.5 A", ("30", "1")),
    ("15: 10 A, SPARE", "15: 10 A, spare", ("15", "1", "2")),
    ("30:10 A , spare ;15: 30 A maxi blade", "30: 10 A, spare; 15: 30 A maxi blade", ("30", "15", "1", "2", "3")),
    ("10 A clips 0.5 ohm, 3 A torpedo clips open", "10 A clips 0.5 ohm, 3 A torpedo clips inf", ("30", "1", "2"))])
def test_its_ways_are_one_plain_line_and_stand_in_one_way(written, stands, terminals):
    block = FuseBlock("F5", written)
    assert (block.ways, block.terminals) == (stands, terminals) and FuseBlock("F5", stands) == block


@pytest.mark.parametrize(("ways", "says"), [
    ("", "nobody should guess a rating"), ("10 A, , spare", "way 2 says '', which gives no rating"), ("blade", "way 1 says 'blade'.*Write its amps"),
    ("spare, spare", "every way is spare"), (7, "must be text"), ("900 A", "rating of way 1 must be between 0.1 and 500 A"),
    ("10 A blad", "no family 'blad'.*Did you mean 'blade'"), ("31: 10 A", "no rail '31'. It has: 30, 15, 58, 75"),
    ("10 A; 15: 5 A", "which rail '10 A' hangs on is not said"), ("30: 5 A; 30: 10 A", "rail 30 is given twice"),
    (", ".join(13 * ["10 A"]), "at most 12 ways, got 13"), ("10 A clips -1 ohm", "clips of way 1 must be"), (400 * "10 A, ", "letters")])
def test_ways_that_cannot_be_are_refused_in_a_sentence_that_names_the_block(ways, says):
    with pytest.raises(CircuitLabError, match=says) as error:
        FuseBlock("F5", ways)
    assert "'F5'" in str(error.value) and isinstance(error.value, PartError | UnknownName)


@pytest.mark.outside("DIN 72552, from memory: 30 straight from battery plus, 15 switched plus behind the ignition switch, 58 side and tail lamps, 75 radio and "
                     "lighter, 31 ground")
def test_rails_and_bars_go_by_the_numbers_of_the_standard():
    assert RAILS == {"30": "battery", "15": "ignition", "58": "lighting", "75": "accessories"} and BARS == RAILS | {"31": "ground"}


def test_no_way_has_the_number_of_a_rail():
    assert not {*FuseBlock("F5", ", ".join(12 * ["1 A"])).numbers} & {"30", "15", "58", "75"}


# ------------------------------------------------------------------ in an arrangement

def test_its_fuses_have_names_of_their_own_and_are_no_parts_of_a_list():
    assert [fuse.name for fuse in SPLIT.of_kind(Fuse)] == ["F5.1", "F5.2", "F5.4"]
    assert [fuse.ends for fuse in SPLIT.part("F5").seats] == [("F5:30", "F5:1"), ("F5:30", "F5:2"), ("F5:15", "F5:4")]
    assert not any("." in part.name for part in SPLIT.listed) and not any(end.startswith("F5.") for end in SPLIT.terminals)
    assert read_text(write_text(SPLIT)) == SPLIT and 'ways = "30: 10 A, 7.5 A, spare; 15: 5 A mini blade, spare"' in write_text(SPLIT)
    assert SPLIT.cautions() == () and cl.size(SPLIT).arrangement == SPLIT


@pytest.mark.parametrize(("sentence", "ways"), [
    ("set F5.1 rating 15 A", "30: 15 A, 7.5 A, spare; 15: 5 A mini blade, spare"), ("set F5.4 family blade", "30: 10 A, 7.5 A, spare; 15: 5 A, spare"),
    ("set F5.2 clips 0.5 ohm", "30: 10 A, 7.5 A clips 0.5 ohm, spare; 15: 5 A mini blade, spare"),
    ("replace F5.2 by fuse, rating 3 A", "30: 10 A, 3 A, spare; 15: 5 A mini blade, spare"),
    ('set F5 ways "30: 10 A, 7.5 A, 3 A; 15: 5 A"', "30: 10 A, 7.5 A, 3 A; 15: 5 A")])
def test_one_fuse_is_changed_by_its_own_name_and_no_other(sentence, ways):
    change = read_change(sentence, SPLIT)
    after = changed(SPLIT, change)
    assert after.part("F5").ways == ways and changed(SPLIT, read_change(str(change), SPLIT)) == after == read_text(write_text(after))


@pytest.mark.parametrize("sentence", ["rename F5.1 F7", "remove F5.1 with its wires", "mark F5.2 not known"])
def test_what_a_fuse_in_a_block_cannot_have_done_to_it_is_said_with_what_can(sentence):
    with pytest.raises(ArrangementError, match=r"is the fuse in way [12] of F5\. Its rating, family and clips are set .* set F5 ways"):
        changed(SPLIT, read_change(sentence, SPLIT))


@pytest.mark.parametrize(("sentence", "says"), [
    ("set F5.1 place rear", "of F5.1 only rating, family and clips are its own"), ("set F5.9 rating 3 A", "no part 'F5.9'"),
    ("move W2 to F5:9", "fuse block 'F5' has no terminal '9'. It has: 30, 15, 1, 2, 3, 4, 5"),
    ('set F5 ways "30: 10 A; 15: 5 A"', "wire 'W6' goes to 'F5:4', but fuse block 'F5' has no terminal '4'"),
    ('set F5 ways "10 A, 7.5 A, spare, 5 A"', "wire 'W5' goes to 'F5:15', but fuse block 'F5' has no terminal '15'"),
    ("add part F6 fuse block", "nobody should guess a rating"), ("replace F5.1 by new lamp", "into way 1 goes a fuse, got a lamp")])
def test_a_wrong_sentence_about_a_block_says_what_is_allowed(sentence, says):
    with pytest.raises(CircuitLabError, match=says):
        changed(SPLIT, read_change(sentence, SPLIT))


def test_its_fuses_follow_it_when_it_is_renamed_taken_out_or_replaced():
    held = changed(SPLIT, cl.Hold("F5.1", "blown"))
    assert changed(held, read_change("rename F5 F7", held)).held == (("F7.1", "blown"),)
    gone = changed(held, read_change("remove F5 with its wires", held))
    assert gone.held == () and not gone.of_kind(Fuse)
    assert [fuse.rating for fuse in changed(SPLIT, ReplacePart(FuseBlock("F5", "30: 3 A, 3 A; 15: 3 A, 3 A"))).of_kind(Fuse)] == 4 * [3.0]


def test_a_wire_on_a_spare_way_and_a_rail_without_feed_are_cautions():
    spare = changed(SPLIT, read_change("move W2 to F5:3", SPLIT))
    (words,) = spare.cautions()
    assert "wire 'W2' is on 'F5:3', a spare way" in words
    asked = words.partition("in the place of <amps>: ")[2]
    assert "Choose its amps by what hangs there" in words and "7.5 A, <amps> A; 15" in words, "nobody should guess a rating"
    with pytest.raises(CircuitLabError, match="nobody should guess one. Write its amps"):
        read_change(asked, spare).apply(spare)
    mended = changed(spare, read_change(asked.replace("<amps>", "3"), spare))
    assert mended.cautions() == () and mended.part("F5.3").rating == 3.0
    (unfed,) = changed(SPLIT, read_change("remove W5", SPLIT)).cautions()
    assert unfed == "no wire goes to F5:15: fuse block 'F5' cannot work without it. Wire it."


# ------------------------------------------------------------------ rails, volts

def test_each_rail_feeds_its_own_ways_only():
    parked, braking = (cl.operating_point(SPLIT, {"pedal": "held", "key": key}) for key in ("off", "on"))
    assert parked.lamp_volts("E1") > 12 and parked.volts("F5:15") == pytest.approx(parked.volts("X1:2"), abs=0.01) and abs(parked.lamp_volts("E2")) < 0.01
    assert braking.lamp_volts("E2") > 12
    blown = changed(SPLIT, cl.Hold("F5.2", "blown"))
    assert not cl.operating_point(blown, ON).light("E2") and cl.operating_point(blown, ON).lamp_volts("E1") > 12


@pytest.mark.parametrize("clips", [0.0, 0.25])
def test_the_volts_of_a_block_of_two_ways_are_those_of_ohms_law(clips):
    """6 and 12 ohm behind 10 and 5 A. Copper 0.017241 ohm mm2/m (IEC 60028), two joints of 1 mohm a wire, fuses of 7.7 and 17.5 mohm (the kit's table of
    maker sheets, from memory)."""
    block = FuseBlock("F5", f"10 A clips {clips} ohm, 5 A")
    pairs = [("G1:+", "F5:30"), ("F5:1", "R1:1"), ("F5:2", "R2:1"), ("R1:2", "G1:-"), ("R2:2", "G1:-")]
    circuit = Arrangement("two ways", parts=[Battery("G1", 12.6, 0.02), block, Resistor("R1", 6.0), Resistor("R2", 12.0)],
                          wires=[Wire(f"W{number}", *pair, length=1.0, area=1.0) for number, pair in enumerate(pairs, 1)])
    wire = 0.002 + 0.017241
    ways = 0.0077 + clips + 2 * wire + 6.0, 0.0175 + 2 * wire + 12.0
    amps = 12.6 / (0.02 + wire + 1 / sum(1 / each for each in ways))
    rail = 12.6 - amps * (0.02 + wire)
    point = cl.operating_point(circuit)
    assert point.current("W1") == pytest.approx(amps, rel=1e-9)
    assert [point.current("F5.1"), point.current("F5.2")] == pytest.approx([rail / each for each in ways], rel=1e-9)
    assert point.volts("F5:30") - point.volts("F5:1") == pytest.approx(rail / ways[0] * (0.0077 + clips), rel=1e-9)


@pytest.mark.parametrize(("clips", "watts"), [(0.25, 2.0), (0.01, 0.0), (0.0, 0.0)])
def test_sizing_tells_what_is_lost_in_clips_apart_from_the_fuse_and_its_heat_as_of_a_joint(clips, watts):
    """By hand: two lamps of 26.5 W at 13.5 V; at the 11.65 V left, amperes as volts^0.55 (a lamp maker's exponent, from memory). A sound clip is not told of."""
    block = FuseBlock("F5", f"10 A clips {clips} ohm")
    wires = [Wire("W1", "G1:+", "F5:30", length=0.2), Wire("W2", "F5:1", "E1:1"), Wire("W3", "F5:1", "E2:1"), Wire("W4", "E1:2", "G1:-"), Wire("W5", "E2:2", "G1:-")]
    found = cl.size(Arrangement("two lamps", parts=[Battery("G1"), block, Lamp("E1"), Lamp("E2")], wires=wires)).findings
    clip = [each for each in found if each.part == "F5.1" and "clips of way 1" in each.sentence]
    if not watts:
        assert clip == []
        return
    lost, heat = sorted(clip, key=lambda each: each.rule)
    assert lost.rule == "little is lost in a joint" and not lost.is_kept and lost.value == pytest.approx(clips * 2 * 26.5 / 13.5 * (11.65 / 13.5)**0.55, rel=0.02)
    assert f"mV are lost in the clips of way 1 of F5, {heat.value:.2f} W of heat in one place" in lost.sentence and "a new fuse does not help" in lost.sentence
    assert heat.rule == "nothing glows where two things meet" and heat.is_kept and heat.value == pytest.approx(lost.value**2 / clips, rel=1e-6) and heat.value > watts
    (fuse,) = [each for each in found if each.part == "F5.1" and each.rule == "little is lost in a fuse"]
    assert fuse.is_kept and fuse.value == pytest.approx(0.0077 * lost.value / clips, rel=1e-3)


# ------------------------------------------------------------------ as separate fuses

@pytest.mark.parametrize("name", CARTS)
def test_in_the_place_of_separate_fuses_all_is_the_same_but_for_names(name):
    cart = cl.arrangement(name)
    there, names = in_one_block(cart)
    assert len(names) > 1 and there.cautions() == cart.cautions()
    for one, other in zip(cl.lamp_table(cart).rows, cl.lamp_table(there).rows, strict=True):
        assert {lamp: cell.look for lamp, cell in one.cells.items()} == {lamp: cell.look for lamp, cell in other.cells.items()}
    proofs = cl.prove(cart), cl.prove(there)
    assert proofs[0].is_proved and proofs[0].brief == proofs[1].brief


@pytest.mark.parametrize("name", CARTS)
def test_its_fuses_fail_as_separate_fuses_do(name):
    cart = cl.arrangement(name)
    there, names = in_one_block(cart)
    words = {f"{fuse} blown": f"{now} blown" for fuse, now in names.items()} | {
        f"{fuse}:1 touches {fuse}:2": f"F9:30 touches F9:{now[3:]}" for fuse, now in names.items()}
    found = [{fault.words: fault for fault in single_faults(each)} for each in (cart, there)]
    tables = [cl.fault_table(each, faults=[faults[key] for key in keys]) for each, faults, keys in zip((cart, there), found, (words, words.values()))]
    told = [{line.fault.words: (line.worst, line.fault.kind, line.fault.odds) for line in table.lines} for table in tables]
    assert {words[key]: value for key, value in told[0].items()} == told[1]


@pytest.mark.parametrize("name", CARTS[:3])
def test_its_fuses_are_sized_as_separate_fuses_are(name):
    """Rule by rule the same verdict, and the amps to a hundredth."""
    cart = cl.arrangement(name)
    there, names = in_one_block(cart)
    rules = [{(names.get(each.part, each.part), each.rule): each for each in cl.size(made).findings
              if each.part in names or each.part in names.values()} for made in (cart, there)]
    assert rules[0].keys() == rules[1].keys() and len(rules[0]) >= 4 * len(names)
    for key, one in rules[0].items():
        other = rules[1][key]
        assert one.is_kept == other.is_kept and (one.value is None or one.value == pytest.approx(other.value, rel=0.01))


@pytest.mark.outside("ISO 8820-3 type F, from memory: with six times its rating a mini blade fuse blows in 0.1 s at the most")
def test_a_short_blows_its_own_fuse_in_time_and_no_other():
    short = changed(SPLIT, cl.changes.Short("F5:4", "X1"))
    course = cl.run(short, [(0.1, "key", "on"), (0.2, "pedal", "held")], 1.5)
    blown = [(event.name, event.time) for event in course.events if event.state == "blown"]
    assert [name for name, _ in blown] == ["F5.4"] and blown[0][1] - 0.1 < 0.1
    point = course.at(1.4)
    assert [point.states[f"F5.{way}"] for way in (1, 2, 4)] == ["whole", "whole", "blown"] and point.lamp_volts("E1") > 12
    again = cl.operating_point(short, ON)
    assert again.states["F5.4"] == "blown" and again.states["F5.1"] == "whole"


def test_a_wrong_rating_changes_that_way_only():
    there, _ = in_one_block(cl.arrangement(CARTS[0]))
    weak = changed(there, read_change("set F9.1 rating 1 A", there))
    point = cl.operating_point(weak, {"brake pedal": "held"})
    assert point.states["F9.1"] == "blown" and point.states["F9.2"] == "whole"
    assert {each.part for each in cl.size(weak).broken} & {"F9.1", "F9.2"} == {"F9.1"}


# ------------------------------------------------------------------ faults

def test_every_way_it_fails_is_among_the_faults():
    kinds = ("blown fuse", "missing fuse", "clips spread", "short between neighbours")
    found = {fault.words for fault in single_faults(SPLIT, kinds) if fault.place.startswith("F5")}
    assert found == {"F5.1 blown", "F5.2 blown", "F5.4 blown", *(f"no fuse sits in the place of F5.{way}" for way in (1, 2, 4)),
                     *(f"clips of F5.{way} spread or corroded, 5 ohm" for way in (1, 2, 4)),
                     "F5:30 touches F5:1", "F5:30 touches F5:2", "F5:15 touches F5:4", "F5:1 touches F5:2"}
    assert {"missing fuse", "clips spread"} < ODDS.keys()


def test_all_ways_dead_at_once_is_told_as_the_feed_and_one_as_its_fuse():
    there, _ = in_one_block(cl.arrangement(CARTS[2]))
    dark = ["E1 dark when braking", "E5 dark when tail lamps on", "E3 dark when hazard on"]
    found = cl.find(there, dark, ["12.6 V at G1:+ when braking", "0 V at F9:30 when braking"])
    assert found.causes[0].odds > 0.9 and "W1" in found.causes[0].repair and not any("F9." in each.repair for each in found.causes[:3])
    one = cl.find(there, ["E1 dark when braking", "E2 dark when braking"], ["12 V at F9:30 when braking", "0 V at F9:1 when braking", "F9.1 whole"])
    assert one.causes[0].odds > 0.8 and one.causes[0].repair == "clean and tighten the clips of F9.1, or put a new holder in"
    assert {each.words for each in candidates_of(there) if "F9.2" in each.words} >= {"F9.2 blown", "open between F9.2 and the clips of its holder"}


def test_spread_clips_that_burn_are_told():
    """5 A through 1 ohm are 25 W, more than the 20 W from which a touch glows; 4 A are 16 W."""
    fuse = FuseBlock("F5", "10 A clips 1 ohm").seats[0]
    assert fuse.overheated([4.0]) == () and FuseBlock("F5", "10 A").seats[0].overheated([9.0]) == ()
    (words,) = fuse.overheated([5.0])
    assert words.startswith("the holder of F5.1 turns 25.0 W into heat there alone: it glows there")


def test_two_sides_fed_from_two_ways_are_each_others_mirror():
    parts = [Battery("G1"), FuseBlock("F5", "10 A, 10 A, spare"), Switch("S1", "lever", {"left": [("1", "2")], "right": [("3", "4")]}),
             Lamp("E1", place="rear left"), Lamp("E2", place="rear right"), Chassis("X1", 4)]
    pairs = [("G1:+", "F5:30"), ("F5:1", "S1:1"), ("F5:2", "S1:3"), ("S1:2", "E1:1"), ("S1:4", "E2:1"), ("E1:2", "X1:1"), ("E2:2", "X1:2"), ("X1:3", "G1:-")]
    lever = Control("lever", ("off", "left", "right"), ("left", "off", "right"))
    cart = Arrangement("two sides", [lever], parts, [Wire(f"W{number}", *pair, "RD", 0.3) for number, pair in enumerate(pairs, 1)])
    assert {name: mirror(cart).names[name] for name in ("F5", "F5.1", "E1", "W2")} == {"F5": "F5", "F5.1": "F5.2", "E1": "E2", "W2": "W3"}
    assert mirror(cart.with_parts(cart.part("F5").with_value("ways", "10 A, 5 A, spare"))) is None


def test_a_block_that_nobody_has_looked_at_may_let_nothing_through():
    there = changed(SPLIT, read_change("mark F5 not known", SPLIT))
    (words,) = there.cautions()
    assert "F5" in words and any(each.place == ("F5",) and each.changes for each in candidates_of(there))


def test_a_comparison_finds_a_block_of_another_name_and_what_became_of_its_fuses():
    found = counterparts(SPLIT, changed(SPLIT, read_change("rename F5 F8", SPLIT))).parts
    assert {name: found[name] for name in ("F5", "F5.1", "F5.4")} == {"F5": "F8", "F5.1": "F8.1", "F5.4": "F8.4"}
    said = " ".join(str(cl.compare(SPLIT, changed(SPLIT, read_change("set F5.2 rating 5 A", SPLIT)))).split())
    assert 'fuse block F5, ways "30: 10 A, 7.5 A, spare; 15: 5 A mini blade, spare" to "30: 10 A, 5 A, spare; 15: 5 A mini blade, spare"' in said


# ------------------------------------------------------------------ hands, words, pictures

def test_one_fuse_comes_out_alone_and_the_block_stays():
    apart = Apart(SPLIT).without("F5.1")
    assert [str(change) for change in apart.changes] == ["hold F5.1 missing"]
    point = cl.operating_point(apart.arrangement, ON)
    assert point.states["F5.1"] == "missing" and not point.light("E1") and point.lamp_volts("E2") > 12
    assert apart.with_back("F5.1") == Apart(SPLIT)
    with pytest.raises(ArrangementError, match="stays where it is, and what sits in it comes out: take out F5.1 or F5.2 or F5.4"):
        Apart(SPLIT).without("F5")


def test_the_board_pulls_one_fuse_and_puts_it_back():
    desk = Desk(SPLIT, ON)
    assert desk.still()["pulled"]["F5.1"] == ("take out", "put back") and "F5" not in desk.still()["pulled"]
    said = [answer for answer in desk.hear({"kind": "change", "what": "out", "name": "F5.1", "at": 100_000, "act": 1})]
    assert desk.present.held == (("F5.1", "missing"),) and any("F5.1 taken out" in answer.get("said", "") for answer in said)
    assert next(answer["out"] for answer in said if answer["kind"] == "now") == ["F5.1"]
    list(desk.hear({"kind": "change", "what": "back", "name": "F5.1", "at": 200_000, "act": 2}))
    assert desk.present.held == () and desk.present == SPLIT


def test_what_is_told_of_it_tells_each_fuse():
    point = cl.operating_point(changed(SPLIT, cl.Hold("F5.2", "blown")), ON)
    assert told_of(point, "F5").startswith("F5, under the dash, fuse block: F5.1 whole, 1.88 A; F5.2 blown, 0 A; F5.4 whole, 0 A; terminal 30: 12.")
    assert told_of(point, "F5.1").startswith("F5.1, under the dash, fuse, whole: terminal F5:30: 12.")
    assert str(why(point, "F5.2")) == "F5.2 is blown." and "carries 1.88 A of the 10 A printed on it" in str(why(point, "F5.1"))
    assert "F5.1 whole" in SPLIT.describe(cl.operating_point(SPLIT, ON))


def test_sheet_and_connection_list_name_ways_ratings_and_spare_ways():
    page = build_sheet(SPLIT)
    assert "fuse block with 5 ways (blade fuses where nothing else stands); on 30 way 1: 10 A, way 2: 7.5 A, way 3: spare; on 15 way 4: 5 A mini blade, way 5: spare" in page
    assert "F5: on 30 way 1: 10 A, way 2: 7.5 A, way 3: spare; on 15 way 4: 5 A, way 5: spare." in page


def chart_of(page, name):
    """Return the rows of the chart of one block on a build sheet, each a tuple of its cells' words."""
    chart = page.partition(f"<h3>{name}")[2].partition("</table>")[0].partition("<tbody>")[2]
    return [tuple(re.sub("<[^>]*>", "", cell) for cell in re.findall("<t[hd][^>]*>(.*?)</t[hd]>", row)) for row in chart.split("</tr>")[:-1]]


def test_the_sheet_has_a_chart_for_the_lid_with_what_each_way_feeds():
    """What goes dark with a fuse hangs on its way, straight or over the fuse that stands there."""
    places = changed(SPLIT, read_change("set E1 place rear stop", SPLIT))
    rows = {row[0]: row[1:] for row in chart_of(build_sheet(places), "F5, under the dash")}
    assert [*rows] == ["feed 30", "1", "2", "3", "feed 15", "4", "5"]
    assert [rows[way][0] for way in "12345"] == ["10 A", "7.5 A", "spare", "5 A mini blade", "spare"]
    assert rows["3"][1:] == ("no wire", "") and rows["5"][1:] == ("no wire", "")
    for way in "124":
        behind = [wire for wire in places.wires if f"F5:{way}" in wire.terminals]
        assert rows[way][1].startswith(behind[0].name)
    lit = {way: changed(places, cl.Hold(f"F5.{way}", "blown")) for way in "124"}
    for way, gone in lit.items():
        for lamp in places.of_kind(Lamp):
            dark = cl.operating_point(places, ON).light(lamp.name) > 0.5 > cl.operating_point(gone, ON).light(lamp.name)
            assert dark == (lamp.name in rows[way][2] or "fuse F5.4" in rows[way][2] and lamp.name in rows["4"][2]), (way, lamp.name)
    assert "E1, rear stop" in str(rows) and not any("E1" in row[-1] for row in chart_of(build_sheet(places, blank=True), "F5, under the dash"))


def test_each_fuse_is_in_a_path_of_its_own_and_the_block_is_one_for_the_builder():
    sheet, attached = lay_out(SPLIT), lay_out_attached(SPLIT)
    pieces = {symbol.piece.key: symbol for symbol in sheet.symbols if symbol.piece.key.startswith("F5")}
    assert {key: symbol.piece.symbol for key, symbol in pieces.items()} == {
        "F5.1": "fuse", "F5.2": "fuse", "F5.4": "fuse", "F5.3": "clips", "F5.5": "clips"}
    assert len({pieces[key].xs[0] for key in ("F5.1", "F5.2")}) == 2
    assert [block.part for block in attached.blocks if block.part.startswith("F5")] == ["F5"]
    blown = cl.operating_point(changed(SPLIT, cl.Hold("F5.2", "blown"), cl.Hold("F5.4", "missing")), ON)
    drawn = str(cl.draw_attached(blown.arrangement, blown))
    assert all(f">{words}</text>" in drawn for words in ("10 A", "blown", "missing", "spare")) and ">7.5 A</text>" not in drawn


def test_a_block_and_what_stands_in_its_place_are_one_box_and_never_electrical():
    """A relay beside it under the same place: in one box under that name; another place for it changes no volts."""
    cart = cl.arrangement(CARTS[1])
    there, _ = in_one_block(cart)
    boxed = there.with_parts(replace(there.part("F9"), place="under the dash, left"), replace(there.part("K9"), place="under the dash, right"))
    assert [place for place, *_ in lay_out_attached(boxed).boxes].count("under the dash") == 1
    moved = boxed.with_parts(replace(boxed.part("K9"), place="elsewhere"))
    for row in ({"brake pedal": "held"}, {"key": "on", "turn lever": "left"}):
        one, other = (cl.operating_point(each, row) for each in (boxed, moved))
        assert one.states == other.states and [one.volts(end) for end in there.terminals] == [other.volts(end) for end in there.terminals]


def test_a_path_names_each_fuse_with_the_terminals_of_its_block():
    gone = cl.prove(changed(split(rule=[cl.rules.Wanted("E1", "steady", {"pedal": "held"})]), cl.Hold("F5.1", "missing")))
    assert "stopped at F5:30 to 1, F5.1 being missing, on the way G1:+ W1 F5.1:30-1 (open) W2 S2:1-2" in str(gone)


# ------------------------------------------------------------------ wired by hand

BY_HAND = ('add part F1 fuse block, ways "30: 10 A, spare; 15: 7.5 A, spare"', 'add part X2 distribution block, bars "30: 4, 31: 4"',
           'add part S1 switch, control key, closes "on: 30-15", worked by key with control key: off, on', 'add part E1 lamp, bulb P21W, place "rear left"',
           'add part E2 lamp, bulb P21W, place "rear right"', "add wire W1 from G1:+ to X2:1 RD 0.2 m 4 mm2", "add wire W2 from X2:2 to F1:30 RD 0.2 m 4 mm2",
           "add wire W3 from F1:1 to S1:30 RD 1 m 1.5 mm2", "add wire W4 from S1:15 to F1:15 BK 1 m 1.5 mm2", "add wire W5 from F1:3 to E1:1 GN 1 m 1.5 mm2",
           "add wire W6 from E1:2 to X2:5 BN 1 m 1.5 mm2", "add wire W7 from X2:6 to X1:1 BN 1 m 4 mm2", "add wire W8 from X1:2 to G1:- BK 1 m 4 mm2",
           "add wire W9 from F1:1 to E2:1 RD 1 m 1.5 mm2", "add wire W10 from E2:2 to X2:8 BN 1 m 1.5 mm2")


@pytest.mark.parametrize("board", [InPaths, Attached])
def test_nothing_moves_while_a_circuit_with_blocks_is_wired_from_nothing(board):
    hand = board(cl.changes.bare())
    for sentence in BY_HAND:
        assert hand.make(read_change(sentence, hand.now)) == [], sentence
        assert board is Attached or hand.wrong == [], sentence
    assert hand.now.cautions() == () and cl.operating_point(hand.now, {"key": "on"}).lamp_volts("E1") > 12
    assert read_text(write_text(hand.now)) == hand.now


def test_the_shelf_offers_both_blocks_under_the_next_free_names():
    offered = {ready.words: ready.sentence for ready in cl.changes.shelf(SPLIT)}
    assert offered["fuse block, 4 ways"] == 'add part F1 fuse block, ways "10 A, 7.5 A, spare, spare"'
    assert offered["distribution block, plus and minus"] == 'add part X2 distribution block, bars "30: 4, 31: 4"'
    for sentence in (offered["fuse block, 4 ways"], offered["fuse block, battery and ignition"], offered["distribution block, 6 studs"]):
        assert len(changed(SPLIT, read_change(sentence, SPLIT)).listed) == len(SPLIT.listed) + 1
