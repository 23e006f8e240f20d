"""Conditions over things that stand in one of several positions, as sums of products.

A control, a flasher or a relay that remembers is a variable with two or more
values. A term gives for some variables the values allowed; a condition is
true where at least one of its terms is. Rules and lamp logic both use it.
"""

from dataclasses import dataclass
from itertools import product

MOST_TERMS = 400   # beyond this a condition is only tidied, not made shortest


@dataclass(frozen=True)
class Condition:
    """A sum of products.

    Parameters
    ----------
    domain : tuple of (str, tuple of str)
        Every variable with all its values. [text]
    terms : tuple of dict of str to frozenset
        For each term the variables it looks at and the values it allows.
    """

    domain: tuple
    terms: tuple

    def __post_init__(self):
        object.__setattr__(self, "terms", _tidy(self.terms, dict(self.domain)))

    def __or__(self, other):
        return Condition(self.domain, self.terms + other.terms)

    def __and__(self, other):
        met = (_meet(one, two) for one, two in product(self.terms, other.terms))
        return Condition(self.domain, tuple(term for term in met if term is not None))

    def __invert__(self):
        values, found = dict(self.domain), always(self.domain)
        for term in self.terms:
            others = tuple({name: frozenset(values[name]) - allowed} for name, allowed in term.items())
            found &= Condition(self.domain, others)
        return found

    @property
    def is_never(self):
        """Whether no row fulfils it."""
        return not self.terms

    @property
    def is_always(self):
        """Whether every row fulfils it."""
        return covers(self.terms, {}, dict(self.domain))

    @property
    def variables(self):
        """The variables it looks at, in the order of the domain. [text]"""
        used = {name for term in self.terms for name in term}
        return tuple(name for name, _ in self.domain if name in used)

    def holds(self, where):
        """Tell whether it is true where every variable has the given value."""
        return any(all(where[name] in allowed for name, allowed in term.items()) for term in self.terms)

    def shortest(self):
        """Return the same condition with prime terms only, none of which could be left out.

        All prime terms come from repeated consensus; then, from the longest
        on, every term that the rest covers is dropped.
        """
        values, terms = dict(self.domain), list(self.terms)
        grown = True
        while grown and len(terms) <= MOST_TERMS:
            grown = False
            for one, two in product(tuple(terms), repeat=2):
                for name in set(one) & set(two):
                    bridge = _consensus(one, two, name, values)
                    if bridge is not None and not any(_within(bridge, term) for term in terms):
                        terms = [term for term in terms if not _within(term, bridge)] + [bridge]
                        grown = True
        rank = {name: place for place, (name, _) in enumerate(self.domain)}
        terms.sort(key=lambda term: (len(term), sorted((rank[name], sorted(allowed)) for name, allowed in term.items())))
        for term in reversed(tuple(terms)):
            rest = [other for other in terms if other is not term]
            if covers(rest, term, values):
                terms = rest
        return Condition(self.domain, tuple(terms))


def never(domain):
    """Return the condition that no row fulfils."""
    return Condition(domain, ())


def always(domain):
    """Return the condition that every row fulfils."""
    return Condition(domain, ({},))


def literal(domain, name, *values):
    """Return the condition that a variable has one of some values."""
    return Condition(domain, ({name: frozenset(values)},))


def covers(terms, where, values):
    """Tell whether at least one of the terms is true in every row inside the term ``where``."""
    left = [term for term in terms if _meet(term, where) is not None]
    if any(_within(where, term) for term in left):
        return True
    splitting = {name: None for term in left for name in term if len(where.get(name, values[name])) > 1}
    if not splitting:
        return False
    name = next(iter(splitting))
    return all(covers(left, {**where, name: frozenset({value})}, values) for value in where.get(name, values[name]))


def _tidy(terms, values):
    """Return terms without what is impossible, twice there, inside another, or allows everything."""
    clean = []
    for term in terms:
        term = {name: frozenset(allowed) for name, allowed in term.items() if len(allowed) < len(values[name])}
        if all(term.values()) and not any(_within(term, other) for other in clean):
            clean = [other for other in clean if not _within(other, term)] + [term]
    return tuple(clean)


def _within(small, big):
    """Tell whether every row of one term lies in another."""
    return all(name in small and small[name] <= allowed for name, allowed in big.items())


def _meet(one, two):
    met = dict(one)
    for name, allowed in two.items():
        met[name] = met[name] & allowed if name in met else allowed
        if not met[name]:
            return None
    return met


def _consensus(one, two, name, values):
    """Return the term that bridges two others over one variable, or None."""
    rest = _meet({other: allowed for other, allowed in one.items() if other != name},
                 {other: allowed for other, allowed in two.items() if other != name})
    if rest is None:
        return None
    union = one[name] | two[name]
    return rest if len(union) == len(values[name]) else {**rest, name: union}
