"""The face of a switch: one piece for each pole, in the position it is in."""

from collections import defaultdict

from ..letters import in_lines, shortened, text_width
from .body import Body
from .face import Face
from .piece import Piece, ends
from .shape import Changeover, Contact, Lever

CONTACT = 16                 # from one contact to the next in its block [px]


class _Contacts(Body):
    """Every contact upright between its two rows, in the position it is in."""

    def form(self):
        part, rows = self.part, {row.left: row for row in self.block.rows if row.left}
        left = self.x - CONTACT * (len(part.pairs) - 1) / 2 + 2
        xs = {pair: left + CONTACT * number for number, pair in enumerate(part.pairs)}
        for terminal in part.terminals:
            own, name = [x for pair, x in xs.items() if terminal in pair], f"{part.name}:{terminal}"
            self.leads(rows[name], max(own), min(own))
            if len(own) > 1:
                self.line([(min(own), rows[name].level), (max(own), rows[name].level)], self.ends[name])
        closed = dict(part.closes).get(self.state, ())
        for pair, x in xs.items():
            self.contact(x, *(rows[f"{part.name}:{terminal}"].level for terminal in pair), pair in closed)


class SwitchFace(Face):
    """Told by its control and the position of that."""

    body, is_worked, heading = _Contacts, True, "{0.control}"

    def pieces(self, part, arrangement):
        shut, found = defaultdict(frozenset), []
        for branch in part.branches():
            shut[frozenset((branch.start, branch.end))] |= branch.closed_in
        groups = [(common, group) for common, throws in part.poles
                  for group in _groups([(throw, shut[frozenset((common, throw))]) for throw in throws])]
        for number, (common, throws) in enumerate(groups, 1):
            closed = tuple((position, tuple(index for index, (_, shut_in) in enumerate(throws) if position in shut_in))
                           for position in self.states(part, arrangement))
            key = part.name if len(groups) == 1 else f"{part.name}.{number}"
            found.append(_pole(part, key, common, [throw for throw, _ in throws], closed))
        return found

    def lines(self, piece, part, arrangement, see):
        first, *rest = super().lines(piece, part, arrangement, see)
        if see and piece.shape is not Contact:
            return [(f"{first[0]} {see}", ""), *rest[:-1]]
        return [first, *rest]

    def beside(self, piece, part, arrangement):
        return [(line, "") for line in in_lines(part.control, 78, 1)] + self.changing(part, arrangement)

    def inside(self, part):
        return 10 + CONTACT * len(part.pairs)

    def changing(self, part, arrangement):
        return [(max((shortened(position, 60) for position in self.states(part, arrangement)), key=text_width), "state")]

    def details(self, part):
        closes = "; ".join(f"{position}: " + ", ".join("\N{EN DASH}".join(pair) for pair in pairs)
                           for position, pairs in part.closes)
        return f"switch, {part.control} ({part.worked_by}); closes {closes}"

    def states(self, part, arrangement):
        return arrangement.control(part.control).positions


def _pole(switch, key, common, throws, closed):
    shape, slots, worked_by = Lever, (len(throws) // 2, *range(len(throws))), ""
    if len(throws) == 1:
        shape, slots, worked_by = Contact, (0, 0), switch.worked_by
    elif len(throws) == 2:
        at_rest = closed[0][1]
        shape = Changeover if at_rest else Lever
        slots = (1, 0, 2) if not at_rest else (0, 0, 1) if at_rest == (0,) else (0, 1, 0)
    return Piece(key, switch.name, shape, ends(switch, common), ends(switch, *throws), slots, closed, worked_by)


def _groups(throws):
    """Part the throws of a pole, each with where it is shut, so that no blade would have to touch two at once."""
    groups = []
    for throw, shut_in in throws:
        fitting = (group for group in groups if not any(shut_in & other for _, other in group))
        group = next(fitting, None)
        if group is None:
            groups.append(group := [])
        group.append((throw, shut_in))
    return groups
