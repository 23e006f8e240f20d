"""What the kit writes it reads: files, sentences, lists, rules and codes come back equal, or are refused when made."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from circuitlab.arrangements import Changes, load_changes, read_change, read_text, save, save_changes, write_text
from circuitlab.arrangements.rows import rows_of
from circuitlab.commands.class_tables import codes_in
from circuitlab.commands.line import main
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.files import read as reading
from circuitlab.ground.limits import wrong_with_text
from circuitlab.parts import Lamp
from circuitlab.reasoning import rule_sentence, with_rule
from circuitlab.teaching.seeds import issue_code

from odd_circuits import arrangements, changes, texts


def attack(examples):
    """Run a property over so many drawn inputs, the same in every run."""
    return settings(
        derandomize=True,
        max_examples=examples,
        deadline=None,
        phases=(Phase.explicit, Phase.generate, Phase.shrink),
        suppress_health_check=list(HealthCheck),
    )


def drawn(data, counts, strategy):
    """Return what a strategy makes, or None where the kit refuses it in one sentence of its own."""
    try:
        return data.draw(strategy)
    except CircuitLabError as error:
        refused(counts, error)
        return None


def held(counts):
    """Count one more that came back equal; counted only now, since drawing an input may itself be broken off."""
    counts.tried += 1
    counts.held += 1


def refused(counts, error):
    """Count one more refusal; fail unless it can be printed, and is a sentence."""
    counts.tried += 1
    counts.refused += 1
    assert str(error).endswith((".", "?")) and not wrong_with_text(str(error), 10_000), str(error)


def circuit_comes_back(counts, data):
    """An arrangement as text, its rule as sentences, and some changes of it as sentences."""
    circuit = drawn(data, counts, arrangements())
    if circuit is None:
        return
    text = write_text(circuit)
    again = read_text(text, circuit.name)
    assert again == circuit and write_text(again) == text
    rule_comes_back(circuit)
    held(counts)
    for _ in range(4):
        sentence_comes_back(counts, data, circuit)


def rule_comes_back(circuit):
    sentences = [rule_sentence(circuit, lamp.name) for lamp in circuit.of_kind(Lamp)]
    if any(sentences):
        again = with_rule(circuit, "\n".join(filter(None, sentences)))
        for row in rows_of(circuit):
            for lamp in circuit.of_kind(Lamp):
                assert again.wanted(lamp.name, row) == circuit.wanted(lamp.name, row), sentences


def sentence_comes_back(counts, data, circuit):
    try:
        change = data.draw(changes(circuit))
        after = change.apply(circuit)
    except CircuitLabError as error:
        refused(counts, error)
        return
    said = str(change)
    again = read_change(said, circuit)
    assert again == change and str(again) == said, said
    assert again.apply(circuit) == after
    held(counts)


def list_comes_back(counts, data, folder):
    circuit = drawn(data, counts, arrangements())
    if circuit is None:
        return
    circuit = replace(
        circuit, name=data.draw(st.sampled_from(("odd", "a  b", "it's", "Gr\u00fcn", "changes to")))
    )
    made = Changes(circuit)
    for _ in range(data.draw(st.integers(1, 3))):
        present, steps = made.after, []
        try:
            for _ in range(data.draw(st.integers(1, 3))):
                steps.append(data.draw(changes(present)))
                present = steps[-1].apply(present)
            made = made.make(*steps, name=data.draw(st.one_of(st.just(""), texts, texts.map("{}:".format))))
        except CircuitLabError:
            continue
    save(circuit, folder / f"{circuit.name}.toml")
    save_changes(made, folder / "odd.changes")
    again = load_changes(folder / "odd.changes")
    assert again == made and again.after == made.after and str(again) == str(made)
    held(counts)


def codes_come_back(counts, labels, folder):
    counts.tried += 1
    labels = [" ".join(label.encode("utf-8", "ignore").decode("utf-8").split()) for label in labels]   # else it is no file
    (folder / "labels.txt").write_text("\n".join(labels), encoding="utf-8")
    out = folder / "codes.csv"
    named = "class-codes --secret s --lesson 11 --again --labels".split()
    if main([*named, str(folder / "labels.txt"), "--out", str(out)]) != 0:
        counts.refused += 1
        return
    read = codes_in(reading(out), out)
    assert read == {
        (" ".join(label.casefold().split()), "11"): issue_code("s", "11", label) for label in labels if label
    }
    counts.held += 1


@attack(50)
@given(data=st.data())
def test_circuits_rules_and_changes_are_read_back_equal(counts, data):
    circuit_comes_back(counts, data)


@attack(40)
@given(data=st.data())
def test_a_list_of_changes_is_read_back_equal(counts, data, tmp_path_factory):
    list_comes_back(counts, data, tmp_path_factory.mktemp("list"))


@attack(30)
@given(labels=st.lists(texts, min_size=1, max_size=5))
def test_a_table_of_codes_is_read_back_equal(counts, tmp_path_factory, labels):
    codes_come_back(counts, labels, tmp_path_factory.mktemp("codes"))


@pytest.mark.full
@attack(6_000)
@given(data=st.data())
def test_thousands_of_circuits_rules_and_changes_are_read_back_equal(counts, data):
    circuit_comes_back(counts, data)


@pytest.mark.full
@attack(1_500)
@given(data=st.data())
def test_thousands_of_lists_of_changes_are_read_back_equal(counts, data, tmp_path_factory):
    list_comes_back(counts, data, tmp_path_factory.mktemp("list"))


@pytest.mark.full
@attack(1_500)
@given(labels=st.lists(texts, min_size=1, max_size=5))
def test_thousands_of_tables_of_codes_are_read_back_equal(counts, tmp_path_factory, labels):
    codes_come_back(counts, labels, tmp_path_factory.mktemp("codes"))
