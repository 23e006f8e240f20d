"""The arrangement as a text file: reading, canonical writing, and every way a file can be broken."""

import hashlib
import re
from dataclasses import replace
from math import inf

import pytest

from circuitlab.arrangements import (Arrangement, Hold, LoseJoint, Wanted, arrangement, arrangement_names, changed,
                                     load, read_text, save, write_text)
from circuitlab.ground.errors import CircuitLabError, FileError, UnknownName
from circuitlab.ground.places import kit_folder
from circuitlab.parts import (KINDS, Battery, Breaker, Chassis, Connector, Control, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp,
                              Relay, Resistor, Splice, Switch, TwoFilamentLamp, Wire)
from circuitlab.parts.flasher import SENSING, THERMAL_FIXED

FOLDER = kit_folder("datasets") / "arrangements"


def every_kind():
    """Return an arrangement made by hand: every kind of part, odd names, every sort of value away from its default."""
    control = Control("Hebel \N{GREEK SMALL LETTER ALPHA}, \"main\"", ("off", "half way", "on"),
                      ("on", "off", "half way"))
    parts = [Battery("G1", 14.2, 0.01, place="left \\ right"), Fuse("F1", 7.5, note='says "7,5"'), Breaker("F2", 30.0),
             Resistor("R1", 4700.0), Splice("X1", 5), Chassis("X2", 3, 0.004, body_resistance=0.002),
             Flasher("K9", 85.0, 0.4, SENSING, "dash", "", True, 47.0, 5.0, 98.0, 12.8, 0.05),
             Flasher("K8", type=THERMAL_FIXED, rated_load=53.0),
             Diode("V1", 0.8, 3.0, 0.02, "in the loom"), LedLamp("E2", 13.5, 2.0, threshold=6.0, load_resistance=6.0),
             TwoFilamentLamp("E7", "1157", "amber", "turned round", True, "rear", "worn holder"), Relay("K2", "dual", coil_temperature=85.0, suppression="resistor", suppression_resistance=680.0),
             Lamp("E1", 12.0, 5.0, "", "amber", "front", "line one\nline two"),
             Relay("K1", "make", 90.0, 6.5, 1.5, 0.012, 0.008, 0.003, 0.006),
             Connector("X5", "12N", "12N", {"3": 2.0, "5": inf}, {"2-3": 500.0}, 0.02, "hitch"), Converter("K11", "unpowered", "plain", 3.0, 2.0, 24.0, True, "tail", "odd one"),
             FuseBlock("F5", "30: 10 A, 7.5 A mini blade clips 0.25 ohm, spare; 15: 3 A torpedo clips inf", "left", "note"),
             DistributionBlock("X6", "15: 3, 31: 4", 60.0, False, "right", "no cover"),
             Switch("S 1", control.name, {"half way": [("1", "2")], "on": [("1", "2"), ("1", "3")]}, "key", 0.02,
                    note="tab\there, \N{SNOWMAN}")]
    wires = [Wire("W1", "G1:+", "F1:1", "RD", 0.2, 2.5),
             Wire("W2", "F1:2", "S 1:1", "RDBU", 1.0, 1.5, 0.5, inf, "loose"),
             Wire("W3", "S 1:2", "E1:1", "", 1.0, 0.75, temperature=60.0), Wire("W4", "E1:2", "G1:-", "BK")]
    rule = [Wanted("E1", "steady", {control.name: "on"}), Wanted("E1", "dark")]
    held = (("F1", "blown"), ("S 1", "half way"))
    return Arrangement('all "kinds"', [control], parts, wires, rule, held, "all-kinds",
                       "\N{DEGREE SIGN} = # not a comment; \N{EN DASH}")


def test_the_hand_made_arrangement_holds_every_kind_of_part():
    assert {part.kind for part in every_kind().listed} == set(KINDS)


@pytest.mark.parametrize("name", arrangement_names())
def test_reading_and_writing_a_kit_file_gives_the_same_bytes(name):
    raw = (FOLDER / f"{name}.toml").read_bytes()
    circuit = arrangement(name)
    assert write_text(circuit).encode("utf-8") == raw
    assert read_text(write_text(circuit), name) == circuit
    assert circuit.name == name and "orchard cart" in circuit.note


@pytest.mark.parametrize("circuit", [
    every_kind(), changed(arrangement("one-fused-lamp"), LoseJoint("W3", "S1:2"), Hold("F1", "blown")),
    Arrangement("one battery", parts=[Battery("G1")])], ids=["every kind", "with faults", "bare"])
def test_reading_back_what_was_written_gives_an_equal_record(circuit):
    again = read_text(write_text(circuit), circuit.name)
    assert again == circuit
    assert write_text(again) == write_text(circuit)


def test_equal_arrangements_give_equal_bytes_however_their_tables_were_given():
    one = every_kind()
    pairs = replace(one.rule[0], when=dict(one.rule[0].when))
    two = replace(one, parts=list(one.parts), wires=list(one.wires), rule=[pairs, one.rule[1]], held=dict(one.held))
    assert two == one and write_text(two) == write_text(one)


def test_a_whole_number_for_a_float_makes_an_equal_arrangement_and_equal_bytes():
    circuit = arrangement("one-fused-lamp")
    whole = circuit.with_parts(replace(circuit.part("F1"), rating=5), replace(circuit.part("W3"), length=2))
    assert whole == circuit and write_text(whole) == write_text(circuit)


def test_defaults_written_out_by_hand_are_read_as_the_same_arrangement():
    text = write_text(arrangement("one-fused-lamp"))
    longer = text.replace('kind = "battery"', 'kind = "battery"\nvoltage = 12.6')
    assert longer != text and write_text(read_text(longer)) == text


def test_whole_numbers_and_a_windows_file_are_read_too():
    text = write_text(arrangement("one-fused-lamp"))
    assert read_text(text.replace("rating = 5.0", "rating = 5"), "one-fused-lamp") == arrangement("one-fused-lamp")
    assert read_text(text.replace("\n", "\r\n"), "one-fused-lamp") == arrangement("one-fused-lamp")


# ------------------------------------------------------------------ files on disk

def test_save_and_load_give_the_same_arrangement_and_may_be_repeated(tmp_path):
    path = tmp_path / "all-kinds.toml"
    save(every_kind(), path)
    first = path.read_bytes()
    assert load(path) == every_kind()
    save(load(path), path)
    assert path.read_bytes() == first
    assert arrangement(str(path)) == every_kind()


@pytest.mark.parametrize("mark", ["# measured on the bench\n", "  # indented\n", 'note = "x" # beside a value\n',
                                  'note = "x"# close by\n'])
def test_a_file_with_comments_of_a_person_is_not_overwritten_unless_told(tmp_path, mark):
    path = tmp_path / "mine.toml"
    path.write_text(mark + 'format = 1\ntitle = "mine"\nparts.G1.kind = "battery"\n', encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(FileError, match=r"'mine.toml' holds comments.*another name, or say replace_comments=True"):
        save(load(path), path)
    assert path.read_bytes() == before
    save(load(path), path, replace_comments=True)
    assert load(path).title == "mine" and b"bench" not in path.read_bytes()


def test_a_hash_inside_a_note_is_not_taken_for_a_comment(tmp_path):
    path = tmp_path / "mine.toml"
    hashed = replace(arrangement("one-fused-lamp"), name="mine", note="lamp # 3, and #4")
    save(hashed, path)
    save(replace(hashed, title="again"), path)
    assert load(path).title == "again"


def test_a_file_that_is_not_there_or_not_text_is_named(tmp_path):
    with pytest.raises(FileError, match="'gone.toml' cannot be opened: there is no such file"):
        load(tmp_path / "gone.toml")
    (tmp_path / "picture.toml").write_bytes(b"\x89PNG\xff\xfe")
    with pytest.raises(FileError, match="'picture.toml' cannot be opened: it is not a readable text file"):
        load(tmp_path / "picture.toml")
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(FileError, match="'folder.toml' cannot be opened"):
        load(tmp_path / "folder.toml")
    with pytest.raises(FileError, match="'all.toml' cannot be written: its folder is missing"):
        save(every_kind(), tmp_path / "nowhere" / "all.toml")


def test_an_unknown_name_in_the_kit_offers_the_near_one():
    with pytest.raises(UnknownName, match="the kit has no arrangement 'one-fused-lamb'.*Did you mean 'one-fused-lamp'"):
        arrangement("one-fused-lamb")


# ------------------------------------------------------------------ broken text

POSITIONS = r"control 'lamp switch': 'positions' must be a list of texts such as \[\"off\", \"on\"\], got"
CLOSES = r"switch 'S1': 'closes' must be a table of terminal pairs such as \{on = \[\[\"30\", \"15\"\]\]\}, got"
WHEN = r"'mine.toml': a rule: 'when' must be a table of positions such as \{key = \"on\"\}, got"

@pytest.mark.parametrize("circuit", [every_kind(), arrangement("shared-filament-rear-relays-hazard")],
                         ids=lambda circuit: circuit.name)
def test_a_file_cut_off_anywhere_gives_an_error_of_the_kit_or_a_smaller_whole_circuit(circuit):
    raw, refused = write_text(circuit).encode("utf-8"), 0
    for size in range(0, len(raw), 97):
        cut = raw[:size].decode("utf-8", errors="ignore")
        try:
            smaller = read_text(cut)
        except CircuitLabError as error:
            refused += 1
            assert str(error).endswith((".", "?")) and "Traceback" not in str(error)
        else:
            assert read_text(write_text(smaller)) == smaller
    assert refused > len(range(0, len(raw), 97)) // 3


@pytest.mark.parametrize("old, new, words", [
    ("format = 1\n", "", r"says format None. This kit reads format 1: write 'format = 1' at the top"),
    ("format = 1", "format = 2", r"says format 2. This kit reads format 1"),
    ("format = 1", 'format = "1"', r"says format '1'"),
    ("format = 1", "format = true", r"says format True"),
    ('title = "One lamp with its fuse and its switch"\n', "", r"'title' must be one line of text"),
    ('title = "One lamp with its fuse and its switch"', "title = 7", r"'title' must be one line of text"),
    ("[parts.F1]\n", "[part.F1]\n", r"has no key 'part'. It has: .*Did you mean 'parts'"),
    ('kind = "fuse"\n', "", r"part 'F1' has no kind. Allowed: battery, fuse"),
    ('kind = "fuse"', 'kind = "fuze"', r"part 'F1' has no kind 'fuze'.*Did you mean 'fuse'"),
    ('kind = "fuse"', "kind = [1]", r"part 'F1' has no kind '\[1\]'"),
    ("rating = 5.0", 'rating = "5 A"', r"fuse 'F1': 'rating' must be a number, got '5 A'"),
    ("rating = 5.0", "rating = 1" + 400 * "0", r"fuse 'F1': rating must be between 0.1 and 500 A"),
    ("rating = 5.0", "rating = true", r"fuse 'F1': 'rating' must be a number, got True"),
    ("rating = 5.0", "rating = nan", r"fuse 'F1': rating must be between 0.1 and 500 A"),
    ("rating = 5.0", "raiting = 5.0", r"fuse 'F1' has no key 'raiting'.*Did you mean 'rating'"),
    ('positions = ["off", "on"]\n', "", r"control 'lamp switch' has no 'positions'. Add the line 'positions = ...'"),
    ('positions = ["off", "on"]', "positions = 3", POSITIONS),
    ('positions = ["off", "on"]', 'positions = "off"', POSITIONS),
    ('positions = ["off", "on"]', "positions = [1, 2]", POSITIONS),
    ('positions = ["off", "on"]', 'positions = ["on"]', r"control 'lamp switch' needs two or more different positions"),
    ('closes = {on = [["1", "2"]]}', 'closes = "on"', CLOSES),
    ('closes = {on = [["1", "2"]]}', "closes = {on = 3}", CLOSES),
    ('closes = {on = [["1", "2"]]}', 'closes = {on = [["1", "2", "3"]]}', CLOSES),
    ('closes = {on = [["1", "2"]]}', "closes = {on = [[1, 2]]}", CLOSES),
    ('closes = {on = [["1", "2"]]}', 'closes = {on = ["12"]}', CLOSES),
    ('closes = {on = [["1", "2"]]}', "closes = {}", r"switch 'S1': it closes nothing in any position"),
    ('start = "F1:2"\n', "", r"wire 'W2' has no 'start'. Add the line 'start = ...'"),
    ('start = "F1:2"', "start = 12", r"wire 'W2': 'start' must be text in quotes"),
    ("length = 2.0", "length = -2.0", r"wire 'W3': length must be between 0.001 and 100 m"),
    ('look = "steady"', 'look = "bright"', r"rule for 'E1' asks for 'bright'. It may ask for steady, flashing or dark"),
    ('look = "steady"', "look = [1]", r"'mine.toml': a rule: 'look' must be text in quotes, got \[1\]"),
    ('lamp = "E1"', "lamp = []", r"'mine.toml': a rule: 'lamp' must be text in quotes, got \[\]"),
    ('lamp = "E1"\n', "", r"a rule has no 'lamp'. Add the line 'lamp = ...'"),
    ('when = {"lamp switch" = "on"}', "when = 3", WHEN),
    ('when = {"lamp switch" = "on"}', 'when = ["on"]', WHEN),
    ('when = {"lamp switch" = "on"}', 'when = {"lamp switch" = 1}', WHEN),
    ('when = {"lamp switch" = "on"}', 'when = {"lamp switch" = ["on"]}', WHEN),
    ('when = {"lamp switch" = "on"}', 'when = {"lamp switch" = "up"}',
     r"control 'lamp switch' has no position 'up'. It has: off, on"),
    ("[[rule]]", "[rule]", r"the rule must be a list of tables, each headed \[\[rule\]\]"),
    ("[wires.W1]", "[wires]\nW9 = 3\n[wires.W1]", r"'wires.W9' must be a table, got 3"),
], ids=lambda text: text[:30])
def test_a_wrong_key_or_value_is_named_with_what_is_allowed(old, new, words):
    text = write_text(arrangement("one-fused-lamp"))
    assert text.count(old) == 1
    with pytest.raises(CircuitLabError, match=words) as caught:
        read_text(text.replace(old, new), where="'mine.toml'")
    assert str(caught.value).endswith((".", "?"))


@pytest.mark.parametrize("extra, words", [
    ("[held]\nF1 = 3\n", r"'held.F1' must be text, got 3"),
    ('[held]\nF1 = "melted"\n', r"fuse 'F1' has no state 'melted'. It has: whole, blown"),
    ('[held]\nF7 = "blown"\n', r"has no part 'F7'"),
    ('[parts.F1]\nkind = "fuse"\n', r"cannot be read as TOML.*One name stands there twice"),
    ("surplus", r"cannot be read as TOML"),
    ("x = " + 5000 * "[", r"cannot be read as TOML"),
    ("x = 1" + 9000 * "0", r"cannot be read as TOML"),
], ids=lambda text: text[:30])
def test_a_wrong_addition_is_named(extra, words):
    with pytest.raises(CircuitLabError, match=words):
        read_text(write_text(arrangement("one-fused-lamp")) + "\n" + extra, where="'mine.toml'")


def test_text_that_is_no_toml_names_the_line():
    with pytest.raises(FileError, match=r"'mine.toml' cannot be read as TOML.*line 2"):
        read_text("format = 1\ntitle = no quotes\n", where="'mine.toml'")


def test_nothing_in_a_file_is_run(tmp_path):
    """Text that would leave a file behind if anything evaluated it stays text."""
    trace = tmp_path / "ran"
    code = f"__import__('pathlib').Path({str(trace)!r}).touch()"
    hostile = replace(every_kind(), title=code, note="{" + code + "}", name="")
    assert read_text(write_text(hostile)) == hostile
    for field in ("rating = 7.5", 'kind = "fuse"'):
        with pytest.raises(CircuitLabError):
            read_text(write_text(hostile).replace(field, f'{field.split()[0]} = "{code}"'))
    assert not trace.exists()


# ------------------------------------------------------------------ passport

def test_every_data_file_has_its_sum_in_the_passport():
    text = (kit_folder("datasets") / "README.md").read_text(encoding="utf-8")
    listed = dict(re.findall(r"^\| `(\S+)` \| [^|]+ \| [^|]+ \| `([0-9a-f]{64})` \|$", text, re.MULTILINE))
    root = kit_folder("datasets")
    found = {path.relative_to(root).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
             for path in root.rglob("*") if path.is_file() and path.name != "README.md"}
    assert listed == found and len(found) >= 8


@pytest.mark.parametrize("name", arrangement_names())
def test_a_kit_arrangement_keeps_the_plan_its_readme_states(name):
    circuit = arrangement(name)
    letters = {"battery": "G", "fuse": "F", "switch": "S", "relay": "K", "flasher": "K", "lamp": "E", "LED lamp": "E", "two-filament lamp": "E",
               "resistor": "R", "diode": "V", "splice": "X", "chassis": "X", "connector": "X", "converter": "K", "channel": "K"}
    assert all(part.name.startswith(letters[part.kind]) for part in circuit.parts)
    assert [part.name for part in circuit.of_kind(Flasher)] in ([], ["K9"])
    assert [wire.name for wire in circuit.wires] == [f"W{number}" for number in range(1, len(circuit.wires) + 1)]
    assert all(0.2 <= wire.length <= 5 and wire.area in (0.75, 1.0, 1.5, 2.5) and wire.colour for wire in circuit.wires)
    at_plus = {wire.end.split(":")[0] for wire in circuit.wires if wire.start == "G1:+"}
    assert at_plus == {fuse.name for fuse in circuit.of_kind(Fuse)}, "every wire from battery plus ends at a fuse"
    assert len(circuit.wires_at["G1:-"]) == 1 and all(lamp.place for lamp in circuit.of_kind(Lamp))
    assert {line.lamp for line in circuit.rule if not line.terminal} == {lamp.name for lamp in circuit.of_kind(Lamp)}
    assert circuit.ruled_terminals == (("S1:15",) if "key" in circuit.controls_by_name else ())
    spare = {f"{part.name}:{end}" for part in circuit.of_kind(Connector) for end in part.terminals}
    assert all(terminal.endswith(":87a") for terminal in circuit.loose if terminal not in spare), "only a front relay's 87a and spare pins stay open"
