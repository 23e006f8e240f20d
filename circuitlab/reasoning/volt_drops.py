"""Where volts may be lost: for each way to each lamp or other load both legs in one row, and every piece of them, each with its limit.

Whoever measures begins with the legs, under load. Only a leg that loses too much
is gone through piece by piece.
"""

from dataclasses import dataclass

from ..arrangements.rows import moved
from ..parts import Lamp, Role
from .paths import path_to
from .sizing import RULES, Limits, survey
from .sizing.judging import kind_of_drop, limit_of_leg

ALIKE = 0.1         # A, between rows of which the one with the fewest controls moved is told
NOTHING = 1e-9      # V, A: two terminals of one splice are one place
PAUSED = 0.5        # of what flows through a lamp while it is lit, under which it pauses
DIGIT = 0.001       # V, the last one of a meter: nearer than that two phases read alike


@dataclass(frozen=True)
class Drop:
    """Volts between two terminals, one of them nearer to the battery's live pole.

    Attributes
    ----------
    red, black : str
        Where the leads go. [text]
    what : str
        As what its volts are limited: ``leg``, ``ground`` (one over the frame, without a contact), ``wire``, ``joint``, ``contact`` or what
        it is called there; or ``lamp``, ``load`` or
        ``diode``, for which no limit is given. [text]
    name : str
        Of the part or wire; of a leg, of its lamp. [text]
    volts, amps : float
        What the kit's healthy circuit loses there, and what flows. [V], [A]
    limit : float or None
        [V]
    opens, swings : bool
        Whether it opens and closes, by a hand or a coil or of itself; of itself alone. [yes/no]
    held : {"MAX", "MIN", ""}
        Which of the two that a meter keeps is that of the lit lamp; empty where it does not flash or both phases read alike. [text]
    """

    red: str
    black: str
    what: str
    name: str
    volts: float
    amps: float
    limit: float | None = None
    opens: bool = False
    swings: bool = False
    held: str = ""


@dataclass(frozen=True)
class Legs:
    """One way to one lamp or other load, in the row in which most flows there; of rows alike to 0.1 A that with the fewest controls moved.

    Attributes
    ----------
    lamp : str
    positions : dict of str to str
        Of every control. [text]
    flashes : bool
        Whether the lamp pauses there while a flasher is off. [yes/no]
    out, across, back : Drop
        From the live pole to the lamp, at it, and from it back.
    pieces : tuple of Drop
        In the direction of the current, the lamp left out.
    """

    lamp: str
    positions: dict
    flashes: bool
    out: Drop
    across: Drop
    back: Drop
    pieces: tuple


@dataclass(frozen=True)
class VoltDrops:
    """What a worksheet of volt drops tells.

    Attributes
    ----------
    arrangement : Arrangement
    legs : tuple of Legs
        Of each way by which some row feeds a lamp, and behind those a load resistor or other load.
    pieces : tuple of (Drop, Legs)
        Every piece once, where it carries most.
    sources : dict of str to str
        Where the limit of each sort of drop comes from, for those that are used. [text]
    """

    arrangement: object
    legs: tuple
    pieces: tuple
    sources: dict

    @property
    def unfed(self):
        """Lamps that no row feeds. [text]"""
        fed = {each.lamp for each in self.legs}
        return tuple(lamp.name for lamp in self.arrangement.of_kind(Lamp) if lamp.name not in fed)


def volt_drops(arrangement, limits=Limits()):
    """Return where an arrangement loses its volts, lamp by lamp, and what may be lost there.

    Parameters
    ----------
    arrangement : Arrangement
        Of at most as many rows as :data:`~circuitlab.ground.limits.MOST_ROWS` says.
    limits : Limits

    Returns
    -------
    VoltDrops

    >>> from circuitlab.arrangements import arrangement
    >>> [(leg.lamp, leg.out.limit) for leg in volt_drops(arrangement("one-fused-lamp")).legs]
    [('E1', 0.5)]
    """
    legs, most = tuple(_every_way(arrangement, limits)), {}
    for each in legs:
        for piece in each.pieces:
            place = piece.red, piece.black
            if abs(piece.volts) > NOTHING and (place not in most or piece.amps > most[place][0].amps + NOTHING):
                most[place] = piece, each
    used = {leg.what for each in legs for leg in (each.out, each.back)} | {piece.what for piece, _ in most.values()}
    return VoltDrops(arrangement, legs, tuple(most.values()), {what: RULES[rule].source for what, rule in _limited() if what in used})


def _limited():
    """Return each sort of drop that has a limit, and the rule that gives it. [text]"""
    begins = "little is lost in a "
    return [("leg", "little is lost on one leg"), ("ground", "little is lost on the ground side"),
            *((rule.removeprefix(begins), rule) for rule in RULES if rule.startswith(begins))]


def _every_way(arrangement, limits):
    """Yield the legs of every way to a lamp, lamp by lamp, then to whatever else current is used in, such as a load resistor."""
    points, rest = survey(arrangement, played=False).points, arrangement.positions()
    lamps = [part.name for part in arrangement.of_kind(Lamp)]
    for lamp in dict.fromkeys([*lamps, *(part.name for part in arrangement.with_role(Role.LOAD))]):
        ways = {}
        for point in points:
            path = path_to(point, lamp)
            if path.reached and not path.is_backwards:
                amps = max(step.amps for step in path.steps if step.name == lamp)
                ways.setdefault(path.names, []).append((amps, moved(point.positions, rest), point, path))
        for found in ways.values():
            most = max(amps for amps, *_ in found)
            amps, _, point, path = min((each for each in found if each[0] > most - ALIKE), key=lambda each: each[1])
            pauses = [each for each in points if each.positions == point.positions and _lit_amps(each, lamp) < PAUSED * amps]
            yield _legs(point, pauses, path, lamp, limits)


def _lit_amps(point, lamp):
    return max(abs(point.current(lamp, order)) for order, _ in enumerate(point.arrangement.part(lamp).branches()))


def _legs(point, pauses, path, lamp, limits):
    """Return both legs of a lamp and their pieces at one operating point; pauses are those of the same row in which it is out."""
    at = next(order for order, step in enumerate(path.steps) if step.name == lamp)
    pieces = [_drop(point, pauses, step, limits) for step in path.steps]
    before, here, behind = pieces[:at], path.steps[at], pieces[at + 1:]
    live, zero = path.steps[0].start, path.steps[-1].end
    across = lambda what, red, black, limit=None: Drop(red, black, what, lamp, point.across(red, black), here.amps, limit,
                                                       held=_held(point, pauses, red, black))
    out, back = (limit_of_leg(point.arrangement, [each.name for each in leg], sum(each.opens for each in leg), leg is behind, limits)
                 for leg in (before, behind))
    return Legs(lamp, dict(point.positions), bool(pauses), across(out[0], live, here.start, out[1]), across("lamp", here.start, here.end),
                across(back[0], here.end, zero, back[1]), (*before, *behind))


def _drop(point, pauses, step, limits):
    part = point.arrangement.part(step.name)
    what, opens = ("wire", False) if step.is_wire else _kind(part)
    return Drop(step.start, step.end, what, step.name, point.across(step.start, step.end), step.amps, getattr(limits, what, None), opens,
                opens and part.swings, _held(point, pauses, step.start, step.end))


def _held(point, pauses, red, black):
    """Return which of MAX and MIN belongs to the lit lamp, of what is read in the pauses beside it; a place that floats reads 0. [text]"""
    more = [point.across(red, black) - (each.across(red, black) or 0.0) for each in pauses]
    return "MAX" if more and min(more) > DIGIT else "MIN" if more and max(more) < -DIGIT else ""


def _kind(part):
    """Return what a part is to the current that passes it, and whether it opens there. [text], [yes/no]"""
    passing = [branch for branch in part.branches() if branch.role.passes and (branch.device is None or part.loses_as == "converter")]
    opening = [branch for branch in passing if branch.role is Role.CONTACT and not branch.mated]
    if opening or passing:
        return kind_of_drop(part, (opening or passing)[0]), bool(opening) and not part.guards
    return ("diode" if any(branch.is_one_way for branch in part.branches()) else "load"), False
