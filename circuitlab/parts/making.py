"""How a part is asked for: a call that leaves something out, or gives what nobody knows, gets a sentence.

Python itself would end such a call with an error of its own, in words about
positional arguments.
"""

from inspect import signature

from ..ground.calls import check_call
from ..ground.errors import ArgumentError, PartError


class Maker(type):
    """The type of every record a person makes: its call fails only in the words of the kit."""

    def __call__(cls, *given, **named):
        try:
            return super().__call__(*given, **named | cls.follows(given, named))
        except TypeError:
            check_call(cls, _what(cls), given, named, error=_error(cls))
            raise

    def follows(cls, given, named):
        """Return the values that follow from those given, such as a lamp's watts from the name of its bulb."""
        return {}

    @property
    def __signature__(cls):
        """What a call takes, for help and for whoever completes a line."""
        whole = signature(cls.__init__)
        return whole.replace(parameters=list(whole.parameters.values())[1:], return_annotation=whole.empty)


def _what(record):
    kind = getattr(record, "kind", "") or record.__name__
    return f"{'an' if kind.startswith(('LED', *'AEIaeio')) else 'a'} {kind}"


def _error(record):
    """Return of which kind an error about a call is: of a part, or of any other record."""
    return PartError if record.__module__.startswith(__package__) else ArgumentError
