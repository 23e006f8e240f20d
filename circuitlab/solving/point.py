"""An operating point: what is read at one moment, volts, currents, states, and what instruments show."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf

from ..ground.errors import CircuitLabError, PartError, shown, unknown_name
from ..ground.showing import Door, Showing
from ..parts import Part
from ..parts.branch import Device
from ..parts.overheating import effective_amps
from .beside_fuses import endangered
from .metering import METER, OHMMETER, TEST_LAMP, Metering
from .network import network

LAST = 1e-12      # V, what the last digits of two volts can pretend between two ends of one piece of metal
NOTHING = 1e-9    # A, what the last digits of two volts across a milliohm can pretend


@dataclass(frozen=True, repr=False)
class OperatingPoint(Showing):
    """Volts, currents and states of one arrangement at one moment.

    Volts are counted from the battery's pole on the frame: minus, or plus where the
    arrangement says so. A terminal that no conducting way joins to it has none: it is *floating* and reads None.

    Attributes
    ----------
    positions : dict of str to str
        Where every control stands.
    phases : dict of str to str
        ``on`` or ``off`` for every flasher.
    states : dict of str to str
        What state every part is in.
    verdict : {"settled", "tripping", "shorted", "buzzing", "chatter", "several stable"}
        A breaker that trips over and over has volts in each phase, and a shorted supply has volts, such as they are;
        the last three have none. Whether it is buzzing or, slower, chatter tells a time course.
    sentence : str
        The same in words.
    turns : tuple of OperatingPoint
        Where something buzzes or chatters: the points it goes to and fro between, each with its volts; empty elsewhere.
    movers : tuple of str
        Where something buzzes or chatters: what moves. [text]
    ask : callable or None
        ``operating_point``, for another point of the kind; None at a mere moment.
    """

    arrangement: object
    positions: dict
    phases: dict
    states: dict
    verdict: str = "settled"
    sentence: str = "settled"
    _contacts: object = field(default=None, repr=False, compare=False)
    _volts: tuple = field(default=(), repr=False)
    _temperatures: tuple = field(default=(), repr=False)
    _is_moment: bool = field(default=False, repr=False)   # filaments are as warm as they are, not at rest
    turns: tuple = field(default=(), repr=False, compare=False)
    movers: tuple = field(default=(), repr=False, compare=False)
    ask: object = field(default=None, repr=False, compare=False)

    text_view = "views.tables:settled_status"
    path_to = Door("reasoning.paths:path_to")

    @property
    def brief(self):
        """In one sentence. [text]"""
        where = ", ".join(f"{name} {position}" for name, position in self.positions.items())
        return f"Operating point of '{self.arrangement.title}'{f' with {where}' if where else ''}: {self.sentence}."

    @property
    def is_settled(self):
        """Whether there are volts to read."""
        return self.verdict in ("settled", "tripping", "shorted")

    @property
    def lasting(self):
        """The points whose currents last: itself where it has volts, what chatter goes to and fro between; none of what buzzes."""
        return (self,) if self.is_settled else self.turns if self.verdict == "chatter" else ()

    def volts(self, terminal):
        """Return the volts of a terminal such as ``"K1:87"``, or None where it floats. [V]"""
        self._must_be_settled()
        point = self._point(terminal)
        return self._volts[point] if self._grounded[point] else None

    def across(self, first, second):
        """Return the volts of the first terminal above the second, under 1 pV being 0, or None when either floats. [V]"""
        a, b = self.volts(first), self.volts(second)
        return None if a is None or b is None else a - b if abs(a - b) >= LAST else 0.0

    def _held_end(self, name):
        """Return an end where a wire's joint holds; one that is lost leaves the copper with the other. [text]"""
        wire = self.arrangement.part(name)
        joints = (wire.start, wire.start_joint), (wire.end, wire.end_joint)
        return next((end for end, joint in joints if joint < inf), None)

    def meter(self, red, black=None, instrument=METER, highest=False):
        """Return what a meter of 10 megohm shows from one terminal to another, or None where one floats. [V]

        Parameters
        ----------
        red, black : str
            Where the leads touch; black on the battery's minus unless said otherwise. [text]
        instrument : Meter or TestLamp
        highest : bool
            With blocked diodes and LEDs leaking as much as their sheets allow, instead of typically. [yes/no]

        Raises
        ------
        UnknownName
            For a terminal that is not there.
        CircuitLabError
            With both leads on one terminal.
        """
        self._must_be_settled()
        if not isinstance(instrument, Device):
            raise PartError(f"{shown(instrument)} is nothing to measure with. Give TestLamp(3, 12), or leave it out for the "
                            "kit's own.", got=instrument)
        here, there = self._between(red, black)
        if not (self._grounded[here] and self._grounded[there]):
            return None
        volts = self._metering.reading(here, there, instrument, highest)
        return volts if abs(volts) >= LAST else 0.0

    def _between(self, red, black):
        """Return the points of two leads, which must be on different terminals. [1]"""
        points = self._point(red), 0 if black is None else self._point(black)
        if points[0] == points[1] and black is not None:
            ends = [self.arrangement.check_terminal(lead) for lead in (red, black)]
            if ends[0] == ends[1]:
                raise CircuitLabError(f"both leads are on {ends[0]}, where there is nothing to read between them. "
                                      "Put red and black on two terminals.", terminal=ends[0])
        return points

    def _point(self, terminal):
        """Return the point of a terminal by any of its markings, or raise UnknownName. [1]"""
        if terminal not in self._net.point_of:
            terminal = self.arrangement.check_terminal(terminal)
        return self._net.point_of[terminal]

    def ohms(self, red, black):
        """Return what an ohmmeter shows between two terminals, None for no way; right with the power off. [ohm]"""
        return OHMMETER.ohms(self._metering.loaded(*self._between(red, black), OHMMETER))

    def test_lamp(self, red, black=None, lamp=TEST_LAMP):
        """Return the volts that stay across a test lamp, contacts as they stand; as ``meter``. [V]"""
        return self.meter(red, black, lamp)

    def liveness(self, terminal):
        """Return what a terminal is for whoever measures there: live, ghost, dead or floating. [text]

        Live keeps 1 V off the battery's minus under a test lamp of 3 W; a ghost shows 1 V on a meter and loses it
        under the lamp; dead is neither; floating has no conducting way to the battery's minus.
        """
        return self._metering.word(self._point(terminal))

    def wire_liveness(self, name):
        """Return what a wire's copper is for whoever measures there. [text]"""
        end = self._held_end(name)
        return self.liveness(end) if end else "floating"

    def wire_meter(self, name):
        """Return what a meter shows at a wire's copper, or None where it floats. [V]"""
        end = self._held_end(name)
        return self.meter(end) if end else None

    def wire_may_be_ghost(self, name):
        """Tell the same of a wire's copper as ``may_be_ghost`` of a terminal."""
        end = self._held_end(name)
        return bool(end) and self.may_be_ghost(end)

    def may_be_ghost(self, terminal):
        """Tell whether a dead terminal would be a ghost if blocked diodes leaked as much as their sheets allow."""
        return self._metering.may_be_ghost(self._point(terminal))

    def is_live(self, terminal):
        """Tell whether a terminal keeps at least 1 V off the battery's minus under a test lamp."""
        return self.liveness(terminal) == "live"

    def is_floating(self, terminal):
        """Tell whether no conducting way joins a terminal to the battery's minus."""
        return self.volts(terminal) is None

    def current(self, name, branch=0):
        """Return the current through a wire (start to end) or one branch of a part; under 1 nA is 0. [A]"""
        self._must_be_settled()
        part = self.arrangement.part(name)
        if (name, branch) not in self._net.branch_of:
            raise unknown_name(f"{part.kind} '{name}'", "branch", branch, range(len(part.branches())))
        current = self._contacts.current(self._net.branch_of[name, branch], self._volts, self._temperatures)
        return current if abs(current) >= NOTHING else 0.0

    def lamp_volts(self, lamp):
        """Return the volts across a lamp, terminal 1 above terminal 2; none across a floating one. [V]"""
        return self.across(*self._lamp_ends(lamp)) or 0.0

    def lamp_meter(self, lamp):
        """Return what a meter shows across a lamp, terminal 1 above terminal 2, or None where one floats. [V]"""
        return self.meter(*self._lamp_ends(lamp))

    def _lamp_ends(self, lamp):
        return self.arrangement.part(lamp).ends

    def power(self, name):
        """Return the watts a part or wire takes up; a battery that gives has less than none. [W]"""
        self._must_be_settled()
        watts, net = 0.0, self._net
        for order in range(len(self.arrangement.part(name).branches())):
            a, b = net.ends[net.branch_of[name, order]]
            watts += (self._volts[a] - self._volts[b]) * self.current(name, order)
        return watts

    @property
    def remarks(self):
        """What is worth saying about single parts, such as a flasher outside its range of loads. [text]"""
        said = [part.remark(self.states[part.name], [self.current(part.name, order) for order in part.watched])
                for part in self._net.parts if part.watched]
        return (*(words for words in said if words), *self.overheated)

    def hurried(self, perhaps=False):
        """Return the flashers that surely (or perhaps) flash faster than they should, their load too light. [text]"""
        self._must_be_settled()
        held = dict(self.arrangement.held)
        return tuple(part.name for part in self._net.parts if type(part).hurries is not Part.hurries and part.name not in held
                     and part.hurries(self.states[part.name], [self.current(part.name, order) for order in part.watched], perhaps))

    @property
    def overheated(self):
        """What carries more than it may for long, and how soon that does damage; nothing of a mere moment. [text]"""
        self._must_be_settled()
        if self._is_moment:
            return ()
        said = [words for part in self._net.parts if type(part).overheated is not Part.overheated
                for words in part.overheated([self.current(part.name, order) for order in range(len(part.branches()))])]
        hot = [wire for wire in self.arrangement.wires if wire.may_burn(sum(self.arrangement.supplies))]
        return (*said, *(words for wire in hot for words in wire.burning(self.effective(wire.name))))

    def effective(self, wire):
        """Return the steady current that heats a wire as much on average, as a flasher that is on goes on and off. [A]"""
        if not self._flashing:
            return abs(self.current(wire))
        return effective_amps(max(part.on_share for part in self._flashing), self.current(wire), self._between_flashes.current(wire))

    @property
    def _flashing(self):
        return [part for part in self._net.parts if part.swings and self.states[part.name] == "on"]

    @cached_property
    def _between_flashes(self):
        return self.standing((self.states | {part.name: "off" for part in self._flashing}).values())

    def standing(self, states):
        """Return the point in states given, of every part in turn, whatever they would rather do. [text]"""
        contacts = self._net.reduced([*states])
        volts, temperatures = contacts.settled()
        return replace(self, states=dict(zip(self.states, states)), _contacts=contacts, _volts=tuple(volts), _temperatures=temperatures)

    @cached_property
    def endangered(self):
        """What the current that blew fuses may have destroyed on its way; nothing of a mere moment. [text]"""
        return endangered(self)

    def temperature(self, lamp):
        """Return the temperature of a lamp's filament. [K]"""
        order = self._lamp_order(lamp)
        if not self._net.devices[order].warms:
            raise PartError(f"'{lamp}' has no filament, so it has no temperature.", part=lamp)
        return self._temperatures[order]

    def light(self, lamp):
        """Return a lamp's light relative to its rated light. [1]"""
        order = self._lamp_order(lamp)
        law = self._contacts.laws[order]
        return law.shine(self.lamp_volts(lamp), self._temperatures[order] if law.warms else None) if law else 0.0

    def _lamp_order(self, lamp):
        self._must_be_settled()
        if lamp not in self._net.lamp_order:
            raise unknown_name(f"arrangement '{self.arrangement.title}'", "lamp", lamp, self._net.lamps)
        return self._net.lamp_order[lamp]

    @cached_property
    def _net(self):
        return network(self.arrangement)

    @cached_property
    def _grounded(self):
        return self._contacts.grounded()

    @cached_property
    def _metering(self):
        self._must_be_settled()
        held = self._contacts.filament_conductances(self._temperatures) if self._is_moment else None
        return Metering(self._contacts, self._volts, self._grounded, held)

    def _must_be_settled(self):
        if not self.is_settled:
            raise CircuitLabError(f"no steady reading to be had: {self.sentence}", verdict=self.verdict)
