"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .board import Board, board
from .lesson import Lesson
from .picture import Picture, show
from .ticket import SafetyTicket

__all__ = ["Board", "Lesson", "Picture", "SafetyTicket", "board", "show"]
