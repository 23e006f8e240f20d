"""Many changes of one arrangement observed at once, from one sweep; the same answers as point by point.

Arrays stay arrays until a lamp is a level: then every row of every change
becomes a plain record. The few cases without a single answer are looked at
one by one.
"""

from dataclasses import dataclass, replace

from ...arrangements.rows import phases_of
from ...parts import Battery, Lamp, Part
from ...solving.settling import short_words
from ..looks import DARK_BELOW, DIM_BELOW
from ..terminals import terminal_cells
from .observing import (
    ANSWERED,
    SURE,
    Observed,
    blown_away,
    breaking,
    cannot_stay,
    frozen,
    leaves_at_once,
    let_go,
    limits_of,
    may_hold,
    observe,
    observe_restless,
    only_flasher,
    stalled_verdict,
    stalled_words,
    wants_to_leave,
    with_blown,
)

def observe_all(healthy, rows, changes):
    """Return what is seen in each row, for each change.

    Parameters
    ----------
    healthy : Arrangement
    rows : sequence of dict
        Positions of every control. [text]
    changes : sequence of change

    Returns
    -------
    list of tuple of Observed
        One tuple for each change, one record in it for each row.
    """
    variants = [change.apply(healthy) for change in changes]
    phases, lamps, relays = phases_of(healthy), _lamps(healthy), _relays(healthy)
    alike = [number for number, variant in enumerate(variants)
             if phases_of(variant) == phases and _lamps(variant) == lamps and variant.controls == healthy.controls
             and _relays(variant) == relays]
    found = {number: observe(variants[number], rows, healthy) for number in set(range(len(variants))) - set(alike)}
    if alike:
        try:
            together = _together(healthy, rows, [variants[number] for number in alike])
        except ArithmeticError:  # some case of the batch has devices whose steps need halving: one by one they settle
            together = [observe(variants[number], rows, healthy) for number in alike]
        found |= zip(alike, together)
    return [found[number] for number in range(len(variants))]


def _lamps(arrangement):
    return [lamp.name for lamp in arrangement.of_kind(Lamp)]


def _relays(arrangement):
    return [part.name for part in arrangement.parts if "operated" in part.states]


@dataclass(frozen=True)
class _Made:
    """A change that is made already."""

    variant: object

    def apply(self, _):
        return self.variant


def _together(healthy, rows, variants):
    """Observe variants that have the lamps, flashers, relays and controls of the healthy."""
    from ...solving.sweeping import sweep     # numpy is loaded only when there is a batch

    phases = phases_of(healthy)
    solved = sweep(healthy, rows, phases, changes=[(_Made(variant),) for variant in variants])
    table = _Table(solved, healthy, solved.shape)
    stalled = _stalled(healthy, rows, variants, table, sweep)
    holding = _holding(healthy, rows, phases, variants, table)
    seen = []
    for number, variant in enumerate(variants):
        own = [observe(variant, [positions], healthy)[0] if (number, row) in table.in_doubt else
               table.row(number, row) or stalled.get((number, row)) or observe_restless(variant, positions)
               for row, positions in enumerate(rows)]
        seen.append(own)
    for (number, row), levels in holding.items():
        if (number, row) not in table.in_doubt:
            seen[number][row] = replace(seen[number][row], held_levels=levels)
    return list(map(tuple, seen))


class _Table:
    """A sweep read into plain lists, [change][row][phase]."""

    def __init__(self, solved, healthy, shape):
        self.solved, (_, self.rows, self.phases) = solved, shape
        self.levels = _lamp_levels(solved, healthy, shape)
        self.verdicts = solved.verdicts.reshape(shape).tolist()
        self.in_doubt = {*zip(*(axis.tolist() for axis in solved.in_doubt.reshape(shape).any(axis=2).nonzero()))}
        self.batteries = healthy.of_kind(Battery)
        amps = [abs(solved.current(battery.name)).filled(0.0) for battery in self.batteries]
        drawn = amps[0]
        for other in amps[1:]:
            drawn = drawn + (other - drawn) * (other > drawn)
        self.amps, most = drawn.reshape(shape).tolist(), float(sum(amps).max())
        self.overloaded = _names_where(shape, (
            (name, abs(solved.current(name)).filled(0.0) > limit)
            for name, limit in sorted(limits_of(healthy).items()) if most > limit))
        self.blown = _names_where(
            shape,
            (
                (part.name, solved.state(part.name) == "blown")
                for part in sorted(healthy.parts, key=lambda part: part.name)
                if part.latching
            ),
        )
        self.hurried, self.may_hurry = (_names_where(shape, _hurrying(solved, healthy, perhaps)) for perhaps in (False, True))
        self.volts = {name: solved.volts(name).reshape(shape).tolist() for name in healthy.ruled_terminals
                      if any(name in variant.terminals for variant in solved.variants)}

    def restless(self):
        """Return every (change, row) where a point has no single answer. [1]"""
        return [(change, row) for change, rows in enumerate(self.verdicts) for row, verdicts in enumerate(rows)
                if any(verdict not in ANSWERED for verdict in verdicts)]

    def row(self, change, row):
        """Return what is seen, or None where a point has no single answer."""
        verdicts = self.verdicts[change][row]
        if "several stable" in verdicts:
            return Observed((), "several stable", self._sentence("several stable", change, row, verdicts))
        if any(verdict not in ANSWERED for verdict in verdicts):
            return None
        worst = max(verdicts, key=ANSWERED.index)
        blown = tuple(name for name in self.blown.get((change, row), ()) if name not in self.held(change))
        return Observed(self.levels[change][row], worst,
                        self._sentence(worst, change, row, verdicts), blown,
                        self.overloaded.get((change, row), ()), max(self.amps[change][row]),
                        broken=self._broken(change, row) if worst == "settled" and self.volts else (),
                        hurried=self.hurried.get((change, row), ()), may_hurry=self.may_hurry.get((change, row), ()))

    def _broken(self, change, row):
        """Return the terminals that break the rule, as :class:`Observed` has them."""
        number = (change * self.rows + row) * self.phases
        arrangement, positions, _ = self.solved.case(number)
        return breaking(terminal_cells(arrangement, positions, lambda name: self.volts[name][change][row],
                                       lambda phase: self.solved.point(number + phase)))

    def off(self, change, row, flasher):
        """Return what is seen where the flasher is as good as always off."""
        return Observed(self.levels[change][row][-1:] * self.phases, stalled_verdict(flasher), stalled_words(flasher), (),
                        self.overloaded.get((change, row), ()), self.amps[change][row][-1], chatters=True)

    def held(self, change):
        """Return what a change holds. [text]"""
        return dict(self.solved.case(change * self.rows * self.phases)[0].held)

    def _sentence(self, worst, change, row, verdicts):
        if worst == "shorted" and len(self.batteries) == 1:
            return short_words(self.batteries[0], max(self.amps[change][row]))
        number = (change * self.rows + row) * self.phases + verdicts.index(worst)
        return worst if worst == "settled" else self.solved.point(number).sentence


def _lamp_levels(solved, healthy, shape):
    """Return the level of every lamp, [change][row][phase][lamp]. [1]"""
    changes, rows, phases = shape
    levels = [_levels(solved.light(lamp)).reshape(shape).tolist() for lamp in _lamps(healthy)]
    return ([[tuple(zip(*lamps)) for lamps in zip(*change)] for change in zip(*levels)] if levels else
            [[((),) * phases] * rows] * changes)


def _levels(light):
    light = light.filled(0.0)
    return (light >= DARK_BELOW).astype(int) + (light >= DIM_BELOW)


def _names_where(shape, flags):
    """Return for each (change, row) the names whose flag is up in any phase; most have none. [text]"""
    found = {}
    for name, flag in flags:
        for change, row in zip(*(axis.tolist() for axis in flag.reshape(shape).any(axis=2).nonzero())):
            found[change, row] = (*found.get((change, row), ()), name)
    return found


def _hurrying(solved, healthy, perhaps):
    """Yield the name of each flasher with whether it surely (or perhaps) flashes faster than it should, shape (cases,). [text], [yes/no]"""
    for part in sorted(healthy.parts, key=lambda part: part.name):
        if type(part).hurries is Part.hurries:
            continue
        free = {id(each): each.by_name.get(part.name) for each in solved.variants if part.name not in dict(each.held)}
        for kind in {*free.values()} - {None}:     # more than one where a change is another value of it
            amps = [solved.current(part.name, order).filled(0.0) for order in part.watched]
            own = [free.get(id(solved.case(case)[0])) == kind for case in range(len(solved))]
            yield part.name, (solved.state(part.name) == part.on_state) & own & kind.hurries(part.on_state, amps, perhaps)


def _stalled(healthy, rows, variants, table, sweep):
    """Return what is seen, by (change, row), where the flasher cannot stay on."""
    flasher, cases, made = only_flasher(healthy), {}, {}
    if not flasher:
        return {}
    restless = [(change, row) for change, row in table.restless() if table.verdicts[change][row][-1] == "settled"
                and "several stable" not in table.verdicts[change][row]]
    watched = [part for part in healthy.parts if part.moves or part.latching] if restless else []
    states = {part.name: table.solved.state(part.name).reshape(table.solved.shape)[:, :, -1] for part in watched}
    for change, row in restless:
        here = {name: str(state[change, row]) for name, state in states.items()}
        held = dict(variants[change].held)
        blown = any(state == "blown" and name not in held for name, state in here.items())
        if here[flasher.name] == "off" and not blown:
            key = change, tuple(here.values())
            if key not in made:
                made[key] = frozen(variants[change], flasher, here)
            cases[change, row] = made[key], rows[row], "on"
    if not cases:
        return {}
    solved = sweep(list(cases.values()))
    def amps(part):
        return list(zip(*(solved.current(part.name, order).filled(0.0).tolist() for order in part.watched)))

    strained, leaving, at_once = [(0.0, "")] * len(cases), [()] * len(cases), [()] * len(cases)
    for part in watched:
        if part.watched and part.latching:
            strained = [max(before, (part.strain(currents), part.name))
                        for before, currents in zip(strained, amps(part))]
        if part.moves:
            here = list(zip(solved.state(part.name).tolist(), amps(part)))
            leaving, at_once = ([(*before, part.name) if leaves(part, *each) else before
                                 for before, each in zip(names, here)]
                                for leaves, names in ((wants_to_leave, leaving), (leaves_at_once, at_once)))
    found, blowing = {}, {}
    for place, answered, names, quick, (strain, fuse) in zip(cases, solved.is_settled.tolist(), leaving, at_once, strained):
        if answered and cannot_stay(flasher.name, names, quick):
            if strain >= SURE:
                blowing[place] = fuse
            if strain <= 1 or quick:
                found[place] = table.off(*place, variants[place[0]].part(flasher.name))
    blowing = _for_certain(
        rows, {place: (variants[place[0]], flasher, fuse) for place, fuse in blowing.items()}, cases, sweep
    )
    return {place: seen for place, seen in found.items() if place not in blowing} | _after(healthy, rows, variants, blowing, sweep)


def _for_certain(rows, blowing, cases, sweep):
    """Return the fuse, by (change, row), where it is strained as much with every relay at rest."""
    if not blowing:
        return {}
    made = {}
    for place, (variant, flasher, _) in blowing.items():
        states = let_go(variant, dict(cases[place][0].held))
        key = place[0], tuple(states.items())
        if key not in made:
            made[key] = frozen(variant, flasher, states)
        blowing[place] = (*blowing[place], made[key])
    solved = sweep([(each[3], rows[place[1]], "on") for place, each in blowing.items()])
    answered, amps = solved.is_settled.tolist(), {}
    for _, _, fuse, arrangement in blowing.values():
        if fuse not in amps:
            amps[fuse] = list(zip(*(solved.current(fuse, order).filled(0.0).tolist()
                                    for order in arrangement.part(fuse).watched)))
    return {place: fuse for number, (place, (_, _, fuse, arrangement)) in enumerate(blowing.items())
            if answered[number] and arrangement.part(fuse).strain(amps[fuse][number]) >= SURE}


def _after(healthy, rows, variants, blowing, sweep):
    """Return what is seen, by (change, row), after the fuse named there has blown."""
    if not blowing:
        return {}
    phases, without = phases_of(healthy), {}
    for (change, _), fuse in blowing.items():
        if (change, fuse) not in without:
            without[change, fuse] = with_blown(variants[change], fuse)
    solved = sweep([(without[change, fuse], rows[row], phase) for (change, row), fuse in blowing.items()
                    for phase in phases])
    table = _Table(solved, healthy, (len(blowing), 1, len(phases)))
    seen = {place: table.row(number, 0) for number, place in enumerate(blowing)}
    return {place: blown_away(each, blowing[place]) for place, each in seen.items() if each}


def _holding(healthy, rows, phases, variants, table):
    """Return the levels by (change, row) that relays operated beforehand lead to, where they are others. [1]"""
    wired = [number for number, variant in enumerate(variants) if may_hold(variant, healthy)]
    relays = _relays(healthy)
    if not wired or not relays:
        return {}
    from ...solving.sweeping import sweep

    pulled = sweep(healthy, rows, phases, changes=[(_Made(variants[number]),) for number in wired], operated=relays)
    levels, answered = _lamp_levels(pulled, healthy, pulled.shape), pulled.is_settled.reshape(pulled.shape).all(axis=2)
    return {(number, row): levels[place][row] for place, number in enumerate(wired)
            for row, (ended, verdicts) in enumerate(zip(answered[place].tolist(), table.verdicts[number]))
            if ended and levels[place][row] != table.levels[number][row] and set(verdicts) == {"settled"}}
