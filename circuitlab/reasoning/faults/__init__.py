"""Faults: every one of an arrangement, what a driver behind would see of it, and the reading that reveals it.

The rooms, from below: :mod:`catalogue` of faults, :mod:`batches` of observed rows,
:mod:`classing` what is seen, :mod:`readings`, and the ranked :mod:`table`.
"""

from ..observing import HEAT_TABLE, observe
from .catalogue import BROKEN_COIL, CORRODED, ODDS, Fault, double_faults, single_faults
from .classing import CLASSES, DRAIN
from .power_off import FAR
from .readings import best_reading
from .table import FaultTable, fault_table

__all__ = ["BROKEN_COIL", "CLASSES", "CORRODED", "DRAIN", "FAR", "Fault", "FaultTable", "HEAT_TABLE", "ODDS", "best_reading",
           "double_faults", "fault_table", "observe", "single_faults"]
