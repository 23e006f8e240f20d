"""Contact ways: every way from plus through a lamp or a coil to minus, turned into conditions."""

from dataclasses import dataclass
from itertools import product

from ..arrangements.reachable import ways
from ..ground.joined import walked
from ..parts import Role
from .conditions import Condition, always, covers, never


@dataclass(frozen=True)
class Way:
    """One way through contacts by which a lamp can be lit.

    Attributes
    ----------
    names : tuple of str
        Wires and parts in order, the lamp among them. [text]
    contacts : tuple of str
        The contacts that must be closed, in words. [text]
    condition : Condition
        When they all are.
    """

    names: tuple
    contacts: tuple
    condition: Condition


class Finder:
    """Turns ways between terminals into conditions."""

    def __init__(self, arrangement):
        self.arrangement = arrangement
        self.plus, self.minus = arrangement.plus_and_minus
        self.domain = (*((control.name, control.positions) for control in arrangement.controls),
                       *((part.name, ("on", "off")) for part in arrangement.parts if part.paces),
                       *((part.name, ("released", "operated")) for part in arrangement.with_role(Role.COIL)),
                       *((part.name, ("off", "on")) for part in arrangement.parts if part.signals))

    def term(self, stretches):
        """Return what must hold for all stretches of a way to be closed, or None when that cannot be."""
        term, values = {}, dict(self.domain)
        for link in stretches:
            if link.closed_in is None:
                continue
            part = self.arrangement.part(link.name)
            name = getattr(part, "control", link.name)
            if name not in values:
                continue                       # a fuse, a lamp's own filament: whole unless held
            allowed = ({"on"} if part.paces else link.closed_in) & frozenset(values[name])
            term[name] = term.get(name, frozenset(values[name])) & allowed
            if not term[name]:
                return None
        return term

    def across(self, first, second):
        """Return ``[(term, stretches to first, stretches from second)]``: plus at the first, minus at the second."""
        def closable(so_far):
            return self.term(so_far) is not None

        feeds = ways(self.arrangement, self.plus, first, barred={self.minus}, fits=closable)
        returns = ways(self.arrangement, second, self.minus, barred={self.plus}, fits=closable) if feeds else ()
        joined = ((self.term((*feed, *back)), feed, back) for feed in feeds for back in returns)
        return [each for each in joined if each[0] is not None]

    def coil(self, relay):
        held = dict(self.arrangement.held).get(relay.name)
        if held:
            return never(self.domain) if held != "operated" else Condition(self.domain, ({},))
        return Condition(self.domain, tuple(term for term, *_ in self.fed(relay, Role.COIL)))

    def follower(self, part):
        """Return when what follows signals is on: its supply there, and its signals as it wants them."""
        held = dict(self.arrangement.held).get(part.name)
        if held:
            return always(self.domain) if any(branch.role is Role.CONTACT and branch.conducts(held) for branch in part.branches()) else never(self.domain)
        feeds = [self._joined(self.plus, part.at(signal), self.minus) for signal in part.signals]
        found = never(self.domain)
        for there in product((False, True), repeat=len(feeds)):
            if part.wanted(there):
                both = self._joined(part.at(part.supply[1]), self.minus, self.plus)
                for feed, is_there in zip(feeds, there):
                    both &= feed if is_there else ~feed
                found |= both
        return found & self._joined(self.plus, part.at(part.supply[0]), self.minus) if part.supply[0] else found

    def _joined(self, first, second, barred):
        """Return when contacts join one terminal to another."""
        terms = map(self.term, ways(self.arrangement, first, second, barred={barred}, fits=lambda way: self.term(way) is not None))
        return Condition(self.domain, tuple(term for term in terms if term is not None))

    def fed(self, part, role):
        """Return what :meth:`across` does of a part's first branch of a role, either way round unless it works one way only."""
        _, branch = part.first(role)
        ends = part.at(branch.start), part.at(branch.end)
        return self.across(*ends) + ([] if branch.is_one_way else self.across(*ends[::-1]))

    def lamp(self, lamp):
        """Return every way to light a lamp; an LED lamp only lights one way round, a blown lamp never."""
        if self.arrangement.is_gone(lamp.name):
            return []
        return [Way(tuple(dict.fromkeys((*(link.name for link in feed), lamp.name, *(link.name for link in back)))),
                    tuple(dict.fromkeys(filter(None, map(self.contact_words, (*feed, *back))))),
                    Condition(self.domain, (term,))) for term, feed, back in self.fed(lamp, Role.LOAD)]

    def contact_words(self, link):
        part, ends = self.arrangement.part(link.name), (link.start.partition(":")[2], link.end.partition(":")[2])
        where = f"{link.name}:{'-'.join(ends)}"
        if hasattr(part, "control") and link.closed_in is not None:
            positions = dict(self.domain)[part.control]
            return f"{where} ({part.control} {' or '.join(p for p in positions if p in link.closed_in)})"
        if part.paces:
            return f"{where} ({link.name} on)"
        if part.signals:
            return f"{where} ({link.name} on)"
        if part.first(Role.COIL):
            state = next(iter(link.closed_in)) if link.closed_in else dict(self.arrangement.held)[link.name]
            return f"{where} ({link.name} {state})"
        return where if link.one_way else ""


def telling(found):
    """Return the ways that tell something: shortest first, none that can never be or adds no row to one before it."""
    kept = []
    for way in sorted(found, key=lambda way: (len(way.contacts), len(way.names))):
        values = dict(way.condition.domain)
        if not way.condition.is_never and not any(
                all(covers(other.condition.terms, term, values) for term in way.condition.terms) for other in kept):
            kept.append(way)
    return tuple(kept)


# ------------------------------------------------------------------ relays that depend on relays

def without_each_other(relays):
    """Return the relays' formulas over controls and flashers, and the names of those that stay in them."""
    near = {name: [(1, other, None) for other in condition.variables if other in relays] for name, condition in relays.items()}
    remembering = [name for name in relays if name in walked([other for _, other, _ in near[name]], near)]
    done = dict(relays)
    for _ in relays:
        done = {name: put_in(condition, done, remembering) for name, condition in done.items()}
    return done, remembering


def put_in(condition, relays, remembering):
    """Return a condition with relays replaced by their formulas, save those that remember."""
    found, values = never(condition.domain), dict(condition.domain)
    for term in condition.terms:
        each = Condition(condition.domain, ({name: allowed for name, allowed in term.items()
                                                if name not in relays or name in remembering},))
        for name, allowed in term.items():
            if name in relays and name not in remembering:
                each &= relays[name] if allowed == {values[name][-1]} else ~relays[name]
        found |= each
    return found
