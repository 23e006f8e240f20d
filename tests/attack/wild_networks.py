"""Networks wilder than chance: every kind of part at the ends of what it may be, thrown on a few junctions."""

from math import inf
from random import Random

from circuitlab.arrangements import Arrangement
from circuitlab.parts import (Battery, Breaker, Chassis, Control, Diode, Flasher, Fuse, Lamp, LedLamp, Relay, Resistor,
                              Splice, Switch,
                              Wire, load_needing_flasher, load_sensing_flasher, thermal_flasher, toggle, variable_load_flasher)

CONTROLS = (Control("switch", ("off", "on")), Control("lever", ("left", "off", "right")))


def wild(seed):
    """Return a network of 3 to 30 parts: loops, shorts, islands, opposed batteries, loose ends, held parts."""
    chance = Random(f"wild {seed}")
    junctions = [Splice(f"X{number}", 24) for number in range(chance.randint(1, 8))]
    parts = [*junctions, Battery("G1", chance.choice((12.6, 12.6, 0, 60, 0.001)), chance.choice((0.001, 0.02, 10)))]
    for number in range(chance.randint(2, 22)):
        parts.append(chance.choice(_MAKERS)(chance, number))
    ways, wires = {each.name: 0 for each in junctions}, []
    for part in parts[len(junctions):]:
        for terminal in part.terminals:
            junction = chance.choice(junctions).name
            if chance.random() < 0.93 and ways[junction] < 24:
                ways[junction] += 1
                wires.append(_wire(chance, len(wires) + 1, f"{junction}:{ways[junction]}", f"{part.name}:{terminal}"))
    for _ in range(chance.choice((0, 0, 1, 4))):
        ends = chance.sample([f"{part.name}:{terminal}" for part in parts for terminal in part.terminals], 2)
        wires.append(_wire(chance, len(wires) + 1, *ends))
    held = [(part.name, chance.choice(part.states)) for part in parts if len(part.states) > 1
            and chance.random() < 0.06]
    return Arrangement(f"wild, seed {seed}", CONTROLS, parts, wires, held=held, name=f"wild-{seed}")


def _wire(chance, number, start, end):
    joint = lambda: chance.choice((0.001, 0.001, 0.001, 0.05, 1000, 1e12, inf)) if chance.random() < 0.1 else 0.001
    return Wire(f"W{number}", start, end, length=chance.choice((0.001, 0.5, 5, 100)),
                area=chance.choice((0.05, 1, 2.5, 200)),
                start_joint=joint(), end_joint=joint(), temperature=chance.choice((-60, 20, 20, 250)))


_MAKERS = (
    lambda chance, n: Battery(f"G{n + 2}", chance.choice((0, 1.5, 12.6, 24, 60)), chance.choice((0.001, 0.05, 10))),
    lambda chance, n: Lamp(f"E{n}", chance.choice((1.5, 6, 13.5, 28)), chance.choice((0.1, 5, 21, 200))),
    lambda chance, n: Lamp(f"E{n}"),
    lambda chance, n: LedLamp(f"E{n}", load_resistance=chance.choice((0.5, 6, inf)), watts=chance.choice((0.1, 3, 50))),
    lambda chance, n: Relay(f"K{n}", chance.choice(("changeover", "make", "dual")), chance.choice((1, 85, 100_000)),
                            suppression=chance.choice(("none", "resistor", "diode")),
                            coil_temperature=chance.choice((-60, 20, 200)),
                            transfer_gap=chance.choice((0, 0.002, 0.007))),
    lambda chance, n: Relay(f"K{n}", pull_in_voltage=chance.choice((0.1, 7, 59)),
                            drop_out_voltage=chance.choice((0.01, 0.05, 0.099))),
    lambda chance, n: Relay(f"K{n}"),
    lambda chance, n: chance.choice((Flasher, load_needing_flasher, load_sensing_flasher, thermal_flasher, variable_load_flasher))(f"K{n}"),
    lambda chance, n: Flasher(f"K{n}", chance.choice((10, 90, 600)), chance.choice((0.05, 0.5, 0.95)),
                              pilot=chance.choice((False, True))),
    lambda chance, n: Diode(f"V{n}",
                            *chance.choice(((0.9, 6, 0.015), (0.1, 0.001, 0.001), (5, 1000, 0.001), (5, 0.001, 1000)))),
    lambda chance, n: Fuse(f"F{n}", chance.choice((0.1, 5, 500))),
    lambda chance, n: Breaker(f"F{n}", chance.choice((0.5, 20, 300))),
    lambda chance, n: Resistor(f"R{n}", chance.choice((0.001, 10, 1e4, 1e9))),
    lambda chance, n: Chassis(f"M{n}", chance.randint(1, 6), chance.choice((0.001, 0.002, 100)),
                              body_resistance=chance.choice((0, 0.001, 100))),
    lambda chance, n: toggle(f"S{n}", "switch"),
    lambda chance, n: Switch(f"S{n}", "lever", {"left": [("a", "b"), ("b", "c")], "right": [("a", "c")]},
                             resistance=chance.choice((0.001, 0.005, 1))),
)
