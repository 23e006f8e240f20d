"""The dashed link between the poles of one switch, where they stand level and nothing but wires lies between them.

Where no such link can be drawn, the numbers of the other paths beside each pole say the same.
"""

from dataclasses import replace

from ..letters import meet

_CLEAR = 1.2                 # from a link to anything written or drawn beside it [px]
LEAN = 6.5                   # from a pole's path to the middle of its open blade [px]


def linked(symbols, labels, lines):
    """Return symbols with a link from each contact of a switch to the next one on its left, where one can be drawn.

    Parameters
    ----------
    symbols : tuple of Symbol
    labels : list of Label
    lines : iterable of (float, float, float, float)
        Every stretch of wire and metal; a link may cross one, but not run along it. [px]

    Returns
    -------
    tuple of Symbol
    """
    return tuple(replace(symbol, link=_reach(symbol, symbols, labels, lines)) for symbol in symbols)


def _reach(symbol, symbols, labels, lines):
    """Return how far to the left the link of a contact reaches; 0 without one. [px]"""
    if symbol.piece.symbol != "contact" or not symbol.piece.worked_by:
        return 0.0
    y, x = symbol.top + symbol.height / 2, symbol.xs[0]
    level = [other for other in symbols if other.piece.part == symbol.piece.part and other.piece.symbol == "contact"
             and other.xs[0] < x and abs(other.top + other.height / 2 - y) < 0.5]
    if not level:
        return 0.0
    pole = max(level, key=lambda other: other.xs[0])
    band = pole.xs[0] + 1, y - _CLEAR, x - 1, y + _CLEAR
    in_the_way = [label.box for label in labels] + [other.box for other in symbols if other not in (symbol, pole)]
    in_the_way += [(min(a, c), b - 3, max(a, c), b + 3) for a, b, c, d in lines if b == d]
    if any(meet(box, band) for box in in_the_way):
        return 0.0
    return x - pole.xs[0] + LEAN
