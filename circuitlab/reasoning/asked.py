"""What a rule asks of an arrangement: its sentences, laid over the lamps and terminals that are there."""

from itertools import product
from math import prod

from ..arrangements import Wanted
from ..arrangements.rows import check_number
from ..arrangements.sentences import in_quotes
from ..arrangements.unknown import no_lamp
from ..ground.errors import ArrangementError, UnknownName, in_short, listed, unknown_name
from ..parts import Lamp
from .conditions import always, never
from .reading import LAMP_CHOICES, TERMINAL_CHOICES, WORDS, Reader, bare, read_sentence


def asked_of(arrangement, asked):
    """Return the lines of a record that a rule makes for an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    asked : Rule

    Returns
    -------
    list of Wanted
    """
    domain = tuple((control.name, control.positions) for control in arrangement.controls)
    spoken, wanted = {}, []
    for sentence in asked.sentences:
        places, choices = read_sentence(sentence)
        names = [name for place in places for name in _named(arrangement, asked, place, sentence)]
        if not names:
            continue
        _check_looks(names, choices, sentence)
        choices = [(look, _condition(arrangement, asked, words, domain, sentence)) for look, words in choices]
        _check_reach(choices, sentence, asked.if_fitted)
        for name in names:
            before = spoken.setdefault(name, [])
            for other in before:
                _check_agree(name, other, (sentence, choices), domain)
            if not before or ":" in name:      # what was said of a lamp holds for every row, of a terminal for some
                wanted += _wanted(name, choices)
            before.append((sentence, choices))
    return wanted


def lamp_list(arrangement, names=None):
    """Return the lamps of an arrangement, all or those named, with their places, in words. [text]"""
    return listed(f"{lamp.name} ({lamp.place})" if lamp.place else lamp.name for lamp in arrangement.of_kind(Lamp) if names is None or lamp.name in names)


def place_of(arrangement, name):
    """Return how a sentence calls a lamp or a terminal, a lamp by its place where it stands there alone. [text]"""
    part, colon, end = name.partition(":")
    if colon:
        return name if bare(part) and bare(end) else in_quotes(name)
    place = arrangement.part(name).place
    alone = sum(place.lower() == other.place.lower() for other in arrangement.of_kind(Lamp)) == 1
    said = place if place and alone and bare(place) and place not in arrangement.by_name else name
    return said if bare(said) else in_quotes(said)


def _named(arrangement, asked, place, sentence):
    """Return the lamps, or the one terminal, that a place stands for; nothing where that is not fitted and need not be."""
    lamps = arrangement.of_kind(Lamp)
    found = [lamp.name for lamp in lamps if place == lamp.name]
    found = found or [lamp.name for lamp in lamps if place.lower() == lamp.place.lower()]
    if found:
        return found
    said = in_short(sentence)
    try:
        if ":" in place:
            return [arrangement.check_terminal(place)]
    except UnknownName as error:
        if asked.if_fitted:
            return []
        raise UnknownName(f"'{said}': {error.sentence}", **error.pieces) from None
    if asked.if_fitted:
        return []
    where = f"'{said}': arrangement '{arrangement.name or arrangement.title}'"
    if place in arrangement.by_name:
        raise no_lamp(where, arrangement.part(place), [lamp.place or lamp.name for lamp in lamps])
    raise unknown_name(where, "lamp", place, [lamp.place or lamp.name for lamp in lamps])


def _check_looks(names, choices, sentence):
    """Raise for a look that a lamp, or a terminal, does not have."""
    for name in names:
        kind, allowed = ("terminal", TERMINAL_CHOICES) if ":" in name else ("lamp", LAMP_CHOICES)
        for look, _ in choices:
            if look not in allowed.values():
                raise ArrangementError(f"'{in_short(sentence)}': the {kind} '{name}' cannot be {look}. "
                                       f"A {kind} may be {', '.join(list(allowed)[:-1])} or {list(allowed)[-1]}.")


def _condition(arrangement, asked, words, domain, sentence):
    if words is None:
        return always(domain)
    meanings = {**WORDS, **asked.words}
    return Reader(arrangement, meanings, domain, sentence).read(words)


def _check_reach(choices, sentence, if_fitted):
    """Raise for a choice that can never count because those before it, or it alone, leave no row."""
    before, said = never(choices[0][1].domain), in_short(sentence)
    for order, (look, condition) in enumerate(choices):
        if condition.is_never and not if_fitted:
            raise ArrangementError(f"'{said}' contradicts itself: the condition of '{look}' can never be true.")
        if order and (condition & ~before).is_never and not condition.is_never:
            raise ArrangementError(f"'{said}' contradicts itself: choice {order + 1} ({look}) can never count, "
                                   "the choices before it take every row. Change their order, or drop it.")
        before |= condition


def _check_agree(lamp, first, second, domain):
    """Raise when two sentences ask different things of a lamp, or of a terminal, in some row."""
    rests = {name: values[0] for name, values in domain}
    used = {name for _, choices in (first, second) for _, condition in choices for name in condition.variables}
    spoken = [(name, values) for name, values in domain if name in used]
    check_number(prod(len(values) for _, values in spoken), f"two lines speak about {lamp} in", "together", "compared")
    for row in product(*(values for _, values in spoken)):
        where = rests | dict(zip((name for name, _ in spoken), row))
        looks = [next((look for look, condition in choices if condition.holds(where)), None if ":" in lamp else "dark")
                 for _, choices in (first, second)]
        if looks[0] != looks[1] and None not in looks:
            said = ", ".join(f"{name} {value}" for name, value in where.items())
            one, other = in_short(first[0]), in_short(second[0])
            raise ArrangementError(f"two lines contradict each other about {lamp}: with {said}, '{one}' asks for "
                                   f"{looks[0]} and '{other}' for {looks[1]}. Keep one of them.", part=lamp)


def _wanted(lamp, choices):
    """Yield the lines of a record: one for each term, and position, of each choice."""
    choices = [(look, condition) for look, condition in choices if not condition.is_never]
    while choices and choices[-1][0] == "dark":
        choices = choices[:-1]     # dark is what is left anyway
    if not choices and ":" not in lamp:
        yield Wanted(lamp, "dark")
    for look, condition in choices:
        for term in condition.shortest().terms:
            names = [name for name, _ in condition.domain if name in term]
            for values in product(*([value for value in dict(condition.domain)[name] if value in term[name]]
                                    for name in names)):
                yield Wanted(lamp, look, tuple(zip(names, values)))
