"""Flasher units as they are sold: two types that work by heat, three electronic ones."""

from dataclasses import dataclass
from functools import cached_property
from math import exp, inf, log, sqrt
from typing import ClassVar

from ..ground.errors import shown
from .branch import JOINT, Branch, Role
from .law import Part, cold_volts
from .overheating import held_off_words
from .values import number, word

THERMAL_FIXED, THERMAL_VARIABLE = "thermal fixed load", "thermal variable load"
FREE_RUNNING, SENSING, NEEDING = "electronic free running", "electronic with lamp-out sensing", "electronic load needing"
TYPES = (THERMAL_FIXED, THERMAL_VARIABLE, FREE_RUNNING, SENSING, NEEDING)
THERMAL, THREE_PINS = (THERMAL_FIXED, THERMAL_VARIABLE), (FREE_RUNNING, SENSING)
CONTACT = 20 * JOINT   # ohm
ELECTRONICS = 2400.0   # ohm from 49 to 31: about 5 mA, as a chip's sheet (4.5 mA at 12 V)
AWAKE = 0.5            # of its rated volts, the least at which it runs: from memory, a relay lets go near there
PROMISED = 0.75        # of its rated volts, from where its sheet promises a rate: 9 V of 12. Source: flasher chips' sheets
MOST_PROMISED = 1.5    # of its rated volts, up to where its sheet promises it: 18 V of 12. Source: two flasher chips' sheets
RESTART = 0.075        # s from volts to the first flash after a breakdown. Source: a chip's sample circuit; others 1.5, 10 ms
TURNED = 0.001         # A, backwards, from where on an electronic one is called fed the wrong way round
SENSE = 2500.0         # ohm from 49 to 49a while it waits. Source: a leak of 5 kohm must not start it, at up to 15 V
STARTED = 0.002        # A through that, 5 V across it, from which on one of 12 V starts. Source: the same sheet
JUDGED = 0.05          # s, of its on-time, before it minds too little load: the inrush is over then. From memory
LEAST_TOLD = 0.5       # W, of lamps that stay on because there are too few; less comes by some other way
LAMP_OUT = 2.70 / 3.5  # of the rated current at rated volts: below it a lamp must be out. Source: a chip's sheet
FOLLOWS = 40 / 81      # by how much of a change of its volts that moves, as filaments do. Source: 71, 81, 91 mV at 9, 12, 15 V
SURELY_OUT = 0.75      # of that current: above, filaments, colder in a flash than at rest, may draw enough. The kit's own lamps
HURRY = 2.2            # by how much the rate grows then. Source: 2.15 to 2.3 in the sheets
SHORTER = 0.4 / 0.5    # by how much the on-share shrinks then. Source: 40 % instead of 50 % in the sheets
OVERLOAD = 1.1         # of its most load: lamps may draw 10 % more than they should. Source: lamp makers' tolerance
DRIVE = 1.5            # heat of a thermal one's rated current, over the least that ever turns it: the kit's own
STEEPER = 1.2          # by which power of the current that heat grows: the kit's own
RUSH = 0.067           # s, of rated heat over DRIVE, that the rush of cold filaments adds to each flash: the kit's own lamps
FULLEST = 0.97         # of the heat that turns it: the most it may take on average at rated load, or it turns late
HEATER_DROP = 0.3      # V, across a fixed-load heater at rated current; SAE J945 allows 0.5 V
HEATER = 120.0         # ohm, of a variable-load heater: so many that lamps stay dark through it. The kit's own
COOLED = 4.0           # ohm, of two 21 W lamps between two flashes, which lie in its way: the kit's own lamps


@dataclass(frozen=True)
class Flasher(Part):
    """A flasher (device letter K), in five types as they are sold.

    What older units call X or B is 49, L is 49a, P is C and E is 31. Their L is the output, not "left".

    Parameters
    ----------
    rate : float
        Flashes per minute, at its rated load; 60 to 120 is the range vehicle rules allow. [1/min]
    on_share : float
        Part of each flash in which the output is on, 0.5 for half of it. [1]
    type : str
        "thermal fixed load" (49 49a): waits closed; the lamps' current bends a strip until it opens. "thermal
        variable load" (49 49a): waits open; a thin current through the lamps heats a strip until it closes.
        "electronic free running" (49 49a 31): flashes whenever it has its supply. "electronic with lamp-out sensing"
        (49 49a 31): waits open, and hurries when its load is light. "electronic load needing" (49 49a): waits closed,
        lives on its load. [text]
    pilot : bool
        Whether one with 31 has C too, for a lamp on the dash that is on together with 49a. [yes/no]
    rated_load : float
        The lamps it is made for. Thermal: rate and on-share hold for these, to some 5 %; with a fixed load a lamp out
        makes it slow, or it stays on. Lamp-out sensing: under some 77 % it hurries. [W]
    least_load : float
        Of an electronic one that minds its load: with less it does not flash. [W]
    most_load : float
        More overloads it; ``inf`` where nothing is said. [W]
    volts : float
        Rated ones, at which the loads are meant: a lamp called 21 W draws about that at 12 V. [V]
    hold_up : float
        How long one with 31 keeps its state without volts at 49, by a capacitor; some tens of ms are from memory. [s]

    Terminals
    ---------
    49 : supply in
    49a : output to the lamps
    31 : ground, of "electronic free running" and "electronic with lamp-out sensing" alone
    C : for a pilot lamp, where ``pilot`` is true

    Notes
    -----
    Electronic with 31: it runs from half of its rated volts on (from memory), is promised to from three quarters (9 V
    of 12, flasher chips' sheets), and a sag shorter than ``hold_up``, as cold filaments make on a bad joint, leaves
    it as it is. The lamp-out threshold goes with the volts as the current of filaments does: 2.37, 2.70 and 3.03 A of
    two 21 W lamps at 9, 12 and 15 V (a sheet, with its 30 milliohm). What one does with less than its least load
    after it has started no sheet says: here it opens 50 ms into its flash, so that relays may bring the lamps, and
    waits until its switch has been off.

    Thermal fixed load: TM 9-8000 par. 16-13 has the heater in series with the closed contact and the lamps. Warmth h
    follows dh/dt = (q - h) / tau, with q = 1.5 (I / rated I)^1.2. It opens at h = 1 and closes at h = lo, so at a
    steady current it is on for tau ln((q - lo) / (q - 1)) and off for tau ln(1 / lo); ``lo`` and ``tau`` follow from
    rate and on-share at q = 1.5, with what the inrush of cold filaments adds to each flash. The 1.5 and the power are
    the kit's own: a hotter wire loses more to the air. Thermal variable load has the same law the other way round: a
    heater of 120 ohm lies across the open contact, which closes at h = 1, shorts it, and opens at h = lo.

    Fed the wrong way round an electronic one does not run (a maker's page on polarity says so of two-pin ones); one that
    works by heat does not care. Left out: the pull of the supply volts on the rate, and overvoltage and low volts of two pins.

    >>> Flasher("K9", type="thermal fixed load").terminals
    ('49', '49a')
    """

    rate: float = number(90.0, 10, 600, "flashes per minute")
    on_share: float = number(0.5, 0.05, 0.95, "of the period (0.5 is half)")
    type: str = word(FREE_RUNNING, TYPES)
    place: str = ""
    note: str = ""
    pilot: bool = False
    rated_load: float = number(42.0, 1, 2000, "W")
    least_load: float = number(10.0, 0.1, 2000, "W")
    most_load: float = number(inf, 1, inf, "W")
    volts: float = number(12.0, 1, 60, "V")
    hold_up: float = number(0.03, 0, 1, "s")

    kind: ClassVar[str] = "flasher"
    letter: ClassVar[str] = "K"
    moves: ClassVar[bool] = True
    swings: ClassVar[bool] = True
    paces: ClassVar[tuple] = ("running", "hurried")
    clocked: ClassVar[tuple] = (*paces, "waiting")
    sometimes: ClassVar[tuple] = ("31", "C")
    inlet: ClassVar[str] = "49"
    outlet: ClassVar[str] = "49a"
    reach: ClassVar[float] = 0.95
    aliases: ClassVar[dict] = {"X": "49", "B": "49", "L": "49a", "P": "C", "E": "31"}
    states: ClassVar[tuple] = ("idle", "on", "off")
    loses_as: ClassVar[str] = "flasher"
    filaments: ClassVar[bool] = True    # whether a lamp with a filament is about; the arrangement it is in says so
    surroundings: ClassVar[tuple] = ("ambient", "filaments")

    needs = property(lambda self: tuple(name for name in self.terminals if name != "C"))
    watched = property(lambda self: {THERMAL_FIXED: (0,), SENSING: (0, 1, 2)}.get(self.type, (0, 1)))
    round_time = property(lambda self: self.hold_up + RESTART if self.type in THREE_PINS else 0.0)
    patience = property(lambda self: JUDGED if self.type == SENSING else inf)
    is_polar = property(lambda self: not self.is_thermal)
    stuck = property(lambda self: (("dead flasher", f"flasher {self.name} dead, its output never on", "off"), ("stuck flasher", f"flasher {self.name} stuck on", "on")))

    def __post_init__(self):
        super().__post_init__()
        self.must(isinstance(self.pilot, bool), f"pilot must be true or false, got {shown(self.pilot)}.")
        self.must(not self.pilot or self.type in THREE_PINS,
                  f"{self.type} has 49 and 49a only. Take the pilot away, or choose {' or '.join(THREE_PINS)}.")
        if self.type in (THERMAL_FIXED, SENSING):
            self.must(self.rated_load <= self.most_load,
                      f"its rated load of {self.rated_load:g} W is above its most load of {self.most_load:g} W. "
                      "Give a larger most_load.")
        if self.is_thermal:
            heated, cooled, rush = self._turns
            self.must(DRIVE * heated + rush < FULLEST * (heated + cooled),
                      f"one that works by heat cannot be on for {self.on_share:g} of the period at {self.rate:g} per minute. "
                      f"Give {'more' if self.type == THERMAL_VARIABLE else 'less'}, such as on_share=0.5.")

    @property
    def is_thermal(self):
        """Whether it works by heat."""
        return self.type in THERMAL

    @property
    def waits(self):
        """How its contact stands without a load: open or closed; one that runs free does not wait. [text]"""
        return {THERMAL_FIXED: "closed", NEEDING: "closed", FREE_RUNNING: ""}.get(self.type, "open")

    @property
    def load_range(self):
        """The lamps it is for, in words. [text]"""
        most = "" if self.most_load == inf else f"{self.most_load:g} W"
        if self.type in (THERMAL_FIXED, SENSING):
            return f"{self.rated_load:g} to {most}" if most and self.most_load > self.rated_load else f"for {self.rated_load:g} W"
        least = self.least_load if self.type == NEEDING else 0
        return f"{least:g} to {most}" if most else f"{least:g} W or more" if least else "any load"

    @property
    def terminals(self):
        return ("49", "49a", *(("31",) if self.type in THREE_PINS else ()), *(("C",) if self.pilot else ()))

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
        closed = frozenset({"on", "idle"} if self.waits == "closed" else {"on"})
        if self.type == THERMAL_FIXED:
            return (Branch("49", "49a", Role.CONTACT, CONTACT + HEATER_DROP / self.rated_current, closed_in=closed),)
        contact = Branch("49", "49a", Role.CONTACT, CONTACT, closed_in=closed)
        if self.type == THERMAL_VARIABLE:
            return Branch("49", "49a", Role.ELECTRONICS, HEATER), contact
        supply = Branch("49", self.terminals[-1] if self.type == NEEDING else "31", Role.ELECTRONICS, ELECTRONICS)
        sense = (Branch("49", "49a", Role.ELECTRONICS, SENSE, closed_in=frozenset({"idle"})),) if self.type == SENSING else ()
        pilot = (Branch("49", "C", Role.CONTACT, CONTACT, closed_in=frozenset({"on"})),) if self.pilot else ()
        return (supply, contact, *sense, *pilot)

    def aim(self, state, aim, currents):
        if self.is_thermal:
            cooling = "off" if self.type == THERMAL_FIXED else "on"
            return aim if state == cooling else "running" if self.strain(currents) > 1 else "idle"
        if self.type == NEEDING:
            if currents[0] + currents[1] < -TURNED:
                return "idle"
            return aim if state == "off" else "running" if abs(currents[1]) >= self.least_load / self.volts else "idle"
        if currents[0] * ELECTRONICS < AWAKE * self.volts:
            return "starving" if state != "idle" or aim in ("starving", "waking") else "idle"
        if state == "idle":
            return self._from_waiting(aim, currents)
        if self.type == FREE_RUNNING:
            return "running"
        if state == "off":
            return "running" if aim == "starving" else aim
        load = abs(currents[1])
        return "waiting" if load < self.least_load / self.volts else "hurried" if load < self._lamp_out(currents) else "running"

    def _from_waiting(self, aim, currents):
        """Return what one with its supply makes for that is idle."""
        if self.type == SENSING and not self._senses(currents):
            return "idle"
        return "waking" if aim in ("starving", "waking") else "waiting" if aim == "waiting" else "running"

    def _senses(self, currents):
        """Tell whether one that waits open has something on 49a."""
        return currents[2] >= STARTED * self.volts / 12

    def _lamp_out(self, currents):
        """Return the current under which a lamp must be out, at the volts it has. [A]"""
        return self.rated_current * LAMP_OUT * (1 + FOLLOWS * (currents[0] * ELECTRONICS / self.volts - 1))

    def lightness(self, currents):
        """Return the load while its output is on as a share of what it takes for a lamp out. [1]"""
        return abs(currents[1]) / self._lamp_out(currents)

    def hurries(self, state, currents, perhaps=False):
        return state == "on" and self.type == SENSING and self.lightness(currents) < (1 if perhaps or not self.filaments else SURELY_OUT)

    def next_move(self, state, aim):
        if state == "idle":
            first = "off" if self.type == THERMAL_VARIABLE else "on"
            return (0.0, first) if aim in self.paces else (RESTART, "on") if aim == "waking" else None
        if aim not in self.paces:
            return {"starving": self.hold_up, "waiting": JUDGED}.get(aim, 0.0), "idle"
        if self.is_thermal:
            return None
        on, off = self.on_time, self.off_time
        if aim == "hurried":
            on, off = SHORTER * on / HURRY, (on + off - SHORTER * on) / HURRY
        return (on, "off") if state == "on" else (off, "on")

    def rest(self, aim, phase):
        return phase if aim in (*self.paces, "waking") else "idle"

    def strain(self, currents):
        if not self.is_thermal:
            return 0.0
        rated = self.rated_current if self.type == THERMAL_FIXED else self.volts / (HEATER + COOLED)
        return DRIVE * abs(currents[0] / rated) ** STEEPER

    def heat_turn(self, state):
        if not self.is_thermal:
            return None
        cooling, heating = ("off", "on") if self.type == THERMAL_FIXED else ("on", "off")
        return (self.recloses_at, inf, heating) if state == cooling else (-inf, 1.0, cooling)

    @property
    def _turns(self):
        """For how long a thermal one is heated and cools in each period, and what cold filaments add to its heat. [s]"""
        return (self.on_time, self.off_time, RUSH) if self.type == THERMAL_FIXED else (self.off_time, self.on_time, 0.0)

    @cached_property
    def heat_time(self):
        """Time constant of a thermal one's strip, from its rate and on-share at rated load; 0 for an electronic one. [s]"""
        if not self.is_thermal:
            return 0.0
        low, high = 1e-3, 1e3
        for _ in range(80):
            middle = sqrt(low * high)
            low, high = (middle, high) if self._warmest(middle) > 1 else (low, middle)
        return middle

    @property
    def recloses_at(self):
        """Warmth at which the strip of a thermal one, cooling, goes back. [1]"""
        return exp(-self._turns[1] / self.heat_time)

    def _warmest(self, time):
        """Return the warmth at the end of each heating at rated load, were that the time constant. [1]"""
        heated, cooled, rush = self._turns
        left = exp(-heated / time)
        return (DRIVE * (1 - left) + rush / time * left) / (1 - left * exp(-cooled / time))

    def swing(self, amps):
        """Return for how long a thermal one is heated and cools at a steady current that heats it, or None where it never turns. [s]"""
        drawn = self.strain((amps,))
        if drawn <= 1:
            return None
        lo = self.recloses_at
        return self.heat_time * log((drawn - lo) / (drawn - 1)), self.heat_time * log(1 / lo)

    def remark(self, state, currents):
        load = abs(currents[0] if self.type == THERMAL_FIXED else currents[1])
        if not self.is_thermal and currents[0] + currents[1] * (self.type == NEEDING) < -TURNED:
            return (f"{self.name} is fed the wrong way round: plus belongs on 49. It does not run, and its electronics may be gone "
                    "for good")
        if load * self.volts > OVERLOAD * self.most_load:
            return (f"{self.name} carries {load:.2f} A, more than the {self.most_load / self.volts:.2f} A "
                    f"({self.most_load:g} W at {self.volts:g} V) it is made for. Take off lamps or choose a stronger one")
        if state == "idle":
            return self._waiting_words(load, currents)
        if state == "on" and self.type == SENSING and load < self._lamp_out(currents):
            how = "flashes" if self.hurries(state, currents) else "may flash up to"
            return (f"{self.name} feeds {load:.2f} A of its {self.rated_current:.2f} A, so it {how} "
                    f"{HURRY:g} times as fast: a lamp is out, or too weak for it")
        return self.unpromised(state, currents)

    def unpromised(self, state, currents):
        volts = currents[0] * ELECTRONICS if state == "on" and self.type in THREE_PINS else self.volts
        beyond = (f"below {PROMISED * self.volts:g} V" if volts < PROMISED * self.volts else
                  f"above {MOST_PROMISED * self.volts:g} V" if volts > MOST_PROMISED * self.volts else "")
        return f"{self.name} gets {volts:.1f} V while it is on: {beyond} no sheet promises that it flashes" if beyond else ""

    def overheated(self, currents):
        volts = currents[0] * ELECTRONICS if self.type in THREE_PINS else 0.0
        return tuple(filter(None, (held_off_words(self.name, volts, self.volts),)))

    def hangs_on_warmth(self, state, currents, most):
        volts = currents[0] * ELECTRONICS
        if state == "on":
            return self.type in THREE_PINS and cold_volts(volts, most) < AWAKE * self.volts
        return state == "idle" and self.type == SENSING and self._senses(currents) and volts >= AWAKE * self.volts

    def _waiting_words(self, load, currents):
        """Say why one that has its volts and a load does not swing, or nothing. [text]"""
        if self.waits == "closed" and load * self.volts >= LEAST_TOLD:
            return f"{self.name} has too little load or volts to swing: {load:.2f} A. Its lamps stay on"
        if self.type == SENSING and self._senses(currents) and currents[0] * ELECTRONICS >= AWAKE * self.volts:
            return f"{self.name} has too little load to swing: it needs {self.least_load:g} W. Its lamps stay dark"
        if self.type == THERMAL_VARIABLE and abs(currents[0]) * self.volts >= LEAST_TOLD:
            return f"{self.name} has too little load or volts to swing: its heater never closes it. Its lamps get what flows through the heater, no more"
        return ""
