"""The commands ``faults`` and ``compare``: what they print, how they leave, and that bad input gets a sentence."""

import importlib.util
from pathlib import Path

import pytest

from circuitlab.arrangements import SwapTerminals, arrangement, changed, save
from circuitlab.commands.line import main
from circuitlab.reasoning.comparing import compare
from circuitlab.reasoning.faults import fault_table, single_faults
from circuitlab.views.compare_words import comparison_text
from circuitlab.views.fault_words import fault_table_text


def test_faults_prints_the_table_of_the_four_relays_and_leaves_with_0(capsys):
    cart = arrangement("shared-filament-four-relays")
    assert main(["faults", "shared-filament-four-relays", "--kind", "dead flasher", "--kind", "blown fuse"]) == 0
    out = capsys.readouterr().out
    assert out == fault_table_text(fault_table(cart, faults=single_faults(cart, ["dead flasher", "blown fuse"]))) + "\n"
    assert "1. STOP LAMP DARK WHILE SIGNALLING" in out and "Reading: red lead" in out


def test_most_prints_the_worst_only(capsys):
    assert main(["faults", "one-fused-lamp", "--most", "1"]) == 0
    out = capsys.readouterr().out
    assert "  1. fire risk in 2 of 2 rows" in out and "  2. " not in out


def test_a_rule_names_the_signals(capsys):
    rules = ["--rule", "rear left: steady when brake pedal held, else dark", "--rule", "rear right: dark"]
    assert main(["faults", "shared-filament-rear-relays", "--kind", "blown lamp", *rules]) == 0
    assert "nobody behind sees the steady signal of brake pedal held" in " ".join(capsys.readouterr().out.split())


def test_stopped_from_the_keyboard_prints_what_there_is_and_leaves_with_130(capsys, monkeypatch):
    monkeypatch.setattr("circuitlab.reasoning.faults.table.TOGETHER", 5)

    def interrupt(watching, done, total):
        watching._far = done, total, "faults"
        if done >= 5:
            raise KeyboardInterrupt
    monkeypatch.setattr("circuitlab.commands.watching.Watching.__call__", interrupt)
    assert main(["faults", "one-fused-lamp"]) == 130
    printed = capsys.readouterr()
    assert "Stopped before the end: 16 faults were not looked at" in " ".join(printed.out.split())
    assert printed.err == "stopped after 5 of 21 faults.\n"


def test_compare_says_what_sets_tie_and_relays_apart_and_leaves_with_1(capsys):
    pair = [arrangement(name) for name in ("tied-stop-and-turn", "shared-filament-four-relays")]
    assert main(["compare", *(each.name for each in pair)]) == 1
    out = capsys.readouterr().out
    assert out == comparison_text(compare(*pair)) + "\n" and "In 8 of 12 rows some lamp looks different." in out


def test_compare_leaves_with_0_when_every_lamp_looks_the_same(tmp_path, capsys):
    own = tmp_path / "mine.toml"
    save(
        changed(arrangement("shared-filament-four-relays"), SwapTerminals("K1:85", "K1:86")), own
    )  # a coil has no sides
    assert main(["compare", "shared-filament-four-relays", str(own)]) == 0
    assert "moved: wire" in capsys.readouterr().out


def test_compare_takes_the_faults_in_when_asked(capsys):
    assert main(["compare", "one-fused-lamp", "one-fused-lamp", "--faults"]) == 0
    assert "Of those possible in both, 0 do something else at their worst." in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("words, said", [
    (["faults", "nowhere"], "the kit has no arrangement 'nowhere'"),
    (["faults", "one-fused-lamp", "--kind", "blown lam"], "Did you mean 'blown lamp'"),
    (["faults", "one-fused-lamp", "--most", "0"], "--most must be 1 or more, got 0"),
    (["faults", "one-fused-lamp", "--rule", "E7: steady when lamp switch on"], "E7"),
    (["compare", "one-fused-lamp", "nowhere"], "the kit has no arrangement 'nowhere'"),
    (["compare", "missing.toml", "one-fused-lamp"], "'missing.toml' cannot be opened")])
def test_bad_input_gets_a_sentence_and_leaves_with_2(words, said, capsys):
    assert main(words) == 2
    error = capsys.readouterr().err
    assert said in error and "Traceback" not in error


def test_the_benchmark_runs_in_short_and_both_sides_class_alike(capsys):
    path = Path(__file__).parent / "benchmarks" / "faults.py"
    spec = importlib.util.spec_from_file_location("fault_benchmark", path)
    benchmark = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(benchmark)
    ratio, same, faults = benchmark.main(short=True)
    assert ratio > 0 and same == faults == 21
    assert "x the sweep" in capsys.readouterr().out
