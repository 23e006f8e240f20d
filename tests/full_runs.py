"""What takes minutes stands behind ``pytest --full``, which runs only what the plain test command leaves out.

A test of the long run is marked ``full``. An attack reports what it did through
the fixture ``counts``: how many inputs it tried, how many the kit refused with
a sentence of its own, and how many it took and held to what they promise. The
end of a run lists them.
"""

from dataclasses import dataclass

import pytest

COUNTS = "attack counts"


def add_option(parser):
    """Add ``--full``; asked for by conftest.py, since an option must be known before plugins are registered."""
    parser.addoption("--full", action="store_true", help="run only what the plain test command leaves out: it takes longer")


def pytest_collection_modifyitems(config, items):
    """Keep the tests of this run: those marked ``full`` with ``--full``, the others without."""
    wanted = config.getoption("--full")
    kept = [item for item in items if bool(item.get_closest_marker("full")) == wanted]
    if len(kept) != len(items):
        config.hook.pytest_deselected(items=[item for item in items if item not in kept])
        items[:] = kept


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
