"""What may be wished of a circuit: the questions, what is allowed, and by what of an arrangement a wish rules it out."""

from dataclasses import dataclass

from ...ground.errors import ArgumentError, shown, unknown_name
from ...ground.plain import counted
from ...parts.flasher import TYPES

MOST = 12       # of relays on a shelf, and of poles, that are counted


@dataclass(frozen=True)
class Wish:
    """One thing that may be wished.

    Attributes
    ----------
    name : str
        Of its trait and of the argument. [text]
    question : str
        As it is asked. [text]
    choices : dict of str to str
        What is allowed, in words. [text]
    shelf : bool
        Whether it says how many of something there are at most. [yes/no]
    """

    name: str
    question: str
    choices: dict
    shelf: bool = False

    def read(self, value):
        """Return a value as it is meant: in its own spelling, a number of a shelf as text. [text]

        Raises
        ------
        UnknownName, ArgumentError
            For what is not allowed.
        """
        said = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value) if isinstance(value, int | str) else None
        known = {each.lower(): each for each in self.choices}
        if said is None:
            raise ArgumentError(f"choose: '{self.name}' must be one of {', '.join(self.choices)}, not {shown(value)}. Leave it out where it does "
                                "not matter.", argument=self.name, got=value)
        said = " ".join(said.lower().split())
        if said not in known:
            raise unknown_name("choose", f"value of '{self.name}'", value, self.choices)
        return known[said]


def _counts(least, thing):
    return {str(number): counted(number, thing) for number in range(least, MOST + 1)}


WISHES = {wish.name: wish for wish in (
    Wish("filaments", "Do stop and turn share one filament in each rear lamp, or have they filaments of their own?",
         {"shared": "stop and turn share a lamp", "separate": "stop and turn have lamps of their own"}),
    Wish("lamps", "Bulbs or LED lamps?", {"bulbs": "bulbs with a filament", "LED": "LED lamps"}),
    Wish("hazard", "Shall it have a hazard signal, both sides flashing at once?", {"yes": "a hazard signal", "no": "no hazard signal"}),
    Wish("trailer", "Shall lamps of a trailer signal with it?", {"yes": "lamps of a trailer", "no": "no trailer"}),
    Wish("changeover_relays", "How many changeover relays, with 87a, lie on the shelf?", _counts(0, "changeover relay"), shelf=True),
    Wish("make_relays", "And how many make relays, without 87a? A changeover relay serves as one too.", _counts(0, "make relay"), shelf=True),
    Wish("poles", "How many contacts can one switch close at once, its poles?", _counts(1, "pole"), shelf=True),
    Wish("flasher", "Which type of flasher lies on the shelf?", {each: each for each in TYPES}),
    Wish("frame", "Which pole of the battery stands on the frame?", {"minus": "minus on the frame", "plus": "plus on the frame"}),
)}


@dataclass(frozen=True)
class Miss:
    """What one wish rules an arrangement out for.

    Attributes
    ----------
    wish : str
        Its name. [text]
    why : str
        What the arrangement has or needs instead, in words. [text]
    instead : str
        The value with which the wish would no longer rule it out; empty where none would. [text]
    """

    wish: str
    why: str
    instead: str


def read_wishes(given):
    """Return what is wished, those that do not matter left out, in the order of the questions. [text]

    Parameters
    ----------
    given : dict of str
        By the name of the wish; None where it does not matter.

    Raises
    ------
    UnknownName, ArgumentError
        For a wish or a value that is not there.
    """
    for name in given:
        if name not in WISHES:
            raise unknown_name("choose", "wish", name, WISHES)
    wished = {name: wish.read(given[name]) for name, wish in WISHES.items() if given.get(name) is not None}
    if "make_relays" in wished and "changeover_relays" not in wished:
        raise ArgumentError("choose: 'make_relays' is given without 'changeover_relays'. A changeover relay serves as a make relay too: say how "
                            "many of those lie there, such as changeover_relays=2.", argument="make_relays")
    return wished


def misses(found, wished):
    """Return what rules an arrangement out, a miss for each wish.

    Parameters
    ----------
    found : Traits
    wished : dict of str to str
        As :func:`read_wishes` returns it. [text]
    """
    checks = {"changeover_relays": _changeover, "make_relays": _make, "poles": _poles, "frame": _frame}
    said = [checks.get(name, _other)(found, name, wished) for name in wished]
    return tuple(filter(None, [_signals(found), *said]))


def _signals(found):
    """Every circuit asked for signals stop and turn."""
    return None if found.stop and found.turn else Miss("signals", "it does not signal stop and turn", "")


WORDS = {
    "filaments": {"shared": "stop and turn share a lamp", "separate": "stop and turn have lamps of their own"},
    "lamps": {"bulbs": "its lamps are bulbs", "LED": "its lamps are LED lamps", None: "some of its lamps are bulbs, some LED lamps"},
    "hazard": {"yes": "it has a hazard signal", "no": "it has no hazard signal"},
    "trailer": {"yes": "it has lamps of a trailer", "no": "it has no lamps of a trailer"},
}


def _other(found, name, wished):
    """What must be as it is wished; of one that does not signal, that alone is told."""
    value = getattr(found, name)
    if value == wished[name] or not (found.stop and found.turn):
        return None
    if name == "flasher":
        return Miss(name, f"its flasher is {value}" if value else "it has no flasher of one type", value or "")
    return Miss(name, WORDS[name][value], value or "")


def _changeover(found, name, wished):
    needs, there = found.changeover_relays, int(wished[name])
    return Miss(name, f"it needs {counted(needs, 'changeover relay')}, {_lie(there)}", str(needs)) if needs > there else None


def _make(found, name, wished):
    """Changeover relays that are left over serve as well."""
    spare, needs = max(0, int(wished["changeover_relays"]) - found.changeover_relays), found.make_relays
    there = int(wished[name]) + spare
    if needs <= there:
        return None
    beside = f" beside {counted(found.changeover_relays, 'changeover relay')}" if found.changeover_relays else ""
    return Miss(name, f"it needs {counted(needs, 'make relay')}{beside}, {_lie(there)}", str(needs - spare))


def _lie(there):
    return f"{there or 'none'} {'lies' if there < 2 else 'lie'} on the shelf"


def _poles(found, name, wished):
    there = int(wished[name])
    if found.poles <= there:
        return None
    which = [switch for switch, poles in found.switch_poles.items() if poles > there]
    control = ", ".join(dict.fromkeys(found.arrangement.part(switch).control for switch in which))
    return Miss(name, f"it needs a switch of {counted(found.poles, 'pole')} ({control})", str(found.poles))


def _frame(found, name, wished):
    """A circuit with no part on the frame does not ask which pole stands there."""
    return Miss(name, f"it has {found.frame} on the frame", found.frame) if found.frame not in (None, wished[name]) else None
