"""What only conducts: wire, splice, chassis and resistor."""

import re
from dataclasses import dataclass
from math import inf
from typing import ClassVar

from ..ground.errors import PartError, listed, shown
from .branch import JOINT, Branch, Role
from .law import Part
from .overheating import BAD_JOINT, TOUCH_BURNS, touch_words, wire_words
from .values import number, whole

RESISTIVITY = 0.017241  # ohm mm2/m, annealed copper at 20 C. Source: IEC 60028
WARMING = 0.003929      # 1/K, by how much it grows from 20 C on: (234.5 + T) / 254.5. Source: TE note on relay coils
TOUCHING = 0.001        # m, the shortest wire there is, which stands for places that touch
COLOURS = ("BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ")  # Source: IEC 60757
_COLOUR_WORDS = dict(zip(("black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "pink",
                          "turquoise"), COLOURS)) | {"purple": "VT", "gray": "GY"}


def copper_factor(temperature):
    """Return the resistance of copper at a temperature [C] relative to that at 20 C. [1]

    >>> round(copper_factor(85.0), 4)
    1.2554
    """
    return 1 + WARMING * (temperature - 20)


def check_colour(name, colour):
    """Raise a PartError unless the letters are one or two IEC 60757 colours."""
    pieces = re.findall("..", colour) if isinstance(colour, str) and len(colour) % 2 == 0 else [None]
    if not 0 <= len(pieces) <= 2 or any(piece not in COLOURS for piece in pieces):
        letters = colour_letters(colour)
        raise PartError(f"wire '{name}': colour {shown(colour)} is not one or two IEC 60757 letters pairs. "
                        f"{f'Write {letters}. ' if letters else ''}"
                        f"Allowed: {listed(COLOURS)}, or two of them run together such as RDBU.",
                        part=name, got=colour)


def colour_letters(words):
    """Return the letters for a colour in words, such as ``red`` or ``red/white``, empty for anything else. [text]

    >>> colour_letters("red"), colour_letters("Red-white"), colour_letters("half")
    ('RD', 'RDWH', '')
    """
    named = re.split(r"[-/ ]", words.lower()) if isinstance(words, str) and len(words) < 30 else []
    letters = [_COLOUR_WORDS.get(word) or word.upper() * (word.upper() in COLOURS) for word in named]
    return "".join(letters) if all(letters) and len(letters) <= 2 else ""


@dataclass(frozen=True)
class Wire(Part):
    """A wire between two terminals: a part of its own, with a joint at each end.

    Parameters
    ----------
    start, end : str
        The two terminals it joins, each as part, colon, terminal, such as ``"F1:2"``; which comes first does not matter. [text]
    colour : str
        Letters of IEC 60757: ``"BK"`` black, ``"BN"`` brown, ``"RD"`` red, ``"OG"`` orange, ``"YE"`` yellow, ``"GN"`` green,
        ``"BU"`` blue, ``"VT"`` violet, ``"GY"`` grey, ``"WH"`` white, ``"PK"`` pink, ``"TQ"`` turquoise; of a wire with a
        stripe both run together, such as ``"RDWH"``. [text]
    length : float
        From one end to the other, slack and bends too, there alone and not back. [m]
    area : float
        Cross-section of its copper, the size a wire is sold by; in Python also ``"18 AWG"``. [mm2]
    start_joint, end_joint : float
        What the crimp or screw at each end has; ``inf`` is one that has come off. [ohm]
    note : str
        Any remark of yours; the build sheet prints it, nothing else asks for it. [text]
    temperature : float
        Of its copper, where it lies warmer than the rest; that of the ambient unless given. [C]

    Notes
    -----
    Annealed copper (IEC 60028). A warm engine bay adds about 4 % per 10 K. A
    wire does not warm by its own current.

    >>> round(1000 * Wire("W1", "G1:+", "F1:1", "RD", length=2, area=1.5).copper, 1)  # mohm
    23.0
    """

    start: str = ""
    end: str = ""
    colour: str = ""
    length: float = number(0.5, TOUCHING, 100, "m")
    area: float = number(1.0, 0.05, 200, "mm2")
    start_joint: float = number(JOINT, JOINT, inf, "ohm")
    end_joint: float = number(JOINT, JOINT, inf, "ohm")
    note: str = ""
    temperature: float | None = number(None, -60, 250, "C")

    kind: ClassVar[str] = "wire"
    letter: ClassVar[str] = "W"

    def __post_init__(self):
        super().__post_init__()
        for end in (self.start, self.end):
            self.must(isinstance(end, str) and end.count(":") == 1 and not end.startswith(":") and not end.endswith(":"),
                      f"an end must be a part and a terminal such as 'K1:87', got {shown(end)}.")
        self.must(self.start != self.end, f"both ends are on '{self.start}'. Give it two different terminals.")
        check_colour(self.name, self.colour)

    @property
    def terminals(self):
        return (self.start, self.end)

    @property
    def is_touch(self):
        """Whether it is no wire to cut but two places that touch: as short as a wire may be. [yes/no]"""
        return self.length == TOUCHING

    @property
    def spoken(self):
        """What a sentence calls it: its name, or the two places that touch. [text]"""
        return f"the touch of {self.start} and {self.end}" if self.is_touch else self.name

    @property
    def copper_temperature(self):
        """Its own where that is given, else the ambient. [C]"""
        return self.ambient if self.temperature is None else self.temperature

    @property
    def copper(self):
        """Resistance of the copper alone. [ohm]"""
        return RESISTIVITY * self.length / self.area * copper_factor(self.copper_temperature)

    @property
    def resistance(self):
        """Joint, copper and joint. [ohm]"""
        return self.start_joint + self.copper + self.end_joint

    def branches(self):
        return (Branch(self.start, self.end, Role.WAY, self.resistance),)

    def overheated(self, currents):
        if self.is_touch:       # it has no copper of its own; what it does is burn
            return ()
        return tuple(filter(None, [wire_words(self.name, abs(currents[0]), self.area, self.copper_temperature)]))

    def burning(self, amps):
        """Return sentences on that a place that touches, or a bad joint at one of its ends, may set fire, from the amps on average (rms). [text]"""
        return tuple(filter(None, (touch_words(name, place, amps**2 * resistance) for name, place, resistance in self.hot_spots)))

    @property
    def hot_spots(self):
        """What might glow: ``(name, place, resistance)`` of two places that touch, or of each of its joints that is bad. [ohm]"""
        if self.is_touch:
            return ((self.spoken, "there", self.resistance),)
        ends = ((self.start, self.start_joint), (self.end, self.end_joint))
        return tuple((f"{self.name}'s joint", f"at {place}", joint) for place, joint in ends if BAD_JOINT <= joint < inf)

    def may_burn(self, volts):
        """Tell whether something of it could set fire with so many volts at most. [V], [yes/no]"""
        return any(resistance <= volts**2 / TOUCH_BURNS for *_, resistance in self.hot_spots)


@dataclass(frozen=True)
class Resistor(Part):
    """A resistor (device letter R), such as a load resistor for LED lamps.

    Parameters
    ----------
    resistance : float
        Its value, as printed on it. [ohm]
    rated_watts : float
        What it may turn into heat for long, as printed on it; ``inf`` where nothing is said. [W]

    Terminals
    ---------
    1, 2 : its two ends; either way round

    >>> Resistor("R1", 6.8).terminals
    ('1', '2')
    """

    resistance: float = number(100.0, JOINT, 1e9, "ohm")
    place: str = ""
    note: str = ""
    rated_watts: float = number(inf, 0.01, inf, "W")

    kind: ClassVar[str] = "resistor"
    letter: ClassVar[str] = "R"
    terminals: ClassVar[tuple] = ("1", "2")
    needs: ClassVar[tuple] = terminals

    @property
    def resistors(self):
        return ((0, self.resistance, self.rated_watts),)

    def branches(self):
        return (Branch("1", "2", Role.LOAD, self.resistance),)


@dataclass(frozen=True)
class Splice(Part):
    """A splice (device letter X): numbered terminals, one piece of metal.

    Parameters
    ----------
    ways : int
        How many terminals it has. [1]

    Terminals
    ---------
    1, 2, 3 and so on : one for each of its ways, all joined to each other

    >>> Splice("X1", ways=4).terminals
    ('1', '2', '3', '4')
    """

    ways: int = whole(3, 2, 24)
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "splice"
    letter: ClassVar[str] = "X"
    reach: ClassVar[float] = 0.7

    @property
    def terminals(self):
        return tuple(str(number) for number in range(1, self.ways + 1))

    @property
    def merged(self):
        return (self.terminals,)


@dataclass(frozen=True)
class Chassis(Part):
    """The metal of the vehicle as a conductor (device letter X): numbered ground studs.

    Parameters
    ----------
    studs : int
        How many ground points it has. [1]
    stud_resistance : float
        From each stud to the body metal; a rusty one has more. [ohm]
    body_resistance : float
        Of the metal from the place of one stud to that of the next, in a row
        as they are numbered; 0 for a body that is one piece. [ohm]

    Terminals
    ---------
    1, 2, 3 and so on : one for each of its studs, all joined by the body metal

    >>> Chassis("X2", studs=3).terminals
    ('1', '2', '3')
    """

    studs: int = whole(2, 1, 24)
    stud_resistance: float = number(0.002, JOINT, 100, "ohm")
    place: str = ""
    note: str = ""
    body_resistance: float = number(0.0, 0, 100, "ohm")

    kind: ClassVar[str] = "chassis"
    letter: ClassVar[str] = "X"
    reach: ClassVar[float] = 0.85

    def __post_init__(self):
        super().__post_init__()
        self.must(self.body_resistance == 0 or self.body_resistance >= JOINT,
                  f"body resistance must be 0 or at least {JOINT:g} ohm, got {self.body_resistance:g}.")

    @property
    def terminals(self):
        return tuple(str(number) for number in range(1, self.studs + 1))

    @property
    def inner(self):
        return tuple(f"body {stud}" for stud in self.terminals) if self.body_resistance else ("body",)

    def branches(self):
        if not self.body_resistance:
            return tuple(Branch(stud, "body", Role.WAY, self.stud_resistance) for stud in self.terminals)
        return (*(Branch(stud, metal, Role.WAY, self.stud_resistance) for stud, metal in zip(self.terminals, self.inner)),
                *(Branch(here, there, Role.WAY, self.body_resistance) for here, there in zip(self.inner, self.inner[1:])))
