"""Where a part comes on a sheet that stands: beyond what is there, high or low as current passes its kind."""

from ...arrangements.plan import STEP
from ...parts import Role
from .alone import alone_of

_CHANNEL = 34                # between what stands and what comes beyond it, for wires [px]
_ASIDE, _APART = 8, 70       # of a part that shares its path: least from it to what is beside, above and below it [px]
_HEAD, _FOOT = 60, 56        # from the supply to what stands high, and from what stands low to ground [px]
_FRAME, _LEAST_FRAME = 600, 250      # from supply to ground, where there is no ground or it is nearer than the least [px]
_SPLICE, _CONTACT, _COIL = 0.42, 0.26, 0.6    # how far down a splice, a contact and what has a coil begin, of that [1]
_STAIRS, _STEPS = 16, 6      # from one splice to the next, so that each can grow; how many before they begin again [px], [1]


def beyond(standing, part):
    """Return where a part comes: the number of its first path, how far right that is, how far down it begins. [1], [step]"""
    alone = alone_of(part, standing.arrangement)
    y = round(_height(standing, part, alone))
    number, x = _shared_path(standing, alone, y) or (
        max(standing.numbered) + 1, round(standing.right + _CHANNEL + alone.columns[0] - alone.box[0]))
    return number, x / STEP, y / STEP


def _height(standing, part, alone):
    """Return how far down a part begins. [px]"""
    bars = standing.metals.values()
    top = next(bar.lines[0][1] for bar in bars if bar.kind == "supply")
    floor = min((bar.lines[0][1] for bar in bars if bar.kind == "ground" and bar.lines[0][1] > top + _LEAST_FRAME), default=top + _FRAME)
    lowest = max(top + _HEAD, floor - _FOOT - (alone.low - alone.top))
    if part.is_metal:
        count = sum(bar.kind == "splice" for bar in bars)
        return floor if alone.metals[0].kind == "ground" else top + _SPLICE * (floor - top) + _STAIRS * (count % _STEPS)
    if any(each.guards for each in (part, *part.seats)):
        return min(top + _HEAD, lowest)
    if part.first(Role.COIL) or part.first(Role.CONTACT):
        return min(top + max(_HEAD, (_COIL if part.first(Role.COIL) else _CONTACT) * (floor - top)), lowest)
    return lowest


def _shared_path(standing, alone, y):
    """Return the first path of what came later in which a part of one path has room, and where it is; nothing without one. [1], [px]"""
    left, top, right, low = alone.box
    for number, x in sorted(standing.numbered.items()) if len(alone.columns) == 1 else ():
        aside, down = x - alone.columns[0], y - alone.top
        if number > len(standing.bottom.columns) and standing.taken.is_open(
                (left + aside - _ASIDE, top + down - _APART, right + aside + _ASIDE, low + down + _APART)):
            return number, x
    return None
