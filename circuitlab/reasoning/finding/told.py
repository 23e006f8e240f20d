"""What a repairer tells: symptoms, as the customer says them, and readings, as sentences and as records.

    rear left dim when braking, only sometimes
    1.8 V from X3:2 to K1:87a when stop
    no way from F1:2 to X1:1, W4 lifted at K1:87a, E1 out
"""

import re
from dataclasses import dataclass, field, replace
from math import inf

from ...arrangements.complaints import BRIGHTNESS, LOOKS, READING_FORMS, SAME, SAID_BESIDES
from ...arrangements.rows import moved, rows_of
from ...arrangements.sentences import as_typed, bared, closed, opened, quoted
from ...ground.errors import ArrangementError, in_short, listed, unknown_name
from ...ground.quantities import read_quantity, say
from ...parts import Lamp
from ..asked import lamp_list, place_of
from ..leads import Reading
from ..reading import WORDS, Reader, fact_words
from .conditions import plain_condition
from .pins_told import in_place_only, with_pins, with_plugs
from .seen import gone_when, part_named, read_seen

_NO_NUMBER = re.compile(r"\b(?:under|over|below|above|less than|more than) [\d.,]+ ?(?:m|k)?(?:ohms?|V)\b", re.IGNORECASE)
_TOO = re.compile(r"\btoo bright\b", re.IGNORECASE)
FLAT = re.compile(r"\b(battery|drain\w*|flat)\b", re.IGNORECASE)
MOST = 2.5      # times the volts of all batteries: more is no reading, charged and jumped as they may be
MEANINGS = {**WORDS, "braking": ("stop",), "turning left": ("turn left",), "turning right": ("turn right",), "tail lamps": ("tail",),
            **{f"{side} {what}": (f"turn {side}",) for side in ("left", "right") for what in ("turn signal", "turn", "indicator")}}


@dataclass(frozen=True)
class Symptom:
    """What a lamp shows in a row.

    Attributes
    ----------
    lamp : str
    look : str
        One of ``LOOKS``. [text]
    positions : dict of str to str
        The row. [text]
    said : tuple of str
        Of ``SAID_BESIDES``. [text]
    words : str
        As a sentence that can be read back. [text]
    either : tuple of str
        Other lamps that may be meant in its place, where the side was not said: one of them is enough.
    """

    lamp: str
    look: str
    positions: dict
    said: tuple = ()
    words: str = ""
    either: tuple = ()

    @property
    def lamps(self):
        """Every lamp that may be meant."""
        return (self.lamp, *self.either)

    def __str__(self):
        return self.words


@dataclass(frozen=True)
class Taken:
    """A reading that somebody took.

    Attributes
    ----------
    reading : Reading or None
        With its value; None where something was only looked at. Of a test lamp ``word`` is bright, dim or dark.
    sure : bool
        Whether whoever took it is sure. [yes/no]
    through : str
        Of amps: what they flow through. [text]
    lifted : tuple of (str, str)
        Wires that are off a terminal meanwhile. [text]
    out : tuple of str
        Lamps out of their sockets and fuses out meanwhile. [text]
    seen : tuple of (str, str)
        What was looked at, and whether it is whole, blown or, of a way in a block, missing; empty for nothing. [text]
    words : str
        As a sentence that can be read back. [text]
    went : dict of str to str
        The row in which a fuse went, where that was told. [text]
    is_again : bool
        A new fuse went as well. [yes/no]
    """

    reading: Reading | None
    sure: bool = True
    through: str = ""
    lifted: tuple = ()
    out: tuple = ()
    seen: tuple = ()
    words: str = field(default="", compare=False)
    went: dict = field(default_factory=dict)
    is_again: bool = False

    @property
    def value(self):
        """What was read, amps without their sign: whoever clamps them on may hold it either way; None for no value. In the reading's unit."""
        value = self.reading and self.reading.value
        return abs(value) if self.through else value

    def __str__(self):
        return self.words


def read_symptom(sentence, arrangement):
    """Return the Symptom that a sentence tells.

    Parameters
    ----------
    sentence : str
        Such as ``"rear left dim when braking"``. [text]
    arrangement : Arrangement

    Raises
    ------
    CircuitLabError
        When it has no form of ours, or names what is not there.

    >>> import circuitlab as cl
    >>> print(read_symptom("E1 weak when lamp switch on", cl.arrangement("one-fused-lamp")))
    load bed dim when lamp switch on
    """
    head, when, more = pieces(sentence)
    words = _TOO.sub("bright", opened(head)).split()
    place = next((number for number, word in enumerate(words) if number and SAME.get(word.lower(), word.lower()) in LOOKS), None)
    if place is None and FLAT.search(head):
        raise ArrangementError(f"'{in_short(sentence)}' is no look of a lamp. What drains a battery is found by its amps: switch everything off, put the meter "
                               "in the place of each fuse, and say it so: '0.4 A through F1'.")
    if place is None:
        raise ArrangementError(f"'{in_short(sentence)}' names no lamp and look. Write it so: 'rear left dim when braking'. A look is one of "
                               f"{listed(LOOKS)}.")
    look = words[place].lower()
    for word in words[place + 1:]:
        raise ArrangementError(f"'{in_short(sentence)}': '{word}' behind '{look}' is out of place. Write 'when' and the controls, such as "
                               "'when braking', or a comma before 'only sometimes'.")
    for word in more:
        if word not in SAID_BESIDES:
            raise unknown_name(f"'{in_short(sentence)}'", "remark", word, SAID_BESIDES)
    head = " ".join(words[:place])
    meant = [head] if head.lower() in {lamp.place.lower() for lamp in arrangement.of_kind(Lamp)} else head.split(" or ")
    lamp, *either = (_lamp(" ".join(_without(each.split())), arrangement, sentence) for each in meant)
    positions, look = row_meant(when, arrangement, sentence), SAME.get(look, look)
    said = [f"{' or '.join(place_of(arrangement, each) for each in (lamp, *either))} {look}{when_words(arrangement, positions)}", *more]
    return Symptom(lamp, look, positions, tuple(more), ", ".join(said), tuple(either))


def read_taken(sentence, arrangement):
    """Return the Taken that a sentence tells.

    Parameters
    ----------
    sentence : str
        Such as ``"1.8 V from X3:2 to K1:87a when braking"``; ``READING_FORMS`` has one of every form. [text]
    arrangement : Arrangement

    Raises
    ------
    CircuitLabError
        When it has no form of ours, names what is not there, has both leads on one terminal, or another unit.

    >>> import circuitlab as cl
    >>> print(read_taken("10,6 V at E1:1 when lamp switch on, not sure", cl.arrangement("one-fused-lamp")))
    10.6 V at E1:1 when lamp switch on, not sure
    """
    head, when, more = pieces(with_pins(with_plugs(gone_when(sentence), arrangement), arrangement))
    positions, phases, lifted, out, sure = row_meant(when, arrangement, sentence), {}, [], [], True
    for piece in more:
        if piece == "not sure":
            sure = False
        elif match := re.fullmatch(r"while (\S+) (on|off)", piece):
            phases[part_named(arrangement, match[1], lambda part: part.swings, "flasher")] = match[2]
        elif match := re.fullmatch(r"(\S+) (?:lifted (?:at|from)|off(?: at| from)?) (\S+)", piece):
            lifted.append((arrangement.part(opened(match[1])).name, arrangement.check_terminal(opened(match[2]))))
        elif match := re.fullmatch(r"(\S+) out", piece):
            out.append(arrangement.part(opened(match[1])).name)
        else:
            raise ArrangementError(f"'{in_short(sentence)}': '{as_typed(piece)}' cannot be read. Behind a comma may stand: 'not sure', "
                                   "'while K9 on', 'W4 lifted at X3:2', 'E1 out', 'plug out of X5'.")
    taken = read_seen(head, arrangement) or _test_lamp(head, arrangement) or _measured(head, arrangement, sentence)
    reading = taken.pop("reading")
    if reading and (out or lifted) and reading.get("instrument") != "ohms":
        raise in_place_only(sentence, [*out, *(wire for wire, _ in lifted)])
    if reading:
        reading = Reading(positions=positions, phases=phases, is_measured=True, **reading)
    went = positions if taken.get("seen", ("", ""))[1] == "blown" and when is not None and positions != arrangement.positions() else {}
    return _worded(Taken(reading, sure, lifted=tuple(lifted), out=tuple(out), went=went, **taken), arrangement)


def read_out_of_reach(sentence, arrangement):
    """Return the terminal or part of a sentence such as ``cannot get at X3:2``, or nothing where it is another one. [text]"""
    match = re.fullmatch(r"(?:i )?(?:cannot|can't|can not) get at (?:this one,? )?(\S+)", closed(bared(with_pins(sentence, arrangement))).strip().rstrip("."), re.IGNORECASE)
    if not match:
        return ""
    name = opened(match[1])
    return arrangement.check_terminal(name) if ":" in name else arrangement.part(name).name


def when_words(arrangement, positions):
    """Return which controls are moved as the end of a sentence, such as `` when stop``; empty at rest. [text]"""
    domain = tuple((control.name, control.positions) for control in arrangement.controls)
    rest = arrangement.positions()
    facts = [fact_words(domain, name, position) for name, position in positions.items() if position != rest[name]]
    return f" when {' and '.join(facts)}" if facts else ""


def taken_words(reading, arrangement, value):
    """Return a reading as the beginning of a sentence, its value said as given. [text]"""
    at = f"at {quoted(reading.red)}" if reading.black == arrangement.zero and reading.instrument != "ohms" else (
        f"from {quoted(reading.red)} to {quoted(reading.black)}")
    return f"{value} {at}{when_words(arrangement, reading.positions)}"


def besides_words(phases, lifted, out):
    """Return what is done besides as pieces to stand behind commas: flashers held, wires lifted, lamps and fuses out. [text]"""
    return [*(f"while {quoted(name)} {phase}" for name, phase in phases.items()),
            *(f"{quoted(wire)} lifted at {quoted(end)}" for wire, end in lifted), *(f"{quoted(name)} out" for name in out)]


# ------------------------------------------------------------------ pieces

def pieces(sentence):
    """Return what stands first, the words of the condition or None, and what stands behind commas. [text]"""
    text = " ".join(closed(bared(sentence)).split()).removesuffix(".").strip()
    text = re.sub(rf"(?<!,) ({'|'.join(SAID_BESIDES)})$", r", \1", text)
    if not text:
        raise ArrangementError("nothing is said there. Write it so: 'rear left dim when braking', or '10.6 V at K1:87a when braking'.")
    text = re.sub(r"(?<=, )(\w+(?:, \w+)*)(?:,? and|,) (\w+) out\b", lambda found: ", ".join(f"{name} out" for name in (*found[1].split(", "), found[2])), text)
    first, *more = re.split(r", | while (?=\S+ o)", text.replace(", while ", " while "))
    more = [f"while {piece}" if re.fullmatch(r"\S+ (?:on|off)", piece) and " while " in text else piece.strip() for piece in more]
    head, when, condition = first.partition(" when ")
    return head.strip(), condition.split() if when else None, more


def row_meant(when, arrangement, sentence):
    """Return the row with fewest controls moved that a condition fits. [text]"""
    rest = arrangement.positions()
    if when is None:
        return rest
    domain = tuple((control.name, control.positions) for control in arrangement.controls)
    condition = Reader(arrangement, MEANINGS, domain, in_short(sentence)).read(plain_condition(when, domain))
    fitting = [row for row in rows_of(arrangement) if condition.holds(row)]
    if not fitting:
        raise ArrangementError(f"'{in_short(sentence)}': no position of the controls is like that. Leave out what contradicts the rest.")
    return min(fitting, key=lambda row: moved(row, rest))


def _without(words):
    return [word for word in words if word.lower() not in ("the", "is", "are", "lamp", "stays", "only", "too")] or words


def _lamp(said, arrangement, sentence):
    """Return the lamp that is called so: by its name, or by the words of its place in any order. [text]"""
    lamps = arrangement.of_kind(Lamp)
    found = [lamp.name for lamp in lamps if lamp.name.lower() == said.lower()] or [
        lamp.name for lamp in lamps if lamp.place and lamp.place.lower() == said.lower()] or [
        lamp.name for lamp in lamps if lamp.place and sorted(lamp.place.lower().replace(",", "").split()) == sorted(said.lower().replace(",", "").split())] or [
        lamp.name for lamp in lamps if lamp.place and {*said.lower().split()} <= {*lamp.place.lower().replace(",", "").split()}]
    if len(found) > 1:
        raise ArrangementError(f"'{in_short(sentence)}': '{said}' may be {listed(found)}. Name one: {lamp_list(arrangement, found)}.")
    if not found:
        raise unknown_name(f"'{in_short(sentence)}': '{arrangement.title}'", "lamp", said, [
            *(lamp.place for lamp in lamps if lamp.place), *(lamp.name for lamp in lamps)])
    return found[0]


def _leads(words, arrangement):
    """Return red and black of ``at T``, ``from T to T`` or ``across P``, or nothing. [text]"""
    match = re.fullmatch(r"at (\S+)", words)
    if match:
        return arrangement.check_terminal(opened(match[1])), arrangement.zero
    match = re.fullmatch(r"(?:from|between) (\S+) (?:to|and) (\S+)", words)
    if match:
        return tuple(arrangement.check_terminal(opened(each)) for each in match.groups())
    match = re.fullmatch(r"across (\S+)", words)
    if match:
        part = arrangement.part(opened(match[1]))
        ends = part.ends
        if len(ends) == 2:
            return ends
        raise ArrangementError(f"'{part.name}' has {len(ends)} terminals. Write 'from {ends[0]} to {ends[-1]}'.", part=part.name)
    return ()


def _test_lamp(head, arrangement):
    match = re.fullmatch(r"test ?lamp (\S+) (.+)", head, re.IGNORECASE)
    if not match:
        return None
    if match[1].lower() not in BRIGHTNESS:
        raise unknown_name("a test lamp", "look", match[1], BRIGHTNESS)
    leads = _leads(match[2], arrangement)
    if not leads:
        raise ArrangementError(f"'{as_typed(head)}' does not say where. Write it so: 'test lamp dim at K1:87a when braking'.")
    return {"reading": {"red": leads[0], "black": leads[1], "instrument": "test lamp", "word": match[1].lower()}}


def _measured(head, arrangement, sentence):
    """Return what was measured: a number with its unit, and where."""
    jumping = re.fullmatch(r"(?:the )?(?:display )?jumps (.+)", head)
    if jumping and (leads := _leads(jumping[1], arrangement)):
        return {"reading": {"red": leads[0], "black": leads[1], "word": "unsteady"}}
    match = re.fullmatch(r"(.*?) ?\b(at|from|between|across|through) (.+)", head)
    value = match and re.fullmatch(r"(?:about )?(no way|open|-?[\d.,]+(?:e-?\d+)?\s*(\S+))", match[1].strip())
    if not value and _NO_NUMBER.search(head):
        raise ArrangementError(f"'{in_short(sentence)}': say what the meter shows and not what it is less or more than, such as '0.3 ohm', or 'no way' beyond its range.")
    if not value:
        raise ArrangementError(f"'{in_short(sentence)}' is no reading that can be read. Write it so: " + "; ".join(
            f"'{form}'" for form in list(READING_FORMS)[:4]) + "; 'F1 whole'.")
    text, unit = value[1], value[2] or "ohm"
    if match[2] == "through":
        part = arrangement.part(opened(match[3]))
        ends = part.ends[:2]
        return {"reading": {"red": ends[0], "black": ends[1], "instrument": "amps", "value": read_quantity(text, "A")}, "through": part.name}
    leads = _leads(f"{match[2]} {match[3]}", arrangement)
    if not leads:
        raise ArrangementError(f"'{in_short(sentence)}' does not say where the leads are. Write 'at K1:87a' or 'from X3:2 to K1:87a'.")
    if unit.lower().lstrip("mk") in ("a", "amp", "amps"):
        raise ArrangementError(f"'{in_short(sentence)}': amps flow through something. Write it so: '3.7 A through F1 when braking'.")
    if text in ("no way", "open") or "ohm" in unit.lower() or unit[-1:] in "\N{GREEK CAPITAL LETTER OMEGA}\N{OHM SIGN}":
        ohms = None if text in ("no way", "open") else read_quantity(text, "ohm")
        return {"reading": {"red": leads[0], "black": leads[1], "instrument": "ohms", "value": ohms, "word": "open" if ohms is None else ""}}
    volts = read_quantity(text, "V")
    most = MOST * sum(arrangement.supplies)
    if abs(volts) > most:
        raise ArrangementError(f"'{in_short(sentence)}': {value[1]} cannot be there, as nothing here gives more than {most:.0f} V. Look at the unit, V or mV, and "
                               "write it again.")
    return {"reading": {"red": leads[0], "black": leads[1], "value": volts}}


def _worded(taken, arrangement):
    """Return it with its sentence."""
    reading = taken.reading
    if taken.seen:
        said = [" ".join(taken.seen) + " again" * taken.is_again + when_words(arrangement, taken.went or arrangement.positions())]
    elif taken.through:
        said = [f"{say(reading.value, 'A')} through {quoted(taken.through)}{when_words(arrangement, reading.positions)}"]
    else:
        value = "display jumps" if reading.word == "unsteady" else f"test lamp {reading.word}" if reading.instrument == "test lamp" else "no way" if reading.value in (None, inf) else (
            f"{reading.value + 0.0:.4g} {reading.unit}")
        said = [taken_words(reading, arrangement, value)]
    said += [*besides_words(reading.phases if reading else {}, taken.lifted, taken.out), *["not sure"] * (not taken.sure)]
    return replace(taken, words=", ".join(said))
