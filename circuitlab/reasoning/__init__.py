"""Floor 5, reasoning: what lamps do in every row, and what a time course shows."""

from .flashing import ALLOWED_RATE, Flash, flash
from ..arrangements.rows import count_rows
from .rows import Cell, LampTable, Row, row_of
from .rows_at_once import lamp_table
from .looks import brightness
from .logic import Logic, lamp_logic
from .paths import Path, Step, missing_path, path_to
from .proving import Failure, Proof, prove
from .rules import Limits, Rule, rule, rule_names, rule_sentence, with_rule
from .trials import keys, pedals, trial, trial_script, with_settings

__all__ = ["ALLOWED_RATE", "Cell", "Failure", "Flash", "LampTable", "Limits", "Logic", "Path", "Proof", "Row", "Rule",
           "Step", "brightness", "count_rows", "flash", "keys", "lamp_logic", "lamp_table", "missing_path", "path_to",
           "pedals", "prove", "row_of", "rule", "rule_names", "rule_sentence", "trial", "trial_script", "with_rule",
           "with_settings"]
