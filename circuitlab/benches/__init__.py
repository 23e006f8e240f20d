"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .panel import Bench, bench
from .lesson import Lesson
from .picture import Picture, show
from .still import StillBench, still_bench
from .ticket import SafetyTicket, cautions, safety_ticket, workbench
from .what_if import WhatIf, what_if

__all__ = ["Bench", "Lesson", "Picture", "SafetyTicket", "StillBench", "WhatIf", "bench", "cautions", "safety_ticket",
           "show", "still_bench", "what_if", "workbench"]
