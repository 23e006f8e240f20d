"""Sorting: things into two or three groups, or into an order."""

from dataclasses import dataclass, replace

from ...ground.errors import ArrangementError, unknown_name


@dataclass(frozen=True)
class Sort:
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

    def same(self, one, other):
        return one == other

    def _differing(self, answer, truth):
        return [item for item in self.items if answer[item] != truth[item]]

    def explains(self, answer, truth, other):
        return all(answer[item] == other[item] for item in self._differing(answer, truth))

    def words(self, answer):
        return "; ".join(f"{group}: {', '.join(item for item in self.items if answer[item] == group) or 'none'}"
                         for group in self.groups)

    def would(self, answer, truth, variant):
        item = self._differing(answer, truth)[0]
        return f"You put {item} to '{answer[item]}'. Say what you would see on it if that were so."

    def where(self, answer, truth, variant):
        odd = len(self._differing(answer, truth))
        return f"{odd} of {len(self.items)} do not fit. Start with {self._differing(answer, truth)[0]} and look at it alone."

    def variety(self, truth):
        return len(set(truth.values()))

    def on_paper(self):
        return [(f"{item}:", self.groups) for item in self.items]


@dataclass(frozen=True)
class Order:
    """Put items into an order, first one first."""

    items: tuple

    def __post_init__(self):
        if len(self.items) < 3 or len(set(self.items)) < len(self.items):
            raise ArrangementError("an order needs three different items or more.")

    def filled(self, variant):
        return replace(self, items=tuple(map(variant.fill, self.items)))

    def read(self, given, variant):
        """Take the items in order."""
        given = given.split(",") if isinstance(given, str) else given if isinstance(given, (list, tuple)) else ()
        given = [item.strip() if isinstance(item, str) else item for item in given]
        if not any(given):
            raise ArrangementError("press the items in their order first, then press Commit.")
        for item in given:
            if item not in self.items:
                raise unknown_name("this question", "item", item, self.items)
        missing = [item for item in self.items if item not in given]
        if missing or len(given) != len(self.items):
            raise ArrangementError(f"not in the order yet: {', '.join(missing)}." if missing else
                                   "an item stands in the order twice. Start the order again.")
        return given

    def same(self, one, other):
        return list(one) == list(other)

    def explains(self, answer, truth, other):
        return self.same(answer, other)

    def words(self, answer):
        return ", ".join(answer)

    def would(self, answer, truth, variant):
        place = next(place for place, item in enumerate(answer) if item != truth[place])
        before = f"right behind {answer[place - 1]}" if place else "first of all"
        return f"You have {answer[place]} {before}. What would have to reach it from there?"

    def where(self, answer, truth, variant):
        place = next(place for place, item in enumerate(answer) if item != truth[place])
        return f"Look again from place {place + 1} on." if place else "Look again at what comes first."

    def variety(self, truth):
        return len(truth)

    def on_paper(self):
        return [(f"___ {item}", ()) for item in self.items]
