"""The contacts of a connector as a builder meets them: seen from where the halves mate, and from the wires, which is the mirror image."""

from ..parts.connector import pins_of
from .style import HEAVY, THIN, safe

STEP, EDGE, DOT = 26, 20, 9      # from contact to contact, to the rim, radius of a contact [px]
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
    >>> plug_pictures(Connector("X5", "12N"))
    ()
    """
    rows = pins_of(connector.type)
    if rows[0]["across [1]"] is None:
        return ()
    return tuple((words, _picture(connector, rows, is_mirrored, words)) for is_mirrored, words in VIEWS.items())


def _picture(connector, rows, is_mirrored, words):
    across, up = [row["across [1]"] for row in rows], [row["up [1]"] for row in rows]
    wide, tall = (round((max(values) - min(values)) * STEP) + 2 * EDGE for values in (across, up))
    places = [(row, EDGE + STEP * (max(across) - row["across [1]"] if is_mirrored else row["across [1]"] - min(across)),
               EDGE + STEP * (max(up) - row["up [1]"])) for row in rows]
    marks = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{DOT}" fill="none" stroke="currentColor" stroke-width="{THIN}"/>'
                    f'<text x="{x:.1f}" y="{y + 4:.1f}" text-anchor="middle" fill="currentColor">{safe(row["pin"])}</text>' for row, x, y in places)
    order = ", ".join(row["pin"] for row, *_ in sorted(places, key=lambda each: (each[2], each[1])))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{safe(f"{connector.name}, {connector.type}: {words}; row by row {order}.")}" '
            f'viewBox="0 0 {wide} {tall}" width="{wide}" height="{tall}" font-family="sans-serif" font-size="11">'
            f'<rect x="2" y="2" width="{wide - 4}" height="{tall - 4}" rx="{EDGE - 4}" fill="none" stroke="currentColor" stroke-width="{HEAVY / 2}"/>{marks}</svg>')
