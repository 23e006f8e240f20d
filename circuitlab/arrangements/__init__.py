"""Floor 3, arrangements: named parts and wires, read and written as text, changed and broken."""

from .ambient import FrameOn, SetAmbient
from .changes import (AddControl, AddPart, AddWire, Hold, LoseJoint, MoveWire, RemovePart, RemoveWire, ReplacePart,
                      SetValue, SwapTerminals, changed)
from .edits import RemoveControl, Rename, RenameControl, SetRule, SetTitle
from .history import Changes, NamedChange, load_changes, save_changes
from .library import arrangement, arrangement_names
from .mishaps import Lift, Short
from .record import Arrangement, Wanted
from .shelf import bare, shelf
from .text import load, read_text, save, write_text
from .typed_changes import FORMS, read_change

__all__ = ["AddControl", "AddPart", "AddWire", "Arrangement", "Changes", "FORMS", "FrameOn", "Hold", "Lift", "LoseJoint",
           "MoveWire", "NamedChange", "RemoveControl", "RemovePart", "RemoveWire", "Rename", "RenameControl", "ReplacePart", "SetAmbient", "SetRule", "SetTitle", "SetValue", "Short", "SwapTerminals",
           "Wanted", "arrangement", "bare", "arrangement_names", "changed", "load", "load_changes", "read_change",
           "read_text", "save", "save_changes", "shelf", "write_text"]
