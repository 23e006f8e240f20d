"""What a live board's page is given: still layers, a picture for each state, areas for hands, curves of light. Nothing is solved here."""

from .pieces import piece_of
from .sheets import FORMS, picture_of, still_of

__all__ = ["FORMS", "picture_of", "piece_of", "still_of"]
