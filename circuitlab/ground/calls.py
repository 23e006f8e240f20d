"""A call that leaves something out, gives it twice, or gives what nobody takes, gets a sentence.

Python itself would end such a call with an error of its own, in words about
positional arguments.
"""

from functools import wraps
from inspect import Parameter, isfunction, signature

from .errors import ArgumentError, listed, unknown_name


def check_call(called, what, given, named, noun="value", error=ArgumentError, first=0, hint=lambda name, is_missing: ""):
    """Raise in words when a call does not fit what is called; return when it does.

    Parameters
    ----------
    called : callable
    what : str
        What to call it in the sentence. [text]
    given, named : tuple, dict
        What the call gave without a name and by name.
    noun : str
        What to call each thing it takes. [text]
    error : type
        Of the error that is raised.
    first : int
        How many of its arguments are none of the caller's: 1 for a method. [1]
    hint : callable
        Gets the name that is missing or not known, and whether it is missing; returns a sentence more. [text]

    >>> def lit(lamp, when=None): pass
    >>> check_call(lit, "lit", (), {"lamb": 1}, "argument")
    Traceback (most recent call last):
    ...
    circuitlab.ground.errors.ArgumentError: lit has no argument 'lamb'. It has: lamp, when. Did you mean 'lamp'?
    """
    known = [one for one in list(signature(called).parameters.values())[first:] if one.kind is not Parameter.VAR_KEYWORD]
    takes_any = any(one.kind is Parameter.VAR_KEYWORD for one in signature(called).parameters.values())
    takes_more = any(one.kind is Parameter.VAR_POSITIONAL for one in known)
    known = [one for one in known if one.kind is not Parameter.VAR_POSITIONAL]
    names = [one.name for one in known]
    ordered = [one.name for one in known if one.kind is not Parameter.KEYWORD_ONLY]
    for name in named:
        if name not in names and not takes_any:
            said, more = unknown_name(what, noun, name, names), hint(name, False)
            raise said if not more and noun == "value" else error(f"{said}{more and f' {more}'}", **said.pieces)
    if len(given) > len(ordered) and not takes_more:
        order = f"In order: {listed(ordered)}." if ordered else "Leave the brackets empty."
        raise error(f"{what} takes {len(ordered) or 'no'} {noun}{'s' * (len(ordered) != 1)}"
                    f"{' at most' * bool(ordered)}, got {len(given)}. {order}")
    twice = [name for name in ordered[:len(given)] if name in named]
    if twice:
        raise error(f"{what} is given its '{twice[0]}' twice. The {noun}s without a name are, in order: {listed(ordered)}.")
    must = [one.name for one in known if one.default is Parameter.empty]
    missing = [name for name in must if name not in (*ordered[:len(given)], *named)]
    if missing:
        more = hint(missing[0], True)
        raise error(f"{what} needs '{missing[0]}', which is not given{more and f': {more}'}{'' if more else '.'} "
                    f"Write {called.__name__}({', '.join(map(_example, must))}).", missing=missing)


def _example(name):
    return _EXAMPLES.get(name, f"{name}=...")


_EXAMPLES = {"name": "'NAME'", "positions": "('off', 'on')", "control": "'CONTROL'"}


def answering(cls):
    """Return a class whose public methods fail only in the words of the kit when they are called wrongly."""
    for name, method in list(vars(cls).items()):
        if isfunction(method) and not name.startswith("_"):
            setattr(cls, name, _answering(method))
    return cls


def _answering(method):
    @wraps(method)
    def answered(*given, **named):
        try:
            return method(*given, **named)
        except TypeError:
            check_call(method, f"{type(given[0]).__name__}.{method.__name__}", given[1:], named, "argument", first=1)
            raise
    return answered
