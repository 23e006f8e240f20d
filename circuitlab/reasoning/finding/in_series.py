"""Bad joints in one unbranched run: with as many ohms they leave everything else as it is, wherever along the run they lie.

Volts between the two differ, states do not: where nothing comes to rest with the one, nothing does with the other, and no time course need be
played to say so.
"""

from collections import defaultdict
from math import inf

from ...arrangements import Lift
from ...ground.joined import leaders

SOUND = 1e-3        # ohm, of a joint that is good: which of them the bad one stands for makes no difference
BESIDES = 1.0       # ohm, of a poor contact, from where on the 2 mohm of the wire that stands for it are nothing beside it


def leading(circuit, candidates):
    """Return for each candidate that is a bad joint or contact the first with as many ohms in the same run, by their numbers; others are left out. [1]

    Parameters
    ----------
    circuit : Arrangement
        The healthy one.
    candidates : sequence of Candidate
    """
    runs, first, found = _runs(circuit), {}, {}
    for number, each in enumerate(candidates):
        run = runs.get(_where(circuit, each)) if each.grade not in (None, inf) else None
        if run and first.setdefault((run, each.grade), number) != number:
            found[number] = first[run, each.grade]
    return found


def _where(circuit, candidate):
    """Return the wire, or the branch of a part as its name and place, that a candidate puts ohms into; None for anything else. [text], [1]"""
    change = candidate.changes[0]
    if candidate.is_joint:
        wire = circuit.part(change.wire)
        return wire.name if max(wire.start_joint, wire.end_joint) <= SOUND else None
    if not isinstance(change, Lift) or candidate.grade < BESIDES:
        return None
    part = circuit.part(change.terminal.partition(":")[0])
    own = [order for order, branch in enumerate(part.branches()) if change.terminal in map(part.at, (branch.start, branch.end))]
    is_merged = any(change.terminal in map(part.at, group) for group in part.merged)
    return (part.name, own[0]) if len(own) == 1 and not is_merged else None


def _runs(circuit):
    """Return for each wire and branch one that stands for the run it lies in: of what carries the same current however contacts stand."""
    metal, ends = _metals(circuit), defaultdict(list)
    for wire in circuit.wires:
        for end in (wire.start, wire.end):
            ends[metal[end]].append(wire.name)
    for part in circuit.parts:
        for order, branch in enumerate(part.branches()):
            for end in map(part.at, (branch.start, branch.end)):
                ends[metal[end]].append((part.name, order))
    return leaders(dict.fromkeys(each for found in ends.values() for each in found), [tuple(found) for found in ends.values() if len(found) == 2])


def _metals(circuit):
    """Return for each terminal, and each point inside a part, one that stands for the metal it is on. [text]"""
    names = [part.at(end) for part in circuit.parts for end in (*part.terminals, *part.inner, *(each for branch in part.branches() for each in (branch.start, branch.end)))]
    return leaders(names, [(part.at(end), part.at(group[0])) for part in circuit.parts for group in part.merged for end in group[1:]])
