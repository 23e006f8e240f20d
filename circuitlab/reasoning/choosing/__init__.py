"""Which arrangement of the library fits what somebody wants and has: every answer comes from circuits and their proofs.

The rooms, from below: :mod:`traits` of an arrangement, :mod:`lacks`, what it cannot do, :mod:`ruling_out` by
wishes, :mod:`exchanging` its flasher, the :mod:`worst` single fault, and :mod:`choosing`, which puts them in order.
"""

from .choosing import Chosen, NearMiss, Offer, choose
from .traits import traits

__all__ = ["Chosen", "NearMiss", "Offer", "choose", "traits"]
