"""An independent judge: Kirchhoff's laws for an arrangement, written down anew and solved with scipy and numpy.

Nothing here comes from the solving floor. Even what lies between a part's terminals is stated again, kind by kind,
from the part's own fields, so that a slip in ``branches()`` would show. Shared with the kit are only the records of
the parts and the heat capacity of a filament, which the checks against outside sources look at by themselves.

``Circuit`` is the network with every contact standing still; ``settle`` lets relays and fuses find their own rest.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import root

from circuitlab.parts import Diode

from judges import converters
from judges.curves import RATED, amps_at, siemens, slope_at
from judges.fuse_blocks import ends_of
from judges.two_filaments import SINGLE, end_of, is_missing


class NoRest(Exception):
    """The judge, who lets everything react at once, went in circles."""


@dataclass(frozen=True)
class Element:
    """What lies between two points: a resistance [ohm] with an electromotive force [V], or a part with a curve."""

    owner: str
    order: int
    start: str
    end: str
    ohms: float = 0.0
    force: float = 0.0
    curve: object = None


def elements(arrangement, states):
    """Return every conducting element, given what state each part is in."""
    found = []
    for part in arrangement.parts:
        for order, start, end, ohms, force, curve in _inside(part, "blown" if is_missing(part, arrangement) else states[part.name]):
            ends, clips = ends_of(part, arrangement) if part.kind == "fuse" and "." in part.name else ({}, 0.0)
            ends = [ends.get(each) or end_of(part.name, each) for each in (start, end)]
            if ohms + clips < float("inf"):
                found.append(Element(part.name, order, *ends, ohms + clips, force, curve))
    for wire in arrangement.wires:
        ohms = wire.start_joint + 0.017241 * wire.length / wire.area * warm(wire.temperature, wire) + wire.end_joint
        if ohms < float("inf"):
            found.append(Element(wire.name, 0, wire.start, wire.end, ohms))
    return found


def _inside(part, state):
    """Yield (order, start, end, ohm, volt, part with a curve) of what conducts inside a part in a state."""
    if part.kind == "battery":
        yield 0, "-", "+", part.internal_resistance, part.voltage, None
    elif part.kind == "resistor":
        yield 0, "1", "2", part.resistance, 0.0, None
    elif part.kind == "fuse" and state == "whole":
        yield 0, "1", "2", _fuse_ohms(part.rating), 0.0, None
    elif part.kind == "lamp" and state == "whole":
        yield 0, "1", "2", 0.0, 0.0, part
    elif part.kind == "diode":
        yield 0, "A", "K", 0.0, 0.0, part
    elif part.kind == "LED lamp" and state == "whole":
        yield 0, "1", "2", 0.0, 0.0, part
        if part.load_resistance < float("inf"):
            yield 1, "1", "2", part.load_resistance, 0.0, None
    elif part.kind == "two-filament lamp" and (part.touching or part.bulb in SINGLE):
        yield 0, "54", "58", 0.01, 0.0, None
    elif part.kind == "breaker" and state == "closed":
        yield 0, "1", "2", max(0.001, 0.1 / part.rating), 0.0, None
    elif part.kind == "chassis":
        metal = [f"body {order + 1}" if part.body_resistance else "body" for order in range(part.studs)]
        for order in range(part.studs):
            yield order, str(order + 1), metal[order], part.stud_resistance, 0.0, None
        for order in range(part.studs - 1 if part.body_resistance else 0):
            yield part.studs + order, metal[order], metal[order + 1], part.body_resistance, 0.0, None
    elif part.kind == "distribution block":
        bars = [f"bar {bar.partition(':')[0].strip()}" for bar in part.bars.split(",") for _ in range(int(bar.partition(":")[2]))]
        for order, bar in enumerate(bars):
            yield order, str(order + 1), bar, 0.001, 0.0, None
    elif part.kind == "relay":
        yield from _relay(part, state)
    elif part.kind == "flasher":
        yield from _flasher(part, state)
    elif part.kind == "converter" and part.type == "unpowered":
        yield 0, "58", "58t", 0.01, 0.0, None
    elif part.kind == "channel":
        yield from converters.inside(part, state)
    elif part.kind == "connector":
        yield from _connector(part, state)
    elif part.kind == "switch":
        every = list(dict.fromkeys(pair for _, pairs in part.closes for pair in pairs))
        for pair in dict(part.closes).get(state, ()):
            yield every.index(pair), *pair, part.resistance, 0.0, None


def _relay(part, state):
    outputs = {"changeover": ("87", "87a"), "make": ("87",), "dual": ("87", "87b")}[part.contact]
    yield 0, "86", "85", part.coil_resistance * warm(part.coil_temperature, part), 0.0, None
    for order, output in enumerate(outputs, 1):
        if state == ("released" if output == "87a" else "operated"):
            yield order, "30", output, part.contact_resistance, 0.0, None
    if part.suppression == "resistor":
        yield 1 + len(outputs), "86", "85", part.suppression_resistance, 0.0, None
    if part.suppression == "diode":
        yield 1 + len(outputs), "85", "86", 0.0, 0.0, Diode("built in", 1.0, 1.0, 0.1)


def _flasher(part, state):
    is_closed = state == "on" or (state == "idle" and part.type in ("thermal fixed load", "electronic load needing"))
    if part.type == "thermal fixed load":
        if is_closed:
            yield 0, "49", "49a", 0.02 + 0.3 * part.volts / part.rated_load, 0.0, None
        return
    if part.type == "thermal variable load":
        yield 0, "49", "49a", 120.0, 0.0, None
    else:
        yield 0, "49", "49a" if part.type == "electronic load needing" else "31", 2400.0, 0.0, None
    if is_closed:
        yield 1, "49", "49a", 0.02, 0.0, None
    senses = part.type == "electronic with lamp-out sensing"
    if senses and state == "idle":
        yield 2, "49", "49a", 2500.0, 0.0, None
    if part.pilot and state == "on":
        yield 2 + senses, "49", "C", 0.02, 0.0, None


def _connector(part, state):
    numbers, poor = [end[:-1] for end in part.terminals if end.endswith("s")], dict(part.pins)
    for order, number in enumerate(numbers):
        ohms = poor.get(number, part.contact_resistance)
        if state == "mated" and ohms < float("inf"):
            yield order, f"{number}s", f"{number}p", ohms, 0.0, None
    for order, (pair, ohms) in enumerate(part.water, len(numbers)):
        yield order, *(f"{number}s" for number in pair.split("-")), ohms, 0.0, None


def warm(own, part):
    """Return the resistance of copper relative to that at 20 C, at its own temperature or else the ambient's."""
    return 1 + 0.003929 * ((part.ambient if own is None else own) - 20)


class Circuit:
    """An arrangement whose contacts stand still, as points and elements with one equation for each point.

    ``more`` are elements held against it from outside, such as a meter.
    Points with no conducting way to the pole that volts are counted from float. Each island of them is tied to it at one
    of its points for the sake of the arithmetic, where no current can flow, so that a second battery works in its own island.
    """

    def __init__(self, arrangement, states, more=()):
        self.arrangement, self.states = arrangement, states
        self.elements = [*elements(arrangement, states), *more]
        self.metal = self._metal()
        zero = self.metal[arrangement.zero]
        near = {zero: set()}
        for element in self.elements:
            a, b = self.metal[element.start], self.metal[element.end]
            near.setdefault(a, set()).add(b)
            near.setdefault(b, set()).add(a)
        islands = list(_islands(near, zero))
        self.grounded = islands[0]
        order = sorted(point for island in islands for point in island[1:])
        self.index = {point: number for number, point in enumerate(order)}
        self.index |= {island[0]: len(order) for island in islands}
        self.size = len(order)
        self.inside = self.elements
        self.curved = [element for element in self.inside if element.curve]
        self.lamps = [element for element in self.curved if element.curve.kind == "lamp"]
        self.plain, self.feed = self._plain()

    def _metal(self):
        """Name the piece of metal each terminal belongs to: a splice is one piece, anything else its own."""
        names = {}
        for part in self.arrangement.parts:
            for terminal in (*part.terminals, *part.inner):
                own = "1" if part.kind == "splice" else terminal
                names[f"{part.name}:{terminal}"] = f"{part.name}:{own}"
        return names

    def ends(self, element):
        return self.index[self.metal[element.start]], self.index[self.metal[element.end]]

    def _plain(self):
        """Return the conductance matrix and the source currents of all that is straight; minus is the last row."""
        matrix, feed = np.zeros((self.size + 1, self.size + 1)), np.zeros(self.size + 1)
        for element in self.inside:
            if not element.curve:
                add(matrix, *self.ends(element), 1.0 / element.ohms)
                feed[self.ends(element)[1]] += element.force / element.ohms
                feed[self.ends(element)[0]] -= element.force / element.ohms
        return matrix, feed

    def residual(self, volts, curved_amps):
        """Return what is left over of the current at each point. [A]"""
        full = np.append(volts, 0.0)
        over = self.plain @ full - self.feed
        for element, amps in zip(self.curved, curved_amps):
            a, b = self.ends(element)
            over[a] += amps
            over[b] -= amps
        return over[:-1]

    def drops(self, volts):
        """Return the volts across everything with a curve. [V]"""
        full = np.append(volts, 0.0)
        return [full[a] - full[b] for a, b in map(self.ends, self.curved)]

    def equations(self, volts):
        """Return Kirchhoff's current law at rest, filaments settled. [A]"""
        return self.residual(volts, [amps_at(element.curve, drop)
                                     for element, drop in zip(self.curved, self.drops(volts))])

    def slopes(self, volts):
        """Return the derivative of the equations. [S]"""
        matrix = self.plain.copy()
        for element, drop in zip(self.curved, self.drops(volts)):
            add(matrix, *self.ends(element), slope_at(element.curve, drop))
        return matrix[:-1, :-1]

    def with_hot_lamps(self):
        """Return the volts with every filament as if hot and every junction as if open, the start of the search. [V]"""
        matrix = self.plain.copy()
        for element in self.curved:
            add(matrix, *self.ends(element), siemens(element.curve, RATED) if element.curve.kind == "lamp" else 1e-3)
        return np.linalg.solve(matrix[:-1, :-1], self.feed[:-1]) if self.size else np.zeros(0)

    def solve(self, derivative=True):
        """Return the volts at rest by scipy's hybrid method on all equations at once. [V]

        Whether it was right is seen from what is left over, not from its own word.
        """
        if not self.size:
            return np.zeros(0)
        found = root(self.equations, self.with_hot_lamps(), jac=self.slopes if derivative else None, method="hybr",
                     options={"xtol": 1e-13})
        volts = self._polished(found.x)
        assert np.abs(self.equations(volts)).max() < 1e-7, "the judge itself did not solve its equations"
        return volts

    def _polished(self, volts):
        """Take Newton steps, halved while they do not help, as long as they take off a tenth of what is left over."""
        over = self.equations(volts)
        for _ in range(200):
            step, part, was = np.linalg.solve(self.slopes(volts), over), 1.0, np.linalg.norm(over)
            while part > 1e-6 and np.linalg.norm(self.equations(volts - part * step)) > was:
                part /= 2
            new = self.equations(volts - part * step)
            if np.linalg.norm(new) > (1 - 0.1 * part) * was:
                break
            volts, over = volts - part * step, new
        return volts

    def amps(self, element, volts):
        """Return the current through an element from start to end, filaments settled. [A]"""
        full = np.append(volts, 0.0)
        a, b = self.ends(element)
        drop = full[a] - full[b]
        if element.curve:
            return amps_at(element.curve, drop)
        return (drop + element.force) / element.ohms

    def volts_of(self, terminal, volts):
        """Return the volts of a terminal, or None where it floats. [V]"""
        point = self.metal[terminal]
        return float(np.append(volts, 0.0)[self.index[point]]) if point in self.grounded else None


def _islands(near, zero):
    """Yield every island as a list of its points, the one with ``zero`` first."""
    left = set(near)
    for start in [zero, *sorted(near)]:
        if start in left:
            island, ahead = [], [start]
            left.discard(start)
            while ahead:
                island.append(ahead.pop())
                fresh = near[island[-1]] & left
                left -= fresh
                ahead += sorted(fresh)
            yield island


def add(matrix, a, b, conductance):
    """Put a conductance between two points into a matrix."""
    matrix[a, a] += conductance
    matrix[b, b] += conductance
    matrix[a, b] -= conductance
    matrix[b, a] -= conductance


def settle(arrangement, positions, phase):
    """Return ``(circuit, volts)`` with relays and fuses at rest, from all released and whole, or raise NoRest.

    Where a flasher has run, what blows with its output on is gone with it off as well, and the other way round.
    """
    first = {"relay": "released", "fuse": "whole", "lamp": "whole", "LED lamp": "whole", "flasher": "idle", "connector": "mated", "channel": "off"}
    states = {part.name: positions[part.control] if part.kind == "switch" else first.get(part.kind, "fixed")
              for part in arrangement.parts}
    states |= dict(arrangement.held)
    circuit, volts, ran = _rest(arrangement, states, phase)
    if not ran:
        return circuit, volts
    other = "off" if phase == "on" else "on"
    gone = [name for name, state in _rest(arrangement, states, other)[0].states.items()
            if state == "blown" != circuit.states[name] and arrangement.part(name).kind == "fuse"]
    return _rest(arrangement, circuit.states | dict.fromkeys(gone, "blown"), phase)[:2] if gone else (circuit, volts)


def _rest(arrangement, states, phase):
    """Return (circuit, volts, whether a flasher ran at a rest on the way) of one phase by itself."""
    ran, held = False, dict(arrangement.held)
    for _ in range(50):
        circuit = Circuit(arrangement, states)
        volts = circuit.solve()
        amps = {(element.owner, element.order): circuit.amps(element, volts) for element in circuit.inside}
        wanted = dict(states)
        for part in arrangement.parts:
            if part.name not in held:
                wanted[part.name] = _reaction(part, states[part.name], amps, phase)
        if wanted == states:
            ran = ran or any(states[part.name] in ("on", "off") for part in arrangement.parts if part.kind == "flasher")
            fuses = [part for part in arrangement.parts if part.kind == "fuse" and part.name not in held]
            loads = {part.name: abs(amps.get((part.name, 0), 0.0)) / part.rating for part in fuses
                     if states[part.name] == "whole"}
            weakest = max(loads, key=loads.get, default=None)
            if weakest is None or loads[weakest] <= 1.25:
                return circuit, volts, ran
            wanted = states | {weakest: "blown"}     # one fuse at a time, the most overloaded first
        states = wanted
    raise NoRest


FUSES = {5.0: 0.0175, 10.0: 0.0077, 15.0: 0.0047, 20.0: 0.0032, 30.0: 0.0019}   # A, ohm: maker sheets, from memory


def _fuse_ohms(rating):
    """Return a fuse's resistance by the line through the nearest two points on logarithmic scales. [ohm]"""
    amps, ohms = np.log(list(FUSES)), np.log(list(FUSES.values()))
    place = int(np.clip(np.searchsorted(amps, np.log(rating), "right"), 1, len(amps) - 1))
    slope = (ohms[place] - ohms[place - 1]) / (amps[place] - amps[place - 1])
    return max(0.001, float(np.exp(ohms[place - 1] + slope * (np.log(rating) - amps[place - 1]))))


def _reaction(part, state, amps, phase):
    """Return what state a part goes to with these currents."""
    first, second = amps.get((part.name, 0), 0.0), abs(amps.get((part.name, 1), 0.0))
    if part.kind == "relay":
        volts = abs(first) * part.coil_resistance
        return "operated" if volts >= part.pull_in_voltage else "released" if volts < part.drop_out_voltage else state
    if part.kind == "flasher":
        return _flashers_reaction(part, state, first, second, abs(amps.get((part.name, 2), 0.0)), phase)
    if part.kind == "channel":
        return converters.reaction(part, state, amps)
    return state


def _flashers_reaction(part, state, first, second, sensed, phase):
    if part.type == "electronic load needing":
        return phase if state == "off" or second >= part.least_load / part.volts else "idle"
    if first * 2400.0 < part.volts / 2:       # from 49 to 31: the wrong way round its electronics do not run
        return "idle"
    if part.type == "electronic free running" or state == "off":
        return phase
    enough = sensed >= 0.002 if state == "idle" else second >= part.least_load / part.volts
    return phase if enough else "idle"
