"""How a part is asked for: a call that leaves something out, or gives what nobody knows, gets a sentence.

Python itself would end such a call with an error of its own, in words about
positional arguments.
"""

from functools import wraps
from inspect import Parameter, signature

from ..ground.errors import PartError, listed, unknown_name


class Maker(type):
    """The type of every record a person makes: its call fails only in the words of the kit."""

    def __call__(cls, *given, **named):
        try:
            return super().__call__(*given, **named | cls.follows(given, named))
        except TypeError:
            _check_call(cls, _what(cls), given, named)
            raise

    def follows(cls, given, named):
        """Return the values that follow from those given, such as a lamp's watts from the name of its bulb."""
        return {}

    @property
    def __signature__(cls):
        """What a call takes, for help and for whoever completes a line."""
        whole = signature(cls.__init__)
        return whole.replace(parameters=list(whole.parameters.values())[1:], return_annotation=whole.empty)


def maker(function):
    """Let a function that makes a part fail only in the words of the kit when it is called wrongly."""
    @wraps(function)
    def made(*given, **named):
        try:
            return function(*given, **named)
        except TypeError:
            _check_call(function, f"{function.__name__}(...)", given, named)
            raise
    return made


def _what(record):
    kind = getattr(record, "kind", "") or record.__name__
    return f"{'an' if kind[0] in 'AEILaeio' else 'a'} {kind}"


def _check_call(called, what, given, named):
    """Raise in words when a call does not fit what is called; return when it does."""
    known = signature(called).parameters.values()
    names = [one.name for one in known if one.kind is not Parameter.VAR_KEYWORD]
    if len(given) > len(names):
        raise PartError(f"{what} takes {len(names)} values at most, got {len(given)}. In order: {listed(names)}.")
    for name in named:
        if name not in names and len(names) == len(known):
            raise unknown_name(what, "value", name, names)
    twice = [name for name in names[:len(given)] if name in named]
    if twice:
        raise PartError(f"{what} is given its '{twice[0]}' twice. The values without a name are, in order: {listed(names)}.")
    missing = [one.name for one in known if one.default is Parameter.empty and one.kind is not Parameter.VAR_KEYWORD
               and one.name not in (*names[:len(given)], *named)]
    if missing:
        raise PartError(f"{what} needs '{missing[0]}', which is not given. "
                        f"Write {called.__name__}({', '.join(_example(name) for name in _needed(known))}).")


def _needed(parameters):
    return [one.name for one in parameters if one.default is Parameter.empty and one.kind is not Parameter.VAR_KEYWORD]


def _example(name):
    return _EXAMPLES.get(name, f"{name}=...")


_EXAMPLES = {"name": "'NAME'", "positions": "('off', 'on')", "control": "'CONTROL'"}
