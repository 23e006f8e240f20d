"""Floor 4, solving: the operating point and the time course of any arrangement."""

from importlib import import_module

from .metering import LIVE, METER, TEST_LAMP
from .operating import operating_point
from .playing import run
from .point import OperatingPoint
from .time_course import Event, TimeCourse

__all__ = ["LIVE", "METER", "TEST_LAMP", "Event", "OperatingPoint", "Sweep", "TimeCourse",
           "operating_point", "run", "sweep"]


def __getattr__(name):
    if name in ("Sweep", "sweep"):   # the rooms that need numpy, opened when first asked for
        return getattr(import_module(".sweeping", __name__), name)
    raise AttributeError(f"the solving floor has no '{name}'")
