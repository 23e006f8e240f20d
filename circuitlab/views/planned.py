"""An arrangement with the plan of how it is drawn now, so that the next drawing stands where this one does."""

from dataclasses import replace

from .attached import lay_out_attached
from .schematic import lay_out


def planned(arrangement):
    """Return the arrangement with a plan of where everything stands in its two drawings.

    What its plan knows already stays there; what it does not gets a place. Draw, change and save what comes back: what
    was there stays where it is, and what is added later finds its room beside it.

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp").planned()
    >>> cart == cl.arrangement("one-fused-lamp"), len(cart.plan.attached), cl.draw(cart) == cl.draw(cl.arrangement("one-fused-lamp"))
    (True, 5, True)
    """
    return replace(arrangement, plan=lay_out_attached(arrangement).plan.beside(lay_out(arrangement).plan))
