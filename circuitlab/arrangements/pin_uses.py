"""Cautions on connectors and converters: a pin whose wires lead to something else than what is usual on it, or a terminal to what it is not for.

Nothing binds a vehicle to the table of contacts, so this is a caution and no
error. It looks at what wires, splices and studs join, as it was built: a wire
that a fault took off, or two places that touch, change nothing.
"""

import re

from ..ground.errors import listed
from ..ground.joined import leaders
from ..parts import Chassis, Connector, Converter, Lamp
from ..parts.connector import PLUG, SOCKET, pins_of
from .nets import metals_as_built

SIDES = {"left", "right"}
MEANT = {"brake": "stop", "braking": "stop", "indicator": "turn", "blinker": "turn", "flasher": "turn", "running": "tail", "marker": "tail",
         "position": "tail", "plate": "tail", "licence": "tail", "license": "tail"}     # other words for what a lamp does: common practice
DOES = {"stop", "turn", "tail"}
FOR_LAMPS = {"54": {"stop"}, "L": {"left", "turn"}, "R": {"right", "turn"}, "58": {"tail"}, "Lt": {"left", "stop", "turn"}, "Rt": {"right", "stop", "turn"},
             "58t": {"tail"}}      # of a converter's terminals
FED = {"54": {"stop", "turn"}, "58": {"tail"}}      # what each filament of two does, by the terminal that feeds it
OTHER = {"fog", "reversing", "reverse", "work"}     # what the table has pins of its own for, or none


def pin_words(arrangement):
    """Say of every pin that is wired to something else than its usual ground or lamps. [text]"""
    connectors, converters = arrangement.of_kind(Connector), arrangement.of_kind(Converter)
    if not connectors and not converters:
        return
    metals = metals_as_built(arrangement)
    for converter in converters:
        yield from _crossed(arrangement, metals, converter)
    for connector in connectors:
        for row in pins_of(connector.type):
            there = _off_ground(arrangement, metals, connector, row) if _words(row["function"]) & {"ground"} else _wrong_lamps(arrangement, metals, connector, row)
            if there:
                yield (f"pin {row['pin']} of connector '{connector.name}' ({connector.type}) is usually {row['function']}, and {there}. Put the wires of both "
                       "halves on the pins for them, or say which kind of connector it is; meter every pin before the halves meet.")


def _crossed(arrangement, metals, converter):
    """Say of every terminal of a converter which lamps hang on it that it is not for: on an output those of the trailer, through mated pins. [text]"""
    pins = [(f"{other.name}:{pin}{SOCKET}", f"{other.name}:{pin}{PLUG}") for other in arrangement.of_kind(Connector) for pin in other.numbers]
    through = leaders(arrangement.terminals, [*metals.items(), *pins])
    poles = {joined[pole] for joined in (metals, through) for pole in (*arrangement.sides[0], *arrangement.sides[1])}
    for terminal, usual in FOR_LAMPS.items():
        end, joined = f"{converter.name}:{terminal}", through if terminal.endswith("t") else metals
        wrong = [lamp for lamp in arrangement.of_kind(Lamp) if terminal in converter.terminals and arrangement.wires_at[end] and joined[end] not in poles
                 and joined[end] in {joined[each] for each in lamp.ends} and not _fits(usual, _does(lamp))]
        if wrong:
            yield (f"{terminal} of converter '{converter.name}' is for {converter.uses[terminal].removeprefix('to the trailer: ')}, and wires lead from it to "
                   f"{listed([f'{lamp.name} ({lamp.place})' for lamp in wrong])}. Change the wires over, or say another place.")


def _off_ground(arrangement, metals, connector, row):
    """Say where the vehicle's wires of a ground pin lead to, when that is no ground; empty when it is, or no wire is there. [text]"""
    end = f"{connector.name}:{row['pin']}{SOCKET}"
    wires = [wire for wire in map(arrangement.part, arrangement.wires_at[end]) if not wire.is_touch]
    through = [(f"{other.name}:{each['pin']}{SOCKET}", f"{other.name}:{each['pin']}{PLUG}") for other in arrangement.of_kind(Connector)
               if other is not connector for each in pins_of(other.type) if "ground" in each["function"]]
    joined = leaders(arrangement.terminals, [*metals.items(), *through])
    grounds = {joined[f"{part.name}:{part.terminals[0]}"] for part in arrangement.of_kind(Chassis)} | {joined[pole] for pole in arrangement.sides[1]}
    if not wires or joined[end] in grounds:
        return ""
    far = [f"{wire.name} to {wire.end if wire.start == end else wire.start}" for wire in wires]
    return f"on the vehicle's half {listed(far)} {'leads' if len(far) == 1 else 'lead'} neither to the frame nor to the battery's {arrangement.pole_on_frame}"


def _wrong_lamps(arrangement, metals, connector, row):
    """Say which lamps the trailer's wires of a pin reach that its use does not fit; empty where none does, or its use is another. [text]"""
    end, usual = f"{connector.name}:{row['pin']}{PLUG}", _words(row["function"])
    if not usual & DOES or metals[end] in {metals[pole] for pole in (*arrangement.sides[0], *arrangement.sides[1])}:
        return ""
    wrong = [lamp for lamp in arrangement.of_kind(Lamp)
             if metals[end] in {metals[each] for each in lamp.ends} and not _fits(usual, _does(lamp))]
    return f"on the trailer's half wires alone lead to {listed([f'{lamp.name} ({lamp.place})' for lamp in wrong])}" if wrong else ""


def _fits(usual, told):
    """Tell whether a lamp's place agrees with what is usual on a pin, as far as it tells anything. [yes/no]"""
    sides, does = told & SIDES, told & (DOES | OTHER)
    return (not sides or not usual & SIDES or bool(sides & usual)) and (not does or bool(does & usual))


def _does(lamp):
    """Return the words that tell a lamp's side and what it does: of its place, or of the terminal that feeds one of two filaments."""
    told = _words(lamp.place)
    return told & SIDES | FED[lamp.inlet] if lamp.seat else told


def _words(text):
    return {MEANT.get(word, word) for word in re.findall(r"[a-z]+", text.lower())}
