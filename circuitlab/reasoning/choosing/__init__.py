"""Which arrangement of the library fits what somebody wants and has: every answer comes from circuits and their proofs.

The rooms, from below: :mod:`traits` of an arrangement, :mod:`lacks`, what it cannot do, :mod:`wishes` and whom they rule
out, and :mod:`choosing`, which puts them in order.
"""

from .choosing import Choice, NearMiss, Offer, choose
from .traits import traits
from .wishes import WISHES, read_wishes

__all__ = ["Choice", "NearMiss", "Offer", "WISHES", "choose", "read_wishes", "traits"]
