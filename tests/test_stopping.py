"""Long work on the command line: how far it is shows where somebody watches, and Ctrl+C ends it with one sentence."""

import os
import re
import select
import signal
import subprocess
import sys
import time

import pytest

from circuitlab.arrangements import Arrangement, save
from circuitlab.parts import Battery, Control, Fuse, Lamp, Wire, toggle

pytestmark = pytest.mark.skipif(os.name == "nt", reason="Windows has neither SIGINT for one process nor a pty")
LARGEST = "shared-filament-four-relays-hazard"


@pytest.fixture
def many_rows(tmp_path):
    """A file of an arrangement with 16 384 rows: 14 switches, each with its lamp."""
    numbers = range(1, 15)
    parts = [Battery("G1"), Fuse("F1", 30.0)]
    parts += [part for number in numbers for part in (toggle(f"S{number}", f"switch {number}"), Lamp(f"E{number}"))]
    wires = [Wire("W1", "G1:+", "F1:1", length=1.0)]
    wires += [wire for number in numbers for wire in (
        Wire(f"W{number}a", "F1:2", f"S{number}:1", length=1.0), Wire(f"W{number}b", f"S{number}:2", f"E{number}:1", length=1.0),
        Wire(f"W{number}c", f"E{number}:2", "G1:-", length=1.0))]
    controls = [Control(f"switch {number}", ("off", "on")) for number in numbers]
    path = tmp_path / "many.toml"
    save(Arrangement("a lamp for every switch", parts=tuple(parts), wires=tuple(wires), controls=tuple(controls)), path)
    return str(path)


def stopped_at(words, seen, wait=60.0):
    """Run a command whose stderr is a terminal, send SIGINT once that shows ``seen``; return (exit code, out, err)."""
    ours, theirs = os.openpty()
    process = subprocess.Popen([sys.executable, "-m", "circuitlab", *words], stdout=subprocess.PIPE, stderr=theirs, text=True)
    os.close(theirs)
    err, sent, end = "", False, time.monotonic() + wait
    try:
        while time.monotonic() < end:
            if not select.select([ours], [], [], 1.0)[0]:
                continue
            try:
                more = os.read(ours, 4096).decode()
            except OSError:       # Linux says so when the other side is closed
                break
            if not more:
                break
            err += more
            if not sent and re.search(seen, err):
                process.send_signal(signal.SIGINT)
                sent = True
        out, _ = process.communicate(timeout=20)
    finally:
        process.kill()
        os.close(ours)
    assert sent, f"'{seen}' never showed: {err!r}"
    return process.returncode, out, err.replace("\r\n", "\n")


def test_a_lamp_table_stopped_half_way_says_so(many_rows):
    code, out, err = stopped_at(["prove", many_rows], r"\d+ of 16384 rows")
    assert code == 130 and out == ""
    assert re.search(r"\nstopped after \d+ of 16384 rows: there is no lamp table\.\n$", err)
    assert 0 < int(re.search(r"after (\d+) of", err).group(1)) < 16384


def test_a_proof_stopped_among_its_time_courses_proves_nothing():
    code, out, err = stopped_at(["prove", LARGEST, "--rule", "own"], "[1-9] of 48 time courses")
    assert code == 130 and out == ""
    assert "48 of 48 rows" in err and "orders" in err, "each stage was shown"
    assert re.search(r"\nstopped after \d+ of 48 time courses: nothing is proved\.\n$", err)


@pytest.mark.parametrize("name, faults", [("shared-filament-rear-relays", 139), pytest.param(LARGEST, 228, marks=pytest.mark.full)])
def test_faults_stopped_half_way_are_printed_as_far_as_they_go(name, faults):
    code, out, err = stopped_at(["faults", name, "--most", "2"], f"64 of {faults} faults")
    assert code == 130
    assert re.search(rf"\nstopped after (64|128|192) of {faults} faults\.\n$", err)
    assert "Stopped before the end" in out and "Traceback" not in err


def test_nothing_is_shown_where_nobody_watches():
    done = subprocess.run([sys.executable, "-m", "circuitlab", "prove", "shared-filament-four-relays", "--rule", "own"],
                          capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "") and done.stdout


@pytest.mark.full
def test_a_comparison_stopped_among_its_faults_does_not_go_on():
    code, out, err = stopped_at(["compare", LARGEST, "shared-filament-four-relays", "--faults"], "64 of [0-9]+ faults")
    assert code == 130
    assert re.search(r"\nstopped after (64|128|192) of \d+ faults\.\n$", err)
    assert "Traceback" not in err and out


@pytest.mark.in_turn(3)
@pytest.mark.parametrize("loaded", ["circuitlab.ground.plain", "circuitlab.ground.errors", "circuitlab.parts.lamp",
                                    "circuitlab.solving", "circuitlab.reasoning", "argparse", "circuitlab.commands.line"])
def test_ctrl_c_while_a_command_is_being_loaded_is_one_sentence(loaded):
    """Python itself tells which room it has just loaded."""
    process = subprocess.Popen([sys.executable, "-X", "importtime", "-m", "circuitlab", "faults", LARGEST],
                               stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)
    for line in process.stderr:
        if line.split("|")[-1].strip() == loaded:
            process.send_signal(signal.SIGINT)
            break
    out, err = process.communicate(timeout=60)
    said = [line for line in err.splitlines() if not line.startswith("import time:")]
    assert process.returncode in (130, -signal.SIGINT)     # Python itself ends so where an eval was cut off; a shell shows 130 for both
    assert len(said) == 1 and re.fullmatch(r"stopped (before|after) .*\.", said[0]), said
