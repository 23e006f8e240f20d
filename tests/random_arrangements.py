"""Arrangements nobody would build, the same for the same seed: they are whole, but wired by chance.

Half of every one is wired as a circuit would be, from plus through fuses and
contacts to lamps and ground; the rest of the wires join any two terminals.
"""

from random import Random

from circuitlab.arrangements import Arrangement
from circuitlab.parts import (Battery, Breaker, Chassis, Connector, Control, Converter, Diode, DistributionBlock, Flasher, Fuse, FuseBlock, Lamp, LedLamp, Relay, Resistor,
                              Splice, Switch, TwoFilamentLamp, Wire, hazard_switch, key_switch, load_needing_flasher, load_sensing_flasher,
                              plunger_stop_switch, thermal_flasher, toggle, turn_lever, variable_load_flasher)
from circuitlab.parts.conductors import COLOURS

CONTROLS = (Control("key", ("off", "on")), Control("brake pedal", ("released", "touched", "held")),
            Control("turn lever", ("off", "left", "right"), ("left", "off", "right")), Control("hazard", ("off", "on")),
            Control("selector", ("one", "two", "three", "four")))


_BLOCKS = {3: (FuseBlock("F50", "30: 7.5 A, spare; 15: 3 A, 5 A clips 0.5 ohm"),), 6: (DistributionBlock("X50", "30: 3, 31: 3"),),
           7: (FuseBlock("F50", "10 A, spare, 5 A"), DistributionBlock("X50", "15: 4")), 2: (Converter("K900"),),
           4: (Converter("K900", "unpowered", "plain", loses=2.5),)}      # by the last digits of a seed


def random_arrangement(seed, least=8, most=25):
    """Return a whole arrangement of 8 to 25 parts with some splices, shared terminals and unwired terminals."""
    chance = Random(seed)
    parts = [*_parts(chance, chance.randint(least, most)), *_BLOCKS.get(seed % 8, ())]
    ends = {part.name: [f"{part.name}:{terminal}" for terminal in part.terminals] for part in parts}
    pairs = _sensible(chance, parts, ends)
    every = [end for names in ends.values() for end in names]
    for _ in range(chance.randint(1, len(parts))):
        pairs.append(tuple(chance.sample(every, 2)))
    wires = [Wire(f"W{number}", start, end, _colour(chance)) for number, (start, end) in enumerate(pairs, 1)]
    return Arrangement(f"by chance, seed {seed}", CONTROLS, parts, wires, name=f"seed-{seed}")


def _parts(chance, count):
    parts, number = [Battery("G1")], {}
    if chance.random() < 0.85:
        parts.append(Chassis("X1", studs=chance.randint(1, 6)))

    def name(letter):
        number[letter] = number.get(letter, 1 if letter == "X" else 0) + 1
        return f"{letter}{number[letter]}"

    makers = (lambda: Fuse(name("F"), chance.choice((3, 5, 7.5, 10, 15))),
              lambda: Lamp(name("E"), light=chance.choice(("red", "amber", "white")),
                           place=chance.choice(("", "front left", "rear right", "number plate on the tail gate"))),
              lambda: Relay(name("K"), contact=chance.choice(("changeover", "changeover", "make"))),
              lambda: Flasher(name("K")), lambda: Splice(name("X"), ways=chance.randint(2, 5)),
              lambda: Resistor(name("R")), lambda: _switch(chance, name("S")), lambda: _switch(chance, name("S")),
              lambda: Relay(name("K")), lambda: _two_filaments(chance, name("E")), lambda: Diode(name("V")), lambda: Breaker(name("F")),
              lambda: LedLamp(name("E"), load_resistance=chance.choice((6.0, float("inf")))),
              lambda: Relay(name("K"), contact="dual", suppression=chance.choice(("resistor", "diode"))),
              lambda: thermal_flasher(name("K")), lambda: load_sensing_flasher(name("K"), pilot=chance.choice((False, True))),
              lambda: load_needing_flasher(name("K")), lambda: variable_load_flasher(name("K")),
              lambda: Connector(name("X"), chance.choice(("4-flat", "12N")), pins=chance.choice(((), {"3": 2.0}, {"1": float("inf")})),
                                water=chance.choice(((), (), {"2-3": 500.0}))))
    while len(parts) < count:
        parts.append(chance.choice(makers)())
    if chance.random() < 0.15:
        parts[-1] = Battery("G2")
    return parts


def _two_filaments(chance, name):
    """Return a tail and stop lamp, its bulb now and then the wrong one, turned round or with its filaments touching."""
    return TwoFilamentLamp(name, **chance.choice(({}, {"bulb": "1157"}, {"bulb": "W21/5W"}, {"bulb": "P21W"}, {"fitted": "turned round"}, {"touching": True})))


def _switch(chance, name):
    return chance.choice((
        lambda: key_switch(name), lambda: toggle(name, "hazard"), lambda: plunger_stop_switch(name),
        lambda: turn_lever(name), lambda: turn_lever(name, poles=(("49a", "L", "R"), ("15", "SL", "SR"))),
        lambda: hazard_switch(name, changeover=[("49", "15", "30")], joins=[("49a", "L"), ("49a", "R")]),
        lambda: Switch(name, "selector", {"one": [("c", "1")], "two": [("c", "2")], "three": [("c", "3")]}),
        lambda: Switch(name, "selector", {"two": [("1", "2"), ("2", "3")], "four": [("3", "4")]})))()


def _sensible(chance, parts, ends):
    """Wire the first terminal of most parts to something before it, and the last of many to ground or to the next."""
    ground = ends.get("X1", ["G1:-"])
    pairs = [("G1:-", chance.choice(ground))] if "X1" in ends else []
    before = ["G1:+"]
    for part in parts[1:]:
        own = ends[part.name]
        if part.name == "X1" or chance.random() < 0.1:
            continue
        pairs.append((chance.choice(before[-4:]), own[0]))
        if part.kind in ("lamp", "relay", "flasher", "resistor", "LED lamp", "two-filament lamp") and chance.random() < 0.85:
            earthed = next((end for end in own if end.endswith((":85", ":31"))), own[-1])
            pairs.append((earthed, chance.choice(ground)))
            own = [end for end in own if end != earthed]
        before += own[1:] or before[-1:]
    return pairs


def _colour(chance):
    return "".join(chance.sample(COLOURS, chance.choice((0, 1, 1, 1, 2))))
