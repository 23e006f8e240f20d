"""What a customer says of tail lamps and of a trailer: which lamps are meant, in which row, and what is raised by it."""

import pytest

import circuitlab as cl
from circuitlab.ground.errors import CircuitLabError
from circuitlab.reasoning.finding.customers import read_symptoms
from circuitlab.reasoning.finding.finding import find

FLAT, SEPARATE, FILAMENTS = (cl.arrangement(name) for name in (
    "trailer-4-flat-combined-lamps", "trailer-12n-separate-lamps", "tail-and-stop-two-filaments"))
TAILS = ("rear left tail", "rear right tail", "trailer left tail", "trailer right tail")
REARS = ("rear left", "rear right", "trailer left", "trailer right")
ON_TRAILER = ("trailer left", "trailer right", "trailer left tail", "trailer right tail")
BOTH = "brake pedal held and tail lamps on"


def told(said, circuit=FLAT):
    return [str(each) for each in read_symptoms(said, circuit)]


def each_of(lamps, rest):
    return [f"{lamp} {rest}" for lamp in lamps]


@pytest.mark.parametrize(("said", "means"), [
    ("tail lamps glow when braking", each_of(TAILS, "glows when brake pedal held")),
    ("the tail lights flicker when turn left", each_of(TAILS, "flickers when key on and turn lever left")),
    ("trailer left flashes dim when turn left", ["trailer left dim when key on and turn lever left"]),
    ("E7 dimly flashing when turn left", ["trailer left dim when key on and turn lever left"]),
    ("trailer left tail pulses with the flasher when turn left and tail lamps on", ["trailer left tail flickers when key on and turn lever left and tail lamps on"]),
    ("tail lamps dim when braking", each_of(TAILS, "dim when brake pedal held")),
    ("tail lamps lit when braking, only with the trailer", each_of(TAILS, "lit when brake pedal held, only with the trailer")),
    ("the tail lights come on when I brake", each_of(TAILS, "steady when brake pedal held")),
    ("all tail lamps glow dim when I brake", each_of(TAILS, "glows when brake pedal held")),
    ("tail lamps glow when braking with tail lamps on", each_of(TAILS, f"glows when {BOTH}")),
    ("tail lamps dim when tail lamps on and braking", each_of(TAILS, f"dim when {BOTH}")),
    ("tail lamps dim with the tail lamps on when braking", each_of(TAILS, f"dim when {BOTH}")),
    ("tail lamps dark when braking", each_of(TAILS, f"dark when {BOTH}")),       # dark anyway with their own switch off
    ("tail lamps fine when braking", each_of(TAILS, f"steady when {BOTH}")),
    ("brake lights glow when tail lamps on", each_of(REARS, "glows when tail lamps on")),
    ("brake lights dim with tail lamps on", each_of(REARS, f"dim when {BOTH}")),
    ("turn signals glow when braking", each_of(("front left", "front right"), "glows when brake pedal held")),    # the others shall be lit then
    ("no tail lamps", each_of(TAILS, "dark when tail lamps on")),
])
def test_lamps_at_the_head_are_those_spoken_of_and_not_their_switch(said, means):
    assert told(said) == [each.replace(" lit ", " steady ") for each in means]
    assert [told(each) for each in told(said)] == [[each] for each in told(said)]


def test_tail_filaments_of_two_bulbs_are_the_tail_lamps():
    assert told("tail lamps glow when braking", FILAMENTS) == each_of(("rear left tail", "rear right tail"), "glows when brake pedal held")
    assert [each.lamp for each in read_symptoms("tail lamps glow when braking", FILAMENTS)] == ["E1.58", "E2.58"]


@pytest.mark.outside("tail lamps that light with the pedal: a lost ground, current goes back through other lamps; common practice")
@pytest.mark.parametrize(("circuit", "places"), [(FLAT, {"X5:1s", "X5:1p"}), (FILAMENTS, {"E1:31", "E2:31"})], ids=["trailer", "two filaments"])
def test_tail_lamps_that_glow_when_braking_have_lost_a_ground(circuit, places):
    first, second = find(circuit, "tail lamps glow when braking").causes[:2]
    assert all(places & {*cause.place} and "open" in cause.words for cause in (first, second)), (first.words, second.words)


@pytest.mark.parametrize(("said", "means"), [
    ("trailer lamps dim when braking", each_of(ON_TRAILER[:2], "dim when brake pedal held")),
    ("trailer lamps all glow dim when I brake", each_of(ON_TRAILER[:2], "dim when brake pedal held")),
    ("all trailer lamps dark when braking", each_of(ON_TRAILER[:2], "dark when brake pedal held")),
    *((said, each_of(ON_TRAILER, f"dark when {BOTH}")) for said in (
        "no trailer lights", "no trailer lamps at all", "no lights on the trailer", "none of my trailer lights work", "trailer lights do not work",
        "everything on the trailer is dark", "nothing on the trailer works")),
    ("left trailer lamps dead", each_of(("trailer left", "trailer left tail"), f"dark when {BOTH}")),
    ("no trailer turn signals", ["trailer left dark when key on and turn lever left", "trailer right dark when key on and turn lever right"]),
    ("left trailer turn dead", ["trailer left dark when key on and turn lever left"]),
    ("my trailer's left turn signal is dead", ["trailer left dark when key on and turn lever left"]),
    ("trailer left turn signal dead", ["trailer left dark when key on and turn lever left"]),
    ("trailer right turn dark, since it rained", ["trailer right dark when key on and turn lever right, since it rained"]),
    ("right trailer brake light dead", ["trailer right dark when brake pedal held"]),
    ("left brake light on the trailer does not work", ["trailer left dark when brake pedal held"]),
    ("trailer tail lamps dark", each_of(ON_TRAILER[2:], "dark when tail lamps on")),
    ("trailer left lamp glows when tail lamps on", ["trailer left glows when tail lamps on"]),      # one lamp, by its place
    ("trailer left tail glows dim when braking", ["trailer left tail glows when brake pedal held"]),
])
def test_lamps_of_a_trailer_are_a_group(said, means):
    assert told(said) == means


@pytest.mark.parametrize(("said", "means"), [
    ("left trailer turn dead", "trailer left turn dark when key on and turn lever left"),
    ("trailer left stop dead", "trailer left stop dark when brake pedal held"),
    ("trailer left turn steady when braking", "trailer left turn steady when brake pedal held"),
])
def test_a_lamp_of_a_trailer_with_a_place_of_its_own_stays_that_lamp(said, means):
    assert told(said, SEPARATE) == [means]


@pytest.mark.parametrize(("circuit", "said", "says"), [
    (FLAT, "everything works until I hitch the trailer", "behind a comma that it is so only then: 'rear left dim when braking, only with the trailer'"),
    (FLAT, "rear left dim when braking with the trailer", "'rear left dim when braking, only with the trailer'"),
    (FLAT, "all fine but rear lights dim when the trailer is plugged in", "only with the trailer"),
    (FLAT, "trailer left dead", "does not say when"), (SEPARATE, "trailer tail dead", r"may be E13, E14\. Name one: E13 \(trailer left tail\), E14 \(trailer right tail\)\.$"),
    (FILAMENTS, "no trailer lights", "no lamp of .* has 'trailer' in its place"), (FLAT, "rear left dim with a noise", "noise"), (FLAT, 5, "a sentence must be words"),
])
def test_what_is_said_of_a_trailer_in_no_form_of_ours_gets_one_sentence(circuit, said, says):
    with pytest.raises(CircuitLabError, match=says):
        read_symptoms(said, circuit)


def test_with_in_the_name_of_a_control_stays_there(tmp_path):
    cl.save(cl.arrangement("one-fused-lamp"), tmp_path / "lamp.toml")
    text = (tmp_path / "lamp.toml").read_text(encoding="utf-8")
    (tmp_path / "box.toml").write_text(text.replace("lamp switch", "lamp with box"), encoding="utf-8")
    circuit = cl.load(tmp_path / "box.toml")
    assert told("E1 dim when lamp with box on", circuit) == ["load bed dim when lamp with box on"]


def odds_of(found):
    """Return how likely each repair is. [1]"""
    return {cause.repair: cause.odds for cause in found.causes}


def test_only_with_the_trailer_says_nothing_of_a_lamp_of_the_trailer_itself():
    beside, said = "rear left flashing when turn left", "trailer left dark when turn left"
    plain, with_trailer = find(FLAT, [said, beside]), find(FLAT, [f"{said}, only with the trailer", beside])
    assert odds_of(plain) == odds_of(with_trailer)
    assert any(cause.place == ("X5",) for cause in with_trailer.causes)


@pytest.mark.outside("a fault of the vehicle's lamps that comes with the trailer: look at connector and the trailer's ground first; common practice")
def test_only_with_the_trailer_raises_the_connector_for_a_lamp_of_the_vehicle():
    said = "rear left tail glows when braking"
    before, after = (odds_of(find(FLAT, words)) for words in (said, f"{said}, only with the trailer"))
    pin, white, coupling = (next(repair for repair in before if name in repair) for name in ("pin 1 of X5", "W41", "W42"))
    bolt = next(repair for repair in before if "X1:1" in repair)
    assert all(after[repair] > 1.5 * before[repair] for repair in (pin, white, coupling)) and after[bolt] < before[bolt]


# ------------------------------------------------------------------ what a beginner's plug has

@pytest.mark.parametrize("name, swapped, said", [
    ("trailer-4-flat-combined-lamps", ("X5:3p", "X5:4p"), ["trailer right flashing when turn left", "trailer left dark when turn left", "front left flashing when turn left"]),
    ("trailer-12n-separate-lamps", ("X5:1p", "X5:4p"), ["trailer right turn flashing when turn left", "trailer left turn dark when turn left",
                                                           "front left flashing when turn left"]),
    ("trailer-12n-separate-lamps", ("X5:1s", "X5:6s"), ["trailer left turn steady when braking", "trailer left stop dark when braking"]),
    ("trailer-4-flat-converter", ("K11:Lt", "K11:Rt"), ["trailer right flashing when turn left", "trailer left dark when turn left",
                                                      "rear left turn flashing when turn left"])])
def test_two_cores_put_on_each_others_pin_are_among_the_first_suspects(name, swapped, said):
    """What is left beside them looks the same from behind: lamps or the other half's cores crossed."""
    found = find(cl.arrangement(name), said, [])
    first = next(cause for cause in found.causes if set(swapped) <= set(cause.words.split()))
    assert first.odds > 0.1 and found.causes[0].odds - first.odds < 0.02
    assert all("crossed" in cause.words for cause in found.causes if cause.odds > 0.1)


@pytest.mark.parametrize("volts", [4.0, 9.0, 11.8, 12.5])
def test_a_lost_ground_of_a_converter_is_found_whatever_its_pin_then_reads(volts):
    """What is inside it is the kit's own guess, so that 8 V are expected there: any volts on a ground pin mean that its wire is open."""
    found = find(cl.arrangement("trailer-4-flat-converter"), ["trailer left dark when turn left", "trailer right dark when braking",
                    "rear left turn flashing when turn left"], [f"{volts} V at K11:31 when tail lamps on"])
    assert "W49" in found.causes[0].words and found.causes[0].odds > 0.5


@pytest.mark.parametrize(("said", "readings", "sentence"), [
    (["trailer tail lamps pulse with the flasher"], [], "does not say which signal is on"),
    (["no tail lamps"], ["F4 missing"], "Say 'F4 blown' where it is missing as well")])
def test_what_cannot_be_taken_as_it_is_said_is_answered_with_what_can(said, readings, sentence):
    with pytest.raises(CircuitLabError, match=sentence):
        find(SEPARATE, said, readings)
