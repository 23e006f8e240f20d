"""What an onlooker sees: dark, dim or lit, and over the phases of a flasher, in words that mean the same everywhere.

The bounds are the kit's own. Rated light at 13.5 V is 100 %; with U^3.4 a lamp
shows 1 % at 3.5 V and 25 % at 9 V. A lamp that a flasher makes brighter and
less bright without putting it out *pulses*: a bad joint that two signals share
lets a stop lamp wink with the turn signal.
"""

DARK_BELOW = 0.01  # of rated light
DIM_BELOW = 0.25
TOO_BRIGHT = "too bright"
TOO_BRIGHT_ABOVE = 2.5   # of the light that belongs there, from where on another filament is too bright for its place: the kit's own
SEEN = 0.2         # of the brighter light, the least difference anybody sees who looks at one after the other: from memory
OUT_BELOW = 0.5 ** 3.4   # of the brighter light, what half of its volts give: with less it is out between two flashes


def brightness(light):
    """Return ``dark``, ``dim`` or ``lit`` for a light relative to rated. [1]"""
    return "dark" if light < DARK_BELOW else "dim" if light < DIM_BELOW else "lit"


def goes_out(light, brighter):
    """Tell whether a light is none beside a brighter one of the same lamp, both relative to rated. [1], [yes/no]"""
    return light < max(DARK_BELOW, OUT_BELOW * brighter)


def differs(light, other):
    """Tell whether anybody sees the difference between two lights. [1], [yes/no]"""
    return abs(light - other) > SEEN * max(light, other)


def seen_to(look):
    """Return a look as what a lamp does, to be set behind its name. [text]

    >>> seen_to("steady"), seen_to("pulses")
    ('is steady', 'pulses')
    """
    return look if look in ("pulses", "flickers") else f"is {look}"


def look_of(lights, is_misplaced=False):
    """Return the look of a lamp from its light in every combination of flasher phases, relative to rated. [1], [text]

    Another filament in the place of its own may be too bright there; what too many volts do to a lamp is told by its life.

    >>> look_of([0.9, 0.0]), look_of([0.9, 0.85]), look_of([0.9, 0.5]), look_of([0.2, 0.0]), look_of([0.2, 0.1]), look_of([8.0], True)
    ('flashing', 'steady', 'pulses', 'dim flashing', 'dim', 'too bright')
    """
    most, least = max(lights), min(lights)
    if most < DARK_BELOW:
        return "dark"
    if goes_out(least, most):
        return "dim flashing" if most < DIM_BELOW else "flashing"
    if is_misplaced and most > TOO_BRIGHT_ABOVE:
        return TOO_BRIGHT
    return "dim" if most < DIM_BELOW else "pulses" if differs(most, least) else "steady"
