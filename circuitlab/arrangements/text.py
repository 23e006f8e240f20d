"""An arrangement as a plain text file (TOML), read without running anything in it.

The writer is canonical: the same arrangement always gives the same bytes, and
reading them back gives an equal arrangement. Remarks belong into ``note`` keys,
which survive; ``#`` comments of a person do not, so a file that holds any is
not overwritten unless told to.
"""

import re
import tomllib
from dataclasses import MISSING, fields
from math import isinf

from ..ground.errors import CircuitLabError, FileError, listed, shown, unknown_name
from ..ground.files import ENDS, decoded, in_file, named, read, whole
from ..ground.limits import MOST_DEPTH, MOST_DIGITS, MOST_FILE, too_large
from ..ground.saving import encoded, put, standing
from ..parts import KINDS, Control, Part, Wire
from ..parts.law import AMBIENT
from .plan_text import plan_tables, read_plan
from .record import Arrangement, Wanted
from .sentences import in_quotes

FORMAT = 1
HEADING = "# A Pin Thirty arrangement. Lengths in m, areas in mm2, volts, ohms, watts, seconds."
END = ENDS["an arrangement"]
_KEYS = ("format", "title", "note", "ambient", "frame", "controls", "parts", "wires", "rule", "held", "not_known", "plan")


def write_text(arrangement):
    """Return the canonical text of an arrangement. [text]"""
    lines = [HEADING, f"format = {FORMAT}", f"title = {_value(arrangement.title)}"]
    for key, silent in (("note", ""), ("ambient", AMBIENT), ("frame", "minus")):
        if getattr(arrangement, key) != silent:
            lines.append(f"{key} = {_value(getattr(arrangement, key))}")
    if arrangement.not_known:
        lines.append(f"not_known = {_value(arrangement.not_known)}")
    for control in arrangement.controls:
        lines += ["", f"[controls.{_key(control.name)}]", f"positions = {_value(control.positions)}"]
        if control.shown != control.positions:
            lines.append(f"shown = {_value(control.shown)}")
    for part in arrangement.listed:
        lines += ["", f"[parts.{_key(part.name)}]", f"kind = {_value(part.kind)}", *_fields(part)]
    for wire in arrangement.wires:
        lines += ["", f"[wires.{_key(wire.name)}]", *_fields(wire)]
    for line in arrangement.rule:
        what = "terminal" if line.terminal else "lamp"
        lines += ["", "[[rule]]", f"{what} = {_value(line.lamp)}", f"look = {_value(line.look)}",
                  f"when = {_table(line.when)}"]
    if arrangement.held:
        lines += ["", "[held]", *(f"{_key(name)} = {_value(state)}" for name, state in arrangement.held)]
    for heading, places in plan_tables(arrangement.plan):
        lines += ["", f"[{heading}]", *(f"{_key(name)} = {_value(place)}" for name, place in places.items())]
    return "\n".join([*lines, "", END]) + "\n"


def read_text(text, name="", where="this text"):
    """Return the arrangement written in a text.

    Parameters
    ----------
    text : str
        As made by :func:`write_text`, or by hand. [text]
    name : str
        What to call the arrangement. [text]
    where : str
        What to call the text in an error. [text]

    Raises
    ------
    FileError
        For text that is cut off, of another version, or has a missing, unknown or mistyped key.
    CircuitLabError
        For whatever is wrong with the circuit itself.
    """
    data = _parsed(text, where)
    if type(data.get("format")) is not int or data["format"] != FORMAT:
        newer = type(data.get("format")) is int and data["format"] > FORMAT
        raise FileError(f"{where} says format {shown(data.get('format'))}. This kit reads format {FORMAT}: " + (
            "the file may come from a newer kit. Open it with that one." if newer else f"write 'format = {FORMAT}' at the top."),
            file=where)
    for key in data:
        if key not in _KEYS:
            raise unknown_name(where, "key", key, _KEYS)
    controls = [_made(Control, name_, table, where, f"control '{name_}'")
                for name_, table in _tables(data, "controls", where)]
    parts = [_part(name_, table, where) for name_, table in _tables(data, "parts", where)]
    wires = [_made(Wire, name_, table, where, f"wire '{name_}'") for name_, table in _tables(data, "wires", where)]
    rule = [_made(Wanted, None, _of_lamp(table, where), where, "a rule") for table in _list(data, where)]
    held = tuple(_tables(data, "held", where, str))
    title, note = _text(data, "title", where), _text(data, "note", where)
    ambient = data.get("ambient", AMBIENT)
    if not isinstance(ambient, int | float) or isinstance(ambient, bool):
        raise FileError(f"{where}: 'ambient' must be a number, such as -20.0, got {shown(ambient)}.", file=where)
    frame = _text(data, "frame", where) if "frame" in data else "minus"
    return Arrangement(title, controls, parts, wires, rule, held, name, note, ambient, frame, data.get("not_known", ()),
                       read_plan(data.get("plan", {}), where))


def load(path):
    """Return the arrangement in a file.

    Raises
    ------
    FileError
        When there is no such file, it is not text, or it cannot be read as an arrangement.

    >>> import circuitlab as cl
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     saved = save(cl.arrangement("one-fused-lamp"), f"{folder}/cart.toml")
    ...     load(saved)
    Arrangement 'One lamp with its fuse and its switch': 5 parts, 5 wires, 1 control. print() lists them.
    """
    path = named(path)
    text = read(path, kind="an arrangement")
    with in_file(path):
        return read_text(text, path.stem, f"'{path.name}'")


def read_table(path):
    """Return ``(table, path)``: what another kind of file of the kit, such as a rule, holds; errors as for :func:`load`."""
    path = named(path)
    return _parsed(read(path), f"'{path.name}'"), path


def _parsed(text, where):
    if not isinstance(text, str):
        raise FileError(f"{where} must be text, got {shown(text)}.", file=where)
    if len(text) > MOST_FILE:
        raise FileError(f"{where} has {len(text)} letters, {MOST_FILE} are allowed. It is no file of this kit.", file=where)
    try:
        data, wrong = tomllib.loads(text), ""
    except RecursionError:
        wrong = f"tables or lists more than {MOST_DEPTH} deep"
    except ValueError as error:
        wrong = f"a whole number of more than {MOST_DIGITS} digits" if "integer string" in str(error) else ""
        if not wrong:
            raise FileError(f"{where} cannot be read as TOML: {error}. {_slip(text, str(error))}", file=where) from None
    wrong = wrong or too_large(data)
    if wrong:
        raise FileError(f"{where} cannot be read as TOML of this kit: it has {wrong}. Nothing of the kit needs that; "
                        "look for a slip of the hand.", file=where)
    whole(text, where)
    return data


def _slip(text, error):
    """Return what may be wrong with a text that is no TOML. [text]"""
    if "twice" in error or "overwrite" in error:
        return "One name stands there twice. Give one of the two another name, or take it out."
    number = re.search(r"line (\d+)", error)
    line = text.splitlines()[int(number[1]) - 1] if number and int(number[1]) <= text.count("\n") + 1 else ""
    comma = re.search(r"= *-?\d+,\d+", line)
    if comma:
        return f"Write numbers with a point: {comma[0].replace(',', '.')[1:].strip()}."
    if not re.search(r"^ *\w[^\n]*=|^ *\[", text, re.MULTILINE):
        return "It seems to be a text of another kind, no file of this kit."
    return "It may be cut off, or a quote or bracket is missing."


def save(arrangement, path, replace_comments=False):
    """Write an arrangement to a file; an arrangement that stood there is kept beside it, as ``NAME.before-1.toml``.

    Returns
    -------
    Saved
        The path; in a notebook it says what was kept.

    Raises
    ------
    FileError
        When the file holds comments of a person and ``replace_comments`` is not given, when it is no arrangement, or
        when it cannot be written. What stood there is then as it was.

    >>> import circuitlab as cl
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     save(cl.arrangement("one-fused-lamp"), f"{folder}/cart.toml").name
    'cart.toml'
    """
    path, content = named(path), encoded(write_text(arrangement))
    old = standing(path, content, _is_arrangement)
    if old and not replace_comments and _comments(decoded(old, f"'{path.name}'")):
        raise FileError(f"'{path.name}' holds comments that writing would lose. "
                        "Save under another name, or say replace_comments=True.", file=path.name)
    return put(content, path, old)


def _is_arrangement(data):
    """Whether a file without the kit's heading can be read as an arrangement all the same."""
    try:
        read_text(decoded(data, "it"))
    except CircuitLabError:
        return False
    return True


_STRING_OR_COMMENT = re.compile(
    r"""\"{3}(?:\\.|[^\\])*?"{3}|'{3}.*?'{3}|"(?:\\.|[^"\\\n])*"|'[^'\n]*'|#[^\n]*""", re.DOTALL)


def _comments(text):
    """Return the comments of a person in a file; a ``#`` inside quotes is none."""
    found = [match.group() for match in _STRING_OR_COMMENT.finditer(text)]
    return [piece for piece in found if piece.startswith("#") and piece.rstrip() not in (HEADING, END)]


# ------------------------------------------------------------------ reading

def _tables(data, key, where, kind=dict):
    table = data.get(key, {})
    if not isinstance(table, dict):
        raise FileError(f"{where}: '{key}' must be a table, written [{key}.NAME].", file=where)
    for name, value in table.items():
        if not isinstance(value, kind):
            raise FileError(f"{where}: '{key}.{name}' must be {'a table' if kind is dict else 'text'}, got {shown(value)}.",
                            file=where)
        yield name, value


def _list(data, where):
    rule = data.get("rule", [])
    if not isinstance(rule, list) or not all(isinstance(line, dict) for line in rule):
        raise FileError(f"{where}: the rule must be a list of tables, each headed [[rule]].", file=where)
    return rule


def _of_lamp(table, where):
    """Return a line of the rule with its terminal, if it speaks of one, in the lamp's place."""
    if "terminal" not in table:
        return table
    if "lamp" in table or not isinstance(table["terminal"], str) or ":" not in table["terminal"]:
        raise FileError(f"{where}: a rule speaks of a lamp or of a terminal. Give one of them, such as lamp = \"E1\" or "
                        "terminal = \"S1:15\".", file=where)
    return {"lamp" if key == "terminal" else key: value for key, value in table.items()}


def _text(data, key, where):
    value = data.get(key, "")
    if not isinstance(value, str) or (key == "title" and not value):
        raise FileError(f"{where}: '{key}' must be one line of text.", file=where)
    return value


def _part(name, table, where):
    if "kind" not in table:
        raise FileError(f"{where}: part '{name}' has no kind. Allowed: {listed(KINDS)}.", file=where, part=name)
    kind = table["kind"]
    if not isinstance(kind, str) or kind not in KINDS:
        raise unknown_name(f"{where}: part '{name}'", "kind", kind, KINDS)
    if KINDS[kind].guards and "rating" not in table and {*table} <= {"kind", *(field.name for field in fields(KINDS[kind]))}:
        raise FileError(f"{where}: {kind} '{name}' has no rating, which nobody should guess. Add its line, such as rating = 7.5 "
                        "for 7.5 A.", file=where, part=name)
    return _made(KINDS[kind], name, {key: value for key, value in table.items() if key != "kind"},
                 where, f"{kind} '{name}'")


def _made(record, name, table, where, what):
    """Make a record from a table, naming any key that is missing, unknown or of the wrong type."""
    known = {field.name: field for field in fields(record) if field.name != "name"}
    given = {} if name is None else {"name": name}
    for key, value in table.items():
        if key not in known:
            raise unknown_name(f"{where}: {what}", "key", key, known)
        given[key] = _frozen(_typed(value, known[key], where, what))
    missing = [key for key, field in known.items() if field.default is MISSING and key not in given]
    missing += [key for key in ("start", "end") if record is Wire and key not in given]
    if missing:
        raise FileError(f"{where}: {what} has no '{missing[0]}'. Add the line '{missing[0]} = ...'.",
                        file=where, missing=missing)
    return record(**given)


def _typed(value, field, where, what):
    """Check a value against the field's shape or the type of its default; whole numbers may stand for floats."""
    kind = str if field.default is MISSING else float if field.default is None else type(field.default)
    if field.name in SHAPES:
        fine, wanted = SHAPES[field.name][0](value), SHAPES[field.name][1]
    elif kind is float:
        fine, wanted = isinstance(value, (int, float)) and not isinstance(value, bool), "a number"
        value = float(max(-10**300, min(value, 10**300)) if isinstance(value, int) else value) if fine else value
    else:
        fine = isinstance(value, kind) and isinstance(value, bool) == (kind is bool)
        wanted = {bool: "true or false", str: "text in quotes", int: "a whole number"}[kind]
    if not fine:
        raise FileError(f"{where}: {what}: '{field.name}' must be {wanted}, got {shown(value)}.", file=where)
    return value


def _texts(value):
    return isinstance(value, list) and all(isinstance(item, str) for item in value)


def _table_of(fits):
    return lambda value: isinstance(value, dict) and all(fits(item) for item in value.values())


def _pairs(value):
    return isinstance(value, list) and all(_texts(pair) and len(pair) == 2 for pair in value)


SHAPES = {"positions": (_texts, 'a list of texts such as ["off", "on"]'),
           "shown": (_texts, 'a list of texts such as ["left", "off", "right"]'),
           "when": (_table_of(lambda item: isinstance(item, str)), 'a table of positions such as {key = "on"}'),
           "closes": (_table_of(_pairs), 'a table of terminal pairs such as {on = [["30", "15"]]}'),
           "pins": (_table_of(lambda item: type(item) in (int, float)), 'a table of ohms such as {3 = 2.0}'),
           "water": (_table_of(lambda item: type(item) in (int, float)), 'a table of ohms such as {1-2 = 500.0}')}


def _frozen(value):
    if isinstance(value, dict):
        return tuple((key, _frozen(item)) for key, item in value.items())
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value


# ------------------------------------------------------------------ writing

def _fields(record):
    """Yield a line for every field that differs from its default."""
    for field in fields(record):
        value = getattr(record, field.name)
        if field.name != "name" and (not _silent(record, field) or field.name in ("start", "end")):
            value = float(value) if isinstance(field.default, float | None) else value
            yield f"{field.name} = {_table(value) if field.name in SHAPES else _value(value)}"


def _silent(record, field):
    """Tell whether a value may be left out: a part knows what follows from its others, a line of a rule does not."""
    value, default = getattr(record, field.name), field.default
    return record.goes_without_saying(field.name, default) if isinstance(record, Part) else value == default


def _table(pairs):
    return "{" + ", ".join(f"{_key(key)} = {_value(value)}" for key, value in pairs) + "}"


def _key(text):
    plain = text and all(letter.isascii() and (letter.isalnum() or letter in "-_") for letter in text)
    return text if plain else _value(text)


def _value(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return in_quotes(value)     # TOML writes the letters that a name or note may hold as JSON does
    if isinstance(value, tuple):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    return ("inf" if isinf(value) else repr(float(value))) if isinstance(value, float) else str(value)
