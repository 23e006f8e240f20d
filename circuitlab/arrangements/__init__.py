"""Floor 3, arrangements: named parts and wires, read and written as text, changed and broken."""

from .changes import AddWire, Hold, LoseJoint, MoveWire, RemoveWire, ReplacePart, SetValue, SwapTerminals, changed
from .library import arrangement, arrangement_names
from .record import Arrangement, Wanted
from .text import load, read_text, save, write_text

__all__ = ["AddWire", "Arrangement", "Hold", "LoseJoint", "MoveWire", "RemoveWire", "ReplacePart", "SetValue",
           "SwapTerminals", "Wanted", "arrangement", "arrangement_names", "changed", "load", "read_text", "save",
           "write_text"]
