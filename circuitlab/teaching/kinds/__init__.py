"""The kinds of question, without any widget: what an answer is, how it is read, compared and said.

Each kind has

``read(given, variant)``
    what was given as an answer, or a sentence raised as CircuitLabError for a blank or for nonsense;
``same(one, other)``
    whether two answers are one;
``explains(answer, truth, other)``
    whether another answer (an idea's) accounts for every place at which this one differs from the truth;
``words(answer)``
    the answer in words;
``would(answer, truth, variant)``
    what an answer no idea accounts for would mean, without saying what is so;
``where(answer, truth, variant)``
    where to look again, without saying what is there;
``variety(truth)``
    how many different things the right answer holds, so that variants can be compared;
``chances``, ``in_a_row``, ``at_most``
    how many tries of a variant may earn credit, how many variants right one after the other it takes, how many count;
``on_paper()``
    what to print for a pencil: ``(lines, choices)`` pairs.
``form``
    what a fingerprint calls the kind.
"""

from .blank_table import BlankTable
from .choice import Choice
from .lines import Lines
from .number import Number
from .sorting import Sort
from .wired import Wired

__all__ = ["BlankTable", "Choice", "Lines", "Number", "Sort", "Wired"]
