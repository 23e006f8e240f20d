"""What is asked for next is what a person of the trade would do: nothing left out that parts, the plug first, and nothing that tells nothing."""

import pytest

import circuitlab as cl
from circuitlab.reasoning.finding.finding import find

SEPARATE = cl.arrangement("trailer-12n-separate-lamps")


def test_cores_crossed_on_either_half_of_a_plug_are_parted_by_a_pin_though_a_fuse_was_seen_blown():
    """With the pedal down nothing that is left shorts anything: what the fuse would have gone by there is as good as ruled out."""
    found = find(SEPARATE, ["F4 blown", "E11 dark when braking", "E13 steady when braking"])
    assert [cause.words for cause in found.causes] == ["wires on X5:6s and X5:7s crossed", "wires on X5:6p and X5:7p crossed"]
    offer = found.next.offer
    assert offer.red.startswith("X5:") and offer.positions["brake pedal"] == "held" and offer.positions["tail lamps"] == "off"
    read = {cause.repair: found.ahead.refuting(cause.repair)[1] for cause in found.causes}
    low, high = sorted(read.values(), key=lambda each: each.least)
    assert high.least - low.most > 10


def test_where_what_shorts_is_likely_nothing_is_read_live_behind_a_fuse_seen_blown():
    found = find(SEPARATE, ["F4 blown"])
    assert found.next.offer.instrument == "ohms"
    assert all(is_risky for row, is_risky in zip(found.ahead.solved.rows, found.ahead.left.risky) if row["tail lamps"] == "on")
