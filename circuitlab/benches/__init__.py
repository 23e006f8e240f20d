"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .panel import Bench, bench
from .lesson import Lesson
from .picture import Picture, show
from .still import StillBench, still_bench
from .ticket import SafetyTicket, cautions, safety_ticket, workbench

__all__ = ["Bench", "Lesson", "Picture", "SafetyTicket", "StillBench", "bench", "cautions", "safety_ticket", "show",
           "still_bench", "workbench"]
