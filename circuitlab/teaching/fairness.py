"""Whether the variants of a question are equally hard, worked out over many seeds."""

from collections import Counter
from dataclasses import dataclass
from itertools import combinations

from ..ground.errors import CircuitLabError
from ..ground.showing import Showing
from .kinds import BlankTable, Choice, Lines, Number


@dataclass(frozen=True, repr=False)
class Fairness(Showing):
    """What was found over the seeds.

    Attributes
    ----------
    is_equal : bool
        All variants hold as much, in every one each idea can be told from the truth and from the others, and none is trivial.
    sentence : str
    odd : tuple of (int, str)
        Seeds that stand out, and why.
    answers : int
        How many different right answers there are. [1]
    """

    is_equal: bool
    sentence: str
    odd: tuple
    answers: int


def fairness(task, seeds=range(1, 201)):
    """Compare the variants of a task.

    Parameters
    ----------
    task : Task or a question of a lesson
    seeds : iterable of int

    Returns
    -------
    Fairness
    """
    task = getattr(task, "task", task)
    marks, odd, truths, seen = {}, [], [], {}
    for seed in seeds:
        variant = task.variants.of(seed)
        place = seed % len(task.variants)
        if place not in seen:       # the same variant under another seed is the same
            seen[place] = mark, fault, truth = _looked_at(task, variant)
            if mark and not any(other == truth or isinstance(task.kind, Number) and task.kind.same(truth, other)
                                for other in truths):
                truths.append(truth)
        mark, fault, _ = seen[place]
        marks[seed] = mark
        if fault:
            odd.append((seed, fault))
    usual = Counter(marks.values()).most_common(1)[0][0]
    odd += [(seed, f"holds {mark} where most hold {usual}") for seed, mark in marks.items()
            if mark != usual and mark is not None]
    first = f" Seed {odd[0][0]}: {odd[0][1]}." if odd else ""
    return Fairness(not odd, f"{len(marks)} seeds, {len(seen)} variants, {len(truths)} different answers, "
                    f"{len(odd)} seeds stand out.{first}", tuple(odd), len(truths))


def _looked_at(task, variant):
    """Return (what the variant holds, what is wrong with it, its answer)."""
    try:
        posed = task.pose(variant)
        kind, truth, ideas = posed.kind, posed.truth, posed.idea_answers
    except CircuitLabError as error:
        return None, str(error), None
    rows = len(kind.rows) if isinstance(kind, BlankTable) else 0
    free = {one.code for one in _free(task)}
    mark = (rows, kind.variety(truth), 1 + sum(code in free for code in ideas))
    return mark, _fault(task, kind, truth, ideas), truth


def _free(task):
    """Return the ideas that are worked out; one that is a choice of its own, with its reply, may be right in some variant."""
    own = task.kind.options if isinstance(task.kind, Choice) and task.kind.replies else ()
    return [one for one in task.ideas if one.reads_as not in own]


def _fault(task, kind, truth, ideas):
    missing = [one.code for one in _free(task) if one.code not in ideas]
    if missing:
        return f"idea {missing[0]} leads to the right answer"
    for code, other in combinations(ideas, 2):
        if kind.same(ideas[code], ideas[other]):
            return f"ideas {code} and {other} lead to one answer"
    if isinstance(kind, BlankTable) and kind.variety(truth) < 2:
        return "every lamp looks the same in every row"
    if isinstance(kind, Number) and truth is not None:
        near = Number(kind.unit, 2 * kind.within)
        if any(answer is not None and near.same(answer, truth) for answer in ideas.values()):
            return "an idea comes near the right answer"
    if isinstance(kind, Lines) and len(truth.lines) < 2:
        return "there is but one line to write"
    return ""
