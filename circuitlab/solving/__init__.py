"""Floor 4, solving: the operating point and the time course of any arrangement."""

from .playing import run
from .settling import LIVE, OperatingPoint, operating_point
from .time_course import Event, TimeCourse

__all__ = ["LIVE", "Event", "OperatingPoint", "TimeCourse", "operating_point", "run"]
