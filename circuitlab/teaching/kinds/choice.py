"""One of a few answers."""

from dataclasses import dataclass, replace
from hashlib import sha256

from ...ground.errors import ArrangementError, unknown_name
from .kind import Kind

_MIX = 943      # of 1,500 tried, one by which always taking the first choice earns little in every lesson (tests/test_guessing.py)


@dataclass(frozen=True)
class Choice(Kind):
    """Choose one.

    Parameters
    ----------
    options : tuple of str
        As they are shown. [text]
    replies : tuple of str or callable
        What is said to each option, in their order: what would be seen if it were so. None, or one for each. [text]
    """

    options: tuple
    replies: tuple = ()

    chances, in_a_row, at_most = 1, 2, 3

    def __post_init__(self):
        object.__setattr__(self, "options", tuple(str(option) for option in self.options))
        if len(self.options) < 2 or len(set(self.options)) < len(self.options):
            raise ArrangementError("a choice needs two or more different answers.")

    def filled(self, variant):
        """Return the kind with its texts filled in for a variant."""
        return replace(self, **{each: tuple(map(variant.fill, getattr(self, each))) for each in ("options", "replies")})

    def read(self, given, variant):
        """Return the option; case and spaces do not matter."""
        if given is None or not str(given).strip():
            raise ArrangementError("choose an answer first, then press Commit.")
        told = _plain(given)
        for option in self.options:
            if _plain(option) == told:
                return option
        raise unknown_name("this question", "answer", given, self.options)

    def reply(self, answer):
        """Return what is said to an option, or an empty text. [text]"""
        return dict(zip(self.options, self.replies)).get(answer, "")

    def would(self, answer, truth, variant):
        return self.reply(answer) or "Say what a meter or a lamp would show if it were so. Then go and look whether it does."

    def where(self, answer, truth, variant):
        return "Go along the way of the current, part by part, and stop at the first one that does not fit your answer."

    def variety(self, truth):
        return len(self.options)

    def mixed(self, item, seed):
        """Return the kind with its options in an order that hangs on question and seed alone; figures and letters keep theirs."""
        if all(option[:1].isdigit() or len(option) == 1 for option in self.options):
            return self
        order = sorted(range(len(self.options)), key=lambda place: sha256(f"{_MIX}\n{item}\n{seed}\n{place}".encode()).digest())
        return replace(self, **{each: tuple(getattr(self, each)[place] for place in order)
                                for each in ("options", "replies") if getattr(self, each)})

    def on_paper(self):
        return [("", self.options)]


def _plain(text):
    return " ".join(str(text).casefold().split())
