"""The attached drawing for the builder: real things with numbered terminals, in their place, joined wire by wire."""

from .layout import lay_out_attached
from .pages import pages_attached
from .picture import draw_attached, fill_attached
from .sheet import AttachedSheet
from .words import describe_attached

__all__ = ["AttachedSheet", "describe_attached", "draw_attached", "fill_attached", "lay_out_attached", "pages_attached"]
