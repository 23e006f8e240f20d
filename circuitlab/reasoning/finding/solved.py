"""Every candidate in every row and phase, solved once: what each lamp gives and what a meter would read, as arrays.

Arrays have the axes (candidates, rows, phases); the healthy circuit is candidate 0, so that the array's numbers are one above the
candidates'.
"""

from contextlib import suppress
from copy import copy
from dataclasses import fields, replace
from functools import cached_property

import numpy as np

from ...arrangements import AddWire, changed
from ...arrangements.mishaps import unused_name
from ...arrangements.rows import check_rows, count_rows, moved, phases_of, rows_of
from ...ground.errors import ArrangementError, CircuitLabError
from ...ground.once import once
from ...parts import Battery, Lamp, Resistor, Role, Wire
from ...parts.rated_light import rated_lights
from ...parts.instruments import INPUT, LAMP_VOLTS, LAMP_WATTS
from ...solving import operating_point
from ...solving.sweeping import Made, sweep
from ..nearly_gone import nearly_gone
from .candidates import candidates_of, prior
from .in_series import leading
from .joined_sweeps import each_once
from .shorting import after_blowing
from .weighing import Weighing

MOST_ROWS = 64      # solved for every candidate; of more, those with fewest controls moved
FAINT, FLOWS = 1.5, 1e-5    # V, well below which a test lamp is dark; A, more than what a meter's 10 megohm pass
KEPT = 6            # circuits whose candidates stay solved


class Solved:
    """All candidates of an arrangement, solved.

    Parameters
    ----------
    arrangement : Arrangement
        As it is meant to be.
    candidates : sequence of Candidate
        Those that cannot be made are left out.
    rows : sequence of dict of str to str
    progress : callable ``(done, total)``, optional
        Called now and then. [1]
    were_used : bool
        Whether every one of the rows was used, so that each fuse is gone that may be. [yes/no]
    """

    def __init__(self, arrangement, candidates, rows, progress=None, were_used=False):
        self._were_used = were_used
        self.arrangement, self.rows, self.phases = arrangement, tuple(rows), phases_of(arrangement)
        self.row_number = {tuple(row.items()): number for number, row in enumerate(self.rows)}
        self.observed = {}                  # by variant and row, what time makes of its lamps
        self.last_pairs = None, None        # of its candidates, and what they were chosen by: see the room of pairs
        tell = progress or (lambda done, total: True)
        self.read = read_at(arrangement)
        variants, made, both = [self.read], [], 2 * len(candidates)
        for number, each in enumerate(candidates):
            if number % 64 == 0 and tell(number, both) is False:
                raise KeyboardInterrupt
            with suppress(CircuitLabError):     # two at once that cannot be, such as one lamp gone and of other watts
                variants.append(each.apply(self.read))
                made.append(each)
        if tell(len(candidates), both) is False:
            raise KeyboardInterrupt
        try:
            self._solve(tuple(made), variants)
        except ArithmeticError:
            self._solve(*self._solvable(tuple(made), variants))
        tell(both, both)

    @property
    def shape(self):
        """Candidates with the healthy circuit, rows, phases. [1]"""
        return self.sweep.shape

    def _solve(self, candidates, variants):
        self.candidates, self.variants, self.danger, self.escaped, self.lots, self.goes, before, known, self.cut = after_blowing(
            self.read, self.rows, self.phases, candidates, variants, self._were_used)
        self.sweep = each_once(self.read, self.rows, self.phases, self.variants, leading(self.read, self.candidates), before, known)

    def _solvable(self, candidates, variants):
        """Return candidates and variants without those that have no point at all, such as a relay's blades joined beyond any battery."""
        bad = set(self._hopeless(range(1, len(variants)), variants))
        if not bad:
            return candidates, variants
        keep = [number for number in range(len(candidates)) if number + 1 not in bad]
        return tuple(candidates[number] for number in keep), [variants[0], *(variants[number + 1] for number in keep)]

    def _hopeless(self, numbers, variants):
        """Return the numbers of variants whose devices find no volts even one by one; halves are looked at apart. [1]"""
        numbers = list(numbers)
        try:
            sweep(self.read, self.rows, self.phases, [(Made(variants[number]),) for number in numbers]) if numbers else None
        except ArithmeticError:
            middle = len(numbers) // 2
            return numbers if len(numbers) == 1 else [*self._hopeless(numbers[:middle], variants), *self._hopeless(numbers[middle:], variants)]
        return []

    @cached_property
    def weighing(self):
        """What weighs them by what was told."""
        return Weighing(self)

    @once
    def prior(self, column, said):
        """Return the odds of each candidate before anything is read, of the items of a column of odds; as :func:`~.candidates.prior`. [1]"""
        return prior(self.arrangement, self.candidates, dict(column), said)

    @cached_property
    def is_short(self):
        """Which candidates short something in some row, shape (candidates,), the healthy circuit first. [yes/no]"""
        return self.danger.any(axis=1)

    @cached_property
    def settled(self):
        """Where there are volts to read. [yes/no]"""
        return self.sweep.is_settled.reshape(self.shape)

    @cached_property
    def doubtful(self):
        """Where only a time course tells what lamps do. [yes/no]"""
        return (~self.sweep.is_settled | self.sweep.in_doubt).reshape(self.shape)

    @cached_property
    def terminals(self):
        """Terminals a lead can be put on: those that a wire is on. [text]"""
        return tuple(name for name in self.arrangement.terminals if self.arrangement.wires_at[name])

    @once
    def volts(self, terminal):
        """Return the volts of a terminal, masked where it floats or nothing settles. [V]"""
        found = self.sweep.volts(terminal).reshape(self.shape)
        for number, each in enumerate(self.candidates, 1):
            for name, place in each.behind:
                if name == terminal:
                    found[number] = self.sweep.volts(place).reshape(self.shape)[number]
        return found

    @cached_property
    def all_volts(self):
        """The volts of every terminal, and where they float, shape (terminals, candidates, rows, phases). [V], [yes/no]"""
        found = [self.volts(terminal) for terminal in self.terminals]
        return np.stack([each.filled(0.0) for each in found]), np.stack([np.ma.getmaskarray(each) for each in found])

    @once
    def light(self, lamp):
        """Return the light of a lamp relative to that of the bulb it is made for, 0 where nothing settles. [1]"""
        found, made_for = self.sweep.light(lamp).filled(0.0).reshape(self.shape), self.arrangement.part(lamp)
        for number, variant in enumerate(self.variants):
            own = variant.by_name.get(lamp, made_for)
            if own is not made_for and (lights := rated_lights(own, made_for)):
                found[number] *= lights[0] / lights[1]
        for number, each in enumerate(self.candidates, 1):
            found[number] *= dict(each.light).get(lamp, 1.0)
        return found

    @once
    def amps(self, name, branch=0):
        """Return the current through a wire or a branch of a part. [A]"""
        return self.sweep.current(name, branch).filled(0.0).reshape(self.shape)

    @once
    def under_lamp(self, red, black, row):
        """Return the volts that stay across a test lamp in a row, shape (candidates, phases): a ghost's are gone under it. [V]

        Solved is what may differ: a joint that nothing flows through, in the healthy circuit with the lamp, changes nothing; and where
        volts are low without a lamp they are no higher with it.
        """
        lamp, *leads = _hung(self.read, "test lamp", lambda name: Lamp(name, LAMP_VOLTS, LAMP_WATTS, bulb=""), red, black)
        healthy = self._with(lamp, leads, [0], row)
        bare = abs(self.volts(red) - self.volts(black))[:, row]
        found = np.where(np.ma.getmaskarray(bare), 0.0, bare.filled(0.0))
        low = (found < FAINT).all(axis=1) & self.settled[:, row].all(axis=1)
        flows = {wire.name for wire in self.read.wires if abs(healthy.current(wire.name).filled(0.0)).max() > FLOWS} if healthy.is_settled.all() else None
        found[:] = np.where(low[:, None], found, abs(healthy.lamp_volts(lamp.name).filled(0.0)).reshape(1, -1))
        numbers = [number for number in range(len(self.variants)) if not low[number] and self._may_differ(number, flows)]
        if numbers:
            solved = self._with(lamp, leads, numbers, row)
            found[numbers] = abs(solved.lamp_volts(lamp.name).filled(0.0).reshape(solved.shape)[:, 0])
        return found

    @once
    def under_meter(self, red, black, row):
        """Return what a meter between two terminals shows in a row with its own ohms there, shape (candidates, phases); 0 where one floats. [V]

        Its ohms take some of the volts only where they come through LED lamps or diodes, and never add any: elsewhere nothing is solved.
        """
        found = (self.volts(red) - self.volts(black))[:, row].filled(0.0)
        numbers = np.flatnonzero((abs(found) > FAINT).any(axis=1)).tolist()
        if self.is_soft(red, black) and numbers:
            meter, *leads = _hung(self.read, "meter between", lambda name: Resistor(name, INPUT), red, black)
            solved = self._with(meter, leads, numbers, row, {wire.name for wire in self.read.wires} - {wire.name for wire in self.arrangement.wires})
            shown = INPUT * solved.current(meter.name).filled(0.0).reshape(solved.shape)[:, 0]
            found[numbers] = np.where(abs(found[numbers]) > FAINT, shown, found[numbers])
        return found

    def is_soft(self, red, black):
        """Tell whether a meter's own ohms between two terminals may matter: one of them may hang on LED lamps or diodes alone. [yes/no]"""
        return self.arrangement.zero not in (red, black) and self.read is not self.arrangement

    @once
    def nearly_gone(self, number, red, row, phase):
        """Return what stays under a dark test lamp that takes most of a meter's volts at a terminal, with one candidate; None where it does not. [V]"""
        place = dict(self.candidates[number - 1].behind).get(red, red) if number else red
        point = self._point(number, row, phase)
        return nearly_gone(point, place) if point.is_settled and self.variants[number].wires_at.get(place) else None

    @once
    def _point(self, number, row, phase):
        return operating_point(self.variants[number], self.rows[row], self.phases[phase])

    def _with(self, instrument, leads, numbers, row, loads=()):
        """Return the sweep of some candidates in a row with an instrument hung in, and without the loads that stand for others."""
        behind = [(), *(each.behind for each in self.candidates)]
        variants = [_beside(self.variants[number], instrument, [_put(lead, behind[number]) for lead in leads], loads) for number in numbers]
        return sweep(self.read, [self.rows[row]], self.phases, [(Made(variant),) for variant in variants])

    def _may_differ(self, number, flows):
        """Tell whether a candidate may read otherwise under a lamp than the healthy circuit, where current flows in some wires. [yes/no]"""
        each = self.candidates[number - 1] if number else None
        return each is None or flows is None or not each.is_joint or each.changes[0].wire in flows

    @cached_property
    def place_kinds(self):
        """For each part the line of the table of efforts for its terminals. [text]"""
        return {part.name: _place_kind(part) for part in self.arrangement.parts}

    @cached_property
    def lamps(self):
        """Names of the lamps. [text]"""
        return tuple(lamp.name for lamp in self.arrangement.of_kind(Lamp))

    @cached_property
    def supply(self):
        """The volts of all batteries in a row without load. [V]"""
        return max(sum(battery.voltage for battery in self.arrangement.of_kind(Battery)), 1.0)

    def row(self, positions):
        """Return the number of a row, or raise for one that was not solved. [1]"""
        whole = {control.name: positions.get(control.name, control.positions[0]) for control in self.arrangement.controls}
        if tuple(whole.items()) not in self.row_number:
            raise ArrangementError(f"'{self.arrangement.title}' has {count_rows(self.arrangement)} rows; the {len(self.rows)} with fewest controls "
                                   "moved are looked at. Move fewer controls, or leave out those that do not matter here.")
        return self.row_number[tuple(whole.items())]


def read_at(arrangement):
    """Return the circuit with the load of a meter at every end of a diode: what a blocked one leaks is gone under any meter. [V]

    Elsewhere a meter of 10 megohm changes nothing that it could show.
    """
    made = [AddWire(Wire(unused_name(arrangement, f"meter {number}"), end, arrangement.zero, length=0.5, start_joint=INPUT))     # one lead with all its ohms
            for number, end in enumerate(_one_way_ends(arrangement), 1)]
    return changed(arrangement, *made) if made else arrangement


def _one_way_ends(arrangement):
    """Return the ends of whatever passes one way only, but the pole that volts are counted from, each once. [text]"""
    ends = [part.at(end) for part in arrangement.listed for branch in part.branches() if branch.is_one_way for end in (branch.start, branch.end)]
    return [end for end in dict.fromkeys(ends) if end != arrangement.zero]


def _hung(arrangement, what, made, red, black):
    """Return what hangs an instrument between two terminals: a part, made by its name, and two leads."""
    name, one, other = (unused_name(arrangement, stem) for stem in (what, f"red lead of {what}", f"black lead of {what}"))
    return made(name), Wire(one, red, f"{name}:1", length=0.5), Wire(other, f"{name}:2", black, length=0.5)


def _put(lead, behind):
    """Return a lead where it reaches to, with what lies behind terminals."""
    places = dict(behind)
    return replace(lead, start=places.get(lead.start, lead.start), end=places.get(lead.end, lead.end)) if places else lead


def _beside(variant, part, leads, loads=()):
    """Return a variant with a part hung in and some wires off, its looks saved: all were looked at before. A lead whose terminal is gone hangs nowhere."""
    found = copy(variant)
    found.__dict__.clear()
    found.__dict__.update((each.name, getattr(variant, each.name)) for each in fields(variant))
    joined = tuple(lead for lead in leads if all(end.startswith(f"{part.name}:") or end in variant.wires_at for end in lead.terminals))
    found.__dict__.update(parts=(*variant.parts, part), wires=(*(wire for wire in variant.wires if wire.name not in loads), *joined))
    return found


def solved(arrangement, progress=None):
    """Return all single candidates of an arrangement, solved; the last few arrangements are kept.

    Parameters
    ----------
    arrangement : Arrangement
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False, KeyboardInterrupt is raised. [1]
    """
    found = next((each for each in _kept if each.arrangement is arrangement), None)
    if found is None:
        check_rows(arrangement)
        found = Solved(arrangement, candidates_of(arrangement), looked_at(arrangement), progress)
        _kept.append(found)
        del _kept[:-KEPT]
    return found


def looked_at(arrangement):
    """Return the rows that are solved: all, or those with fewest controls moved. [text]"""
    rows, rest = rows_of(arrangement), arrangement.positions()
    return sorted(rows, key=lambda row: moved(row, rest))[:MOST_ROWS] if len(rows) > MOST_ROWS else rows


def _place_kind(part):
    """Return the line of the table of efforts for a part's terminals. [text]"""
    if any(each.guards for each in (part, *part.seats)) or part.first(Role.SOURCE):
        return "at a fuse or battery"
    if part.first(Role.LOAD) or part.lamps:
        return "at a lamp or load"
    if not part.is_metal:
        return "at a switch, relay or flasher"
    return "at the frame" if part.first(Role.WAY) else "at a splice or plug"


_kept = []
