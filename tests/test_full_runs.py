"""The plain run and the long run: together they run every test once, and what takes longest is begun first."""

import re
from types import SimpleNamespace

import pytest
import workers

CONFTEST = """
from full_runs import add_option as pytest_addoption, pytest_collection_modifyitems
"""
TESTS = """
import pytest
@pytest.mark.in_turn(3, 1)
@pytest.mark.parametrize("long", [False, pytest.param(True, marks=pytest.mark.full)])
@pytest.mark.parametrize("number", range(7))
def test_sweep(number, long): pass
@pytest.mark.in_turn(2)
@pytest.mark.parametrize("number", range(3))
def test_other(number): pass
@pytest.mark.full
def test_long(): pass
def test_plain(): pass
"""


@pytest.fixture
def ran(pytester, monkeypatch):
    """Return a function that runs the tests above and returns the names of those that ran. [text]"""
    monkeypatch.setenv("PYTEST_DISABLE_PLUGIN_AUTOLOAD", "1")
    pytester.makeini("[pytest]\nmarkers =\n    full: long\n    in_turn(of, first): a sweep\n")
    pytester.makeconftest(CONFTEST)
    pytester.makepyfile(TESTS)

    def run_with(*words):
        result = pytester.runpytest_inprocess("-p", "no:cacheprovider", "-v", *words)
        return re.findall(r"::(\S+) PASSED", result.stdout.str())
    return run_with


def test_every_third_case_is_run_at_its_turn_and_nothing_is_left_out_of_both_runs(ran):
    """Cases of the long run alone do not count when a sweep is numbered."""
    plain, full = ran(), ran("--full")
    assert plain == ["test_sweep[1-False]", "test_sweep[4-False]", "test_other[0]", "test_other[2]", "test_plain"]
    assert len(full) == 5 + 7 + 1 + 1 and not set(plain) & set(full)


def test_the_longest_groups_come_first_and_the_others_stay_in_their_order():
    names = ["tests/test_b.py::one", "tests/test_a.py::two", f"{workers.LONGEST[1]}::three", "tests/browser/test_x.py::four",
             f"{workers.LONGEST[1]}::five"]
    items = [SimpleNamespace(nodeid=name) for name in names]
    workers.pytest_collection_modifyitems(items)
    assert [item.nodeid.rpartition("::")[2] for item in items] == ["four", "three", "five", "one", "two"]


def test_whatever_is_said_to_take_long_is_there(request):
    assert [group for group in workers.LONGEST if not (request.config.rootpath / group).exists()] == []
