"""A lamp clipped on as a load: what shows a bad joint where the circuit itself draws too little to show it.

A joint of some ohms ahead of a flasher that waits open loses millivolts, and where the flasher runs it breaks down. A
shop clips a bulb it knows from behind the joint to the battery's other pole and reads volts under its current (common
practice). The lamp is a part of the circuit that is solved.
"""

from dataclasses import dataclass

from ...arrangements import AddPart, AddWire
from ...arrangements.mishaps import unused_name
from ...parts import Chassis, Lamp, Wire

WATTS = 21.0     # W, of the lamp: the commonest bulb of a workshop. Common practice
VOLTS = 12.0     # V, at which it draws them


@dataclass(frozen=True)
class Clip:
    """A lamp clipped from one terminal to the frame or a pole of the battery.

    Attributes
    ----------
    terminal : str
        At the fault. [text]
    rows : tuple of dict
        Positions in which no fuse blows by it, healthy or faulty. [text]
    done : tuple of change
        The lamp and its two leads.
    words : str
    """

    terminal: str
    rows: tuple
    done: tuple
    words: str


def clips(circuits, rows, near):
    """Yield every Clip at a fault, handiest first.

    Parameters
    ----------
    circuits : (Probed, Probed)
        The healthy one and the faulty one.
    rows : sequence of dict
        [text]
    near : set of str
        Terminals at the fault. [text]
    """
    healthy = circuits[0].arrangement
    there = [name for name in healthy.terminals if name in near and name in circuits[1].arrangement.wires_at]
    poles = sorted((f"{healthy.battery.name}:{pole}" for pole in ("-", "+")), key=lambda each: each != healthy.zero)
    studs = [f"{part.name}:{end}" for part in healthy.of_kind(Chassis) for end in part.terminals if not near & {
        f"{part.name}:{other}" for other in part.terminals}]
    for pole in (*studs[:1], *poles):      # away from the battery where that can be
        for terminal in there:
            done = _lamp(healthy, terminal, pole)
            calm = tuple(positions for positions in rows if all(_stands(circuit, positions, done) for circuit in circuits))
            if calm and terminal not in poles:
                yield Clip(terminal, calm, done, f"a lamp of {WATTS:g} W clipped on from {terminal} to {pole} as a load")


def _lamp(arrangement, terminal, pole):
    lamp, one, other = (unused_name(arrangement, name) for name in ("clipped lamp", "its first lead", "its second lead"))
    leads = Wire(one, terminal, f"{lamp}:1", length=0.5, area=1.5), Wire(other, f"{lamp}:2", pole, length=0.5, area=1.5)
    return AddPart(Lamp(lamp, volts=VOLTS, watts=WATTS, bulb="", place=f"at {terminal}")), *map(AddWire, leads)


def _stands(circuit, positions, done):
    """Tell whether a lamp blows no fuse, trips no breaker and shorts nothing."""
    def gone(made):
        return [[name for name, state in moment.point.states.items() if state == "blown"] if moment else None
                for moment in circuit.moments(positions, made)]
    moments = [moment for moment in circuit.moments(positions, done) if moment]
    return moments and all(moment.point.verdict == "settled" for moment in moments) and all(
        was is None or now is None or was == now for was, now in zip(gone(()), gone(done)))
