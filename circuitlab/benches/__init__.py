"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .board import Board, board
from .panel import Bench, bench
from .lesson import Lesson
from .picture import Picture, show
from .still import StillBench, still_bench
from .ticket import SafetyTicket
from .what_if import WhatIf, what_if

__all__ = ["Bench", "Board", "Lesson", "Picture", "SafetyTicket", "StillBench", "WhatIf", "bench", "board", "show", "still_bench",
           "what_if"]
