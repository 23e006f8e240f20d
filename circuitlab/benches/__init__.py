"""Floor 7, benches: the widgets. A skin: delete this floor and no number changes."""

from .panel import Bench, bench
from .lesson import Lesson
from .picture import Picture, show

__all__ = ["Bench", "Lesson", "Picture", "bench", "show"]
