"""The healthy circuit and each faulty one with a meter at them, every place looked at once.

Faults that look alike are held against each other, so whatever was read in one of them is kept for the others.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import inf

from ...arrangements import SetValue, changed
from ...arrangements.rows import phases_of
from ...parts import Relay, Role
from ...parts.conductors import copper_factor
from ...parts.flasher import ELECTRONICS
from ...solving import operating_point
from ...solving.buzzing import NO_REST
from ...solving.sweep_ohms import OhmsAtOnce
from ..leads import power_off, take_reading
from ..settled_course import settled_course
from .catalogue import BROKEN_COIL

SPREAD = 1.1 * copper_factor(50)    # of a coil's ohms: 10 % on a relay's sheet, and 30 K of an engine's warmth (common practice)
FEWEST = 0.9      # of ohms read through electronics, what another meter may show less: no whole one looks like a dead short. From memory
READABLE = 0.2    # s, the least that volts must stand for a meter to show them: 3 to 5 readings a second (common practice)
LATELY = 128      # operating points kept at hand; what was read at the others is kept, not they


@dataclass(frozen=True)
class Moment:
    """One circuit in one row and one combination of phases.

    Attributes
    ----------
    point : OperatingPoint
        Settled.
    running : dict of str to str
        The phases of those flashers and breakers that go on and off there by themselves; of one that is stuck, dead, or waits
        nothing is said. [text]
    """

    point: object
    running: dict


class Solved:
    """The points of one circuit in one row, and the moments to measure at, found when they are asked for.

    Parameters
    ----------
    points : list of OperatingPoint
        One for each combination of phases.
    arrangement : Arrangement
    """

    def __init__(self, points, arrangement):
        self.points, self._arrangement = points, arrangement

    @cached_property
    def moments(self):
        """A Moment, or None where there is none, for each of the points."""
        return tuple(_moment(self.points, order, self._arrangement) for order in range(len(self.points)))

    @cached_property
    def cold(self):
        """The ohms between any two terminals at the last of the points."""
        return OhmsAtOnce(self.points[-1])


class Probed:
    """One circuit and what was read in it.

    Parameters
    ----------
    arrangement : Arrangement
    phases : tuple of dict
        Every combination of phases of the healthy circuit, all on first. [text]
    solve : callable ``(probed, positions, done, off)``
        Gives the points of a row.
    """

    def __init__(self, arrangement, phases, solve):
        self.arrangement, self.phases, self._solve, self._read, self._calm, self._drifts = arrangement, phases, solve, {}, {}, set()
        self._made = {}

    def circuit(self, done=(), off=False):
        """Return the arrangement with changes made, and on request with every battery off."""
        key = done, off
        if key not in self._made:
            made = self.circuit(done[:-1]) if done else self.arrangement
            self._made[key] = power_off(self.circuit(done)) if off else changed(made, *done[-1:])
        return self._made[key]

    def moments(self, positions, done=()):
        """Return a Moment, or None where there is none to measure at, for each combination of phases.

        There is none where nothing settles, and where a flasher that keeps still would have to be in a phase it never has.
        """
        return self._solve(self, tuple(positions.items()), done, False).moments

    def volts(self, red, black, positions, order, done=()):
        """Return what a meter shows, 0 where it floats; None where there is none, or no such place. [V]"""
        key = red, black, tuple(positions.values()), order, done
        if key not in self._read:
            moment = self.moments(positions, done)[order]
            seen = moment.point.meter(red, black) if moment and self._has(red, black) else None
            self._read[key] = seen or 0.0 if moment and self._has(red, black) else None
            self._drifts |= {key} if seen is None else set()
        return self._read[key]

    def is_firm(self, red, black, positions, order, done=()):
        """Tell whether volts that were read there are no drifting display's, of a floating lead. [yes/no]"""
        return (red, black, tuple(positions.values()), order, done) not in self._drifts

    def all_volts(self, red, black, positions, order, done=()):
        """Return the same as a tuple; where something buzzes, what there is in each turn; empty where that is unknown. [V]"""
        volts = self.volts(red, black, positions, order, done)
        if volts is not None or not self._has(red, black):
            return () if volts is None else (volts,)
        turns = self._solve(self, tuple(positions.items()), done, False).points[order].turns
        return tuple(_shown(turn, red, black) for turn in turns) if all(turn.is_settled for turn in turns) else ()

    def waited_for(self, red, black, positions, order, done=(), least=0.0):
        """Return the phases of what goes on and off by itself where the other phase reads otherwise by so much. [text], [V]"""
        running = self.moments(positions, done)[order].running
        here = self.volts(red, black, positions, order, done)
        there = {name: self.volts(red, black, positions, self._other(order, name), done) for name in running}
        return {name: running[name] for name, volts in there.items() if volts is None or abs(volts - here) >= least}

    def is_readable(self, red, black, positions, order, done=(), least=0.0):
        """Tell whether a display comes to rest: nothing buzzes or chatters in the row, and the phase waited for lasts. [text], [V]"""
        key = tuple(positions.values()), done
        if key not in self._calm:
            self._calm[key] = self._has_rest(positions, done)
        return self._calm[key] and all(self._lasts(name, phase, positions, done) >= READABLE for name, phase in self.waited_for(
            red, black, positions, order, done, least).items())

    def _has_rest(self, positions, done):
        """Tell whether a row comes to rest in time, with filaments cold at first as well. [yes/no]"""
        points = self._solve(self, tuple(positions.items()), done, False).points
        return settled_course(self.circuit(done), positions, points).verdict not in NO_REST

    def _lasts(self, name, phase, positions, done):
        """Return how long a flasher stays in a phase in a row, at the faster pace where its load may be too light. [s]"""
        part = self.circuit(done).part(name)
        quick = any(name in moment.point.hurried(perhaps=True) for moment in self.moments(positions, done) if moment)
        move = part.next_move(part.on_state if phase == "on" else "off", part.paces[-1 if quick else 0]) if part.paces else None
        return move[0] if move else inf

    def span(self, red, black, positions, order, done=()):
        """Return the least and the greatest a meter shows, of either sign, as flashers and breakers go on and off by themselves. [V]"""
        orders = (order, *(self._other(order, name) for name in self.moments(positions, done)[order].running))
        seen = [abs(self.volts(red, black, positions, each, done) or 0.0) for each in orders]
        return min(seen), max(seen)

    def _other(self, order, name):
        """Return the order of the phases that differ in one flasher's or breaker's only. [1]"""
        return self.phases.index(_turned(self.phases[order], name))

    def ohms(self, red, black, positions, done=()):
        """Return ``(ohms,)`` with every battery off, ``(None,)`` for no way; nothing where there is no rest or place. [ohm]"""
        key = red, black, tuple(positions.values()), done
        if key not in self._read:
            solved = self._solve(self, tuple(positions.items()), done, True)
            self._read[key] = (solved.cold.ohms(red, black),) if solved.points[-1].is_settled and self._has(red, black) else ()
        return self._read[key]

    def blur(self, red, black, positions, done=()):
        """Return by how much the same ohms may be others where all parts are good, 0 for no way. [ohm]"""
        (ohms,), away = self.ohms(red, black, positions, done), ()
        if ohms is None:
            return 0.0
        coils = tuple(SetValue(relay.name, "coil_resistance", SPREAD * relay.coil_resistance)
                      for relay in self.arrangement.of_kind(Relay) if SPREAD * relay.coil_resistance < BROKEN_COIL)
        if coils:
            away = self.ohms(red, black, positions, (*done, *coils))
        beside = min(ohms**2 / ELECTRONICS, FEWEST * ohms) if self.arrangement.with_role(Role.ELECTRONICS) else 0.0
        return beside + (abs(away[0] - ohms) if away and away[0] is not None else 0.0)

    def reading(self, red, black, positions, order, done=(), instrument="meter"):
        """Return the Reading there."""
        if instrument == "ohms":
            return take_reading(operating_point(self.circuit(done), positions, self.phases[order]), red, black, "ohms")
        return take_reading(self.moments(positions, done)[order].point, red, black)

    def _has(self, *terminals):
        return all(terminal in self.arrangement.wires_at for terminal in terminals)


class Probing:
    """The healthy circuit and the faulty ones, each made once.

    Parameters
    ----------
    arrangement : Arrangement
        The healthy one.
    """

    def __init__(self, arrangement):
        self._phases, self._faulty = phases_of(arrangement), {}

        @lru_cache(LATELY)
        def solve(probed, positions, done, off):
            circuit = probed.circuit(done, off)
            wanted = probed.phases[-1:] if off else probed.phases
            return Solved([operating_point(circuit, dict(positions), phases) for phases in wanted], probed.arrangement)

        self._solve = solve
        self.healthy = Probed(arrangement, self._phases, solve)

    def of(self, fault):
        """Return the circuit with a fault in it, probed."""
        if id(fault) not in self._faulty:
            self._faulty[id(fault)] = fault, Probed(fault.apply(self.healthy.arrangement), self._phases, self._solve)
        return self._faulty[id(fault)][1]


def _turned(phases, name):
    return {**phases, name: "off" if phases[name] == "on" else "on"}


def _shown(point, red, black):
    return point.meter(red, black) or 0.0


def _moment(points, order, arrangement):
    """Return the Moment of one of the points of a row, or None."""
    point, running = points[order], {}
    if not point.is_settled:
        return None
    for name, phase in point.phases.items():
        part = arrangement.part(name)
        other = next(one for one in points if one.phases == _turned(point.phases, name))
        is_there, was_there = (one.is_settled and one.states[name] == part.on_state for one in (point, other))
        if is_there == (phase == "on") and (is_there != was_there or not other.is_settled):
            running[name] = phase
        elif other.is_settled and point.states[name] != other.states[name] and phase == "off":
            return None
    return Moment(point, running)
