"""What a part tells the solver, whatever its kind.

A part is a frozen record. It names its terminals, lists the branches between
them, and gives one *transition law* that serves both the settled answer and
the time course. No solver asks which kind of part it has.

The law has two halves. ``aim(state, aim, currents)`` says where the part would
go with these currents in the branches it watches; ``next_move(state, aim)``
says its next step on the way and how long that takes. The operating point
jumps straight to the resting state of the aim; the time course walks there.

A part may also have a *warmth* of its own, as a fuse, a breaker and a thermal
flasher have: it makes for ``strain(currents)`` with the time constant
``heat_time``, and where it leaves the limits that ``heat_turn(state)`` names,
the part changes its state. A fuse has two stores of it, a quick and a slow one.
"""

from dataclasses import dataclass, replace
from math import expm1, inf
from typing import ClassVar

from ..ground.errors import PartError, shown
from ..ground.limits import MOST_LINE, MOST_NAME, MOST_NOTE, wrong_with_text
from ..ground.quantities import number_between
from .making import Maker
from .values import musts

INRUSH = 20.0    # times the current of warm filaments, more than cold ones draw at any volts a bulb survives
AMBIENT = 20.0   # C, round every part that nobody says anything else of
_TEXTS = (("place", MOST_LINE), ("bulb", MOST_NAME), ("note", MOST_NOTE))


@dataclass(frozen=True)
class Part(metaclass=Maker):
    """What every part has: a name, a place on the vehicle, a note.

    Parameters
    ----------
    name : str
        Device letter and number, such as ``"K1"`` (IEC 81346). [text]
    place : str
        Where it sits on the vehicle, such as ``"rear left"``; rules call lamps by it, and parts of one place are drawn together. [text]
    note : str
        Any remark of yours; the build sheet prints it, nothing else asks for it. [text]
    """

    name: str

    kind: ClassVar[str] = ""
    terminals: ClassVar[tuple]         # names, in the order they are listed
    needs: ClassVar[tuple] = ()        # terminals it cannot work without, once any is wired; an unused contact is none
    seat: ClassVar[str] = ""           # the part it sits in and comes and goes with, for a filament that nobody lists by itself
    seats: ClassVar[tuple] = ()        # the parts that sit in it so
    sitting: ClassVar[str] = ""        # what it is to the part it sits in, and what is to be done instead of changing it: the rest of a sentence
    alone: ClassVar[bool] = False      # whether a hand takes it out of that by itself
    mishaps: ClassVar[tuple] = ()      # what may befall it: kind and words of a fault, and the value that is then another
    stuck: ClassVar[tuple] = ()        # what may hold it in one state for good: kind and words of a fault, and the state
    loses_as: ClassVar[str] = "contact"   # as what the volts lost in its contacts are limited: a field of the limits
    misfits: ClassVar[tuple] = ()      # what about it will surprise whoever builds with it, in sentences
    deeds: ClassVar[tuple] = ()        # what a hand may do with it besides taking it out: words, and the value that is then another
    inner: ClassVar[tuple] = ()        # names of points inside the part that no wire can reach
    merged: ClassVar[tuple] = ()       # groups of terminals that are one piece of metal
    is_polar: ClassVar[bool] = False   # whether it works one way round only
    states: ClassVar[tuple] = ("fixed",)   # it can be in, the resting one first
    watched: ClassVar[tuple] = ()      # indexes into `branches()` of the currents its law looks at
    round_time: ClassVar[float] = 0.0  # s, from one move to the next alike, where each undoes itself; 0 for none
    shines: ClassVar[bool] = False     # a part that gives light
    moves: ClassVar[bool] = False      # a part that changes its state by itself
    letter: ClassVar[str] = "E"        # of its name on a drawing. Source: IEC 81346
    signals: ClassVar[tuple] = ()      # terminals whose volts tell it what to do, for what follows them
    supply: ClassVar[tuple] = ()       # where the electronics of such a part have plus and minus; no plus where the signals are it
    latching: ClassVar[bool] = False   # a part that does not come back from its last state
    guards: ClassVar[bool] = False     # a part that ends an overload
    swings: ClassVar[bool] = False     # a part that goes on and off by itself, so a moment needs its phase
    on_state: ClassVar[str] = "on"     # what the phase "on" of a swinging part is called among its states
    paces: ClassVar[tuple] = ()        # aims at which a swinging part keeps time
    clocked: ClassVar[tuple] = ()      # aims whose moves are timed from when it took its state, all others from now
    patience: ClassVar[float] = inf    # s, for which a part that minds its load waits for it
    under_way: ClassVar[frozenset] = frozenset()   # states in which it is between two others, and lands before it turns back
    heat_time: ClassVar[float] = 0.0   # s, how slowly its warmth follows the strain; 0 for a part without
    sometimes: ClassVar[tuple] = ()    # terminals that some of its kind have and others work without
    inlet: ClassVar[str] = ""          # the terminal that belongs on the live side, where there is such a one
    own_feed: ClassVar[str] = ""       # the terminal that wants a fused wire of its own from the battery, where there is such a one
    outlet: ClassVar[str] = ""         # the terminal that its load hangs on, where there is such a one
    parted: ClassVar[str] = ""         # the state it is in once a hand has pulled it, where both halves stay on their wires
    reach: ClassVar[float] = 0.8       # how easily a lead comes to its terminals, 1 for the easiest: the kit's own guess
    uses: ClassVar[dict] = {}          # what each terminal is for, in a word or two, where its name alone does not tell a builder. [text]
    mistaken: ClassVar[tuple] = ()     # groups of terminals whose wires are easily put on one another's when it is wired
    aliases: ClassVar[dict] = {}       # other markings of its terminals, as old units carry them
    ambient: ClassVar[float] = AMBIENT   # C, round it; the arrangement it is in says another, see `within`
    surroundings: ClassVar[tuple] = ("ambient",)   # what such a part is told by its arrangement

    def __post_init__(self):
        wrong = wrong_with_text(self.name, MOST_NAME)
        if wrong or ":" in self.name:
            raise PartError(f"a part cannot be named {shown(self.name)}. Use letters and a number, such as {self.letter}1: the name "
                            f"of this {self.kind} {wrong or 'holds a colon, which stands before a terminal'}.",
                            part=self.name)
        for field, most in _TEXTS:
            wrong = wrong_with_text(getattr(self, field, ""), most, empty=True, lines=field == "note")
            self.must(not wrong, f"{field} {wrong}.")
        for field, may_be_none, look, limits in musts(type(self)):
            if not may_be_none or getattr(self, field) is not None:
                look(self, field, *limits)

    @property
    def resistors(self):
        """Resistors in it that are sold by their watts: for each its branch, ohms and rated watts. [1], [ohm], [W]"""
        return ()

    @property
    def lamps(self):
        """The lamps it is or holds: itself, or what sits in it and gives light."""
        return tuple(each for each in (self, *self.seats) if each.shines)

    @property
    def is_metal(self):
        """Whether it is only metal that wires meet on, which cannot be opened: a splice, a chassis. [yes/no]"""
        return bool(self.merged or self.inner)

    @property
    def metals(self):
        """Each piece of metal with the terminals on it: of what is only metal one without a name, with all of them. [text]"""
        return {"": self.terminals} if self.is_metal else {}

    @property
    def neighbours(self):
        """Pairs of terminals that lie side by side, so that they may touch. [text]"""
        return tuple(zip(self.terminals, self.terminals[1:]))

    def branches(self):
        """Return the branches between its terminals, in a fixed order."""
        return ()

    @property
    def ends(self):
        """Its terminals as wires are joined to them; of what sits in a part the two places there that it lies between. [text]"""
        return tuple(map(self.at, self.terminals or "12"))

    def at(self, terminal):
        """Return a terminal of its branches with the part's name, as a wire is joined to it. [text]"""
        return terminal if ":" in terminal else f"{self.name}:{terminal}"

    def first(self, *roles):
        """Return ``(order, branch)`` of its first branch with one of these roles, or None."""
        return next((each for each in enumerate(self.branches()) if each[1].role in roles), None)

    def is_load(self, start, end):
        """Tell whether what lies between two of its terminals takes the volts there, with no way beside it. [yes/no]"""
        between = [branch.role.takes for branch in self.branches() if {branch.start, branch.end} == {start, end}]
        return bool(between) and all(between)

    def first_state(self, positions):
        """Return the state before anything has reacted, given the control positions. [text]"""
        return self.states[0]

    def aim(self, state, aim, currents):
        """Return the state the part makes for, given the currents it watches. [A]"""
        return aim

    def next_move(self, state, aim):
        """Return ``(seconds, state)`` of its next step, or None when it rests. [s]

        The seconds count from now; for an aim among its ``clocked`` from when it took its present state.
        """
        return None

    def rest(self, aim, phase):
        """Return the settled state for an aim; ``phase`` matters to flashers only. [text]"""
        return aim

    def wanted(self, signals):
        """Tell whether a part that follows signals is on, for each of them that is there or not. [yes/no]"""
        return all(signals)

    def lacks(self, currents):
        """Return which of its branches has too few volts for its electronics to work, or None. [1]"""
        return None

    def strain(self, currents):
        """Return how far it is loaded towards its limit, which is 1: where its warmth makes for. [1]"""
        return 0.0

    @property
    def stores(self):
        """Its stores of warmth, as ``(share of the strain, seconds)``: the warmth is what all of them hold. [1], [s]"""
        return ((1.0, self.heat_time),)

    def warmest_in_turns(self, strain, other, seconds, rest):
        """Return the warmth at the end of ``seconds`` of one strain, when ``rest`` of another comes between for good.

        Where it has gone on for so long that each turn is like the last: each
        store swings between two values of its own. [1], [s]
        """
        return sum(share * (other + (strain - other) * -expm1(-seconds / time) / -expm1(-(seconds + rest) / time))
                   for share, time in self.stores)

    def heat_turn(self, state):
        """Return ``(coolest, warmest, next)``: the state it takes when its warmth leaves these limits, or None. [1]"""
        return None

    def trouble(self, aim):
        """Return what is wrong with settling for an aim that is no real rest, or nothing. [text]"""
        return ""

    def remark(self, state, currents):
        """Return a sentence worth saying about a part in this state with these currents, or nothing. [text]"""
        return ""

    def hurries(self, state, currents, perhaps=False):
        """Tell whether it surely (or perhaps) flashes faster than it should, its load too light; numbers or arrays. [yes/no]"""
        return False

    def unpromised(self, state, currents):
        """Return a sentence where it works, but with volts at which no sheet promises that it does, or nothing. [text]"""
        return ""

    def hangs_on_warmth(self, state, currents, most):
        """Tell whether it might do otherwise in this state with filaments still cold; only what says no is sure.

        Parameters
        ----------
        currents : list of float
            In the branches it watches, all filaments warm. [A]
        most : float
            The volts of all batteries together. [V]
        """
        return False

    def overheated(self, currents):
        """Return sentences about what carries more than it may for long, from the currents of all its branches. [text]"""
        return ()

    def gone_at_once(self, currents):
        """Return sentences about what does not outlast these currents until a fuse has blown. [text]"""
        return ()

    def goes_without_saying(self, field, default):
        """Tell whether a part made without that value has it all the same; the rating of what guards is always said."""
        return getattr(self, field) == default and not (self.guards and field == "rating")

    def with_value(self, field, value):
        """Return the part with one value changed, and with it whatever follows from that value."""
        return replace(self, **{field: value})

    def with_seat(self, part):
        """Return the part with another one, of the same name, in the place of one that sits in it; None where none changes by itself."""
        return None

    def within(self, **told):
        """Return the part as it is in other surroundings, such as another ambient: itself where they are so already."""
        if all(getattr(self, name) == value for name, value in told.items()):
            return self
        there = replace(self)
        vars(there).update({name: getattr(self, name) for name in self.surroundings} | told)
        return there

    def must(self, condition, what):
        """Raise a PartError that names this part unless the condition holds."""
        if not condition:
            raise PartError(f"{self.kind} '{self.name}': {what}", part=self.name)

    def must_be_number(self, field, low, high, unit):
        """Check one numeric field against the range that is physical here; text such as ``"21 W"`` becomes a number."""
        words = field.replace("_", " ")
        value, wrong = number_between(getattr(self, field), words, low, high, unit)
        self.must(not wrong, wrong)
        object.__setattr__(self, field, value)

    def must_be_one_of(self, field, allowed):
        """Check one field against the words that are allowed in it."""
        value = getattr(self, field)
        self.must(isinstance(value, str) and value in allowed,
                  f"{field} must be {', '.join(allowed[:-1])} or {allowed[-1]}, got {shown(value)}.")

    def must_be_whole(self, field, low, high):
        """Check one field that counts something, such as the ways of a splice."""
        value = getattr(self, field)
        self.must(type(value) is int and low <= value <= high, f"{field} must be {low} to {high}, got {shown(value)}.")


def cold_volts(volts, most):
    """Return what is left at least of some volts while filaments are cold, as if one resistance fed all of it.

    Parameters
    ----------
    volts : float
        With filaments warm. [V]
    most : float
        Of all batteries together. [V]
    """
    return most * volts / (volts + INRUSH * (most - volts)) if volts else 0.0
