"""Flasher units: electronic ones, with or without a feeling for their load, and the thermal one."""

from dataclasses import dataclass
from functools import cached_property
from math import exp, inf, log, sqrt
from typing import ClassVar

from ..ground.errors import shown
from .law import JOINT, Branch, Part
from .making import maker

ELECTRONICS = 2400.0  # ohm from 49 to 31: about 5 mA, common practice
AWAKE = 6.0 / ELECTRONICS  # A, the least supply current at which the electronics run (6 V): common practice
TURNED = 0.001        # A, backwards, from where on an electronic one is called fed the wrong way round
LEAST_TOLD = 0.5      # W, of lamps that stay on because there are too few; less comes by some other way
LAMP_OUT = 0.8        # of the rated current: below it a lamp must be out, as 26 W of 47 W are. Common practice
HURRY = 2.0           # by how much the rate grows then. Source: maker pages, "about double"
OVERLOAD = 1.1        # of its most load: lamps may draw 10 % more than they should. Source: lamp makers' tolerance
DRIVE = 1.5           # heat of a thermal one's rated current, over the least that ever opens it: the kit's own
STEEPER = 1.2         # by which power of the current that heat grows: the kit's own
RUSH = 0.067          # s, of rated heat over DRIVE, that the rush of cold filaments adds to each flash: the kit's own lamps
FULLEST = 0.97        # of the heat at which it opens: the most it may take on average at rated load, or it opens late
HEATER_DROP = 0.3     # V, across its heater at rated current; SAE J945 allows 0.5 V
WORKINGS = ("electronic", "heat")


@dataclass(frozen=True)
class Flasher(Part):
    """A flasher (device letter K): 49 in, 49a out, 31 ground, C pilot lamp.

    What older units call X or B is 49, L is 49a, P is C and E is 31. Their L
    is the output, not "left".

    Parameters
    ----------
    rate : float
        Flashes per minute, at its rated load; 60 to 120 is the range vehicle rules allow. [1/min]
    on_share : float
        Part of each period in which the output is on. [1]
    load_needing : bool
        False: free-running, it swings whenever 49 has its supply. True: its
        contact waits closed and the swing starts when the load draws
        ``least_load``. Only a unit declared free-running runs without a load. [yes/no]
    least_load : float
        Only for a load-needing one. [A]
    works_by : {"electronic", "heat"}
        Electronic ones keep their own time. In one that works by heat the lamp
        current warms a strip until it opens, and again closes when cool. [text]
    pins : int
        2 (49 and 49a), 3 (with 31) or 4 (with C, on together with 49a). One with
        two pins lives on its load. [1]
    rated_load : float
        The lamps it is made for; 0 for one that does not mind. Electronic:
        under 80 % of it the rate doubles, as a lamp must be out. Heat: rate and
        on-share hold for lamps of this load, to some 5 %; a lamp out makes it
        slow, or it stays on. [W]
    most_load : float
        More overloads it; ``inf`` where nothing is said. [W]
    volts : float
        At which the loads are meant: a lamp called 21 W draws about that at 12 V. [V]

    Notes
    -----
    Thermal: TM 9-8000 par. 16-13 has the heater in series with the closed
    contact and the lamps. Warmth h follows dh/dt = (q - h) / tau, q being the
    current squared, 1 at the least current that ever opens it. It opens at
    h = 1 and closes at h = lo, so at a steady current it is on for
    tau ln((q - lo) / (q - 1)) and off for tau ln(1 / lo); ``lo`` and ``tau``
    follow from rate and on-share at q = 1.4. The inrush of cold filaments
    heats too, which makes each flash of lamps 0.12 s shorter than one of a
    resistor; q is held below 3, as the heater itself takes a moment to warm.

    Fed the wrong way round an electronic one does not run (a maker's page on
    polarity says so of two-pin ones); one that works by heat does not care.

    What the model leaves out: the pull of the electronics' supply volts on the
    rate, and the types that begin with a dark moment.
    """

    rate: float = 90.0
    on_share: float = 0.5
    load_needing: bool = False
    least_load: float = 1.0
    place: str = ""
    note: str = ""
    works_by: str = "electronic"
    pins: int = 3
    rated_load: float = 0.0
    most_load: float = inf
    volts: float = 12.0

    kind: ClassVar[str] = "flasher"
    moves: ClassVar[bool] = True
    swings: ClassVar[bool] = True
    aliases: ClassVar[dict] = {"X": "49", "B": "49", "L": "49a", "P": "C", "E": "31"}

    def __post_init__(self):
        super().__post_init__()
        self.must_be_number("rate", 10, 600, "flashes per minute")
        self.must_be_number("on_share", 0.05, 0.95, "of the period (0.5 is half)")
        self.must(isinstance(self.load_needing, bool),
                  f"load_needing must be true or false, got {shown(self.load_needing)}.")
        self.must_be_number("least_load", 0.001, 50, "A")
        self.must_be_one_of("works_by", WORKINGS)
        self.must(type(self.pins) is int and self.pins in (2, 3, 4), f"pins must be 2, 3 or 4, got {shown(self.pins)}.")
        self.must_be_number("rated_load", 0, 2000, "W")
        self.must_be_number("most_load", 1, inf, "W")
        self.must_be_number("volts", 1, 60, "V")
        self.must(self.rated_load <= self.most_load,
                  f"its rated load of {self.rated_load:g} W is above its most load of {self.most_load:g} W. "
                  "Give a larger most_load.")
        self.must(self.pins > 2 or self.load_needing,
                  "with two pins it lives on its load. Say load_needing=True, or give it 31 (pins=3).")
        if self.works_by == "heat":
            self.must(self.load_needing and self.pins == 2,
                      "one that works by heat has two pins and needs its load. Say pins=2, load_needing=True.")
            self.must(self.rated_load > 0, "one that works by heat needs its rated load. Say rated_load=42.")
            self.must(DRIVE * self.on_time + RUSH < FULLEST * 60 / self.rate, f"one that works by heat cannot be on for {self.on_share:g} of the "
                      f"period at {self.rate:g} per minute. Give less, such as on_share=0.5.")

    @property
    def terminals(self):
        return ("49", "49a", "31", "C")[:self.pins]

    @property
    def states(self):
        return ("idle", "on", "off")

    @property
    def watched(self):
        return (0,) if self.works_by == "heat" else (0, 1)   # the last of them is the load

    @property
    def on_time(self):
        """How long the output is on in each period, at rated load. [s]"""
        return 60.0 / self.rate * self.on_share

    @property
    def off_time(self):
        """How long the output is off in each period, at rated load. [s]"""
        return 60.0 / self.rate * (1 - self.on_share)

    @property
    def rated_current(self):
        """What its rated load draws. [A]"""
        return self.rated_load / self.volts

    def branches(self):
        closed = frozenset({"on", "idle"} if self.load_needing else {"on"})
        contact = 20 * JOINT
        if self.works_by == "heat":
            return (Branch("49", "49a", contact + HEATER_DROP / self.rated_current, closed_in=closed),)
        supply = Branch("49", "31" if self.pins > 2 else "49a", ELECTRONICS)
        pilot = (Branch("49", "C", contact, closed_in=frozenset({"on"})),) if self.pins == 4 else ()
        return (supply, Branch("49", "49a", contact, closed_in=closed), *pilot)

    def aim(self, state, aim, currents):
        load = abs(currents[-1])
        if self.works_by == "heat":
            return aim if state == "off" else "running" if self.strain(currents) > 1 else "idle"
        if self.pins > 2 and currents[0] < AWAKE or self.pins == 2 and currents[0] + currents[-1] < -TURNED:
            return "idle"
        if state == "off" and (self.load_needing or self.rated_load):
            return aim
        if self.load_needing and load < self.least_load:
            return "idle"
        return "hurried" if state == "on" and load < LAMP_OUT * self.rated_current else "running"

    def next_move(self, state, aim):
        if aim == "idle":
            return None if state == "idle" else (0.0, "idle")
        if state == "idle":
            return 0.0, "on"
        if self.works_by == "heat":
            return None
        pace = HURRY if aim == "hurried" else 1.0
        return (self.on_time / pace, "off") if state == "on" else (self.off_time / pace, "on")

    def rest(self, aim, phase):
        return "idle" if aim == "idle" else phase

    def strain(self, currents):
        return DRIVE * abs(currents[-1] / self.rated_current) ** STEEPER if self.works_by == "heat" else 0.0

    def heat_turn(self, state):
        if self.works_by != "heat":
            return None
        return (self.recloses_at, inf, "on") if state == "off" else (-inf, 1.0, "off")

    @cached_property
    def heat_time(self):
        """Time constant of a thermal one's strip, from its rate and on-share at rated load; 0 for an electronic one. [s]"""
        if self.works_by != "heat":
            return 0.0
        low, high = 1e-3, 1e3
        for _ in range(80):
            middle = sqrt(low * high)
            low, high = (middle, high) if self._warmest(middle) > 1 else (low, middle)
        return middle

    @property
    def recloses_at(self):
        """Warmth at which a thermal one closes again. [1]"""
        return exp(-self.off_time / self.heat_time)

    def _warmest(self, time):
        """Return the warmth at the end of each flash at rated load, were that the time constant. [1]"""
        left = exp(-self.on_time / time)
        return (DRIVE * (1 - left) + RUSH / time * left) / (1 - left * exp(-self.off_time / time))

    def swing(self, amps):
        """Return on and off time of a thermal one at a steady current, or None where it stays on. [s]"""
        drawn = self.strain((amps,))
        if drawn <= 1:
            return None
        lo = self.recloses_at
        return self.heat_time * log((drawn - lo) / (drawn - 1)), self.heat_time * log(1 / lo)

    def remark(self, state, currents):
        load = abs(currents[-1])
        if self.works_by == "electronic" and currents[0] + currents[-1] * (self.pins == 2) < -TURNED:
            return (f"{self.name} is fed the wrong way round: plus belongs on 49. It does not run, and its electronics may be gone "
                    "for good")
        if load * self.volts > OVERLOAD * self.most_load:
            return (f"{self.name} carries {load * self.volts:.0f} W, more than the {self.most_load:g} W "
                    "it is made for. Take off lamps or choose a stronger one")
        if state == "idle" and load * self.volts >= LEAST_TOLD:
            return f"{self.name} has too little load to swing: {load * self.volts:.0f} W. Its lamps stay on"
        if state == "on" and self.works_by == "electronic" and load < LAMP_OUT * self.rated_current:
            return (f"{self.name} feeds {load * self.volts:.0f} W of its {self.rated_load:g} W, so it flashes "
                    f"{HURRY:g} times as fast: a lamp is out, or too weak for it")
        return ""


@maker
def load_sensing_flasher(name, rated_load=42.0, most_load=98.0, **more):
    """Return an electronic flasher that doubles its rate when a lamp is out.

    Parameters
    ----------
    rated_load, most_load : float
        At 12 V; two lamps of 21 W, and at most 98 W with the hazard on, is a catalogue's common type. [W]
    """
    return Flasher(name, **{"load_needing": True, "rated_load": rated_load, "most_load": most_load} | more)


@maker
def thermal_flasher(name, rated_load=53.0, volts=13.5, **more):
    """Return a two-pin flasher that works by heat.

    Parameters
    ----------
    rated_load, volts : float
        Its rate and on-share hold for lamps that draw this at so many volts. [W], [V]
    """
    return Flasher(name, **{"works_by": "heat", "pins": 2, "load_needing": True, "rated_load": rated_load,
                            "volts": volts} | more)


@maker
def variable_load_flasher(name, least_load=0.2, **more):
    """Return a two-pin flasher whose rate does not depend on its load and tells of no lamp out.

    Parameters
    ----------
    least_load : float
        Below which it does not swing. [A]
    """
    return Flasher(name, **{"pins": 2, "load_needing": True, "least_load": least_load} | more)
