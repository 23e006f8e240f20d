"""The attached drawing in words: where every part stands, which terminals it has, and what goes to each of them."""

from ..faces import face_of
from ..point_words import told
from ..style import named
from .behind import has_trailer
from .blocks import check_view


def describe_attached(arrangement, point=None, view="wire side", pins="A"):
    """Return the attached drawing as text: part by part, and after each part the wires that leave it.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Adds states, lamp volts and what is live, ghost, dead or floating.
    view : {"wire side", "face"}
        From where the relay sockets are seen. [text]
    pins : {"A", "B"}
        Pin order of the relays. [text]

    Returns
    -------
    str
        One sentence for each part and each wire.
    """
    check_view(view, pins)
    trailer = ", the trailer behind the cart" * has_trailer(arrangement)
    opening = (f"{arrangement.title}. Attached drawing: every part with its numbered terminals, seen from above, the front "
               f"on top{trailer}, left and right being the driver's, facing forward.")
    return told(arrangement, point, opening, [
        (part, f"{part.kind[:1].upper()}{part.kind[1:]} {named(part)}{face_of(part).spoken(part, view, pins)}")
        for part in arrangement.listed])
