"""The errors of the kit: which thing, what is wrong, what is allowed, what to do next.

Every class also inherits the built-in error a Python user expects, and keeps
its pieces as attributes so that a bench or a check can phrase them again.
"""

from difflib import get_close_matches
from re import match

from .plain import bounded, plain
from .slips import slip_words

MOST_SAID = 2000        # letters of a sentence; the middle of a longer one is left out
MOST_VALUE = 300        # letters of a value in a sentence


class CircuitLabError(Exception):
    """Root of every error the kit raises on purpose; its sentence can be printed anywhere, and is never endless.

    >>> import circuitlab as cl
    >>> try:
    ...     cl.arrangement("one-fused-lamp").part("E9")
    ... except cl.CircuitLabError as error:
    ...     print(error)
    arrangement 'one-fused-lamp' has no part 'E9'. It has: G1, F1, S1, E1, X1. Did you mean 'E1'?
    """

    def __init__(self, sentence, **pieces):
        sentence = bounded(plain(str(sentence), kept=""), MOST_SAID)
        super().__init__(sentence)
        self.sentence = sentence
        self.pieces = pieces

    def __str__(self):
        return self.sentence

    def _render_traceback_(self):
        """Return what a notebook shows in the place of a traceback. [text]"""
        return slip_words(self)


class PartError(CircuitLabError, ValueError):
    """A part's own value is missing, of the wrong type, or outside what is physical."""


class UnknownName(CircuitLabError, KeyError):
    """A name that nothing in the arrangement (or the kit) answers to."""


class ArrangementError(CircuitLabError, ValueError):
    """Parts and wires that do not make a whole arrangement."""


class FileError(CircuitLabError, ValueError):
    """An arrangement file that cannot be read, or must not be overwritten."""


class ArgumentError(CircuitLabError, TypeError):
    """A function was given another kind of thing than it takes."""


class ScriptError(CircuitLabError, ValueError):
    """A script of control actions that cannot be played."""


def listed(names):
    """Return names as one readable list.

    >>> listed(["30", "85", "86"])
    '30, 85, 86'
    """
    return ", ".join(str(name) for name in names) or "(none)"


def shown(value):
    """Return any value as it may stand in a sentence: as Python writes it, cut short where that is long.

    >>> shown("K1"), len(shown("x" * 500)), shown(10**5000)
    ("'K1'", 300, 'an int too large to write out')
    """
    try:
        said = repr(value)
    except Exception:               # any object may be handed in, and fail to say what it is
        kind = type(value).__name__
        return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind} too large to write out"
    return in_short(said)


def in_short(text):
    """Return a text short enough for a sentence, with letters that cannot be seen written as numbers."""
    return bounded(plain(text, kept=""), MOST_VALUE)


def _of_one_number(name, allowed):
    """Return the only one that begins with the number a name begins with, such as ``4-flat`` for ``4-pin``, in a list. [text]"""
    number = match(r"\d+(?=-)", name)
    found = [each for each in allowed if number and each.startswith(number[0] + "-")]
    return found if len(found) == 1 else []


def unknown_name(where, kind, name, allowed):
    """Build the one sentence used for every unknown name.

    Parameters
    ----------
    where : str
        What was searched, such as ``"relay 'K2'"``. [text]
    kind : str
        What was looked for, such as ``"terminal"``. [text]
    name : str
        The name that was not found. [text]
    allowed : iterable of str
        The names that would have been found. [text]

    Returns
    -------
    UnknownName
        Ready to raise, with ``name`` and ``allowed`` among its pieces.

    Examples
    --------
    >>> print(unknown_name("relay 'K2'", "terminal", "88", ["30", "85", "86", "87", "87a"]))
    relay 'K2' has no terminal '88'. It has: 30, 85, 86, 87, 87a. Did you mean '87'?
    """
    allowed = [str(item) for item in allowed]
    asked = in_short(name) if isinstance(name, str) else shown(name)
    sentence = f"{where} has no {kind} '{asked}'. It has: {listed(allowed)}."
    near = [each for each in allowed if each.lower() == asked.lower()] or _of_one_number(asked, allowed) or get_close_matches(asked, allowed, n=1, cutoff=0.5)
    if near:
        sentence += f" Did you mean '{near[0]}'?"
    return UnknownName(sentence, where=where, kind=kind, name=name, allowed=allowed)
