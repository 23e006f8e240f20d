"""What the kit writes it reads: sentences, lists of changes, files, rules and codes come back equal, or are refused when made."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from circuitlab.arrangements import Changes, load_changes, read_change, read_text, save, save_changes, write_text
from circuitlab.arrangements.rows import rows_of
from circuitlab.commands.class_kit import issued_codes
from circuitlab.commands.line import main
from circuitlab.ground.errors import CircuitLabError
from circuitlab.ground.limits import wrong_with_text
from circuitlab.parts import Lamp
from circuitlab.reasoning import rule_sentence, with_rule
from circuitlab.teaching.seeds import issue_code

from odd_circuits import arrangements, changes, texts


def attack(examples):
    """Run a property over so many drawn inputs, the same in every run."""
    return settings(derandomize=True, max_examples=examples, deadline=None, phases=(Phase.explicit, Phase.generate, Phase.shrink),
                    suppress_health_check=list(HealthCheck))


def drawn(data, counts, strategy):
    """Return what a strategy makes, or None where the kit refuses it in one sentence of its own."""
    counts.tried += 1
    try:
        return data.draw(strategy)
    except CircuitLabError as error:
        in_words(error)
        counts.refused += 1
        return None


def in_words(error):
    """Fail unless an error can be printed, and is a sentence."""
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
    counts.held += 1
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
    counts.tried += 1
    try:
        change = data.draw(changes(circuit))
        after = change.apply(circuit)
    except CircuitLabError as error:
        in_words(error)
        counts.refused += 1
        return
    said = str(change)
    again = read_change(said, circuit)
    assert again == change and str(again) == said, said
    assert again.apply(circuit) == after
    counts.held += 1


def list_comes_back(counts, data, folder):
    circuit = drawn(data, counts, arrangements())
    if circuit is None:
        return
    circuit = replace(circuit, name=data.draw(st.sampled_from(("odd", " x", "a  b", "it's", "Gr\u00fcn", "changes to"))))
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
    counts.held += 1


def codes_come_back(counts, labels, folder):
    counts.tried += 1
    labels = [" ".join(label.split()) for label in labels]
    (folder / "labels.txt").write_text("\n".join(labels), encoding="utf-8")
    out = folder / "codes.csv"
    given = ["class-codes", "--secret", "s", "--lesson", "11", "--labels", str(folder / "labels.txt"), "--out", str(out), "--again"]
    if main(given) != 0:
        counts.refused += 1
        return
    read = issued_codes(out)
    assert read == {(" ".join(label.casefold().split()), "11"): issue_code("s", "11", label) for label in labels if label}
    counts.held += 1


@attack(100)
@given(st.data())
def test_circuits_rules_and_changes_are_read_back_equal(counts, data):
    circuit_comes_back(counts, data)


@attack(40)
@given(st.data())
def test_a_list_of_changes_is_read_back_equal(counts, data, tmp_path_factory):
    list_comes_back(counts, data, tmp_path_factory.mktemp("list"))


@attack(30)
@given(st.lists(texts, min_size=1, max_size=5))
def test_a_table_of_codes_is_read_back_equal(counts, tmp_path_factory, labels):
    codes_come_back(counts, labels, tmp_path_factory.mktemp("codes"))


@pytest.mark.full
@attack(6_000)
@given(st.data())
def test_thousands_of_circuits_rules_and_changes_are_read_back_equal(counts, data):
    circuit_comes_back(counts, data)


@pytest.mark.full
@attack(1_500)
@given(st.data())
def test_thousands_of_lists_of_changes_are_read_back_equal(counts, data, tmp_path_factory):
    list_comes_back(counts, data, tmp_path_factory.mktemp("list"))


@pytest.mark.full
@attack(1_500)
@given(st.lists(texts, min_size=1, max_size=5))
def test_thousands_of_tables_of_codes_are_read_back_equal(counts, tmp_path_factory, labels):
    codes_come_back(counts, labels, tmp_path_factory.mktemp("codes"))
