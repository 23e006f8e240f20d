"""What can be seen and felt of an arrangement in a row: the brightness of every lamp, overloaded wires, the drain.

This is the one place of the fault room that asks the solver. A row is solved
in every combination of flasher phases. A time course is run only where a
point has no single answer, so that timing decides; but a flasher whose supply
breaks down each time its output comes on needs none, see :func:`frozen`.
Where a change wires something otherwise, a relay may hold itself: those rows
are looked at once more with every relay operated beforehand.

:func:`observe` says it for one arrangement, point by point; ``batches`` says
the same for many changes at once.
"""

from dataclasses import dataclass, replace

from ...arrangements.rows import phases_of
from ...parts import Battery, Lamp
from ...parts.overheating import TABLE
from ...solving import operating_point
from ...solving.buzzing import NO_REST, verdict_at
from ..flickering import restless_light
from ..looks import brightness
from ..settled_course import WARM, settled_course
from ..sizing import capacity
from ..terminals import cells_at, timed_cells, timed_points

HEAT_TABLE = TABLE   # what a wire may carry before it is called overloaded; see reasoning/sizing
ANSWERED = ("settled", "tripping", "shorted")   # verdicts with volts; a breaker that trips has them for both its phases
DARK, DIM, LIT, FLICKERS = 0, 1, 2, 3      # the last of a lamp that what buzzes turns on and off
_LEVEL = {"dark": DARK, "dim": DIM, "lit": LIT}
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
        3 flickers. [1]
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
        Those, and flashers whose load is so near the bound that only a time course tells. [text]
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


def limits_of(arrangement):
    """Return what each wire may carry before it is called overloaded. [A]"""
    return {wire.name: capacity(wire.area, HEAT_TABLE).amps for wire in arrangement.wires}


def may_hold(arrangement, healthy):
    """Return the relays that may hold themselves because the wiring is another one than the healthy. [text]"""
    if arrangement is not healthy and {wire.terminals for wire in arrangement.wires} <= {
            wire.terminals for wire in healthy.wires}:
        return ()
    return tuple(part.name for part in arrangement.parts if "operated" in part.states)


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
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    phases = phases_of(arrangement)
    points = [operating_point(arrangement, positions, phase) for phase in phases]
    for point in points:
        if point.verdict == "several stable":
            return Observed((), point.verdict, point.sentence)
    for point in points:
        if point.verdict not in ANSWERED:
            return (_torn(points) or _stalled(arrangement, positions, phases, points, lamps, limits)
                    or observe_timed(arrangement, positions, points))
    levels, held_levels = _levels(points, lamps), ()
    if relays and all(point.verdict == "settled" for point in points):
        others = [operating_point(arrangement, positions, phase, relays) for phase in phases]
        if all(other.is_settled for other in others):
            held_levels = _levels(others, lamps)
    drawn, overloaded = _loads(arrangement, points, limits)
    worst = max(points, key=lambda point: ANSWERED.index(point.verdict))
    broken = breaking(cells_at(arrangement, positions, points)) if worst.verdict == "settled" else ()
    return Observed(levels, worst.verdict, worst.sentence, _blown(arrangement, points), overloaded, drawn,
                    held_levels if held_levels != levels else (), broken=broken, **hurried_in(points))


def breaking(cells):
    """Return the terminals among these cells that break the rule, what each is, and what is asked. [text]"""
    return tuple((name, cell.look, cell.wanted) for name, cell in cells.items() if not cell.keeps_rule)


def hurried_in(points):
    """Return the flashers that surely flash faster than they should in some of these points, and those that may. [text]"""
    return {field: tuple(sorted({name for point in points for name in point.hurried(perhaps)}))
            for field, perhaps in (("hurried", False), ("may_hurry", True))}


def observe_row(arrangement, positions):
    """Return what is seen in one row of one arrangement, for which no other is the healthy."""
    return _row(arrangement, positions, limits_of(arrangement), ())


def observe_restless(arrangement, positions):
    """Return what is seen in a row without a single answer, one in which no flasher is merely kept from staying on."""
    points = [operating_point(arrangement, positions, phase) for phase in phases_of(arrangement)]
    return _torn(points) or observe_timed(arrangement, positions, points)


def _torn(points):
    """Return that a row can be in several ways, or None: no time course of relays all alike tells which."""
    torn = next((point for point in points if point.verdict == "several stable"), None)
    return torn and Observed((), torn.verdict, torn.sentence)


def _levels(points, lamps):
    return tuple(tuple(_LEVEL[brightness(point.light(lamp))] for lamp in lamps) for point in points)


def _blown(arrangement, points):
    held = dict(arrangement.held)
    return tuple(sorted({name for point in points for name, state in point.states.items()
                         if state == "blown" and name not in held}))


def _loads(arrangement, points, limits):
    """Return the greatest battery current and the wires that carry too much in any phase. [A], [text]"""
    drawn, overloaded, least = 0.0, set(), min(limits.values(), default=0.0)
    for point in points:
        amps = [abs(point.current(battery.name)) for battery in arrangement.of_kind(Battery)]
        drawn = max(drawn, *amps)
        if sum(amps) > least:      # no wire carries more than all batteries give together
            overloaded |= {name for name, limit in limits.items()
                           if name in arrangement.by_name and abs(point.current(name)) > limit}
    return drawn, tuple(sorted(overloaded))


def only_flasher(arrangement):
    """Return the one part that flashes, or None when there is none or more than one."""
    swinging = [part for part in arrangement.parts if part.swings and part.on_state == "on"]
    return swinging[0] if len(swinging) == 1 else None


def frozen(arrangement, flasher, states):
    """Return the arrangement with every part held where it rests while the flasher is off, and the flasher on.

    If its supply breaks down even so, with lamps hot and drawing least, and
    nothing else wants to move, it can never stay on: what is seen is what is
    seen while it is off. A fuse that the attempts strain to :data:`SURE`,
    whether the relays are in or out, is gone within a second even if the
    output is on for a part of the time only; between the two, timing decides.
    """
    held = {part.name: states[part.name] for part in arrangement.parts if part.moves or part.latching}
    return replace(arrangement, held=tuple((held | {flasher.name: "on"}).items()))


def let_go(arrangement, states):
    """Return the states with every part that moves by itself back at rest. [text]"""
    return states | {part.name: part.states[0] for part in arrangement.parts if part.moves}


def wants_to_leave(part, state, currents):
    """Tell from the currents a part watches whether it would leave its state; a flasher is looked at while on. [A]"""
    return part.rest(part.aim(state, state, currents), "on") != state


def leaves_at_once(part, state, currents):
    """Tell whether a part would leave its state in no time at all, for one in which none of its contacts is closed. [A]"""
    move = part.next_move(state, part.aim(state, state, currents))
    return bool(move) and move[0] < AT_ONCE and not any(move[1] in branch.closed_in for branch in part.branches()
                                                        if branch.closed_in)


def cannot_stay(flasher, leaving, at_once):
    """Tell whether a flasher cannot stay on, from the names of what would leave, and of what would leave at once.

    Relays that would drop out with the broken supply do not come to it: it is back before they have moved.
    """
    return tuple(leaving) == (flasher,) or tuple(at_once) == (flasher,)


def stalled_verdict(flasher):
    """Return what it is called that a flasher cannot stay on: buzzing, or chatter where it waits before each start. [text]"""
    return verdict_at(1 / flasher.round_time) if flasher.round_time else "buzzing"


def stalled_words(flasher):
    """Say that a flasher cannot stay on. [text]"""
    return f"{flasher.name} cannot stay on: its supply breaks down each time its output comes on"


def _stalled(arrangement, positions, phases, points, lamps, limits):
    """Return what is seen where the flasher cannot stay on, or None where it is something else that finds no rest."""
    flasher, off = only_flasher(arrangement), points[-1]
    if not flasher or off.verdict != "settled" or off.states[flasher.name] != "off":
        return None
    on = operating_point(frozen(arrangement, flasher, off.states), positions)
    def currents(part):
        return [on.current(part.name, order) for order in part.watched]

    moving = [(part, on.states[part.name], currents(part)) for part in arrangement.parts if part.moves]
    leaving, at_once = ([each[0].name for each in moving if leaves(*each)] for leaves in (wants_to_leave, leaves_at_once))
    if not on.is_settled or not cannot_stay(flasher.name, leaving, at_once):
        return None
    strain, weakest = max(((part.strain(currents(part)), part.name) for part in arrangement.parts if part.latching),
                          default=(0.0, ""))
    if strain >= SURE:
        out = operating_point(frozen(arrangement, flasher, let_go(arrangement, off.states)), positions)
        if out.is_settled and arrangement.part(weakest).strain(
                [out.current(weakest, order) for order in arrangement.part(weakest).watched]) >= SURE:
            return blown_away(_row(with_blown(arrangement, weakest), positions, limits, ()), weakest)
    if strain > 1 and not at_once:
        return None
    drawn, overloaded = _loads(arrangement, [off], limits)
    return Observed(_levels([off], lamps) * len(phases), stalled_verdict(flasher), stalled_words(flasher), _blown(arrangement, [off]),
                    overloaded, drawn, chatters=True)


def _in_turns(turns, lamps, course):
    """Return the level of each lamp where all turns agree, else what the eye makes of it in time. [1]"""
    return tuple(seen[0] if len(set(seen)) == 1 else _seen(*restless_light(course, lamp))
                 for lamp, seen in zip(lamps, zip(*_levels(turns, lamps))))


def _seen(light, flickers):
    return FLICKERS if flickers else _LEVEL[brightness(light)]


def with_blown(arrangement, fuse):
    """Return the arrangement with a fuse held blown."""
    return replace(arrangement, held=(*arrangement.held, (fuse, arrangement.part(fuse).states[-1])))


def blown_away(seen, fuse):
    """Return what is seen after a fuse went, with the fuse among those that blow."""
    return replace(seen, blown=tuple(sorted({*seen.blown, fuse})))


def observe_timed(arrangement, positions, points=()):
    """Let time decide: move the controls, wait, and look at every lamp at its brightest and darkest for a period.

    Where time finds no rest either, a lamp that is the same in every turn of what buzzes is what it is, with the row's
    points given; the others flicker, or are lit by what they get on average where the eye cannot follow.
    """
    course = settled_course(arrangement, positions, points)
    if course.verdict != "settled":
        lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
        turns = [point.turns or (point,) for point in points]
        known = course.verdict in NO_REST and all(turn.is_settled for phase in turns for turn in phase)
        return Observed(tuple(_in_turns(phase, lamps, course) for phase in turns) if known else (), course.verdict, course.sentence)
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    seen = [index for index, moment in enumerate(course.times) if WARM <= moment]
    light = {lamp: [course.light[lamp][index] for index in seen] for lamp in lamps}
    levels = tuple(tuple(_LEVEL[brightness(pick(light[lamp]))] for lamp in lamps) for pick in (max, min))
    blown = tuple(
        sorted({event.name for event in course.events if event.state == "blown"} - set(dict(arrangement.held)))
    )
    return Observed(levels, "settled", TIMED, blown, broken=breaking(timed_cells(arrangement, positions, course)),
                    **hurried_in(timed_points(arrangement, positions, course)))
