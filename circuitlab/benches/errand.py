"""A long piece of work beside a bench: a button starts it, a bar shows how far it is, the same button stops it."""

from threading import Event, RLock, Thread

import ipywidgets as widgets


class Errand:
    """Work that runs while the bench stays usable.

    Parameters
    ----------
    words : str
        On the button while nothing runs. [text]
    work : callable ``(progress)``
        Does it; ``progress(done, total)`` returns False once it shall stop.
    show : callable ``(result)``
        Called with what came out, unless it was stopped.
    guard : Guard
        Says what goes wrong.

    Attributes
    ----------
    button : Button
        One for start and stop, so that the keyboard stays where it is.
    view : HBox
    """

    def __init__(self, words, work, show, guard):
        self._words, self._work, self._show, self._guard = words, work, show, guard
        self._thread, self._stopped = None, Event()
        self._turn = RLock()        # what is said while it runs, and what when it is stopped, one after the other
        self.button = widgets.Button(description=words, tooltip=words, layout=widgets.Layout(width="220px"))
        self.bar = widgets.IntProgress(0, 0, 1, layout=widgets.Layout(visibility="hidden"))
        self._far = widgets.HTML("")
        self.view = widgets.HBox([self.button, self.bar, self._far])
        self.button.on_click(lambda _: self.stop() if self.is_running else self.begin())

    @property
    def is_running(self):
        """Whether the work is under way and nobody has stopped it."""
        return self._thread is not None and self._thread.is_alive() and not self._stopped.is_set()

    def begin(self):
        """Start the work, in place of what may still run."""
        self.stop()
        self._stopped = Event()
        self._thread = Thread(target=self._guard.watch(self._run), args=(self._stopped,), daemon=True)
        self._look("Stop", "visible", "")
        self._thread.start()

    def stop(self):
        """Stop the work; nothing is shown of it."""
        with self._turn:
            if self.is_running:
                self._stopped.set()
                self._look(self._words, "hidden", "Stopped before the end; nothing is shown.")

    def wait(self, seconds=60.0):
        """Wait until the work is done or stopped, for so long at most. [s]"""
        if self._thread:
            self._thread.join(seconds)

    def _run(self, stopped):
        def progress(done, total):
            with self._turn:
                if not stopped.is_set():
                    self.bar.max, self.bar.value, self._far.value = max(total, 1), done, f"{done} of {total}"
            return not stopped.is_set()

        try:
            result = self._work(progress)
            with self._turn:
                if not stopped.is_set():
                    self._show(result)
        finally:
            with self._turn:
                if not stopped.is_set():
                    self._look(self._words, "hidden", "")

    def _look(self, words, bar, far):
        self.button.description = self.button.tooltip = words
        self.bar.layout.visibility, self._far.value = bar, far
