"""What finding a fault takes for granted: how often each sort of fault is met, and what each look or reading costs.

Both are tables to be edited. Nowhere was a published count found that splits faults of vehicle or trailer lighting into
lamp, fuse, ground, plug, switch, relay and wire. So there are two columns of odds, and they disagree. A
conclusion that stands with one and not with the other is no conclusion.
"""

from types import MappingProxyType

from ...arrangements.complaints import ONLY_SOMETIMES, SINCE_RAIN, WITH_TRAILER
from ...ground.errors import ArrangementError, unknown_name

# One column counts failures per million hours of each single thing, on the ground and moving. Source: MIL-HDBK-217F by parts count, as
# coded in a general reliability library (lamp 38, thermal flasher 4.8, switch 2.7, relay 2.1, connector 0.11, crimp 0.0018); fuse
# from memory; fitted wrong, load and battery: the kit's own guess. It knows no salt and no mud.
# The other column shares out the faults of a whole weathered trailer or cart among all things of a sort: common practice, the kit's own guess.
HANDBOOK, WORKSHOP = "handbook rates", "workshop practice"
ODDS = MappingProxyType({
    #                 HANDBOOK, each   WORKSHOP, all together
    "bulbs":           (38.0,           30.0),
    "grounds":         (0.11,           25.0),
    "joints":          (0.11,           20.0),
    "touching":        (0.0036,         8.0),
    "fuses":           (0.08,           7.0),
    "battery":         (1.0,            5.0),
    "switches":        (2.7,            5.0),
    "relays":          (2.1,            5.0),
    "flashers":        (4.8,            3.0),
    "converters":      (4.8,            3.0),      # no count found: as of a flasher, electronics in a box
    "loads":           (0.1,            2.0),
    "fitted wrong":       (0.5,            4.0),
})
COLUMNS = (HANDBOOK, WORKSHOP)

# What somebody says besides raises these sorts so many times: the kit's own guess from common practice
SAID = MappingProxyType({
    ONLY_SOMETIMES: MappingProxyType({"joints": 3.0, "grounds": 3.0, "relays": 2.0, "switches": 2.0, "flashers": 2.0}),
    SINCE_RAIN: MappingProxyType({"joints": 3.0, "grounds": 3.0, "touching": 2.0}),
    WITH_TRAILER: MappingProxyType({}),       # by place: see TRAILER
})
NOT_KNOWN = 3.0     # times the odds of a joint, of each stretch that nobody has looked at: the kit's own guess
TRAILER = 6.0       # times the odds of what sits on a trailer or at its connector, where a lamp of the vehicle is wrong only with the trailer: the kit's own guess

GRADES = (0.1, 0.17, 0.3, 0.55, 1.0, 2.0, 5.0, 15.0)     # ohm, of a bad joint; read between them as well
CONTACT_GRADES = (0.3, 1.0, 5.0)                         # ohm, of a burnt contact
OPEN_SHARE = 0.4                                         # of bad joints that are open altogether: the kit's own guess
WORKS_AT_A_LOOK = 0.7   # what comes and goes is well at a look so often: the kit's own guess

# Minutes of somebody used to it. In ratio with maintenance charts (0.1 h to look, 3 h to open a harness); the single figures are
# the kit's own. What sits behind trim or under a floor takes longer: say so for that part, as in efforts={"X3": 20}.
EFFORTS = MappingProxyType({
    "a lamp watched": 0.5,
    "look": 1.0,
    "at a fuse or battery": 2.0,
    "at a lamp or load": 3.0,
    "at a switch, relay or flasher": 4.0,
    "at the frame": 5.0,
    "at a splice or plug": 8.0,
    "leads far apart": 2.0,
    "a control moved": 0.2,
    "in a row of no complaint": 1.5,
    "a flasher held still": 4.0,
    "battery off": 3.0,
    "a leg lifted": 3.0,
    "a lamp taken out": 1.0,
    "a plug parted": 0.5,
})


def odds_column(odds):
    """Return ``{sort: (odds, whether of each thing)}`` of a column by its name, or of a table of one's own. [1], [yes/no]

    Raises
    ------
    UnknownName, ArrangementError
        For a column or sort that is not there, or odds that are no number above 0.
    """
    if isinstance(odds, str):
        if odds not in COLUMNS:
            raise unknown_name("the kit", "column of odds", odds, COLUMNS)
        return {sort: (values[COLUMNS.index(odds)], odds == HANDBOOK) for sort, values in ODDS.items()}
    found = odds_column(WORKSHOP)
    for sort, value in _checked(odds, "odds", ODDS).items():
        found[sort] = value, False
    return found


def efforts_table(efforts, arrangement):
    """Return the table of efforts with what somebody changed in it, and minutes for single parts. [min]

    Raises
    ------
    UnknownName, ArrangementError
        For an effort or part that is not there, or minutes that are no number above 0.
    """
    known = {**EFFORTS, **{part.name: 0.0 for part in arrangement.parts}}
    return {**EFFORTS, **_checked({} if efforts is None else efforts, "efforts", known)}


def _checked(table, what, known):
    if not isinstance(table, dict):
        raise ArrangementError(f"'{what}' must be a table of numbers by name, such as {{'{next(iter(known))}': 12}}.")
    for name, value in table.items():
        if name not in known:
            raise unknown_name(f"the table of {what}", "line", str(name), known)
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 < value <= 1e6:
            raise ArrangementError(f"{what} of '{name}' must be a number above 0, got {value!r}.")
    return dict(table)
