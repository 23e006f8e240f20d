"""The lamp with two filaments: its values, its names, what befalls it, and what of it a hand, a file and a sentence may do."""

import re
import xml.etree.ElementTree as ET

import pytest

import circuitlab as cl
from circuitlab.arrangements import AddPart, ReplacePart, SetValue, changed, read_change, read_text, write_text
from circuitlab.arrangements.apart import Apart
from circuitlab.arrangements.mirrored import mirror
from circuitlab.benches.board.desk import Desk
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.ground.errors import ArrangementError, CircuitLabError, PartError, UnknownName
from circuitlab.parts import Lamp, TwoFilamentLamp
from circuitlab.parts.tables import table
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.finding.candidates import candidates_of
from circuitlab.reasoning.why import why
from circuitlab.views.board.words import told_of
from circuitlab.views.build_sheet.springs import cold_ohms, springs
from circuitlab.views.schematic import lay_out

from outside.test_two_filaments import BRIGHT, WEAK

NAME = "tail-and-stop-two-filaments"
CART = cl.arrangement(NAME)
LAMPS = ["E1.54", "E1.58", "E2.54", "E2.58", "E3", "E4", "E5", "E6"]


# ------------------------------------------------------------------ the part

@pytest.mark.parametrize("value", [{"bulb": "P21/6W"}, {"bulb": 7}, {"fitted": "sideways"}, {"touching": "perhaps"}, {"light": "blue"},
                                   {"bulb": "PY21/5W", "light": "red"}, {"bulb": "3156"}, {"bulb": "W5W"}, {"bulb": "7443", "fitted": "turned round"},
                                   {"bulb": "P21/4W", "fitted": "turned round"}, {"bulb": "P21W", "fitted": "turned round"},
                                   {"bulb": "P21W", "touching": True}])
def test_what_cannot_be_is_refused_in_a_sentence_that_names_the_lamp(value):
    with pytest.raises(CircuitLabError, match="two-filament lamp 'E1'") as error:
        TwoFilamentLamp("E1", **value)
    assert isinstance(error.value, PartError | UnknownName) and str(error.value).endswith((".", "?"))


def test_an_amber_bulb_shows_amber_unless_it_is_said_and_a_clear_one_what_is_said():
    assert TwoFilamentLamp("E1", bulb="PY21/5W").light == "amber"
    assert TwoFilamentLamp("E1", light="white").with_value("bulb", "PY21/5W").light == "amber"
    assert {seat.light for seat in TwoFilamentLamp("E1", bulb="1157", light="amber").seats} == {"amber"}


def test_a_bulb_for_24_v_is_named_with_its_volts_and_takes_the_wrong_one_of_24_v():
    lamp = TwoFilamentLamp("E1", bulb="P21/5W 24 V")
    assert [(seat.volts, seat.watts) for seat in lamp.seats] == [(28.0, 29.7), (28.0, 11.0)]
    assert ("wrong bulb", "bulb", "P21W 24 V") in [(kind, field, value) for kind, _, field, value in lamp.mishaps]


@pytest.mark.parametrize(("bulb", "kinds"), [
    ("P21/5W", {"wrong bulb": "P21W", "bulb turned round": "turned round", "filaments touching": True}),
    ("1157", {"wrong bulb": "1156", "bulb turned round": "turned round", "filaments touching": True}),
    ("P21/4W", {"filaments touching": True}), ("7443", {"filaments touching": True}), ("P21W", {})])
def test_what_befalls_it_hangs_on_its_base(bulb, kinds):
    assert {kind: value for kind, _, _, value in TwoFilamentLamp("E1", bulb=bulb).mishaps} == kinds


def test_turned_round_the_filaments_change_over_and_their_light_is_told_by_what_belongs_there():
    right, turned = TwoFilamentLamp("E1").seats, TwoFilamentLamp("E1", fitted="turned round").seats
    assert [seat.watts for seat in turned] == [seat.watts for seat in right[::-1]]
    for seat, share in zip(turned, (35 / 440, 440 / 35)):
        law = seat.filament
        assert law.light(2800.0) == pytest.approx(share) and seat.judged_by.flux == share ** -1 * {26.5: 440, 6.6: 35}[seat.watts]
    strange = TwoFilamentLamp("E1", bulb="2357", fitted="turned round").seats[0]      # no lumens in the table: by watts
    assert strange.filament.light(2800.0) == pytest.approx(8.26 / 28.54)


# ------------------------------------------------------------------ in an arrangement

def test_its_filaments_are_lamps_with_names_of_their_own_and_no_parts_of_a_list():
    assert [lamp.name for lamp in CART.of_kind(Lamp)] == LAMPS
    assert [lamp.place for lamp in CART.of_kind(Lamp)][:2] == ["rear left stop", "rear left tail"]
    assert not any("." in part.name for part in CART.listed) and len(CART.parts) == len(CART.listed) + 4
    assert "E1.54" not in str(CART) and "E1.54" not in "\n".join(line for line in write_text(CART).splitlines() if line.startswith("[parts"))
    assert not any(end.startswith("E1.") for end in CART.terminals) and {"E1:54", "E1:58", "E1:31"} <= set(CART.terminals)
    assert read_text(write_text(CART), NAME) == CART


@pytest.mark.parametrize("sentence", ["set E1.54 watts 5 W", "rename E1.54 E7", "remove E1.54 with its wires", "set E1.58 bulb R5W"])
def test_a_filament_alone_is_not_changed_and_the_sentence_says_what_may_be(sentence):
    with pytest.raises(ArrangementError, match=r"a filament of E1 .*Change E1, or write 'blow E1.5[48]'"):
        changed(CART, read_change(sentence, CART))


def test_filaments_follow_their_lamp_when_it_is_renamed_taken_out_or_replaced():
    renamed = changed(CART, read_change("rename E1 E9", CART))
    assert renamed.wanted("E9.54", {"brake pedal": "held"} | {"key": "off"}) is not None and "E1.54" not in renamed.by_name
    gone = changed(CART, read_change("blow E1.54", CART), read_change("remove E1 with its wires", CART))
    assert not any(line.lamp.startswith("E1.") for line in gone.rule) and gone.held == () and "E1.58" not in gone.by_name
    other = changed(CART, ReplacePart(TwoFilamentLamp("E1", bulb="2357")))
    assert other.part("E1.54").watts == 28.54 and other.part("E2.54").watts == 26.5
    more = changed(CART, read_change("add part E7 two-filament lamp, bulb 1157", CART))
    assert more.part("E7.58").watts == 8.26 and more == changed(CART, AddPart(TwoFilamentLamp("E7", bulb="1157")))


def test_a_second_part_under_a_filaments_name_is_refused():
    with pytest.raises(ArrangementError, match="2 parts are named 'E1.54'"):
        changed(CART, AddPart(Lamp("E1.54")))


def test_the_other_side_is_known_by_the_filaments_places():
    names = mirror(CART).names
    assert {name: names[name] for name in ("E1", "E1.54", "E1.58", "W4", "W19")} == {
        "E1": "E2", "E1.54": "E2.54", "E1.58": "E2.58", "W4": "W5", "W19": "W20"}


# ------------------------------------------------------------------ what is seen and measured

def test_every_way_it_fails_is_among_the_faults_and_is_seen():
    kinds = ("blown lamp", "filaments touching", "wrong bulb", "bulb turned round", "short between neighbours")
    found = {fault.words: fault for fault in single_faults(CART, kinds) if fault.place.startswith("E1")}
    assert {"E1.54 blown", "E1.58 blown", "filaments of E1 touch each other", "P21W, of one filament, in E1 in the place of P21/5W",
            "bulb of E1 turned round in its holder", "E1:54 touches E1:58", "E1:58 touches E1:31"} == set(found)
    table = cl.fault_table(CART, faults=[*found.values()])
    worst = {line.fault.words: line.worst for line in table.lines}
    turned = next(line for line in table.lines if "turned" in line.fault.words)
    assert "lamp lost" in turned.counts and {name for effect in turned.effects for name in effect.classes} == {"wrong signal", "lamp lost", "no effect"}
    assert worst == {"E1.54 blown": "lamp lost", "E1.58 blown": "lamp lost", "filaments of E1 touch each other": "wrong signal",
                     "P21W, of one filament, in E1 in the place of P21/5W": "wrong signal", "bulb of E1 turned round in its holder": "wrong signal",      # too bright, beside the stop lamp lost
                     "E1:54 touches E1:58": "wrong signal", "E1:58 touches E1:31": "signal lost"}
    turned = table.reading(next(line for line in table.lines if "turned" in line.fault.words))
    assert "E2 out of its socket" in str(turned) or "E1:5" in str(turned)


def test_a_turned_bulb_and_a_wrong_one_are_candidates_and_the_bulb_is_what_is_changed():
    found = {each.words: each for each in candidates_of(CART) if each.place == ("E1",) or each.place == ("E1.54",)}
    assert found["bulb of E1 turned round in its holder"].repair == "turn the bulb of E1 round, and see to its holder"
    assert found["E1.54 blown"].repair == "put a new bulb into E1, the contacts of its holder clean"
    assert next(each for each in found.values() if each.words.startswith("P21W, of one filament")).repair == "fit the right bulb in E1"


def test_a_lost_ground_told_by_what_is_seen_is_found():
    finding = cl.find(CART, "rear left stop dark when braking; rear left tail glows when braking; rear right tail glows when braking")
    assert "W21" in finding.causes[0].repair and finding.causes[0].odds > 0.3


def test_the_pedal_draws_what_two_bright_filaments_draw():
    point = cl.operating_point(CART, {"brake pedal": "held", "tail lamps": "on"})
    assert point.current("F1") == pytest.approx(2 * BRIGHT * (point.lamp_volts("E1.54") / 13.5) ** 0.55, rel=0.01)
    assert point.current("F3") == pytest.approx(2 * WEAK * (point.lamp_volts("E1.58") / 13.5) ** 0.55, rel=0.01)
    assert point.current("W21") == pytest.approx(point.current("E1.54") + point.current("E1.58"), rel=1e-6)


def test_the_filament_that_a_wrong_bulb_has_not_is_missing_at_rest_in_time_and_in_the_logic():
    wrong = changed(CART, SetValue("E1", "bulb", "P21W"))
    point, course = cl.operating_point(wrong, {"tail lamps": "on"}), cl.run(wrong, [(0.1, "tail lamps", "on")], 0.6)
    assert point.states["E1.58"] == "missing" and wrong.is_gone("E1.58") and not wrong.is_gone("E1.54") and not CART.is_gone("E1.58")
    assert point.lamp_volts("E1.58") > 12 and point.light("E1.58") == 0.0 and point.light("E1.54") > 0.6
    assert max(course.light["E1.58"]) == 0.0 == max(course.lamp_current["E1.58"]) and max(course.light["E1.54"]) > 0.6
    assert cl.flash(course, "E1.58").look == "dark" and cl.lamp_logic(wrong).lamp("E1.58").condition.is_never
    assert not cl.lamp_logic(CART).lamp("E1.58").condition.is_never
    assert "missing" in str(cl.draw(wrong, point)) and "missing" in str(cl.draw_attached(wrong, point)) and "missing" in told_of(point, "E1.58")


def test_comparing_tells_that_a_turned_tail_is_brighter_and_lists_the_bulb_alone():
    said = cl.compare(CART, changed(CART, SetValue("E1", "fitted", "turned round"))).text()
    assert 'changed: two-filament lamp E1, fitted "right way" to "turned round"' in said and "changed: lamp E1.54" not in said
    assert "was steady, now dim" in said and "was steady, now too bright" in said


def test_a_wrong_or_turned_bulb_is_a_caution_that_says_how_to_change_it_unhurt():
    assert CART.cautions() == ()
    for field, value, words in (("bulb", "P21W", "joins 54 and 58"), ("fitted", "turned round", "58 the bright one")):
        (caution,) = changed(CART, SetValue("E1", field, value)).cautions()
        assert words in caution and "Supply off and the bulb cold" in caution and "'E1'" in caution


# ------------------------------------------------------------------ drawn, and worked by hand

def test_both_drawings_have_both_filaments_and_what_joins_them():
    joined = changed(CART, SetValue("E1", "touching", True))
    assert {symbol.piece.key for symbol in lay_out(CART).symbols} >= {"E1.54", "E1.58"}
    assert {symbol.piece.key for symbol in lay_out(joined).symbols} - {symbol.piece.key for symbol in lay_out(CART).symbols} == {"E1.bridge"}
    point = cl.operating_point(CART, {"tail lamps": "on"})
    for picture in (cl.draw(CART, point), cl.draw_attached(CART, point)):
        assert str(picture).count('class="glow"') == 2
    assert "E1.54 0.0 V, dark, E1.58 12.5 V" in CART.describe_attached(point)


def test_the_drawing_for_the_builder_says_what_each_terminal_of_two_filaments_is_for():
    """A number alone under a lamp's name says nothing; with volts and light the line has them as well."""
    for point in (None, cl.operating_point(CART, {"brake pedal": "held"})):
        texts = re.findall(r">([^<>]+)</text>", str(cl.draw_attached(CART, point)))
        assert texts.count("54 stop") == texts.count("58 tail") == 2
        assert texts.count("54") == texts.count("58") == 2        # beside the wires, as names of the terminals


@pytest.mark.outside("the 1925 table of tungsten's resistivity, 300 K to 2800 K: a filament has a fifteenth of its ohms when cold; 13.5 V and 26.5 or 6.6 W of UN R37")
def test_the_sheet_tells_which_spring_is_54_by_the_ohms_of_the_cold_bulb():
    """6.88 ohm and 27.6 ohm lit; the lower one is the bright filament, also of a bulb that is turned round."""
    hot = [13.5**2 / watts for watts in (26.5, 6.6)]
    resistivity = {row["temperature [K]"]: row["resistivity [microohm cm]"] for row in table("tungsten")}
    expected = [ohms * resistivity[300] / resistivity[2800] for ohms in hot]
    assert cold_ohms(TwoFilamentLamp("E1")) == cold_ohms(TwoFilamentLamp("E1", fitted="turned round")) == pytest.approx(expected, rel=0.03)
    page = " ".join("".join(ET.fromstring(build_sheet(CART).encode("utf-8")).itertext()).split())
    assert "supply off, the bulb cold and in its holder, no other wires" in page
    assert "The lower ohms lead to the bright filament: that spring is 54" in page
    assert "E1, E2 (P21/5W): about 0.46 ohm and 1.84 ohm at 20 C. Its two pins stand at two heights, so that it goes in one way only: never force it." in page


def test_each_bulb_has_its_own_ohms_on_the_sheet_and_one_of_one_filament_or_a_cart_without_has_none():
    two = changed(CART, SetValue("E2", "bulb", "7443"))
    assert "E1 (P21/5W): about 0.46 ohm and 1.84 ohm" in springs(two) and "E2 (7443): about 0.49 ohm and 2.03 ohm" in springs(two)
    assert "It goes in without effort: never force it" in springs(two)
    single = changed(CART, SetValue("E1", "bulb", "P21W"), SetValue("E2", "bulb", "P21W"))
    assert springs(single) == springs(cl.arrangement("one-fused-lamp")) == ""


def test_a_board_has_a_place_for_each_filament_takes_the_bulb_out_and_turns_it_round():
    for form in ("schematic", "attached"):
        desk = Desk(CART, form=form)
        still = desk.still()
        assert {"E1.54", "E1.58"} <= {area["name"] for area in still["areas"]}
        assert [lamp["name"] for lamp in still["lamps"]] == LAMPS and all({"volts", "light"} <= set(lamp["texts"]) for lamp in still["lamps"])
    now = next(each for each in desk.hear({"kind": "change", "what": "out", "name": "E1.54", "at": 0, "act": 1}) if each["kind"] == "now")
    assert now["out"] == ["E1", "E1.54", "E1.58"] and now["listed"] == ["E1 taken out"]
    now = next(each for each in desk.hear({"kind": "change", "what": "back", "name": "E1.58", "at": 10, "act": 2}) if each["kind"] == "now")
    assert now["out"] == []
    (words, sentence), = desk.still()["deeds"]["E1.58"]
    assert words == "turn the bulb round"
    list(desk.hear({"kind": "typed", "words": sentence, "at": 20, "act": 3}))
    assert desk.present.part("E1").fitted == "turned round" and desk.still()["deeds"]["E1"][0][0] == "turn the bulb back"
    assert "E3" not in desk.still()["deeds"]


def test_a_bulb_taken_out_by_one_of_its_filaments_is_out_as_a_whole():
    apart = Apart(CART).without("E1.54")
    assert apart.out == ("E1",) == apart.without("E1").out and apart.with_back("E1.58").out == ()
    assert [str(change) for change in apart.changes] == ["lose W4 at E1:54", "lose W19 at E1:58", "lose W21 at E1:31"]


def test_what_is_told_of_it_and_why_names_both_filaments():
    point = cl.operating_point(CART, {"brake pedal": "held"})
    assert "E1.54 71 %, 1.86 A; E1.58 dark, 0 A" in told_of(point, "E1") and "E1:54: 12.2 V" in told_of(point, "E1.54")
    assert why(point, "E1") == f"{why(point, 'E1.54')} {why(point, 'E1.58')}" and "S4 is open" in why(point, "E1.58")
