"""What can be reached from where: ways through wires and contacts, and the fewest things that cut them.

Loads (lamps, coils, resistors, electronics, the battery) are no ways here;
diodes are one-way. Ways are found in plain Python; networkx is asked for cuts
only, and imported then.
"""

from dataclasses import dataclass
from math import inf

from ..ground.errors import ArrangementError
from ..ground.joined import reached
from ..parts import Battery

MOST_WAYS = 20_000


@dataclass(frozen=True)
class Link:
    """One stretch between two terminals that is no load.

    Attributes
    ----------
    name : str
        Part or wire. [text]
    start, end : str
        Terminals. [text]
    closed_in : frozenset of str or None
        States of the part in which it conducts; None when it always does. [text]
    one_way : bool
        Whether current passes from start to end only.
    """

    name: str
    start: str
    end: str
    closed_in: frozenset | None = None
    one_way: bool = False

    def turned(self):
        """Return the same stretch from its other end."""
        return Link(self.name, self.end, self.start, self.closed_in, self.one_way)


def links(arrangement, states=None):
    """Return every stretch that is no load, wires and merged metal included.

    Parameters
    ----------
    arrangement : Arrangement
    states : dict of str to str, optional
        States of parts; then only what conducts in them is returned. [text]
    """
    held, found = dict(arrangement.held), []
    for part in arrangement.parts + arrangement.wires:
        state = (states or {}).get(part.name, held.get(part.name))
        for branch in part.branches():
            if not branch.can_pass or state is not None and not branch.conducts(state):
                continue
            start, end = map(part.at, (branch.start, branch.end))
            found.append(Link(part.name, start, end, None if state is not None else branch.closed_in, branch.is_one_way))
        for group in part.merged:
            found += [Link(part.name, f"{part.name}:{one}", f"{part.name}:{two}")
                      for number, one in enumerate(group) for two in group[number + 1:]]
    return tuple(found)


def ways(arrangement, start, end, states=None, barred=(), fits=None):
    """Return every way from one terminal to another that meets no point twice; a splice is one point.

    Parameters
    ----------
    arrangement : Arrangement
    start, end : str
        Terminals such as ``"G1:+"``. [text]
    states : dict of str to str, optional
        Only ways that are closed in these states; any contact may be passed unless given. [text]
    barred : iterable of str
        Terminals not to be passed. [text]
    fits : callable, optional
        Given the stretches so far, tells whether they can all be closed together; a way that cannot is not followed.

    Returns
    -------
    tuple of tuple of Link
        Each way's stretches in order; a splice or block is passed in one stretch.

    Raises
    ------
    ArrangementError
        When there are more than 20 000 ways.
    """
    for terminal in (start, end):
        arrangement.check_terminal(terminal)
    near = _beside(links(arrangement, states))
    metal = {f"{part.name}:{end}": part.name for part in arrangement.parts for group in part.merged for end in group}
    found, so_far, passed = [], [], set(barred) | {metal.get(start, start)}

    def walk(here):
        if here == end:
            found.append(tuple(so_far))
            if len(found) > MOST_WAYS:
                raise ArrangementError(f"more than {MOST_WAYS} ways lead from {start} to {end}. "
                                       "Ask between nearer terminals, or for given states.")
            return
        for link in near.get(here, ()):
            point = metal.get(link.end, link.end)
            inside = metal.get(here) == point                 # through a splice: one point, passed in one stretch
            if inside and so_far and so_far[-1].name == link.name or not inside and point in passed:
                continue
            if link.end in barred:
                continue
            so_far.append(link)
            if fits is None or link.closed_in is None or fits(so_far):
                passed.add(point)
                walk(link.end)
                if not inside:
                    passed.discard(point)
            so_far.pop()

    walk(start)
    return tuple(found)


def is_joined(arrangement, start, end, states=None):
    """Tell whether any way leads from one terminal to another."""
    arrangement.check_terminal(start)
    arrangement.check_terminal(end)
    return end in _reached(links(arrangement, states), start)


def live_and_ground_ends(arrangement, first, second, without=()):
    """Return two terminals as the one that only a battery's plus can reach and the one that reaches only a minus.

    Asked over wires, metal, fuses and contacts in every position, and over diodes with the current.

    Parameters
    ----------
    arrangement : Arrangement
    first, second : str
        Terminals, such as the ends of a coil. [text]
    without : iterable of str
        Parts that do not count as a way. [text]

    Returns
    -------
    tuple of str or None
        None where either could be on both sides, or is on none.
    """
    open_to = [link for link in links(arrangement) if link.name not in without]
    batteries, sides = [part.name for part in arrangement.of_kind(Battery)], []
    for end in (first, second):
        fed_from, feeds = _reached([link.turned() for link in open_to], end), _reached(open_to, end)
        sides.append((any(f"{name}:+" in fed_from for name in batteries), any(f"{name}:-" in feeds for name in batteries)))
    return {((True, False), (False, True)): (first, second), ((False, True), (True, False)): (second, first)}.get(tuple(sides))


def _beside(open_to):
    """Return for every terminal the stretches that lead current away from it. [text]"""
    near = {}
    for link in open_to:
        near.setdefault(link.start, []).append(link)
        near.setdefault(link.end, []).extend([] if link.one_way else [link.turned()])
    return near


def _reached(open_to, start):
    """Return every terminal that current from one can come to over these stretches. [text]"""
    near = {here: [link.end for link in away] for here, away in _beside(open_to).items()}
    return reached({start: []} | near, start)


def cut(arrangement, start, end, states=None):
    """Return a smallest set of wires and contacts whose opening leaves no way from one terminal to another.

    Splices and chassis metal cannot be opened.

    Parameters
    ----------
    arrangement : Arrangement
    start, end : str
        Terminals. [text]
    states : dict of str to str, optional
        Only what conducts in these states counts. [text]

    Returns
    -------
    tuple of Link
        Empty when no way leads there anyway.

    Raises
    ------
    ArrangementError
        When nothing that could be opened lies between them.
    UnknownName
        For a terminal that is not there.
    """
    import networkx

    if not is_joined(arrangement, start, end, states):
        return ()
    graph, all_links = networkx.DiGraph(), links(arrangement, states)
    for number, link in enumerate(all_links):
        graph.add_edge((number, "in"), (number, "out"), capacity=inf if arrangement.part(link.name).is_metal else 1)
        for one, two in ((link.start, link.end), (link.end, link.start))[:1 if link.one_way else 2]:
            graph.add_edge(one, (number, "in"), capacity=inf)
            graph.add_edge((number, "out"), two, capacity=inf)
    try:
        _, (near, _) = networkx.minimum_cut(graph, start, end)
    except networkx.NetworkXUnbounded:
        raise ArrangementError(f"nothing that could be opened lies between {start} and {end}.") from None
    return tuple(link for number, link in enumerate(all_links)
                 if (number, "in") in near and (number, "out") not in near)
