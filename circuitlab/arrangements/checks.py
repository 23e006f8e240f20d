"""What must be true of an arrangement before it is one: kinds, names, words, numbers of things, and what joins what."""

from collections import Counter
from dataclasses import replace

from ..ground.errors import ArrangementError, UnknownName, shown, unknown_name
from ..ground.limits import (MOST_CONTROLS, MOST_LINE, MOST_NOTE, MOST_PARTS, MOST_RULES, MOST_WIRES, wrong_with_text)
from ..parts import Battery, Control, Lamp, Part, Switch, Wire
from .unknown import no_lamp
from .wanted import LAMP_LOOKS, TERMINAL_LOOKS, Wanted

POLES = ("minus", "plus")      # of the battery, either of which may stand on the frame
MOST = {"controls": MOST_CONTROLS, "parts": MOST_PARTS, "wires": MOST_WIRES, "rule": MOST_RULES}
_CALLED = {"rule": "lines in its rule"}
_KINDS = (("controls", Control, "a control. Give one such as Control('key', ('off', 'on'))."),
          ("rule", Wanted, "a line of a rule. Give one such as Wanted('E1', 'steady')."),
          ("parts", Part, "a part. Give parts such as Battery or Lamp; wires go into 'wires'."),
          ("wires", Wire, "a wire. Everything else goes into 'parts'."))


def check_list(field, value):
    """Raise unless what an arrangement is made of is a list, and not too long."""
    if not isinstance(value, (list, tuple)):
        raise ArrangementError(f"'{field}' must be a list, even of one thing, got {shown(value)}.")
    if len(value) > MOST[field]:
        raise ArrangementError(f"an arrangement has at most {MOST[field]} {_CALLED.get(field, field)}, got {len(value)}. "
                               "Make two arrangements of it.")


def held_pairs(given):
    """Return what is held as pairs of part and state, or raise with how to write them."""
    try:
        held = tuple(dict(given).items())
    except (TypeError, ValueError):
        held = ((None, None),)
    if not all(isinstance(word, str) for pair in held for word in pair):
        raise ArrangementError(f"'held' must give each part one state, such as {{'F1': 'blown'}}, got {shown(given)}.")
    return held


def check_kinds(arrangement):
    """Raise for anything that is not the sort of thing its list holds, or words that cannot be written."""
    if not isinstance(arrangement.title, str) or not arrangement.title:
        raise ArrangementError(f"an arrangement needs a title in words, got {shown(arrangement.title)}.")
    for field, most, empty, lines in (("title", MOST_LINE, False, False), ("note", MOST_NOTE, True, True),
                                      ("name", MOST_LINE, True, False)):
        wrong = wrong_with_text(getattr(arrangement, field), most, empty, lines)
        if wrong:
            raise ArrangementError(f"an arrangement's {field} {wrong}.")
    if not isinstance(arrangement.frame, str) or arrangement.frame not in POLES:
        raise unknown_name(f"arrangement '{arrangement.name or arrangement.title}'", "pole on the frame", arrangement.frame, POLES)
    for field, kind, words in _KINDS:
        for thing in getattr(arrangement, field):
            must_be_a(kind, thing, words)


def must_be_a(kind, thing, words):
    """Raise unless a thing is of a kind, with words on what it should be; a wire is no part here."""
    if not isinstance(thing, kind) or kind is Part and isinstance(thing, Wire):
        raise ArrangementError(f"{shown(thing)} is not {words}")


def must_be_listed(part):
    """Raise for what sits in another part, in the words of what it is there, where a part of its own is wanted."""
    if part.seat:
        raise ArrangementError(f"'{part.name}' {part.sitting}.", part=part.name)


def as_listed(arrangement, parts):
    """Return parts that shall take the place of others, each part that another sits in made anew with what shall sit there."""
    new = {}
    for part in parts:
        there = arrangement.part(part.name)
        if there.seat:
            part = new.get(there.seat, arrangement.part(there.seat)).with_seat(part) or must_be_listed(there)
        new[part.name] = part
    return new


def check_names(arrangement):
    """Raise for a name given twice, and where there is no battery."""
    for what, things in (("part", arrangement.parts + arrangement.wires), ("control", arrangement.controls)):
        for name, times in Counter(thing.name for thing in things).items():
            if times > 1:
                raise ArrangementError(f"{times} {what}s are named '{name}'. Give each its own name.", **{what: name})
    if not arrangement.of_kind(Battery):
        raise ArrangementError(f"arrangement '{arrangement.title}' has no battery. Add one, such as Battery('G1').")


def today(wire, others):
    """Return the wire with today's marking of a terminal in the place of an old unit's, and a note that says so."""
    for field in ("start", "end"):
        name, _, end = getattr(wire, field).partition(":")
        now = others.get(name, {}).get(end)
        if now:
            said = f"marked {end} on the unit, which is {now}"
            wire = replace(wire, **{field: f"{name}:{now}"}, note=f"{wire.note}; {said}" if wire.note else said)
    return wire


def check_joins(arrangement):
    """Raise for a switch, wire, held part or rule that points at something not there."""
    for switch in arrangement.of_kind(Switch):
        for position, _ in switch.closes:
            try:
                arrangement.control(switch.control).check(position)
            except UnknownName as error:
                raise _unknown_again(f"switch '{switch.name}' closes with '{switch.control}' in '{position}', but",
                                     error) from None
    every = set(arrangement.terminals)
    for wire in arrangement.wires:
        for end in wire.terminals:
            if end in every:
                continue
            try:
                arrangement.check_terminal(end)
            except UnknownName as error:
                raise _unknown_again(f"wire '{wire.name}' goes to '{end}', but", error) from None
    for name, state in arrangement.held:
        part = arrangement.part(name)
        states = arrangement.control(part.control).positions if isinstance(part, Switch) else part.states
        if state not in states:
            raise unknown_name(f"{part.kind} '{name}'", "state", state, states)
    for line in arrangement.rule:
        _check_line(arrangement, line)


def _check_line(arrangement, line):
    """Raise for a line of a rule about what is neither a lamp nor a terminal, or that asks for another look."""
    allowed = TERMINAL_LOOKS if line.terminal else LAMP_LOOKS
    part = arrangement.part(line.part)
    if not line.terminal and not isinstance(part, Lamp):
        raise no_lamp("the rule", part, [lamp.name for lamp in arrangement.of_kind(Lamp)])
    arrangement.positions(dict(line.when))
    if not isinstance(line.look, str) or line.look not in allowed:
        raise ArrangementError(f"the rule for '{line.lamp}' asks for {shown(line.look)}. "
                               f"It may ask for {', '.join(allowed[:-1])} or {allowed[-1]}.", part=line.part)


def rule_today(arrangement):
    """Return the lines of the rule with terminals by today's marking, or raise for a terminal that is not there."""
    lines = []
    for line in arrangement.rule:
        try:
            lines.append(replace(line, lamp=arrangement.check_terminal(line.terminal)) if line.terminal else line)
        except UnknownName as error:
            raise _unknown_again(f"the rule speaks of '{line.terminal}', but", error) from None
    return tuple(lines)


def _unknown_again(before, error):
    """Return the error of an unknown name with words put before it."""
    return UnknownName(f"{before} {error.sentence}", **error.pieces)
