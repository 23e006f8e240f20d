"""The warmth of fuses, breakers and thermal flashers over one step of the filaments.

Warmth h makes for the strain s with dh/dt = (s - h) / tau. While currents
stand still that is one exponential, exact for any step. In the first
milliseconds of a cold filament the strain falls to a hundredth, so where it
matters it is looked at in the middle of the step as well, and what differs
from its end is added up by Simpson's rule.
"""

from math import exp

SMALL = 2e-3   # of a limit: what a bend of the strain within a step may add unseen, before its middle is looked at


def grown(heat, before, middle, after, spent):
    """Return a warmth after a step, from the strain before, amid and after it; the step in time constants. [1]

    >>> round(grown(1.0, 0.0, 0.0, 0.0, 1.0), 6)      # cooling for one time constant
    0.367879
    """
    fade = exp(-spent)
    extra = (before - after) * fade + 4 * (middle - after) * exp(-spent / 2)
    return after + (heat - after) * fade + spent / 6 * extra
