"""The ways of the current: what merely conducts, what uses the volts up, and what is lost on the way.

A wire, a fuse, a closed contact, a chassis stud and a conducting diode are on
the way; a lamp, a coil, a resistor and the electronics of a flasher are loads.
A loop is the way from the battery's live pole to a load and from there back to its
other one, in one operating point.
"""

from dataclasses import dataclass

from ...ground.joined import walked, way_to
from ...parts import Battery, Connector, Role, Wire
from ...parts.connector import SOCKET
from ...solving.network import network

FLOWS = 1e-6   # A, less is a leak and shows no way
_WORDS = {Role.CONTACT: "contact", Role.COIL: "coil", Role.ELECTRONICS: "supply"}


@dataclass(frozen=True)
class Step:
    """One branch that is on the way, between two points of the network."""

    name: str
    branch: int
    start: int
    end: int
    amps: float


@dataclass(frozen=True)
class Piece:
    """Volts lost in one piece of a leg.

    Attributes
    ----------
    part : str
    what : str
        ``copper``, ``joint at F1:2``, ``contact 30-87``, ``fuse``, ``stud 1``, ``diode``. [text]
    volts, amps : float
        Lost in it, and flowing through it. [V], [A]
    length : float
        Of copper, 0 for all else. [m]
    is_contact : bool
        Whether it is a contact that no hand parts. [yes/no]
    """

    part: str
    what: str
    volts: float
    amps: float
    length: float = 0.0
    is_contact: bool = False


@dataclass(frozen=True)
class Loop:
    """What is lost between the battery and one load.

    Attributes
    ----------
    load : str
    point : OperatingPoint
    battery_volts, load_volts : float
        Across the battery's terminals and across the load. [V]
    out, back : tuple of Piece
        From the live pole (plus unless plus is on the frame) to the load, and from the load back.
    """

    load: str
    point: object
    battery_volts: float
    load_volts: float
    out: tuple
    back: tuple

    @property
    def lost(self):
        """Volts lost on both legs. [V]"""
        return self.battery_volts - self.load_volts

    @property
    def lost_share(self):
        """The same relative to the battery's volts. [1]"""
        return self.lost / self.battery_volts

    @property
    def length(self):
        """Copper there and back. [m]"""
        return sum(piece.length for piece in self.out + self.back)

    @property
    def ampere_metres(self):
        """Each wire's length times its own current, there and back. [A m]"""
        return sum(piece.length * piece.amps for piece in self.out + self.back)


def steps(point):
    """Return every branch that is on the way and conducts at this moment, as Steps."""
    net, found = network(point.arrangement), []
    for part in net.parts:
        for order, branch in enumerate(part.branches()):
            if branch.role.passes and branch.conducts(point.states[part.name]):
                amps = point.current(part.name, order)
                if not branch.is_one_way or amps > FLOWS:
                    found.append(Step(part.name, order, *net.ends[net.branch_of[part.name, order]], amps))
    return found


def loop(point, name, branch=0, ways=None):
    """Return the loop of a load in an operating point, or None where it is not fed from both poles.

    Parameters
    ----------
    point : OperatingPoint
    name : str
        A lamp, relay or resistor. [text]
    branch : int
        Which of its branches is the load. [1]
    ways : list of Step, optional
        What :func:`steps` says of the point, when it is at hand already.
    """
    arrangement, net = point.arrangement, network(point.arrangement)
    amps = point.current(name, branch)
    if abs(amps) <= FLOWS:
        return None
    ways = steps(point) if ways is None else ways
    hot, cold = net.ends[net.branch_of[name, branch]][::1 if amps > 0 else -1]
    batteries = arrangement.of_kind(Battery)
    plus = {net.point_of[f"{battery.name}:+"]: battery for battery in batteries}
    minus = {net.point_of[f"{battery.name}:-"]: battery for battery in batteries}
    out, back = _leg(ways, hot, plus, -1), _leg(ways, cold, minus, 1)
    if out is None or back is None:
        return None
    high, low = (f"{poles[leg[1]].name}:{pole}" for leg, poles, pole in ((out, plus, "+"), (back, minus, "-")))
    ends = [arrangement.part(name).at(end) for end in
            (arrangement.part(name).branches()[branch].start, arrangement.part(name).branches()[branch].end)]
    legs = [tuple(piece for step in leg for piece in pieces(arrangement, point, step)) for leg in (out[0][::-1], back[0])]
    if arrangement.frame == "plus":      # told from the live pole on, against the current
        legs = [leg[::-1] for leg in legs[::-1]]
    return Loop(name, point, point.across(high, low), abs(point.across(*ends)), *legs)


def _leg(ways, here, poles, sign):
    """Return ``(steps, pole)`` along the current (sign 1) or against it (-1), or None where it leads to no pole."""
    near = {}
    for step in ways:
        if abs(step.amps) > FLOWS:
            first, then = (step.start, step.end) if step.amps * sign > 0 else (step.end, step.start)
            near.setdefault(first, []).append((1, then, step))
    found = walked([here], near, poles)
    *_, last = found
    return (way_to(last, found), last) if last in poles else None


def pieces(arrangement, point, step):
    """Return what a step loses, piece by piece; a wire is copper and two joints."""
    part, amps = arrangement.part(step.name), abs(step.amps)
    if isinstance(part, Wire):
        ends = [(part.start, part.start_joint), (part.end, part.end_joint)]
        first, last = ends if step.amps >= 0 else reversed(ends)
        return (Piece(part.name, f"joint at {first[0]}", amps * first[1], amps),
                Piece(part.name, "copper", amps * part.copper, amps, part.length),
                Piece(part.name, f"joint at {last[0]}", amps * last[1], amps))
    branch = part.branches()[step.branch]
    lost = amps * branch.resistance
    if branch.device is not None:
        lost = abs(point.across(part.at(branch.start), part.at(branch.end)))
    return (Piece(part.name, called(part, branch), lost, amps, 0.0, branch.role is Role.CONTACT and not branch.mated),)


def called(part, branch):
    """Return what a branch is called beside its part's name. [text]

    >>> from circuitlab.parts import Relay
    >>> called(Relay("K1"), Relay("K1").branches()[1])
    'contact 30-87'
    """
    if part.is_metal:
        return f"stud {branch.start}"
    if branch.mated and isinstance(part, Connector):
        return f"pin {branch.start.removesuffix(SOCKET)}"
    if branch.mated or branch.role not in _WORDS:
        return part.kind
    is_suppressor = branch.role is Role.COIL and branch != part.first(Role.COIL)[1]
    return f"{'suppressor' if is_suppressor else _WORDS[branch.role]} {branch.start}-{branch.end}"
