"""A case kept in its file while it grows."""

from pathlib import Path

from .case_file import save_case


class Keeper:
    """Keeps a case in its file after every answer; what others wrote there meanwhile stays beside it, what was kept or read by this one does not.

    Parameters
    ----------
    path : str or Path or None
        Without one nothing is kept. [text]
    is_read : bool
        Whether the case was read from what stands there. [yes/no]
    """

    def __init__(self, path, is_read=False):
        self.path, self.saved = path and Path(path), None
        self._own = self._standing() if is_read else None

    def __call__(self, case, ruled_out=()):
        if self.path is not None:
            before = self.saved and self.saved.kept
            standing = self._standing()
            self.saved = save_case(case, self.path, ruled_out, over=standing is not None and standing == self._own)
            self.saved.kept = self.saved.kept or before
            self._own = self._standing()
        return self.saved

    def _standing(self):
        """Return what stands in the file now; None for nothing that can be read. [bytes]"""
        try:
            return self.path.read_bytes() if self.path is not None else None
        except OSError:
            return None
