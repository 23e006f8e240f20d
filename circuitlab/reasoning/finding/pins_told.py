"""Pins and plugs as they are spoken of, by their terminals and names.

    12 V at pin 6 of the socket when braking
    0 V at pin 3 of X5's plug
    10.6 V at pin 87a of K1
    0.3 ohm from F1:2 to X1:1, F1 and E1 out, plug out of X5
    battery off, F1 out, plug out of X5: 0.3 ohm from F1:2 to X1:1
"""

import re

from ...ground.errors import ArrangementError, in_short, listed
from ...parts import Connector
from ...parts.connector import PLUG, SOCKET

_HALVES = {"socket": SOCKET, "plug": PLUG}
_OF_HALF = re.compile(r"\b(?:the )?pin (?P<pin>\w+) (?:of|on|in) (?:the )?(?:trailer's |trailer |vehicle's |cart's )?(?:(?P<whose>\w+)'s )?(?P<half>plug|socket)(?: of (?P<name>\w+))?\b", re.IGNORECASE)
_OF_PART = re.compile(r"\b(?:the )?pin (?P<pin>\w+) (?:of|on) (?P<name>\w+)\b", re.IGNORECASE)
_FIRST_DONE = re.compile(r"^(?:with )?(?:the )?battery off(?:, (?P<done>[^:]+|[^:]+:\S.*?))?: (?P<read>.+)$", re.IGNORECASE)
_SAID_ANYWAY = re.compile(r", (?:(?:with )?(?:the )?battery off|everything at rest)(?=,|\.?$)", re.IGNORECASE)
_UNPLUGGED = re.compile(r"(?<=, )(?:and )?(?:(?:the )?plug out of (?P<one>\w+)|(?:the )?plug of (?P<two>\w+) (?:out|parted)(?: of its socket)?|(?P<three>\w+) (?:parted|unplugged)|"
                        r"(?:the )?plug (?:is )?(?:out|parted|unplugged))(?=,|\.?$)", re.IGNORECASE)


def with_plugs(sentence, arrangement):
    """Return a sentence with what was done beforehand behind commas: each plug that is out by its connector's name, the battery's being off left out. [text]

    >>> import circuitlab as cl
    >>> with_plugs("battery off, F1 out, plug out of X5: 0.3 ohm from F1:2 to X1:1", cl.arrangement("trailer-4-flat-combined-lamps"))
    '0.3 ohm from F1:2 to X1:1, F1 out, X5 out'
    """
    said = str(sentence).strip()
    if first := _FIRST_DONE.match(said):
        said = ", ".join(filter(None, (first["read"].removesuffix("."), first["done"])))
    connectors = [part.name for part in arrangement.of_kind(Connector)]

    def parted(match):
        named = match["one"] or match["two"] or match["three"]
        name = next((each for each in connectors if named and each.lower() == named.lower()), connectors[0] if not named and len(connectors) == 1 else "")
        return f"{name} out" if name else match[0]

    return _SAID_ANYWAY.sub("", _UNPLUGGED.sub(parted, said))


def with_pins(sentence, arrangement):
    """Return a sentence with each pin by its terminal: of the only connector in the circuit, of the one that is named, or of another part. [text]

    Raises
    ------
    ArrangementError
        Where there is no connector, several of them, or the half is not said.

    >>> import circuitlab as cl
    >>> with_pins("12 V at pin 6 of the socket when braking", cl.arrangement("trailer-12n-separate-lamps"))
    '12 V at X5:6s when braking'
    """
    said = str(sentence)
    if "pin " not in said.lower():
        return sentence
    connectors = {part.name.lower(): part.name for part in arrangement.of_kind(Connector)}

    def of_half(match):
        named, pin, half = match["name"] or match["whose"] or "", match["pin"], match["half"].lower()
        if not connectors or not named and len(connectors) > 1:
            which = f"there are {listed(connectors.values())}. Say which: 'pin {pin} of the {half} of {next(iter(connectors.values()))}'" if connectors else (
                "it has no connector. Write the terminal as it stands in the drawing, such as 'at K1:87a'")
            raise ArrangementError(f"'{in_short(said)}': which pin of '{arrangement.title}' is that? {which[0].upper()}{which[1:]}.")
        name = connectors.get(named.lower()) if named else next(iter(connectors.values()))
        return f"{name}:{pin}{_HALVES[half]}" if name else match[0]

    def of_part(match):
        name, pin = match["name"], match["pin"]
        if name.lower() in connectors:
            name = connectors[name.lower()]
            raise ArrangementError(f"'{in_short(said)}': pin {pin} of {name} is there twice. Say 'pin {pin} of the socket' for {name}:{pin}{SOCKET}, or "
                                   f"'pin {pin} of the plug' for {name}:{pin}{PLUG}.")
        return f"{name}:{pin}" if name in arrangement.by_name else match[0]

    return _OF_PART.sub(of_part, _OF_HALF.sub(of_half, said))


def in_place_only(sentence, names):
    """Return the refusal of volts or amps that were read with something out or off: they are those of another circuit. [text]"""
    return ArrangementError(f"'{in_short(str(sentence))}': volts and amps count here in the whole circuit, and with {listed(names)} out or off they are others. "
                            "Put it back, mate a plug and read its pin from behind; or tell ohms, with the battery off.")
