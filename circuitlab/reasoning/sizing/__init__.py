"""Sizing: loads, losses, wire, fuses, contacts, coils and the drain at rest, all from the solved circuit.

The rooms, from below: :mod:`limits` and their sources, :mod:`wires` as bought,
the :mod:`ways` of the current, the :mod:`loads` of every row, what each fuse
is :mod:`guarding`, :mod:`resting`, and :mod:`judging`. :func:`size` puts them together.
"""

from dataclasses import dataclass

from ...ground.showing import Showing
from ...parts import Lamp
from .guarding import Guarding, guarding
from .judging import findings, judge, warmed, worst_loops
from .limits import RULES, Limits, ampacity
from .loads import Survey, row_where, survey, where
from .resting import TYPICAL, Drain, drain
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
        For each of them the copper its loop needs: by the K formula and from the
        real copper (joints and contacts taken off first) for the share of volts
        that may be lost, at the ambient, and by the ampacity table for its greatest current.
    guarding : Guarding
    drain : Drain or None
        None where the arrangement finds no answer at rest.
    findings : tuple of Finding
    """

    arrangement: object
    limits: Limits
    survey: Survey
    loops: dict
    needs: dict
    guarding: Guarding
    drain: Drain | None
    findings: tuple

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
    return Sizing(arrangement, limits, surveyed, loops, {load: _needs(found, limits) for load, found in loops.items()},
                  guards, drain(arrangement, capacity) if at_rest else None, findings(surveyed, guards, loops, limits))


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
    for finding in findings(surveyed, guarding(surveyed), {}, limits):
        if not finding.is_kept and RULES[finding.rule].is_fire_risk:
            found.setdefault(finding.sentence.partition(": ")[2], finding)
    return tuple(found.values())


def _needs(found, limits):
    """Return what a loop needs by formula, by its copper (if joints and contacts leave any volts), by its current."""
    allowed = limits.lost_share * found.battery_volts
    rest = sum(piece.volts for piece in found.out + found.back if not piece.length)
    if not found.ampere_metres:
        return ()
    amps, most = found.ampere_metres / found.length, max(piece.amps for piece in found.out + found.back)
    needs = [wire_for_drop(amps, found.length, allowed, k=ABYC_K)]
    if allowed > rest:
        needs.append(wire_for_drop(amps, found.length, allowed - rest, temperature=found.point.arrangement.ambient))
    by_current = wire_for_current(most, limits.table)
    return (*needs, by_current) if by_current else tuple(needs)
