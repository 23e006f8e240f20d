"""A lamp told to flicker, beside causes with which it would be plainly dark or dim as they stand."""

import pytest

import circuitlab as cl
from circuitlab.reasoning.finding.finding import find
from circuitlab.views.find_words import why_words

SEPARATE = cl.arrangement("separate-filaments")


@pytest.mark.parametrize("said", ["front left flickers when turn left", "rear left stop pulses when braking"])
def test_a_cause_that_leaves_it_dark_stays_and_is_told_to_fit_only_half(said):
    found = find(SEPARATE, said)
    halves = [cause for cause in found.causes if cause.fits[0].expected in ("dark", "dim")]
    assert halves and all(cause.fits[0].agrees and cause.fits[0].is_half for cause in halves)
    for cause in halves:
        assert f"only half: it would be {cause.fits[0].expected}, not flicker, unless it comes and goes" in why_words(cause)


def test_what_buzzes_or_was_told_dark_fits_whole():
    dark = find(SEPARATE, "rear left stop dark when braking")
    assert dark.causes and not any(fit.is_half for cause in dark.causes for fit in cause.fits) and "only half" not in dark.text()
    flickers = find(SEPARATE, "rear left stop flickers when braking")
    assert not any(cause.fits[0].is_half for cause in flickers.causes if cause.fits[0].expected == "flickers")
