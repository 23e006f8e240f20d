"""The contacts of a connector as a builder meets them: seen from where the halves mate, and from the wires, which is the mirror image."""

from ..parts.connector import pins_of
from ..parts.tables import find
from .style import HEAVY, THIN, safe

STEP, EDGE, DOT = 26, 20, 9      # from contact to contact, to the rim, radius of a contact [px]
NOTCH, WORD = 4, 15              # half as wide as the notch is, room for its word [px]
VIEWS = {False: "socket from the plug's side, plug from its wires", True: "plug from the socket's side, socket from its wires"}


def plug_pictures(connector):
    """Return a picture for each of the two views, ``(what is seen so, SVG)``; none where no source tells where the contacts are.

    Parameters
    ----------
    connector : Connector

    Returns
    -------
    tuple of (str, str)

    >>> from circuitlab.parts import Connector
    >>> [words for words, _ in plug_pictures(Connector("X5", "4-flat"))]
    ["socket from the plug's side, plug from its wires", "plug from the socket's side, socket from its wires"]
    >>> plug_pictures(Connector("X5", "13-pin"))
    ()
    """
    rows = pins_of(connector.type)
    if rows[0]["across [1]"] is None:
        return ()
    return tuple((words, _picture(connector, rows, is_mirrored, words)) for is_mirrored, words in VIEWS.items())


def _picture(connector, rows, is_mirrored, words):
    across, up = [row["across [1]"] for row in rows], [row["up [1]"] for row in rows]
    notch = find("connectors", "connector", connector.type)["notch"]
    wide, tall = (round((max(values) - min(values)) * STEP) + 2 * EDGE for values in (across, up))
    side = max(wide, tall)
    left, top = ((side - wide) / 2, (side - tall) / 2) if notch else (0, 0)
    wide, tall = (side, side + WORD) if notch else (wide, tall)
    down = WORD if notch == "above" else 0
    places = [(row, left + EDGE + STEP * (max(across) - row["across [1]"] if is_mirrored else row["across [1]"] - min(across)),
               top + down + EDGE + STEP * (max(up) - row["up [1]"])) for row in rows]
    marks = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{DOT}" fill="none" stroke="currentColor" stroke-width="{THIN}"/>'
                    f'<text x="{x:.1f}" y="{y + 4:.1f}" text-anchor="middle" fill="currentColor">{safe(row["pin"])}</text>' for row, x, y in places)
    order = ", ".join(row["pin"] for row, *_ in sorted(places, key=lambda each: (each[2], each[1])))
    seen = f"{connector.name}, {connector.type}: {words}; {f'notch {notch}; ' if notch else ''}row by row {order}."
    return (f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{safe(seen)}" '
            f'viewBox="0 0 {wide} {tall}" width="{wide}" height="{tall}" font-family="sans-serif" font-size="11">'
            f'{_round_rim(side, down, notch) if notch else _flat_rim(wide, tall)}{marks}</svg>')


def _flat_rim(wide, tall):
    return f'<rect x="2" y="2" width="{wide - 4}" height="{tall - 4}" rx="{EDGE - 4}" fill="none" stroke="currentColor" stroke-width="{HEAVY / 2}"/>'


def _round_rim(side, down, notch):
    """Return the rim of a round connector with its notch, and the word beside it."""
    middle, y = side / 2, down + (side - 2 if notch == "below" else 2)
    inward = -NOTCH if notch == "below" else NOTCH
    return (f'<circle cx="{middle}" cy="{down + middle}" r="{middle - 2}" fill="none" stroke="currentColor" stroke-width="{HEAVY / 2}"/>'
            f'<path d="M{middle - NOTCH} {y}v{inward}h{2 * NOTCH}v{-inward}z" fill="currentColor"/>'
            f'<text x="{middle}" y="{y + 13 if notch == "below" else y - 5}" text-anchor="middle" fill="currentColor">notch</text>')
