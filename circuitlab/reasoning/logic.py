"""Lamp logic: when each lamp is lit, as a formula over controls and flashers, from the contacts alone.

A lamp is lit where one of its terminals is joined to the battery's plus and
the other to its minus, through wires and closed contacts only. Each way gives
a product of contact positions; a relay's contact stands for the formula of
its coil. A relay that feeds itself stays in the formula under its own name:
it remembers.

Contacts are not everything. Each row is solved as well, and where volts and
contacts disagree (a lamp that glows through another lamp, a flasher that
never starts) the difference is told with the path of the current.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from ..ground.errors import unknown_name
from ..ground.showing import Showing
from ..parts import Lamp, Role
from ..solving import operating_point
from .conditions import Condition
from .contact_ways import Finder, put_in, telling, without_each_other
from .looks import brightness
from .orders import phase_combinations, stays
from .paths import path_to
from .rows_at_once import lamp_table

NOTICED = 1.0   # V across a lamp that the contacts say is dark


@dataclass(frozen=True)
class LampLogic:
    """When one lamp is lit.

    Attributes
    ----------
    lamp : str
    condition : Condition
        Over controls, flashers (on, off) and relays that remember (released, operated); shortest form.
    ways : tuple of Way
        The ways through contacts it comes from.
    """

    lamp: str
    condition: Condition
    ways: tuple


@dataclass(frozen=True)
class Difference:
    """A row and phase in which volts and contacts disagree about a lamp.

    Attributes
    ----------
    positions, phases : dict of str to str
    lamp : str
    says : bool
        What the contacts say: lit or not. [yes/no]
    volts : float or None
        Across the lamp; None where the row does not settle. [V]
    sentence : str
    path : Path or None
        How the current runs, or is stopped.
    """

    positions: dict
    phases: dict
    lamp: str
    says: bool
    volts: float | None
    sentence: str
    path: object


@dataclass(frozen=True, repr=False)
class Logic(Showing):
    """The logic of all lamps of an arrangement.

    Attributes
    ----------
    arrangement : Arrangement
    lamps : tuple of LampLogic
    relays : dict of str to Condition
        When each relay is operated, and each channel of a converter on. [text]
    remembering : tuple of str
        Relays whose formula holds themselves. [text]
    compared : int
        Rows times phases in which the solver was asked. [1]
    differences : tuple of Difference
    """

    arrangement: object
    lamps: tuple
    relays: dict
    remembering: tuple
    compared: int
    differences: tuple

    @property
    def undoing(self):
        """Relays fed only while they are released: each move undoes itself, so they buzz. [text]"""
        return tuple(name for name in self.remembering if self.relays[name].terms
                     and all(term.get(name) == {"released"} for term in self.relays[name].terms))
    text_view, html_view = "views.logic_words:logic_text", "views.logic_words:logic_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Lamp logic of '{self.arrangement.title}': {len(self.lamps)} lamps, "
                f"{len(self.differences)} differences from the solver.")

    @cached_property
    def by_lamp(self):
        """Each lamp's logic by its name."""
        return {logic.lamp: logic for logic in self.lamps}

    def lamp(self, name):
        """Return the logic of one lamp, or raise UnknownName."""
        if name not in self.by_lamp:
            raise unknown_name(f"arrangement '{self.arrangement.title}'", "lamp", name, self.by_lamp)
        return self.by_lamp[name]


def lamp_logic(arrangement, compare=True):
    """Return when each lamp is lit, derived from the contacts and compared with the solver in every row.

    Parameters
    ----------
    arrangement : Arrangement
    compare : bool
        Whether to solve every row too. [yes/no]

    Returns
    -------
    Logic

    >>> import circuitlab as cl
    >>> print(lamp_logic(cl.arrangement("one-fused-lamp")))
    One lamp with its fuse and its switch
    <BLANKLINE>
    E1 = lamp switch
      E1, load bed: lit with lamp switch on.
      by S1:1-2 (lamp switch on) [W1 F1 W2 S1 W3 E1 W4 X1 W5]
    <BLANKLINE>
    Solved in 2 rows and phases: volts agree with the contacts in all of them.
    """
    finder = Finder(arrangement)
    relays, remembering = without_each_other({relay.name: finder.coil(relay) for relay in arrangement.with_role(Role.COIL)} |
                                             {part.name: finder.follower(part) for part in arrangement.parts if part.signals})
    found = []
    for lamp in arrangement.of_kind(Lamp):
        its_ways = [replace(way, condition=put_in(way.condition, relays, remembering)) for way in finder.lamp(lamp)]
        terms = tuple(term for way in its_ways for term in way.condition.terms)
        found.append(LampLogic(lamp.name, Condition(finder.domain, terms).shortest(), telling(its_ways)))
    relays = {name: condition.shortest() for name, condition in relays.items()}
    compared, differences = _compared(arrangement, found, remembering) if compare else (0, ())
    return Logic(arrangement, tuple(found), relays, tuple(remembering), compared, tuple(differences))


# ------------------------------------------------------------------ asking the solver

def _points(arrangement, remembering):
    """Yield every row in every phase, and for relays that remember every way in which it is reached."""
    if remembering:
        for reached in stays(arrangement).values():
            for stay in reached:
                yield from stay.points
    else:
        combinations = phase_combinations(arrangement)
        for row in lamp_table(arrangement).rows:
            for phases in combinations:
                yield operating_point(arrangement, row.positions, phases)


def _compared(arrangement, found, remembering):
    count, differences = 0, []
    for point in _points(arrangement, remembering):
        count += 1
        where = {**point.positions, **point.phases, **{name: point.states[name] for name in remembering}}
        if not point.is_settled:
            differences.append(Difference(point.positions, point.phases, "", False, None,
                                          f"the row is {point.verdict}: {point.sentence}", None))
            continue
        for logic in found:
            says, volts = logic.condition.holds(where), abs(point.lamp_volts(logic.lamp))
            look = brightness(point.light(logic.lamp))
            if says == (look == "lit") and (says or look == "dark" and volts < NOTICED):
                continue
            path = path_to(point, logic.lamp)
            if says or look != "dark" or path.reached:      # volts without current light nothing and tell nothing
                differences.append(Difference(point.positions, point.phases, logic.lamp, says, volts,
                                              _difference_words(point, logic.lamp, says, look, volts, path), path))
    return count, differences


def _difference_words(point, lamp, says, look, volts, path):
    seen = f"{look} at {volts:.1f} V" if look != "dark" or volts < NOTICED else f"at {volts:.1f} V, too little to see"
    said = f"contacts say {lamp} is {'lit' if says else 'dark'}, volts say {seen}"
    if path.through and not says:
        return f"{said}: it gets its current through {' and '.join(path.through)}"
    waiting = [name for name in path.names if point.states[name] == "idle"]
    if waiting:
        return f"{said}: {' and '.join(waiting)} does not swing, its contact waits {'open' if says else 'closed'}"
    return f"{said}: {path.sentence}"
