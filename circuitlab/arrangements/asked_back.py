"""What is asked back where a typed sentence is half right, and the small liberties it may take.

A word nobody needs, another word for a verb, a blank beside a colon: these are
taken as they are meant. What could be meant in two ways is asked back, with a
sentence that can be typed.
"""

import re
from dataclasses import fields
from difflib import get_close_matches

from ..ground.errors import ArrangementError, PartError, UnknownName, listed, unknown_name
from ..parts import KINDS, Control, Part, Wire
from .sentences import as_typed, control_words, opened, quoted

ALIKE = {"stick": "hold", "connect": "add", "take": "remove", "delete": "remove"}
_NEAR = {  # a verb that may mean several: those it may mean
    "cut": ("lose", "remove"), "disconnect": ("lose", "lift"), "unplug": ("lift", "remove"), "break": ("lose", "blow"),
    "open": ("lose", "hold"), "burn": ("blow",), "change": ("set", "replace"), "exchange": ("replace", "swap"),
    "insert": ("add",), "install": ("add",), "put": ("add",), "join": ("add", "short"), "bridge": ("short",),
    "touch": ("short",), "switch": ("hold", "replace"), "press": ("hold",), "rust": ("corrode",)}
_FILLERS = ("the", "off", "out", "part", "wire", "terminal", *(kind.lower() for kind in KINDS if " " not in kind))
_WIRE = "add wire W60 from X3:2 to E5:1 RD 0.5 m 1 mm2"
_VALUES = {"fuse": ", rating 7.5 A", "breaker": ", rating 10 A", "lamp": ", watts 21 W", "LED lamp": ", watts 3 W",
           "fuse block": ', ways "10 A, 7.5 A, spare"', "switch": ', control "key", closes "on: 1-2"', "control": ": off, on"}
_OTHER = {"off": "on", "on": "off", "released": "held", "held": "released", "left": "off", "right": "off"}   # of two positions
_AT_REST = ("off", "released")
_SLIP = 0.8             # as alike as two names must be for one to be taken for a slip of the other: the kit's own
_ENDINGS = {"W": "watts", "A": "rating", "V": "volts", "ohm": "resistance"}


def unknown_verb(verb, forms, text, arrangement):
    """Return the error for a verb that is none, with the forms of those it may mean, said of the wire that was named."""
    error = unknown_name("the list of changes", "verb", verb, forms)
    near = _NEAR.get(verb.lower(), ())
    if not near:
        return error
    wire = arrangement.by_name.get(opened(text.partition(" ")[0]))
    own = {"lose": " or ".join(f"lose {quoted(wire.name)} at {quoted(end)}" for end in wire.terminals),
           "remove": f"remove {quoted(wire.name)}"} if isinstance(wire, Wire) else {}
    said = [own.get(each, forms[each]) for each in near if not own or each in own] or [forms[each] for each in near]
    return UnknownName(f"{error.sentence.partition(' Did you')[0]} Is one of these meant: {'; '.join(said)}?", **error.pieces)


def as_meant(verb, text, arrangement):
    """Return the rest of a sentence without words nobody needs and blanks beside the colon of a terminal, names in their own letters."""
    names = arrangement.by_name
    if verb in ("move", "swap", "lose", "corrode", "lift", "short") or verb == "add" and text.lower().startswith("wire "):
        text = re.sub(r"(\S+?) ?: ?([^\s,:]+)", lambda found: f"{found[1]}:{found[2]}" if opened(found[1]) in names else found[0],
                      text)
    if verb != "add":
        words = text.split(" ")
        named = len(words) if verb in ("move", "swap", "lose", "corrode", "lift", "short") else 2      # a filler and a name
        text = " ".join([*(_own_letters(word, arrangement) for word in words[:named]), *words[named:]])
    elif text.lower().startswith("wire "):
        text = re.sub(r"(?i)(?<= from )\S+|(?<= to )\S+", lambda found: _own_letters(found[0], arrangement), text)
    filler, _, rest = text.partition(" ")
    is_named = opened(rest.partition(" ")[0]).partition(":")[0] in names
    if verb != "add" and filler.lower() in _FILLERS and filler not in names and is_named:
        return rest
    return text


def _own_letters(word, arrangement):
    """Return a name of a part, wire or terminal as the arrangement writes it, where capitals alone differ and no other is alike."""
    name, colon, end = word.partition(":")
    part = arrangement.by_name.get(_alike(name, arrangement.by_name))
    if part is None:
        return word
    return f"{part.name}{colon}{end if isinstance(part, Wire) else _alike(end, (*part.terminals, *part.aliases))}"


def _alike(name, names):
    found = [each for each in names if each.lower() == name.lower()]
    return found[0] if name not in names and len(found) == 1 else name


# ------------------------------------------------------------------ wires and their ends

def end_meant(arrangement, name, terminal):
    """Return the terminal a wire ends on that is meant by a terminal, or by the part alone where it ends there once."""
    wire = arrangement.by_name.get(name)
    if not isinstance(wire, Wire) or ":" in terminal:
        return terminal
    on = [end for end in wire.terminals if end.partition(":")[0] == terminal]
    if len(on) == 2:
        raise ArrangementError(f"both ends of wire '{name}' are on '{terminal}'. Say which one: {on[0]} or {on[1]}.", part=name)
    return on[0] if on else terminal


def which_end(verb, text, arrangement):
    """Raise with both ends of a wire where a sentence names a wire and no end of it."""
    wire = arrangement.by_name.get(opened(text))
    if isinstance(wire, Wire):
        both = " or ".join(f"{verb} {text} at {quoted(end)}" for end in wire.terminals)
        raise ArrangementError(f"'{verb} {as_typed(text)}' does not say at which end. Write {both}.", part=wire.name)


def measures(words):
    """Yield (number, unit) of the lengths and areas behind a wire's colour, or raise for what is neither."""
    typed = " ".join(words).replace("mm^2", "mm2")
    found = re.findall(r"([\d.,]+) ?([^\s\d]\S*|)", typed)
    if "".join("".join(pair) for pair in found) != typed.replace(" ", ""):
        raise ArrangementError(f"'{as_typed(' '.join(words))}' is no colour, length and area of a wire. Write it so: {_WIRE}.")
    units = ["area" if _is_area(unit) else "length" for _, unit in found]
    bare = next((number for number, unit in found if not unit), "")
    if bare:
        raise ArrangementError(f"'{bare}' has no unit. Write {bare} m for the wire's length, or {bare} mm2 for its area.")
    for (number, unit), kind in zip(found, units):
        if units.count(kind) > 1:
            raise ArrangementError(f"'{typed}' gives the wire its {kind} twice. Give it once. Write it so: {_WIRE}.")
        if not _is_area(unit) and unit.lower() not in ("m", "cm", "mm", "ft", "in"):
            raise ArrangementError(f"'{number} {unit}' is neither a length in m nor an area in mm2. Write it so: {_WIRE}.")
        yield kind, f"{number} {unit}"


def _is_area(unit):
    return unit.lower() in ("mm2", "mm\N{SUPERSCRIPT TWO}", "awg")


# ------------------------------------------------------------------ what is added

def free_name(arrangement, kind):
    """Return a name nothing has yet, with the letter of a kind, such as ``K4``. [text]"""
    letter = (KINDS | {"wire": Wire}).get(kind, Part).letter
    return next(name for number in range(1, 10_000) if (name := f"{letter}{number}") not in arrangement.by_name)


def check_free(arrangement, name, kind, is_new=True):
    """Raise for a name that a part or wire has already, with one that is free and, for a new one, what else may be meant."""
    there = arrangement.by_name.get(name)
    if not there:
        return
    instead = ""
    if is_new and isinstance(there, Wire) == (kind == Wire.kind):
        instead = (f" To move it, write: move {quoted(name)} to TERMINAL." if isinstance(there, Wire) else
                   f" To put another part in its place, write: replace {quoted(name)} by {kind}.")
    raise ArrangementError(f"the name '{name}' is taken by a {there.kind}. Give the {'new ' * is_new}{kind} another one, such as "
                           f"{free_name(arrangement, kind)}.{instead}", part=name)


def control_meant(part, arrangement):
    """Return the control that a new switch is to bring with it, or None where it is there or the part needs none.

    Its positions are those the switch closes in, rest first: the one that says so, else ``off`` where they are all for a hand to make.

    Raises
    ------
    UnknownName
        When a control that is there has nearly the same name.
    """
    name, there = getattr(part, "control", None), arrangement.controls_by_name
    if name is None or name in there:
        return None
    closes = [position for position, _ in part.closes]
    is_made = len(closes) == 1 or closes[0] in _OTHER       # by a hand; else the first one named is rest
    rest = next((each for each in closes if each in _AT_REST), _OTHER.get(closes[0], "off") if is_made else closes[0])
    control = Control(name, tuple(dict.fromkeys((rest, *closes, *(_OTHER[rest] for _ in closes if closes == [rest])))))
    near = [each for each in there if each.lower() == name.lower()] or get_close_matches(name, there, 1, _SLIP)
    if near:
        error = unknown_name(f"arrangement '{arrangement.name or arrangement.title}'", "control", name, there)
        raise UnknownName(f"{error.sentence.partition(' Did you')[0]} Did you mean '{near[0]}'? If a new control is meant, write "
                          f"behind the rest: with {control_words(control)}.", **error.pieces)
    return control


def unread_addition(typed, arrangement):
    """Return the error for an addition that cannot be read: which piece is missing, and how it goes on."""
    what, _, rest = typed.partition(" ")
    what, name = what.lower(), as_typed(rest.partition(" ")[0])
    if what == "wire":
        missing = "does not say from where to where it runs" if name else "needs a name and two ends"
        return ArrangementError(f"'add {as_typed(typed)}' {missing}. Write it so: {_WIRE}.", verb="add")
    if what == "control":
        return ArrangementError(f"'add {as_typed(typed)}' does not say the control's positions, rest first. Write it so: "
                                f"add control {name or 'hazard'}: off, on.", verb="add")
    typed = (rest if what == "part" else typed).strip()
    kind = next((kind for kind in KINDS if kind.lower() == typed.lower()), "")
    if kind:
        return ArrangementError(f"the new {kind} needs a name. Write it so: {_example(free_name(arrangement, kind), kind)}.",
                                verb="add")
    if typed:
        return ArrangementError(f"what kind of part '{as_typed(typed)}' is to be is not said. Write it so: "
                                f"{_example(as_typed(typed), 'relay')}. Kinds: {listed(KINDS)}.", verb="add")
    return ArrangementError(f"'add' does not say what. Write it so: {_WIRE}, or: {_example('E7', 'lamp')}, or: "
                            "add control hazard: off, on.", verb="add")


def not_a_kind(name, words):
    """Return the error for words that should be a kind and its values, seen beside the name before them."""
    typed = as_typed(words)
    first = max((kind for kind in KINDS if words.lower().startswith(f"{kind.lower()} ")), key=len, default="")
    if first:
        more = words[len(first):].strip()
        return _nameless(name, first, opened(more))
    for kind in KINDS:                      # add relay K77: the kind stands where the name belongs
        head, _, rest = kind.lower().partition(" ")
        if name and name.lower() == head and (not rest or words.lower().startswith(f"{rest} ")):
            own = as_typed(words[len(rest):].split()[0])
            return ArrangementError(f"the name stands before the kind. Write it so: {_example(own, kind)}.", verb="add")
    return unknown_name("the kit", "kind of part", typed, KINDS)


def _nameless(name, kind, more):
    """Return the error for a value without its name, such as ``lamp 21W``."""
    known = [field.name.replace("_", " ") for field in fields(KINDS[kind]) if field.name != "name"]
    unit = re.sub(r"^[\d.,]+\s*", "", more)
    likely = _ENDINGS.get(unit.upper() if unit.lower() != "ohm" else "ohm")
    said = f", {likely} {more}" if likely in known else _VALUES.get(kind, f", {known[0]} ...")
    return PartError(f"'{more}' behind '{kind}' does not say which value it is. Write a comma, the value's name and the value: "
                     f"{f'{quoted(name)} ' if name else ''}{kind}{said}. A {kind} has: {listed(known)}.", got=more)


def _example(name, kind):
    return f"add part {name} {kind}{_VALUES.get(kind, '')}"
