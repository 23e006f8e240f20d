"""Small random circuits of batteries, resistors and wires, for judges that want many of them.

Every resistor hangs between two junctions (splices) on wires of its own; the battery's minus is junction 0.
"""

from circuitlab.arrangements import Arrangement
from circuitlab.parts import Battery, Resistor, Splice, Wire


def network(junctions, resistors, batteries):
    """Return an arrangement.

    Parameters
    ----------
    junctions : int
        How many splices; each takes up to 24 wires. [1]
    resistors : list of (int, int, float)
        Two junctions and a resistance. [ohm]
    batteries : list of (int, int, float, float)
        Junction of minus and of plus, volts, inner resistance; volts count from the first one's minus. [V], [ohm]
    """
    parts = [Splice(f"X{number}", 24) for number in range(junctions)]
    ways = [0] * junctions
    wires = []

    def join(junction, terminal):
        ways[junction] += 1
        wires.append(Wire(f"W{len(wires) + 1}", f"X{junction}:{ways[junction]}", terminal, length=0.001, area=200.0))
    for order, (minus, plus, volts, inner) in enumerate(batteries, start=1):
        parts.append(Battery(f"G{order}", volts, inner))
        join(minus, f"G{order}:-")
        join(plus, f"G{order}:+")
    for order, (one, other, ohms) in enumerate(resistors, start=1):
        parts.append(Resistor(f"R{order}", ohms))
        join(one, f"R{order}:1")
        join(other, f"R{order}:2")
    return Arrangement("a random network", parts=parts, wires=wires)


def random_network(random, junctions=8, least=1e-3, most=1e9, batteries=1):
    """Return a connected network with resistances spread evenly over the decades between two limits."""
    from math import exp, log

    def ohms():
        return exp(random.uniform(log(least), log(most)))
    resistors = [(random.randrange(number), number, ohms()) for number in range(1, junctions)]
    resistors += [(*random.sample(range(junctions), 2), ohms()) for _ in range(junctions)]
    sources = [(*random.sample(range(junctions), 2), round(random.uniform(1, 60), 3), random.uniform(0.001, 10))
               for _ in range(batteries)]
    return network(junctions, resistors, sources)
