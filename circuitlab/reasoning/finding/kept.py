"""A case kept in its file while it grows."""

from pathlib import Path

from .case import save_case


class Keeper:
    """Keeps a case in its file after every answer; what stood there before today stays beside it, what was kept meanwhile does not.

    Parameters
    ----------
    path : str or Path or None
        Without one nothing is kept. [text]
    """

    def __init__(self, path):
        self.path, self.last = path, None
        self.before = set(Path(path).absolute().parent.glob("*")) if path else set()

    def __call__(self, case, ruled_out=()):
        if self.path is None:
            return None
        saved = save_case(case, self.path, ruled_out)
        if self.last is not None and saved.kept and saved.kept.absolute() not in self.before:
            saved.kept.unlink()         # written by this very keeper a moment ago
        self.last = saved
        return saved
