"""Lamp logic as formula, as sentence and as contact path, and what the volts say otherwise."""

from .grid import Grid
from .style import named, safe
from .tables import positions_words


def formula(condition):
    """Return a condition as a formula: a dot for and, a plus for or, a bar before for not.

    >>> from circuitlab.reasoning.conditions import Condition
    >>> domain = (("key", ("off", "on")), ("lever", ("off", "left", "right")), ("K9", ("on", "off")))
    >>> one = formula(Condition(domain, ({"key": frozenset({"on"}), "lever": frozenset({"off", "right"})},)))
    >>> one == "key \N{MIDDLE DOT} \N{NOT SIGN}lever[left]"
    True
    >>> formula(Condition(domain, ()))
    '0'
    """
    if condition.is_never:
        return "0"
    return " + ".join(" · ".join(_symbol(name, allowed, dict(condition.domain)[name])
                                 for name, allowed in _ordered(condition, term)) or "1" for term in condition.terms)


def lit_when(condition):
    """Return a condition in words: ``lit with key on and turn lever left, or with hazard on``."""
    if condition.is_never:
        return "never lit"
    values = dict(condition.domain)
    said = []
    for term in condition.terms:
        facts = [f"{name} {_words(allowed, values[name])}" for name, allowed in _ordered(condition, term)]
        said.append("with " + ", ".join(facts[:-1]) + (" and " if facts[:-1] else "") + facts[-1] if facts else "always")
    return "lit " + ", or ".join(said)


def logic_text(logic):
    """Return the logic of an arrangement as plain text: for each lamp its formula, sentence and contact paths."""
    said = [logic.arrangement.title, ""]
    if logic.relays:
        said += [f"{name} {dict(condition.domain)[name][-1]} = {formula(condition)}" for name, condition in logic.relays.items()] + [""]
    for one in logic.lamps:
        part = logic.arrangement.part(one.lamp)
        said += [f"{one.lamp} = {formula(one.condition)}", f"  {named(part)}: {lit_when(one.condition)}."]
        said += [f"  by {_way_words(way)}" for way in one.ways]
    return "\n".join(said + ["", *_compared_lines(logic)])


def logic_html(logic):
    """Return the logic of an arrangement as an HTML table, with what the volts say otherwise below it."""
    rows = [(named(logic.arrangement.part(one.lamp)), formula(one.condition), lit_when(one.condition),
             "\n".join(map(_way_words, one.ways))) for one in logic.lamps]
    lines = "".join(f"<li>{safe(line)}</li>" for line in _compared_lines(logic))
    return Grid(logic.arrangement.title, ("lamp", "formula", "sentence", "contact paths"), rows).html() + f"<ul>{lines}</ul>"


def _compared_lines(logic):
    """Say what comparing with the solver showed, and each difference. [text]"""
    said = []
    if logic.remembering:
        said += [f"{name} is fed only while it is released, so it undoes its own move and buzzes." if name in logic.undoing
                 else f"{name} holds itself or waits for one that does: what it does depends on what was before."
                 for name in logic.remembering]
    if logic.compared:
        count = len(logic.differences)
        said.append(f"Solved in {logic.compared} rows and phases: " + ("volts agree with the contacts in all of them."
                    if not count else f"{count} {'difference' if count == 1 else 'differences'} from the contacts."))
    for one in logic.differences:
        phases = "".join(f", {name} {phase}" for name, phase in one.phases.items())
        said.append(f"{positions_words(one.positions)}{phases}: {one.sentence}.")
    return said


def _way_words(way):
    return f"{', '.join(way.contacts) or 'no contact'} [{' '.join(way.names)}]"


def _ordered(condition, term):
    order = [name for name, _ in condition.domain]
    return sorted(term.items(), key=lambda item: order.index(item[0]))


def _symbol(name, allowed, values):
    """Return one factor: the name alone where it has two values, else with the position."""
    if len(values) == 2:
        main = "operated" if "operated" in values else "on" if "on" in values else values[1]
        return name if main in allowed else f"¬{name}"
    if len(allowed) == 1:
        return f"{name}[{next(iter(allowed))}]"
    left_out = [value for value in values if value not in allowed]
    return f"¬{name}[{left_out[0]}]" if len(left_out) == 1 else f"{name}[{'|'.join(v for v in values if v in allowed)}]"


def _words(allowed, values):
    if len(allowed) == 1:
        return next(iter(allowed))
    return "not " + " nor ".join(value for value in values if value not in allowed)
