"""What each part looks like to the builder: at which heights its terminals are met, how wide it is, what is written on it."""

import re
from dataclasses import dataclass

from ...ground.errors import ArrangementError, listed
from ..faces import face_of
from ..letters import NAME, SMALL, in_lines, shortened, text_width
from ..style import question_mark

VIEWS, PIN_ORDERS = ("wire side", "face"), ("A", "B")
PITCH = 14                   # from one wire to the next where they leave a block [px]
HEAD = 12                    # one line of text above a block [px]
LONGEST = 150                # of a line above a block [px]
BOX_HEAD, BOX_FOOT = 20, 7   # what a box takes above the words of its first block, and below its last one [px]


@dataclass(frozen=True)
class Form:
    """A part's rows from top to bottom, each ``(terminal on the left, terminal on the right)``, and its width. [px]"""

    part: str
    rows: tuple
    width: float
    head: tuple              # lines above it, each of pieces (text, bold, live)
    box: str = ""            # the place it shares with others, which is said once for all of them
    above: float = 14.0       # from its upper edge to its first row [px]
    below: float = 9.0       # from its last row to its lower edge [px]

    @property
    def head_tall(self):
        """Height of the lines above it. [px]"""
        return HEAD * len(self.head) + 4

    @property
    def head_wide(self):
        """How wide the lines above it run. [px]"""
        return max((sum(text_width(text, NAME if bold else SMALL, bold) + 6 for text, bold, _ in line)
                    for line in self.head), default=0)

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


def words_of(place):
    """Return the words of a place. [text]"""
    return set(re.findall(r"\w+", place.lower()))


def form_of(part, arrangement, view, pins):
    """Return what a part looks like to the builder."""
    face = face_of(part)
    box = shared_place(part, arrangement)
    return Form(part.name, face.rows(part, view, pins), face.width(part), _head(face, part, arrangement, box), box, face.above,
                face.below)


def shared_place(part, arrangement):
    """Return the place, up to a comma, that a part shares with another, in the words of the first of them; or nothing. [text]"""
    shared = [other for other in arrangement.listed if _place(other).lower() == _place(part).lower()]
    return _place(shared[0]) if len(shared) > 1 else ""


def _place(part):
    return part.place.partition(",")[0].strip()


def _head(face, part, arrangement, box):
    """Return the lines above a block: ``(text, bold, live)``, those of one line in a tuple."""
    first = [(shortened(part.name, 90, NAME, True) + question_mark(part.name, arrangement), True, "")]
    value = face.value(part, arrangement)
    if value:
        first.append((shortened(value, 80), False, ""))
    rest = part.place.partition(",")[2].strip() if box else part.place
    lines = [first]
    for most, live in face.changing(part, arrangement):
        lines += [[]] * (not live)      # what does not change heads a line of its own
        lines[-1] = [*lines[-1], (most, False, live)]
    return (*map(tuple, lines), *(((line, False, ""),) for line in in_lines(rest, LONGEST, 2) if rest))
