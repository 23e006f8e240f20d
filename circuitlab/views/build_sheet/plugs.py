"""The connectors of the second page: what is usual on each pin, the wires on both halves, and how the halves look."""

from ...ground.errors import listed
from ...ground.quantities import awg_to_mm2
from ...parts import Connector
from ...parts.connector import PLUG, SOCKET, pins_of
from ...parts.tables import find
from ..grid import Grid
from ..plug_picture import plug_pictures
from ..style import colour_words, named, safe

MINUS = "The battery's clamp on the frame off before a plug is opened or its cable cut; cap on and dry afterwards."
LAW = "Which lamps a trailer must have, and which connector, is for the local code and for licensed practice."
NUMBERS = "Go by function and <b>meter every pin</b>: nothing binds a vehicle to this list."
BALL = "Ball and drawbar are no ground, though they may carry some: lamps that are dim, or change as the drawbar moves, mean the ground wire (common practice)."
ALIKE = 0.02      # by which two sizes may differ and still be one: as an American gauge is rounded
MOULDED = {"moulded": "Its numbers are moulded beside each contact on the wire side.",
           "none": "It has no numbers moulded in: those below count its contacts in line, from the odd one."}
NO_FACE = ("Where its contacts stand on the face no source at hand tells surely enough to be drawn, so there is no picture: left and right taken for each other would cross "
           "every wire.")
SECOND = "The cores below are those of the SAE code. A second code, of caravans and motor homes (RV), is about as well, with the same colours on other pins:"
SIZES = "A usual core is as thick as its code says; the wires listed are as thick as what they carry here asks for."
MIRROR = "A socket seen from the plug's side is the same picture as a plug seen from its wires; the two other views are its mirror image."


def plugs(arrangement):
    """Return a table of pins for every connector, with pictures where it is known where they are; nothing without one. [HTML]"""
    connectors = arrangement.of_kind(Connector)
    if not connectors:
        return ""
    said = f'<p class="caution"><b>{MINUS}</b> {LAW}</p><p>{NUMBERS} {MIRROR} {BALL}</p>'
    return f"<h2>Plugs</h2>{said}{''.join(_connector(arrangement, each) for each in connectors)}"


def lines_of(arrangement):
    """Return how many lines the connectors take on the page, about. [1]"""
    return sum(len(each.numbers) + (8 if half_words(each) else 6) for each in arrangement.of_kind(Connector))


def half_words(connector):
    """Return the caution on which half goes on the vehicle, where one contact alone is bare there; else nothing. [text]"""
    bare = find("connectors", "connector", connector.type)["bare"]
    if not bare:
        return ""
    core = next(colour_words(row["colour"]) for row in pins_of(connector.type) if row["pin"] == bare)
    live = listed([pin for pin in connector.numbers if pin != bare])
    return (f"On the vehicle's half the live contacts {live} are shrouded and only {bare}, {core}, is bare; on the trailer's half it is the reverse. So no "
            f"bare live contact shows when it is unplugged: never fit the half with {len(connector.numbers) - 1} bare contacts to the vehicle. The odd contact "
            "tells the ends apart.")


def other_colours(connector):
    """Return what a second colour code has on the pins of a connector, where one is about as well; else nothing. [text]"""
    others = [f"pin {row['pin']}, {row['function']}, {colour_words(row['other colour'])}" for row in pins_of(connector.type)
              if row["other colour"] and row["other colour"] != row["colour"]]
    return f"{SECOND} {'; '.join(others)}; the others alike (from memory)." if others else ""


def _connector(arrangement, connector):
    rows = [(row["pin"], ", ".join(filter(None, (row["function"], row["code"]))), _core(row), *(_wires(arrangement, connector, row["pin"], side) for side in (SOCKET, PLUG)))
            for row in pins_of(connector.type)]
    grid = Grid(f"Pins of {connector.name}", ("pin", "usual on it", "usual core", f"vehicle, {SOCKET}", f"trailer, {PLUG}"), rows)
    pictures = "".join(f"<figure>{picture}<figcaption>{safe(words)}</figcaption></figure>" for words, picture in plug_pictures(connector))
    numbers, caution = MOULDED.get(find("connectors", "connector", connector.type)["numbers"], ""), half_words(connector)
    numbers = " ".join(filter(None, (numbers, "" if pictures else NO_FACE, other_colours(connector), SIZES if _differ_in_size(arrangement, connector) else "")))
    said = (f"<p>{safe(numbers)}</p>" if numbers else "") + (f'<p class="caution"><b>{safe(caution)}</b></p>' if caution else "")
    return f'<div class="plug"><h3>{safe(named(connector))}: {safe(connector.type)}</h3>{said}{grid.html("pins")}{pictures}</div>'


def _differ_in_size(arrangement, connector):
    """Tell whether some wire on a connector is of another size than the usual core of its pin. [yes/no]"""
    usual = {row["pin"]: row["area [mm2]"] or (awg_to_mm2(row["gauge [AWG]"]) if row["gauge [AWG]"] else None) for row in pins_of(connector.type)}
    return any(usual[pin] and abs(arrangement.part(name).area / usual[pin] - 1) > ALIKE for pin in connector.numbers for side in (SOCKET, PLUG)
               for name in arrangement.wires_at[f"{connector.name}:{pin}{side}"])


def _core(row):
    size = f"{row['area [mm2]']:g} mm\N{SUPERSCRIPT TWO}" if row["area [mm2]"] else f"AWG {row['gauge [AWG]']:g}" if row["gauge [AWG]"] else ""
    return " ".join(filter(None, (colour_words(row["colour"]) if row["colour"] else "", size)))


def _wires(arrangement, connector, pin, side):
    wires = [arrangement.part(name) for name in arrangement.wires_at[f"{connector.name}:{pin}{side}"]]
    return ", ".join(f"{wire.name} {wire.colour}".strip() for wire in wires) or "no wire"
