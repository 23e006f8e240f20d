"""Floor 3, arrangements: named parts and wires, read and written as text, changed and broken."""

from .ambient import FrameOn, SetAmbient
from .changes import (AddControl, AddPart, AddWire, LoseJoint, MoveWire, RemovePart, RemoveWire, ReplacePart,
                      SetValue, SwapTerminals, changed)
from .edits import RemoveControl, Rename, RenameControl, SetRule, SetTitle
from .history import Changes, NamedChange, load_changes, save_changes
from .library import arrangement, arrangement_names
from .mishaps import Hold, Lift, Short
from .not_known import MarkKnown, MarkNotKnown
from .plan import MovePart, Plan
from .record import Arrangement, Wanted
from .shelf import bare, shelf
from .text import load, read_text, save, write_text
from .typed_changes import FORMS, read_change

__all__ = ["AddControl", "AddPart", "AddWire", "Arrangement", "Changes", "FORMS", "FrameOn", "Hold", "Lift", "LoseJoint", "MarkKnown", "MarkNotKnown",
           "MovePart", "MoveWire", "NamedChange", "Plan", "RemoveControl", "RemovePart", "RemoveWire", "Rename", "RenameControl", "ReplacePart",
           "SetAmbient", "SetRule", "SetTitle", "SetValue", "Short", "SwapTerminals", "Wanted", "arrangement", "arrangement_names", "bare", "changed",
           "load", "load_changes", "read_change", "read_text", "save", "save_changes", "shelf", "write_text"]
