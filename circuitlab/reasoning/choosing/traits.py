"""What sort of circuit an arrangement is, read off its parts and off what its lamps do in every row, never off a name."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations
from operator import and_

from ...arrangements import changed
from ...arrangements.cautions import warnings_for
from ...arrangements.rows import moved
from ...parts import Chassis, Connector, Flasher, Lamp, Role, Switch
from ...solving import operating_point
from ..flasher_loads import flasher_load
from ..proving import prove
from ..trials import pedals

TRAILER = "trailer"     # in the place of a lamp that is towed


@dataclass(frozen=True)
class Traits:
    """An arrangement with its proof at rest: rows and orders, no time courses.

    One that breaks its rule is taken for what the rule wants of it, so that its proof tells against it and not a look.

    Attributes
    ----------
    arrangement : Arrangement
    proof : Proof
        Against the arrangement's own rule. What time alone refutes is not in it.
    changes : tuple of change
        What is changed in the library's arrangement to have this one.
    cautions : tuple of str
        What those changes give cause for: cautions that the library's does not have. [text]
    """

    arrangement: object
    proof: object
    changes: tuple = ()
    cautions: tuple = ()

    # ------------------------------------------------------------ what lamps do

    @cached_property
    def _looks(self):
        """The look of every lamp in every row, by the row's positions; the one its rule asks for where the proof fails. [text]"""
        meant = not self.proof.is_kept
        return {tuple(row.positions.items()): {lamp: cell.wanted if meant and cell.wanted else cell.look for lamp, cell in row.cells.items()}
                for row in self.proof.table.rows}

    def showing(self, look, positions):
        """Return the lamps that have a look in a row. [text]"""
        return frozenset(lamp for lamp, seen in self._looks[tuple(positions.items())].items() if seen == look)

    def _bases(self, *without):
        """Return the rows in which these controls rest, the fewest others moved first."""
        rest = self.arrangement.positions()
        rows = [dict(key) for key in self._looks if all(dict(key)[name] == rest[name] for name in without)]
        return sorted(rows, key=lambda row: moved(row, rest))

    @cached_property
    def sides(self):
        """The control that signals a turn: its name, the row it does so from, and the lamps that flash in each of two positions.

        ``(name, positions, {position: lamps})``, or None where no control makes some lamps flash in one position and others
        in another. [text]
        """
        for control in self.arrangement.controls:
            for base in self._bases(control.name):
                flashes = {each: self.showing("flashing", base | {control.name: each}) for each in control.positions[1:]}
                for one, other in combinations(flashes, 2):
                    if flashes[one] and flashes[other] and not flashes[one] & flashes[other]:
                        return control.name, base, {one: flashes[one], other: flashes[other]}
        return None

    @cached_property
    def opposed(self):
        """Turn lamps of one side that flash in opposition: the first such row, and two that are never lit at once, or None. [text]"""
        for row in self.proof.table.rows if self.sides else ():
            for side in self.sides[2].values():
                lit = {lamp: [abs(each) >= max(map(abs, cell.volts)) / 2 for each in cell.volts] for lamp, cell in row.cells.items()
                       if lamp in side and cell.look == "flashing"}
                for one, other in combinations(lit, 2):
                    if not any(map(and_, lit[one], lit[other])):
                        return row.positions, one, other
        return None

    @cached_property
    def turn(self):
        """The lamps that signal a turn. [text]"""
        return frozenset().union(*self.sides[2].values()) if self.sides else frozenset()

    @cached_property
    def stops(self):
        """The pedal's control, the row it lights stop lamps from, and the position that does, or None. [text]"""
        turned = [self.sides[0]] if self.sides else []
        for name in pedals(self.arrangement):
            for base in self._bases(name, *turned):
                for position in self.arrangement.control(name).positions[1:]:
                    if self.showing("steady", base | {name: position}) - self.showing("steady", base):
                        return name, base, position
        return None

    @cached_property
    def stop(self):
        """The lamps that a pedal lights steadily with no turn selected. [text]"""
        if not self.stops:
            return frozenset()
        name, base, position = self.stops
        return self.showing("steady", base | {name: position}) - self.showing("steady", base)

    @cached_property
    def hazards(self):
        """The control that makes the lamps of both sides flash with no side selected: name, position, row it does so from, or None."""
        others = {*pedals(self.arrangement), *([self.sides[0]] if self.sides else [])}
        for control in self.arrangement.controls if self.turn else ():
            for base in self._bases(control.name, *others) if control.name not in others else ():
                for position in control.positions[1:]:
                    if self.turn <= self.showing("flashing", base | {control.name: position}) and not self.turn & self.showing("flashing", base):
                        return control.name, position, base
        return None

    @cached_property
    def tails(self):
        """The lamps that some control other than a pedal lights steadily from rest, and that signal nothing. [text]"""
        rest = self.arrangement.positions()
        lit = [self.showing("steady", rest | {control.name: position}) for control in self.arrangement.controls
               for position in control.positions[1:]]
        return frozenset().union(*lit) - self.stop - self.turn

    # ------------------------------------------------------------ what is asked for

    @cached_property
    def towed(self):
        """Lamps whose place is on a trailer. [text]"""
        return frozenset(lamp.name for lamp in self.arrangement.of_kind(Lamp) if TRAILER in lamp.place)

    @property
    def filaments(self):
        """Whether a lamp of the vehicle itself is stop and turn: ``shared``, ``separate``, or None without both signals. [text]"""
        if not (self.stop and self.turn):
            return None
        return "shared" if (self.stop & self.turn) - self.towed else "separate"

    def _kind_of(self, lamps):
        """Return what lamps are: ``bulbs``, ``LED``, or None where there are none, or some are this and some that. [text]"""
        warm = {self.arrangement.part(lamp).branches()[0].device.warms for lamp in lamps}
        return {True: "bulbs", False: "LED"}[warm.pop()] if len(warm) == 1 else None

    @property
    def lamps(self):
        """What the vehicle itself signals with: ``bulbs``, ``LED``, or None where some are this and some that. [text]"""
        return self._kind_of((self.stop | self.turn) - self.towed)

    @property
    def trailer_lamps(self):
        """What signals on the trailer: ``bulbs``, ``LED``, or None where nothing does, or some are this and some that. [text]"""
        return self._kind_of((self.stop | self.turn) & self.towed)

    @property
    def hazard(self):
        """Whether it has a hazard signal, ``yes`` or ``no``. [text]"""
        return "yes" if self.hazards else "no"

    @property
    def trailer(self):
        """Whether lamps of a trailer signal with it, ``yes`` or ``no``. [text]"""
        return "yes" if self.towed & (self.stop | self.turn) else "no"

    @property
    def plug(self):
        """The kind of its connector to a trailer, ``none`` without one, or None where it has several that differ. [text]"""
        types = {part.type for part in self.arrangement.of_kind(Connector)} or {"none"}
        return types.pop() if len(types) == 1 else None

    @cached_property
    def break_used(self):
        """For each relay, whether a wire goes to a contact that is closed while it is released. [yes/no]"""
        at = self.arrangement.wires_at
        return {part.name: any(part.states[0] in branch.closed_in and at[f"{part.name}:{branch.end}"]
                               for branch in part.branches() if branch.role is Role.CONTACT)
                for part in self.arrangement.with_role(Role.COIL)}

    @property
    def changeover_relays(self):
        """How many relays it needs whose break contact (87a) is used. [1]"""
        return sum(self.break_used.values())

    @property
    def make_relays(self):
        """How many relays it needs beside those, which may be make relays without 87a. [1]"""
        return len(self.break_used) - self.changeover_relays

    @cached_property
    def switch_poles(self):
        """For each switch, how many contacts it closes at once at most: its poles. [1]"""
        return {part.name: max((len(pairs) for _, pairs in part.closes), default=0) for part in self.arrangement.of_kind(Switch)}

    @property
    def poles(self):
        """The most poles of one switch. [1]"""
        return max(self.switch_poles.values(), default=0)

    @cached_property
    def _points(self):
        """The operating point of every row that settles, flashers on."""
        return [operating_point(self.arrangement, row.positions, "on") for row in self.proof.table.rows if row.verdict == "settled"]

    def flasher_load(self, flasher):
        """Return what a flasher switches, or None for nothing. [FlasherLoad]"""
        return flasher_load(flasher, self.proof.table)

    def heat(self, resistor):
        """Return the most that a resistor turns into heat while it is on. [W]"""
        return max((point.current(resistor.name) ** 2 * resistor.resistance for point in self._points), default=0.0)

    @property
    def flasher(self):
        """The type of its flasher, or None where it has none, or several that differ. [text]"""
        types = {part.type for part in self.arrangement.of_kind(Flasher)}
        return types.pop() if len(types) == 1 else None

    @property
    def frame(self):
        """Which pole stands on the frame: ``minus``, ``plus``, or None where no part of the circuit is on it. [text]"""
        return self.arrangement.pole_on_frame if self.arrangement.of_kind(Chassis) else None

    # ------------------------------------------------------------ how much it takes

    @property
    def rank(self):
        """What fitting ones are put in order by: turn lamps of a side in phase, no trailer that nobody spoke of, least effort, its name."""
        return bool(self.opposed), self.trailer == "yes", *self.effort, self.arrangement.name

    @property
    def effort(self):
        """How much it takes: relays, poles of the greatest switch, parts that are no mere joint, metres of wire."""
        return (len(self.break_used), self.poles, sum(not part.is_metal for part in self.arrangement.listed),
                round(sum(wire.length for wire in self.arrangement.wires), 2))


@lru_cache(maxsize=64)
def traits(arrangement, *changes):
    """Return the traits of an arrangement that has a rule, after changes if any; the same circuit is looked at once.

    Raises
    ------
    ArrangementError
        For one without a rule, or with more rows than are gone through.
    """
    variant, before = changed(arrangement, *changes), warnings_for(arrangement) if changes else ()
    cautions = tuple(words for words in warnings_for(variant) if words not in before) if changes else ()
    return Traits(variant, prove(variant, timing=False), changes, cautions)
