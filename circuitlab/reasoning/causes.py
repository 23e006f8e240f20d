"""Causes: which open place keeps volts away, which closed one brings them, found by trying it on the circuit.

A cause is only named once it was tried: contacts stay as they stand, an open place is bridged as by a jumper, or a
closed one opened, filaments find their new rest, and the volts have come, or gone. Candidates are found on ways: the
fewest and likeliest open places between a thing and the poles; of what carries, the nearest contact.
"""

from dataclasses import dataclass
from functools import cached_property

from ..ground.joined import walked, way_to
from ..parts.branch import Branch, Role
from ..parts.instruments import Jumper
from ..solving.metering import LIVE
from ..solving.network import Contacts, network
from .paths import LOAD, opening

LEAST = 2e-3      # A, that something draws: the electronics of a flasher take 5 mA
SHORT = 50.0      # A, more than any load of the kit's takes
MOST = 6          # contacts beside each other that are named
CONTACT_FIRST = 3.0     # how much longer a wire makes a way than a contact does: of equal ways the plain one is told


@dataclass(frozen=True)
class Place:
    """One branch of a part, or a wire, between two points."""

    number: int
    part: object
    branch: Branch
    state: str
    ends: tuple        # points, as the branch runs

    @property
    def is_closed(self):
        return self.branch.conducts(self.state)

    @property
    def terminals(self):
        """Its two ends with the part's name. [text]"""
        return tuple(map(self.part.at, (self.branch.start, self.branch.end)))

    @property
    def is_contact(self):
        return self.branch.role is Role.CONTACT


class Standing:
    """A circuit with its contacts as they stand at an operating point, to try causes on.

    Parameters
    ----------
    point : OperatingPoint
        Settled.
    """

    def __init__(self, point):
        self.point, self.net = point, network(point.arrangement)
        self.states = [point.states[part.name] for part in self.net.parts]
        self.places = [Place(self.net.branch_of[part.name, order], part, branch, state,
                             self.net.ends[self.net.branch_of[part.name, order]])
                       for part, state in zip(self.net.parts, self.states) for order, branch in enumerate(part.branches())]
        self.poles = {end for place in self.places if place.branch.role is Role.SOURCE for end in place.ends} - {0}
        self._tried = {}

    def at(self, terminal):
        """Return the point of a terminal. [1]"""
        return self.net.point_of[self.point.arrangement.check_terminal(terminal)]

    def volts(self, bridged=(), opened=()):
        """Return the volts of every point with some places bridged and others opened, None where one floats. [V]"""
        contacts, volts, _ = self._solved(bridged, opened)
        return [value if joined else None for value, joined in zip(volts, contacts.grounded())]

    def amps(self, place, bridged=(), opened=()):
        """Return the current through a place then, without its sign. [A]"""
        contacts, *solved = self._solved(bridged, opened)
        return abs(contacts.current(place.number, *solved))

    def _solved(self, bridged, opened):
        key = frozenset(place.number for place in bridged), frozenset(place.number for place in opened)
        if key not in self._tried:
            conductances, laws = self.net.conductances(self.states), list(self.net.reduced(self.states).laws)
            for place in bridged:
                conductances[place.number] = 1 / Jumper().resistance
                if place.number in self.net._device_order:
                    laws[self.net._device_order[place.number]] = Jumper()
            for place in opened:
                conductances[place.number] = 0.0
                if place.number in self.net._device_order:
                    laws[self.net._device_order[place.number]] = None
            contacts = Contacts(self.net, conductances, laws)
            self._tried[key] = contacts, *contacts.settled()
        return self._tried[key]

    def across(self, ends, bridged=(), opened=()):
        """Return the volts between two points without their sign; none where no way leads from one to the other. [V]"""
        contacts, volts, _ = self._solved(bridged, opened)
        return abs(volts[ends[0]] - volts[ends[1]]) if contacts.joined(ends[0])[ends[1]] else 0.0

    # ------------------------------------------------------------------ ways

    def _near(self, opened=(), through_open=False, through_loads=False, without=None, back=False):
        """Return what lies beside each point, for ways from a pole, or back to one; each step is a place."""
        near = {}
        for place in self.places:
            passes = place.branch.role.passes
            if place in opened or place.part is without or not (passes or through_loads and place.branch.role.takes):
                continue
            cost = (1 if place.is_contact else CONTACT_FIRST) + (0 if passes else LOAD)
            if not place.is_closed:
                if not through_open:
                    continue
                cost += opening(place.part, place.branch)
            (one, two), turned = place.ends, back != (self.point.arrangement.frame == "plus")
            near.setdefault(two if turned else one, []).append((cost, one if turned else two, place))
            if not place.branch.is_one_way:
                near.setdefault(one if turned else two, []).append((cost, two if turned else one, place))
        return near

    def from_pole(self, end, **how):
        """Return the way from the battery's live pole to a point as places, and its length, or None."""
        return self._way(self.poles, {end}, **how)

    def to_zero(self, end, **how):
        """Return the same from a point to the pole that volts are counted from."""
        return self._way({end}, {0}, **how)

    def _way(self, starts, ends, **how):
        found = walked(sorted(starts), self._near(**how), ends)
        there = next((end for end in ends if end in found), None)
        return None if there is None else (way_to(there, found), found[there][0])

    @cached_property
    def live(self):
        """Points joined to a live pole by closed ways."""
        return set(walked(sorted(self.poles), self._near()))

    @cached_property
    def grounded(self):
        """Points joined to the pole that volts are counted from by closed ways."""
        return set(walked([0], self._near(back=True)))

    # ------------------------------------------------------------------ what keeps volts away

    def missing(self, ends, without=None, turned=False, through_loads=False):
        """Return ``(places, is_short)``: the open places that keep volts from between two points, the nearest first, or None.

        Of places of which none brings volts those are told that would short the battery if they were bridged.

        Parameters
        ----------
        ends : tuple of int
            The end that belongs on the live side, and the other; that may be 0.
        without : Part, optional
            What lies between them, which is no way.
        turned : bool
            Whether it works as well the other way round. [yes/no]
        through_loads : bool
            Whether what comes through a load counts. [yes/no]
        """
        found = []
        for number, (high, low) in enumerate([ends, ends[::-1]][:1 + (turned and 0 not in ends)]):
            if high in self.grounded or low in self.live:
                continue
            legs = [self.from_pole(high, through_open=True, through_loads=through_loads, without=without),
                    self.to_zero(low, through_open=True, without=without) if low else ([], 0.0)]
            if all(legs):
                (coming, one), (going, other) = legs
                places = [place for place in (*coming[::-1], *going) if not place.is_closed]
                if places:
                    found.append((one + other + number, number, places))
        ranked = [(places, self._is_shorted(places)) for _, _, places in sorted(found, key=lambda each: each[:2])]
        good = [(places, False) for places, is_short in ranked if not is_short and self.across(ends, places) >= LIVE]
        sources = [place for place in self.places if place.branch.role is Role.SOURCE]
        bad = [each for each in ranked if each[1] and max(self.amps(source, each[0]) for source in sources) >= SHORT]
        return next(iter([*good, *bad]), None)

    def parting(self, end):
        """Return the open places that keep a floating point from the pole volts are counted from, none where it does not float.

        A broken load counts, as if it were a gap. Not told is what lies on the live side: that is another gap.
        """
        if self.volts()[end] is not None:
            return []
        beyond = [place for place in self.places if set(place.ends) & self.live]
        way = self.to_zero(end, through_open=True, through_loads=True, opened=beyond)
        return [place for place in way[0] if not place.is_closed] if way else []

    def draws(self, contact, places):
        """Tell whether current flows through a contact once it is closed and some places are bridged. [yes/no]"""
        return self.amps(contact, places if contact.is_closed else [contact, *places]) >= LEAST

    def _is_shorted(self, bridged):
        """Tell whether a way without a load leads from pole to pole with some places bridged."""
        near = self._near()
        for place in bridged:
            for one, two in (place.ends, place.ends[::-1]):
                near.setdefault(one, []).append((1, two, place))
        return 0 in walked(sorted(self.poles), near, {0})

    def bypass(self, ends, without=None):
        """Return closed places that join two points and so leave no volts between them, or None."""
        way = self._way({ends[0]}, {ends[1]}, without=without)
        if way is None:
            return None
        return self._cut(lambda opened: self.across(ends, opened=opened) >= LIVE,
                         lambda opened: self._way({ends[0]}, {ends[1]}, without=without, opened=opened))

    # ------------------------------------------------------------------ what brings them

    def carrying(self, end, low=0, without=None):
        """Return the closed places that bring volts to a point, as few as will do: with them open they are gone; or None."""
        had = self.across((end, low))
        return self._cut(lambda opened: self.across((end, low), opened=opened) < min(LIVE, had / 2),
                         lambda opened: self.from_pole(end, opened=opened, without=without, through_loads=True), nearest_last=True)

    def joining(self, end):
        """Return the closed places that join a point to the pole volts are counted from, as few as will do, or None."""
        return self._cut(lambda opened: self.to_zero(end, opened=opened) is None,
                         lambda opened: self.to_zero(end, opened=opened))

    def _cut(self, is_done, way, nearest_last=False):
        """Return as few places as will do to have something done when they are open, the nearest contacts of each way."""
        opened = []
        while not is_done(opened):
            found = way(opened)
            if found is None or len(opened) == MOST:
                return None
            places = found[0][::-1] if nearest_last else found[0]
            places = [place for place in places if place.branch.role is not Role.SOURCE]
            if not places:
                return None
            likely = sorted(places, key=lambda place: (not place.is_contact, place.part.is_metal))
            alone = next((place for place in likely if is_done([*opened, place])), None)
            opened.append(alone or likely[0])
        for place in list(opened):
            if len(opened) > 1 and is_done([other for other in opened if other is not place]):
                opened.remove(place)
        return opened

    def greatest_drop(self, ends, without=None):
        """Return ``(place, volts)`` of what takes most volts on the way of a thing that has some, bridged to make sure; or None."""
        how = {"through_loads": True, "without": without}
        ways = [self.from_pole(ends[0], **how), self.to_zero(ends[1], **how)]
        volts, had = self.volts(), self.across(ends)
        places = {place.number: place for way in ways if way for place in way[0]}.values()
        drops = [(abs(volts[place.ends[0]] - volts[place.ends[1]]), place) for place in places
                 if None not in (volts[place.ends[0]], volts[place.ends[1]]) and place.number not in self.net._device_order]
        drop, place = max(drops, key=lambda each: each[0], default=(0.0, None))
        return (place, drop) if drop >= LIVE and self.across(ends, [place]) > had + drop / 3 else None
