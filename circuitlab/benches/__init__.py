"""Floor 8, benches: the widgets. A skin: delete this floor and no number changes."""

from .board import Board, board
from .lesson import Lesson
from .look_up import LookUp, look_up
from .picture import Picture, show
from .ticket import SafetyTicket

__all__ = ["Board", "Lesson", "LookUp", "Picture", "SafetyTicket", "board", "look_up", "show"]
