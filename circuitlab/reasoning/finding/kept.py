"""A case kept in its file while it grows."""

from .case import save_case


class Keeper:
    """Keeps a case in its file after every answer; what stood there before today stays beside it, what was kept meanwhile does not.

    Parameters
    ----------
    path : str or Path or None
        Without one nothing is kept. [text]
    """

    def __init__(self, path):
        self.path, self.saved = path, None

    def __call__(self, case, ruled_out=()):
        if self.path is not None:
            kept = self.saved and self.saved.kept
            self.saved = save_case(case, self.path, ruled_out, over=self.saved is not None)
            self.saved.kept = self.saved.kept or kept
        return self.saved
