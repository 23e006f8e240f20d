"""Laying out the attached sheet: blocks in columns, wires through gaps and channels, each on a track of its own."""

from dataclasses import replace
from functools import lru_cache
from math import inf

from ...arrangements.plan import Plan
from ...parts import Role
from ..edges import MARGIN, key_lines
from ..faces import as_seen, face_of
from ..faces.face import number
from ..letters import NAME, NUMBER, SMALL, Label, shortened, text_width
from ..style import question_mark
from .ahead import front_lamps, head_of
from .behind import behind_cart
from .blocks import BOX_FOOT, BOX_HEAD, HEAD, check_view, form_of
from .channels import EDGE, LAST_EDGE, LAST_TRACK, LEAST_EDGE, LEAST_TRACK, TRACK, tracks_of
from .kept import kept_of, ways_of
from .places import standing, zone_of
from .remarks import bare, heading_labels, remarks_on
from .sheet import AttachedSheet, Block, Route, Row
from .stack import Stack
from .untangling import Untangling
from .ways import Ways, nets_of
from .wished import BELOW, LEFT, WIDE, is_open, reach

BORDER = 22                  # from the vehicle's outline to the first channel [px]
NAMED = 92                   # longest name and letters of a wire [px]
WIDEST = "\N{MINUS SIGN}88.8 V 888 mA \N{RIGHTWARDS ARROW}"       # the longest reading at the end of a wire
ROOM = text_width(WIDEST, NUMBER) + 6
_ROUNDS = 3
_AFRESH = 9                  # how often a sheet is made from its own places, until it keeps them
_AGAIN = 1                   # how often all ways are looked for anew between two searches for fewer crossings


def lay_out_attached(arrangement, view="wire side", pins="A", readings=False, like=None):
    """Return the attached sheet of an arrangement: the same one every time, what its plan knows in its place.

    Parameters
    ----------
    arrangement : Arrangement
    view : {"wire side", "face"}
        From where the relay sockets are seen. The wire side shows the same picture as the relay's own pins;
        the face is its mirror image. [text]
    pins : {"A", "B"}
        Which of the two usual pin orders the relays have; B has 30 and 86 exchanged. [text]
    readings : bool
        Whether to keep room for volts and amps at both ends of every wire. [yes/no]
    like : AttachedSheet, optional
        The sheet before a change: what is on it stays as well, where the plan does not know better.

    Returns
    -------
    AttachedSheet
    """
    check_view(view, pins)
    seen = as_seen(arrangement)
    plan = seen.plan.beside(like.plan) if like else seen.plan
    return laid_out(seen, view, pins, bool(readings), replace(plan.of(seen), schematic=()))


@lru_cache(maxsize=64)
def laid_out(arrangement, view, pins, readings, plan=Plan()):
    """Place everything on a sheet, what has a spot there or as near as there is room; equal arrangements may differ in these.

    Wires whose ways are not kept find them anew once everything has its place, so that a sheet is the one that its own plan gives again.
    """
    sheet = _at_rest(arrangement, view, pins, readings, plan, bool(plan.wires))
    is_by_hand = bool(plan.attached) and not plan.wires
    return _at_rest(arrangement, view, pins, readings, sheet.plan, True) if is_by_hand else sheet


def _at_rest(arrangement, view, pins, readings, plan, keeps_ways):
    """Place everything on a sheet again and again, until it is the one that its own plan gives."""
    sheet = _placed(arrangement, view, pins, readings, plan)
    for _ in range(_AFRESH):
        plan, before = sheet.plan if keeps_ways else replace(sheet.plan, wires=()), plan
        if _same(plan, before):
            break
        sheet = _placed(arrangement, view, pins, readings, plan)
    return sheet


def _same(plan, other):
    return set(plan.attached) == set(other.attached) and set(plan.wires) == set(other.wires)


def _placed(arrangement, view, pins, readings, plan):
    """Place everything on a sheet once; where a joint between cart and trailer would push the trailer away, it stands on the trailer."""
    sheet = _placed_once(arrangement, view, pins, readings, plan)
    if plan.attached and sheet.trailer:
        spots = {name: place for name, *place in sheet.spots}
        if any(spots[name] != place for name, *place in map(list, plan.attached)):
            return _placed_once(arrangement, view, pins, readings, plan, closed=True)
    return sheet


def _placed_once(arrangement, view, pins, readings, plan, closed=False):
    spots = plan.attached
    forms = {part.name: form_of(part, arrangement, view, pins) for part in arrangement.listed}
    for name, *_, turned in spots:
        if turned and arrangement.part(name) in turnable(arrangement):
            forms[name] = replace(forms[name], rows=forms[name].rows[::-1])
    below = BELOW if is_open(arrangement) else 0
    kept = replace(kept_of(plan, forms, behind_cart(arrangement, plan)), closed=closed, grows=bool(below))
    ahead = head_of(arrangement, forms, kept) if below or kept else 0
    stands = standing(arrangement, forms, kept, below, ahead)
    remarks = len(remarks_on(arrangement, view, pins)) - bool(bare(arrangement))     # which stands where nothing else does
    names = {wire.name: shortened(f"{shortened(wire.name, NAMED - 34, NUMBER)}{question_mark(wire.name, arrangement)} {wire.colour}".strip(), NAMED, NUMBER)
             for wire in arrangement.wires}
    named = {name: text_width(text, NUMBER) + (ROOM if readings else 0) for name, text in names.items()}
    top = MARGIN + HEAD * (2 + remarks) + (40 if stands.has_outline else 16)
    ways_kept = ways_of(plan, top)
    stack = Stack(forms, stands, top, named, below, dict.fromkeys(forms.keys() - front_lamps(arrangement), ahead))
    for _ in range(_ROUNDS if len(spots) < len(forms) else 1):
        ways = Ways(arrangement, stack, ways_kept).all
        stack.take(ways)
    ways = _untangled(arrangement, stack, ways, ways_kept)
    return _Draft(arrangement, view, pins, stands, stack, ways, names, readings).sheet()


def _untangled(arrangement, stack, ways, kept):
    """Return the ways with fewer crossings: blocks and the wires at each of them put in a better order."""
    turned = {part.name for part in turnable(arrangement) if part.name not in stack.first_rows}
    zones = {part.name: zone_of(part) for part in arrangement.listed}
    for turn in range(_AGAIN + 1):
        search = Untangling(stack, ways, turned, zones)
        search.blocks()
        if turn < _AGAIN:
            ways = Ways(arrangement, stack, kept).all
    search.orders()
    return ways


def turnable(arrangement):
    """Return the parts that may stand on their head."""
    return [part for part in arrangement.listed if face_of(part).turns and (part.shines or not (part.inlet or part.is_polar or part.first(Role.SOURCE)))]


class _Draft:
    """Everything has its height; makes the places from left to right and the records of the sheet."""

    def __init__(self, arrangement, view, pins, stands, stack, ways, names, readings):
        self.arrangement, self.view, self.pins = arrangement, view, pins
        self.names, self.readings = names, readings
        self.forms, self.stands, self.stack, self.ways = stack.forms, stands, stack, ways
        self.is_open = is_open(arrangement)
        self.corner = MARGIN + (BORDER if stands.has_outline else 0), stack.top
        stack.heights(ways)
        self._tracks()
        self._spread()

    def _tracks(self):
        """Give every upright stretch its track."""
        nets, self.track, self.counts = nets_of(self.ways), {}, {}
        for channel in range(len(self.stack.columns) + 1):
            most = (self.stack.room(channel) - 2 * LEAST_EDGE) / LEAST_TRACK + 1
            track, self.counts[channel] = tracks_of(nets[channel], most)
            self.track.update({(net.wire, channel): number for net, number in track.items()})

    def _spread(self):
        """Give channels and columns their places from left to right."""
        x, _ = self.corner
        self.channel_x, self.pitch, self.block_x, self.right = [], [], [], 0.0
        for index in range(len(self.stack.columns) + 1):
            edge, pitch = self._tight(index, x)
            self.channel_x.append(x + edge)
            self.pitch.append(pitch)
            x += 2 * edge + pitch * max(0, self.counts[index] - 1) if self.counts[index] else edge
            if self.stands.has_outline and index == len(self.stack.columns) - self.stands.beside:
                self.right = x + BORDER
                x = self.right + EDGE
            if index < len(self.stack.columns):
                x = self._column(index, x)
        self.width = max(x + MARGIN, self.right + MARGIN)

    def _tight(self, index, x):
        """Return how far from a column and how far apart the tracks of a channel are: nearer where the next one is kept. [px]"""
        kept, between = self._kept_middle(index), self.counts[index] - 1
        room = kept - self._left(index) - x if kept < inf else inf
        if between < 0 or room >= 2 * EDGE + TRACK * between or self.readings:
            return EDGE, TRACK
        least = min(LEAST_EDGE, max(LAST_EDGE, (room - LEAST_TRACK * between) / 2))
        if least == LAST_EDGE and between:
            return least, min(LEAST_TRACK, max(LAST_TRACK, (room - 2 * LAST_EDGE) / between))
        return least, min(TRACK, max(LEAST_TRACK, (room - 2 * LEAST_EDGE) // max(between, 1)))

    def _kept_middle(self, index):
        """Return where the plan has the middle of a column; where it has none, far to the right. [px]"""
        middles = self.stands.kept.middles
        if index >= len(middles) or middles[index] is None:
            return inf
        return self.corner[0] + middles[index]

    def _left(self, index):
        """Return how far left of its middle a column reaches, names of wires included. [px]"""
        return self.stack.bands(index)[0] + self.stack.wide(index) / 2

    def _column(self, index, x):
        """Place the blocks of a column in its middle, and return where it ends. [px]"""
        bands, wide = self.stack.bands(index), self.stack.wide(index)
        middle, kept = round(x + self._left(index)), self._kept_middle(index)
        tight = middle
        if self.is_open:
            middle = max(middle, round(self._roomy(index) + wide / 2))
        middle = max(tight, round(kept, 1)) if kept < inf else middle
        self.block_x.append(middle)
        return round(max(middle + wide / 2 + bands[1], middle + self.stack.words(index)))

    def _roomy(self, index):
        """Return where the blocks of a column may begin so that wires still to come have room. [px]"""
        if not index:
            return self.corner[0] + LEFT
        return self.block_x[-1] + max((reach(self.forms[name]) for name in self.stack.columns[index - 1]), default=0) + WIDE

    def sheet(self):
        blocks = tuple(self._block(part) for part in self.arrangement.listed)
        routes = tuple(self._route(way) for way in self.ways)
        labels = [label for block in blocks for label in (*self._head_labels(block), *self._numbers(block))]
        labels += [label for block in blocks for label in self._wire_labels(block)]
        boxes = tuple(self._boxes())
        labels += [Label(place, left + 6, top + 12, SMALL, "sheet", "box") for place, left, top, *_ in boxes]
        title = min(text_width(self.arrangement.title, NAME, True), 460)
        width = round(max([self.width, title + 2 * MARGIN, 330] + [label.box[2] + MARGIN for label in labels]))
        labels += heading_labels(self.arrangement.title, remarks_on(self.arrangement, self.view, self.pins), width)
        outline, trailer, low = self._outlines(labels)
        key, low = key_lines(self.arrangement, width, low + 18)
        labels += [Label(text, x, y, SMALL, "sheet", "key") for _, text, x, y in key]
        return AttachedSheet(self.arrangement, self.view, self.pins, width, round(low + MARGIN), blocks, routes,
                             tuple(labels), key, outline,
                             tuple((x, x + pitch * (self.counts[channel] - 1))
                                   for channel, (x, pitch) in enumerate(zip(self.channel_x, self.pitch))),
                             self.corner, frozenset(self._turned()), boxes, trailer)

    def _boxes(self):
        """Yield the boxes of places that parts share, as wide as their columns."""
        for index, names in enumerate(self.stack.columns):
            left = self.block_x[index] - self._left(index) + 2
            right = self.block_x[index] + max(self.stack.wide(index) / 2 + self.stack.bands(index)[1], self.stack.words(index)) - 2
            for place, name in enumerate(names):
                if self.stack.begins(name, names[place - 1] if place else None):
                    box = self.forms[name].box
                    last = next((end for end in range(place, len(names)) if self.forms[names[end]].box != box), len(names))
                    top, low = self.stack.boxes[name][0] - BOX_HEAD + 4, self.stack.boxes[names[last - 1]][2] + BOX_FOOT - 1
                    yield box, round(left, 1), round(top, 1), round(right, 1), round(low, 1)

    def _turned(self):
        """Yield the names of what stands on its head."""
        for part in self.arrangement.listed:
            upright = form_of(part, self.arrangement, self.view, self.pins).rows
            if self.forms[part.name].rows == upright[::-1] != upright:
                yield part.name

    def _outlines(self, labels):
        """Return the box of the vehicle, that of its trailer, and where the last ends, adding the words printed on them."""
        low = self.stack.low + 10
        if not self.stands.has_outline:
            return (), (), low
        left, top, right = MARGIN, self.stack.top - 26, self.right
        low += 14
        for text, place in (("left (driver's, facing forward)", 0), ("\N{BLACK UP-POINTING TRIANGLE} front, seen from above", 0.5),
                            ("right (driver's, facing forward)", 1)):
            wide = text_width(text)
            x = (left + 34 + place * (right - left - 68 - wide))
            labels.append(Label(text, round(x, 1), top + 15, SMALL, "sheet", "outline"))
        labels.append(Label("rear", round((left + right) / 2 - text_width("rear") / 2, 1), low - 5, SMALL, "sheet", "outline"))
        end, head = map(self.stack.heights_of_borders.get, (0, 1))
        if head:
            words = "rear", "\N{BLACK UP-POINTING TRIANGLE} trailer"
            roomy = [x for index, x in enumerate(self.block_x[:len(self.block_x) - self.stands.beside])
                     if 2 * min(self.stack.bands(index)) + self.stack.wide(index) > max(map(text_width, words))]
            middle = min(roomy or self.block_x, key=lambda x: abs(x - (left + right) / 2))      # in a column no wire runs upright
            for text, y in zip(words, (end - 5, head + 15), strict=True):
                labels.append(Label(text, round(middle - text_width(text) / 2, 1), round(y, 1), SMALL, "sheet", "outline"))
        if self.stands.beside:
            labels.append(Label("lamps elsewhere", right + 8, top + 15, SMALL, "sheet", "outline"))
        return (left, top, right, end or low), (left, head, right, low) if head else (), low

    def _block(self, part):
        name, form = part.name, self.forms[part.name]
        middle = self.block_x[self.stack.column_of[name]]
        _, top, low = self.stack.boxes[name]
        rows = []
        for index, ((left, right), (first, last)) in enumerate(zip(form.rows, self.stack.rows[name], strict=True)):
            ys = [tuple(self.stack.slot_y(name, index, slot, len(found)) for slot in range(len(found)))
                  for found in (self.stack.taps.get((name, index, side), ()) for side in (0, 1))]
            if left and not ys[0] and (left != right or not ys[1]):
                ys[0] = ((first + last) / 2,)
            if right and not ys[1] and left != right:
                ys[1] = ((first + last) / 2,)
            rows.append(Row(left, right, first, last, *ys))
        left, right = middle - form.width / 2, middle + form.width / 2
        blades = face_of(part).blades(part, rows, left, right, self.view, self.pins)
        return Block(name, left, top, right, low, tuple(rows), blades)

    def _route(self, way):
        points = [(self._edge(way, 0), way.ys[0])]
        for index, channel in enumerate(way.channels):
            x = self.channel_x[channel] + self.pitch[channel] * self.track[way.wire.name, channel]
            points += [(x, way.ys[index]), (x, way.ys[index + 1])]
        points.append((self._edge(way, 1), way.ys[-1]))
        return Route(way.wire.name, tuple((*a, *b) for a, b in zip(points, points[1:]) if a != b), tuple(way.ys))

    def _edge(self, way, end):
        name = way.ends[end].partition(":")[0]
        half = self.forms[name].width / 2
        return self.block_x[self.stack.column_of[name]] + (half if way.sides[end] else -half)

    def _head_labels(self, block):
        y = self.stack.boxes[block.part][0] + 9.5
        for line in self.forms[block.part].head:
            x = block.left
            for text, bold, live in line:
                size = NAME if bold else SMALL
                yield Label(text, round(x, 1), round(y, 1), size, "piece", block.part, live, bold)
                x += text_width(text, size, bold) + 6
            y += HEAD

    def _numbers(self, block):
        """Number the terminals: at the blades of a socket, else inside the edge where their wires come in."""
        if block.blades:
            for terminal, x, y, _ in block.blades:
                yield self._blade_number(block, number(terminal), x, y)
            return
        for row in block.rows:
            for terminal, ys, x in ((row.left, row.lefts, block.left), (row.right, row.rights, block.right)):
                if terminal and ys:
                    wide = text_width(number(terminal), NUMBER)
                    yield Label(number(terminal), round(x + 5 if x == block.left else x - 5 - wide, 1),
                                round(row.level - 4, 1), NUMBER, "piece", block.part)

    def _blade_number(self, block, text, x, y):
        wide, middle = text_width(text, NUMBER), (block.left + block.right) / 2
        place = {block.rows[0].level: (x - wide / 2, y - 5), block.rows[4].level: (x + 6, y + 12)}.get(
            y, (x - wide / 2, y + (20 if x != middle else 12)))
        return Label(text, round(place[0], 1), round(place[1], 1), NUMBER, "piece", block.part)

    def _wire_labels(self, block):
        for index, row in enumerate(block.rows):
            for side, ys in enumerate((row.lefts, row.rights)):
                for y, (end, way) in zip(ys, self.stack.taps.get((block.part, index, side), ())):
                    text = self.names[way.wire.name]
                    x = block.right + 6 if side else block.left - 6 - text_width(text, NUMBER)
                    yield Label(text, round(x, 1), round(y - 4, 1), NUMBER, "wire", way.wire.name)
                    if self.readings:
                        beyond = x + text_width(text, NUMBER) + 6 if side else x - 6 - text_width(WIDEST, NUMBER)
                        yield Label(WIDEST, round(beyond, 1), round(y - 4, 1), NUMBER, "reading", way.wire.name,
                                    f"{'start' if end == 0 else 'end'} {'right' if side else 'left'}")
