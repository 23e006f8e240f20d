"""What may be wished of a circuit: the questions, and what is allowed as their answers."""

from dataclasses import dataclass

from ..ground.errors import ArgumentError, shown, unknown_name
from ..ground.plain import counted
from ..parts.connector import TYPES as PLUGS
from ..parts.flasher import TYPES

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
    Wish("lamps", "Does the vehicle itself signal with bulbs or with LED lamps? (A trailer is asked for apart.)",
         {"bulbs": "bulbs with a filament on the vehicle", "LED": "LED lamps on the vehicle"}),
    Wish("hazard", "Shall it have a hazard signal, both sides flashing at once?", {"yes": "a hazard signal", "no": "no hazard signal"}),
    Wish("trailer", "Shall lamps of a trailer towed behind it signal with it? (A trailer wired by itself: no.)", {"yes": "lamps of a trailer", "no": "no trailer"}),
    Wish("trailer_lamps", "And does the trailer signal with bulbs or with LED lamps?",
         {"bulbs": "bulbs with a filament on the trailer", "LED": "LED lamps on the trailer"}),
    Wish("plug", "Which plug joins the trailer to the cart? (Wires joined for good: none.)", {"none": "no plug"} | {each: f"a {each} plug" for each in PLUGS}),
    Wish("changeover_relays", "How many changeover relays, with 87a, lie on the shelf?", _counts(0, "changeover relay"), shelf=True),
    Wish("make_relays", "And how many make relays, without 87a? A changeover relay serves as one too.", _counts(0, "make relay"), shelf=True),
    Wish("poles", "How many contacts can one switch close at once, its poles?", _counts(1, "pole"), shelf=True),
    Wish("flasher", "Which type of flasher lies on the shelf?", {each: each for each in TYPES}),
    Wish("frame", "Which pole of the battery stands on the frame?", {"minus": "minus on the frame", "plus": "plus on the frame"}),
)}


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
    if "trailer_lamps" in wished and wished.get("trailer") == "no":
        raise ArgumentError("choose: 'trailer_lamps' is given, and 'trailer' is no. Lamps on a trailer need a trailer: ask for one, or leave out what "
                            "lamps it has.", argument="trailer_lamps")
    return wished
