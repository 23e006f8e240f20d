"""Where on the vehicle a lamp's words put it, and the room at the head of a board that grows, for front lamps that come late."""

from .blocks import words_of

_AHEAD = 170                 # kept free at the head of a board that grows, for front lamps still to come [px]


def corner(part):
    """Return where a lamp's words put it, ``(along, across)``, or None without such words.

    Along is front, rear, trailer or empty, across left, right or empty; a tail is at the rear.
    """
    words = words_of(part.place)
    along = next((word for word in ("trailer", "front", "rear") if word in words), "rear" if "tail" in words else "")
    across = next((word for word in ("left", "right") if word in words), "")
    return (along, across) if along or across else None


def front_lamps(arrangement):
    """Return the lamps whose words put them in front. [text]"""
    return {part.name for part in arrangement.listed if part.lamps and (corner(part) or "")[:1] == ("front",)}


def head_of(arrangement, forms, kept):
    """Return how much is kept free at the head of a board that grows, for front lamps still to come: as long as nothing else stands there. [px]"""
    if not kept:
        return 0 if any(part.lamps for part in arrangement.listed) else _AHEAD
    fronts = front_lamps(arrangement)
    heads = [top - forms[name].above - forms[name].head_tall for name, top in kept.tops.items() if name not in fronts]
    return _AHEAD if heads and min(heads) >= _AHEAD else 0
