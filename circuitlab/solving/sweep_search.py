"""Cases that go in circles, searched with one part moving at a time.

The same search as that of a single operating point, over all such cases
together and breadth first: every state that one part's move can lead to is
looked at, all cases' states of one depth solved side by side. A state nobody
wants to leave is stable. If a case can reach none, it buzzes, and where relays
are slow, time tells whether it is chatter; if one, that is its answer; if
several, time or chance decides, for each case alone.
"""

import numpy as np

from .buzzing import leading
from .deciding import verdict_by_times
from .settling import SEARCH

VERDICTS = ("settled", "tripping", "shorted", "buzzing", "chatter", "several stable")


def search(rounds, cases, codes, aims):
    """Search on from the given states, and write down each case's verdict.

    Parameters
    ----------
    rounds : _Rounds
    cases : ndarray of int, shape (circling,)
        The cases that circle. [1]
    codes, aims : ndarray of int, shape (parts, circling)
        Where each was when it came round. [1]

    Returns
    -------
    list of int
        Cases to be solved alone: with more states than the search will look at, or where time decides, because several
        are stable, or none and relays are slow.
    """
    stable, met, movers = _stable(rounds, cases, codes, aims)
    count = np.array([len(found) for found in stable], int)
    parts = [[*map(rounds.slowest, each)] for each in movers]
    called = np.array([verdict_by_times(leading(each)) for each in parts], object)
    in_doubt = np.array([_hang_on_time(rounds, each) for each in parts], bool)
    called[in_doubt] = "buzzing"
    done = np.array([len(states) <= SEARCH for states in met], bool) & ((count > 0) | (called != ""))
    outcome = rounds.outcome
    restless = done & (count == 0)
    outcome.codes[:, cases[restless]], outcome.in_doubt[cases[restless]] = codes[:, restless], in_doubt[restless]
    outcome.verdicts[cases[restless]] = list(map(VERDICTS.index, called[restless]))
    single = np.flatnonzero(done & (count == 1))
    if len(single):
        columns = [np.array([stable[case][0][half] for case in single]).T for half in (0, 1)]
        look, every = rounds.look(cases[single], *columns), np.arange(len(single))
        outcome.in_doubt[cases[single]] = rounds.hang_on_warmth(every, rounds.variants[cases[single]], columns[0], look)
        rounds.finish(cases[single], *columns, look, every)
    return list(cases[~done | (count > 1)])


def _hang_on_time(rounds, parts):
    """Tell whether a course must say what these parts that find no rest do: a flasher, and relays it may move."""
    return any(part.swings for part in parts) and any(not part.swings for _, part, _ in rounds.net.moving)


def _stable(rounds, cases, codes, aims):
    """Return the stable states each case can reach, as ``(codes, aims)``, the keys of all it can reach, and who moves."""
    met, movers, stable, owner = [set() for _ in cases], [set() for _ in cases], [[] for _ in cases], np.arange(len(cases))
    while len(owner):
        fresh = []
        for column, case in enumerate(owner):
            key = codes[:, column].tobytes() + aims[:, column].tobytes()
            if key not in met[case] and len(met[case]) <= SEARCH:
                met[case].add(key)
                fresh.append(column)
        owner, codes, aims = owner[fresh], codes[:, fresh], aims[:, fresh]
        if not fresh:
            break
        look = rounds.look(cases[owner], codes, aims)
        for column in np.flatnonzero(~look.moves):
            stable[owner[column]].append((codes[:, column], aims[:, column]))
        ahead = [np.flatnonzero((look.codes[index] != codes[index]) | (look.aims[index] != aims[index]))
                 for index, *_ in rounds.net.moving]
        moved = [(columns, codes[:, columns], aims[:, columns]) for columns in ahead]
        for (index, *_), (columns, new_codes, new_aims) in zip(rounds.net.moving, moved):
            for case in set(owner[columns].tolist()):
                movers[case].add(index)
            new_codes[index], new_aims[index] = look.codes[index, columns], look.aims[index, columns]
        owner = np.concatenate([owner[columns] for columns, *_ in moved])
        codes, aims = (np.concatenate([each[half] for each in moved], axis=1) for half in (1, 2))
    return stable, met, movers
