"""The converter: makes of separate stop and turn signals the one that a trailer's combined lamp takes, for each side.

What comes out for which signals stands in ``datasets/converter_logic.csv``. Each of its outputs is a *channel* that
sits in it: an electronic contact with a law of its own, which looks at the signals of its side and at its own load.
Nobody lists, wires or takes out a channel by itself, but it has a name, such as ``K11.Lt``, by the terminal it feeds.

A powered one takes the current of the trailer's lamps from a fused battery wire of its own, so that the vehicle's lamp
circuits only give the signal (common practice). An unpowered one passes on what the signals bring: the vehicle's
switches, flasher and fuses carry the trailer's lamps too.
"""

from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from ..ground.errors import shown
from ..ground.quantities import say
from .branch import Branch, Role
from .law import Part
from .semiconductors import Junction
from .tables import table
from .values import number, word

CUT_OFF = "cut off"        # the state of a channel that took its load for too much
POWERED, UNPOWERED = "powered", "unpowered"
TYPES = (POWERED, UNPOWERED)
EXCLUSIVE, PLAIN = "exclusive", "plain"
LOGICS = (EXCLUSIVE, PLAIN)
AT = 2.0                                   # A, at which the volts lost in it are told. Source: a published converter circuit
LOSES = {POWERED: 0.5, UNPOWERED: 2.5}     # V, lost then: 0.5 in a good one, about 2.5 in simple ones. Source: the same
LEAST = 0.5            # V, that an unpowered one loses, a junction in its way. Source: the same, of a good one
MOST = {POWERED: 7.5, UNPOWERED: 4.0}      # A, of one channel: 7.5 drives a good one (the same); 4 is what a vehicle with separate lamps lets hang on one of its circuits (a towing-parts maker, credited to SAE)
SENSE = 20e3           # ohm, of one signal as one channel sees it: the kit's own
SUPPLY = 7200.0        # ohm, that the electronics of one channel draw: the kit's own; some 2 mA
SEEN = 0.5             # of its rated volts, from where on a signal counts: half of the supply, as CMOS inputs have it. From memory
AWAKE = 0.65           # of its rated volts between supply and 31, from where its electronics begin to work: the kit's own
KEPT = 0.6             # of either, that is enough to go on once it is on: no gate chatters at its threshold. The kit's own
GONE = 0.1             # of its rated volts, below which signals that are its supply have gone and are not only pulled down by its load: the kit's own
SWITCHES = 0.001       # s, in which a channel follows its signals. From memory
HOLDS = 0.03           # s, that its electronics go on without their volts, by a capacitor; some tens of ms are from memory
WAITS = 1.0            # s, that it lets cold filaments warm up before it takes a load for too much: the kit's own
CUTS = 1.25            # times what it is made for, from where a powered one cuts off: the kit's own
SHORT, AT_ONCE = 3.0, 0.02     # times what it is made for, beyond which it takes it for a short, and s that it waits then: the kit's own
SIDES = ("L", "R")
_PER_JUNCTION = 0.045, 0.9     # V, steepness of one silicon junction, and what one drops at such a current


@cache
def logic_of(name):
    """Return the truth table of one logic: whether the lamp is on, for stop and turn signals. [yes/no]

    >>> [out for (stop, turn), out in sorted(logic_of("exclusive").items())]
    [False, True, True, False]
    """
    return {(row["stop"] == "on", row["turn"] == "on"): row["out"] == "on" for row in table("converter_logic") if row["logic"] == name}


@dataclass(frozen=True)
class Channel(Part):
    """One output of a converter: an electronic contact that follows the signals of its side.

    Parameters
    ----------
    seat, out : str
        The converter it sits in, and the terminal there that it feeds. [text]
    signals : tuple of str
        The terminals it looks at: stop and turn, or the tail signal alone. [text]
    type, logic : str
        Of its converter. [text]
    most : float
        That it is made for. [A]
    loses : float
        At 2 A. [V]
    volts : float
        Rated ones. [V]
    dead : bool
        Whether it is never on. [yes/no]

    Notes
    -----
    A powered one with a quarter more than it is made for cuts off after 1 s, when even thick filaments are warm, with a short after 20 ms,
    before its fuse blows; it stays off until its signals have gone. A flash is shorter than that second, so that too many lamps
    flash all the same in time, and are told as too much at rest. An unpowered one has nothing that guards it. Times and behaviour differ from maker to maker: the kit's own.
    """

    seat: str = ""
    out: str = "Lt"
    signals: tuple = ("54", "L")
    type: str = POWERED
    logic: str = EXCLUSIVE
    most: float = 7.5
    loses: float = 0.5
    volts: float = 12.0
    dead: bool = False
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "channel"
    letter: ClassVar[str] = "K"
    terminals: ClassVar[tuple] = ()
    moves: ClassVar[bool] = True
    clocked: ClassVar[tuple] = (CUT_OFF, "short")
    round_time: ClassVar[float] = HOLDS + SWITCHES
    patience: ClassVar[float] = WAITS
    loses_as: ClassVar[str] = "converter"

    sitting = property(lambda self: f"is a channel of {self.seat} and comes and goes with it. Change {self.seat}")
    states = property(lambda self: ("dead",) if self.dead else ("off", "on", CUT_OFF, "dead", "shorted"))
    stuck = property(lambda self: () if self.dead else (("dead channel", f"channel {self.name} dead, its output never on", "dead"),
                                   ("stuck channel", f"channel {self.name} shorted, its output on for good", "shorted")))

    def at(self, terminal):
        return terminal if ":" in terminal else f"{self.seat}:{terminal}"

    @property
    def ends(self):
        return tuple(map(self.at, (self.feeds[0], self.out)))

    @property
    def feeds(self):
        """The terminals that its current comes from. [text]"""
        return ("30",) if self.type == POWERED else self.signals

    @property
    def supply(self):
        return ("30" if self.type == POWERED else "", "31")

    @property
    def watched(self):
        return tuple(range(len(self.branches())))

    def branches(self):
        closed = frozenset({"on", "shorted"})
        senses = [Branch(signal, "31", Role.ELECTRONICS, SENSE) for signal in self.signals]
        if self.type == POWERED:
            return (Branch("30", self.out, Role.CONTACT, self.loses / AT, closed_in=closed), *senses, Branch("30", "31", Role.ELECTRONICS, SUPPLY))
        return (*(Branch(signal, self.out, Role.CONTACT, closed_in=closed, device=self._passage) for signal in self.signals), *senses)

    @property
    def _passage(self):
        """The law of a transistor with its diode, or of several in a row, through which a signal passes on."""
        steepness, drop = _PER_JUNCTION
        return Junction(self.loses, AT, self.loses / 100, steepness * max(1.0, self.loses / drop), highest_leakage=10e-6)

    def _told(self, currents):
        """Return what it draws from its supply and what its signals are: ``(load [A], supply [V], signals [V])``."""
        feeds, count = len(self.feeds), len(self.signals)
        load = sum(currents[:feeds])
        seen = [current * SENSE for current in currents[feeds:feeds + count]]
        supply = currents[-1] * SUPPLY if self.type == POWERED else _larger(seen)
        return load, supply, seen

    def wanted(self, signals):
        return signals[0] if len(signals) == 1 else logic_of(self.logic)[tuple(signals)]

    def aim(self, state, aim, currents):
        if state in ("dead", "shorted"):
            return state
        load, supply, seen = self._told(currents)
        enough = self.volts * (KEPT if state == "on" else 1)
        if supply < AWAKE * enough:
            return "off" if self.type == UNPOWERED and supply < GONE * self.volts else "starved"
        if not self.wanted([bool(volts >= SEEN * enough) for volts in seen]):
            return "off"
        if state == CUT_OFF:
            return CUT_OFF
        if state != "on" or self.type == UNPOWERED or load <= CUTS * self.most:
            return "on"
        return "short" if load > SHORT * self.most else CUT_OFF

    def lacks(self, currents):
        return len(currents) - 1 if self.type == POWERED and self._told(currents)[1] < AWAKE * self.volts else None

    def next_move(self, state, aim):
        if state in (aim, self.rest(aim, "")):
            return None
        return {CUT_OFF: WAITS, "short": AT_ONCE, "starved": HOLDS}.get(aim, SWITCHES), self.rest(aim, "")

    def rest(self, aim, phase):
        return {"starved": "off", "short": CUT_OFF}.get(aim, aim)

    def overheated(self, currents):
        load = sum(currents[:len(self.feeds)])
        if float(f"{load:.3g}") <= self.most:
            return ()
        fate = "it gets too hot, and may cut off" if self.type == POWERED else "nothing in an unpowered converter guards it, and it burns out"
        return (f"{self.name} carries {say(load, 'A')}, made for {self.most:g} A for long: {fate}",)

    def gone_at_once(self, currents):
        load = sum(currents[:len(self.feeds)])
        if self.type == POWERED or load <= SHORT * self.most:
            return ()
        return (f"{self.name} carries {say(load, 'A')}, made for {self.most:g} A: an unpowered converter may be gone, open or shorted, so test it too",)

    def remark(self, state, currents):
        return (f"{self.name} has cut off: its lamps want more than the {self.most:g} A it is made for. It tries again with the next signal"
                if state == CUT_OFF else "")


def _larger(volts):
    """Return the larger of one or two volts, of numbers or of arrays of them."""
    first, *rest = volts
    for other in rest:
        first = other if other > first else first
    return first


@dataclass(frozen=True)
class Converter(Part):
    """A converter for a trailer with combined lamps behind a vehicle with separate ones (device letter K).

    Parameters
    ----------
    type : {"powered", "unpowered"}
        Whether it has a supply of its own, or passes on what its signals bring. [text]
    logic : {"exclusive", "plain"}
        What comes out for stop and turn together: with "exclusive" (exclusive or) the trailer's lamp goes on flashing, lit while the
        vehicle's turn lamp is dark; with "plain" (or), a mere join, it stays on and the turn signal is lost. [text]
    most : float
        Of each channel; 7.5 of a powered one, 4 of an unpowered one, unless given. [A]
    loses : float
        In a channel at 2 A; 0.5 in a powered one, 2.5 in an unpowered one, unless given. [V]
    volts : float
        Rated ones, of the vehicle it is made for. [V]
    dead : bool
        Whether its electronics have failed, so that none of its channels is ever on. [yes/no]

    Terminals
    ---------
    54, L, R, 58 : signals of the vehicle: stop, turn left, turn right, tail
    Lt, Rt, 58t : to the trailer: stop and turn left, stop and turn right, tail
    30 : supply, straight from the battery over a fuse of its own; of a powered one alone
    31 : ground, which its electronics need; the trailer's ground does not run through it

    Notes
    -----
    What comes out: three published circuits for such a converter agree. Losses and the 7.5 A: one of them; the 4 A: a
    towing-parts maker, credited to SAE. An unpowered one passes the tail signal straight on.

    >>> Converter("K11").terminals
    ('30', '54', 'L', 'R', '58', '31', 'Lt', 'Rt', '58t')
    """

    type: str = word(POWERED, TYPES)
    logic: str = word(EXCLUSIVE, LOGICS)
    most: float | None = number(None, 0.1, 100, "A")
    loses: float | None = number(None, 0.05, 5, "V")
    volts: float = number(12.0, 1, 60, "V")
    dead: bool = False
    place: str = ""
    note: str = ""

    kind: ClassVar[str] = "converter"
    uses: ClassVar[dict] = {"30": "supply, from its own fuse", "54": "stop signal", "L": "left turn signal", "R": "right turn signal",
                            "58": "tail signal", "31": "its ground", "Lt": "to the trailer: left stop and turn",
                            "Rt": "to the trailer: right stop and turn", "58t": "to the trailer: tail"}
    letter: ClassVar[str] = "K"
    reach: ClassVar[float] = 0.7

    def __post_init__(self):
        super().__post_init__()
        self.must(self.type == POWERED or self.lost_volts >= LEAST,
                  f"loses must be {LEAST:g} V or more in an unpowered one, got {self.lost_volts:g} V: its current passes a junction there.")
        self.must(isinstance(self.dead, bool), f"dead must be yes or no, got {shown(self.dead)}.")

    @property
    def terminals(self):
        return (*(("30",) if self.type == POWERED else ()), "54", *SIDES, "58", "31", *(f"{side}t" for side in SIDES), "58t")

    @property
    def needs(self):
        return tuple(name for name in ("30", "31") if name in self.terminals)

    @property
    def outs(self):
        """Its terminals to the trailer. [text]"""
        return tuple(end for end in self.terminals if end.endswith("t"))

    @property
    def mistaken(self):
        return ("54", *SIDES, "58"), self.outs

    @property
    def own_feed(self):
        return "30" if self.type == POWERED else ""

    @property
    def most_amps(self):
        """That each of its channels is made for. [A]"""
        return MOST[self.type] if self.most is None else self.most

    @property
    def lost_volts(self):
        """In each of its channels at 2 A. [V]"""
        return LOSES[self.type] if self.loses is None else self.loses

    @property
    def seats(self):
        """Its channels: left, right, and of a powered one the tail lamps'."""
        sides = [(f"{side}t", ("54", side)) for side in SIDES] + [("58t", ("58",))] * (self.type == POWERED)
        return tuple(Channel(f"{self.name}.{out}", seat=self.name, out=out, signals=signals, type=self.type, logic=self.logic,
                             most=self.most_amps, loses=self.lost_volts, volts=self.volts, dead=self.dead, place=self.place) for out, signals in sides)

    @property
    def mishaps(self):
        wrong = (("wrong converter", f"a converter that joins stop and turn plainly in the place of {self.name}", "logic", PLAIN),) if self.logic == EXCLUSIVE else ()
        return () if self.dead else (("dead converter", f"converter {self.name} dead, none of its channels ever on", "dead", True), *wrong)

    @property
    def misfits(self):
        return () if self.logic == EXCLUSIVE else (
            f"converter '{self.name}' joins stop and turn plainly: while the brakes are on its lamps stay lit and the turn signal "
            "is lost. One with logic 'exclusive' keeps it.",)

    def branches(self):
        return (Branch("58", "58t", Role.WAY, 0.01),) if self.type == UNPOWERED else ()
