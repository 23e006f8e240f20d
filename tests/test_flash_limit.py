"""More than three flashes in any second: counted as WCAG 2.2 defines them, against a plain count of square waves."""

from random import Random

import pytest

from flashes_counted import is_too_fast, most_flashes

from circuitlab.arrangements import arrangement
from circuitlab.solving import run


def square(rate, until=5.0, low=0.0, high=1.0, late=0.0):
    """Light that is on for the first half of each period. [1/min]"""
    period, times, values = 60.0 / rate, [0.0], [low]
    for turn in range(int((until - late) / period)):
        start = late + turn * period
        times += [start, start, start + period / 2, start + period / 2]
        values += [low, high, high, low]
    return times, values


@pytest.mark.outside("WCAG 2.2, success criterion 2.3.1: no more than three flashes in any one second period; general flash: opposing "
                     "changes of 10 % or more of the maximum relative luminance")
@pytest.mark.parametrize("rate, low, high, too_fast", [
    (90, 0.0, 1.0, False), (120, 0.0, 1.0, False), (170, 0.0, 1.0, False), (200, 0.0, 1.0, True), (240, 0.0, 1.0, True),
    (1200, 0.0, 0.09, False), (1200, 0.5, 0.59, False), (1200, 0.5, 0.62, True), (240, 1.0, 1.5, False)])
def test_three_in_a_second_are_allowed_and_four_are_not(rate, low, high, too_fast):
    assert is_too_fast([square(rate, low=low, high=high)]) == too_fast


def test_lamps_that_come_on_together_are_one_flash_and_others_are_not():
    assert not is_too_fast([square(120), square(120, late=0.03)])
    assert is_too_fast([square(120), square(120, late=0.25)]), "two lamps in turns are four flashes a second"


def test_speed_stretches_time():
    assert not is_too_fast([square(600)], 0.1) and is_too_fast([square(600)]) and is_too_fast([square(60)], 10.0)


def test_it_counts_what_a_plain_count_counts():
    """Bursts by chance, counted once more by looking at every second that begins with a flash."""
    for seed in range(200):
        chance, moment, starts = Random(seed), 0.0, []
        times, values = [0.0], [0.0]
        for _ in range(30):
            moment += chance.choice([0.08, 0.2, 0.31, 0.7, 1.3])
            starts.append(moment)
            times += [moment, moment, moment + 0.03, moment + 0.03]
            values += [0.0, 1.0, 1.0, 0.0]
        plain = max(sum(start <= other <= start + 1.0 for other in starts) for start in starts)
        assert most_flashes([(times, values)]) == plain


@pytest.mark.parametrize("row, most", [({"hazard": "on", "key": "on"}, 2), ({"key": "on"}, 0)])
def test_a_flasher_on_a_healthy_load_stays_within(row, most):
    course = run(arrangement("shared-filament-four-relays-hazard"), [], 8.0, row)
    assert most_flashes([(course.times, course.light[lamp]) for lamp in course.light]) == most
    assert is_too_fast([(course.times, course.light[lamp]) for lamp in course.light], 10.0) == (most > 0)


def test_nothing_is_no_flash():
    assert most_flashes([]) == 0 and most_flashes([([], [])]) == 0 and most_flashes([([0.0, 9.0], [1.0, 1.0])]) == 0
