"""The live board: the drawing worked by hand, in real time; the kernel alone computes, the page plays back."""

from .board import Board, board

__all__ = ["Board", "board"]
