"""Sights: what one line of a proof, a fault table or a comparison looks like in the circuit.

A sight is an operating point with the names that are to stand out in its
drawing: the way of the current to one lamp, and what a fault or a change
touched. Whoever draws it has nothing left to work out.
"""

from dataclasses import dataclass

from ..arrangements.counterparts import counterparts
from ..ground.showing import Showing
from ..parts import Lamp
from ..solving import operating_point
from .looks import brightness
from .one_of_two import own_positions
from .orders import phase_combinations
from .paths import path_to
from .terminals import terminal_path
from .things import marked_things


@dataclass(frozen=True, repr=False)
class Sight(Showing):
    """One operating point with what is to stand out in its drawing.

    Attributes
    ----------
    point : OperatingPoint
    path : Path or None
        The way of the current to the lamp asked for, or the way it misses.
    marked : tuple of str
        Parts and wires of the point's arrangement to be marked. [text]
    """

    point: object
    path: object = None
    marked: tuple = ()

    @property
    def brief(self):
        """In one sentence. [text]"""
        return self.path.sentence + "." if self.path else self.point.brief

    @property
    def trace(self):
        """Parts, wires and terminals of the path, for a drawing. [text]"""
        return (*self.path.names, *self.path.terminals) if self.path else ()


def proof_sight(proof, positions, phases="on", lamp=""):
    """Return the sight of one row of a proof.

    Parameters
    ----------
    proof : Proof
    positions : dict of str to str
        The row; empty for what concerns every row. [text]
    phases : str or dict of str to str
        Of the flashers. [text]
    lamp : str
        Whose current is followed; of a failing lamp, in the phases in which its failure is told, the way told there,
        with the places marked that stop it. [text]

    Returns
    -------
    Sight
    """
    failures = proof.of_row(positions)
    told = next((failure for failure in failures if failure.lamp == lamp and lamp), None)
    point = operating_point(proof.arrangement, positions, phases, told.operated if told else ())
    if told and told.path and all(point.phases[name] == phase for name, phase in told.phases):
        path = told.path
    else:
        path = _path(point, lamp)
    if told and not told.positions:
        return Sight(point, path, (lamp,))
    return Sight(point, path, tuple(dict.fromkeys(step.name for step in path.open_places)) if path else ())


def changed_sight(arrangement, other, positions, phases="on", lamp=""):
    """Return the sight of one row of an arrangement, marked where another of nearly the same wiring differs from it.

    Parameters
    ----------
    arrangement, other : Arrangement
    positions, phases, lamp
        As for :func:`proof_sight`; controls and flashers that are not there are left out.

    Returns
    -------
    Sight or None
        None when the arrangement has no such row.
    """
    where = own_positions(arrangement, positions)
    if where is None:
        return None
    flashers = [part.name for part in arrangement.parts if part.swings]
    own = phases if isinstance(phases, str) else {name: phases[name] for name in flashers if name in phases}
    point = operating_point(arrangement, where, own)
    marked = tuple(name for name in marked_things(counterparts(arrangement, other)) if name in arrangement.by_name)
    return Sight(point, _path(point, lamp), marked)


def first_difference(before, after, positions):
    """Return the first lamp of a row that gives another light after a change, and the phases in which it does so.

    Returns
    -------
    tuple of (str, dict)
        Empty where no lamp does. [text]
    """
    where = [own_positions(each, positions) for each in (before, after)]
    both = {part.name for part in before.of_kind(Lamp)} & {part.name for part in after.of_kind(Lamp)}
    if None in where:
        return "", {}
    for phases in sorted((*phase_combinations(before), *phase_combinations(after)), key=len, reverse=True):
        points = []
        for each, own in zip((before, after), where):
            flashers = {part.name for part in each.parts if part.swings}
            points.append(operating_point(each, own, {name: phases[name] for name in flashers & set(phases)}))
        if not all(point.is_settled for point in points):
            continue
        for lamp in before.of_kind(Lamp):
            if lamp.name in both and len({brightness(point.light(lamp.name)) for point in points}) > 1:
                return lamp.name, phases
    return "", {}


def _path(point, lamp):
    """Return how current reaches a lamp, or a test lamp at a terminal, or misses it; None without either or without volts."""
    if not lamp or not point.is_settled:
        return None
    if lamp in point.arrangement.terminals:
        return terminal_path(point, lamp)
    return path_to(point, lamp) if lamp in point.arrangement.by_name else None
