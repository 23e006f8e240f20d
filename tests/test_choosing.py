"""Which arrangement fits: the answers of ``choose`` beside tables reasoned from the wiring by hand, the files, and the proofs."""

import tomllib
from dataclasses import replace
from itertools import product

import pytest

import circuitlab as cl
from circuitlab.arrangements import changed
from circuitlab.arrangements.wishes import MOST, WISHES
from circuitlab.commands.line import main
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning.choosing import Offer
from circuitlab.reasoning.choosing.lacks import UNTOLD, lacks
from circuitlab.reasoning.choosing.traits import traits
from circuitlab.views.choice_words import WIDE, choice_html, choice_text, needs_words, offer_text, tail_text, unproved_words, worst_words

from test_expected_rows import NAMES, expected

FOLDER = kit_folder("datasets") / "arrangements"
WRONG = {"tied-stop-and-turn", "tied-through-diodes"}      # kept as lessons; their files say "Not to be built"
EXACT = ("filaments", "lamps", "hazard", "trailer", "trailer_lamps")


def data(name):
    """Return an arrangement's file as plain data, read without the kit."""
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def by_hand(name):
    """Return what an arrangement is, from the rows reasoned by hand and from its file: nothing of it was solved."""
    controls, lamps, looks = expected(name)
    parts = data(name)["parts"]
    seen = {tuple(zip(controls, row)): cells for row, cells in looks.items()}

    def shows(lamp, look, **moved):
        wanted = {"key": "on", "brake pedal": "released", "turn lever": "off", "hazard": "off", "tail lamps": "off"} | {
            key.replace("_", " "): value for key, value in moved.items()}
        return any(cells[lamp] == look for row, cells in seen.items() if all(wanted.get(control) == where for control, where in row))

    stop = {lamp for lamp in lamps if shows(lamp, "steady", brake_pedal="held") and not shows(lamp, "steady")}
    turn = {lamp for lamp in lamps if shows(lamp, "flashing", turn_lever="left") or shows(lamp, "flashing", turn_lever="right")}
    of = {lamp: parts[lamp.partition(".")[0]] for lamp in lamps}      # a filament's is the lamp that it sits in
    towed = {lamp for lamp in lamps if "trailer" in of[lamp]["place"]}

    def kind(some):
        kinds = {of[lamp]["kind"].removeprefix("two-filament ") for lamp in some}
        return {"lamp": "bulbs", "LED lamp": "LED"}.get(kinds.pop() if len(kinds) == 1 else "", None)

    return {"filaments": None if not (stop and turn) else "shared" if stop & turn - towed else "separate",
            "lamps": kind((stop | turn) - towed), "trailer_lamps": kind((stop | turn) & towed),
            "hazard": "yes" if turn and all(shows(lamp, "flashing", hazard="on") for lamp in turn) else "no",
            "trailer": "yes" if towed & (stop | turn) else "no"}


HAND = {name: by_hand(name) for name in NAMES}
PROVED = {}


def proved(name):
    """Whether the proof of an arrangement holds, time courses included; asked of ``prove`` itself, once."""
    if name not in PROVED:
        PROVED[name] = cl.prove(cl.arrangement(name)).is_proved
    return PROVED[name]


def offered(choice):
    return [offer.arrangement.name for offer in choice.offers]


# ------------------------------------------------------------------ beside tables by hand, and the proofs

@pytest.mark.in_turn(4)
@pytest.mark.parametrize("name", sorted(set(NAMES) - {"tied-stop-and-turn"}))
def test_what_a_circuit_is_is_what_its_rows_by_hand_say(name):
    """Of all but the tie, whose rows tell no side from the other: there its rule is asked."""
    found = traits(cl.arrangement(name))
    if HAND[name]["filaments"] is None:
        assert found.filaments is None
    else:
        assert {wish: getattr(found, wish) for wish in EXACT} == HAND[name]


@pytest.mark.parametrize("plug", WISHES["plug"].choices)
@pytest.mark.in_turn(7, 1)
def test_the_plug_that_was_asked_for_is_the_one_of_what_is_offered(plug):
    """By the files: a part of the kind connector, of that type; where no file has one, none fits, and what does is told."""
    has = {name: next((part.get("type", "4-flat") for part in data(name)["parts"].values() if part["kind"] == "connector"), "none") for name in NAMES}
    choice = cl.choose(plug=plug, trailer="yes", most=1, faults=False)
    fitting = {name for name in NAMES if has[name] == plug and HAND[name]["trailer"] == "yes"}
    assert {*offered(choice), *(each.arrangement.name for each in (*choice.waiting, *choice.unproved))} == fitting
    assert choice.offers or any(miss.wish == "plug" and miss.instead in ("4-flat", "12N", "none") for near in choice.nearest for miss in near.misses)
    assert ("a 4-flat plug" in choice.text()) == (plug != "12N" and plug != "none")


EVERY_WISH = list(product((None, "shared", "separate"), (None, "bulbs", "LED"), (None, "yes", "no"), (None, "yes", "no")))
QUICK = (44,)       # a shared filament, bulbs, neither hazard nor trailer: a proof of less than a second


@pytest.mark.parametrize("wished", [wish if number in QUICK else pytest.param(wish, marks=pytest.mark.full) for number, wish in enumerate(EVERY_WISH)])
def test_the_best_offered_is_what_was_wished_and_is_proved(wished):
    """Over all 81 answers to four questions: by rows reasoned by hand, and a proof of its own."""
    wished = {name: value for name, value in zip(EXACT, wished) if value}
    choice = cl.choose(**wished, most=1, faults=False)
    fitting = {name for name in NAMES if HAND[name]["filaments"] and all(HAND[name][wish] == value for wish, value in wished.items())}
    named = {*offered(choice), *(each.arrangement.name for each in (*choice.waiting, *choice.unproved))}
    assert fitting - named <= {"tied-stop-and-turn"} and named - fitting <= {"tied-stop-and-turn"}
    assert not WRONG & {*offered(choice), *(each.arrangement.name for each in choice.waiting)}
    assert all(proved(name) for name in offered(choice))
    assert not any(proved(each.arrangement.name) for each in choice.unproved)
    assert bool(choice.offers) == any(proved(name) for name in fitting)


@pytest.mark.full
def test_everything_that_is_proved_and_signals_is_offered_once_there_is_room():
    """Every proof of the library; with no wish at all, and with each."""
    signal = {name for name in NAMES if HAND[name]["filaments"] and proved(name)}
    assert set(offered(cl.choose(most=len(NAMES), faults=False))) == signal
    for wish in EXACT:
        for value in WISHES[wish].choices:
            assert set(offered(cl.choose(**{wish: value}, most=len(NAMES), faults=False))) == {
                name for name in signal if HAND[name][wish] == value}


@pytest.mark.full
def test_what_lies_on_the_shelf_is_enough_for_what_is_offered():
    """Relays, poles and flashers counted from the files; a changeover relay left over serves as a make relay."""
    for relays, makes, poles in product((0, 2, 3), (0, 2), (1, 2, 5)):
        choice = cl.choose(changeover_relays=relays, make_relays=makes, poles=poles, most=1, faults=False)
        for each in (*(offer.found for offer in choice.offers), *choice.waiting):
            file = data(each.arrangement.name)
            ends = {wire[side] for wire in file["wires"].values() for side in ("start", "end")}
            used = [name for name, part in file["parts"].items() if part["kind"] == "relay"]
            change = sum(f"{name}:87a" in ends for name in used)
            assert change <= relays and len(used) <= relays + makes
            assert all(len(pairs) <= poles for part in file["parts"].values() for pairs in part.get("closes", {}).values())
    for type_ in WISHES["flasher"].choices:
        choice = cl.choose(flasher=type_, most=1, faults=False)
        assert all({part.get("type", "electronic free running") for part in data(each.arrangement.name)["parts"].values()
                    if part["kind"] == "flasher"} == {type_} for each in choice.waiting)
        assert choice.offers and all(part.type == type_ for part in choice.offers[0].arrangement.of_kind(cl.Flasher))


@pytest.mark.parametrize(("wished", "name", "gone"), [
    ({"filaments": "shared", "flasher": "thermal fixed load"}, "shared-filament-rear-relays", "remove W28"),
    pytest.param({"filaments": "shared", "flasher": "electronic load needing"}, "shared-filament-rear-relays", "remove W28", marks=pytest.mark.full),
    pytest.param({"hazard": "yes", "flasher": "thermal variable load"}, "shared-filament-rear-relays-hazard", "remove W48", marks=pytest.mark.full),
    ({"filaments": "separate", "hazard": "no", "trailer": "no", "flasher": "electronic free running"}, "separate-filaments", ""),
])
def test_a_flasher_of_another_type_is_exchanged_where_the_circuit_is_proved_with_it(wished, name, gone):
    """SAE J590 sorts flashers by their load; one that works by heat, or lives on its load, has 49 and 49a only: no wire to 31."""
    offer = cl.choose(**wished, most=1, faults=False).offers[0]
    changed = offer.arrangement
    assert changed.name == name and [part.type for part in changed.of_kind(cl.Flasher)] == [wished["flasher"]]
    wire = next((each for each, ends in data(name)["wires"].items() if "K9:31" in ends.values()), None)
    assert (wire in {each.name for each in changed.wires}) != bool(gone) and gone in ("", f"remove {wire}")
    assert cl.prove(changed).is_proved
    said = " ".join(offer_text(offer).split())
    assert f"{name}, K9 exchanged for {wished['flasher']}:" in said and f"What it needs: K9 exchanged for {wished['flasher']}; " in said
    assert gone in said


def test_a_flasher_that_cannot_be_exchanged_is_told_by_the_proof_with_it():
    """What works by heat of the lamps' current has too little of it in LED lamps: it never opens, and they stay on."""
    choice = cl.choose(lamps="LED", flasher="thermal fixed load", most=1, faults=False)
    told = {each.arrangement.name: unproved_words(each) for each in choice.unproved}
    assert not choice.offers and "E1 steady at 12.5 V, wanted flashing" in told["led-lamps-no-load"]
    assert told["led-lamps-no-load"].startswith("led-lamps-no-load, K9 exchanged for thermal fixed load: in 4 of 12 rows it breaks its rule")
    assert "times per minute, wanted 60 to 120" in told["led-lamps-load-resistors"]


@pytest.mark.full
def test_plus_on_the_frame_is_not_offered_where_it_leaves_the_live_side_without_fuses():
    """Nothing of the insulated body is on the frame, and its fuses lie in its plus leads, which the file shows."""
    file = data("insulated-body")
    assert not any(part["kind"] == "chassis" for part in file["parts"].values())
    assert all(not {wire["start"], wire["end"]} & {f"{fuse}:1" for fuse in ("F1", "F2")} or "G1:+" in wire.values() for wire in file["wires"].values())
    choice = cl.choose(frame="plus", most=3, faults=False)
    assert not choice.offers and choice.nearest[0].arrangement.name == "insulated-body"
    said = " ".join(choice.text().split())
    for words in ("no fuse lies between the battery's minus and K1, K2, K9, E1, E2, E3, E4", "move to the minus leads",
                  "It would fit if you asked for: minus on the frame"):
        assert words in said
    assert "either pole may be" not in said
    assert "insulated-body" in offered(cl.choose(filaments="shared", hazard="no", trailer="no", frame="minus", most=21, faults=False))


def test_plus_on_the_frame_is_offered_where_the_fuses_lie_in_the_minus_leads(tmp_path, monkeypatch):
    """The insulated body with its battery turned round: fuses and switches in the minus leads, which plus on the frame makes live."""
    text = (FOLDER / "insulated-body.toml").read_text(encoding="utf-8")
    text = text.replace('"G1:+"', '"G1:?"').replace('"G1:-"', '"G1:+"').replace('"G1:?"', '"G1:-"')
    before, last = text.split('type = "electronic with lamp-out sensing"')
    text = f'{before}type = "thermal fixed load"\nrated_load = 53.0\nvolts = 13.5{last}'
    wire = next(name for name, wire in data("insulated-body")["wires"].items() if "K9:31" in wire.values())
    text = "".join(f"[{table}" if number else table for number, table in enumerate(text.split("[")) if not table.startswith(f"wires.{wire}]"))
    folder = tmp_path / "arrangements"
    folder.mkdir()
    (folder / "turned-round.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr("circuitlab.arrangements.library.kit_folder", lambda _: tmp_path)
    choice = cl.choose(frame="plus", faults=False)
    assert offered(choice) == ["turned-round"] and choice.offers[0].arrangement.frame == "plus"
    assert 'nothing of it is on the frame; write frame = "plus" into its file' in " ".join(choice.text().split())


def test_best_is_what_takes_least_and_the_order_says_so():
    """Counted from the files: relays first, then poles, parts and metres; the numbers stand with each."""
    choice = cl.choose(hazard="no", trailer="no", most=3, faults=False)
    counts = []
    for offer in choice.offers:
        file = data(offer.arrangement.name)
        parts = file["parts"].values()
        counts.append((sum(part["kind"] == "relay" for part in parts),
                       max(len(pairs) for part in parts for pairs in part.get("closes", {}).values()),
                       sum(part["kind"] not in ("splice", "chassis") for part in parts),
                       sum(wire.get("length", cl.Wire("W1", "E1:1", "E1:2").length) for wire in file["wires"].values())))
        relays, poles, things, metres = counts[-1]
        assert (f"{relays} relay{'s' * (relays != 1)}, {poles} pole{'s' * (poles != 1)} in one switch, {things} parts without joints, "
                f"{metres:.0f} m of wire") in " ".join(offer_text(offer).split())
    assert counts == sorted(counts) and len(counts) == 3
    assert "fewest relays, then fewest poles in one switch, then fewest parts, then least wire" in " ".join(choice.text().split())


# ------------------------------------------------------------------ what a circuit cannot do, its worst fault, what it needs

def test_what_it_cannot_do_is_what_its_rows_show():
    """Of four that differ: rows by hand have the rear lamp flash with the pedal held, the third stop lamp steady, hazard hide stop."""
    alike = {name: traits(cl.arrangement(name)) for name in
             ("separate-filaments", "third-stop-lamp", "hazard-third-relay", "shared-filament-rear-relays-hazard")}
    told = {name: "; ".join(lacks(found)) for name, found in alike.items()}
    assert "show stop in the lamp that signals" not in told["separate-filaments"]
    assert "E9 rear centre still shows stop" in told["third-stop-lamp"]
    assert "(E1 rear left, E2 rear right) flashes, pedal held or not" in told["hazard-third-relay"]
    assert "show stop in any lamp while hazard is on" in told["hazard-third-relay"] and "signal hazard" not in told["hazard-third-relay"]
    assert "light tail lamps" in told["hazard-third-relay"] and "light tail lamps" not in told["shared-filament-rear-relays-hazard"]
    assert all("signal on a trailer" in words for words in told.values())


@pytest.mark.parametrize(("name", "tells"), [("separate-filaments", True), ("flashing-line-only", False)])
def test_a_blown_turn_lamp_is_told_by_a_flasher_that_senses_it(name, tells):
    """SAE J1690: one with lamp-out sensing hurries; a free running one, a variable load, tells nobody (NHTSA nht76-2.34)."""
    circuit = cl.arrangement(name)
    table = cl.fault_table(circuit, faults=cl.changes.single_faults(circuit, ["blown lamp"]))
    assert (UNTOLD in lacks(traits(circuit), table)) != tells


@pytest.mark.parametrize("name", [name for name in NAMES if HAND[name]["filaments"]])
@pytest.mark.in_turn(24, 2)
def test_no_fault_spoils_more_rows_than_the_one_called_worst_and_fires_are_told_apart(name):
    """Counted again from the rows of the fault table, for every arrangement that signals."""
    found = traits(cl.arrangement(name))
    table = cl.fault_table(found.arrangement)
    words, rows = {}, len(table.rows)
    for line in table.lines:
        of_row = [set(effect.classes) for effect in line.effects]
        words[line.fault.words] = (sum(bool(each & {"wrong signal", "signal lost"}) for each in of_row), any("fire risk" in each for each in of_row))
    said = worst_words(Offer(found, found.proof, {}, table))
    called = max((fault for fault in words if f"more rows than this: {fault}. In " in said), key=len)
    count, burns = words[called]
    assert not burns and f"In {count} of {rows} rows a signal is wrong or lost" in said
    assert count == max(count for count, burns in words.values() if not burns)
    burning = [fault for fault, (_, burns) in words.items() if burns]
    assert f"Fire risk with: {'; '.join(burning[:3])}{f'; and {len(burning) - 3} more' if len(burning) > 3 else ''}." in said


def test_a_fault_table_is_worked_out_once():
    choice = cl.choose(filaments="separate", trailer="no", most=1)
    offer = choice.offers[0]
    again = cl.choose(filaments="separate", trailer="no", most=1)
    assert again.offers[0].table is offer.table, "it was worked out twice"


def test_what_it_needs_is_counted_from_it():
    offer = cl.choose(filaments="shared", lamps="LED", most=1, faults=False).offers[0]
    said = " ".join(offer_text(offer).split())
    for words in ("2 x changeover relay", "1 x flasher, electronic with lamp-out sensing, 49 49a 31, for 42 W, switches 35 W",
                  "1 x switch for turn lever, 2 poles: off, left, right", "2 x resistor, 4.7 ohm, 50 W, hot: some 32 W while on",
                  "2 x LED lamp, LED for P21W, red", "2 x LED lamp, LED for PY21W, amber", "1 x blade fuse, 3 A"):
        assert words in said
    assert "resistor" not in offer_text(cl.choose(filaments="shared", lamps="bulbs", most=1, faults=False).offers[0])


@pytest.mark.parametrize(("name", "load"), [("separate-filaments", "2 x 21 W"), ("hazard-third-relay", "2(4) x 21 W"),
                                            ("combined-turn-stop-lever-trailer", "3 x 21 W"), ("flashing-line-only", "1 x 21 W")])
def test_what_a_flasher_switches_is_counted_in_lamps_by_its_wiring(name, load):
    """By hand from the files: front and rear of a side, all four with hazard, a trailer's too; by flashing line the front lamp alone."""
    said = needs_words(traits(cl.arrangement(name)))
    assert f"1 x flasher, electronic {'free running' if name == 'flashing-line-only' else 'with lamp-out sensing'}, 49 49a 31" in said
    assert f", switches {load};" in said
    lamps = [part for part in data(name)["parts"].values() if part["kind"] == "lamp"]
    red = sum(part.get("light", "red") == "red" for part in lamps)
    assert f"; {red} x lamp, P21W, red; {len(lamps) - red} x lamp, P21W, amber;" in said


def test_law_and_tell_tale_words_stand_where_lamps_and_controls_call_for_them():
    """FMVSS 108 and UN R48, both from memory. Which lamps are red, and that none is on the dash, from the files."""
    for name in (name for name in NAMES if HAND[name]["filaments"]):
        parts, said = data(name)["parts"], "; ".join(lacks(traits(cl.arrangement(name))))
        shared = HAND[name]["filaments"] == "shared" or any(part.get("place") == "trailer left" for part in parts.values())
        lamps = [part for part in parts.values() if "lamp" in part["kind"]]
        assert ("red rear turn signals" in said) == shared, name
        assert ("allowed in the US (FMVSS 108), not under UN R48, which wants amber (from memory; local code decides)" in said) == shared
        assert ("no tell-tale lamp" in said) == (HAND[name]["hazard"] == "yes") and not any("dash" in lamp["place"] for lamp in lamps)
        assert ("approval of the whole lamp" in said) == (HAND[name]["lamps"] == "LED" or any(lamp["kind"] == "LED lamp" for lamp in lamps))


def test_a_tell_tale_lamp_on_the_dash_that_flashes_with_hazard_is_seen():
    circuit = cl.arrangement("hazard-third-relay")
    lit = replace(traits(circuit), arrangement=cl.changed(circuit, cl.SetValue("E3", "place", "dash, tell-tale")))
    assert not any("tell-tale" in words for words in lacks(lit)) and any("tell-tale" in words for words in lacks(traits(circuit)))


def test_a_trailer_that_nobody_spoke_of_is_not_offered_before_what_has_none():
    """Of all that fits shared filaments: those without come first, whatever they take; asked for, a trailer is offered."""
    ranked = sorted(NAMES, key=lambda name: traits(cl.arrangement(name)).rank)
    calm = [name for name in ranked if not traits(cl.arrangement(name)).opposed]
    towed = [HAND[name]["trailer"] == "yes" for name in calm]
    assert towed == sorted(towed) and 2 < sum(towed) < len(towed)


def test_turn_lamps_of_a_side_that_flash_against_each_other_are_told_and_rank_behind():
    """UN R48 6.5 (direction indicators), from memory: all of a side in phase. Which flash against each other: stop and flash by exclusive-or, as their files say."""
    signal = [name for name in NAMES if HAND[name]["filaments"]]
    told = {name for name in signal if any("in phase" in words for words in lacks(traits(cl.arrangement(name))))}
    assert told == {name for name in signal if "xclusive-or" in data(name)["note"] + data(name)["title"]} and len(told) == 4
    words = lacks(traits(cl.arrangement("flashing-line-only")))[0]
    assert words.endswith("with key on, brake pedal held, turn lever left, E1 rear left is dark while E3 front left is lit")
    circuit = cl.arrangement("flashing-line-only")
    for phase in ("on", "off"):
        point = cl.operating_point(circuit, circuit.positions({"key": "on", "brake pedal": "held", "turn lever": "left"}), phase)
        assert (point.light("E1") > 0.5) != (point.light("E3") > 0.5)
    choice = cl.choose(filaments="shared", trailer="no", flasher="electronic free running", most=1, faults=False)
    assert offered(choice) == ["switched-ground-coils"] and choice.waiting[-1].arrangement.name == "flashing-line-only"


# ------------------------------------------------------------------ what is not offered

def test_what_is_wrong_is_left_out_by_its_proof_and_the_sentence_says_where():
    choice = cl.choose(filaments="shared", most=1, faults=False)
    left = {each.arrangement.name: each for each in choice.unproved}
    assert WRONG <= set(left) and not WRONG & {*offered(choice), *(each.arrangement.name for each in choice.waiting)}
    for name in WRONG:
        proof = cl.prove(cl.arrangement(name), timing=False)
        assert unproved_words(left[name]).startswith(f"{name}: in {len(proof.failing_rows)} of {proof.all_rows} rows it breaks its rule, first ")
        assert proof.failures[0].sentence in unproved_words(left[name])


def test_what_time_alone_refutes_is_left_out():
    """LED lamps without a load: every row is right, and the flasher hurries. Rules allow 120 a minute (StVZO s.54)."""
    choice = cl.choose(lamps="LED", most=2, faults=False)
    assert "led-lamps-no-load" not in offered(choice)
    assert cl.prove(cl.arrangement("led-lamps-no-load"), timing=False).is_proved
    assert "wanted 60 to 120 flashes per minute" in {each.arrangement.name: unproved_words(each) for each in choice.unproved}["led-lamps-no-load"]


@pytest.mark.in_turn(7)
@pytest.mark.parametrize("wished", [
    {"filaments": "separate", "hazard": "yes"}, {"filaments": "shared", "changeover_relays": 0}, {"lamps": "LED", "frame": "plus"},
    {"filaments": "shared", "trailer": "yes", "hazard": "yes"}, {"lamps": "LED", "flasher": "thermal fixed load"}, {"hazard": "yes", "poles": 1, "changeover_relays": 1},
    {"hazard": "yes", "changeover_relays": 1, "make_relays": 1}])
def test_where_none_fits_each_near_one_says_what_rules_it_out_and_fits_once_that_is_changed(wished):
    choice = cl.choose(**wished, most=1, faults=False)
    assert not choice.offers and choice.nearest and "None of " in choice.text()
    assert [len(each.misses) for each in choice.nearest] == sorted(len(each.misses) for each in choice.nearest)
    assert len({tuple(near.instead.items()) for near in choice.nearest}) == len(choice.nearest)
    for near in choice.nearest:
        assert {*near.instead} <= {*wished} and near.proof.is_proved
        mended = cl.choose(**{**wished, **near.instead}, most=1, faults=False)
        assert near.arrangement.name in {*offered(mended), *(each.arrangement.name for each in mended.waiting)}
        words = f"{near.arrangement.name}: {'; '.join(miss.why for miss in near.misses)}. It would fit if you asked for"
        assert words in " ".join(choice.text().split()).replace("ground- coils", "ground-coils")


def test_of_near_ones_none_asks_more_than_another():
    """Without relays: lamps of their own, or two relays; neither three relays nor both at once."""
    choice = cl.choose(filaments="shared", changeover_relays=0, most=1, faults=False)
    assert [near.instead for near in choice.nearest] == [{"filaments": "separate"}, {"changeover_relays": "2"}]
    assert "It would fit if you asked for: 2 changeover relays on the shelf." in " ".join(choice.text().split())


def test_an_arrangement_added_to_the_library_is_a_candidate_by_itself(tmp_path, monkeypatch):
    """Two files under other names and titles: the good one is offered, the tie under a good name is not."""
    folder = tmp_path / "arrangements"
    folder.mkdir()
    for name, called in (("shared-filament-rear-relays", "my-new-one"), ("tied-stop-and-turn", "best-of-all")):
        text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8").replace(f'title = "{data(name)["title"]}"', f'title = "{called}"')
        (folder / f"{called}.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr("circuitlab.arrangements.library.kit_folder", lambda _: tmp_path)
    choice = cl.choose(filaments="shared", faults=False)
    assert choice.looked == 2 and offered(choice) == ["my-new-one"]
    assert [each.arrangement.name for each in choice.unproved] == ["best-of-all"]


# ------------------------------------------------------------------ bad input

@pytest.mark.parametrize(("given", "says"), [
    ({"filaments": "both"}, "choose has no value of 'filaments' 'both'. It has: shared, separate."),
    ({"plug": "4-pin"}, "It has: none, 12N, 13-pin, 4-flat, 7-blade, 24N, 15-pin. Did you mean '4-flat'?"),
    ({"hazard": "ys"}, "choose has no value of 'hazard' 'ys'. It has: yes, no. Did you mean 'yes'?"),
    ({"lamps": ["LED"]}, "choose: 'lamps' must be one of bulbs, LED, not ['LED']. Leave it out where it does not matter."),
    ({"changeover_relays": -1}, "choose has no value of 'changeover_relays' '-1'. It has: 0, 1, "),
    ({"changeover_relays": 2.5}, "choose: 'changeover_relays' must be one of 0, 1, "),
    ({"poles": 0}, "choose has no value of 'poles' '0'. It has: 1, 2, "),
    ({"poles": MOST + 1}, f"choose has no value of 'poles' '{MOST + 1}'. It has: 1, 2, "),
    ({"make_relays": 2}, "choose: 'make_relays' is given without 'changeover_relays'. A changeover relay serves as a make relay too: say how"),
    ({"trailer_lamps": "LED", "trailer": "no"}, "choose: 'trailer_lamps' is given, and 'trailer' is no. Lamps on a trailer need a trailer: ask for one,"),
    ({"flasher": "free running"}, "Did you mean 'electronic free running'?"),
    ({"most": 0}, "choose: 'most' must be 1 or more, got 0."),
    ({"haz": "yes"}, "choose has no argument 'haz'. It has: filaments, lamps, hazard, trailer,"),
])
def test_bad_input_is_one_sentence_with_what_is_allowed(given, says):
    with pytest.raises(cl.CircuitLabError) as caught:
        cl.choose(**given)
    assert says in str(caught.value) and "\n" not in str(caught.value)


def test_yes_and_no_may_be_true_and_false_and_letters_any_case():
    assert cl.choose(hazard=True, lamps="Bulbs", filaments="SEPARATE", faults=False).wished == {
        "filaments": "separate", "lamps": "bulbs", "hazard": "yes"}


def test_stopped_it_chooses_nothing():
    with pytest.raises(cl.CircuitLabError, match="stopped after 0 of [0-9]+ arrangements: nothing is chosen"):
        cl.choose(progress=lambda done, total, what: False)
    traits.cache_clear()
    with pytest.raises(cl.CircuitLabError, match="stopped after 5 of [0-9]+ arrangements"):
        cl.choose(progress=lambda done, total, what: done < 5)


# ------------------------------------------------------------------ shown, and the command

def test_a_choice_shows_itself_in_a_notebook_as_a_table():
    choice = cl.choose(filaments="shared", lamps="LED", faults=False)
    assert choice._repr_html_() == choice_html(choice) and str(choice) == choice_text(choice)
    assert "<caption" in choice_html(choice) and "<th" in choice_html(choice) and "led-lamps-load-resistors" in choice_html(choice)
    assert repr(choice).startswith(f"Of {len(NAMES)} arrangements the best that fit: led-lamps-load-resistors.")
    assert "led-lamps-no-load" in choice_html(choice), "what is left out is said there as well"
    assert max(map(len, choice_text(choice).splitlines())) <= WIDE


def test_the_command_prints_what_the_function_says(capsys):
    assert main(["choose", "--filaments", "separate", "--trailer", "no"]) == 0
    out = capsys.readouterr().out
    assert out == choice_text(cl.choose(filaments="separate", trailer="no")) + "\n"
    assert "Worst single fault: fires apart, none spoils more rows than this: ground joint of W23 at X1:8 lost" in out and max(map(len, out.splitlines())) <= WIDE


def test_the_command_leaves_with_1_where_none_fits(capsys):
    assert main(["choose", "--filaments", "separate", "--hazard", "yes", "--no-faults"]) == 1
    assert "None of " in capsys.readouterr().out


@pytest.mark.parametrize(("words", "says"), [
    (["--hazard", "yes", "--hazard", "no"], "--hazard is given as yes and as no: one circuit cannot be both."),
    (["--flasher", "thermal"], "Did you mean 'thermal fixed load'?"), (["--most", "0"], "'most' must be 1 or more"),
    (["--frame", "zinc"], "choose has no value of 'frame' 'zinc'. It has: minus, plus."),
])
def test_bad_options_are_one_sentence_and_leave_with_2(words, says, capsys):
    assert main(["choose", *words]) == 2
    printed = capsys.readouterr()
    assert says in printed.err and printed.err.count("\n") == 1 and not printed.out


class Seat:
    """A keyboard at which somebody types lines."""

    def __init__(self, *lines, is_there=True):
        self.lines, self.is_there = [f"{line}\n" for line in lines], is_there

    def isatty(self):
        return self.is_there

    def readline(self):
        return self.lines.pop(0) if self.lines else ""


def test_at_a_keyboard_it_asks_one_thing_after_the_other(capsys, monkeypatch):
    """A number, a word, a word that is not there, and Enter; make relays are not asked for where none are counted."""
    monkeypatch.setattr("sys.stdin", Seat("2", "bulbs", "maybe", "no", "no", "", "", "4", ""))
    assert main(["choose", "--no-faults"]) == 0
    out = capsys.readouterr().out
    assert [wish.question for wish in WISHES.values() if wish.question not in out] == [
        WISHES[name].question for name in ("trailer_lamps", "plug", "make_relays")]
    assert "choose has no value of 'hazard' 'maybe'. It has: yes, no." in out and "2  separate: " in out
    assert ('The same again: python -m circuitlab choose --filaments separate --lamps bulbs --hazard no --trailer no --flasher '
            '"electronic with lamp-out sensing"') in out
    assert "1. separate-filaments: " in out


def test_of_vehicle_and_trailer_it_is_asked_apart_which_lamps_they_have(capsys, monkeypatch):
    """Bulbs on the cart, LED lamps on what it tows: by the files one circuit has that, and it says which lamps are meant."""
    both = {name for name in NAMES if (HAND[name]["lamps"], HAND[name]["trailer_lamps"]) == ("bulbs", "LED")}
    monkeypatch.setattr("sys.stdin", Seat("", "bulbs", "", "yes", "2", "", "", "", "", "", ""))
    assert main(["choose", "--no-faults"]) == 0
    out = capsys.readouterr().out
    asked = [WISHES[name].question for name in ("lamps", "trailer", "trailer_lamps")]
    assert [each for each in sorted(asked, key=out.index)] == asked and "vehicle itself" in asked[0] and "the trailer" in asked[2]
    assert "--lamps bulbs --trailer yes --trailer-lamps LED" in out
    assert both and all(f". {name}: " in out for name in both) and "bulbs on the vehicle; " in out and "LED lamps on the trailer" in " ".join(out.split())
    assert set(offered(cl.choose(lamps="bulbs", trailer_lamps="LED", faults=False))) == both
    assert not {name for name in NAMES if HAND[name]["trailer"] == "no"} & set(offered(cl.choose(trailer_lamps="bulbs", most=9, faults=False)))


def test_answers_that_end_too_soon_are_a_stop(capsys, monkeypatch):
    monkeypatch.setattr("sys.stdin", Seat("1"))
    assert main(["choose"]) == 130
    assert capsys.readouterr().err.endswith(".\n")


def test_without_a_keyboard_nothing_is_asked(capsys, monkeypatch):
    monkeypatch.setattr("sys.stdin", Seat(is_there=False))
    assert main(["choose", "--no-faults", "--most", "1"]) == 0
    out = capsys.readouterr().out
    assert "> " not in out and out.startswith("You asked for: anything that signals stop and turn.")


def test_stopped_while_faults_are_looked_at_it_says_so(capsys, monkeypatch):
    def interrupt(*_, **__):
        raise KeyboardInterrupt
    monkeypatch.setattr("circuitlab.reasoning.choosing.choosing._tables", {})
    monkeypatch.setattr("circuitlab.reasoning.choosing.choosing.fault_table", interrupt)
    assert main(["choose", "--filaments", "separate", "--trailer", "no"]) == 130
    printed = capsys.readouterr()
    assert printed.out.startswith("You asked for: ") and "Worst single fault" not in printed.out and "stopped" in printed.err


@pytest.mark.parametrize(("flasher", "is_told"), [("thermal fixed load", True), ("electronic with lamp-out sensing", False)])
def test_it_is_told_that_a_drawing_has_the_kits_own_flasher_where_another_one_is_offered(flasher, is_told):
    """The commands named below the offers draw what the library has."""
    choice = cl.choose(filaments="shared", hazard="no", flasher=flasher, most=1, faults=False)
    assert ("both show the kit's own" in " ".join(tail_text(choice).split())) == is_told


@pytest.mark.outside("UN R48 6.5.8, a tell-tale for the turn signals of a trailer; from memory")
def test_where_a_plug_is_asked_for_what_a_trailer_on_the_road_has_besides_is_named():
    for name in ("trailer-4-flat-combined-lamps", "trailer-12n-separate-lamps"):
        found = traits(cl.arrangement(name))
        told = "; ".join(lacks(found, plug="4-flat"))
        assert "light a rear fog lamp on the trailer and a lamp for the trailer's plate: none is there" in told and "UN R48 6.5.8" in told and "local code" in told
        assert "6.5.8" not in "; ".join(lacks(found)) and "fog" not in "; ".join(lacks(found))
    assert "6.5.8" not in "; ".join(lacks(traits(cl.arrangement("separate-filaments")), plug="4-flat"))
    (offer,) = cl.choose(plug="12N", trailer="yes", faults=False).offers
    assert any("UN R48 6.5.8" in words for words in offer.lacks)


def test_a_fog_lamp_a_plate_lamp_and_a_tell_tale_are_found_by_their_places():
    whole = cl.arrangement("trailer-12n-separate-lamps")
    lamps = [cl.changes.AddPart(cl.Lamp(name, bulb="R5W", place=place, light=light)) for name, place, light in (
        ("E20", "trailer rear fog", "red"), ("E21", "trailer plate", "white"), ("E22", "dash", "amber"), ("E23", "dash", "amber"))]
    wires = [cl.AddWire(cl.Wire(f"W{number}", start, end, area=0.75)) for number, (start, end) in enumerate((
        ("X3:1", "E22:1"), ("E22:2", "X1:1"), ("X4:1", "E23:1"), ("E23:2", "X1:1")), 80)]
    told = "; ".join(lacks(traits(changed(whole, *lamps, *wires)), plug="12N"))
    assert "fog" not in told and "plate" not in told and "6.5.8" not in told
