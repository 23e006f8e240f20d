"""How far wire runs from a battery to the first fuse: up to there nothing guards it."""

from ..ground.errors import listed
from ..ground.joined import walked, way_to
from .sentences import quoted

BARE_RUN = 0.30            # m, the most that a wire runs from the battery to its fuse: common practice; ABYC E-11, from memory: 0.18
TOLD = 1e-9                # m, by which sums of lengths may be off


def unguarded_words(arrangement):
    """Say of every way from the live side of a battery to what ends an overload that nothing guards it, where it is long.

    It is the shortest way over wires, splices, studs and bars, all its wires added up, told once for all that its first wire leads to.
    Whoever wires a circuit is told at once what sizing and the build sheet say of it later.
    """
    found, told = walked(arrangement.sides[0], _metal(arrangement)), {}
    for end in dict.fromkeys(end for part in arrangement.parts if part.guards for end in part.ends if end in found):
        names = [name for name in way_to(end, found) if name]
        if found[end][0] > BARE_RUN + TOLD:
            told.setdefault(names[0], []).append((found[end][0], end, names))
    for ways in told.values():
        yield _words(arrangement, *max(ways, key=lambda way: way[0]), [end for _, end, _ in ways])


def _metal(arrangement):
    """Return where each terminal leads over wires, at their lengths, and over what is only metal, as ``walked`` asks. [m]"""
    joins = [(*wire.terminals, wire.length, wire.name) for wire in arrangement.wires if not wire.is_touch]
    for part in (each for each in arrangement.parts if each.is_metal):
        for group in part.metals.values():
            ends = [f"{part.name}:{terminal}" for terminal in group]
            joins += [(one, other, 0.0, "") for one, other in zip(ends, ends[1:])]
    near = {}
    for one, other, length, name in joins:
        near.setdefault(one, []).append((length, other, name))
        near.setdefault(other, []).append((length, one, name))
    return near


def _words(arrangement, far, end, names, ends):
    if len(names) == 1:
        return (f"{names[0]} runs {far:g} m from the battery to '{end}', and no fuse lies ahead of it: where it chafes, it burns. "
                f"Put the fuse at the battery, {BARE_RUN:g} m at most, and say so: set {quoted(names[0])} length {BARE_RUN:g} m.")
    last = arrangement.part(names[-1])
    left = BARE_RUN - (far - last.length)
    others = [f"'{each}'" for each in ends if each != end]
    too = f" (too far it is to {listed(others)} as well)" if others else ""
    shorter = f", such as: set {quoted(last.name)} length {left:.2g} m" if left > 0.01 else ""
    return (f"{listed(names)} run {far:.3g} m in all from the battery to '{end}'{too}, and no fuse lies ahead of them: where one chafes, it burns. "
            f"Put a main fuse at the battery, {BARE_RUN:g} m from it at most, or make the way as short as that{shorter}.")
