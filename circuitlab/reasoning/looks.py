"""What an onlooker sees: dark, dim or lit, in words that mean the same everywhere.

The bounds are the kit's own. Rated light at 13.5 V is 100 %; with U^3.4 a lamp
shows 1 % at 3.5 V and 25 % at 9 V.
"""

DARK_BELOW = 0.01  # of rated light
DIM_BELOW = 0.25


def brightness(light):
    """Return ``dark``, ``dim`` or ``lit`` for a light relative to rated. [1]"""
    return "dark" if light < DARK_BELOW else "dim" if light < DIM_BELOW else "lit"
