"""What most kinds of question have in common."""


class Kind:
    """A kind whose answers are plain values: one is right as a whole or not at all.

    ``is_looked_at_anew`` tells whether each try is told what is seen of it, the principle too: it may be another slip each time.
    What can be clicked without thinking earns credit in fewer places: ``chances`` tries of each variant, ``at_most`` variants
    in all, ``in_a_row`` of them right one after the other; None is any number.
    """

    chances, in_a_row, at_most = None, 1, None

    is_looked_at_anew = False
    another = "Another like it"         # on the button that asks the next variant

    @property
    def form(self):
        """What a fingerprint calls the kind; answers in records hang on it, so it stays when a class is renamed. [text]"""
        return type(self).__name__

    def filled(self, variant):
        return self

    def same(self, one, other):
        return one == other

    def explains(self, answer, truth, other):
        return self.same(answer, other)

    def slip(self, answer, truth):
        """Return what is said of an answer that is off by an ordinary slip, at whichever try; an empty text for none. [text]"""
        return ""

    def words(self, answer):
        return answer

    def taken(self, answer):
        """Return what is taken for right on paper, in the unit of the blank, where that is more than the answer itself. [text]"""
        return self.words(answer)

    def variety(self, truth):
        return 1


class Placed(Kind):
    """A kind whose answers are given place by place: it has ``places`` and, for each, ``at(answer, place)``."""

    chances, at_most = 3, 3

    def differing(self, answer, truth):
        """Return the places at which two answers differ, in their order."""
        return [place for place in self.places if self.at(answer, place) != self.at(truth, place)]

    def explains(self, answer, truth, other):
        return not set(self.differing(answer, truth)) & set(self.differing(answer, other))

    def variety(self, truth):
        return len({self.at(truth, place) for place in self.places})
