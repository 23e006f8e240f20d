"""Spans: stretches of the circuit inside which no further reading can part one repair from another."""

from dataclasses import dataclass

import numpy as np

from ...ground.errors import listed
from ...ground.joined import leaders

BOTH = 0.1      # the most that two repairs share of a reading's outcomes where it parts them


@dataclass(frozen=True)
class Span:
    """A stretch of the circuit.

    Attributes
    ----------
    repairs : tuple of str
        What it may ask for, likeliest first. [text]
    odds : float
        Of all of it. [1]
    ends : tuple of str
        The terminals it lies between; empty where it is no stretch of wire. [text]
    words : str
        [text]
    """

    repairs: tuple
    odds: float
    ends: tuple
    words: str


def spans_of(arrangement, places, odds, outcomes):
    """Return every Span of what is left, likeliest first.

    Parameters
    ----------
    arrangement : Arrangement
    places : dict of str to tuple of str
        For each repair the terminals or parts that it is about. [text]
    odds : dict of str to float
        Of each repair. [1]
    outcomes : dict of str to ndarray of float, shape (readings, outcomes)
        For each repair how likely it gives each outcome of each reading. [1]
    """
    names = list(odds)
    alike = [(one, other) for number, one in enumerate(names) for other in names[number + 1:] if not _parted(outcomes[one], outcomes[other])]
    groups = {}
    for name, leader in leaders(names, alike).items():
        groups.setdefault(leader, []).append(name)
    found = []
    for group in groups.values():
        group.sort(key=lambda name: -odds[name])
        ends = _ends([places[name] for name in group])
        found.append(Span(tuple(group), sum(odds[name] for name in group), ends, _words(arrangement, group, places, ends)))
    return tuple(sorted(found, key=lambda span: -span.odds))


def _parted(one, other):
    """Tell whether some reading has hardly an outcome that both may give. [yes/no]"""
    return bool(len(one)) and bool((np.minimum(one, other).sum(axis=1) < BOTH).any())


def _ends(places):
    """Return the two terminals at the ends of a row of stretches, or nothing where they make none. [text]"""
    stretches = [place for place in places if len(place) == 2 and all(":" in end for end in place)]
    if not stretches or len(stretches) < len(places):
        return ()
    count = {}
    for stretch in stretches:
        for end in stretch:
            part = end.partition(":")[0]
            count.setdefault(part, []).append(end)
    loose = [ends[0] for ends in count.values() if len(ends) == 1]
    return tuple(loose) if len(loose) == 2 else ()


def _words(arrangement, group, places, ends):
    if len(ends) == 2 and len(group) > 1:
        wires = [wire.name for wire in arrangement.wires for name in group if set(wire.terminals) == set(places[name])]
        return f"between {ends[0]} and {ends[1]}" + f" ({listed(wires)})" * bool(wires)
    return listed(group) if len(group) < 4 else f"{listed(group[:3])} or {len(group) - 3} more"
