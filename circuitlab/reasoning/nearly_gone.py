"""What a test lamp leaves of volts that come only through other lamps, a coil or electronics: live by the rule of 1 V, and no supply.

A meter passes next to nothing, so an LED lamp with a lost ground shows it most of the battery's volts. A test lamp asks for
amps: it stays dark and takes most of these volts. Under 1 V that is a ghost; from 1 V on the terminal keeps the word *live*.
"""

from ..ground.quantities import say
from ..solving.metering import LIVE, TEST_LAMP
from .looks import brightness

MOST = 0.5          # of a meter's volts, of which a test lamp leaves less: the kit's own


def nearly_gone(point, terminal):
    """Return the volts that stay under a dark test lamp where it takes most of those that a meter shows at a terminal; else None. [V]

    Of a ghost too; of a flat battery's volts not, which the lamp leaves as they are.

    Parameters
    ----------
    point : OperatingPoint
        With volts to read.
    terminal : str

    >>> import circuitlab as cl
    >>> cart = cl.changed(cl.arrangement("trailer-4-flat-converter-led"), cl.LoseJoint("W39", "X1:9"))
    >>> round(nearly_gone(cl.operating_point(cart, {"turn lever": "left", "tail lamps": "on"}), "X20:1"), 1)
    1.2
    """
    shown = point.meter(terminal)
    if shown is None or abs(shown) < LIVE:
        return None
    left = point.test_lamp(terminal)
    filament = TEST_LAMP.filament
    is_dark = brightness(filament.light(filament.settled_temperature(abs(left)))) == "dark"
    return left if is_dark and abs(left) < MOST * abs(shown) else None


def nearly_gone_words(left):
    """Return what a test lamp leaves, to be set behind the volts of a meter; empty for None. [V], [text]

    >>> nearly_gone_words(1.154), nearly_gone_words(0.2), nearly_gone_words(None)
    (', nearly gone under a test lamp (1.2 V, it stays dark)', ', gone under a test lamp', '')
    """
    if left is None:
        return ""
    return ", gone under a test lamp" if abs(left) < LIVE else f", nearly gone under a test lamp ({say(left, 'V')}, it stays dark)"
