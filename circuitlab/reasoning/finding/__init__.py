"""Find the fault: from the customer's words and a few readings to the joint.

The rooms, from below: the two tables of :mod:`assumptions`, the :mod:`candidates`, all of them :mod:`solved`, what was :mod:`told`,
its :mod:`weighing`, the tests of :mod:`looking_ahead`, the :mod:`offers` of readings, the :mod:`next_reading`, :mod:`slips`,
:mod:`pairs`, and the :mod:`finding`.
"""

from .finding import Finding, find

__all__ = ["Finding", "find"]
