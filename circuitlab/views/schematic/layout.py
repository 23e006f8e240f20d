"""Laying out: from the arrangement to its sheet, once; what a plan or the sheet before has stands where it stood."""

from functools import lru_cache

from ...arrangements.plan import STEP
from ..faces import as_seen
from .alone import only
from .draft import drafted
from .later import with_later

_SAME = 0.06                 # of two places that are one [px]


def lay_out(arrangement, like=None):
    """Return the sheet of an arrangement: the same one every time, what its plan knows in its paths.

    What a slider or a held part changes is not on the sheet, so it needs no new one.

    Parameters
    ----------
    arrangement : Arrangement
    like : Sheet, optional
        The sheet before a change: what is on it stays as well, where the plan does not know better.

    Returns
    -------
    Sheet
    """
    return _kept(arrangement, arrangement.plan, like)


@lru_cache(maxsize=64)
def _kept(arrangement, plan, like):
    """Return the sheet of an arrangement; equal ones may differ in what their plans know."""
    seen = as_seen(arrangement)
    plan = (plan.beside(like.plan) if like else plan).of(seen)
    is_like = like and like.arrangement == seen and all(set(known) == set(had) for known, had in zip(
        (plan.schematic, plan.later, plan.ways), (like.spots, like.later, like.ways), strict=True))
    return like if is_like else laid_out(seen, plan.schematic, plan.later, plan.ways, bool(like or plan.ways))


@lru_cache(maxsize=64)
def laid_out(arrangement, spots=(), later=(), ways=(), is_told=False):
    """Place everything on a sheet, what a plan knows where it says.

    Where it is told which wires were there, what is new comes among them only where nothing has to move for it; else it is put
    in later, with all that comes after it. A plan without ways was made by hand: all is laid out beside what it has.
    """
    put_in = {name for name, *_ in later}
    drawn = {wire for wire, _, _, *way in ways if not way}
    first = only(arrangement, lambda part: part.name not in put_in and _has_spot(part, spots), drawn)
    if not spots or not is_told or first is None:
        return drafted(arrangement, spots)
    if len(drawn) == len(ways) and not later and (first == arrangement or drawn):     # upon a sheet with no wire yet all comes later
        whole = drafted(arrangement, spots)
        if first == arrangement or _stands(whole, spots):
            return whole
    return with_later(drafted(first, spots), arrangement, later, ways) or drafted(arrangement, spots)


def _has_spot(part, spots):
    """Tell whether a plan has a place for a part: for one of its pieces, or for its metal. [yes/no]"""
    return any(key == part.name or key.startswith((f"{part.name}.", f"{part.name}:")) for key, *_ in spots)


def _stands(sheet, spots):
    """Tell whether every piece, and the metal of every part, is where it was, in a path of the same number. [yes/no]"""
    now = {key: (xs, y, turned) for key, xs, y, turned in sheet.spots}
    had = sorted({x for _, xs, _, _ in spots for x in xs})
    if [round(x / STEP, 2) for x in sheet.columns[:len(had)]] != had:
        return False
    parts = {symbol.piece.key for symbol in sheet.symbols} | {metal.key for metal in sheet.metals if metal.kind != "terminal"}
    return all(now[key] == (xs, y, turned) or _near(now[key], (xs, y, turned)) for key, xs, y, turned in spots if key in parts)


def _near(one, other):
    (xs, y, turned), (had, before, was_turned) = one, other
    return len(xs) == len(had) and turned == was_turned and all(abs(a - b) * STEP < _SAME for a, b in zip((*xs, y), (*had, before)))


__all__ = ["laid_out", "lay_out"]
