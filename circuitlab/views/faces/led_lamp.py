"""The face of an LED lamp: a lamp's, with the letters LED."""

from math import isinf

from .lamp import LampFace


class LedLampFace(LampFace):
    """A lamp with a plus side."""

    middle = 36

    def beside(self, piece, part, arrangement):
        *place, volts, light = super().beside(piece, part, arrangement)
        return [*place, ("LED", ""), volts, light]

    def details(self, part):
        load = ""
        if not isinf(part.load_resistance):
            load = f", load resistor {part.load_resistance:g} ohm {part.load_watts:g} W"
        return f"LED lamp, {part.bulb}, {part.watts:g} W at {part.volts:g} V, {part.light} light, plus on 1{load}"
