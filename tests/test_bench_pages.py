"""Pages for the workbench: volts lost with their limits, the safety card, the crimp sheet, and the command that writes them."""

import re
from html import unescape

import pytest

import circuitlab as cl
from circuitlab.arrangements import SetValue, arrangement_names, changed
from circuitlab.commands.line import main
from circuitlab.ground.quantities import awg_to_mm2
from circuitlab.parts.catalogue import table
from circuitlab.reasoning.sizing import RULES
from circuitlab.reasoning.volt_drops import volt_drops
from circuitlab.views.bench_pages import STEPS, crimp_page, safety_page, volt_drop_page
from circuitlab.views.build_sheet.page import CAUTIONS

REAR = "shared-filament-rear-relays"


def words(page):
    """Return what stands on a page, in one line. [text]"""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page.partition("</style>")[2])).split())


# ------------------------------------------------------------------ volts lost

@pytest.mark.in_turn(11)
@pytest.mark.parametrize("name", arrangement_names())
def test_legs_and_lamp_make_up_the_battery(name):
    """Kirchhoff's second law for each way to a lamp, and the pieces of a leg are the whole of it."""
    drops = volt_drops(cl.arrangement(name))
    assert drops.legs and not drops.unfed
    for legs in drops.legs:
        point = cl.operating_point(drops.arrangement, legs.positions)
        battery = point.across("G1:+", "G1:-")
        assert legs.out.volts + legs.across.volts + legs.back.volts == pytest.approx(battery, abs=1e-6), legs.lamp
        assert sum(piece.volts for piece in legs.pieces) == pytest.approx(legs.out.volts + legs.back.volts, abs=1e-6), legs.lamp


def test_both_jobs_of_a_shared_filament_are_on_the_sheet():
    """Stop through 87a and turn through 87, each with its own row; only the turn row flashes."""
    drops = volt_drops(cl.arrangement(REAR))
    of_e1 = [legs for legs in drops.legs if legs.lamp == "E1"]
    assert [legs.flashes for legs in of_e1] == [False, True]
    contacts = [{piece.red for piece in legs.pieces if piece.name == "K1"} for legs in of_e1]
    assert contacts == [{"K1:87a"}, {"K1:87"}]


def test_copper_by_ohms_law():
    """W3 of one lamp: resistivity of copper, length, area and both joints, times its amps."""
    cart = cl.arrangement("one-fused-lamp")
    (drop,) = [drop for drop, _ in volt_drops(cart).pieces if drop.name == "W3"]
    wire = cart.part("W3")
    ohms = 0.0172 * wire.length / wire.area + wire.start_joint + wire.end_joint       # copper at 20 C: 1.72e-8 ohm m, IEC 60028
    assert drop.volts == pytest.approx(ohms * drop.amps, rel=0.02)


def test_a_bad_joint_is_over_its_limit_and_its_leg_too():
    """2 ohm in the ground wire: the wire and the way back are over, the way out is not."""
    bad = volt_drops(changed(cl.arrangement("one-fused-lamp"), SetValue("W4", "start_joint", 2.0)))
    over = [drop.name for drop, _ in bad.pieces if drop.limit is not None and drop.volts > drop.limit]
    (legs,) = bad.legs
    assert over == ["W4"] and legs.back.volts > legs.back.limit and legs.out.volts < legs.out.limit


def test_more_is_lost_in_a_leg_with_more_contacts():
    """0.5 V with one, 1 V with a flasher and a switch, as the service manuals of the sizing rules have it."""
    drops = volt_drops(cl.arrangement(REAR))
    assert {legs.out.limit for legs in drops.legs} == {1.0} and {legs.back.limit for legs in drops.legs} == {0.5}
    (one,) = volt_drops(cl.arrangement("one-fused-lamp")).legs
    assert one.out.limit == 0.5


def test_the_sheet_has_every_number_its_source_and_a_blank():
    """One blank for each leg and piece; a source for each letter; the cautions."""
    drops = volt_drops(cl.arrangement(REAR))
    page = volt_drop_page(drops)
    said = words(page)
    tables = re.findall(r"<table.*?</table>", page, flags=re.S)
    assert [each.count('class="blank"') for each in tables] == [3 * len(drops.legs), len(drops.pieces)]
    assert all(f"{drop.red} to {drop.black}" in said for drop, _ in drops.pieces)
    rules = {"leg": "little is lost on one leg"} | {what: f"little is lost in a {what}" for what in ("wire", "contact", "fuse", "flasher", "joint")}
    assert set(drops.sources) == set(rules) and all(RULES[rules[what]].source in said for what in drops.sources)
    assert all(each in said for each in CAUTIONS[1:]) and "MIN/MAX" in said
    assert "MIN/MAX" not in words(volt_drop_page(volt_drops(cl.arrangement("one-fused-lamp"))))


# ------------------------------------------------------------------ safety and crimps

def test_the_card_defers_and_says_when_to_stop():
    said = words(safety_page())
    assert all(each in said for each in ("local code and licensed practice", "no vehicle", "never bridged", "airbag", "step back", "Eye protection"))
    assert safety_page().count('class="box"') == 7


# Source: MIL-T-7928 as a terminal maker's sheet has it beside UL 486A, in newton: 22 AWG 66.7, 20 84.5, 18 169, 16 222.5, 14 311.5, 12 489.3, 10 667.2
MILITARY = {22: 66.7, 20: 84.5, 18: 169.0, 16: 222.5, 14: 311.5, 12: 489.3, 10: 667.2}
SOFT_COPPER = 220.0        # N/mm2, tensile strength of annealed copper, from memory


@pytest.mark.outside("UL 486A pull-out test and MIL-T-7928, both in a terminal maker's crimping sheet, tensile strength figure")
def test_what_a_crimp_must_hold_is_below_the_military_and_below_the_wire():
    """In pounds the figures are the round ones of the standard; none asks for more than the wire itself stands."""
    pounds = {22: 8, 20: 13, 18: 20, 16: 30, 14: 50, 12: 70, 10: 80}      # UL 486A, in the same sheets
    for row in table("crimp_pull"):
        gauge, newton = int(row["gauge [AWG]"]), row["holds [N]"]
        assert newton == pytest.approx(pounds[gauge] * 4.448, rel=0.01)
        assert newton < MILITARY[gauge] and newton < SOFT_COPPER * awg_to_mm2(gauge)


def test_the_crimp_sheet_has_each_size_and_its_source():
    said = words(crimp_page(table("crimp_pull")))
    assert all(f"{row['holds [N]']:.1f}" in said for row in table("crimp_pull"))
    assert "UL 486A" in said and "NASA-STD-8739.4" in said and "(secondary)" in said and "common practice" in said
    assert all(step in said for step in STEPS) and "Eye protection" in said


# ------------------------------------------------------------------ the command

@pytest.mark.parametrize("words", [("volt-drop", "one-fused-lamp"), ("safety",), ("crimp",)])
def test_a_sheet_is_written_and_only_its_own_kind_is_replaced(words, tmp_path, capsys):
    out = tmp_path / "sheet.html"
    assert main(["bench-sheet", *words, "--out", str(out)]) == 0 and str(out) in capsys.readouterr().out
    assert "http" not in out.read_text("utf-8")
    assert main(["bench-sheet", *words, "--out", str(out)]) == 0
    other = ("safety",) if words[0] != "safety" else ("crimp",)
    assert main(["bench-sheet", *other, "--out", str(out)]) == 2 and "is left as it is" in capsys.readouterr().err.replace("\n", " ")


@pytest.mark.parametrize(("words", "said"), [
    (("volt-drop", "--out", "x.html"), "made for one circuit. Give its name or file"),
    (("crimp", "one-fused-lamp", "--out", "x.html"), "the same for every circuit. Leave 'one-fused-lamp' out"),
    (("safety", "--out", "x.pdf"), "does not end in .html"),
    (("volt-drop", "no-such-cart", "--out", "x.html"), "no-such-cart"),
])
def test_bad_input_gets_a_sentence_and_writes_nothing(words, said, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert main(["bench-sheet", *words]) == 2
    assert said in capsys.readouterr().err and not list(tmp_path.iterdir())


def test_the_plainest_of_rows_alike_is_told():
    """The pedal alone for stop, key and lever for turn: no control is moved that the lamp does not need."""
    drops = volt_drops(cl.arrangement(REAR))
    rest = drops.arrangement.positions()
    moved = [{name for name, position in legs.positions.items() if position != rest[name]} for legs in drops.legs if legs.lamp == "E1"]
    assert moved == [{"brake pedal"}, {"key", "turn lever"}]
