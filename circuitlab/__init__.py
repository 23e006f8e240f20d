"""Pin Thirty: 12 V lamp and relay circuits, solved, proved, drawn and taught.

One arrangement (its parts, wires and controls) yields the lamp table, the
time course, the drawing, the connection list, the build sheet and the bench.

>>> import circuitlab as cl
>>> cart = cl.arrangement("shared-filament-four-relays")
>>> point = cl.operating_point(cart, {"brake pedal": "held"})
>>> point.states["K1"], 11.5 < point.lamp_volts("E1") < 12.6
('released', True)

Names that need drawing, plotting or widgets are imported when first used, so
that ``import circuitlab`` itself needs nothing but Python.
"""

from .ground.stopping import stand_by

stand_by()       # first of all: what follows takes a tenth of a second and more

from importlib import import_module

from .arrangements import (AddWire, Arrangement, Hold, LoseJoint, MoveWire, RemoveWire, ReplacePart, SetValue,
                           SwapTerminals, Wanted, arrangement, arrangement_names, changed, load, read_text, save,
                           write_text)
from .ground.arguments import checked
from .ground.errors import CircuitLabError
from .ground.quantities import awg_to_mm2, read_quantity, say
from .ground.showing import open_doors
from .parts import (Battery, Breaker, Chassis, Control, Diode, Flasher, Fuse, Lamp, LedLamp, Relay, Resistor, Splice,
                    Switch, Wire, charged_battery, hazard_switch, key_switch, load_needing_flasher, load_sensing_flasher,
                    plunger_stop_switch, pressure_stop_switch, running_battery, thermal_flasher,
                    toggle, turn_lever, variable_load_flasher)
from .reasoning import (Rule, count_rows, flash, lamp_logic, lamp_table, path_to, prove, row_of, rule, rule_names,
                        rule_sentence, trial, with_rule, with_settings)
from .solving import operating_point, run

__version__ = "0.1.0"

_LATER = {
    "sweep": "solving.sweeping",
    "draw": "views.schematic", "describe": "views.schematic",
    "save_picture": "views.printing.export", "save_pages": "views.printing.export",
    "draw_attached": "views.attached", "describe_attached": "views.attached",
    "time_chart": "views.time_chart", "describe_course": "views.time_chart", "plot": "views.printing.print_chart",
    "lamp_table_text": "views.tables", "lamp_table_html": "views.tables", "status": "views.tables",
    "settled_status": "views.tables",
    "logic_html": "views.logic_words", "logic_text": "views.logic_words", "proof_html": "views.proof_words",
    "proof_text": "views.proof_words",
    "write_build_sheet": "commands.build_sheets", "bench": "benches", "still_bench": "benches", "Lesson": "benches",
    "show": "benches", "cautions": "benches", "safety_ticket": "benches", "workbench": "benches",
    **dict.fromkeys(("bulb", "carries", "diode", "flasher", "fuse", "fuse_colour", "lamp", "led_lamp", "load_resistor",
                     "near_names", "relay", "table"), "parts.catalogue"),
    **dict.fromkeys(("Limits", "drain", "judge", "size", "wire_for_current", "wire_for_drop"), "reasoning.sizing"),
    "sizing_html": "views.sizing_words", "sizing_text": "views.sizing_words",
    **dict.fromkeys(("Idea", "fairness", "idea", "issue_code", "vary"), "teaching"),
    **dict.fromkeys(("AddControl", "AddPart", "Changes", "FrameOn", "Lift", "RemovePart", "SetAmbient", "Short", "load_changes",
                     "read_change", "save_changes"), "arrangements"),
    **dict.fromkeys(("double_faults", "fault_table", "single_faults"), "reasoning.faults"), "compare": "reasoning.comparing",
    "comparison_html": "views.compare_words", "comparison_text": "views.compare_words",
    "fault_table_html": "views.fault_words", "fault_table_text": "views.fault_words", "look_up": "benches",
    "what_if": "benches",
    "warnings_for": "arrangements.cautions", "TestLamp": "parts.instruments",
    **dict.fromkeys(("Reading", "take_reading"), "reasoning.leads"),
}

__all__ = [
    "AddWire", "Arrangement", "Battery", "Breaker", "Chassis", "CircuitLabError", "Control", "Diode", "Flasher",
    "Fuse", "Hold", "Lamp", "LedLamp", "LoseJoint", "MoveWire", "Relay", "RemoveWire", "ReplacePart", "Resistor",
    "Rule", "SetValue", "Splice", "SwapTerminals", "Switch", "Wanted", "Wire", "arrangement", "arrangement_names",
    "awg_to_mm2", "changed", "charged_battery", "count_rows", "flash", "hazard_switch", "key_switch", "lamp_logic",
    "lamp_table", "load", "load_needing_flasher", "load_sensing_flasher", "operating_point", "path_to", "plunger_stop_switch",
    "pressure_stop_switch", "prove", "read_quantity", "read_text", "row_of", "rule", "rule_names", "rule_sentence",
    "run", "running_battery", "save", "say", "thermal_flasher", "toggle", "trial", "turn_lever",
    "variable_load_flasher", "with_rule", "with_settings", "write_text",
    *_LATER,
]


# What stands on this page looks at what it is given; between the rooms nobody asks twice.
globals().update({name: checked(globals()[name]) for name in __all__ if name not in _LATER})


def _found(room, name, first=0):
    """Return what stands in a room under a name, looking at what it is given."""
    return checked(getattr(import_module(f".{room}", __name__), name), first)


open_doors(lambda place: _found(*place.split(":"), first=1))        # a method's first is the result itself


def __getattr__(name):
    if name in _LATER:
        return _found(_LATER[name], name)
    raise AttributeError(f"circuitlab has no '{name}'. It has: {', '.join(sorted(__all__))}.")


def __dir__():
    return sorted(__all__)
