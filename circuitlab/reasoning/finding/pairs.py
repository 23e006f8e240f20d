"""Pairs of faults, tried only where no single one agrees with what was told."""

from itertools import combinations

import numpy as np

from ...arrangements import Lift
from .candidates import Candidate
from .solved import Solved

FOR_EACH = 10       # repairs that explain each thing told best
MOST = 28           # repairs paired with each other
TOGETHER = 0.05     # odds that a second fault is there beside a first: the kit's own guess


def pairs_solved(everything, odds, found, rows, progress=None):
    """Return pairs of candidates, solved in the rows that were told of; their odds stand in ``share``.

    Parameters
    ----------
    everything : Solved
        The single candidates.
    odds : sequence of float, shape (candidates,)
        Before anything was told. [1]
    found : Posterior
        Of the single candidates.
    rows : sequence of dict of str to str
        Rows that were told of. [text]
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False, KeyboardInterrupt is raised. [1]
    """
    odds = np.asarray(odds) / np.sum(odds)
    chosen, arrangement = _chosen(everything, odds, found), everything.arrangement
    whole = [{control.name: row.get(control.name, control.positions[0]) for control in arrangement.controls} for row in (arrangement.positions(), *rows)]
    rows = {tuple(row.items()): row for row in whole}
    key = tuple(chosen), tuple(odds[chosen].tolist()), tuple(rows)
    if everything.last_pairs[0] != key:
        pairs = Solved(arrangement, list(_paired(everything, odds, chosen)), list(rows.values()), progress, were_used=True)
        pairs.observed = everything.observed        # the next pairs are mostly the same, and a time course is long
        everything.last_pairs = key, pairs
    return everything.last_pairs[1]


def _paired(everything, odds, chosen):
    """Yield every two of some candidates that ask for two repairs."""
    for one, other in combinations(chosen, 2):
        first, second = everything.candidates[one], everything.candidates[other]
        if first.repair == second.repair or {*first.place} & {*second.place} and first.sort == second.sort == "touching":
            continue
        yield _both(first, second, 2 * TOGETHER * float(odds[one] * odds[other]))


def _both(first, second, share):
    """Return two candidates as one. Where both are wires that chafe, the first may touch anywhere along it, the second only at its end. [1]"""
    first, second = sorted((first, second), key=lambda each: any(isinstance(change, Lift) for change in each.changes))    # it moves wires' ends
    return Candidate((*first.changes, *second.changes), f"{first.words}, and {second.words}", first.sort,
                     (*first.place, *second.place), f"{first.repair}; and {second.repair}", None, share,
                     tuple(dict.fromkeys((*first.blows, *second.blows))), (*first.light, *second.light), (*first.behind, *second.behind),
                     first.chafed or second.chafed)


def _chosen(everything, odds, found):
    """Return the numbers of candidates worth pairing: for each thing told those that explain it best, one for each repair. [1]"""
    chosen = {}
    for fit in found.fit:
        ranked, seen = np.argsort(-(np.log(odds) + fit), kind="stable"), set()
        for number in ranked:
            repair = everything.candidates[number].repair
            if repair not in seen:
                seen.add(repair)
                chosen[int(number)] = chosen.get(int(number), 0) + 1
            if len(seen) == FOR_EACH:
                break
    return sorted(chosen, key=lambda number: -chosen[number])[:MOST]
