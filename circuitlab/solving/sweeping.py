"""Whole sweeps: the operating points of many cases at once, with numpy.

Every row of an arrangement, in every phase of its flashers, healthy and with
every fault in turn, is soon ten thousand operating points. They share their
wiring, so they are solved side by side. The rooms behind this one, downwards:

* :mod:`sweep_cases`: the cases as one network with a table of values;
* :mod:`sweep_settling`: the rounds in which relays, flashers and fuses settle;
* :mod:`sweep_cycle`: what blows in one phase of a flasher is gone in the other;
* :mod:`sweep_outcome`: what is kept of every case;
* :mod:`sweep_search`: cases that go in circles, searched with one part moving at a time;
* :mod:`sweep_laws`: a part's law called once for thousands of cases;
* :mod:`sweep_volts`: elimination and Newton's method over arrays;
* :mod:`sweep_curves`: the devices' curves as tables.

The shapes of arrays are named by these axes: ``points`` of the network, its ``branches`` and ``devices``, its ``parts``
and those of them that are ``latching``, the ``variants`` of a group, its ``cases``, and ``columns``, the different
solutions among cases. ``(parts, cases)`` is one row a part, one column a case.

Nothing is solved in another way than one case alone: the same program for the
wiring, the same laws of the parts, the same walk to rest. States are those of
:func:`~circuitlab.solving.operating_point`, volts the same within 1 nV; save
where that asks a time course what cold filaments do to a flasher: a sweep only
says which cases may be such, for a course costs as much as thousands of them.
"""

from dataclasses import dataclass

import numpy as np

from ..arrangements import changed
from ..arrangements.rows import rows_of
from ..ground.errors import ArrangementError, unknown_name
from ..ground.plain import counted
from ..ground.showing import Showing
from .metering import LIVE
from .operating import operating_point
from .point import LAST, NOTHING
from .settling import _phases, checked_arrangement
from .sweep_cases import grouped
from .sweep_curves import Curves, light
from .sweep_search import VERDICTS
from .sweep_settling import settle
from .sweep_volts import Kernel

UNTIMED = (VERDICTS.index("settled"), VERDICTS.index("buzzing"))   # what a sweep may say of a case that time decides


@dataclass(frozen=True)
class Made:
    """A change that is made already: what it makes of any arrangement is at hand.

    Attributes
    ----------
    variant : Arrangement
    """

    variant: object

    def apply(self, _):
        """Return the variant, whatever it is applied to."""
        return self.variant


def sweep(cases, rows=None, phases=None, changes=((),), operated=()):
    """Return the settled operating points of many cases.

    Parameters
    ----------
    cases : Arrangement or iterable of (Arrangement, dict, str or dict)
        One arrangement, to be swept over rows, phases and changes; or the
        cases one by one: arrangement, control positions, flasher phases.
    rows : iterable of dict of str to str, optional
        Control positions; every row of the arrangement unless given. [text]
    phases : iterable of (str or dict), optional
        ``"on"`` or ``"off"`` or one of these for each flasher by name; both unless given. [text]
    changes : iterable of (tuple of changes)
        What is different each time; ``()`` is the arrangement as it is.
    operated : iterable of str
        Relays taken to be operated beforehand in every case; all others start released. [text]

    Returns
    -------
    Sweep
        Its ``verdicts`` say how each case ends; where ``in_doubt`` is true, time decides, and a time course tells.

    Raises
    ------
    ArrangementError
        When there is nothing to sweep.
    UnknownName
        For a control, position, phase or relay that is not there.

    Examples
    --------
    >>> from circuitlab.arrangements import LoseJoint, arrangement
    >>> found = sweep(arrangement("one-fused-lamp"), changes=[(), (LoseJoint("W1", "F1:1"),)])
    >>> found.shape
    (2, 2, 1)
    >>> (found.lamp_volts("E1").reshape(found.shape) > 6).tolist()
    [[[False], [True]], [[False], [False]]]
    """
    if isinstance(cases, (list, tuple)) or not hasattr(cases, "parts"):
        variants, variant_of, rows, row_of, phases, phase_of = _listed(cases)
        return Sweep(variants, rows, phases, variant_of, row_of, phase_of, (len(variant_of),), tuple(operated))
    arrangement = checked_arrangement(cases)
    if rows is None:
        rows = rows_of(arrangement)
    if phases is None:
        phases = ("on", "off") if any(part.swings for part in arrangement.parts) else ("on",)
    rows, phases = list(rows), list(phases)
    variants = [changed(arrangement, *(each if isinstance(each, (list, tuple)) else (each,))) for each in changes]
    shape = len(variants), len(rows), len(phases)
    if not all(shape):
        raise ArrangementError("there is nothing to sweep. Give at least one row, one phase and one tuple of changes; "
                               "an empty tuple leaves the arrangement as it is.")
    return Sweep(variants, rows, phases, *(axis.ravel() for axis in np.indices(shape)), shape, tuple(operated))


def _listed(cases):
    """Return the different arrangements, rows and phases among cases, and which each case has."""
    kinds = ({}, {}, {})
    of = ([], [], [])
    for case in cases:
        try:
            arrangement, positions, phase = case
            positions = tuple(sorted(dict(positions or {}).items()))
            phase = phase if isinstance(phase, str) else tuple(sorted(dict(phase).items()))
        except (TypeError, ValueError):
            raise ArrangementError(f"{case!r} is not a case. Write (arrangement, positions, phases), "
                                   "such as (cart, {'key': 'on'}, 'on').", got=case) from None
        for kind, numbers, key, thing in zip(kinds, of, (id(arrangement), positions, phase),
                                             (arrangement, positions, phase)):
            numbers.append(kind.setdefault(key, (len(kind), thing))[0])
    if not of[0]:
        raise ArrangementError("there is nothing to sweep: the list of cases is empty.")
    variants, rows, phases = ([thing for _, thing in kind.values()] for kind in kinds)
    return (list(map(checked_arrangement, variants)), np.array(of[0]), list(map(dict, rows)), np.array(of[1]),
            [phase if isinstance(phase, str) else dict(phase) for phase in phases], np.array(of[2]))


class Sweep(Showing):
    """The operating points of many cases, as arrays with one entry a case.

    Volts, currents and light are masked where there are none: at a floating
    terminal, and in every case that came to no rest. They are never NaN.

    Attributes
    ----------
    shape : tuple of int
        Changes, rows and phases, to ``reshape`` any reading to; or just how many cases there are. [1]
    verdict_codes : ndarray of int, shape (cases,)
        Place of each case's verdict in ``VERDICTS``. [1]
    in_doubt : numpy.ndarray
        Which cases, settled or buzzing, may be otherwise in time, where filaments are cold at each flash: ``point(n)``
        asks more of each, a time course of its ``case(n)`` most. [yes/no]
    networks_solved, solved_alone : int
        How many networks were solved, and how many cases had to be solved alone after all. [1]
    """

    kernel = Kernel   # what solves the networks; a benchmark puts another in its place

    def __init__(self, variants, rows, phases, variant_of, row_of, phase_of, shape, operated=()):
        self.variants, self.rows, self.phases, self.shape, self.operated = variants, rows, phases, shape, operated
        self._variant_of, self._row_of, self._phase_of = variant_of, row_of, phase_of
        self.verdict_codes = np.zeros(len(variant_of), np.int8)
        self.in_doubt = np.zeros(len(variant_of), bool)
        self._lots, self.networks_solved, self.solved_alone = [], 0, 0
        for group, numbers in grouped(variants):
            lot = _Lot(self, group, numbers)
            self._lots.append(lot)
            self.verdict_codes[lot.cases] = lot.outcome.verdicts
            self.networks_solved += lot.outcome.solved
            self.in_doubt[lot.cases] = lot.outcome.in_doubt & np.isin(lot.outcome.verdicts, UNTIMED)
            self.solved_alone += lot.outcome.handed_over

    def __len__(self):
        return len(self._variant_of)

    @property
    def brief(self):
        """In one sentence. [text]"""
        doubt = f" Time decides {int(self.in_doubt.sum())}, those `in_doubt`: run them." if self.in_doubt.any() else ""
        return f"Sweep of {counted(len(self), 'case')}, {int(self.is_settled.sum())} of them settled.{doubt}"

    def case(self, number):
        """Return ``(arrangement, positions, phases)`` of a case."""
        return (self.variants[self._variant_of[number]], self.rows[self._row_of[number]],
                self.phases[self._phase_of[number]])

    def point(self, number):
        """Return the ordinary operating point of a case, with its sentence."""
        return operating_point(*self.case(number), self.operated)

    @property
    def verdicts(self):
        """The verdict of every case, shape (cases,). [text]"""
        return np.array(VERDICTS)[self.verdict_codes]

    @property
    def is_settled(self):
        """Whether there are volts to read, shape (cases,). [yes/no]"""
        return np.isin(self.verdict_codes, [VERDICTS.index(verdict) for verdict in ("settled", "tripping", "shorted")])

    def state(self, name):
        """Return what state a part is in, shape (cases,); empty where it is not there. [text]"""
        found = np.full(len(self), "", object)
        for lot in self._having(lambda lot: name in lot.places, "part", name):
            found[lot.cases] = lot.state(name)
        return found.astype(str)

    def volts(self, terminal):
        """Return the volts of a terminal, shape (cases,), masked where it floats. [V]"""
        return self._gathered(lambda lot: terminal in lot.network.point_of, "terminal", terminal,
                              lambda lot: lot.volts(terminal))

    def across(self, first, second):
        """Return the volts of the first terminal above the second, under 1 pV being 0, masked where either floats. [V]"""
        volts = self.volts(first) - self.volts(second)
        volts.data[abs(volts.data) < LAST] = 0.0
        return volts

    def is_live(self, terminal):
        """Tell whether a terminal keeps 1 V off the battery's minus under a test lamp; False where it floats."""
        live = (abs(self.volts(terminal)) >= LIVE).filled(False)
        for number in np.flatnonzero(live):
            live[number] = self.point(number).is_live(terminal)
        return live

    def current(self, name, branch=0):
        """Return the current through a wire or one branch of a part; under 1 nA is 0. [A]"""
        return self._gathered(lambda lot: lot.has_branch(name, branch), "branch", f"{name}, {branch}",
                              lambda lot: lot.current(name, branch))

    def lamp_volts(self, lamp):
        """Return the volts across a lamp, terminal 1 above terminal 2; none across a floating one. [V]"""
        return self._gathered(lambda lot: lamp in lot.network.lamp_order, "lamp", lamp,
                              lambda lot: lot.lamp_volts(lamp))

    def light(self, lamp):
        """Return a lamp's light relative to its rated light. [1]"""
        return self._gathered(lambda lot: lamp in lot.network.lamp_order, "lamp", lamp, lambda lot: lot.light(lamp))

    def _having(self, has, kind, name):
        lots = [lot for lot in self._lots if has(lot)]
        if not lots:
            lists = {"terminal": lambda net: net.point_of, "lamp": lambda net: net.lamps, "part": lambda net: net.place,
                     "branch": lambda net: net.place}
            raise unknown_name("this sweep", kind, name, lists[kind](self._lots[0].network))
        return lots

    def _gathered(self, has, kind, name, read):
        found = np.ma.masked_all(len(self))
        found.data[:] = 0.0
        for lot in self._having(has, kind, name):
            found[lot.cases] = read(lot)
        return found


class _Lot:
    """The cases of one group, and how to read them."""

    def __init__(self, whole, group, numbers):
        local = np.full(len(whole.variants), -1)
        local[numbers] = np.arange(len(numbers))
        self.group, self.network = group, group.network
        self.cases = np.flatnonzero(local[whole._variant_of] >= 0)
        self.variants = local[whole._variant_of[self.cases]]
        rows, row_of = np.unique(whole._row_of[self.cases], return_inverse=True)
        phases, phase_of = np.unique(whole._phase_of[self.cases], return_inverse=True)
        base = group.variants[0]
        self.kernel = whole.kernel(group)
        self.outcome = settle(self.kernel, self.variants, [base.positions(whole.rows[row]) for row in rows], row_of,
                              [_phases(group.network, whole.phases[phase]) for phase in phases], phase_of, whole.operated)
        self.places = {part.name: place for place, part in enumerate(base.parts)}
        self.settled = self.outcome.column >= 0
        example = self.outcome.example
        self._where = (self.variants[example], self.outcome.codes[:, example])     # of each column of volts
        self.grounded = (self.kernel.grounded(*self._where) if len(example)
                         else np.zeros((group.network.size, 0), bool))

    def state(self, name):
        place = self.places[name]
        return np.array(self.group.names[place], object)[self.outcome.codes[place]]

    def _spread(self, values, mask):
        """Give every case the reading of its column: from shape (columns,), twice, to a masked (cases,)."""
        column = self.outcome.column
        if not len(values):
            return np.ma.array(np.zeros(len(column)), mask=True)
        return np.ma.array(np.where(self.settled, values[column], 0.0), mask=~self.settled | mask[column])

    def volts(self, terminal):
        point = self.network.point_of[terminal]
        return self._spread(self.outcome.volts[point], ~self.grounded[point])

    def has_branch(self, name, branch):
        return any(self.group.branch(variant, name, branch) for variant in range(len(self.group.variants)))

    def current(self, name, branch):
        variants, codes = self._where
        found, none = np.zeros(len(variants)), np.ones(len(variants), bool)
        ways = [self.group.branch(variant, name, branch) for variant in range(len(self.group.variants))]
        for way in {way for way in ways if way}:
            mine = np.array([each == way for each in ways])[variants]
            number, sign = way
            if mine.any():
                amps = sign * self.kernel.current(number, variants, codes, self.outcome.volts)
                found[mine], none[mine] = amps[mine], False
        return self._spread(np.where(abs(found) >= NOTHING, found, 0.0), none)

    def lamp_volts(self, lamp):
        a, b = self.network.lamp_ends(lamp)
        volts = self.outcome.volts[a] - self.outcome.volts[b]
        volts = np.where(self.grounded[a] & self.grounded[b] & (abs(volts) >= LAST), volts, 0.0)
        return self._spread(volts, np.zeros(len(volts), bool))

    def light(self, lamp):
        variants, codes = self._where
        order = self.network.lamp_order[lamp]
        a, b = self.network.device_ends[order]
        volts = np.where(self.grounded[a] & self.grounded[b], self.outcome.volts[a] - self.outcome.volts[b], 0.0)
        laws = self.group.laws[order][variants]
        found = np.zeros(len(volts))
        for number in np.unique(laws):
            mine = laws == number
            table = Curves([self.group.law_list[number]], light, self.kernel.curves.reach)
            found[mine] = np.maximum(0.0, table.values(table.first[0], volts[mine]))
        found = found * self.kernel.conducts(self.group.device_branches[order], codes)
        return self._spread(found, np.zeros(len(volts), bool))
