"""What every kind of part has to show: a symbol, a body, words, and handles; without more, a box with its kind in it."""

from dataclasses import fields

from ..letters import NAME, NUMBER, SMALL, shortened, text_width
from ..style import question_mark
from .body import Body, glass
from .piece import whole
from .shape import Shape


class Face:
    """How a kind of part looks and reads, in both drawings and in lists.

    ``shape`` and ``body`` draw it, ``middle`` is how wide the inside of its block is, ``above`` and ``below`` how far its
    outer rows are from the edges [px]; ``is_worked`` tells whether a hand works it, ``turns`` whether its block may stand on its head. ``marking`` stands beside its symbol,
    ``heading`` behind its name above its block, ``listing`` in the parts list, each with the values of the part. [text]
    """

    shape, body = Shape, Body
    middle, above, below = 36, 14, 9
    is_worked = is_spaced = False
    turns = True
    marking, heading, listing = "", "{0.kind}", ""

    # ------------------------------------------------------------------ symbol

    def pieces(self, part, arrangement):
        """Return the pieces the schematic shows of it."""
        return [whole(part, self.shape, word=part.kind if self.shape is Shape else "")]

    def lines(self, piece, part, arrangement, see):
        """Return what is said beside a piece: ``(text, live)`` line by line, its name first, where the others are last."""
        return [(shortened(part.name, 64, NAME) + question_mark(part.name, arrangement), ""), *self.beside(piece, part, arrangement), *([(see, "")] if see else [])]

    def beside(self, piece, part, arrangement):
        """Return what is said beside a piece after its name, ``(longest text, live)``."""
        return [*([(self.marking.format(part), "")] if self.marking else []), *self.changing(part, arrangement)]

    # -------------------------------------------------------------------- body

    def glows(self, part):
        """Tell whether its block has words and a glow that change from frame to frame, as a lamp's. [yes/no]"""
        return part.shines

    def glasses(self, part, block):
        """Return for each lamp in its block where it glows, middle and radius. [px]"""
        return {part.name: glass(block)} if part.shines else {}

    def seats(self, part, block):
        """Return for each part that sits in its block where a hand finds it, middle and radius. [px]"""
        return {name: where for name, where in self.glasses(part, block).items() if name != part.name}

    def state(self, part, states):
        """Return in which state its block is drawn, all states known. [text]"""
        return states[part.name]

    def noted(self, part, arrangement):
        """Return what the connection list says of its terminals besides the wires. [text]"""
        return ""

    def rows(self, part, view, pins):
        """Return the rows of its block from top to bottom: ``(terminal on the left, terminal on the right)``."""
        rows = [(f"{part.name}:{terminal}",) * 2 for terminal in part.terminals]
        if len(rows) == 2 or self.is_spaced:
            rows.insert(1, ("", ""))
        return tuple(rows)

    def width(self, part):
        """Return how wide its block is. [px]"""
        return 2 * round(max(text_width(number(terminal), NUMBER) for terminal in part.terminals) + 9) + self.inside(part)

    def inside(self, part):
        """Return how wide the inside of its block is, between the numbers of its terminals. [px]"""
        return round(text_width(part.kind, SMALL)) + 20 if self.body is Body else self.middle

    def blades(self, part, rows, left, right, view, pins):
        """Return ``(terminal, x, y, lies flat)`` of what is plugged into a socket. [px]"""
        return ()

    # ------------------------------------------------------------------- words

    def value(self, part, arrangement):
        """Return what stands behind its name above its block. [text]"""
        return "" if self.body is Body else self.heading.format(part)

    def details(self, part):
        """Return it as the parts list has it. [text]"""
        if self.listing:
            return self.listing.format(part)
        told = [f"{field.name.replace('_', ' ')} {getattr(part, field.name)}" for field in fields(part)
                if field.name not in ("name", "place", "note")]
        return f"{part.kind}, {', '.join(told)}" if told else part.kind

    def spoken(self, part, view, pins):
        """Return what is said of its block besides its name. [text]"""
        return ""

    def changing(self, part, arrangement):
        """Return what changes with the operating point, ``(longest text, live)``."""
        return [(max(part.states, key=text_width), "state")] if len(part.states) > 1 else []

    def live(self, part, state, point):
        """Return the texts that change: what is told, and the words; without a settled point there are no values."""
        return {"state": state, "blown": "blown" if state == "blown" else ""}

    def seen(self, part):
        """Return the part as a sheet sees it: without the values it does not show, or fills in later."""
        return part

    def states(self, part, arrangement):
        """Return every state in which it can be drawn. [text]"""
        return part.states


def number(terminal):
    """Return the number of a terminal as it is printed. [text]"""
    return shortened(terminal.rpartition(":")[2], 44, NUMBER)
