"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .board import Board, board
from .panel import Bench, bench
from .lesson import Lesson
from .look_up import LookUp, look_up
from .picture import Picture, show
from .still import StillBench, still_bench
from .ticket import SafetyTicket

__all__ = ["Bench", "Board", "Lesson", "LookUp", "Picture", "SafetyTicket", "StillBench", "bench", "board", "look_up",
           "show", "still_bench"]
