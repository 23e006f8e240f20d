"""The connector: a socket on the vehicle and a plug on the trailer, pin by pin, mated or parted as a whole.

Which pins a kind has, and what is usual on each, stands in
``datasets/connector_pins.csv``. Nothing of it binds a circuit: on metal, meter it.
"""

import re
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from math import hypot, inf
from typing import ClassVar

from ..ground.errors import shown, unknown_name
from ..ground.quantities import number_between
from .branch import JOINT, Branch, Role
from .law import Part
from .overheating import BAD_JOINT, pin_words, touch_words
from .tables import table
from .values import number, word

TYPES = ("12N", "13-pin", "4-flat", "7-blade", "24N", "15-pin")
SOUND = 0.005     # ohm, of one mated contact: common practice; connector specifications let a new one have 20 to 30 mohm
WETTEST = 10.0    # ohm, the least that water between two pins has, salt and dirt in it: the kit's own guess
SOCKET, PLUG = "s", "p"     # behind a pin's number: the half on the vehicle, the half on the trailer
_NOTHING = ("", "none")
_APART = re.compile(r";|,(?=\s)")     # between one pin and the next; a decimal comma is none
_NEAREST = 1.05   # times the least distance, up to which two pins lie side by side


@cache
def pins_of(type_):
    """Return the rows of the table of contacts for one kind of connector, in the order of its pins.

    >>> [(row["pin"], row["function"], row["colour"]) for row in pins_of("4-flat")][:2]
    [('1', 'ground', 'WH'), ('2', 'tail', 'BN')]
    """
    return tuple(row for row in table("connector_pins") if row["connector"] == type_)


@cache
def side_by_side(type_):
    """Return the pairs of pins that are neighbours: by their places where the table has them, else by successive numbers. [text]

    >>> side_by_side("4-flat")
    (('1', '2'), ('2', '3'), ('3', '4'))
    """
    rows = pins_of(type_)
    numbers = [row["pin"] for row in rows]
    if rows[0]["across [1]"] is None:
        return tuple(zip(numbers, numbers[1:]))
    apart = {(one["pin"], other["pin"]): hypot(one["across [1]"] - other["across [1]"], one["up [1]"] - other["up [1]"])
             for one, other in combinations(rows, 2)}
    return tuple(pair for pair, distance in apart.items() if distance <= _NEAREST * min(apart.values()))


@cache
def rated_pins(type_):
    """Return what each contact of a kind is made for, by its pin: that of a lamp circuit, on all but ground and those for thicker wire. [A]

    The common way back takes what all circuits together bring, and no text at hand says how much it may.

    >>> rated_pins("4-flat"), rated_pins("7-blade")["3"], "1" in rated_pins("7-blade"), rated_pins("12N")
    ({'2': 7.5, '3': 7.5, '4': 7.5}, 5.0, False, {})
    """
    amps = next(row["lamp circuit [A]"] for row in table("connectors") if row["connector"] == type_)
    thinnest = max((row["gauge [AWG]"] or 0 for row in pins_of(type_)), default=0)
    return {row["pin"]: amps for row in pins_of(type_) if amps is not None and (row["gauge [AWG]"] or 0) == thinnest and "ground" not in row["function"]}


@dataclass(frozen=True)
class Connector(Part):
    """A connector between vehicle and trailer (device letter X): socket and plug in one part.

    Parameters
    ----------
    type : {"12N", "13-pin", "4-flat", "7-blade", "24N", "15-pin"}
        Which kind it is: 12N of ISO 1724, 13-pin of ISO 11446, 4-flat of SAE J1239, 7-blade of SAE J2863; for 24 V 24N of
        ISO 1185, 15-pin of ISO 12098. [text]
    plug : str
        The kind of its plug, which must be that of its socket; empty says the same. [text]
    pins : tuple of (str, float)
        Each pin that is not sound and what its contact has, typed ``"3: 2 ohm, 5: inf"``; ``inf`` is one that is open:
        corroded, bent, pushed back. [ohm]
    water : tuple of (str, float)
        Two pins of the socket with water between them and what that has, typed ``"1-2: 500 ohm"``. [ohm]
    contact_resistance : float
        Of each contact that is sound. [ohm]

    Terminals
    ---------
    1s, 2s, 3s and so on : the pins on the socket's side, that of the vehicle
    1p, 2p, 3p and so on : the same pins on the plug's side, that of the trailer; joined to those while it is mated

    Notes
    -----
    Pulled apart on a board, or with ``hold X5 parted``, it is parted: no pin
    joins, and the socket's side keeps its volts.

    >>> Connector("X5", "4-flat").terminals
    ('1s', '2s', '3s', '4s', '1p', '2p', '3p', '4p')
    """

    type: str = word("4-flat", TYPES)
    plug: str = ""
    pins: tuple = ()
    water: tuple = ()
    contact_resistance: float = number(SOUND, JOINT, 1000, "ohm")
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "connector"
    letter: ClassVar[str] = "X"
    reach: ClassVar[float] = 0.7
    states: ClassVar[tuple] = ("mated", "parted")
    parted: ClassVar[str] = "parted"

    def __post_init__(self):
        super().__post_init__()
        self._check_plug()
        for field, low in (("pins", JOINT), ("water", WETTEST)):
            object.__setattr__(self, field, self._ohms(field, low))

    def _check_plug(self):
        one = isinstance(self.plug, str) and sum(map(self.plug.count, TYPES)) < 2
        self.must(one, f"one plug goes into a socket, got {shown(self.plug)}. Give each plug a socket of its own: a further "
                       "connector, both sockets wired to the same splice.")
        self.must(self.plug in ("", self.type), f"a {shown(self.plug)[1:-1]} plug does not go into a {self.type} socket. Allowed: "
                                                f"{self.type}. Change one half, or join two connectors by an adapter's wires.")

    def _ohms(self, field, low):
        """Return the pins, or pairs of pins, that are told of with their ohms, in the order of the pins."""
        given, wanted = getattr(self, field), _WRITTEN[field]
        if isinstance(given, str):
            pairs = [] if given.strip().lower() in _NOTHING else [piece.rpartition(":")[::2] for piece in _APART.split(given)]
        else:
            self.must(isinstance(given, (tuple, list, dict)), f"{field} must be {wanted}, got {shown(given)}.")
            pairs = [*(given.items() if isinstance(given, dict) else given)]
        self.must(all(isinstance(pair, (tuple, list)) and len(pair) == 2 and isinstance(pair[0], str) for pair in pairs),
                  f"{field} must be {wanted}, got {shown(given)}.")
        found = {}
        for said, ohms in pairs:
            place = self._place(field, said.strip())
            ohms = inf if isinstance(ohms, str) and ohms.strip().lower() in ("inf", "open") else ohms
            value, wrong = number_between(ohms, f"{field} {'-'.join(place)}", low, inf, "ohm")
            self.must(not wrong, wrong)
            self.must(place not in found, f"{field} {'-'.join(place)} is given twice. Give it once.")
            found[place] = float(value)
        order = {row["pin"]: number for number, row in enumerate(pins_of(self.type))}
        return tuple(("-".join(place), found[place]) for place in sorted(found, key=lambda place: [order[pin] for pin in place]))

    def _place(self, field, said):
        """Return the pin, or the two pins, that one entry is about."""
        names = [row["pin"] for row in pins_of(self.type)]
        place = tuple(said.split("-"))
        self.must(all(place) and len(place) == _COUNT[field] == len({*place}), f"{field} has {shown(said)}, and must be {_WRITTEN[field]}.")
        for name in place:
            if name not in names:
                raise unknown_name(f"connector '{self.name}' ({self.type})", "pin", name, names)
        return tuple(sorted(place, key=names.index))

    @property
    def numbers(self):
        """The numbers of its pins. [text]"""
        return tuple(row["pin"] for row in pins_of(self.type))

    @property
    def terminals(self):
        return tuple(f"{pin}{side}" for side in (SOCKET, PLUG) for pin in self.numbers)

    @property
    def mistaken(self):
        return tuple(tuple(f"{pin}{side}" for pin in self.numbers) for side in (SOCKET, PLUG))

    @property
    def neighbours(self):
        return tuple((f"{one}{SOCKET}", f"{other}{SOCKET}") for one, other in side_by_side(self.type))

    def ohms(self, pin):
        """Return what the contact of a pin has while it is mated. [ohm]"""
        return dict(self.pins).get(pin, self.contact_resistance)

    def with_pins(self, ohms, *pins):
        """Return what ``pins`` is with these having so many ohms. [text], [ohm]"""
        found = dict(self.pins) | dict.fromkeys(pins, ohms)
        return tuple((pin, found[pin]) for pin in self.numbers if pin in found)

    def branches(self):
        mated = frozenset({"mated"})
        contacts = [Branch(f"{pin}{SOCKET}", f"{pin}{PLUG}", Role.CONTACT, self.ohms(pin), closed_in=mated, mated=True)
                    for pin in self.numbers]
        leaks = [Branch(*(f"{pin}{SOCKET}" for pin in pair.split("-")), Role.ELECTRONICS, ohms) for pair, ohms in self.water]
        return (*contacts, *leaks)

    def rated(self, pin):
        """Return what the contact of a pin is made for by its kind's standard, or None where none is known. [A]"""
        return rated_pins(self.type).get(pin)

    def overheated(self, currents):
        """Return a sentence about every pin that carries more than it is made for, and every poor one that may set fire."""
        said = [pin_words(f"pin {pin} of {self.name}", abs(amps), self.rated(pin)) for pin, amps in zip(self.numbers, currents)]
        said += [touch_words(f"pin {pin} of {self.name}", "there", amps**2 * self.ohms(pin))
                 for pin, amps in zip(self.numbers, currents) if BAD_JOINT <= self.ohms(pin) < inf]
        return tuple(filter(None, said))


_COUNT = {"pins": 1, "water": 2}
_WRITTEN = {"pins": "pins with their ohms, such as {'3': 2.0}, or typed \"3: 2 ohm, 5: inf\"",
            "water": "pairs of pins with their ohms, such as {'1-2': 500.0}, or typed \"1-2: 500 ohm\""}
