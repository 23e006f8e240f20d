"""Which way current would like to run: a height for every terminal, so that the drawing reads from top to bottom.

The heights are no volts. Every part is taken as a plain conductor whatever
state it is in, the battery's live pole is 1, ground is 0, and the rest settles between.
They only order the drawing.
"""

from functools import lru_cache

from ...parts import Chassis, Role

# how readily a part passes current, compared with a wire (20): loads least, so that they end up next to ground
_EASE = {Role.WAY: 1.0, Role.CONTACT: 4.0, Role.LOAD: 0.1, Role.COIL: 0.1, Role.ELECTRONICS: 0.02}
_MATED, _MOVING, _SHINING = 8.0, 2.0, 0.3     # a contact that a hand parts; one that moves by itself; a lamp
_SWEEPS = 240


@lru_cache(maxsize=16)
def heights(arrangement):
    """Return for every terminal how near it is to the battery's live pole, from 1 down to 0. [1]"""
    near = {terminal: [] for terminal in arrangement.terminals}
    fixed = {}

    def join(first, second, ease):
        near[first].append((second, ease))
        near[second].append((first, ease))

    for part in arrangement.parts:
        if isinstance(part, Chassis):
            fixed.update((f"{part.name}:{stud}", 0.0) for stud in part.terminals)
        for group in part.merged or (() if isinstance(part, Chassis) else part.metals.values()):
            for other in group[1:]:
                join(f"{part.name}:{group[0]}", f"{part.name}:{other}", 50.0)
        for branch in part.branches() if not part.is_metal else ():
            if branch.role.passes or part.is_load(branch.start, branch.end):    # nothing that lies beside a contact
                join(part.at(branch.start), part.at(branch.end), _ease(part, branch))
    for wire in arrangement.wires:
        join(wire.start, wire.end, 20.0)
    fixed |= dict(zip(arrangement.poles, (0.0, 1.0)))
    return _settled(near, fixed)


def _ease(part, branch):
    if branch.role is Role.CONTACT:
        return _MATED if branch.mated else _MOVING if part.moves else _EASE[branch.role]
    return _SHINING if branch.role is Role.LOAD and part.shines else _EASE[branch.role]


def _settled(near, fixed):
    height = {terminal: fixed.get(terminal, 0.5) for terminal in near}
    free = [(terminal, others, sum(ease for _, ease in others)) for terminal, others in near.items()
            if others and terminal not in fixed]
    for _ in range(_SWEEPS):
        moved = 0.0
        for terminal, others, total in free:
            new = 0.0
            for other, ease in others:
                new += height[other] * ease
            new /= total
            if abs(new - height[terminal]) > moved:
                moved = abs(new - height[terminal])
            height[terminal] = new
        free.reverse()
        if moved < 1e-7:
            break
    return height
