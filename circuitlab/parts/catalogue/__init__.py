"""The catalogue: real lamps, relays, fuses, flashers, LEDs, diodes and wire tables, by name.

The figures are in ``datasets/*.csv``, each with its mark and source; their
passport is in ``datasets/README.md``. A file is read when first asked for.
"""

from ..bulbs import Bulb, bulb, bulbs, near_names
from ..tables import MARKS, table, table_names
from .devices import diode, flasher, fuse, fuse_colour, lamp, led_lamp, load_resistor, relay
from .wiring import ampacity_tables, carries, greatest_resistance, largest_fuse

__all__ = ["Bulb", "MARKS", "ampacity_tables", "bulb", "bulbs", "carries", "diode", "flasher", "fuse", "fuse_colour",
           "greatest_resistance", "lamp", "largest_fuse", "led_lamp", "load_resistor", "near_names", "relay", "table",
           "table_names"]
