"""The connection list of a board's page: every wire and part as fields, each with the beginning of the sentence that changes it.

A field is ``{"column", "shown", "says"}``: what stands in it, and what is put before whatever is typed there so that the whole
is a change that :func:`~circuitlab.arrangements.read_change` reads. A page needs to know no more of a circuit than that.
"""

from dataclasses import fields

from ...arrangements.asked_back import free_name
from ...arrangements.edits import choices_words
from ...arrangements.nets import wires_on, wires_to_minus
from ...arrangements.sentences import quoted, value_words
from ...ground.errors import listed
from ...parts import Chassis, Lamp, Wire
from ...parts.conductors import COLOURS
from ..style import named

AREAS = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6")       # mm2. Source: ISO 6722-1, from memory
LENGTHS = ("0.2", "0.5", "1", "1.5", "2", "3", "5")        # m, for a small vehicle: the kit's own
MINUS = "BK"               # of a wire to minus: common practice
BARE = "0.2"               # m, of a wire from the battery's live pole, which no fuse guards: within what sizing lets it be
_USUAL = {"battery": ("voltage",), "fuse": ("rating",), "breaker": ("rating",), "resistor": ("resistance",), "splice": ("ways",),
          "chassis": ("studs",), "switch": ("control", "closes"), "relay": ("suppression",), "flasher": ("type",),
          "lamp": ("watts", "light"), "LED lamp": ("watts", "light"), "two-filament lamp": ("bulb", "light"),
          "connector": ("type", "pins"), "fuse block": ("ways",), "distribution block": ("bars", "rated_amps")}      # shown of every part of a kind; others where they are not the default
_NO_VALUE = ("name", "place", "note")


def connections(arrangement):
    """Return all wires and parts, the wire that would be the next, and what there is to choose from.

    >>> import circuitlab as cl
    >>> listed = connections(cl.arrangement("one-fused-lamp"))
    >>> [(each["column"], each["shown"], each["says"]) for each in listed["wires"][0]["fields"]][1:3]
    [('from', 'G1:+', 'move W1 from G1:+ to '), ('to', 'F1:1', 'move W1 from F1:1 to ')]
    >>> listed["next"]
    {'name': 'W6', 'from': '', 'to': '', 'colour': 'BK', 'm': '0.4', 'mm2': '2.5'}
    """
    last = arrangement.wires[-1] if arrangement.wires else Wire("W1", "G1:+", "G1:-", "RD")
    start = {"name": quoted(free_name(arrangement, "wire")), "from": "", "to": "", "colour": last.colour, "m": value_words("", last.length),
             "mm2": value_words("", last.area)}
    return {"wires": [_of_wire(wire) for wire in arrangement.wires], "parts": [_of_part(part, arrangement) for part in arrangement.listed],
            "next": start, "usual": _usual(arrangement), "offers": _offers(arrangement), "rule": _rule(arrangement)}


def _usual(arrangement):
    """Return what is usual of a wire that nobody gave a colour or metres: ``at`` some terminals, and ``elsewhere`` as of the last such wire.

    Where wires of one colour are on a metal already, the next one there has it too, so that a current keeps its colour on its way; the colour
    of a way back to minus is nowhere else the usual one.
    """
    metal = [f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals]
    minus = [*arrangement.plus_and_minus[1:], *metal] if arrangement.frame == "minus" else []
    at = {quoted(end): {"colour": MINUS} for end in minus}
    for pole in arrangement.sides[0]:
        at[quoted(pole)] = {"m": BARE}
    others = [wire for wire in arrangement.wires if not {quoted(wire.start), quoted(wire.end)} & at.keys()]
    last = others[-1] if others else Wire("W1", "G1:+", "G1:-", "RD")
    way_back = wires_to_minus(arrangement) if arrangement.frame == "minus" else frozenset()
    out = [wire for wire in others if wire.name not in way_back] or [Wire("W1", "G1:+", "G1:-", "RD")]
    colours = {end: {arrangement.part(name).colour for name in names} for end, names in wires_on(arrangement).items()}
    for end, found in colours.items():
        if len(found) == 1 and quoted(end) not in at and found != {MINUS}:
            at[quoted(end)] = {"colour": found.pop()}
    return {"at": at, "elsewhere": {"colour": out[-1].colour, "m": value_words("", last.length)}}


def _of_wire(wire):
    """Return the row of a wire."""
    name = quoted(wire.name)
    said = [("name", name, f"rename {name} "), *((column, quoted(end), f"move {name} from {quoted(end)} to ")
                                                 for column, end in (("from", wire.start), ("to", wire.end))),
            ("colour", wire.colour, f"set {name} colour "), ("m", value_words("", wire.length), f"set {name} length "),
            ("mm2", value_words("", wire.area), f"set {name} area ")]
    return {"name": wire.name, "remove": f"remove {name}", "fields": [_field(*each) for each in said]}


def wires_of(part, arrangement):
    """Return the names of the wires that go with a part when it is taken away. [text]"""
    return [wire.name for wire in arrangement.wires if part.name in (wire.start.partition(":")[0], wire.end.partition(":")[0])]


def goes_words(part, arrangement):
    """Return what goes when a part is taken away: ``F2 and its 2 wires: W3, W4``; nothing where it goes alone. [text]"""
    names = wires_of(part, arrangement)
    ruled = ", and what the rule says of it" if {part.name, *(each.name for each in part.seats)} & {line.part for line in arrangement.rule} else ""
    return f"{part.name} and its {f'{len(names)} wires' if len(names) > 1 else 'wire'}: {listed(names)}{ruled}" if names else ""


def _takes(part, arrangement):
    """Return which wires go with a part: ``its wires W1, W2``; nothing where none does. [text]"""
    names = wires_of(part, arrangement)
    return f"its wire{'s' * (len(names) > 1)} {listed(names)}" if names else ""


def _of_part(part, arrangement):
    """Return the row of a part: its values each in a field of its own, then one for any other value."""
    name = quoted(part.name)
    shown = [field.name for field in fields(part) if field.name not in _NO_VALUE and (
        field.name in _USUAL.get(part.kind, ()) or not part.goes_without_saying(field.name, field.default))]
    others = [_words(field.name) for field in fields(part) if field.name not in (*_NO_VALUE, *shown)]
    values = [_field(_words(field), _bare(value_words(field, getattr(part, field))), f"set {name} {_words(field)} ") for field in shown]
    return {"name": part.name, "kind": part.kind, "remove": f"remove {name} with its wires", "takes": _takes(part, arrangement), "goes": goes_words(part, arrangement),
            "leaving": [part.name, *wires_of(part, arrangement)], "free": _free(part, arrangement), "others": [*others, "note"],
            "fields": [_field("name", name, f"rename {name} ")], "values": values, "other": _field("other value", "", f"set {name} "),
            "place": _field("place", _bare(quoted(part.place)) if part.place else "", f"set {name} place ")}


def _free(part, arrangement):
    """Return the first terminal of a splice or chassis that has no wire yet; of all else a hand must say which. [text]"""
    return next((end for end in arrangement.loose if part.is_metal and end.rpartition(":")[0] == part.name), "")


def _offers(arrangement):
    """Return what there is to choose from: terminals, those without a wire first, with the part they belong to."""
    loose = dict.fromkeys(arrangement.loose)
    ends = [*loose, *(end for end in arrangement.terminals if end not in loose)]
    words = {part.name: ", ".join(filter(None, (part.kind, part.place))) for part in arrangement.listed}
    return {"terminals": [[quoted(end), f"{words[end.rpartition(':')[0]]}{'; no wire yet' if end in loose else ''}"] for end in ends],
            "colours": list(COLOURS), "areas": list(AREAS), "lengths": list(LENGTHS)}


def _rule(arrangement):
    """Return what each lamp shall do as a field, and the looks and positions that a choice is put together from."""
    lamps = [{"name": lamp.name, "words": named(lamp), "sentence": choices_of(arrangement.rule, lamp.name), "says": f"rule {quoted(lamp.name)}: ",
              "forget": f"forget rule {quoted(lamp.name)}" if lamp.name not in arrangement.unruled else ""} for lamp in arrangement.of_kind(Lamp)]
    controls = [[control.name, [[position, f"{quoted(control.name)} {quoted(position)}"] for position in control.shown]]
                for control in arrangement.controls]
    return {"lamps": lamps, "looks": ["steady", "flashing"], "controls": controls}


def choices_of(rule, lamp):
    """Return what the lines of a rule ask of a lamp as it stands in the sentence of a change: ``steady when key on; flashing``. [text]"""
    return choices_words((line.look, line.when) for line in rule if line.lamp == lamp)


def _field(column, shown, says):
    return {"column": column, "shown": shown, "says": says}


def _words(field):
    return field.replace("_", " ")


def _bare(words):
    """Return a value without the quotes that a sentence takes off again, where it is read the same without them."""
    inner = words[1:-1]
    is_plain = words.startswith('"') and not set(inner) & set('"\\\N{LEFT DOUBLE QUOTATION MARK}\N{RIGHT DOUBLE QUOTATION MARK}') and not inner.endswith(".")
    return inner if is_plain and inner == " ".join(inner.split()) else words
