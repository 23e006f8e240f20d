"""Sorting: things into two or three groups."""

from dataclasses import dataclass, replace

from ...ground.errors import ArrangementError, unknown_name
from .kind import Placed


@dataclass(frozen=True)
class Sort(Placed):
    """Put each item into one of two or three groups.

    Parameters
    ----------
    items, groups : tuple of str
    """

    items: tuple
    groups: tuple

    def __post_init__(self):
        if not 2 <= len(self.groups) <= 3 or len(self.items) < 2:
            raise ArrangementError("sorting needs two or three groups, and two items or more.")

    def filled(self, variant):
        return replace(self, items=tuple(map(variant.fill, self.items)), groups=tuple(map(variant.fill, self.groups)))

    def read(self, given, variant):
        """Take ``{item: group}`` with a group for every item."""
        given = dict(given) if hasattr(given, "keys") else {}
        missing = [item for item in self.items if not given.get(item)]
        if len(missing) == len(self.items):
            raise ArrangementError("put every item into a group first, then press Commit.")
        for item, group in given.items():
            if item not in self.items:
                raise unknown_name("this question", "item", item, self.items)
            if group and group not in self.groups:
                raise unknown_name("this question", "group", group, self.groups)
        if missing:
            raise ArrangementError(f"no group yet for: {', '.join(missing)}.")
        return {item: given[item] for item in self.items}

    places = property(lambda self: self.items)

    def at(self, answer, place):
        return answer[place]

    def words(self, answer):
        return "; ".join(f"{group}: {', '.join(item for item in self.items if answer[item] == group) or 'none'}"
                         for group in self.groups)

    def would(self, answer, truth, variant):
        item = self.differing(answer, truth)[0]
        return f"{item} does not belong to '{answer[item]}'. Say what you would see on it if that were so."

    def where(self, answer, truth, variant):
        odd = len(self.differing(answer, truth))
        return f"{odd} of {len(self.items)} do not fit. Start with {self.differing(answer, truth)[0]} and look at it alone."

    def on_paper(self):
        return [(f"{item}:", self.groups) for item in self.items]
