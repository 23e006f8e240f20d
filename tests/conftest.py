"""What every test finds ready: the marker for outside sources, a place for answers that is nobody's, lessons worked through."""

import gc
import os
import sys
import tempfile

import full_runs
import ipywidgets
import outside_marker
import pytest
from workers import (pytest_collection_modifyitems, pytest_xdist_auto_num_workers,  # noqa: F401 - hooks
                     pytest_xdist_make_scheduler)

OPEN = ipywidgets.Widget.open
pytest.register_assert_rewrite("worked_lessons")   # its checks say what they compared


def pytest_addoption(parser):
    """Add the option of the long runs."""
    full_runs.add_option(parser)


def pytest_configure(config):
    """Take the marker's rules into this run, and keep the lessons' answers out of the clone."""
    config.pluginmanager.register(outside_marker, "outside_marker")
    config.pluginmanager.register(full_runs, "full_runs")
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)     # or each of a hundred kernels and commands compiles the kit anew
    sys.dont_write_bytecode = False
    answers = tempfile.TemporaryDirectory(prefix="answers-")
    os.environ["PIN_THIRTY_ANSWERS"] = answers.name
    config.add_cleanup(answers.cleanup)
    ipywidgets.Widget.open = lambda widget: None        # no page listens here; who wants one asks for ``a_page_listens``
    gc.set_threshold(100_000, 50, 100)                 # a tenth of the processor's time went into looking for what is never there


def pytest_collection_finish():
    """Have what was collected stay: nothing of it need be looked through again."""
    gc.collect()
    gc.freeze()


def pytest_generate_tests(metafunc):
    """A file that works lessons through names them in ``WORKED``; its tests that ask for a ``name`` run for each."""
    if "name" in metafunc.fixturenames and hasattr(metafunc.module, "WORKED"):
        metafunc.parametrize("name", metafunc.module.WORKED)


@pytest.fixture
def a_page_listens(monkeypatch):
    """Have every widget opened as for a page."""
    monkeypatch.setattr(ipywidgets.Widget, "open", OPEN)


@pytest.fixture
def answers(tmp_path, monkeypatch):
    """Keep this test's answers in a folder of its own."""
    monkeypatch.setenv("PIN_THIRTY_ANSWERS", str(tmp_path))
    return tmp_path


@pytest.fixture
def lesson(name, answers, request):
    """A lesson run as it is committed, the learner's own cells as the file's ``KEPT`` has them."""
    from worked_lessons import worked       # once its asserts are rewritten

    return worked(name, **getattr(request.module, "KEPT", {}).get(name, {})).lesson
