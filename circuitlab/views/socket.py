"""A mini-relay socket as the builder meets it: seen from the wire side, terminals numbered."""

from .style import HEAVY, THIN, safe

# Centre of each blade and whether it lies flat, in a housing of 100 by 100. Seen from the wire side of the
# socket, which is the same picture as the relay's own pins. Source: typical maker drawings, from memory.
BLADES = {"87": (50, 20, True), "87a": (50, 50, True), "87b": (50, 50, True), "86": (20, 50, False),
          "85": (80, 50, False), "30": (50, 80, False)}
LABELS = {"87": (50, 13, "middle"), "87a": (50, 64, "middle"), "87b": (50, 64, "middle"), "86": (20, 34, "middle"),
          "85": (80, 34, "middle"), "30": (57, 84, "start")}


def socket_picture(relay):
    """Return the picture of a relay's socket, only with the terminals the relay has.

    Parameters
    ----------
    relay : Relay
        Changeover, make or dual.

    Returns
    -------
    str
        One ``svg`` element with its text alternative. [text]
    """
    blades, labels = [], []
    for terminal in relay.terminals:
        x, y, flat = BLADES[terminal]
        half_width, half_height = (10, 2) if flat else (2, 10)
        blades.append(f"M{x - half_width} {y - half_height}H{x + half_width}V{y + half_height}H{x - half_width}Z")
        x, y, anchor = LABELS[terminal]
        labels.append(f'<text x="{x}" y="{y}" text-anchor="{anchor}">{safe(terminal)}</text>')
    middle = next((name for name in ("87a", "87b") if name in relay.terminals), "nothing") + " in the middle"
    spoken = (f"Socket of {relay.name} from the wire side: 87 at the top, 30 at the bottom, "
              f"86 left, 85 right, {middle}.")
    return (f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{safe(spoken)}" viewBox="0 0 100 100" '
            f'font-family="sans-serif" font-size="11">'
            f'<rect x="2" y="2" width="96" height="96" rx="6" fill="none" stroke="currentColor" '
            f'stroke-width="{HEAVY / 2}"/>'
            f'<path d="{"".join(blades)}" fill="none" stroke="currentColor" stroke-width="{THIN}"/>'
            f'<g fill="currentColor">{"".join(labels)}</g></svg>')
