"""The warmth of fuses, breakers and thermal flashers over one step of the filaments.

Warmth h makes for the strain s with dh/dt = (s - h) / tau. While currents
stand still that is one exponential, exact for any step. In the first
milliseconds of a cold filament the strain falls to a hundredth, so it is
looked at in the middle of the step as well, and what differs from its end is
added up by Simpson's rule.
"""

from math import exp

STEADY = 0.02   # of a strain: a change by less within a step is taken as straight


def changes_much(before, after):
    """Tell whether any strain changes so much in a step that its middle must be looked at."""
    return any(abs(after[index] - strain) > STEADY * (after[index] + strain + 0.01) for index, strain in before.items())


def grown(heat, before, middle, after, seconds, heat_time):
    """Return a warmth after a step, from the strain before, amid and after it. [1]

    >>> round(grown(1.0, 0.0, 0.0, 0.0, 1.5, 1.5), 6)      # cooling for one time constant
    0.367879
    """
    spent = seconds / heat_time
    fade = exp(-spent)
    extra = (before - after) * fade + 4 * (middle - after) * exp(-spent / 2)
    return after + (heat - after) * fade + spent / 6 * extra
