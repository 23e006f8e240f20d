"""Many changes of one arrangement observed at once, from one sweep; the same answers as point by point.

Arrays stay arrays until a lamp is a level: then every settled row of every
change becomes a plain record. The few others are looked at one by one.
"""

from operator import ge, le

from ...arrangements.rows import phases_of
from ...ground.once import once
from ...parts import Battery, Lamp, Part
from ...parts.overheating import effective_amps
from ..hurrying import told, told_in_time
from ..looks import DARK_BELOW, DIM_BELOW, OUT_BELOW, SEEN, TOO_BRIGHT_ABOVE
from ..mean_heat import share_of_flashes
from ..terminals import terminal_cells
from ..observing import BRIGHT, DIM, LIT, PULSES, Observed, breaking, burning_with, limits_of, may_hold, observe, overvolted_in, relays_of


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
    alike = [number for number, variant in enumerate(variants) if _frame(variant) == _frame(healthy)]
    found = {number: observe(variants[number], rows, healthy) for number in set(range(len(variants))) - set(alike)}
    if alike:
        try:
            together = _together(healthy, rows, [variants[number] for number in alike])
        except ArithmeticError:  # some case of the batch has devices whose steps need halving: one by one they settle
            together = [observe(variants[number], rows, healthy) for number in alike]
        found |= zip(alike, together)
    return [found[number] for number in range(len(variants))]


def _frame(arrangement):
    """Return what variants must have in common to be read together: phases, lamps, relays, controls."""
    return phases_of(arrangement), _lamps(arrangement), relays_of(arrangement), arrangement.controls


def _lamps(arrangement):
    return [lamp.name for lamp in arrangement.of_kind(Lamp)]


def _together(healthy, rows, variants):
    """Observe variants that have the lamps, flashers, relays and controls of the healthy."""
    from ...solving.sweeping import Made, sweep     # numpy is loaded only when there is a batch

    def swept(numbers, operated=()):
        return sweep(healthy, rows, phases_of(healthy), [(Made(variants[number]),) for number in numbers], operated)

    table = _Table(swept(range(len(variants))), healthy)
    wired, relays = [number for number, variant in enumerate(variants) if may_hold(variant, healthy)], relays_of(healthy)
    if wired and relays:
        table.hold(wired, swept(wired, relays))
    return [tuple(table.row(number, row) or observe(variant, [positions], healthy)[0] for row, positions in enumerate(rows))
            for number, variant in enumerate(variants)]


class _Table:
    """A sweep read into plain lists, [change][row] and, for levels and volts, [phase]."""

    def __init__(self, solved, healthy):
        self.solved, self.shape, self.lamps, self.held, self.played = solved, solved.shape, _lamps(healthy), {}, {}
        self.levels = self._lamp_levels(solved)
        self.settled = ((solved.verdicts == "settled") & ~solved.in_doubt).reshape(self.shape).all(axis=2).tolist()
        amps = [abs(solved.current(battery.name)).filled(0.0) for battery in healthy.of_kind(Battery)]
        self.drawn, most = [each.reshape(self.shape).max(axis=2).tolist() for each in amps], float(sum(amps).max())
        self.overloaded = self._names_where((name, self._mean_amps(name) > limit) for name, limit in sorted(limits_of(healthy).items()) if most > limit)
        parts = sorted(healthy.parts, key=lambda part: part.name)
        self.blown = self._names_where((part.name, solved.state(part.name) == "blown") for part in parts if part.latching)
        self.overvolted = self._names_where(_overvolted(solved, self.lamps))
        self.hurried, self.may_hurry = (self._names_where(_hurrying(solved, parts, perhaps)) for perhaps in (False, True))
        self.volts = {name: solved.volts(name).reshape(self.shape).tolist() for name in healthy.ruled_terminals
                      if any(name in variant.terminals for variant in solved.variants)}

    def row(self, change, row):
        """Return what is seen, or None where a point does not simply settle."""
        if not self.settled[change][row]:
            return None
        place, number = (change, row), (change * self.shape[1] + row) * self.shape[2]
        arrangement, positions, _ = self.solved.case(number)
        blown, own = self.blown.get(place, ()), dict(arrangement.held)
        cells = terminal_cells(arrangement, positions, lambda name: self.volts[name][change][row],
                               lambda phase: self.solved.point(number + phase)) if self.volts else {}
        return Observed(self.levels[change][row], blown=tuple(name for name in blown if name not in own),
                        overloaded=self.overloaded.get(place, ()), drawn=max(drawn[change][row] for drawn in self.drawn),
                        held_levels=self.held.get(place, ()), broken=breaking(cells), **self._hurry(place, number), overvolted=overvolted_in(
                            [self.solved.point(number + phase) for phase in range(self.shape[2])])
                        if place in self.overvolted else (), burning=self._burning(arrangement, number))

    def _burning(self, arrangement, number):
        """Return what may set fire in a row that begins with that case. [text]"""
        return burning_with(arrangement, [lambda wire, case=number + phase: float(self._amps(wire, 0)[case]) for phase in range(self.shape[2])])

    def _hurry(self, place, number):
        """Return what flashers hurry there; where lamps look the same a lighter load hurries if a heavier does."""
        sure, perhaps = self.hurried.get(place, ()), self.may_hurry.get(place, ())
        if sure == perhaps:
            return told(sure, perhaps)
        arrangement, positions, _ = self.solved.case(number)
        parts = tuple(map(arrangement.part, perhaps))
        light = [round(max(float(part.lightness([self._amps(part.name, order)[number + phase] for order in part.watched]))
                           for phase in range(self.shape[2])), 3) for part in parts]
        alike = self.played.setdefault((*parts, self.levels[place[0]][place[1]]), [])
        for other, seen in alike:
            if seen["hurried"] == perhaps and all(map(le, light, other)) or not seen["may_hurry"] and all(map(ge, light, other)):
                return seen
        alike.append((light, told_in_time(arrangement, positions, sure, perhaps)))
        return alike[-1][1]

    @once
    def _amps(self, name, order):
        return self.solved.current(name, order)

    def hold(self, changes, pulled):
        """Keep the levels that relays operated beforehand lead to with these changes, where they are others. [1]"""
        levels, answered = self._lamp_levels(pulled), pulled.is_settled.reshape(pulled.shape).all(axis=2).tolist()
        self.held = {(change, row): levels[place][row] for place, change in enumerate(changes)
                     for row, ended in enumerate(answered[place]) if ended and levels[place][row] != self.levels[change][row]}

    def _lamp_levels(self, solved):
        """Return the level of every lamp, [change][row][phase][lamp]. [1]"""
        changes, rows, phases = solved.shape
        variants = [solved.case(change * rows * phases)[0].by_name for change in range(changes)] if rows * phases else [{}] * changes
        levels = [_levels(solved.light(lamp).filled(0.0).reshape(solved.shape),
                          [bool(lamp in variant and variant[lamp].misplaced) for variant in variants]).tolist() for lamp in self.lamps]
        return ([[tuple(zip(*lamps)) for lamps in zip(*change)] for change in zip(*levels)] if levels else
                [[((),) * phases] * rows] * changes)

    def _mean_amps(self, name):
        """Return what heats a wire as much as its currents by turns, flashers on in the first phase and off in the last, shape (changes, rows). [A]"""
        amps, share = self.solved.current(name).filled(0.0).reshape(self.shape), max(map(share_of_flashes, self.solved.variants))
        return effective_amps(share, amps[..., 0], amps[..., -1])

    def _names_where(self, flags):
        """Return for each (change, row) the names whose flag is up in any phase; most have none. [text]"""
        found = {}
        for name, flag in flags:
            for change, row in zip(*(axis.tolist() for axis in flag.reshape(*self.shape[:2], -1).any(axis=2).nonzero())):
                found[change, row] = (*found.get((change, row), ()), name)
        return found


def _levels(light, is_misplaced):
    """Return the levels of a lamp from its light, both of shape (changes, rows, phases): as :func:`levels_of` has them. [1]

    ``is_misplaced`` tells of each change whether another filament is in its place. [yes/no]
    """
    most, least = light.max(axis=2, keepdims=True), light.min(axis=2, keepdims=True)
    stays_on = (light >= DARK_BELOW) & (light >= OUT_BELOW * most)
    pulses = stays_on.all(axis=2, keepdims=True) & (most >= DIM_BELOW) & (most - least > SEEN * most)
    bright = stays_on.all(axis=2, keepdims=True) & (most > TOO_BRIGHT_ABOVE)
    bright[[change for change, is_there in enumerate(is_misplaced) if not is_there]] = False
    return stays_on * (DIM + (most >= DIM_BELOW) * (LIT - DIM) + (pulses & ~bright) * (PULSES - LIT) + bright * (BRIGHT - LIT))


def _overvolted(solved, lamps):
    """Yield the name of each lamp with whether more flows through it than where it has the most volts it stands, shape (cases,)."""
    for name in lamps:
        least = min(variant.part(name).most_current for variant in solved.variants)
        yield name, abs(solved.current(name).filled(0.0)) > least


def _hurrying(solved, parts, perhaps):
    """Yield the name of each flasher with whether it surely (or perhaps) flashes faster than it should, shape (cases,). [text], [yes/no]"""
    for part in parts:
        if type(part).hurries is Part.hurries:
            continue
        free = {id(each): each.by_name.get(part.name) for each in solved.variants if part.name not in dict(each.held)}
        for kind in {id(each): each for each in free.values() if each}.values():   # more where a change is another value of it
            amps = [solved.current(part.name, order).filled(0.0) for order in part.watched]
            own = [free.get(id(solved.case(case)[0])) is kind for case in range(len(solved))]
            yield part.name, (solved.state(part.name) == part.on_state) & own & kind.hurries(part.on_state, amps, perhaps)
