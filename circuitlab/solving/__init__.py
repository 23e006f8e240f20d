"""Floor 4, solving: the operating point and the time course of any arrangement."""

from importlib import import_module

from .playing import run
from .settling import LIVE, OperatingPoint, operating_point
from .time_course import Event, TimeCourse

__all__ = ["LIVE", "Event", "OperatingPoint", "Sweep", "TimeCourse", "operating_point", "run", "sweep"]


def __getattr__(name):
    if name in ("Sweep", "sweep"):   # the rooms that need numpy, opened when first asked for
        return getattr(import_module(".sweeping", __name__), name)
    raise AttributeError(f"the solving floor has no '{name}'")
