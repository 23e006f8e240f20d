"""The plan: where parts stand in the two drawings. It is kept beside the circuit and is no part of it.

Two arrangements that differ in their plans alone are equal: no current, proof or
fault asks where a part is drawn. Places are counted in steps of 10 px of the
drawing at its natural size, some 2.6 mm on paper.
"""

from dataclasses import dataclass, replace

from ..ground.errors import ArrangementError, shown
from ..ground.limits import MOST_PLACE
from ..parts import Wire
from ..parts.making import Maker
from .sentences import as_typed, quoted

STEP = 10                    # of a plan, in the drawing [px]
TURNED, BROKEN = "turned", "interrupted"
SIDES = "left", "right"


@dataclass(frozen=True)
class Plan:
    """Where things stand, in steps of 10 px.

    Parameters
    ----------
    attached : tuple of (str, float, float, bool)
        A part, how far right the middle of its block is and how far down its first row, counted from the left and the
        top of what the drawing's blocks may take, and whether it stands on its head. [text, step, step, yes/no]
    schematic : tuple of (str, tuple of float, float, bool)
        A piece (``K1``, ``K1.coil``), a level line of metal (``X2``, ``E1:1``), or a wire that has a path to itself: how far
        right each of its paths is, none for a line, how far down it begins, and whether it is upside down.
        [text, step, step, yes/no]
    columns : tuple of (float, str, ...)
        Columns of blocks in the attached drawing, with room for wires between: how far right its middle is, and the parts in
        it. A part in none of them is put into the nearest, or into a new one with room on both sides; where there is none,
        each part stands where it says. [step, text]
    wires : tuple of (str, str, str, str, str, float, ...)
        A wire, for each of its ends the terminal and the side of the part on which it is met, and how far down it leaves,
        passes each column of blocks between, and arrives: ``("W1", "G1:+", "right", "F1:1", "left", 2, 4)``. A wire that joins
        something else now looks for another way. [text, step]

    later : tuple of (str, int, float, float)
        A part that came to the current-path drawing when that stood, its first path, how far right that is, how far down it begins.
        [text, 1, step, step]
    ways : tuple of (str, str, str, ...)
        A wire in the current-path drawing with its two terminals: one drawn with all the rest, or, of one that came later, the points
        of its way, each how far right and how far down; where it is interrupted, the word stands between those of its two ends.
        [text, step]

    Of two parts in each other's way the one that is named later gives way.

    Raises
    ------
    ArrangementError
        For a place that is no number, or off the sheet.

    >>> Plan(attached=[("K1", 4, 2, False)]).attached
    (('K1', 4.0, 2.0, False),)
    """

    attached: tuple = ()
    schematic: tuple = ()
    columns: tuple = ()
    wires: tuple = ()
    later: tuple = ()
    ways: tuple = ()

    def __post_init__(self):
        attached = tuple((name, _step(name, x), _step(name, y), bool(turned)) for name, x, y, turned in self.attached)
        object.__setattr__(self, "attached", attached)
        object.__setattr__(self, "schematic", tuple((key, tuple(_step(key, x) for x in xs), _step(key, y), bool(turned))
                                                    for key, xs, y, turned in self.schematic))
        object.__setattr__(self, "columns", tuple((_step("a column", x), *names) for x, *names in self.columns))
        object.__setattr__(self, "wires", tuple((*wire[:5], *(_step(wire[0], y) for y in wire[5:])) for wire in self.wires))
        object.__setattr__(self, "later", tuple((name, int(path), _step(name, x), _step(name, y)) for name, path, x, y in self.later))
        object.__setattr__(self, "ways", tuple((*way[:3], *(each if each == BROKEN else _step(way[0], each) for each in way[3:])) for way in self.ways))

    def __bool__(self):
        return bool(self.attached or self.schematic)

    def beside(self, other):
        """Return it with what another plan knows and it does not."""
        spots, paths = {spot[0] for spot in self.attached}, {owner for spot in self.schematic for owner in _owners(spot[0])}
        return Plan(_more(self.attached, other.attached), _more(self.schematic, [spot for spot in other.schematic if not _is_among(spot[0], self.later)]),
                    (*self.columns, *_only(other.columns, lambda name: name not in spots)), _unnamed(self.wires, other.wires),
                    _unnamed(self.later, [row for row in other.later if row[0] not in paths]), _unnamed(self.ways, other.ways))

    def without(self, part):
        """Return it without where a part stands in the attached drawing, and on which sides its wires leave."""
        return replace(self, attached=tuple(spot for spot in self.attached if spot[0] != part),
                       columns=_only(self.columns, lambda name: name != part),
                       wires=tuple(wire for wire in self.wires if part not in (_part(wire[1]), _part(wire[3]))))

    def renamed(self, names):
        """Return it with parts and wires under other names, ``{old: new}``."""
        def now(key):
            owner = next((owner for owner in _owners(key) if owner in names), None)
            return key if owner is None else names[owner] + key[len(owner):]

        return Plan([(now(name), *rest) for name, *rest in self.attached], [(now(key), *rest) for key, *rest in self.schematic],
                    [(x, *map(now, names)) for x, *names in self.columns], [(now(wire), now(start), one, now(end), *way) for wire, start, one, end, *way in self.wires],
                    [(now(name), *rest) for name, *rest in self.later], [(*map(now, way[:3]), *way[3:]) for way in self.ways])

    def of(self, arrangement):
        """Return it without what the arrangement does not have (any more).

        Raises
        ------
        ArrangementError
            For two parts at one place.
        """
        names, taken = arrangement.by_name, {}
        attached = [spot for spot in self.attached if spot[0] in names and not isinstance(names[spot[0]], Wire)]
        for name, *spot, _ in attached:
            if taken.setdefault(tuple(spot), name) != name:
                raise ArrangementError(f"the plan has '{taken[tuple(spot)]}' and '{name}' at one place, {spot[0]:g} {spot[1]:g}. "
                                       "Give one of them another.", part=name)
        paths = [path for path in self.schematic if any(owner in names for owner in _owners(path[0]))]
        ends = {wire.name: wire.terminals for wire in arrangement.wires}
        return Plan(attached, sorted(paths, key=lambda path: (not path[1], path[1], path[2], path[0])), _only(self.columns, names.__contains__),
                    [wire for wire in self.wires if ends.get(wire[0]) == (wire[1], wire[3])], [row for row in self.later if row[0] in names],
                    [way for way in self.ways if ends.get(way[0]) == way[1:3]])


@dataclass(frozen=True)
class MovePart(metaclass=Maker):
    """Make a part stand elsewhere in the attached drawing; nothing of the circuit changes.

    What has no plan yet gets one first, of how it is drawn, so that nothing else moves. The drawing takes the nearest
    place that is free: in a column of blocks, or in a new one with room for wires on both sides.

    Parameters
    ----------
    part : str
        Its name. [text]
    x, y : float
        How far right and how far down, 0 to 2000. [steps of 10 px]

    >>> print(MovePart("K1", 4, 2.5))
    stand K1 at 4 2.5
    """

    part: str
    x: float
    y: float

    def __post_init__(self):
        for field in ("x", "y"):
            object.__setattr__(self, field, _step(self.part, getattr(self, field)))

    def __str__(self):
        return f"stand {quoted(self.part)} at {place_words((self.x, self.y))}"

    def apply(self, arrangement):
        part = arrangement.part(self.part)
        if isinstance(part, Wire):
            raise ArrangementError(f"'{self.part}' is a wire, which lies where its ends are. Only a part can be stood elsewhere.",
                                   part=self.part)
        plan = with_plan(arrangement).plan
        turned, rest = any(spot[3] for spot in plan.attached if spot[0] == self.part), plan.without(self.part)
        return replace(arrangement, plan=replace(rest, attached=(*rest.attached, (self.part, self.x, self.y, turned))))


def with_plan(arrangement):
    """Return an arrangement with a plan of its attached drawing: its own, or of how it is drawn where it has none."""
    plan = arrangement.plan
    return arrangement if plan.attached else replace(arrangement, plan=plan.beside(replace(arrangement.planned().plan, schematic=())))


def stood(form, plan, was, drawn):
    """Return the plan by which a drawing stays as it is, save for what one plan tells otherwise than the one before.

    Parameters
    ----------
    form : {"attached", "schematic"}
    plan, was : Plan
        What is known now, and what was known when the drawing was made.
    drawn : Plan
        Where everything stands in that drawing.
    """
    now, wished, before = {spot[0]: spot for spot in getattr(plan, form)}, _wished(form, plan), _wished(form, was)
    told = {name for name in {*wished, *before} if wished.get(name) != before.get(name)}
    for name in told:
        drawn = replace(drawn.without(name), schematic=tuple(spot for spot in drawn.schematic if form == "attached" or spot[0] != name))
    moved = tuple(spot for name, spot in now.items() if name in told)
    moved = Plan(**{form: moved}, columns=_only(plan.columns, {spot[0] for spot in moved}.__contains__) if form == "attached" else ())
    return drawn.beside(moved)


def _wished(form, plan):
    """Return the spots that a hand or a file names, ``{name: spot}``; not those that only say how the kit had drawn what was there."""
    drawn = {name for _, *names in plan.columns for name in names} if form == "attached" else ()
    return {spot[0]: spot for spot in getattr(plan, form) if spot[0] not in drawn}


def _more(known, others):
    names, taken = {spot[0] for spot in known}, {spot[1:3] for spot in known}
    return (*known, *(spot for spot in others if spot[0] not in names and (spot[1:3] not in taken or not spot[1])))


def _unnamed(known, others):
    """Return rows, and of others those of another name."""
    names = {row[0] for row in known}
    return (*known, *(row for row in others if row[0] not in names))


def _is_among(key, rows):
    """Tell whether a piece, a line or a lane belongs to what some rows are named after. [yes/no]"""
    names = {row[0] for row in rows}
    return any(owner in names for owner in _owners(key))


def _only(columns, stays):
    """Return columns with the parts that stay, and no others. [step, text]"""
    return tuple((x, *filter(stays, names)) for x, *names in columns if any(map(stays, names)))


def _part(terminal):
    return terminal.partition(":")[0]


def _owners(key):
    """Yield what a piece, a line or a lane may belong to: ``K1.second.contact``, ``E1:1``, ``W7 lane 1``. [text]"""
    yield from (key.rsplit(".", more)[0] for more in range(3))
    yield key.partition(":")[0]
    yield key.rpartition(" lane ")[0].partition(":")[0]


def read_stand(name, *steps):
    """Return the change that ``stand K1 at 4 2`` asks for, from its name and its two numbers."""
    return MovePart(name, *read_place(name, *steps))


def read_place(name, *steps):
    """Return where a part shall stand, from two typed numbers. [step]"""
    return tuple(_number(name, as_typed(step)) for step in steps)


def place_of(name, at):
    """Return where a part shall stand as it is kept, or raise for what is no place. [step]"""
    if not isinstance(at, (tuple, list)) or len(at) != 2:
        raise ArrangementError(f"the place of {shown(name)} must be two numbers, got {shown(at)}. Write how far right and how far down in "
                               "steps of 10 px, such as (4, 2).", part=name)
    return tuple(_step(name, each) for each in at)


def place_words(at):
    """Return a place as it is typed: ``4 2.5``. [text]"""
    return " ".join(f"{each:.12g}" for each in at)


def _number(name, text):
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise ArrangementError(f"{shown(text)} is no number, so '{name}' cannot stand there. Write how far right and how far "
                               f"down in steps of 10 px, such as: stand {quoted(name)} at 4 2.", part=name) from None


def _step(name, value):
    """Return a place on the sheet as it is kept, to a tenth of a px, or raise with what it may be. [step]"""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
        raise ArrangementError(f"the place of {shown(name)} in the plan must be numbers, got {shown(value)}. Write how far right and "
                               "how far down in steps of 10 px, such as 4 2.", part=name)
    if not 0 <= value <= MOST_PLACE:
        raise ArrangementError(f"{shown(name)} would stand off the sheet, at {shown(value)}. Write how far right and how far down, each "
                               f"0 to {MOST_PLACE} steps of 10 px.", part=name)
    return round(float(value), 2)


def must_be_a_plan(plan):
    """Raise unless it is one."""
    if not isinstance(plan, Plan):
        raise ArrangementError(f"'plan' must say where parts stand, got {shown(plan)}. Make one with arrangement.planned().")


__all__ = ["BROKEN", "SIDES", "STEP", "TURNED", "MovePart", "Plan", "must_be_a_plan", "place_of", "place_words", "read_place", "read_stand", "stood", "with_plan"]
