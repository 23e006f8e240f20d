"""The trials of a bench: those played lately are kept, and the next one is played while nobody asks for anything.

Whoever presses an arrow key or drags a slider steadily will most likely ask for
one step more. Played in the pause before, it is on the page a frame earlier.
"""

import asyncio
from functools import lru_cache

KEPT = 24       # trials
PAUSE = 0.02    # s, for the browser to show the last picture first


class Trials:
    """Trials by their settings.

    Parameters
    ----------
    play : callable ``(settings)``
        Plays one; its result must hang on the settings alone.
    """

    def __init__(self, play):
        self._play, self._timer = lru_cache(maxsize=KEPT)(play), None

    @property
    def played(self):
        """How many have been played so far. [1]"""
        return self._play.cache_info().misses

    def of(self, settings):
        """Return the trial of some settings, played now if it has not been."""
        self._forget()
        return self._play(settings)

    def play_ahead(self, settings):
        """Play a trial after a pause, unless another is asked for before; outside a kernel nothing happens."""
        self._forget()
        try:
            self._timer = asyncio.get_running_loop().call_later(PAUSE, self._try, settings)
        except RuntimeError:    # no loop that could wait
            self._timer = None

    def _forget(self):
        if self._timer:
            self._timer.cancel()

    def _try(self, settings):
        try:
            self._play(settings)
        except Exception:       # whoever really asks for it is told why
            return
