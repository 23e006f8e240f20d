"""The marker for outside sources refuses a nameless check and counts the others."""

from pathlib import Path

import pytest

PLUGIN = (Path(__file__).parent / "outside_marker.py").read_text(encoding="utf-8")


@pytest.fixture
def run(pytester, monkeypatch):
    """Run pytest on one small test file with the marker's rules and no other plugin."""
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")

    def run_on(text, *words):
        pytester.makeini("[pytest]\nmarkers = outside(source): a published value\n")
        pytester.makeconftest(PLUGIN)
        pytester.makepyfile("import pytest\n" + text)
        return pytester.runpytest_inprocess("-p", "no:cacheprovider", *words)
    return run_on


@pytest.mark.parametrize("marker", ["outside", "outside()", "outside('')", "outside('  ')", "outside(7)",
                                    "outside(source='x')", "outside('a', 'b')"])
def test_a_check_without_a_source_is_refused(run, marker):
    """Missing, empty or not one text: nothing runs, and the sentence names the test."""
    result = run(f"@pytest.mark.{marker}\ndef test_one(): pass\n")
    assert result.ret == pytest.ExitCode.USAGE_ERROR
    result.stderr.fnmatch_lines(["*name no source: *::test_one. Write @pytest.mark.outside(*"])


def test_sources_are_listed_with_their_number_of_checks(run):
    """Checks are counted as run, parametrised ones each, and failures are said."""
    result = run("""
@pytest.mark.outside("Handbook A, table 3")
@pytest.mark.parametrize("value", [1, 2])
def test_two(value): assert value
@pytest.mark.outside("Standard B, section 7")
def test_three(): assert False
def test_inside(): pass
""", "-m", "outside")
    result.stdout.fnmatch_lines(["*outside sources*", "   2 checks  Handbook A, table 3",
                                 "   1 check *Standard B, section 7, 1 failed"])
    result.assert_outcomes(passed=2, failed=1, deselected=1)


def test_an_ordinary_run_says_nothing_about_sources(run):
    """The list is printed only when it is asked for."""
    result = run('@pytest.mark.outside("Handbook A, table 3")\ndef test_one(): pass\n')
    result.assert_outcomes(passed=1)
    assert "outside sources" not in result.stdout.str()
