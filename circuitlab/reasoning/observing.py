"""What can be seen and felt of an arrangement in a row: the brightness of every lamp, overloaded wires, the drain.

This is the one place where a row is judged, for lamp table, proof and faults. A row is solved
in every combination of flasher phases. A time course is run only where a
point has no single answer, so that timing decides; but a flasher whose supply
breaks down each time its output comes on needs none, see :func:`_stalled`.
Where a change wires something otherwise, a relay may hold itself: those rows
are looked at once more with every relay operated beforehand.

:func:`observe` says it for one arrangement, point by point; ``faults/batches``
says the same for many changes at once.
"""

from dataclasses import dataclass, replace

from ..arrangements.rows import phases_of
from ..parts import Battery, Lamp
from ..parts.overheating import TABLE
from ..solving import operating_point
from ..solving.buzzing import NO_REST, starved_words, verdict_at
from .flickering import restless_light
from .hurrying import hurry_of
from .looks import DIM_BELOW, TOO_BRIGHT, brightness, goes_out, look_of
from .mean_heat import mean_amps
from .settled_course import WARM, settled_course
from .sizing import capacity
from .terminals import cells_at, timed_cells, timed_points

HEAT_TABLE = TABLE   # what a wire may carry before it is called overloaded; see reasoning/sizing
ANSWERED = ("settled", "tripping", "shorted")   # verdicts with volts; a breaker that trips has them for both its phases
DARK, DIM, LIT, FLICKERS, PULSES, BRIGHT = range(6)   # flickers and pulses: of what turns on and off as something buzzes, or pulses with a flasher
_LEVEL = {"dark": DARK, "dim": DIM, "lit": LIT}
_LEVEL_OF = {"dark": DARK, "dim": DIM, "steady": LIT, "pulses": PULSES, TOO_BRIGHT: BRIGHT}     # of looks that are the same in every phase
SURE = 25.0            # times the strain at which a fuse blows in the end
TIMED = "no single answer; looked at over time"
AT_ONCE = 5e-7         # s, less than the clock of a time course can tell


@dataclass(frozen=True)
class Observed:
    """One row of one arrangement.

    Attributes
    ----------
    levels : tuple of tuple of int
        For each combination of phases (or each extreme of a time course), every lamp as 0 dark, 1 dim, 2 lit,
        3 flickers, 4 pulses, 5 too bright; dark is what goes out beside its brighter phase too. [1]
    verdict, sentence : str
    blown : tuple of str
        Fuses that blow.
    overloaded : tuple of str
        Wires that carry more than they may, with no fuse to end it.
    drawn : float
        Greatest current out of the batteries. [A]
    held_levels : tuple of tuple of int
        The levels when relays were operated before, where they then differ: the row has a memory. [1]
    chatters : bool
        Whether what buzzes is a flasher that cannot stay on; its lamps then look as while it is off. [yes/no]
    broken : tuple of (str, str, str)
        Terminals that are not what the rule asks of them in this row, what each is, and what is asked. [text]
    hurried : tuple of str
        Flashers that flash faster than they should, their load too light, in some phase of the row.
    may_hurry : tuple of str
        Those, and flashers whose load is so near the bound that a time course does not tell either. [text]
    overvolted : tuple of (str, str)
        Lamps with more volts than they stand in some phase, each with what becomes of it. [text]
    burning : tuple of (str, str)
        Places that touch and may set fire in some phase, each in words. [text]
    """

    levels: tuple
    verdict: str = "settled"
    sentence: str = "settled"
    blown: tuple = ()
    overloaded: tuple = ()
    drawn: float = 0.0
    held_levels: tuple = ()
    chatters: bool = False
    broken: tuple = ()
    hurried: tuple = ()
    may_hurry: tuple = ()
    overvolted: tuple = ()
    burning: tuple = ()


def limits_of(arrangement):
    """Return what each wire may carry before it is called overloaded. [A]"""
    return {wire.name: capacity(wire.area, HEAT_TABLE).amps for wire in arrangement.wires}


def may_hold(arrangement, healthy):
    """Return the relays that may hold themselves because the wiring is another one than the healthy. [text]"""
    if arrangement is not healthy and {wire.terminals for wire in arrangement.wires} <= {
            wire.terminals for wire in healthy.wires}:
        return ()
    return relays_of(arrangement)


def observe(arrangement, rows, healthy):
    """Return what is seen in each row, one point after another.

    Parameters
    ----------
    arrangement : Arrangement
    rows : sequence of dict
        Positions of every control. [text]
    healthy : Arrangement
        Its wires are those whose load matters.

    Returns
    -------
    tuple of Observed
        One for each row.
    """
    limits, relays = limits_of(healthy), may_hold(arrangement, healthy)
    return tuple(_row(arrangement, positions, limits, relays) for positions in rows)


def _row(arrangement, positions, limits, relays):
    lamps, phases = [lamp.name for lamp in arrangement.of_kind(Lamp)], phases_of(arrangement)
    points = [operating_point(arrangement, positions, phase) for phase in phases]
    for point in points:
        if point.verdict == "several stable":      # no time course of relays all alike tells which
            return Observed((), point.verdict, point.sentence)
    if not all(point.is_settled for point in points):
        return _stalled(arrangement, positions, points, lamps, limits) or _timed(arrangement, positions, points, lamps)
    levels, held_levels, worst = _levels(points, lamps), (), max(points, key=lambda point: ANSWERED.index(point.verdict))
    if relays and worst.verdict == "settled":
        others = [operating_point(arrangement, positions, phase, relays) for phase in phases]
        if all(other.is_settled for other in others):
            held_levels = _levels(others, lamps)
    drawn, overloaded = _loads(arrangement, points, limits)
    broken = breaking(cells_at(arrangement, positions, points)) if worst.verdict == "settled" else ()
    return Observed(levels, worst.verdict, worst.sentence, blown_in(points), overloaded, drawn,
                    held_levels if held_levels != levels else (), broken=broken, **hurry_of(points),
                    overvolted=overvolted_in(points), burning=burning_with(arrangement, [point.current for point in points]))


def burning_with(arrangement, currents):
    """Return the bad joints and places that touch that may set fire in a row, by what they heat on average, in words. [text]

    Parameters
    ----------
    currents : list of callable ``(wire)``
        For each phase what flows through a wire, flashers on in the first, off in the last. [A]
    """
    volts = sum(arrangement.supplies)
    found = {wire.name: words for wire in arrangement.wires if wire.may_burn(volts)
             for words in wire.burning(mean_amps(arrangement, currents[0](wire.name), currents[-1](wire.name)))}
    return tuple(sorted(found.items()))


def overvolted_in(points):
    """Return the lamps that have more volts than they stand at one of these points of a row, and what becomes of each. [text]"""
    found = {}
    for point in points:
        for lamp in point.arrangement.of_kind(Lamp):
            currents = [point.current(lamp.name, order) for order in range(len(lamp.branches()))]
            found |= {lamp.name: words for words in lamp.overheated(currents)}
    return tuple(sorted(found.items()))


def breaking(cells):
    """Return the terminals among these cells that break the rule, what each is, and what is asked. [text]"""
    return tuple((name, cell.look, cell.wanted) for name, cell in cells.items() if not cell.keeps_rule)


def observe_row(arrangement, positions):
    """Return what is seen in one row of one arrangement, for which no other is the healthy."""
    return _row(arrangement, positions, limits_of(arrangement), ())


def _levels(points, lamps):
    arrangement = points[0].arrangement
    return _in_phases(levels_of([point.light(lamp) for point in points], bool(arrangement.part(lamp).misplaced)) for lamp in lamps) or ((),) * len(points)


def _in_phases(of_lamps):
    """Return for each phase the level of every lamp, from those of each lamp in every phase; nothing without lamps. [1]"""
    return tuple(zip(*of_lamps))


def levels_of(lights, is_misplaced=False):
    """Return the level of a lamp in every combination of phases from its light there, relative to rated. [1]

    >>> levels_of([0.9, 0.0]), levels_of([0.9, 0.5]), levels_of([0.2, 0.1])
    ((2, 0), (4, 4), (1, 1))
    """
    most, look = max(lights), look_of(lights, is_misplaced)
    if look in _LEVEL_OF:
        return (_LEVEL_OF[look],) * len(lights)
    return tuple(DARK if goes_out(light, most) else DIM if most < DIM_BELOW else LIT for light in lights)


def look(levels, index):
    """Return what one lamp looks like from its levels in every phase. [text]

    >>> look(((2, 0), (0, 0)), 0), look(((1, 0), (1, 0)), 0), look(((1, 0), (1, 0)), 1)
    ('flashing', 'dim steady', 'dark')
    """
    seen = {phase[index] for phase in levels}
    if FLICKERS in seen or PULSES in seen:
        return "flickers" if FLICKERS in seen else "pulses"
    if seen == {BRIGHT}:
        return TOO_BRIGHT
    if len(seen) == 1:
        return ("dark", "dim steady", "steady")[seen.pop()]
    return "flashing" if max(seen) == LIT else "dim flashing"


def _level(light):
    return _LEVEL[brightness(light)]


def blown_in(points):
    """Return what blows at these points of one row, in alphabetical order. [text]"""
    return tuple(sorted({name for point in points for name, state in point.states.items()
                         if state == "blown" and name not in dict(point.arrangement.held)}))


def _loads(arrangement, points, limits):
    """Return the greatest battery current and the wires that carry too much on average, flashers on in the first point and off in the last. [A], [text]"""
    amps = [[abs(point.current(battery.name)) for battery in arrangement.of_kind(Battery)] for point in points]
    drawn, overloaded = max([0.0, *(each for given in amps for each in given)]), set()
    if max(map(sum, amps), default=0.0) > min(limits.values(), default=0.0):      # no wire carries more than all batteries give together
        overloaded = {name for name, limit in limits.items() if name in arrangement.by_name
                      and mean_amps(arrangement, points[0].current(name), points[-1].current(name)) > limit}
    return drawn, tuple(sorted(overloaded))


def relays_of(arrangement):
    """Return the names of the relays. [text]"""
    return tuple(part.name for part in arrangement.parts if "operated" in part.states)


def _stalled(arrangement, positions, points, lamps, limits):
    """Return what is seen where the flasher cannot stay on, or None where it is something else that finds no rest.

    Every part is held where it rests while the flasher is off, and the flasher on. If its supply breaks down even so,
    with lamps hot and drawing least, and nothing else wants to move, it can never stay on: what is seen is what is seen
    while it is off. Relays that would drop out with the broken supply do not come to it where it is back before they have
    moved. A fuse that the attempts strain to :data:`SURE`, whether the relays are in or out, is gone within a second even
    if the output is on for a part of the time only; between the two, timing decides.
    """
    swinging, off = [part for part in arrangement.parts if part.swings and part.on_state == "on"], points[-1]
    if len(swinging) != 1 or off.verdict != "settled" or off.states[swinging[0].name] != "off":
        return None
    flasher, moving = swinging[0], [part for part in arrangement.parts if part.moves]
    if any(point.movers not in ((), (flasher.name,)) for point in points):
        return None

    def kept_on(states):
        held = {part.name: states[part.name] for part in arrangement.parts if part.moves or part.latching}
        return operating_point(replace(arrangement, held=tuple((held | {flasher.name: "on"}).items())), positions)

    on = kept_on(off.states)
    leaving, at_once = ([part.name for part in moving if on.is_settled and leaves(part, on.states[part.name], _watched(on, part))]
                        for leaves in (_wants_to_leave, _leaves_at_once))
    if [flasher.name] not in (leaving, at_once):
        return None
    strain, weakest = max(((part.strain(_watched(on, part)), part.name) for part in arrangement.parts if part.latching),
                          default=(0.0, ""))
    if strain >= SURE:
        out, fuse = kept_on(off.states | {part.name: part.states[0] for part in moving}), arrangement.part(weakest)
        if out.is_settled and fuse.strain(_watched(out, fuse)) >= SURE:
            without = replace(arrangement, held=(*arrangement.held, (weakest, fuse.states[-1])))
            seen = _row(without, positions, limits, ())
            return replace(seen, blown=tuple(sorted({*seen.blown, weakest})))
    if strain > 1 and not at_once:
        return None
    drawn, overloaded = _loads(arrangement, [off], limits)
    return Observed(_levels([off], lamps) * len(points), verdict_at(1 / flasher.round_time) if flasher.round_time else "buzzing",
                    starved_words([flasher]),
                    blown_in([off]), overloaded, drawn, chatters=True)


def _watched(point, part):
    """Return the currents that a part watches. [A]"""
    return [point.current(part.name, order) for order in part.watched]


def _wants_to_leave(part, state, currents):
    """Tell from the currents a part watches whether it would leave its state; a flasher is looked at while on. [A]"""
    return part.rest(part.aim(state, state, currents), "on") != state


def _leaves_at_once(part, state, currents):
    """Tell whether a part would leave its state in no time at all, for one in which none of its contacts is closed. [A]"""
    move = part.next_move(state, part.aim(state, state, currents))
    return bool(move) and move[0] < AT_ONCE and not any(move[1] in branch.closed_in for branch in part.branches()
                                                        if branch.closed_in)


def _timed(arrangement, positions, points, lamps):
    """Let time decide: move the controls, wait, and look at every lamp at its brightest and darkest for a period.

    Where time finds no rest either, a lamp that is the same in every turn of what buzzes is what it is; the others
    flicker, or are lit by what they get on average where the eye cannot follow.
    """
    course = settled_course(arrangement, positions, points)
    if course.verdict != "settled":
        turns = [point.turns or (point,) for point in points]
        known = course.verdict in NO_REST and all(turn.is_settled for phase in turns for turn in phase)
        return Observed(tuple(_in_turns(phase, lamps, course) for phase in turns) if known else (), course.verdict, course.sentence)
    seen = [index for index, moment in enumerate(course.times) if WARM <= moment]
    levels = _in_phases(levels_of([pick(course.light[lamp][index] for index in seen) for pick in (max, min)], bool(arrangement.part(lamp).misplaced))
                        for lamp in lamps) or ((), ())
    blown = {event.name for event in course.events if event.state == "blown"} - set(dict(arrangement.held))
    return Observed(levels, "settled", TIMED, tuple(sorted(blown)), broken=breaking(timed_cells(arrangement, positions, course)),
                    **hurry_of(timed_points(arrangement, positions, course)))


def _in_turns(turns, lamps, course):
    """Return the level of each lamp where all turns agree, else what the eye makes of it in time. [1]"""
    found = []
    for lamp in lamps:
        seen = [_level(point.light(lamp)) for point in turns]
        light, flickers = restless_light(course, lamp) if len(set(seen)) > 1 else (None, False)
        found.append(FLICKERS if flickers else seen[0] if light is None else _level(light))
    return tuple(found)
