"""Changes typed as sentences, in the kit's own words, and read back from what a change says of itself.

Every form is a pattern with an example; the patterns are tried in order and
the first that fits makes the change. The change is tried on the arrangement
at once, so whatever is wrong is said before anything is changed.
"""

import re
from dataclasses import MISSING, fields
from math import inf

from ..ground.errors import ArrangementError, PartError, listed, shown, unknown_name
from ..ground.limits import MOST_QUANTITY
from ..ground.quantities import read_quantity
from ..parts import KINDS, Control, Wire
from ..parts.conductors import COLOURS, check_colour, colour_letters
from .ambient import FrameOn, SetAmbient
from .asked_back import (ALIKE, as_meant, check_free, control_meant, end_meant, measures, not_a_kind, unknown_verb, unread_addition,
                         which_end)
from .by_hand import check_by_hand
from .changes import (AddControl, AddPart, AddWire, LoseJoint, MoveWire, RemovePart, RemoveWire, ReplacePart,
                      SetValue, SwapTerminals)
from .edits import RULE_FORM, RemoveControl, SetRule, SetTitle, read_rename, read_rule
from .mishaps import TOUCH, Hold, Lift, Short, nearest_chassis
from .not_known import read_mark
from .plan import read_place, read_stand
from .sentences import as_typed, bared, closed, opened, quoted, read_closes, value_words

FORMS = {  # verb: how the sentence goes
    "move": "move W7 to K3:87, or: move W7 from S1:30 to K3:87",
    "swap": "swap K1:87 and K1:87a",
    "lose": "lose W5 at X1:2",
    "corrode": "corrode W5 at X1:2 0.8 ohm",
    "lift": "lift K1:87a",
    "short": "short K1:87 to K1:87a, or: short E1:1 to chassis",
    "blow": "blow F1",
    "weld": "weld K1 operated",
    "hold": "hold S2 held",
    "set": "set F1 rating 5 A, or: set ambient -20 C",
    "replace": "replace E1 by LED lamp, watts 3 W",
    "add": 'add wire W60 from X3:2 to E5:1 RD 0.5 m 1 mm2, or: add part E7 lamp, place "rear", or: add control hazard: '
           'off, on',
    "remove": "remove W3, or: remove control horn",
    "frame": "frame on plus",
    "stand": "stand K1 at 4 2",
    "mark": "mark W3 not known, or: mark W8 known",
    "rename": 'rename K1 K7, or: rename control "brake pedal" "stop pedal"',
    "rule": RULE_FORM,
    "forget": "forget rule E1",
    "title": 'title "My first cart"',
}
_NAME = r"([^\s,]+)"
_KEPT = ("place", "light", "rating")   # what a new part takes over from the old one; of one of its own kind also its figures


def read_change(sentence, arrangement):
    """Return the change a sentence asks for.

    Parameters
    ----------
    sentence : str
        Such as ``"move W7 to K3:87"``; :data:`FORMS` has one of every form. [text]
    arrangement : Arrangement
        What it is to be made on: names and values are looked up here.

    Returns
    -------
    change
        Its ``str`` is a sentence that says the same, nothing left open.

    Raises
    ------
    CircuitLabError
        When the sentence has no form of ours, or the change cannot be made.

    Examples
    --------
    >>> import circuitlab as cl
    >>> print(read_change("set F1 rating 5", cl.arrangement("one-fused-lamp")))
    set F1 rating 5 A
    """
    text = " ".join(closed(bared(sentence)).split()).removesuffix(".").strip()
    verb, _, rest = text.partition(" ")
    check_by_hand(verb, rest, arrangement)
    verb = ALIKE.get(verb.lower(), verb.lower())
    if not verb:
        raise ArrangementError(f"no change is written there. Begin with one of: {listed(FORMS)}.")
    if verb not in FORMS:
        raise unknown_verb(as_typed(verb), FORMS, rest, arrangement)
    change = _READERS[verb](as_meant(verb, rest, arrangement), arrangement)
    change.apply(arrangement)
    return change


def _taken(verb, pattern, text):
    """Return the pieces of a sentence, names opened and the rest still closed, or raise with the form it must have."""
    pieces = _fitting(pattern, text)
    if not pieces:
        raise ArrangementError(f"'{as_typed(f'{verb} {text}'.strip())}' cannot be read. Write it so: {FORMS[verb]}.", verb=verb)
    return pieces


def _fitting(pattern, text):
    """Return the pieces of a sentence, names opened and the rest still closed, or nothing where it does not fit."""
    match = re.fullmatch(pattern.replace("NAME", _NAME), text, re.IGNORECASE)
    if not match:
        return []
    names = [group == "NAME" for group in re.findall(r"NAME|\((?!\?)", pattern)]
    return [opened(piece) if piece and name else piece for piece, name in zip(match.groups(), names)]


# ------------------------------------------------------------------ one reader for each verb

def _move(text, arrangement):
    wire, source, target = _taken("move", r"NAME(?: from NAME)? to NAME", text)
    if source is None:
        source = _moving_end(arrangement, wire, target)
    return MoveWire(wire, source, target)


def _moving_end(arrangement, name, target):
    """Choose the end that moves: the one on the same part, else on a part of the same kind, else the wire's far end."""
    arrangement.check_terminal(target)
    wire = arrangement.part(name)
    if not isinstance(wire, Wire):
        raise ArrangementError(
            f"'{name}' is no wire, and only a wire can be moved. Write it so: {FORMS['move']}.", part=name
        )
    owner = target.partition(":")[0]
    for same in (lambda part: part.name == owner, lambda part: part.kind == arrangement.part(owner).kind):
        on = [end for end in wire.terminals if same(arrangement.part(end.partition(":")[0]))]
        if len(on) == 1:
            return on[0]
    return wire.end


def _lose(text, arrangement):
    which_end("lose", text, arrangement)
    wire, terminal = _taken("lose", r"NAME at (?:terminal )?NAME", text)
    return LoseJoint(wire, end_meant(arrangement, wire, terminal))


def _corrode(text, arrangement):
    which_end("corrode", text, arrangement)
    wire, terminal, ohms = _taken("corrode", r"NAME at (?:terminal )?NAME (?:to )?(.+)", text)
    return LoseJoint(wire, end_meant(arrangement, wire, terminal), read_quantity(opened(ohms), "ohm"))


def _short(text, arrangement):
    first, second, ohms = _taken("short", r"NAME (?:to|and) NAME(?: (.+))?", text)
    if second == "chassis" and "chassis" not in arrangement.by_name:
        arrangement.check_terminal(first)
        second = nearest_chassis(arrangement, first)
        if second is None:
            raise ArrangementError("this arrangement has no chassis to touch. Name two terminals.")
    return Short(first, second, TOUCH if ohms is None else read_quantity(opened(ohms), "ohm"))


def _set(text, arrangement):
    name, words = _taken("set", r"NAME (.+)", text)
    if name.lower() == "ambient" and (name not in arrangement.by_name or re.match(r"(?:to |= ?)?[-+.\d]", opened(words))):
        return SetAmbient(re.sub(r"^(?:temperature )?(?:to |= ?)?", "", opened(words)))
    part = arrangement.part(name)
    field, value = _field_and_value(type(part), part.kind, words)
    return SetValue(name, field, getattr(part.with_value(field, value), field))


def _replace(text, arrangement):
    name, new, words = _taken("replace", r"NAME (?:by|with) (?:an? )?(new )?(.+)", text)
    old = arrangement.part(name)
    record, values = _kind_and_values(words)
    known = {field.name for field in fields(record)}
    if not new:
        alike = record is type(old) and "watts" not in values
        named = record.follows((), values)      # what the name of a bulb says of itself is not the old one's to say
        for field in (*_KEPT, *(("volts", "watts", "bulb") if alike else ())):
            if field in known and field not in named and getattr(old, field, ""):
                values.setdefault(field, getattr(old, field))
    if "rating" in known and "rating" not in values:
        raise ArrangementError(f"the rating of the new {record.kind} is not said. Write how many amps it is to have: "
                               f"replace {quoted(name)} by {'a new ' * bool(new)}{record.kind}, rating "
                               f"{value_words('rating', getattr(old, 'rating', 10.0))}.", part=name)
    return ReplacePart(record(name, **values))


def _add(text, arrangement):
    what, _, rest = text.partition(" ")
    if what.lower() == "wire":
        return _add_wire(rest, arrangement)
    pattern = r"NAME(?<!:) ?: ?(.+?)(?: shown (.+))?" if what.lower() == "control" else r"NAME (?:as )?(?:an? )?(.+)"
    pieces = _fitting(pattern, rest if what.lower() in ("control", "part") else text)
    if what.lower() in ("a", "an"):
        raise unread_addition(rest, arrangement)
    if not pieces or text.lower() in map(str.lower, KINDS) or rest.lower() in map(str.lower, KINDS) and what.lower() == "part":
        raise unread_addition(text, arrangement)
    if what.lower() == "control":
        name, positions, order = pieces
        return AddControl(Control(name, _split(positions), _split(order or "")))
    name, words = pieces
    words, at = _with_place(name, words)
    words, control = _with_control(words)
    record, values = _kind_and_values(words, name)
    check_free(arrangement, name, record.kind)
    part = record(name, **values)
    return AddPart(part, control or control_meant(part, arrangement), at)


def _with_place(name, words):
    """Return what is said of a part, and where in the attached drawing it shall stand, if that is said. [step]"""
    found = re.search(r" (?:standing )?at (-?[\d.]+)(?: and|,)? (-?[\d.]+)$", words)
    return (words[:found.start()], read_place(name, *found.groups())) if found else (words, ())


def _with_control(words):
    """Return what is said of a part, and the control that is put in with it, if any."""
    found = re.search(r" with control ([^\s,:]+) ?: ?(.+?)(?: shown (.+))?$", words)
    if not found:
        return words, None
    return words[:found.start()], Control(opened(found[1]), _split(found[2]), _split(found[3] or ""))


def _add_wire(text, arrangement):
    head, *others = _split(text, raw=True) or [""]
    pieces = _fitting(r"NAME from NAME to NAME((?: [^ ]+)*)", head)
    if not pieces:
        raise unread_addition(f"wire {text}", arrangement)
    name, start, end, rest = pieces
    check_free(arrangement, name, "wire")
    for terminal in (start, end):
        arrangement.check_terminal(terminal)
    values, words = {}, rest.split()
    if words and re.fullmatch(f"(?:{'|'.join(COLOURS)}){{1,2}}", words[0], re.IGNORECASE):
        values["colour"] = words.pop(0).upper()
    elif words and colour_letters(words[0]):
        check_colour(name, words[0])        # says the letters
    for field, measure in measures(words):
        values[field] = read_quantity(measure, "mm2" if field == "area" else "m")
    values |= dict(_field_and_value(Wire, "wire", words) for words in others)
    return AddWire(Wire(name, **values | {"start": start, "end": end}))


def _remove(text, arrangement):
    control = _fitting("control NAME", text)
    if control:
        return RemoveControl(*control)
    (name,) = _taken("remove", r"NAME(?: with its wires)?", text)
    return (RemoveWire if isinstance(arrangement.part(name), Wire) else RemovePart)(name)


def _rule(text, arrangement):
    found = re.fullmatch(r"(?:(?:of|for) )?([^\s,]+) ?: (.+)|(?:(?:of|for) )?([^\s,:]+(?::[^\s,:]+)?) ?: ?(.+)", text)
    if not found:
        raise ArrangementError(f"'{as_typed(f'rule {text}'.strip())}' cannot be read. Write it so: {FORMS['rule']}.", verb="rule")
    name, words = (found[1], found[2]) if found[1] else (found[3], found[4])
    return read_rule(opened(name), words, arrangement)


def _plain(verb, pattern, make):
    """Return the reader of a sentence whose pieces alone make the change."""
    return lambda text, arrangement: make(*_taken(verb, pattern, text))


_READERS = {
    "move": _move, "lose": _lose, "corrode": _corrode, "short": _short, "set": _set, "replace": _replace, "add": _add,
    "remove": _remove,
    "swap": _plain("swap", r"NAME (?:and|with) NAME", SwapTerminals),
    "lift": _plain("lift", r"NAME", Lift),
    "blow": _plain("blow", r"NAME", lambda name: Hold(name, "blown")),
    **{verb: _plain(verb, r"NAME (?:in |at )?(.+)", lambda name, state: Hold(name, opened(state)))
       for verb in ("weld", "hold")},
    "rule": _rule,
    "forget": _plain("forget", r"(?:the )?rule (?:of )?NAME", lambda name: SetRule(name, ())),
    "rename": _plain("rename", r"(control )?NAME (?:to )?NAME", read_rename),
    "title": _plain("title", r"(.+)", lambda title: SetTitle(opened(title))),
    "frame": _plain("frame", r"(?:is )?(?:on )?(?:the )?(?:battery's )?NAME", lambda pole: FrameOn(pole.lower())),
    "mark": _plain("mark", r"NAME (?:as )?((?:not )?known)", lambda name, known: read_mark(name, opened(known))),
    "stand": _plain("stand", r"NAME at (\S+?)(?: and|,)? (\S+)", read_stand),
}


# ------------------------------------------------------------------ kinds and values

def _split(text, raw=False):
    """Split at commas followed by a space or nothing; pieces are opened unless ``raw``."""
    pieces = [piece.strip() for piece in re.split(r",(?: |$)", text) if piece.strip()]
    return pieces if raw else tuple(opened(piece) for piece in pieces)


def _kind_and_values(text, name=""):
    """Read ``LED lamp, watts 3 W`` as a record and the values for it."""
    kind, *others = _split(text, raw=True) or [""]
    known = {name.lower(): name for name in KINDS}
    if opened(kind).lower() not in known:
        raise not_a_kind(name, kind)
    kind = opened(kind)
    record = KINDS[known[kind.lower()]]
    return record, dict(_field_and_value(record, kind, words) for words in others)


def _field_and_value(record, kind, words):
    """Read ``pull in voltage 8 V`` as a field of a record and its value."""
    known = {field.name.replace("_", " "): field for field in fields(record) if field.name != "name"}
    for name in sorted(known, key=len, reverse=True):
        if words.lower() == name or words.lower().startswith(f"{name} "):
            return known[name].name, _value(known[name], words[len(name):].strip(), kind)
        if isinstance(known[name].default, (int, float)) and words.lower().startswith(f"{name}="):
            return known[name].name, _value(known[name], words[len(name) + 1:].strip(), kind)
    raise unknown_name(f"a {kind}", "value", as_typed(words.partition(" ")[0]), known)


def _value(field, text, kind):
    """Read a value as its field wants it; numbers are left to the part, which knows their unit."""
    if not text:
        raise PartError(f"the {field.name.replace('_', ' ')} of the {kind} is not said. Write it after the word.")
    text, sort = opened(text), str if field.default is MISSING else float if field.default is None else type(field.default)
    if sort is bool:
        if text.lower() not in ("yes", "no", "true", "false"):
            raise PartError(f"the {field.name.replace('_', ' ')} of the {kind} is 'yes' or 'no', got {shown(text)}.")
        return text.lower() in ("yes", "true")
    if sort in (float, int):
        text = text.removeprefix("to ").removeprefix("= ").strip()
    if field.default is None and text.lower() in ("as the ambient", "ambient", "none"):
        return None
    if sort is float:
        return inf if text.lower() in ("inf", "none", "infinite") else text
    if sort is int:
        if not text.isdecimal() or len(text) > MOST_QUANTITY:
            raise PartError(f"the {field.name} of the {kind} must be a whole number, got {shown(text)}.")
        return int(text)
    if field.name != "closes":
        return text
    closes = read_closes(text)
    if closes is None:
        raise PartError(f"{shown(text)} does not say what closes where. "
                        'Write each position with its pairs, such as "off: 49-15; on: 49-30 49-L".')
    return closes
