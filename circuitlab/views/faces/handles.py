"""Handles: where on a drawing a hand finds a part's terminals and its moving pieces, and its picture in each state."""

from dataclasses import dataclass

from ...parts import Role
from . import face_of
from .pen import drawn

LEAST = 24      # least width and height of what a finger or pointer is to meet [px]; WCAG 2.2, success criterion 2.5.8


@dataclass(frozen=True)
class Handle:
    """What a hand finds of one symbol or block.

    Parameters
    ----------
    owner : str
        Key of the piece, or name of the part. [text]
    terminals : tuple
        ``(terminal, x, y)`` of every mark of a terminal. [px]
    touch : tuple of float
        Left, top, right, bottom of where a hand works it, or nothing where no hand does. [px]
    states : tuple
        ``(state, SVG)`` of every state it can be drawn in, without its leads in the schematic. [text]
    """

    owner: str
    terminals: tuple
    touch: tuple
    states: tuple


def symbol_handle(symbol, arrangement):
    """Return the handle of a symbol of the schematic."""
    piece, part = symbol.piece, arrangement.part(symbol.piece.part)
    face = face_of(part)
    states = face.states(part, arrangement)
    shapes = [piece.shape(symbol, state) for state in states]
    body = (symbol.left, shapes[0].top), (symbol.right, shapes[0].low)
    return Handle(piece.key, tuple((terminal, x, y) for terminal, x, y, _ in symbol.pins()),
                  _touch(face, part, body, shapes), tuple((state, drawn(symbol, state)) for state in states))


def block_handle(block, arrangement, loose=()):
    """Return the handle of a block of the attached form; terminals among the loose have no wire."""
    part = arrangement.part(block.part)
    face, ends = face_of(part), {f"{part.name}:{terminal}": "plain" for terminal in part.terminals}
    states = face.states(part, arrangement)
    bodies = [face.body(block, part, state, ends) for state in states]
    body = (block.left, block.top), (block.right, block.low)
    return Handle(part.name, tuple(block.pins()), _touch(face, part, body, bodies),
                  tuple((state, each.svg(loose)) for state, each in zip(states, bodies, strict=True)))


def _touch(face, part, body, drawings):
    """Return the box round what moves in any state where a hand works it, and round all of what a hand pulls."""
    points = [point for each in drawings for stroke in each.moving for point in stroke] if face.is_worked else \
        body if any(branch.role is Role.CONTACT and branch.mated for branch in part.branches()) else ()
    if not points:
        return ()
    (left, right), (top, low) = map(_wide, zip(*points, strict=True))
    return left, top, right, low


def _wide(values):
    low, high = min(values), max(values)
    more = max(0.0, LEAST - (high - low)) / 2
    return low - more, high + more


def metal_handle(metal):
    """Return the handle of a bar of metal in the schematic: where its wires join it."""
    return Handle(metal.key, tuple((terminal, x, y) for x, y, terminal in metal.taps), (), ())
