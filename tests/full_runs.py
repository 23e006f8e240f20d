"""What takes minutes stands behind ``pytest --full``, which runs only what the plain test command leaves out.

A test of the long run is marked ``full``. A sweep over arrangements or lessons
may be marked ``in_turn(of, first=0)``: the plain command runs every so many of
its cases, from the one named on, and the long run all the others. An attack
reports what it did through the fixture ``counts``: how many inputs it tried, how many the kit refused with
a sentence of its own, and how many it took and held to what they promise. The
end of a run lists them.
"""

from collections import Counter
from dataclasses import dataclass

import pytest

COUNTS = "attack counts"


def add_option(parser):
    """Add ``--full``; asked for by conftest.py, since an option must be known before plugins are registered."""
    parser.addoption("--full", action="store_true", help="run only what the plain test command leaves out: it takes longer")


def pytest_collection_modifyitems(config, items):
    """Keep the tests of this run: those marked ``full`` with ``--full``, and those not at their turn; the others without."""
    wanted, met = config.getoption("--full"), Counter()
    kept, left = [], []
    for item in items:
        (kept if (is_full(item) or is_waiting(item, met)) == wanted else left).append(item)
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = kept


def is_full(item):
    """Whether a test belongs to the long run alone."""
    return item.get_closest_marker("full") is not None


def is_waiting(item, met):
    """Whether a case of a sweep is not at its turn; ``met`` counts the cases of each test so far."""
    turn = item.get_closest_marker("in_turn")
    if turn is None:
        return False
    test = item.nodeid.partition("[")[0]
    met[test] += 1
    of, first = (*turn.args, 0)[:2]
    return (met[test] - 1) % of != first


@dataclass
class Counts:
    """How often an attack was tried, refused in the kit's own words, and held."""

    tried: int = 0
    refused: int = 0
    held: int = 0

    def __str__(self):
        return f"{self.tried:,} tried, {self.refused:,} refused, {self.held:,} held"


@pytest.fixture
def counts(record_property):
    """Counts of one attack, listed at the end of the run; an attack that tried nothing fails."""
    counts = Counts()
    yield counts
    record_property(COUNTS, str(counts))
    assert counts.tried, "this attack tried nothing"
    assert counts.tried == counts.refused + counts.held, f"some tries are unaccounted for: {counts}"


def pytest_terminal_summary(terminalreporter):
    """List the counts of every attack that ran, whichever worker ran it."""
    lines = [f"{words}  {report.nodeid}" for reports in terminalreporter.stats.values() for report in reports
             for name, words in getattr(report, "user_properties", ()) if name == COUNTS]
    if lines:
        terminalreporter.section("attacks")
        for line in dict.fromkeys(lines):
            terminalreporter.line(line)
