"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .panel import Bench, bench
from .lesson import Lesson
from .picture import Picture, show
from .still import StillBench, still_bench

__all__ = ["Bench", "Lesson", "Picture", "StillBench", "bench", "show", "still_bench"]
