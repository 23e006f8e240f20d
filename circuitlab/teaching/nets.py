"""Connection lists as nets: which terminals are joined, whatever the order of the lines and the names of the wires.

Splices and chassis studs are one conductor each, so going by them or past
them makes no difference. The two ends of a fuse, lamp, resistor or plain
switch, and of a bare relay coil, may change places.
"""

import re
from dataclasses import dataclass, replace
from itertools import combinations, permutations

from ..ground.errors import ArrangementError, CircuitLabError
from ..parts import Role, Wire

_END = re.compile(r"(?<![\w:])([^\W\d_]+\d+):(\+|[-\N{MINUS SIGN}](?!\w)|\w+)")


@dataclass(frozen=True)
class Connections:
    """What somebody typed: for each line that says something its number and the terminals it joins."""

    lines: tuple

    @property
    def pairs(self):
        """Every join as (line number, terminal, terminal)."""
        return [(number, one, other) for number, ends in self.lines for one, other in zip(ends, ends[1:])]


def read_connections(text, arrangement):
    """Read lines such as ``F1:2 - S1:1``.

    Raises
    ------
    CircuitLabError
        For a line that does not name two terminals, or names one that is not there.
    """
    known, lines = {terminal.casefold(): terminal for terminal in arrangement.terminals}, []
    for number, line in enumerate(str(text).splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        ends = []
        for part, end in _END.findall(line):
            typed = f"{part}:{end}".replace("\N{MINUS SIGN}", "-")
            if typed.casefold() not in known:
                named = {name.casefold(): name for name in arrangement.by_name}.get(part.casefold(), part)
                try:
                    arrangement.check_terminal(f"{named}:{end}")
                except CircuitLabError as error:
                    raise ArrangementError(f"line {number}: {error}") from None
            ends.append(known[typed.casefold()])
        if len(ends) < 2 or len(set(ends)) < len(ends):
            raise ArrangementError(f"line {number}, '{line.strip()[:60]}', does not join two terminals. "
                                   "Write it like this: F1:2 - S1:1")
        lines.append((number, tuple(ends)))
    if not lines:
        raise ArrangementError("there is no connection yet. Write one to a line, like this: F1:2 - S1:1")
    return Connections(tuple(lines))


def of_wires(arrangement):
    """Return an arrangement's own wires as connections."""
    return Connections(tuple((number, (wire.start, wire.end)) for number, wire in enumerate(arrangement.wires, 1)))


def as_wired(arrangement, connections):
    """Return the arrangement with these connections in the place of its wires."""
    taken = {part.name for part in arrangement.parts}
    wires = [Wire(name, one, other) for name, (_, one, other) in
             zip((name for name in (f"W{n}" for n in range(1, 10000)) if name not in taken), connections.pairs)]
    return replace(arrangement, wires=wires, held=tuple(pair for pair in arrangement.held if pair[0] in taken))


def nets(arrangement, connections):
    """Return for every terminal of a device the number of its net; joined terminals share one."""
    net = {terminal: {terminal} for terminal in arrangement.terminals}
    groups = _conductors(arrangement)
    for joined in [*groups, *(pair[1:] for pair in connections.pairs)]:
        whole = set().union(*(net[terminal] for terminal in joined))
        net |= dict.fromkeys(whole, whole)
    inside = {terminal for group in groups for terminal in group}
    numbers = {id(whole): number for number, whole in enumerate(net.values())}
    return {terminal: numbers[id(whole)] for terminal, whole in net.items() if terminal not in inside}


def _conductors(arrangement):
    return [[f"{part.name}:{end}" for end in group] for part in arrangement.parts for group in part.metals.values()]


def turns(arrangement):
    """Return for each part whose ends may change places the exchange that does it: {part: {terminal: terminal}}."""
    found = {}
    for part in arrangement.parts:
        first = part.first(Role.COIL) or len(part.terminals) == 2 and not part.paces and part.first(Role.LOAD, Role.CONTACT)
        if first and not part.is_polar:
            one, other = (f"{part.name}:{end}" for end in (first[1].start, first[1].end))
            found[part.name] = {one: other, other: one}
    return found


def turned_to(arrangement, mine, theirs):
    """Return the theirs with ends exchanged so that it is mine, or as near as single exchanges bring it.

    Parameters
    ----------
    mine, theirs : dict of str to int
        Nets as :func:`nets` gives them.
    """
    best, near = theirs, agreement(mine, theirs)
    improved = True
    while improved and near < 1:
        improved = False
        for exchange in turns(arrangement).values():
            tried = {terminal: best[exchange.get(terminal, terminal)] for terminal in best}
            if (now := agreement(mine, tried)) > near:
                best, near, improved = tried, now, True
    return best if near == 1 else _searched(arrangement, mine, theirs) or best


def agreement(mine, theirs):
    """Return the share of the pairs joined in either that are joined in both. [1]"""
    pairs = [set(_joined(each)) for each in (mine, theirs)]
    return len(pairs[0] & pairs[1]) / (len(pairs[0] | pairs[1]) or 1)


def _joined(numbers):
    groups = {}
    for terminal, number in numbers.items():
        groups.setdefault(number, []).append(terminal)
    return [(one, other) for group in groups.values() for place, one in enumerate(group) for other in group[place + 1:]]


def _searched(arrangement, mine, theirs):
    """Try every exchange part by part, giving up a branch as soon as it disagrees; None when none fits."""
    exchanges = turns(arrangement)
    parts = sorted(dict.fromkeys(terminal.partition(":")[0] for terminal in mine), key=lambda name: name in exchanges)

    def fit(parts, nets, chosen):
        """Go on with the parts that are left; ``nets`` are the pairs of nets that must be one and the same."""
        if not parts:
            return chosen
        for exchange in ({}, exchanges[parts[0]]) if parts[0] in exchanges else ({},):
            own = [terminal for terminal in mine if terminal.partition(":")[0] == parts[0]]
            now = nets | {(mine[terminal], theirs[exchange.get(terminal, terminal)]) for terminal in own}
            if len(now) == len(dict(now)) == len({other for _, other in now}):
                found = fit(parts[1:], now, chosen | exchange)
                if found is not None:
                    return found
        return None

    chosen = fit(parts, frozenset(), {})
    return None if chosen is None else {terminal: theirs[chosen.get(terminal, terminal)] for terminal in theirs}


def findings(arrangement, wanted, connections):
    """Return where a list differs from the wanted connections: sentences that name terminals and lines.

    Nothing in them says what should be joined instead.
    """
    mine, theirs = nets(arrangement, wanted), nets(arrangement, connections)
    theirs = turned_to(arrangement, mine, theirs)
    named = {end for _, ends in connections.lines for end in ends}
    needed = [terminal for terminal in mine if sum(number == mine[terminal] for number in mine.values()) > 1]
    found = [f"{_spoken(arrangement, terminal)} is on no line." for terminal in needed if terminal not in named]
    if found:
        return found
    return _bridges(arrangement, mine, theirs, connections) or _gaps(mine, theirs, connections)


def _bridges(arrangement, mine, theirs, connections):
    """Say which lines make one net of terminals that belong apart; the shortest such way first."""
    found = []
    for one, other in combinations(sorted(theirs), 2):
        if theirs[one] == theirs[other] and mine[one] != mine[other]:
            lines, same = _way(arrangement, connections, one, other), one.partition(":")[0] == other.partition(":")[0]
            found.append((len(lines), not same, one, other, lines))
    if not found:
        return []
    _, apart, one, other, lines = min(found)
    which = (f"Line {lines[0]} makes" if len(lines) == 1 else
             f"These two lines are one net: {lines[0]} and {lines[1]} make" if len(lines) == 2 else
             f"Lines {', '.join(map(str, lines))} make" if lines else "Your lines make")
    after = f"one place of {one} and {other}" if apart else f"both ends of {one.partition(':')[0]} one place"
    return [f"{which} {after}. Shall the meter show 0 V between them at all times?"]


def _gaps(mine, theirs, connections):
    """Say where a net stops that should go on."""
    for one, other in permutations(mine, 2):
        if one < other and mine[one] == mine[other] and theirs[one] != theirs[other]:
            line = next((number for number, ends in connections.lines if one in ends), None)
            return [f"The net of {f'line {line}' if line else one} stops short. Put a finger on {one} and follow every line from "
                    "there: where should the current be able to go on?"]
    return []


def _way(arrangement, connections, start, goal):
    """Return the numbers of the lines on the shortest way between two terminals. [1]"""
    steps = {terminal: [] for terminal in arrangement.terminals}
    for number, one, other in connections.pairs:
        steps[one].append((other, number))
        steps[other].append((one, number))
    for group in _conductors(arrangement):
        for one in group:
            steps[one] += [(other, None) for other in group if other != one]
    seen, front = {start}, [(start, [])]
    while front:
        here, lines = front.pop(0)
        if here == goal:
            return list(dict.fromkeys(line for line in lines if line))
        for there, line in steps[here]:
            if there not in seen:
                seen.add(there)
                front.append((there, [*lines, line]))
    return []


def _spoken(arrangement, terminal):
    name, _, end = terminal.partition(":")
    return f"{arrangement.part(name).kind} {name} terminal {end}"
