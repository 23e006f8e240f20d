"""A reading: where the two leads are, with what, in which state of the controls, and what is shown.

Board, fault table, test sheet and lessons share this one record. Whoever computes one does it as the instrument would:
the instrument is a branch of the circuit.
"""

from dataclasses import dataclass, field, replace

from ..arrangements import AddWire, LoseJoint, changed
from ..arrangements.mishaps import unused_name
from ..ground.errors import CircuitLabError, listed, unknown_name
from ..ground.plain import blow_words
from ..ground.quantities import say
from ..ground.showing import Showing
from ..parts import Battery, Wire
from ..parts.making import Maker
from ..solving import operating_point
from .nearly_gone import nearly_gone, nearly_gone_words

UNITS = {"meter": "V", "test lamp": "V", "amps": "A", "ohms": "ohm"}
SHARES = {"meter": 0.005, "test lamp": 0.1, "amps": 0.01, "ohms": 0.01}    # of the value: common practice for hand meters
DIGITS = {"meter": 0.02, "test lamp": 0.5, "amps": 0.02, "ohms": 0.2}      # besides: two last digits; what an eye tells
DRIFTS = "the display drifts by itself, from some millivolts to volts"     # at a floating terminal: common practice
STAYS = "the test lamp stays dark"
SPOILS = 1e-3      # V, between the leads of a meter on ohms, which puts about as much on a joint itself: common practice, from memory
METER_FUSE = 10.0  # A, of a hand meter's jack for amps: common practice
SHUNT = 0.005      # ohm, of each of the two joints of an ammeter: common practice


@dataclass(frozen=True, repr=False)
class Reading(Showing, metaclass=Maker):
    """What an instrument shows between two terminals.

    Attributes
    ----------
    red, black : str
        Terminals under the leads. [text]
    instrument : {"meter", "test lamp", "amps", "ohms"}
        A meter of 10 megohm, the test lamp, the meter as a way for current, or on ohms with the power off.
    positions, phases : dict of str to str
        How the controls stand, and whether each flasher's output is on. [text]
    moment : float or None
        In a time course; None at rest. [s]
    value : float or None
        In ``unit``; None where there is nothing to read: floating, no way at all on ohms, or too many amps for a meter.
    word : {"live", "ghost", "dead", "floating", "open", "unsteady", ""}
        What the red lead's terminal is, where black is on the pole volts are counted from; unsteady, wherever the leads are, where
        something that buzzes makes the display jump. In amps what the ammeter does as a way for current: ``F1 blows``, or that
        more would flow than the meter's own fuse stands; its value is then None. [text]
    highest : float or None
        What a meter shows where blocked diodes leak as much as their sheets allow, if that makes a dead terminal a
        ghost. [V]
    under_lamp : float or None
        What stays under a test lamp at a live terminal where the lamp stays dark and takes most of the meter's volts. [V]
    is_measured : bool
        Whether a hand took it; else it is computed. [yes/no]
    """

    red: str
    black: str
    instrument: str = "meter"
    positions: dict = field(default_factory=dict)
    phases: dict = field(default_factory=dict)
    moment: float | None = None
    value: float | None = None
    word: str = ""
    highest: float | None = None
    is_measured: bool = False
    under_lamp: float | None = None

    def __post_init__(self):
        if not isinstance(self.instrument, str) or self.instrument not in UNITS:
            raise unknown_name("the kit", "instrument", self.instrument, UNITS)
        if self.red == self.black:
            raise CircuitLabError(f"both leads are on {self.red}, where there is nothing to read between them. "
                                  "Put red and black on two terminals.", terminal=self.red)

    @property
    def brief(self):
        """In one sentence. [text]"""
        where = ", ".join(f"{name} {position}" for name, position in self.positions.items())
        when = "" if self.moment is None else f" at {self.moment:g} s"
        value = "nothing to read" if self.value is None else say(self.value, self.unit)
        word = f"floating, {STAYS if self.instrument == 'test lamp' else DRIFTS}" if self.word == "floating" else self.word
        shown = value + nearly_gone_words(self.under_lamp) if self.word in ("", "live") else word if self.value is None else f"{value}, {word}"
        return (f"Reading{f' with {where}' if where else ''}{when}: {self.instrument}, red on {self.red}, black on {self.black}: "
                f"{shown}{', measured' if self.is_measured else ''}.")

    @property
    def unit(self):
        """Of the value. [text]"""
        return UNITS[self.instrument]

    @property
    def tolerance(self):
        """How far a good instrument of a workshop may be off, in the reading's unit."""
        return SHARES[self.instrument] * abs(self.value or 0.0) + DIGITS[self.instrument]

    @property
    def shown(self):
        """The value, 0 where there is none: about where the display of a meter drifts at a floating terminal."""
        return self.value or 0.0


def take_reading(point, red, black=None, instrument="meter", moment=None):
    """Return what an instrument shows at an operating point.

    Parameters
    ----------
    point : OperatingPoint
        At rest, or of a time course; amps and ohms are always read at rest, in the same positions and phases.
    red, black : str
        Terminals; black on the battery's pole on the frame, minus as a rule, unless said otherwise. [text]
    instrument : {"meter", "test lamp", "amps", "ohms"}
        Amps flow from red to black; relays and fuses find their new rest with them. Ohms have every battery off at
        its live pole. Meter and test lamp leave contacts as they stand. [text]
    moment : float, optional
        To be kept with the reading. [s]

    Returns
    -------
    Reading

    Raises
    ------
    UnknownName
        For a terminal or an instrument that is not there.
    CircuitLabError
        With both leads on one terminal.

    >>> import circuitlab as cl
    >>> take_reading(cl.operating_point(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"}), "E1:1")
    Reading with lamp switch on: meter, red on E1:1, black on G1:-: 12.4 V.
    """
    red, black = (point.arrangement.check_terminal(lead) for lead in (red, black or point.arrangement.zero))
    held = Reading(red, black, instrument, point.positions, point.phases, moment)
    if point.turns and instrument != "ohms":
        return _through_turns(held, point.turns)
    value, word, highest = _TAKE[instrument](point, red, black)
    left = nearly_gone(point, red) if instrument == "meter" and word == "live" else None
    return replace(held, value=value, word=word, highest=highest, under_lamp=left)


def ghosts_in_doubt(point):
    """Return ``{terminal: volts}`` of what is dead and a ghost where blocked diodes leak as much as their sheets allow. [V]"""
    return {terminal: point.meter(terminal, highest=True) for terminal in point.arrangement.terminals if point.may_be_ghost(terminal)}


def _through_turns(held, turns):
    """Return what is read while something buzzes: the value where all its turns agree, else that it is unsteady."""
    seen = [replace(held, value=value, word=word, highest=highest)
            for value, word, highest in (_TAKE[held.instrument](turn, held.red, held.black) for turn in turns)]
    first = seen[0]
    agree = all((each.value is None) == (first.value is None) and each.word == first.word
                and abs(each.shown - first.shown) <= first.tolerance for each in seen)
    return first if agree else replace(held, word="unsteady")


def _meter(point, red, black):
    word = point.liveness(red) if black == point.arrangement.zero else ""
    highest = point.meter(red, black, highest=True) if word == "dead" and point.may_be_ghost(red) else None
    value = point.meter(red, black)
    return value, word or ("floating" if value is None else ""), highest


def _test_lamp(point, red, black):
    _, word, _ = _meter(point, red, black)
    return point.test_lamp(red, black), word, None


def _amps(point, red, black):
    name = unused_name(point.arrangement, "ammeter")
    joined = changed(point.arrangement, AddWire(Wire(name, red, black, length=0.001, start_joint=SHUNT, end_joint=SHUNT)))
    found = operating_point(joined, point.positions, point.phases)
    if not found.is_settled:
        return None, "", None
    gone = [name for name, state in found.states.items() if state == "blown" != point.states[name]]
    if gone:
        whole = replace(joined, held=(*joined.held, *((name, joined.part(name).states[0]) for name in gone)))
        first = operating_point(whole, point.positions, point.phases)
        beside = first.is_settled and abs(first.current(name)) > METER_FUSE
        return found.current(name), f"{blow_words(gone)}, or the meter's fuse before" if beside else blow_words(gone), None
    amps = found.current(name)
    if abs(amps) <= METER_FUSE:
        return amps, "", None
    return None, f"{say(abs(amps), 'A')} would flow: the meter's fuse of {METER_FUSE:g} A blows, or its leads burn. Amps only in series with a load", None


def power_off(circuit):
    """Return an arrangement with every battery off at its live pole."""
    return changed(circuit, *(LoseJoint(name, pole) for pole in _live_poles(circuit) for name in circuit.wires_at[pole]))


def _live_poles(circuit):
    return [f"{battery.name}:{'-' if circuit.frame == 'plus' else '+'}" for battery in circuit.of_kind(Battery)]


def ohms_refused(point, red, black):
    """Return why a meter on ohms would show nonsense while power is on, in one sentence; nothing where no volts are between its leads.

    Looked at as everything stands, and in both phases of what flashes.

    >>> import circuitlab as cl
    >>> ohms_refused(cl.operating_point(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"}), "E1:1", "E1:2")
    'Ohms only without power: up to 12.4 V between E1:1 and E1:2. Take the wires off G1:- first, the clamp on the frame.'
    """
    circuit = point.arrangement
    phases = ("on", "off") if any(part.swings for part in circuit.parts) else ()
    points = [point, *(operating_point(circuit, point.positions, phase) for phase in phases)]
    volts = max(abs(each.across(red, black) or 0.0) for one in points for each in one.turns or [one])
    if volts < SPOILS:
        return ""
    off = f"{listed(circuit.sides[1])} first, the clamp on the frame" if circuit.sides[1] else f"{listed(_live_poles(circuit))} first"
    return f"Ohms only without power: up to {say(volts, 'V')} between {red} and {black}. Take the wires off {off}."


def _ohms(point, red, black):
    """Return resistance with every battery off, relays at rest; ``open`` where there is no way."""
    ohms = operating_point(power_off(point.arrangement), point.positions, point.phases).ohms(red, black)
    return ohms, "open" if ohms is None else "", None


_TAKE = {"meter": _meter, "test lamp": _test_lamp, "amps": _amps, "ohms": _ohms}
