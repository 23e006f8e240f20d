"""Who runs which tests: one worker more than the machine has processors, each file whole, browser files one after another.

What takes longest is begun first, so that no worker is left with it when the others have ended. The worker with the pages
waits for real time more often than not, so there is one more to work meanwhile.
"""

import os

from xdist.scheduler import LoadFileScheduling

BROWSER = "tests/browser/"
LONGEST = (               # groups by the seconds they take in either run; all others come behind, in the order of their names
    BROWSER, "tests/attack/test_misbehaving.py", "tests/test_found_faults.py", "tests/attack/test_random_networks.py", "tests/attack/test_record_attack.py",
    "tests/judges/test_metering.py", "tests/test_attached.py", "tests/test_schematic.py", "tests/test_lessons.py",
    "tests/test_faults.py", "tests/test_class_summary.py", "tests/test_plan.py", "tests/test_choosing.py",
    "tests/test_proving.py", "tests/test_headless_learners.py", "tests/test_telling_readings.py", "tests/test_plus_on_frame.py",
    "tests/test_wrong_things.py", "tests/test_lesson_answers_04_07.py", "tests/test_metering.py",
    "tests/judges/test_operating_points.py", "tests/test_every_check_climbs.py", "tests/test_lesson_answers_09_10.py",
    "tests/test_right_in_every_variant.py", "tests/test_no_key_is_shipped.py", "tests/judges/test_faults.py",
    "tests/test_sheets.py", "tests/test_sweep.py", "tests/test_lesson_answers_01_03.py", "tests/test_lesson_answers_12.py",
    "tests/test_commands.py", "tests/test_start.py", "tests/test_export.py", "tests/test_stopping.py")


def group_of(nodeid):
    """Return the name of the group a test belongs to: its file, or the room of all that share the one JupyterLab. [text]"""
    return BROWSER if nodeid.startswith(BROWSER) else nodeid.partition("::")[0]


def pytest_collection_modifyitems(items):
    """Put the longest groups first; within a group the order stays."""
    places = {group: place for place, group in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(group_of(item.nodeid), len(places)))


class ByRoom(LoadFileScheduling):
    """A file's tests stay together, for their fixtures; so do all that share the one JupyterLab."""

    def _split_scope(self, nodeid):
        """Return the name of the group a test belongs to. [text]"""
        return group_of(nodeid)


def pytest_xdist_make_scheduler(config, log):
    """Hand the tests out by room, in their own order and not by how many there are of each."""
    config.option.loadscopereorder = False
    return ByRoom(config, log)


def pytest_xdist_auto_num_workers(config):
    """Start no workers for a single file: they would take longer than they save."""
    is_single = len(config.args) == 1 and config.args[0].partition("::")[0].endswith((".py", ".ipynb"))
    return 0 if is_single else processors() + 1


def processors():
    """Return how many processors this run may use. [1]"""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
