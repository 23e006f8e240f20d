"""The marker ``outside``: a check against a value published elsewhere names its source, or does not run.

``pytest -m outside`` ends with the list of sources and the number of checks on each.
"""

import pytest

SOURCE = "outside source"


def _source(marker):
    """Return the source a marker names, or None when it names none. [text]"""
    words = marker.args[0] if len(marker.args) == 1 and not marker.kwargs else None
    return words.strip() if isinstance(words, str) and words.strip() else None


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config, items):
    """Refuse a check whose source is missing; the others' sources go into their reports, whichever worker runs them."""
    nameless = [item.nodeid for item in items for marker in item.iter_markers("outside") if not _source(marker)]
    if nameless:
        raise pytest.UsageError("these checks are marked 'outside' and name no source: " + ", ".join(nameless)
                                + '. Write @pytest.mark.outside("source, section or table").')
    for item in items:
        item.user_properties += [(SOURCE, _source(marker)) for marker in item.iter_markers("outside")]


def pytest_terminal_summary(terminalreporter, config):
    """List each source with the number of checks that ran on it."""
    if "outside" not in (config.option.markexpr or ""):
        return
    ran = {}
    for outcome in ("passed", "failed"):
        for report in terminalreporter.stats.get(outcome, []):
            for source in [value for name, value in report.user_properties if name == SOURCE]:
                ran.setdefault(source, {"passed": 0, "failed": 0})[outcome] += 1
    terminalreporter.section("outside sources")
    for source in sorted(ran):
        checks = sum(ran[source].values())
        failed = f", {ran[source]['failed']} failed" if ran[source]["failed"] else ""
        terminalreporter.line(f"{checks:4} check{'s' if checks > 1 else ' '}  {source}{failed}")
    if not ran:
        terminalreporter.line("none")
