"""The other side of a circuit: which part, wire, terminal and position on the right is which on the left, where both are wired alike."""

import re
from dataclasses import dataclass, fields

import networkx as nx
from networkx.algorithms.isomorphism import GraphMatcher, categorical_edge_match, categorical_node_match

from ..parts import Lamp
from .pairs import across

ROUNDS = 16         # nodes away, up to which what lies around a node tells what it is
_WORDS = ("name", "place", "note", "control", "closes", "start", "end", "colour", "seat", "out", "signals", "way")       # fields that say nothing of what a part or wire is


@dataclass(frozen=True)
class Mirror:
    """What of a circuit is what on its other side.

    Attributes
    ----------
    names : dict of str to str
        Of parts and wires. [text]
    ends : dict of str to str
        Of terminals. [text]
    positions : dict of (str, str) to (str, str)
        Of controls. [text]
    """

    names: dict
    ends: dict
    positions: dict

    def row(self, positions):
        """Return the row on the other side. [text]"""
        other = dict(self.positions[each] for each in positions.items())
        return {name: other[name] for name in positions}

    @property
    def pairs(self):
        """Return what is called otherwise on the other side, each pair once: parts and wires, and terminals that do not follow from them. [text]"""
        ends = [(end, there) for end, there in self.ends.items() if there != f"{self.names[end.partition(':')[0]]}:{end.partition(':')[2]}"]
        found = [(here, there) for here, there in [*self.names.items(), *ends] if here != there]
        return tuple(sorted({tuple(sorted(pair, key=_order)) for pair in found}, key=lambda pair: _order(pair[0])))


def mirror(arrangement):
    """Return the Mirror of an arrangement, or None where its sides are not wired alike or there are none.

    A lamp is the other side's by its place; all else by how it is wired, with the same values.

    >>> import circuitlab as cl
    >>> mirror(cl.arrangement("separate-filaments")).names["E1"]
    'E2'
    """
    places = {lamp.place for lamp in arrangement.of_kind(Lamp)}
    if all(across(place) == place for place in places) or {*map(across, places)} != places:
        return None
    here, there = _graph(arrangement, str), _graph(arrangement, across)
    matcher = GraphMatcher(here, there, categorical_node_match("is", None), categorical_edge_match("at", None))
    found = next(matcher.isomorphisms_iter(), None)
    if found is None:
        return None
    kinds = {kind: {own[1:]: other[1:] for own, other in found.items() if own[0] == kind} for kind in ("name", "end", "position")}
    return Mirror(*({own[0]: other[0] for own, other in kinds[kind].items()} for kind in ("name", "end")), kinds["position"])


def _order(name):
    """Sort names as they are counted: W9 before W14, and left before right. [text]"""
    part, _, end = name.partition(":")
    stem, number = re.fullmatch(r"(\D*)(\d*).*", part).groups()
    return (bool(end), stem, int(number or 0), part, end not in ("L", "SL", "L54", "Lt"), end)


def _graph(arrangement, place):
    """Return a circuit as a graph of what it is made of, without its names; lamps have their place."""
    graph = nx.Graph()
    rest = arrangement.positions()
    for control in arrangement.controls:
        graph.add_node(("control", control.name), **{"is": "control"})
        for position in control.positions:
            graph.add_node(("position", control.name, position), **{"is": ("position", position == rest[control.name])})
            graph.add_edge(("control", control.name), ("position", control.name, position), at="")
    for part in arrangement.parts:
        lamp = (place(part.place),) if isinstance(part, Lamp) else ()
        graph.add_node(("name", part.name), **{"is": (type(part).__name__, _values(part), *lamp)})
        for end in part.terminals:
            graph.add_node(("end", f"{part.name}:{end}"), **{"is": "end"})
            graph.add_edge(("name", part.name), ("end", f"{part.name}:{end}"), at="")
        for number, branch in enumerate(part.branches()):
            _add_branch(graph, part, number, branch)
    for wire in arrangement.wires:
        graph.add_node(("name", wire.name), **{"is": ("wire", _values(wire))})
        for end in wire.terminals:
            graph.add_edge(("name", wire.name), ("end", end), at="")
    nx.set_node_attributes(graph, {node: f"{what}" for node, what in graph.nodes(data="is")}, "is")
    hashes = nx.weisfeiler_lehman_subgraph_hashes(graph, edge_attr="at", node_attr="is", iterations=ROUNDS)
    nx.set_node_attributes(graph, {node: each[-1] for node, each in hashes.items()}, "is")      # what lies around it: leaves the matcher little to try
    return graph


def _add_branch(graph, part, number, branch):
    control, node = getattr(part, "control", None), ("branch", part.name, number)
    states = branch.closed_in if control is None else None
    graph.add_node(node, **{"is": ("branch", branch.role, round(branch.resistance, 9), branch.voltage, states and tuple(sorted(states)))})
    if part.seat:
        graph.add_edge(node, ("name", part.name), at="")
    for side in ("start", "end"):
        end = getattr(branch, side)
        place = ("end", part.at(end)) if end in part.terminals or part.seat else ("inner", part.name, end)
        if place not in graph:
            graph.add_node(place, **{"is": "inner"})
        graph.add_edge(node, place, at=side)
    for state in branch.closed_in or () if control is not None else ():
        graph.add_edge(node, ("position", control, state), at="")


def _values(part):
    """Return the values of a part or wire, not its names. [text]"""
    return tuple(repr(getattr(part, each.name)) for each in fields(part) if each.name not in _WORDS)
