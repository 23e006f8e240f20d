"""Flashers and relays that cold filaments keep from what warm ones would allow, or allow what warm ones would not.

An operating point has every filament as warm as it gets. A flasher's lamps
are cold at each flash and draw some ten times as much for some hundredths of a
second: its supply may break down each time, so that it never gets to where
they are warm; and one whose load is just too light may get enough of it. So
may a relay that lights lamps drop out as it does so. Where that can be, by a
bound of the part's own, the same contacts are solved with cold filaments;
where the part then does otherwise, a time course decides.
"""

from dataclasses import replace
from functools import lru_cache
from math import inf

from .buzzing import NO_REST, restless_words
from .deciding import course_from_rest, long_enough
from .network import network
from .time_course import TICK

LOOKED_AT = 8    # moves of what finds no rest, the last of a course: two turns of a relay
TOLD = 0.1       # s of starting over, less than which nobody minds: the kit's own
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
    unsure = _unsure(point)
    if any(not point.arrangement.part(name).swings for name in unsure):
        restless = _as_played(point)
        if restless:
            return restless
    for name in unsure:
        if not point.arrangement.part(name).swings:
            continue
        verdict, sentence, swings, over, relays = _in_time(point.arrangement, tuple(point.positions.items()), name)
        if verdict in NO_REST:
            return replace(point, verdict=verdict, sentence=sentence, movers=(name,),
                           turns=(_in_state(point, name, "on"), _in_state(point, name, "idle")))
        state = point.phases[name] if swings else "idle"
        if state in relays and (point.states[name] == "idle") == swings:
            point = point.standing((point.states | relays[state] | {name: state}).values())
        elif swings and over >= TOLD:
            point = replace(point, sentence=f"{name} starts over for {over:.1f} s before it flashes")
    return point


def told_by_time(point):
    """Return a point without rest as a time course has it, where a flasher and relays may move one another; else None.

    The search lets a broken supply end a flash at once. A flasher with a hold-up keeps its contact meanwhile, and it is
    the relays that drop out; nor do their times say how often, where they follow a flasher that starts and gives up.

    Parameters
    ----------
    point : OperatingPoint
        Buzzing, with no relay taken to be operated beforehand.

    Returns
    -------
    OperatingPoint or None
        With the verdict of the course, and for its movers and turns those of the course's last moves.
    """
    flashers = [name for name in point.movers if point.arrangement.part(name).swings]
    if not flashers or len(flashers) == len(point.movers) and not any(stirs(point._net, turn.states, name, point.phases[name])
                                                                     for turn in point.turns for name in flashers):
        return None
    return _as_played(point)


def _as_played(point):
    """Return a point as a course without rest leaves it, or None where the course comes to rest."""
    course = restless_course(point.arrangement, tuple(point.positions.items()))
    if course.verdict not in NO_REST:
        return None
    movers = [point.arrangement.part(name) for name in course.movers]
    turns = tuple(point.standing(states) for states in _last_states(course))
    return replace(point, verdict=course.verdict, sentence=restless_words(movers, course.verdict), movers=course.movers,
                   turns=tuple(replace(turn, verdict="settled", sentence="one turn of what buzzes") for turn in turns))


def goes_on(point, flasher):
    """Tell whether a flasher that waits at a settled point would go on there if it had begun elsewhere, filaments warm. [yes/no]"""
    part, watched = next((part, watched) for _, part, watched in point._net.moving if part.name == flasher)
    return part.aim("on", part.paces[0], _currents(_in_state(point, flasher, "on"), watched)) in part.paces


def stirs(net, states, flasher, phase):
    """Tell whether anything but flashers would move while a flasher is on, with filaments warm or cold. [yes/no]

    In its phase "on" the search for rest has been there with warm filaments and has seen nothing else move.

    Parameters
    ----------
    net : Network
    states : dict of str to str
        Of the parts by name; one not named is at rest. [text]
    flasher, phase : str
        Its name, and the phase in which nothing but flashers was seen to move. [text]
    """
    states = states | {flasher: "on"}
    return _stirs(net, tuple(states.get(part.name, part.states[0]) for part in net.parts), phase != "on")


@lru_cache(maxsize=256)
def _stirs(net, states, warm):
    """Tell the same of all states, with warm filaments as well or with cold ones alone. [yes/no]"""
    contacts, cold = net.reduced([*states]), (net.cold,) * len(net.filaments)

    def moves(volts, temperatures):
        """Tell whether any part would move now. [yes/no]"""
        for index, part, watched in net.moving:
            if not part.swings and part.rest(part.aim(states[index], states[index], [
                    contacts.current(number, volts, temperatures) for number in watched]), None) != states[index]:
                return True
        return False
    return moves(contacts.volts(contacts.filament_conductances(cold)), cold) or warm and moves(*contacts.settled())


def restless_course(arrangement, positions):
    """Return the course of a row without rest, from rest, ``((control, position), ...)``: long enough for whatever moves."""
    moving = [part for part in arrangement.parts if part.moves]
    return course_from_rest(arrangement, positions, long_enough(moving))


def _last_states(course):
    """Return what different states a course without rest goes through in its last moves. [text]"""
    own = [event.time for event in course.events if event.name == course.movers[0]][-LOOKED_AT:]
    return dict.fromkeys(sample.states for sample in course._samples if sample.tick >= round(own[0] * TICK))


def _unsure(point):
    """Return the flashers and relays that would not do the same with cold filaments. [text]"""
    net, found = point._net, []
    for _, part, watched in net.moving:
        state = point.states[part.name]
        if part.patience < inf and _relays_decide(point, part, _currents(point, watched)):
            found.append(part.name)
        elif net.filaments and part.hangs_on_warmth(state, _currents(point, watched), net.most_volts):
            there, aim = ("on", part.paces[0]) if part.swings else (state, state)
            aims = {part.aim(there, aim, _currents(each, watched)) for each in (_in_state(point, part.name, there),
                                                                                _cold(point, part.name, there))}
            if len(aims) > 1 and not aims <= set(part.paces):
                found.append(part.name)
    return found


def is_slow(part, patience):
    """Tell whether a part is a relay so slow that who minds its load may not wait for it. [yes/no]"""
    return "operated" in part.states and part.round_time > patience


def _relays_decide(point, part, currents):
    """Tell whether a flasher that minds its load hangs on relays: on how late they are, or on what they bring once it is on."""
    state = point.states[part.name]
    if state == "idle":
        return (part.hangs_on_warmth(state, currents, point._net.most_volts)
                and stirs(point._net, point.states, part.name, "off"))
    return any(is_slow(relay, part.patience) for relay in point.arrangement.parts)


def _currents(point, branches):
    return [point._contacts.current(number, point._volts, point._temperatures) for number in branches]


def _cold(point, name, state):
    """Return the instant at which a part comes to a state, every filament cold."""
    net, there = point._net, _in_state(point, name, state)
    temperatures = (net.cold,) * len(net.filaments)
    volts = there._contacts.volts(there._contacts.filament_conductances(temperatures))
    return replace(there, _volts=tuple(volts), _temperatures=temperatures, _is_moment=True)


def _in_state(point, name, state):
    """Return a point with a part in a state given, whatever it would rather do."""
    return point.standing((point.states | {name: state}).values())


@lru_cache(maxsize=64)
def _in_time(arrangement, positions, flasher):
    """Return what a course from rest makes of a flasher.

    Its verdict and sentence, whether the flasher swings at its end, for how long it starts over [s], and what state every
    relay has at the end of the last stretch with the flasher on, off or idle, by that. [text]
    """
    course = course_from_rest(arrangement, positions, max(2 * STEADY, long_enough([arrangement.part(flasher)])))
    idle = [end for _, end, state in course.spans(flasher) if state == "idle"]
    last = idle[-1] if idle else 0.0
    return course.verdict, course.sentence, last < course.until - STEADY, last, _relays_in(course, flasher)


def _relays_in(course, flasher):
    """Return the states of all relays at the end of the last whole stretch of each state of a flasher, ``{state: {relay: state}}``."""
    net, found = network(course.arrangement), {}
    for begin, end, state in course.spans(flasher):
        if state == "idle" or end < course.until:
            states = dict(zip((part.name for part in net.parts), course.states_before(end)))
            found[state] = {part.name: states[part.name] for part in net.parts if "operated" in part.states}
    return found
