"""Files that were cut off: at no place is what is left of a file taken for the whole of it."""

import pytest

from circuitlab import arrangement_names, load, rule
from circuitlab.arrangements import Changes, arrangement, load_changes, save_changes
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.places import kit_folder
from circuitlab.reasoning.rules import rule_names

RULES = [f"rules/{name}.toml" for name in rule_names()]
FILES = [f"arrangements/{name}.toml" for name in arrangement_names()] + RULES


def at_line_ends(text):
    """Return what is left of a text after its entries, and after every fifth of its lines."""
    lines = text.splitlines(keepends=True)
    return ["".join(lines[:number]) for number in range(1, len(lines)) if number % 5 == 0 or not lines[number].strip()]


def opens(read, path, text):
    path.write_text(text, encoding="utf-8")
    try:
        read(path)
    except CircuitLabError as error:
        assert path.name in str(error)
        return False
    return True


@pytest.mark.in_turn(9)
@pytest.mark.parametrize("name", FILES)
def test_a_file_cut_off_at_the_end_of_a_line_is_refused(name, tmp_path, counts):
    text = (kit_folder("datasets") / name).read_text(encoding="utf-8")
    read, path = rule if name in RULES else load, tmp_path / "mine.toml"
    assert opens(read, path, text)
    cuts = at_line_ends(text)
    whole = [cut for cut in cuts if opens(read, path, cut)]
    counts.tried, counts.held, counts.refused = len(cuts), len(whole), len(cuts) - len(whole)
    assert whole == []


@pytest.mark.in_turn(2)
@pytest.mark.parametrize("name", ["arrangements/one-fused-lamp.toml", "rules/stop-over-turn.toml"])
def test_a_file_cut_off_at_any_letter_is_refused(name, tmp_path, counts):
    text = (kit_folder("datasets") / name).read_text(encoding="utf-8")
    read, path = rule if name in RULES else load, tmp_path / "mine.toml"
    whole = [at for at in range(len(text) - 1) if opens(read, path, text[:at])]
    counts.tried, counts.held, counts.refused = len(text) - 1, len(whole), len(text) - 1 - len(whole)
    assert whole == []


def test_a_list_of_changes_cut_off_at_any_letter_is_refused(tmp_path, counts):
    made = Changes(arrangement("one-fused-lamp")).make("blow F1", name="a blown fuse").make("lift F1:2", "lift E1:1")
    path = tmp_path / "mine.changes"
    save_changes(made, path)
    text = path.read_text(encoding="utf-8")
    assert opens(load_changes, path, text)
    whole = [at for at in range(len(text) - 1) if opens(load_changes, path, text[:at])]
    counts.tried, counts.held, counts.refused = len(text) - 1, len(whole), len(text) - 1 - len(whole)
    assert whole == []


@pytest.mark.parametrize("more", ["", "\n", "\r\n", '\n[wires.W901]\nstart = "E1:1"\nend = "E1:2"\n'])
def test_what_a_person_writes_behind_the_last_line_is_read(more, tmp_path):
    text = (kit_folder("datasets") / "arrangements/one-fused-lamp.toml").read_text(encoding="utf-8")
    assert opens(load, tmp_path / "mine.toml", text + more)


def test_a_file_by_hand_needs_no_last_line(tmp_path):
    """Only what begins as the kit writes it has to end so."""
    text = (kit_folder("datasets") / "arrangements/one-fused-lamp.toml").read_text(encoding="utf-8")
    by_hand = "".join(line for line in text.splitlines(keepends=True) if not line.startswith("#"))
    assert opens(load, tmp_path / "mine.toml", by_hand)
