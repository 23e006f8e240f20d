"""Pin Thirty: 12 V lamp and relay circuits, solved, proved, drawn and taught.

One arrangement (its parts, wires and controls) yields the lamp table, the
time course, the drawing, the connection list, the build sheet and the bench.

>>> import circuitlab as cl
>>> cart = cl.arrangement("shared-filament-four-relays")
>>> point = cl.operating_point(cart, {"brake pedal": "held"})
>>> point.states["K1"], 11.5 < point.lamp_volts("E1") < 12.6
('released', True)

Every name is found in its room when it is first asked for, so that ``import
circuitlab`` itself needs nothing but Python. What shows a result, or is worked
out of it, is a method of the result. The page, by what one does:
"""

from .ground.stopping import stand_by

stand_by()       # first of all: what follows takes a while

import sys
from importlib import import_module
from types import ModuleType

from .ground.arguments import checked
from .ground.showing import open_doors

__version__ = "0.1.0"

PAGE = {        # what one does: the rooms and their names
    "describe": {"arrangements": "Arrangement arrangement arrangement_names load save",
                 "parts": "Battery Breaker Chassis Connector Control Converter Diode DistributionBlock Flasher Fuse FuseBlock Lamp LedLamp Relay Resistor Splice Switch TwoFilamentLamp Wire toggle"},
    "change": {"arrangements": "AddWire Changes Hold LoseJoint MoveWire RemoveWire SetValue SwapTerminals changed"},
    "solve": {"solving": "operating_point run sweep", "reasoning": "flash trial", "reasoning.leads": "take_reading"},
    "prove": {"reasoning": "lamp_logic lamp_table prove row_of rule", "reasoning.choosing": "choose", "reasoning.comparing": "compare",
              "reasoning.faults": "fault_table", "benches.find": "find"},
    "draw": {"views.schematic": "draw", "views.attached": "draw_attached", "views.time_chart": "time_chart",
             "views.printing.export": "save_picture"},
    "size": {"reasoning.sizing": "size"},
    "print": {"commands.build_sheets": "write_build_sheet", "ground.quantities": "say"},
    "teach": {"benches": "Lesson board show", "teaching": "idea vary"},
    "catch": {"ground.errors": "CircuitLabError"},
}
SHELVES = {     # pages of their own, for what is wanted less often
    "catalogue": ("Parts by the names they are sold under, what the tables say of them, and makers of parts that are bought whole.", {
        "parts": "charged_battery hazard_switch key_switch load_needing_flasher load_sensing_flasher plunger_stop_switch "
                 "pressure_stop_switch running_battery thermal_flasher turn_lever variable_load_flasher",
        "parts.catalogue": "bulb diode flasher fuse fuse_colour lamp led_lamp load_resistor near_names relay table",
        "parts.instruments": "TestLamp"}),
    "changes": ("Further changes, changes as sentences and files, and the faults a circuit may have.", {
        "arrangements": "AddControl AddPart FrameOn Lift MarkKnown MarkNotKnown MovePart RemoveControl RemovePart Rename RenameControl ReplacePart SetAmbient SetRule SetTitle Short bare load_changes read_change save_changes shelf",
        "reasoning": "with_settings", "reasoning.faults": "double_faults single_faults"}),
    "rules": ("What lamps and terminals shall do: rules in words and on an arrangement.", {
        "arrangements": "Wanted", "reasoning": "Rule rule_names rule_sentence with_rule"}),
    "scripts": ("What hands did to a circuit, act by act: saved, read and done again.", {
        "solving.scripts": "Script load_script replayed save_script"}),
    "sizing": ("Wire, fuses and the limits a circuit is held to.", {
        "ground.quantities": "awg_to_mm2 read_quantity", "parts.catalogue": "carries",
        "reasoning.sizing": "Limits judge wire_for_current wire_for_drop"}),
}


def _found(room, name, first=0):
    """Return what stands in a room under a name, looking at what it is given; between the rooms nobody asks twice."""
    return checked(getattr(import_module(f".{room}", __name__), name), first)


def _fill(page, rooms, **more):
    """Give a page its names, each found when it is first asked for."""
    places = {name: room for room, names in rooms for name in names.split()}

    def find(name):
        if name not in places:
            shelf = next((f" Write cl.{each}.{name}." for each in more if name in more[each].__all__), "")
            raise AttributeError(f"{page.__name__} has no '{name}'.{shelf} It has: {', '.join(page.__all__)}.")
        setattr(page, name, _found(places[name], name))
        return getattr(page, name)
    vars(page).update(more, __all__=sorted((*places, *more)), __getattr__=find, __dir__=lambda: page.__all__)
    return page


_fill(sys.modules[__name__], (room for group in PAGE.values() for room in group.items()),
      **{name: _fill(ModuleType(f"{__name__}.{name}", said), rooms.items()) for name, (said, rooms) in SHELVES.items()})
__doc__ = (__doc__ or "") + "".join(f"\n{group}: {', '.join(' '.join(rooms.values()).split())}" for group, rooms in PAGE.items()) + "".join(
    f"\ncl.{name}: {said} {', '.join(globals()[name].__all__)}" for name, (said, _) in SHELVES.items())
open_doors(lambda place: _found(*place.split(":"), first=1))        # a method's first is the result itself
