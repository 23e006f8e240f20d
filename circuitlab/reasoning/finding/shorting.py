"""Which fuses a candidate blows, and in which rows: a fuse that blew stays so, and one in a row that nobody used is still whole.

A short behind a flasher's contact comes to no rest: the flasher's electronics lose their volts each time it comes on. In
truth the contact is closed for long enough, so such a row is looked at with every flasher held on.
"""

from itertools import combinations
from typing import NamedTuple

import numpy as np

from ...arrangements import Hold, changed
from ...parts.converter import CUT_OFF
from ...solving.sweeping import Made, sweep
from .candidates import is_touching
from .fuses_told import feeding_fuses

NOT_IN_TIME = 0.5       # of shorts that a converter cuts off, those that have blown the fuse ahead of it first: makers differ, the kit's own guess
TOO_LATE = ", and the converter did not cut off in time"

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
    goes : dict of str to ndarray of bool, shape (candidates, rows)
        For each fuse in which rows each blows it. [yes/no]
    sweep : Sweep or None
        In which those that may blow a fuse were solved before any has.
    solved_there : dict of int to int
        Of variants that stand here as they were solved there, by their numbers, which ones they are there. [1]
    cut : ndarray of bool, shape (candidates,)
        Which of them a converter cuts off in some row. [yes/no]
    """

    candidates: tuple
    variants: list
    danger: object
    escaped: object
    lots: object
    goes: dict
    sweep: object = None
    solved_there: dict | None = None
    cut: object = None


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
    gone, shorted, cut, swept = _gone(circuit, rows, phases, [variants[number + 1] for number in suspects],
                                 [is_touching(candidates[number]) for number in suspects]) if suspects else ({}, None, {}, None)
    place_of = {number: place for place, number in enumerate(suspects)}
    found, lots = Blowing([], [variants[0]], [np.zeros(len(rows), bool)], [np.zeros(len(rows), bool)], [-1], {}, swept, {}, [False]), -1
    for number, each in enumerate(candidates):
        own = {change.part for change in each.changes if getattr(change, "state", "") == "blown"}
        may = number in place_of
        mine, late = ({name: here[place_of[number]] for name, here in which.items() if may and name not in own and here[place_of[number]].any()}
                      for which in (gone, cut))
        danger = np.any([*mine.values(), shorted[place_of[number]]], axis=0) if may else found.danger[0]
        for blown, share, words in _ways_out(_lots(mine, were_used), tuple(name for name in late if name not in mine)):
            one = each.after_blowing(blown, share, words)
            found.candidates.append(one)
            found.variants.append(one.apply(circuit) if blown else variants[number + 1])
            if may and not blown:
                found.solved_there[len(found.candidates)] = place_of[number]
            found.danger.append(np.any([danger, *late.values()], axis=0) if words else danger)
            found.escaped.append(np.any([found.escaped[0], *(mine[name] for name in mine if name not in blown)], axis=0))
            found.lots.append(number)
            found.cut.append(bool(late))
            for name, here in {**mine, **(late if words else {})}.items():
                found.goes.setdefault(name, {})[len(found.candidates)] = here
    return Blowing(tuple(found.candidates), found.variants, np.array(found.danger), np.array(found.escaped), np.array(found.lots),
                   {name: _filled(here, (len(found.variants), len(rows))) for name, here in found.goes.items()}, swept, found.solved_there, np.array(found.cut))


def _filled(lines, shape):
    """Return an array with some lines by their numbers, and nothing elsewhere. [yes/no]"""
    found = np.zeros(shape, bool)
    for number, line in lines.items():
        found[number] = line
    return found


def _gone(circuit, rows, phases, variants, touching):
    """Return for each fuse in which rows it blows, shape (variants, rows), where something is shorted that no fuse ends, and for each fuse
    ahead of a converter in which rows that cuts a short off: the fuse may have been sooner. [yes/no] And the Sweep of them.
    """
    found = sweep(circuit, rows, phases, [(Made(variant),) for variant in variants])
    fuses = [part.name for part in circuit.parts if part.guards and part.latching]
    gone = {name: (found.state(name) == "blown").reshape(found.shape).any(axis=2) for name in fuses}
    shorted = (found.verdicts == "shorted").reshape(found.shape).any(axis=2)
    stuck = ~found.is_settled.reshape(found.shape).all(axis=2) & np.array(touching)[:, None]
    held = [Hold(part.name, part.on_state) for part in circuit.parts if part.swings]
    restless = np.flatnonzero(stuck.any(axis=1)).tolist() if held else []
    if restless:
        still = {number: changed(variants[number], *held) for number in restless}
        which = stuck.nonzero()
        on = sweep([(still[number], rows[row], phases[0]) for number, row in zip(*(each.tolist() for each in which))])
        for name in fuses:
            gone[name][which] |= on.state(name) == "blown"
        shorted[which] |= on.verdicts == "shorted"
    return gone, shorted, _cut_off(circuit, found), found


def _cut_off(circuit, found):
    """Return for each fuse right ahead of a powered converter in which rows a channel of that has cut off, shape (variants, rows). [yes/no]"""
    rows = {}
    for converter, fuses in feeding_fuses(circuit).items():
        channels = [each.name for each in circuit.part(converter).seats if CUT_OFF in each.states]
        for fuse in fuses if channels else ():
            rows[fuse] = np.any([(found.state(name) == CUT_OFF).reshape(found.shape).any(axis=2) for name in channels], axis=0)
    return rows


def _ways_out(lots, late):
    """Return what of fuses may be gone by now, each with its share and words: in lots, and where a converter cut off too late, with those ahead of it. [text], [1]"""
    share = 1 / len(lots)
    if not late:
        return [(lot, share, "") for lot in lots]
    return [each for lot in lots for each in ((lot, (1 - NOT_IN_TIME) * share, ""), ((*lot, *late), NOT_IN_TIME * share, TOO_LATE))]


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
