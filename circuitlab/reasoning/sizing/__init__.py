"""Sizing: loads, losses, wire, fuses, contacts, coils and the drain at rest, all from the solved circuit.

The rooms, from below: :mod:`limits` and their sources, :mod:`wires` as bought,
the :mod:`ways` of the current, the :mod:`loads` of every row, what each fuse
is :mod:`guarding`, :mod:`resting`, what is :mod:`found` by one rule, and :mod:`judging`. :func:`size` puts them together.
"""

from dataclasses import dataclass
from math import inf

from ...ground.showing import Showing
from ...parts import Lamp
from ...parts.conductors import copper_factor
from .guarding import Guarding, guarding, unguarded_pins
from .judging import findings, judge, warmed, worst_loops
from .limits import RULES, Limits, ampacity
from .loads import Survey, row_where, survey, where
from .resting import TYPICAL, Drain, drain
from .running import Running, running
from .ways import loop
from .wires import ABYC_K, SIZES, capacity, wire_for_current, wire_for_drop

__all__ = ["RULES", "SIZES", "Limits", "Sizing", "ampacity", "capacity", "drain", "fire_risks", "guarding", "judge", "loop",
           "row_where", "size", "survey", "warmed", "where", "wire_for_current", "wire_for_drop", "worst_loops"]


@dataclass(frozen=True, repr=False)
class Sizing(Showing):
    """Every sizing question of one arrangement, answered.

    Attributes
    ----------
    arrangement : Arrangement
    limits : Limits
    survey : Survey
    loops : dict of str to Loop
        For each lamp and resistor the loop in which most is lost.
    needs : dict of str to tuple of WireNeed
        For each of them the copper its loop needs, were all of it of one size. By the K formula and from the
        real copper, of all rows in that which needs most, so that no more than the allowed share of volts is lost with
        what joints, contacts, fuses and diodes lose; left out where those lose it alone. By the ampacity table for the
        greatest current where most is lost. Where its wires are warmer than 20 C, copper and K are taken as at the warmest.
    guarding : Guarding
    drain : Drain or None
        None where the arrangement finds no answer at rest.
    findings : tuple of Finding
    running : Running or None
        With the engine running; None where the battery has as much anyway.
    unguarded : tuple
        Where a fuse lets more through than pins of a connector behind it are made for, ``(fuse, connector, pins, amperes)``. [text], [A]
    """

    arrangement: object
    limits: Limits
    survey: Survey
    loops: dict
    needs: dict
    guarding: Guarding
    drain: Drain | None
    findings: tuple
    running: Running | None = None
    unguarded: tuple = ()

    text_view, html_view = "views.sizing_words:sizing_text", "views.sizing_words:sizing_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Sizing of '{self.arrangement.title}': {len(self.findings)} findings, {len(self.broken)} break a rule."

    @property
    def unfed(self):
        """Lamps that no row feeds from both poles. [text]"""
        return tuple(lamp.name for lamp in self.arrangement.of_kind(Lamp) if lamp.name not in self.loops)

    @property
    def broken(self):
        """The findings that break their rule."""
        return tuple(finding for finding in self.findings if not finding.is_kept)


def size(arrangement, limits=Limits(), capacity=TYPICAL):
    """Answer every sizing question of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    limits : Limits
        What it is held to, where not the defaults.
    capacity : float
        Of its battery. [Ah]

    Returns
    -------
    Sizing

    >>> import circuitlab as cl
    >>> size(cl.arrangement("one-fused-lamp")).broken
    ()
    """
    surveyed = survey(arrangement)
    loops, guards = worst_loops(surveyed), guarding(surveyed)
    at_rest = all(point.positions != arrangement.positions() for point in surveyed.restless)
    thickest = worst_loops(surveyed, lambda found: max((need.area for need in _for_loss(found, limits)), default=inf))
    needs = {load: _needs(found, thickest[load], limits) for load, found in loops.items()}
    ran = running(surveyed)
    return Sizing(arrangement, limits, surveyed, loops, needs, guards, drain(arrangement, capacity) if at_rest else None,
                  findings(surveyed, guards, loops, limits, ran), ran, unguarded_pins(arrangement, guards))


def fire_risks(arrangement, limits=Limits()):
    """Return the findings by which a wire may burn: no fuse ahead of it, one too large for it, or more than it may carry.

    Nothing is played, so it is quick.

    Parameters
    ----------
    arrangement : Arrangement
    limits : Limits

    Returns
    -------
    tuple of Finding
        Broken ones only; what is found of two fuses in the same words is told once.
    """
    surveyed = survey(arrangement, played=False)
    found = {}
    for finding in findings(surveyed, guarding(surveyed), {}, limits, running(surveyed)):
        if not finding.is_kept and RULES[finding.rule].is_fire_risk:
            found.setdefault(finding.sentence.partition(": ")[2], finding)
    return tuple(found.values())


def _needs(worst, thickest, limits):
    """Return what loops of one load need: by formula and by copper where it needs most, by current where most is lost."""
    most = max(piece.amps for piece in worst.out + worst.back)
    return (*_for_loss(thickest, limits), *filter(None, [wire_for_current(most, limits.table)])) if worst.ampere_metres else ()


def _for_loss(found, limits):
    """Return what a loop needs so that no more than may be lost is lost, by formula and by copper; nothing where no copper does.

    A load that gets less than it should draws more once it gets that: no more than in proportion to its volts.
    """
    allowed, pieces = limits.lost_share * found.battery_volts, found.out + found.back
    grown = max(1.0, (found.battery_volts - allowed) / found.load_volts)
    left = allowed - grown * sum(piece.volts for piece in pieces if not piece.length)
    if not found.ampere_metres or left <= 0:
        return ()
    amps, parts = grown * found.ampere_metres / found.length, found.point.arrangement.by_name
    warmest = max(parts[piece.part].copper_temperature for piece in pieces if piece.length)
    k = ABYC_K * max(1.0, copper_factor(warmest))
    return (wire_for_drop(amps, found.length, left, k=round(k, 2)), wire_for_drop(amps, found.length, left, temperature=warmest))
