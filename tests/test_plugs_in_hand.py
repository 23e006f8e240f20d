"""A connector in a learner's hands: parted on the board, typed, put in when wiring one's own, printed; and what is refused in one sentence."""

import json
import re
import xml.etree.ElementTree as ET

import pytest

import circuitlab as cl
from circuitlab.arrangements import Hold, bare, changed, read_change, shelf
from circuitlab.arrangements.apart import Apart
from circuitlab.arrangements.keys import file_table
from circuitlab.arrangements.parted import parted
from circuitlab.arrangements.tried import Tried
from circuitlab.benches.board.desk import TICK, Desk
from circuitlab.commands.build_sheets import build_sheet
from circuitlab.ground.errors import CircuitLabError
from circuitlab.parts import Connector
from circuitlab.parts.connector import TYPES, pins_of
from circuitlab.reasoning.why import why
from circuitlab.views.build_sheet.plugs import half_words
from circuitlab.views.plug_picture import VIEWS, plug_pictures

FLAT = cl.arrangement("trailer-4-flat-combined-lamps")


def hear(desk, **message):
    """Return what a desk answers, by kind, the last of each."""
    return {answer["kind"]: json.loads(json.dumps(answer)) for answer in desk.hear({"act": desk.last + 1, **message})}


# ------------------------------------------------------------------ on the board

def test_a_hand_parts_the_plug_and_puts_it_back():
    """The trailer's lamps go out, the cart's stay, the socket keeps its volts; what is offered and said is a plug's."""
    desk = Desk(FLAT)
    assert [*desk.still()["pulled"]["X5"]] == ["part the plug", "put the plug in"]
    hear(desk, kind="act", at=0, control="brake pedal", position="held")
    gone = hear(desk, kind="change", at=TICK, what="out", name="X5")
    assert gone["now"]["listed"] == ["X5 parted"] and gone["ahead"]["said"].startswith("X5 parted. ")
    assert gone["now"]["apart"] == "X5 parted: as it stands nothing is proved. With all put back, " and desk.still()["plugs"] == ["X5"]
    point = desk.live.at(2.0)
    assert point.light("E7") < 0.01 and point.light("E1") > 0.5 and point.volts("X5:3s") > 11 and point.is_floating("X5:3p")
    assert dict(desk.present.held) == {"X5": "parted"}
    back = hear(desk, kind="change", at=3 * TICK, what="back", name="X5")
    assert back["now"]["apart"] == ""
    assert back["ahead"]["said"].startswith("X5 mated again. ") and desk.present == FLAT and desk.live.at(4.0).light("E7") > 0.5


def test_a_parted_plug_beside_a_lifted_wire_and_a_fuse_is_found_again_in_a_script():
    apart = Apart(FLAT).without("X5").without("F1").lifted("W32", "X5:3p")
    said = [str(change) for change in apart.changes]
    assert said == ["lose W32 at X5:3p", "hold X5 parted", "lose W1 at F1:1", "lose W2 at F1:2"]
    tried, again = parted(Tried(cl.Changes(FLAT)), ["set X5 pins \"3: 2 ohm\"", *said])
    assert tried.words == ('set X5 pins "3: 2 ohm"',)
    assert set(again.out) == {"X5", "F1"} and again.off == (("W32", "X5:3p"),)
    assert again.with_back("X5").with_back("F1").joined("W32", "X5:3p").arrangement == changed(FLAT, read_change('set X5 pins "3: 2 ohm"', FLAT))


def test_the_drawing_shows_each_pin_apart_and_says_so():
    """As wide a sheet either way; the blade of a parted or open pin ends before the cup."""
    whole, apart = cl.operating_point(FLAT), cl.operating_point(changed(FLAT, Hold("X5", "parted")))
    for draw in (cl.draw, cl.draw_attached):
        one, other = str(draw(FLAT, whole)), str(draw(changed(FLAT, Hold("X5", "parted")), apart))
        assert ">parted<" in other and ">parted<" not in one
        assert all(f'data-terminal="X5:{end}"' in one for end in FLAT.part("X5").terminals)


def test_why_a_lamp_is_dark_names_the_pin_that_is_open_or_the_plug_that_is_parted():
    def told(change):
        return why(cl.operating_point(changed(FLAT, change), {"brake pedal": "held"}), "E7:1")

    assert told(cl.SetValue("X5", "pins", "3: inf")).endswith("X5 is open from 3s to 3p.")
    assert "X5 is parted" in told(Hold("X5", "parted"))


# ------------------------------------------------------------------ wired by oneself

def test_the_shelf_offers_connectors_and_a_wire_goes_onto_each_half():
    offered = {ready.words: ready.sentence for ready in shelf(bare())}
    assert offered["connector to a trailer, 12N"] == "add part X2 connector, type 12N"
    own = bare()
    for sentence in (offered["connector to a trailer, 12N"], "add part E1 lamp", "add wire W1 from G1:+ to X2:6s", "add wire W2 from X2:6p to E1:1",
                     "add wire W3 from E1:2 to X2:3p", "add wire W4 from X2:3s to X1:1", "add wire W5 from X1:2 to G1:-"):
        own = changed(own, read_change(sentence, own))
    assert cl.operating_point(own).light("E1") > 0.5
    poor = changed(own, read_change('set X2 pins "6: 0.5 ohm; 3: inf"', own))
    assert poor.part("X2").pins == (("3", float("inf")), ("6", 0.5)) and cl.operating_point(poor).lamp_volts("E1") == 0
    comma = changed(own, read_change('set X2 pins "3: inf, 6: 0,5 ohm"', own))
    assert comma == poor and str(cl.SetValue("X2", "pins", poor.part("X2").pins)) == 'set X2 pins "3: inf, 6: 0.5 ohm"'
    assert changed(poor, read_change("set X2 pins none", poor)).part("X2").pins == ()
    assert cl.operating_point(changed(own, read_change("hold X2 parted", own))).light("E1") == 0


def test_the_keys_of_a_connector_are_told():
    told = {key: allowed for keys in file_table("connector").keys for key, allowed in keys.allowed.items()}
    assert all(f'"{each}"' in told["type"] for each in TYPES) and "table of ohms" in told["pins"] and "table of ohms" in told["water"]


@pytest.mark.parametrize(("sentence", "says"), [
    ("add wire W99 from X5:5s to E1:1", "connector 'X5' has no terminal '5s'. It has: 1s, 2s, 3s, 4s, 1p, 2p, 3p, 4p."),
    ("add wire W99 from X5:3 to E1:1", "connector 'X5' has no terminal '3'. It has: 1s, 2s, 3s, 4s, 1p, 2p, 3p, 4p. Did you mean '3s'?"),
    ("set X5 plug 12N", "connector 'X5': a 12N plug does not go into a 4-flat socket. Allowed: 4-flat."),
    ("set X5 plug \"4-flat and 4-flat\"", "connector 'X5': one plug goes into a socket, got '4-flat and 4-flat'. Give each plug a socket of its own"),
    ("set X5 type 5-flat", "type must be 12N, 13-pin, 4-flat, 7-blade, 24N or 15-pin, got '5-flat'."),
    ("set X5 pins \"9: 2 ohm\"", "connector 'X5' (4-flat) has no pin '9'. It has: 1, 2, 3, 4."),
    ("set X5 pins 3", "pins has '', and must be pins with their ohms, such as {'3': 2.0}, or typed \"3: 2 ohm, 5: inf\"."),
    ("set X5 pins \"3: 2 V\"", "pins 3: "), ("set X5 pins \"3: 1 ohm; 3: 2 ohm\"", "pins 3 is given twice."),
    ("set X5 water \"1-2: 1 ohm\"", "water 1-2 must be between 10 and inf ohm, got 1."),
    ("set X5 water \"1: 100 ohm\"", "water has '1', and must be pairs of pins with their ohms"),
    ("set X5 contact resistance 0", "contact resistance must be between 0.001 and 1000 ohm"),
])
def test_what_cannot_be_is_refused_in_one_sentence_that_says_what_can(sentence, says):
    with pytest.raises(CircuitLabError) as refused:
        changed(FLAT, read_change(sentence, FLAT))
    assert says in str(refused.value) and "\n" not in str(refused.value)


@pytest.mark.parametrize("plug", [("4-flat", "4-flat"), ["4-flat"], 7, None])
def test_two_plugs_on_one_socket_are_refused(plug):
    with pytest.raises(CircuitLabError, match="one plug goes into a socket, got .* Give each plug a socket of its own: a further connector"):
        Connector("X5", "4-flat", plug)


@pytest.mark.parametrize("pins", [7, {"3": None}, [("3",)], {3: 2.0}, {"": 2.0}, {"3": -1}, "x", [1, 2]])
def test_pins_that_say_nothing_are_refused(pins):
    with pytest.raises(CircuitLabError, match="connector 'X5'"):
        Connector("X5", "4-flat", pins=pins)


def test_a_file_with_two_plugs_or_text_for_ohms_is_refused():
    text = FLAT.write_text().replace('type = "4-flat"\n', '').replace('kind = "connector"', 'kind = "connector"\nplug = ["4-flat", "4-flat"]')
    with pytest.raises(CircuitLabError, match="'plug' must be text in quotes"):
        cl.arrangement(text)
    with pytest.raises(CircuitLabError, match="'pins' must be a table of ohms"):
        cl.arrangement(text.replace('plug = ["4-flat", "4-flat"]', 'pins = {3 = "poor"}'))


# ------------------------------------------------------------------ printed

def test_the_build_sheet_has_every_pin_with_the_wires_on_both_halves():
    page = ET.fromstring(build_sheet(FLAT).encode("utf-8"))
    table = next(table for table in page.iter("table") if "usual on it" in "".join(table.itertext()))
    found = [["".join(cell.itertext()) for cell in row] for row in table.find("tbody")]
    assert [row[0] for row in found] == ["1", "2", "3", "4"]
    for row, pin in zip(found, pins_of("4-flat"), strict=True):
        assert row[1] == pin["function"]
        for cell, side in zip(row[3:], "sp", strict=True):
            (name,) = FLAT.wires_at[f"X5:{row[0]}{side}"]
            assert cell == f"{name} {FLAT.part(name).colour}"
    said = "".join(page.itertext())
    assert "clamp on the frame off before a plug is opened" in said and "meter every pin" in said and "local code" in said
    assert "Plugs" not in build_sheet(cl.arrangement("one-fused-lamp"))


@pytest.mark.outside("common practice, from memory: a flat four on a vehicle shows one bare prong, that of the white wire, and its leads are moulded in; "
                     "contacts of a 12N bear the numbers of ISO 1724")
def test_the_sheet_says_which_half_of_a_flat_four_goes_on_the_vehicle_and_of_numbers_only_where_there_are_any():
    """No word of numbers that are not there; for kinds with alike halves no word of bare contacts."""
    flat, twelve = ("".join(ET.fromstring(build_sheet(cl.arrangement(name)).encode("utf-8")).itertext())
                    for name in ("trailer-4-flat-combined-lamps", "trailer-12n-separate-lamps"))
    assert "numbers are moulded" not in flat and "It has no numbers moulded in" in flat and "from the odd one" in flat
    assert "Its numbers are moulded beside each contact on the wire side" in twelve and "shrouded" not in twelve
    assert ("On the vehicle's half the live contacts 2, 3, 4 are shrouded and only 1, white, is bare; on the trailer's half it is the reverse" in flat
            and "never fit the half with 3 bare contacts to the vehicle" in flat and "The odd contact tells the ends apart" in flat)
    for kind in TYPES:
        assert bool(half_words(Connector("X5", kind))) == (kind == "4-flat")


@pytest.mark.outside("a trade page's mirror rule: the wire side of a plug is the mirror image of its mating face, 11 h at 1 h, 9 at 3, 7 at 5")
@pytest.mark.parametrize("kind", TYPES)
def test_the_two_views_are_each_others_mirror_image(kind):
    """The middle one and the rows stay; whatever is left in one is as far right in the other."""
    pictures = dict(plug_pictures(Connector("X5", kind)))
    if not pictures:
        assert pins_of(kind)[0]["across [1]"] is None
        return
    assert [*pictures] == [*VIEWS.values()]
    places = []
    for picture in pictures.values():
        marks = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*>(\d+)<', picture)
        places.append({pin: (float(x), float(y)) for x, y, pin in marks})
    wide = float(re.search(r'viewBox="0 0 (\d+)', picture)[1])
    one, other = places
    assert one.keys() == other.keys() == {row["pin"] for row in pins_of(kind)}
    assert all(one[pin][1] == other[pin][1] and abs(one[pin][0] + other[pin][0] - wide) < 1.1 for pin in one)
    swapped = {"7-blade": (("3", "4"), ("5", "6"), ("1", "2")), "4-flat": (("1", "4"), ("2", "3")), "12N": (("6", "2"), ("5", "3"), ("1", "1"), ("4", "4"))}[kind]
    assert ("notch" in picture) == (kind in ("12N", "7-blade"))
    assert all(abs(one[left][0] - other[right][0]) < 1.1 for left, right in swapped)


def own_plug(kind):
    """The sheet of an empty board with one connector, as its words."""
    whole = changed(cl.changes.bare(), read_change(f"add part X9 connector, type {kind}", cl.changes.bare()))
    return " ".join("".join(ET.fromstring(build_sheet(whole).encode("utf-8")).itertext()).split())


def test_a_face_that_no_source_tells_is_left_out_and_the_sheet_says_so():
    for kind in TYPES:
        assert ("so there is no picture" in own_plug(kind)) == (pins_of(kind)[0]["across [1]"] is None)


@pytest.mark.outside("the colours of caravans and motor homes on a 7-blade: green tail, red left, brown right, yellow reversing; from memory")
def test_the_second_colour_code_of_a_7_blade_is_told_where_its_pins_are():
    said = own_plug("7-blade")
    assert all(words in said for words in ("pin 3, tail, green", "pin 5, left stop and turn, red", "pin 6, right stop and turn, brown", "pin 7, reversing, yellow", "from memory"))
    assert "pin 1, ground" not in said.partition("A second code")[2].partition("(from memory)")[0]
    assert all("second code" not in own_plug(kind).lower() for kind in TYPES if kind != "7-blade")
