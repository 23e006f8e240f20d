"""The build sheet: two printed pages that take an arrangement to the workbench and prove it there."""

from .page import sheet_page

__all__ = ["sheet_page"]
