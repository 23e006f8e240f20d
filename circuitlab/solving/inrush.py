"""Flashers that cold filaments keep from what warm ones would allow, or allow what warm ones would not.

An operating point has every filament as warm as it gets. A flasher's lamps
are cold at each flash and draw some ten times as much for some hundredths of a
second: its supply may break down each time, so that it never gets to where
they are warm; and one whose load is just too light may get enough of it. Where
that can be, by a bound of the part's own, the same contacts are solved with
cold filaments; where the flasher then does otherwise, a time course decides.
"""

from dataclasses import replace
from functools import lru_cache

from .buzzing import NO_REST
from .deciding import long_enough
from .playing import run

STEADY = 1.5     # s, at the end of a course, in which a flasher that swings must not have started over


def decided_by_time(point):
    """Return a settled point as it is in time, where a flasher in it hangs on how warm the filaments are.

    Parameters
    ----------
    point : OperatingPoint
        Settled, with no relay taken to be operated beforehand.

    Returns
    -------
    OperatingPoint
        The same point where warmth makes no difference. Else one whose verdict
        is that of the course; or in which the flasher is on, or off, as its
        phase says; or whose sentence says how long it starts over at first.
    """
    for name in _unsure(point):
        verdict, sentence, swings, over = _in_time(point.arrangement, tuple(point.positions.items()), name)
        if verdict in NO_REST:
            return replace(point, verdict=verdict, sentence=sentence, movers=(name,),
                           turns=(_in_state(point, name, "on"), _in_state(point, name, "idle")))
        if swings and point.states[name] == "idle":
            point = _in_state(point, name, point.phases[name])
        elif swings and over:
            point = replace(point, sentence=f"{name} starts over for {over:.1f} s before it flashes")
    return point


def _unsure(point):
    """Return the flashers that would not do the same with cold filaments. [text]"""
    net, found = point._net, []
    for _, part, watched in net.moving:
        state = point.states[part.name]
        if part.swings and net.filaments and part.hangs_on_warmth(state, _currents(point, watched), net.most_volts):
            aims = {part.aim("on", part.paces[0], _currents(each, watched))
                    for each in (_in_state(point, part.name, "on"), _cold(point, part.name))}
            if len(aims) > 1 and not aims <= set(part.paces):
                found.append(part.name)
    return found


def _currents(point, branches):
    return [point._contacts.current(number, point._volts, point._temperatures) for number in branches]


def _cold(point, flasher):
    """Return the instant at which a flasher comes on, every filament cold."""
    net, there = point._net, _in_state(point, flasher, "on")
    temperatures = (net.cold,) * len(net.filaments)
    volts = there._contacts.volts(there._contacts.filament_conductances(temperatures))
    return replace(there, _volts=tuple(volts), _temperatures=temperatures, _is_moment=True)


def _in_state(point, flasher, state):
    """Return a point with a flasher in another state, whatever it would rather do."""
    states = point.states | {flasher: state}
    contacts = point._net.reduced([*states.values()])
    volts, temperatures = contacts.settled()
    return replace(point, states=states, _contacts=contacts, _volts=tuple(volts), _temperatures=temperatures)


@lru_cache(maxsize=64)
def _in_time(arrangement, positions, flasher):
    """Return (verdict and sentence of a course, whether the flasher swings at its end, for how long it starts over). [s]"""
    course = run(arrangement, [(0.0, *item) for item in positions], until=max(2 * STEADY, long_enough([arrangement.part(flasher)])))
    idle = [end for _, end, state in course.spans(flasher) if state == "idle"]
    last = idle[-1] if idle else 0.0
    return course.verdict, course.sentence, last < course.until - STEADY, last
