"""Floor 5, reasoning: what lamps do in every row, and what a time course shows."""

from .flashing import ALLOWED_RATE, Flash, flash
from .rows import Cell, LampTable, Row, count_rows, lamp_table, row_of
from .looks import brightness
from .trials import keys, pedals, trial, trial_script, with_settings

__all__ = ["ALLOWED_RATE", "Cell", "Flash", "LampTable", "Row", "brightness", "count_rows", "flash", "keys",
           "lamp_table", "pedals", "row_of", "trial", "trial_script", "with_settings"]
