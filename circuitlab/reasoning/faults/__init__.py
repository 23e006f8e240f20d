"""Faults: every one of an arrangement, what a driver behind would see of it, and the reading that reveals it.

The rooms, from below: :mod:`catalogue` of faults, :mod:`batches` of observed rows,
:mod:`classing` what is seen, :mod:`readings`, and the ranked :mod:`table`.
"""

from .catalogue import BROKEN_COIL, CORRODED, ODDS, Fault, double_faults, single_faults
from .classing import CLASSES, DRAIN, Effect
from ..observing import HEAT_TABLE, Observed, observe
from .power_off import FAR
from .readings import Telltale, best_reading
from .table import FaultLine, FaultTable, fault_table

__all__ = [
    "BROKEN_COIL",
    "CLASSES",
    "CORRODED",
    "DRAIN",
    "Effect",
    "FAR",
    "Fault",
    "FaultLine",
    "FaultTable",
    "HEAT_TABLE",
    "ODDS",
    "Observed",
    "Telltale",
    "best_reading",
    "double_faults",
    "fault_table",
    "observe",
    "single_faults",
]
