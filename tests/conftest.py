"""What every test finds ready: the marker for outside sources, and a place for answers that is nobody's."""

import os
import tempfile

import outside_marker
import pytest

pytest.register_assert_rewrite("worked_lessons")   # its checks say what they compared


def pytest_configure(config):
    """Take the marker's rules into this run, and keep the lessons' answers out of the clone."""
    config.pluginmanager.register(outside_marker, "outside_marker")
    answers = tempfile.TemporaryDirectory(prefix="answers-")
    os.environ["PIN_THIRTY_ANSWERS"] = answers.name
    config.add_cleanup(answers.cleanup)
