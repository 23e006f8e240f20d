"""The readings that reveal faults: under a load where the circuit draws too little, in phases that come, told from others."""

from dataclasses import replace

import pytest

from circuitlab import arrangement, fault_table, operating_point, run, take_reading
from circuitlab.arrangements import SetValue, arrangement_names, changed
from circuitlab.arrangements.typed_changes import read_change
from circuitlab.ground.quantities import say
from circuitlab.parts import Relay
from circuitlab.reasoning.faults import single_faults
from circuitlab.reasoning.faults.loaded import WATTS, clips
from circuitlab.reasoning.faults.probing import Probing
from circuitlab.views.fault_words import fault_table_text, reading_words

from small_boards import buzzer

APART = 0.5     # V, less nobody tells on a meter in a shop: common practice


def faults_of(cart, *words):
    found = [fault for fault in single_faults(cart) if any(part in fault.words for part in words)]
    assert found
    return found


def table_of(cart, *words):
    return fault_table(cart, faults=faults_of(cart, *words))


# ------------------------------------------------------------------ under a load

AHEAD = [("separate-filaments", "joint of W6 at F2:1"), ("separate-filaments", "joint of W7 at S1:30"),
         ("separate-filaments", "joint of W8 at K9:49"), ("combined-turn-stop-lever", "joint of W4 at F2:1"),
         ("combined-turn-stop-lever", "joint of W5 at S1:30"), ("combined-turn-stop-lever", "joint of W6 at K9:49"),
         ("hazard-by-diodes", "joint of W11 at K9:49")]


def lamp_behind(ohms, volts=12.6, rated=12.0):
    """Return the volts of a lamp behind a joint, its current going with the 0.55th power of its volts. [V]"""
    low, high = 0.0, volts
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if middle + ohms * WATTS / rated * (middle / rated) ** 0.55 > volts else (middle, high)
    return low


@pytest.mark.in_turn(7)
@pytest.mark.outside("lamp makers' rerating: the current of a filament goes with the 0.55th power of its volts; Ohm's law for the joint")
@pytest.mark.parametrize("name, words", AHEAD)
def test_a_bad_joint_ahead_of_a_flasher_is_told_under_a_lamp_clipped_on(name, words):
    """5 ohm lose half the battery to a 21 W bulb; a good joint loses next to nothing. Common practice: a known load."""
    table = table_of(arrangement(name), words + " corroded")
    (line,) = table.lines
    told = table.reading(line)
    behind = words.rpartition(" ")[2]
    assert told.before == f"a lamp of 21 W clipped on from {behind} to X1:1 as a load" and behind in (told.healthy.red, told.healthy.black)
    lost = 12.6 - lamp_behind(5.0)
    good, bad = (each.value if each.black == behind else 12.6 - each.value for each in (told.healthy, told.faulty))
    assert abs(good) < 0.3 and bad == pytest.approx(lost, abs=0.3)
    assert not any(told.running), "nobody waits for a flasher where the joint is read at rest"
    said = reading_words(told, line.is_short)
    assert "21 W clipped on" in said and "when healthy" in said and "output" not in said


@pytest.mark.full
def test_no_lamp_is_clipped_on_where_a_plain_reading_tells_or_on_a_short():
    for name in ("separate-filaments", "relay-test-board"):
        table = fault_table(arrangement(name))
        told = [(line, table.reading(line)) for line in table.lines if line.worst != "no effect"]
        loaded = [line for line, each in told if each and "clipped" in each.before]
        assert not [line.fault.words for line in loaded if line.is_short]
        assert {line.fault.words.partition(" at ")[0] for line in loaded} <= {f"joint of W{number}" for number in (6, 7, 8)}


def test_no_lamp_is_clipped_on_where_a_fuse_would_blow_by_it():
    """21 W draw 1.75 A: for long no fuse of 1 A stands that; ahead of the fuse nothing hinders."""
    cart = changed(arrangement("separate-filaments"), SetValue("F2", "rating", 1.0))
    probing = Probing(cart)
    both = probing.healthy, probing.of(faults_of(cart, "joint of W7 at S1:30 corroded")[0])
    rest = (cart.positions(),)
    assert not [clip for clip in clips(both, rest, {"S1:30"}) if clip.words.endswith("G1:- as a load")]
    assert [clip.terminal for clip in clips(both, rest, {"F2:1"})][:1] == ["F2:1"]


# ------------------------------------------------------------------ phases that come

def is_asked(said):
    """Whether the words ask for a phase before they say what is read."""
    return "output" in said.partition(": ")[0]


@pytest.mark.parametrize("words", ["flasher K9 dead", "flasher K9 stuck on"])
def test_nobody_waits_for_a_phase_that_a_broken_flasher_never_has(words):
    table = table_of(arrangement("separate-filaments"), words)
    told = table.reading(table.lines[0])
    said = reading_words(told)
    assert told.running[1] == {} and not is_asked(said) and "now all the time" in said and "when healthy while K9 output is" in said


@pytest.mark.parametrize("words", ["ground joint of W22 at X1:7 lost", "W8 open at K9:49", "F2 blown"])
def test_nobody_waits_for_a_phase_that_makes_no_difference(words):
    """Ahead of the flasher and at its ground the volts are the same whether its output is on or not."""
    table = table_of(arrangement("separate-filaments"), words)
    told = table.reading(next(line for line in table.lines if words in line.fault.words))
    assert told.running == ({}, {}) and "output" not in reading_words(told) and "all the time" not in reading_words(told)
    for circuit, each in ((table.arrangement, told.healthy), (table.lines[0].fault.apply(table.arrangement), told.faulty)):
        both = [operating_point(circuit, each.positions, phase).meter(each.red, each.black) or 0.0 for phase in ("on", "off")]
        assert abs(both[0] - both[1]) < APART


def test_across_a_part_red_is_held_to_the_plus_side():
    table = table_of(arrangement("shared-filament-rear-relays"), "relay K1 welded", "W2 open", "W15 open", "joint of W7")
    for told in map(table.reading, table.lines):
        if told.healthy.instrument == "meter":
            assert max((told.healthy.shown, told.faulty.shown), key=abs) > 0


THERMAL = ("thermal fixed load", "thermal variable load", "electronic with lamp-out sensing")


def swings_in_time(cart, positions):
    """Whether the flasher goes on and off by itself once it has settled, by the time course."""
    course = run(cart, [(0.0, *item) for item in positions.items()], until=6.0)
    return len({event.state for event in course.events if event.name == "K9" and event.time > 2.0} & {"on", "off"}) == 2


@pytest.mark.in_turn(3, 2)
@pytest.mark.parametrize("kind", THERMAL)
def test_a_reading_asks_only_for_phases_that_come_in_time(kind):
    """Held against the time course, which plays the flasher's law instead of holding its phase."""
    cart = changed(arrangement("separate-filaments"), SetValue("K9", "type", kind)) if kind == THERMAL[2] else replace(
        arrangement("separate-filaments"), parts=tuple(replace(part, type=kind) if part.name == "K9" else part
                                                       for part in arrangement("separate-filaments").parts),
        wires=tuple(wire for wire in arrangement("separate-filaments").wires if "K9:31" not in wire.terminals))
    table = table_of(cart, "E5 blown", "flasher K9", "W13 open", "joint of W10", "switch S1 stuck as with key on", "W9 open")
    seen = set()
    for line in table.lines:
        told = table.reading(line)
        for circuit, reading, running in zip((cart, line.fault.apply(cart)), (told.healthy, told.faulty), told.running):
            if reading.instrument == "meter" and not told.before:
                swings = swings_in_time(circuit, reading.positions)
                assert swings or not running, (line.fault.words, reading.brief)
                other = operating_point(circuit, reading.positions, "off" if reading.phases["K9"] == "on" else "on")
                same = other.is_settled and abs((other.meter(reading.red, reading.black) or 0.0) - reading.shown) < APART
                assert running or same or not swings, (line.fault.words, reading.brief)
                seen.add(bool(running))
    assert seen == {True, False}


def test_a_row_at_rest_names_no_phase():
    table = table_of(arrangement("separate-filaments"), "F1 blown", "W4 open")
    assert not any("output" in reading_words(table.reading(line)) for line in table.lines)


# ------------------------------------------------------------------ rows in which a display comes to rest

LEAST_STAY = 0.2     # s, of a phase that a hand meter shows: 3 to 5 readings a second. Common practice
WARM = 1.0           # s, in which relays have moved and filaments are warm
OFTEN_RESTLESS = ("corroded joint", "blown lamp", "lost ground joint", "short between neighbours")


def stays(course, name, phase):
    """Return how long the output of a flasher stayed in a phase each time, once warm, by the events of a course. [s]"""
    own = [event for event in course.events if event.name == name and event.time > WARM]
    return [after.time - event.time for event, after in zip(own, own[1:]) if event.state == phase]


def why_unreadable(circuit, reading, running):
    """Return why no hand and no meter could read what is promised, by a time course that knows nothing of phases held; or nothing."""
    course = run(circuit, [(0.0, *item) for item in reading.positions.items()], until=4.0)
    if course.verdict in ("buzzing", "chatter"):
        return course.sentence
    short = {name: min(stays(course, name, phase), default=0.0) for name, phase in running.items()}
    return "; ".join(f"{name} is {running[name]} for {seconds:.3f} s only" for name, seconds in short.items() if seconds < LEAST_STAY)


def check_readable(table):
    """Whatever volts are promised can be read in the healthy circuit and in the faulty one; return how many, and how many in phases."""
    read, in_phases = 0, 0
    for line in table.lines:
        told = table.reading(line) if line.worst != "no effect" else None
        if told and told.healthy.instrument == "meter" and not told.before:
            for circuit, reading, running in zip((table.arrangement, line.fault.apply(table.arrangement)),
                                                 (told.healthy, told.faulty), told.running):
                assert not (why := why_unreadable(circuit, reading, running)), (line.fault.words, reading.brief, why)
            read, in_phases = read + 1, in_phases + any(told.running)
    return read, in_phases


@pytest.mark.in_turn(48)
@pytest.mark.parametrize("name", arrangement_names())
def test_no_reading_is_promised_that_no_meter_could_show(name):
    """No row that buzzes or chatters with the fault or without, no phase that is over before a display has come to rest."""
    cart = arrangement(name)
    read, in_phases = check_readable(fault_table(cart, faults=single_faults(cart, OFTEN_RESTLESS)))
    assert read and (in_phases or "K9" not in cart.by_name or name == "led-lamps-no-load")


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("words, terminal", [("joint of W6 at F2:1", "F2:1"), ("joint of W7 at S1:30", "S1:30"),
                                             ("joint of W8 at X2:1", "X2:1")])
def test_where_a_relay_chatters_a_bad_joint_is_read_at_rest_under_a_lamp_clipped_on(words, terminal):
    """With the lever over K1 chatters at 9.5 Hz; its off phase of 75 ms nobody reads. Volts dropped under a known load: common practice."""
    cart = arrangement("shared-filament-rear-relays")
    table = table_of(cart, f"{words} corroded")
    (line,) = table.lines
    faulty, told = line.fault.apply(cart), table.reading(line)
    assert run(faulty, [(0.0, "key", "on"), (0.0, "turn lever", "left")], until=2.0).verdict == "chatter"
    assert told.healthy.positions["turn lever"] == "off" and not any(told.running) and told.difference > 5
    assert told.before == f"a lamp of 21 W clipped on from {terminal} to X1:1 as a load"
    assert "output" not in reading_words(told)


def test_where_nothing_comes_to_rest_one_sentence_says_that_no_meter_tells():
    """A relay on its own rest contact buzzes whenever it is fed: volts are read with its switch off, and of a joint that tells nothing there none."""
    table = fault_table(buzzer())
    assert run(table.arrangement, [(0.0, "switch", "on")], until=2.0).verdict == "buzzing"
    told = {line.fault.words: table.reading(line) for line in table.lines}
    volts = [each for each in told.values() if each and each.healthy.instrument == "meter"]
    assert volts and {each.healthy.positions["switch"] for each in volts} == {"off"}
    joint = told["joint of W2 at K1:30 corroded, 5 ohm"]
    assert joint is None and reading_words(joint) == "no meter tells it plainly; look at lamps and joints."


# ------------------------------------------------------------------ told from the others

def read_again(table, line, told):
    """Return the volts of one fault at the place that was chosen for another, by solving it anew. [V]"""
    point = operating_point(line.fault.apply(table.arrangement), told.faulty.positions, told.faulty.phases)
    each = told.healthy
    return [turn.meter(each.red, each.black) or 0.0 for turn in ((point,) if point.is_settled else point.turns)]


def check_told_apart(table, chosen=None):
    """Whatever looks alike and is not named as read alike is half a volt away; whatever is named is not."""
    alike, apart = 0, 0
    for line in table.lines if chosen is None else chosen:
        told = table.reading(line)
        if line.is_short or told is None or told.healthy.instrument != "meter" or told.before or told.seen or not any(line.symptom):
            continue
        for other in table.lines:
            if other is line or other.symptom != line.symptom or other.is_short:
                continue
            volts = read_again(table, other, told)
            is_apart = bool(volts) and min(abs(each - told.faulty.shown) for each in volts) >= APART
            assert is_apart == (other.fault.words not in told.alike), (line.fault.words, other.fault.words)
            alike, apart = alike + (not is_apart), apart + is_apart
    return alike, apart


def test_a_loose_bolt_is_told_from_a_dead_flasher():
    """With the bolt off K9 has no ground and neither have the coils: their ends have volts against the frame."""
    cart = arrangement("hazard-by-diodes")
    table = table_of(cart, "ground bolt X1:6 loose", "flasher K9 dead", "W11 open at K9:49", "F3 blown")
    line = next(line for line in table.lines if "X1:6" in line.fault.words)
    told = table.reading(line)
    assert "X1:6" in {told.healthy.red, told.healthy.black} or told.healthy.red.startswith("K")
    dead = next(other for other in table.lines if "K9 dead" in other.fault.words)
    assert dead.symptom == line.symptom and dead.fault.words not in told.alike
    assert min(abs(volts - told.faulty.shown) for volts in read_again(table, dead, told)) > 1
    assert check_told_apart(table, [line])[1] >= 1


@pytest.mark.in_turn(2, 1)
@pytest.mark.parametrize("name", ["separate-filaments", "relay-test-board"])
def test_what_looks_alike_is_read_apart_or_named(name):
    alike, apart = check_told_apart(fault_table(arrangement(name)))
    assert apart > 20 and apart > 5 * alike


def test_bad_joints_in_one_line_are_each_told_across_them():
    """What is read across one wire accuses that wire alone: ohms, as the volts dropped come for 121 ms only. Common practice."""
    table = table_of(arrangement("separate-filaments"), "corroded")
    line = table.line("joint of W9 at S3:49a corroded, 5 ohm")
    told = table.reading(line)
    assert {told.healthy.red, told.healthy.black} == {"K9:49a", "S3:49a"} and told.alike == ()
    assert told.healthy.value < 0.1 and told.faulty.value >= 5


def test_a_touch_that_no_meter_tells_from_another_says_so():
    table = fault_table(arrangement("one-fused-lamp"))
    for line in table.lines:
        told = table.reading(line)
        for words in told.alike if told else ():
            assert line.fault.words in table.reading(table.line(words)).alike or "touches" in words
    text = " ".join(fault_table_text(table).split())
    assert "It reads the same with:" in text


def test_a_broken_coil_is_told_from_a_stuck_contact_in_ohms():
    """With volts both have 12 V at the coil and a contact that stays; ohms with the battery off tell the coil. Common practice."""
    table = table_of(arrangement("relay-test-board"), "relay K1 stuck released", "coil of K1 broken", "W5 open")
    told = table.reading(table.line("coil of K1 broken"))
    assert told.healthy.instrument == "ohms" and told.healthy.value == pytest.approx(85, abs=1) and told.alike == ()
    assert {told.healthy.red, told.healthy.black} & {"K1:86", "K1:85"}


@pytest.mark.full
def test_nobody_is_sent_to_tell_no_way_from_a_junctions_ohms():
    """Through electronics and junctions every ohmmeter shows something else, some show no way. Common practice."""
    for name in ("hazard-by-diodes", "led-lamps-no-load"):
        table = table_of(arrangement(name), "K9", "joint of W43", "touches G1", "E1:1 touches")
        for told in filter(None, map(table.reading, table.lines)):
            if told.healthy.instrument == "ohms":
                far = [each.value is None or each.value >= 2000 for each in (told.healthy, told.faulty)]
                assert far != [True, True], told.healthy.brief


# ------------------------------------------------------------------ ohms that real parts blur

@pytest.mark.in_turn(3, 1)
@pytest.mark.outside("sheets of mini relays: a coil's resistance is within 10 %; IEC 60028: copper takes 0.393 % more for each kelvin")
@pytest.mark.parametrize("name, words", [("shared-filament-four-relays", "joint of W16 at K9:49 corroded"),
                                         ("switched-ground-coils", "joint of W13 at K9:49 corroded"),
                                         ("shared-filament-rear-relays", "joint of W12 at K9:49 corroded")])
def test_no_ohms_are_told_that_warm_or_other_coils_would_give_as_well(name, words):
    """Five ohm more in the way of 42 or 80 of coils: good relays of a warm day read so too. A lamp clipped on tells plainly."""
    table = table_of(arrangement(name), words)
    told = table.reading(table.lines[0])
    assert told.healthy.instrument == "meter" and told.difference > 4 and "21 W clipped on" in told.before


@pytest.mark.in_turn(3, 2)
@pytest.mark.parametrize("name", ["shared-filament-rear-relays", "switched-ground-coils", "relay-test-board"])
def test_ohms_that_reveal_a_fault_do_so_with_all_coils_colder_or_warmer(name):
    """Every ohms reading of a corroded joint or a wire that touches, with all coils 10 % off and 20 K warmer or colder, faulty against healthy."""
    cart = arrangement(name)
    table, off = table_of(cart, "corroded", "touches"), 1.1 * (1 + 0.00393 * 20)
    for line in table.lines:
        told = table.reading(line) if line.worst != "no effect" else None
        if not told or told.healthy.instrument != "ohms" or None in (told.healthy.value, told.faulty.value) or told.before:
            continue
        low, high = sorted((told.healthy, told.faulty), key=lambda each: each.value)
        circuits = {id(told.healthy): cart, id(told.faulty): line.fault.apply(cart)}
        ends = []
        for reading, factor in ((low, off), (high, 1 / off)):
            circuit = circuits[id(reading)]
            coils = [SetValue(relay.name, "coil_resistance", min(100e3, factor * relay.coil_resistance)) for relay in circuit.of_kind(Relay)]
            point = operating_point(changed(circuit, *coils), reading.positions, reading.phases)
            ends.append(take_reading(point, reading.red, reading.black, "ohms").value)
        assert ends[0] is None or ends[0] < ends[1], (line.fault.words, low, high, ends)


# ------------------------------------------------------------------ one value for all of a flash

VARIED = [("shared-filament-rear-relays", "W16 open at K1:87", "joint of W25 at X1:4 corroded, 5 ohm")]


@pytest.mark.parametrize("name, words", [(name, each) for name, *words in VARIED for each in words])
def test_what_is_not_the_same_all_through_a_flash_is_told_as_its_most(name, words):
    """Each phase of the row is solved anew, without a meter: the greatest stands behind ``at most``, and is not there in the other."""
    cart = arrangement(name)
    (fault,) = faults_of(cart, words)
    table = table_of(cart, words)
    telltale = table.reading(table.line(fault))
    said, told = reading_words(telltale), 0
    for circuit, reading, when in ((cart, telltale.healthy, " when healthy"), (fault.apply(cart), telltale.faulty, " now")):
        volts = [abs(operating_point(circuit, reading.positions, phase).across(reading.red, reading.black) or 0.0)
                 for phase in ({"K9": "on"}, {"K9": "off"})]
        value = say(max(volts), "V")
        if f"at most {value}{when}" in said:
            told += 1
            assert min(volts) < max(volts) / 2
    assert told and " all the time" not in said


def test_what_is_the_same_all_through_a_flash_is_not_told_as_its_most():
    """Behind a dead flasher there is one reading, and it stands."""
    cart = arrangement("shared-filament-rear-relays")
    (fault,) = faults_of(cart, "flasher K9 dead")
    table = table_of(cart, "flasher K9 dead")
    said = reading_words(table.reading(table.line(fault)))
    assert "1 mV now all the time" in said and "at most" not in said


def test_a_firm_reading_is_advised_before_a_display_that_drifts():
    """With key off everything behind the open wire floats; with key on a coil or a lamp holds it at 0.0 V."""
    table = table_of(arrangement("shared-filament-four-relays"), "W6 open at F2:1")
    told = table.reading(table.lines[0])
    assert "F2:1" in (told.faulty.red, told.faulty.black)
    assert told.faulty.value == pytest.approx(0.0, abs=0.05) and told.healthy.value > 12
    point = operating_point(table.lines[0].fault.apply(table.arrangement), dict(told.faulty.positions), "off")
    assert point.volts("F2:1") is not None, "joined to the pole that volts are counted from"


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", ["hazard-third-relay", "hazard-by-diodes"])
def test_a_flashers_output_on_its_ground_is_told_in_ohms(name):
    """4900 ohm whole, through its electronics, of which nobody knows the ohms; but no whole one has some milliohm."""
    cart = arrangement(name)
    table = fault_table(cart, faults=[read_change("short K9:49a to K9:31", cart)])
    told = table.reading(table.lines[0])
    assert table.lines[0].is_short and told.faulty.instrument == "ohms"
    assert told.faulty.value < 0.1 and told.healthy.value > 1000
