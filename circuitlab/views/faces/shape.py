"""The shape of one piece in the schematic, in the position it is in, in the sheet's own drawing units; as in IEC 60617.

A shape only lays its strokes; ``pen.py`` draws them. What moves is known besides, so that a hand finds it.
"""

from ..letters import text_width

BODY, BLADE, LINK = 1.5, 2.6, 1.0     # line weights of bodies, blades and operators [px]
THROW = 20                            # how far a blade swings sideways [px]


class Shape:
    """A symbol between ``top`` and ``low`` in its paths; y counts down as on the sheet. This one is a plain box.

    Parameters
    ----------
    symbol : Symbol
        Piece and place. [px]
    state : str
        State of the part; a contact stands as this state has it. [text]
    """

    name = "box"
    body, sides = 24, (12, 12)     # how tall the body is, how far it reaches beside its paths [px]
    pitch = 30                     # least distance between two of its paths [px]
    clear = 0                      # from its last path to the words beside it, where not by its side [px]
    swings = leans = False         # whether its blade goes sideways; whether one contact is straight on

    def __init__(self, symbol, state=""):
        self.xs, self.ends, self.touched, self.note = symbol.xs, symbol.contacts, symbol.piece.touched(state), state
        self.piece, self.link = symbol.piece, symbol.link
        self.top, self.low = symbol.top + symbol.lead, symbol.top + symbol.height - symbol.lead
        self.near_y, self.far_y = (self.top, self.low) if symbol.near_up else (self.low, self.top)
        self.toward = 1 if self.far_y > self.near_y else -1
        self.plus_up = all(up for terminal, _, _, up in symbol.pins() if terminal.endswith("+"))
        self.strokes, self.moving = [], []
        self.form()

    def form(self):
        """Lay its strokes."""
        left, right = self.sides_of(self.piece)
        self.box(min(self.xs) - left, self.top, max(self.xs) + right, self.low)

    @classmethod
    def sides_of(cls, piece):
        """Return how far it reaches left of its first path and right of its last, without what works it. [px]"""
        half = text_width(piece.word) / 2 + 5
        return (max(cls.sides[0], half), max(cls.sides[1], half)) if piece.word else cls.sides

    @staticmethod
    def contacts(xs):
        """Return the x at which each terminal meets the body: beside its path where a blade has to reach it. [px]"""
        return xs

    @staticmethod
    def where(stand, tall):
        """Return path, distance and top of words so tall, where they do not stand in the middle beside it. [px]"""

    def line(self, *points, lw=BODY, ls=None):
        """Lay a line through points. [px]"""
        self.strokes.append(("line", ([(round(x, 1), round(-y, 1)) for x, y in points],), {"lw": lw, "ls": ls}))

    def blade(self, *points):
        """Lay what moves. [px]"""
        self.line(*points, lw=BLADE)
        self.moving.append(points)

    def dot(self, x, y, radius=2.0, fill="currentColor", lw=BODY):
        """Lay a dot or ring. [px]"""
        self.strokes.append(("dot", ((x, -y), radius), {"lw": lw, "fill": fill}))

    def area(self, *points):
        """Lay an outline. [px]"""
        self.strokes.append(("area", ([(x, -y) for x, y in points],), {"closed": True, "lw": BODY, "fill": "none"}))

    def box(self, left, top, right, low):
        """Lay a box. [px]"""
        self.area((left, top), (right, top), (right, low), (left, low))


class Contact(Shape):
    """Make or break contact: blade upright when closed, slanted off when open; its operator on the left."""

    name, body, sides, clear = "contact", 30, (15, 3), 8

    def form(self):
        x = self.xs[0]
        self.dot(x, self.near_y)
        self.dot(x, self.far_y)
        lean = 0 if self.touched else 13
        self.blade((x, self.near_y), (x - lean, self.far_y if self.touched else self.far_y - self.toward * 3))
        if self.piece.worked_by:
            self.operator(x - lean / 2, (self.near_y + self.far_y) / 2, x - (self.link or 22))

    def operator(self, x, y, left):
        """Link the blade to what works it: a hand's bar, a key's bow, a pedal's plate, a pressure box, or the next pole."""
        self.line((x, y), (left, y), lw=LINK, ls="2,2")
        if self.link:        # the pole on the left shows what works them both
            return
        self.moving.append(((left - 6, y - 5), (left + 3, y + 5)))
        if self.piece.worked_by == "key":
            self.dot(left - 3, y, 3, fill="none")
        elif self.piece.worked_by == "pressure":
            self.box(left - 6, y - 4, left, y + 4)
            self.dot(left - 3, y, 1)
        else:
            lean = 3 if self.piece.worked_by == "pedal" else 0
            self.line((left - lean, y + 5), (left + lean, y - 5))


class Changeover(Shape):
    """Break before make: one fixed contact straight ahead, one beside it, the blade on one, the other or between."""

    name, body, sides = "changeover", 30, (5, 5)
    swings = leans = True

    @staticmethod
    def contacts(xs):
        near, *far = xs
        left = sorted((x for x in far if x < near), reverse=True)
        right = sorted(x for x in far if x > near)
        return (near, *(near - THROW * (left.index(x) + 1) if x in left else
                        near + THROW * (right.index(x) + 1) if x in right else near for x in far))

    @staticmethod
    def where(stand, tall):
        return stand.piece.slots[0], 17, (-1 if stand.near_up else stand.tall - tall + 1)

    def form(self):
        x, far = self.ends[0], self.ends[1:]
        self.dot(x, self.near_y)
        for end in far:
            self.dot(end, self.far_y)
        self.blade((x, self.near_y), self.tip(x, far))

    def tip(self, x, far):
        """Return where the blade ends. [px]"""
        if self.touched:
            return far[self.touched[0]], self.far_y
        return sum(far) / 2, self.far_y - self.toward * 6


class Lever(Changeover):
    """One common, several outputs; between them the blade touches nothing."""

    name, leans = "lever", False

    @staticmethod
    def where(stand, tall):
        return stand.piece.slots[0], THROW + 3, (0 if stand.near_up else stand.tall - tall)

    def tip(self, x, far):
        if self.touched:
            return far[self.touched[0]], self.far_y
        return x + (-THROW / 2 if len(far) > 2 else 0), self.far_y - self.toward * 5
