"""A bench plays the step of a slider that will most likely come next, and what it then shows is what it would have shown."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest

import circuitlab as cl
from circuitlab.benches.ahead import PAUSE, Trials

START = {"key": "on", "turn lever": "left"}


@pytest.fixture
def bench():
    return cl.bench(cl.arrangement("shared-filament-four-relays"), positions=START)


def apart(work, *given):
    """Do something in a thread of its own: other tests may have left a loop running in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(work, *given).result()


def moved(bench, *moves):
    """Move sliders one after the other in a running loop, wait, and return how many trials were played on the way."""
    async def move():
        before = bench.trials.played
        for name, value in moves:
            bench.sliders[name].value = value
        await asyncio.sleep(4 * PAUSE)
        return bench.trials.played - before
    return apart(asyncio.run, move())


def test_after_two_steps_alike_the_third_is_there_before_it_is_asked_for(bench):
    assert moved(bench, ("rate", 91), ("rate", 92)) == 3
    assert moved(bench, ("rate", 93)) == 1, "only the one after it"

    surprised = cl.bench(cl.arrangement("shared-filament-four-relays"), positions=START)
    surprised.sliders["rate"].value = 93
    assert bench.course.events == surprised.course.events and bench.course.lamp_volts == surprised.course.lamp_volts
    assert (bench.sentence, bench._chart.markup.replace(bench._prefix, "")) == (
        surprised.sentence, surprised._chart.markup.replace(surprised._prefix, ""))


@pytest.mark.parametrize("moves, played", [
    ((("rate", 91), ("rate", 93)), 2), ((("rate", 91), ("on_time", 51)), 2), ((("rate", 199), ("rate", 200)), 2),
    ((("moment", 2.0), ("moment", 2.02), ("moment", 2.04)), 0)])
def test_what_cannot_be_foreseen_is_not_played(bench, moves, played):
    """Unlike steps, two sliders, beyond the end of a slider, the moment that is drawn."""
    assert moved(bench, *moves) == played


def test_settings_of_before_are_not_played_again(bench):
    assert moved(bench, ("rate", 60), ("rate", 75), ("rate", 60), ("rate", 75)) == 2


def test_steps_that_were_added_up_are_the_same_settings(bench):
    """0.1 three times over is no other supply than 0.3 more."""
    bench.sliders["volts"].value = 0.1 + 0.2 + 12
    before = bench.trials.played
    bench.sliders["volts"].value = 12.3
    assert bench.trials.played == before


def test_without_a_loop_nothing_is_played_ahead(bench):
    def move():
        for rate in (91, 92, 93):
            bench.sliders["rate"].value = rate

    before = bench.trials.played
    apart(move)
    assert bench.trials.played - before == 3


def test_an_error_is_kept_for_whoever_asks():
    """Played ahead it stays silent; asked for, it is raised."""
    def play(settings):
        raise cl.CircuitLabError("no such trial.")

    trials = Trials(play)

    async def ahead():
        trials.play_ahead("settings")
        await asyncio.sleep(2 * PAUSE)
    apart(asyncio.run, ahead())
    with pytest.raises(cl.CircuitLabError, match="no such trial"):
        trials.of("settings")
