"""Which fuses a candidate blows, and in which rows: a fuse that blew stays so, and one in a row that nobody used is still whole.

A short behind a flasher's contact comes to no rest: the flasher's electronics lose their volts each time it comes on. In
truth the contact is closed for long enough, so such a row is looked at with every flasher held on.
"""

from itertools import combinations
from typing import NamedTuple

import numpy as np

from ...arrangements import Hold, changed
from ...solving.sweeping import Made, sweep
from .candidates import is_touching


class Blowing(NamedTuple):
    """Candidates with what they blow.

    Attributes
    ----------
    candidates : tuple of Candidate
        One that blows other fuses in other rows stands there once for each lot of them that may be gone by now.
    variants : list of Arrangement
        The healthy circuit first.
    danger, escaped : ndarray of bool, shape (candidates, rows)
        In which rows each shorts something; and in which a fuse would blow that is whole in it: that row was not used yet. [yes/no]
    lots : ndarray of int, shape (candidates,)
        The same number for what is one candidate with other fuses gone. [1]
    """

    candidates: tuple
    variants: list
    danger: object
    escaped: object
    lots: object


def after_blowing(circuit, rows, phases, candidates, variants, were_used=False):
    """Return the Blowing of candidates that were made.

    Parameters
    ----------
    circuit : Arrangement
        The healthy one.
    rows : sequence of dict of str to str
    phases : sequence of dict of str to str
    candidates : sequence of Candidate
    variants : sequence of Arrangement
        The healthy circuit first, then each candidate made.
    were_used : bool
        Whether every one of the rows was used, so that all is gone that may be. [yes/no]
    """
    suspects = [number for number, each in enumerate(candidates) if each.grade is None]
    gone, shorted = _gone(circuit, rows, phases, [variants[number + 1] for number in suspects],
                          [is_touching(candidates[number]) for number in suspects]) if suspects else ({}, None)
    place_of = {number: place for place, number in enumerate(suspects)}
    found, lots = Blowing([], [variants[0]], [np.zeros(len(rows), bool)], [np.zeros(len(rows), bool)], [-1]), -1
    for number, each in enumerate(candidates):
        own = {change.part for change in each.changes if getattr(change, "state", "") == "blown"}
        mine = {} if each.grade is not None else {name: here[place_of[number]] for name, here in gone.items()
                                                  if name not in own and here[place_of[number]].any()}
        danger = np.any([*mine.values(), shorted[place_of[number]]], axis=0) if number in place_of else found.danger[0]
        several = _lots(mine, were_used)
        for blown in several:
            one = each.after_blowing(blown, 1 / len(several))
            found.candidates.append(one)
            found.variants.append(one.apply(circuit) if blown else variants[number + 1])
            found.danger.append(danger)
            found.escaped.append(np.any([found.escaped[0], *(mine[name] for name in mine if name not in blown)], axis=0))
            found.lots.append(number)
    return Blowing(tuple(found.candidates), found.variants, np.array(found.danger), np.array(found.escaped), np.array(found.lots))


def _gone(circuit, rows, phases, variants, touching):
    """Return for each fuse in which rows it blows, shape (variants, rows), and where something is shorted that no fuse ends. [yes/no]"""
    found = sweep(circuit, rows, phases, [(Made(variant),) for variant in variants])
    fuses = [part.name for part in circuit.parts if part.guards and part.latching]
    gone = {name: (found.state(name) == "blown").reshape(found.shape).any(axis=2) for name in fuses}
    shorted = (found.verdicts == "shorted").reshape(found.shape).any(axis=2)
    stuck = ~found.is_settled.reshape(found.shape).all(axis=2) & np.array(touching)[:, None]
    held = [Hold(part.name, part.on_state) for part in circuit.parts if part.swings]
    restless = np.flatnonzero(stuck.any(axis=1)).tolist() if held else []
    if restless:
        on = sweep(circuit, rows, phases[:1], [(Made(changed(variants[number], *held)),) for number in restless])
        for name in fuses:
            gone[name][restless] |= (on.state(name) == "blown").reshape(on.shape)[:, :, 0] & stuck[restless]
        shorted[restless] |= (on.verdicts == "shorted").reshape(on.shape)[:, :, 0] & stuck[restless]
    return gone, shorted


def _lots(mine, were_used):
    """Return every lot of fuses that may be gone by now, from the rows in which each blows; one lot, empty, where none does. [text]"""
    whole = tuple(mine)
    if were_used or len(whole) < 2:
        return (whole,)
    rows = {tuple(name for name in whole if mine[name][row]) for row in range(len(next(iter(mine.values()))))} - {()}
    found = {}
    for count in range(1, len(rows) + 1):
        for some in combinations(sorted(rows), count):
            found[tuple(name for name in whole if any(name in each for each in some))] = True
    return tuple(found)
