"""The plan in the text file: its tables, written and read."""

from ..ground.errors import ArrangementError, FileError, shown, unknown_name
from .plan import BROKEN, SIDES, TURNED, Plan

TABLES = "attached", "schematic", "columns", "wires", "later", "ways"


def read_plan(data, where):
    """Return the plan in what a file says under ``plan``.

    Raises
    ------
    FileError
        For a table, a name or a place that is none; never for a name the arrangement does not have.
    """
    if not isinstance(data, dict):
        raise FileError(f"{where}: 'plan' must be tables, written [plan.attached], [plan.schematic] and [plan.wires].", file=where)
    for key, table in data.items():
        if key not in TABLES:
            raise unknown_name(f"{where}: the plan", "drawing", key, TABLES)
        if key == "columns":
            if not isinstance(table, list) or not all(isinstance(column, list) and column and all(isinstance(name, str) for name in column[1:])
                                                      for column in table):
                raise FileError(f"{where}: 'plan.columns' must be a list of columns, each with how far right it is, in steps of 10 px, and "
                                "the parts in it, such as [[9.0, \"G1\", \"X1\"], [40.0, \"K1\"]].", file=where)
            continue
        if not isinstance(table, dict):
            raise FileError(f"{where}: 'plan.{key}' must be a table, written [plan.{key}].", file=where)
        for name, place in table.items():
            _check_place(key, name, place, where)
    try:
        return Plan([(name, *place[:2], place[-1] == TURNED) for name, place in data.get("attached", {}).items()],
                    [(key, place[:-1 - (place[-1] == TURNED)], place[-1 - (place[-1] == TURNED)], place[-1] == TURNED)
                     for key, place in data.get("schematic", {}).items()],
                    data.get("columns", ()), *([(name, *row) for name, row in data.get(key, {}).items()] for key in ("wires", "later", "ways")))
    except ArrangementError as error:
        raise FileError(f"{where}: {error.sentence}", file=where) from None


def _check_place(drawing, name, place, where):
    """Raise unless a place is written as it must be in one of the drawings."""
    is_list = isinstance(place, list)
    if drawing == "attached" and not (is_list and (len(place) == 2 or len(place) == 3 and place[2] == TURNED)):
        raise FileError(f"{where}: the plan says of '{name}' {shown(place)}. Write how far right and how far down, in steps of "
                        f"10 px, such as {name} = [4.0, 2.0], or [4.0, 2.0, \"{TURNED}\"] where it stands on its head.", file=where)
    if drawing == "schematic" and not (is_list and place and place != [TURNED]):
        raise FileError(f"{where}: the plan says of '{name}' {shown(place)}. Write how far right each of its paths is, then how far "
                        f"down it begins, in steps of 10 px, such as {name} = [4.0, 12.0].", file=where)
    if drawing == "wires" and not (is_list and len(place) > 3 and all(isinstance(each, str) for each in place[:4]) and {*place[1:4:2]} <= {*SIDES}):
        raise FileError(f"{where}: the plan says of '{name}' {shown(place)}. Write for each of its ends the terminal and the side on which "
                        f"it is met, {SIDES[0]} or {SIDES[1]}, then how far down it leaves, passes each column between and arrives, in steps of "
                        f"10 px, such as {name} = [\"G1:+\", \"right\", \"F1:1\", \"left\", 2.0, 4.0].", file=where)
    if drawing == "later" and not (is_list and len(place) == 3 and type(place[0]) is int and 0 < place[0] < 10000):
        raise FileError(f"{where}: the plan says of '{name}' {shown(place)}. Write its first path, how far right that is and how far down it "
                        f"begins, in steps of 10 px, such as {name} = [12, 60.0, 14.5].", file=where)
    if drawing == "ways" and not (is_list and len(place) > 1 and all(isinstance(each, str) for each in place[:2]) and _is_way(place[2:])):
        raise FileError(f"{where}: the plan says of '{name}' {shown(place)}. Write its two terminals, then the points of its way in the "
                        f"current-path drawing, each how far right and how far down in steps of 10 px, such as {name} = [\"F1:2\", \"E1:1\", "
                        f"10.0, 8.0, 10.0, 20.0]; where it is interrupted, \"{BROKEN}\" between those of its two ends.", file=where)


def _is_way(points):
    """Tell whether the points of a way are pairs of numbers, at most once with the word between them that it is interrupted. [yes/no]"""
    at = points.index(BROKEN) if BROKEN in points else len(points)
    parts = [points] if at == len(points) else [points[:at], points[at + 1:]]
    return not points or all(len(part) > 3 and len(part) % 2 == 0 and BROKEN not in part for part in parts)


def plan_tables(plan):
    """Yield the tables of a plan for the file, ``(heading, {name: values})``; nothing where there is none."""
    if plan.columns:
        yield "plan", {"columns": plan.columns}
    if plan.attached:
        yield "plan.attached", {name: (x, y, *[TURNED] * turned) for name, x, y, turned in plan.attached}
    if plan.schematic:
        yield "plan.schematic", {key: (*xs, y, *[TURNED] * turned) for key, xs, y, turned in plan.schematic}
    if plan.wires:
        yield "plan.wires", {name: ends for name, *ends in plan.wires}
    if plan.later:
        yield "plan.later", {name: row for name, *row in plan.later}
    if plan.ways:
        yield "plan.ways", {name: way for name, *way in plan.ways}
