"""The build sheet: two printed pages that take an arrangement to the workbench and prove it there."""

from .page import build_sheet, write_build_sheet

__all__ = ["build_sheet", "write_build_sheet"]
