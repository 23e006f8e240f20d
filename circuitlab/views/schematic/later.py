"""What is put in later, on a sheet that stands: each part in paths of its own beyond all others, its wires where there is room.

Nothing that is there moves. A part comes as it is drawn alone. A wire takes the cheapest way that is free, or is interrupted.
"""

from itertools import combinations

from ...arrangements.plan import BROKEN, STEP
from ..letters import SMALL, Label, meet
from .beyond import beyond
from .framed import ARROW
from .interrupted import ACROSS, ANY, FAR, SHORT, reference_places, stub_of
from .spacing import wire_text
from .standing import Standing, places_of
from .taken import Taken
from .ways import DEAR, DEAREST, lines_of, name_places, way_of


def with_later(bottom, arrangement, later=(), ways=()):
    """Return a sheet with all of an arrangement that is not on it, or nothing where a plan has it upon what stands there.

    Parameters
    ----------
    bottom : Sheet
        Of what was laid out at first.
    arrangement : Arrangement
    later : tuple of (str, int, float, float)
        As in a plan: parts, the first path of each, how far right it is and how far down they begin. [text], [1], [step]
    ways : tuple of (str, str, str, float, ...)
        As in a plan. [step]
    """
    standing = Standing(bottom, arrangement)
    for name, *place in later:
        standing.put(arrangement.part(name), *place)
    if any(meet(one, other) for one, other in combinations(standing.taken.pieces, 2)):
        return None
    _keep(standing, [row for row in ways if len(row) > 3])
    there = {arrangement.part(symbol.piece.part).seat or symbol.piece.part for symbol in standing.symbols} | {metal.part for metal in standing.metals.values()}
    for part in arrangement.listed:
        if part.name not in there:
            standing.put(part, *beyond(standing, part))
    for wire in arrangement.wires:
        if wire.name not in standing.wires:
            _lay(standing, wire)
    return standing.sheet()


def _keep(standing, rows):
    """Draw the wires that a plan has a way for, as far as it still joins their terminals; their names once all are drawn."""
    found = []
    for name, _, _, *numbers in rows:
        wire, stretches = standing.arrangement.part(name), _stretches(numbers)
        if stretches and all(standing.is_at(*end) for end in zip(wire.terminals, places_of(stretches), strict=True)):
            standing.draw(wire, stretches)
            found.append((wire, stretches))
    for wire, stretches in found:
        for label in _names(standing, wire, stretches, True):
            standing.write(label)


def _stretches(numbers):
    """Return the points of a way as a plan has it: one stretch, or the two of a wire that is interrupted. [px]"""
    at = numbers.index(BROKEN) if BROKEN in numbers else len(numbers)
    return [tuple((round(x * STEP, 1), round(y * STEP, 1)) for x, y in zip(part[::2], part[1::2])) for part in (numbers[:at], numbers[at + 1:]) if part]


def _lay(standing, wire):
    """Lay a wire the best way that has room for its name."""
    for stretches in _tries(standing, wire):
        names = _names(standing, wire, stretches) if _are_numbers_free(standing, wire, stretches) else None
        if names is not None:
            break
    standing.draw(wire, stretches)
    for label in names if names is not None else _names(standing, wire, stretches, True):
        standing.write(label)


def _tries(standing, wire):
    """Yield how a wire can be drawn, the best first: whole, interrupted, whole at any price, interrupted wherever it is. [px]"""
    bars = standing.bars
    for most, reaches in ((DEAR, (SHORT, ACROSS)), (DEAREST, (FAR, ANY))):
        points = way_of(standing.taken, wire.terminals, bars, most)
        if points:
            yield [points]
        for reach in reaches:
            stretches = _interrupted(standing, wire, bars, reach)
            if stretches:
                yield stretches


def _interrupted(standing, wire, bars, reach):
    """Return the two short stretches of a wire, each from its terminal; nothing where one has no room. [px]"""
    drawn, stretches = Taken(), []
    for terminal, other in zip(wire.terminals, reversed(wire.terminals), strict=True):
        texts = _texts(standing, wire, 88)
        found = stub_of((standing.taken, drawn), terminal, bars, standing.middle(other), texts if reach.is_last else texts[:-1], reach)
        if not found:
            return ()
        points, box = found
        drawn.line(lines_of(points), wire.name)
        drawn.words.append(box)
        stretches.append(points)
    return stretches


def _names(standing, wire, stretches, must=False):
    """Return what is written at a wire: its name, or at each end of one that is interrupted where it goes on; None without room."""
    own, names = Taken(), []
    own.line([line for points in stretches for line in lines_of(points)], wire.name)
    own.words += [number.box for number in standing.numbers(wire, stretches)]
    for points, other in zip(stretches, reversed(stretches), strict=True):
        if len(stretches) == 1:
            places = name_places(points, wire_text(wire, standing.arrangement))
        else:
            places = (place for text in _texts(standing, wire, _path(standing, other)) for place in reference_places(points, text))
        labels = [Label(text, left, y, SMALL, "wire", wire.name) for text, left, y in places]
        free = [label for label in labels if not label.text or standing.taken.is_free(label.box, wire.terminals) and own.is_free(label.box)]
        if not free and not must:
            return None
        names += (free or labels[-1:])[:1]
        own.words.append(names[-1].box)
    return [label for label in names if label.text]


def _are_numbers_free(standing, wire, stretches):
    """Tell whether the numbers of the terminals that a wire taps have room. [yes/no]"""
    boxes = [number.box for number in standing.numbers(wire, stretches)]
    own = Taken()
    own.line([line for points in stretches for line in lines_of(points)], wire.name)
    return (all(standing.taken.is_free(box, wire.terminals) and own.is_free(box) for box in boxes)
            and not any(meet(one, other) for one, other in combinations(boxes, 2)))


def _texts(standing, wire, path):
    """Return the references to where a wire goes on, the one that says most first; none at all where the other end must tell. [text]"""
    whole = wire_text(wire, standing.arrangement)
    return *dict.fromkeys(f"{text} {ARROW} {path}".strip() for text in (whole, whole.removesuffix(f" {wire.colour}"), "")), ""


def _path(standing, points):
    """Return the path in which an interrupted wire goes on: the one nearest to its terminal. [1]"""
    return min(standing.numbered, key=lambda number: abs(standing.numbered[number] - points[0][0]))
