"""What each part looks like to the builder: at which heights its terminals are met, how wide it is, what is written on it."""

from dataclasses import dataclass

from ...ground.errors import ArrangementError, listed
from ...parts import Chassis, Relay, Switch
from ..schematic.shapes import NAME, SMALL, in_lines, shortened, text_width
from ..socket import BLADES
from ..style import ground_words

VIEWS, PIN_ORDERS = ("wire side", "face"), ("A", "B")
PITCH = 14                   # from one wire to the next where they leave a block [px]
NUMBER = 9.5                 # letter height of terminal numbers and of names on wires [px]
HEAD = 12                    # one line of text above a block [px]
LONGEST = 150                # of a line above a block [px]
_MIDDLE = {"fuse": 30, "resistor": 30, "lamp": 40, "battery": 58, "flasher": 44, "splice": 16, "chassis": 22}
CONTACT = 16                 # from one contact of a switch to the next [px]
SOCKET = 104                 # width of a relay's socket [px]


@dataclass(frozen=True)
class Form:
    """A part's rows from top to bottom, each ``(terminal on the left, terminal on the right)``, and its width. [px]"""

    part: str
    rows: tuple
    width: float
    head: tuple              # lines above it, each of pieces (text, bold, live)
    above: float = 14.0       # from its upper edge to its first row [px]
    below: float = 9.0       # from its last row to its lower edge [px]

    @property
    def head_tall(self):
        """Height of the lines above it. [px]"""
        return HEAD * len(self.head) + 4

    def row_of(self, terminal):
        """Return the index of the row in which a terminal is met. [1]"""
        return next(index for index, row in enumerate(self.rows) if terminal in row)

    def sides_of(self, terminal):
        """Return the sides from which a terminal can be met: 0 left, 1 right. [1]"""
        return tuple(side for side in (0, 1) if self.rows[self.row_of(terminal)][side] == terminal)


def check_view(view, pins):
    """Raise an ArrangementError unless the view and the pin order are known."""
    if view not in VIEWS:
        raise ArrangementError(f"there is no view '{view}' of a relay socket. Take one of: {listed(VIEWS)}.", view=view)
    if pins not in PIN_ORDERS:
        raise ArrangementError(f"there is no pin order '{pins}'. Take one of: {listed(PIN_ORDERS)}, and meter the relay "
                               "before plugging in.", pins=pins)


def seats(relay, view, pins):
    """Return where each blade of a socket is: ``{terminal: (x, y, lies flat)}`` in a housing of 100 by 100.

    Order B is order A with 30 and 86 exchanged; the face is the mirror image of the wire side.
    """
    other = {"30": "86", "86": "30"} if pins == "B" else {}
    found = {}
    for terminal in relay.terminals:
        x, y, flat = BLADES[other.get(terminal, terminal)]
        found[terminal] = (100 - x if view == "face" else x, y, flat)
    return found


def form_of(part, arrangement, view, pins):
    """Return what a part looks like to the builder."""
    head = _head(part, arrangement)
    ends = [f"{part.name}:{terminal}" for terminal in part.terminals]
    if isinstance(part, Relay):
        return Form(part.name, _socket_rows(part, view, pins), SOCKET, head, 17, 17)
    rows = [(end, end) for end in ends]
    if len(rows) == 2 or part.kind in ("battery", "flasher"):
        rows.insert(1, ("", ""))
    numbers = max(text_width(shown(end), NUMBER) for end in ends)
    if isinstance(part, Switch):
        middle = 10 + CONTACT * len(part.pairs)
    else:
        middle = _MIDDLE.get(part.kind, 36)
    below = 26 if isinstance(part, Chassis) else 9
    return Form(part.name, tuple(rows), 2 * round(numbers + 9) + middle, head, below=below)


def shown(terminal):
    """Return the number of a terminal as it is printed. [text]"""
    return shortened(terminal.partition(":")[2], 44, NUMBER)


def _socket_rows(relay, view, pins):
    """Return the rows of a socket: what is on top, in the middle, at the sides and at the bottom."""
    at = {}
    for terminal, (x, y, _) in seats(relay, view, pins).items():
        at[(x, y)] = f"{relay.name}:{terminal}"
    top, middle, bottom = (at.get((50, y), "") for y in (20, 50, 80))
    left, right = at.get((20, 50), ""), at.get((80, 50), "")
    return (top, top), (middle, middle), (left, right), ("", ""), (bottom, bottom)


_VALUES = {
    "fuse": lambda part, _: f"{part.rating:g} A", "breaker": lambda part, _: f"breaker {part.rating:g} A",
    "relay": lambda part, _: "dual relay" if "87b" in part.terminals else "relay", "battery": lambda *_: "",
    "resistor": lambda part, _: f"{part.resistance:g} \N{GREEK CAPITAL LETTER OMEGA}",
    "lamp": lambda part, _: part.bulb or f"{part.watts:g} W",
    "switch": lambda part, arrangement: arrangement.control(part.control).name,
    "chassis": lambda part, arrangement: ground_words(arrangement) if arrangement.frame == "plus" else "chassis"}


def _head(part, arrangement):
    """Return the lines above a block: ``(text, bold, live)``, those of one line in a tuple."""
    first = [(shortened(part.name, 90, NAME, True), True, "")]
    value = _VALUES.get("lamp" if part.shines else part.kind, lambda part, arrangement: part.kind)(part, arrangement)
    if value:
        first.append((shortened(value, 80), False, ""))
    first += [(most, False, live) for most, live in live_lines(part, arrangement)]
    return (tuple(first), *(((line, False, ""),) for line in in_lines(part.place, LONGEST, 2)))


def live_lines(part, arrangement):
    """Return what changes with the operating point, ``(longest text, live)``."""
    if part.shines:
        return [("\N{MINUS SIGN}88.8 V", "volts"), ("188 %", "light")]
    if part.kind == "battery":
        return [("88.88 V", "value")]
    if part.kind == "fuse":
        return [("blown", "blown")]
    if part.kind == "switch":
        return [(max((shortened(position, 60) for position in arrangement.control(part.control).positions),
                     key=text_width), "state")]
    longest = max(part.states, key=text_width)
    return [(longest, "state")] if len(part.states) > 1 else []


def head_width(form):
    """Return how wide the lines above a block run. [px]"""
    return max(line_width(line) for line in form.head)


def line_width(line):
    """Return how wide the pieces of one line run. [px]"""
    return sum(text_width(text, NAME if bold else SMALL, bold) + 6 for text, bold, _ in line)
