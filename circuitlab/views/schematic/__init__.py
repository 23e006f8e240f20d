"""The schematic in current-path form: laid out once, filled with an operating point, told in words."""

from .picture import draw, fill
from .layout import lay_out
from .pages import pages
from .sheet import Sheet
from .words import describe

__all__ = ["Sheet", "describe", "draw", "fill", "lay_out", "pages"]
