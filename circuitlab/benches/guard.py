"""Handlers that fail say so in a sentence; JupyterLab itself would show nothing at all."""

from functools import wraps
from html import escape

import ipywidgets as widgets

from ..ground.errors import CircuitLabError


class Guard:
    """A place for sentences, and a way to make any handler speak through it.

    Attributes
    ----------
    place : ipywidgets.HTML
        Put it on the bench; it is empty while all is well.
    """

    def __init__(self):
        self.place = widgets.HTML("")

    def say(self, sentence):
        """Show a sentence, or nothing."""
        self.place.value = f'<div role="alert"><b>Cannot do that:</b> {escape(sentence)}</div>' if sentence else ""

    def button(self, words, press, tip=None, **layout):
        """Return a button; an error of what its press does is said as a sentence."""
        button = widgets.Button(description=words, tooltip=tip, layout=widgets.Layout(**layout))
        button.on_click(self.watch(lambda _: press()))
        return button

    def watch(self, handler):
        """Return the handler with every error turned into a sentence."""
        @wraps(handler)
        def guarded(*arguments, **named):
            try:
                result = handler(*arguments, **named)
                self.say("")
                return result
            except CircuitLabError as error:
                self.say(str(error))
            except Exception as error:  # a fault of the kit itself: the learner still gets a sentence
                self.say(f"the kit stumbled ({type(error).__name__}: {error}). Put the last control back and go on.")
            return None
        return guarded
