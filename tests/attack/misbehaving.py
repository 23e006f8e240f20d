"""Circuits that misbehave on purpose, the same for the same seed.

A base (wired by chance, of the library, or a small board) gets one to three
mishaps out of the list at the end: relays that undo their own moves, relays
that hold themselves or each other, shorts, fuses and breakers far too small,
lost joints, a second battery, and more.
"""

from dataclasses import replace
from random import Random

import circuitlab as cl
from circuitlab.parts import (Battery, Breaker, Control, Diode, Flasher, Fuse, Lamp, Relay, Resistor, Splice, Switch,
                              Wire, thermal_flasher, toggle)

import small_boards
from random_arrangements import random_arrangement

MOST = 24       # rows times phases of one circuit
SMALL = (small_boards.lamp_board, small_boards.relay_board, small_boards.buzzer, small_boards.self_holding,
         small_boards.rivals, small_boards.flasher_board, small_boards.straight_short)
LIBRARY = tuple(name for name in cl.arrangement_names() if cl.arrangement(name).count_rows() <= 12)


def misbehaving(seed):
    """Return an arrangement with mishaps, of at most ``MOST`` rows and phases."""
    chance = Random(seed)
    while True:
        board = _base(chance)
        for mishap in chance.choices(MISHAPS, k=chance.randint(1, 3)):
            board = mishap(chance, board)
        if board.count_rows() * 2 ** sum(part.swings for part in board.parts) <= MOST:
            return replace(board, title=f"misbehaving, seed {seed}", rule=())


def _base(chance):
    kind = chance.random()
    if kind < 0.4:
        board = random_arrangement(chance.getrandbits(32), 4, 12)
        used = {part.control for part in board.of_kind(Switch)}
        return replace(board, controls=tuple(control for control in board.controls if control.name in used))
    return cl.arrangement(chance.choice(LIBRARY)) if kind < 0.6 else chance.choice(SMALL)()


def _hot(chance, board):
    """Return a terminal to take current from: the battery's plus, or any."""
    return f"{board.battery.name}:+" if chance.random() < 0.5 else chance.choice(board.terminals)


def _minus(chance, board):
    studs = [name for name in board.terminals if name.startswith("X1:")]
    return chance.choice([f"{board.battery.name}:-", *studs[:1]])


def _fitted(board, parts, pairs):
    """Return the board with parts and wires more: ``parts`` by a small letter and a number, each made from its real name."""
    made, taken = {}, set(board.by_name)
    for short, make in parts.items():
        number = next(number for number in range(20, 99) if f"{short[0].upper()}{number}" not in taken)
        made[short] = make(f"{short[0].upper()}{number}")
        taken.add(made[short].name)

    def end(text):
        part, _, terminal = text.partition(":")
        return f"{made[part].name}:{terminal}" if part in made else text
    names = (f"W{number}" for number in range(500, 999) if f"W{number}" not in taken)
    wires = tuple(Wire(next(names), end(start), end(stop)) for start, stop in pairs if end(start) != end(stop))
    return replace(board, parts=board.parts + tuple(made.values()), wires=board.wires + wires)


def _relay(chance):
    pull_in = chance.choice((5.0, 7.0, 7.0, 9.0, 11.5))
    more = {"pull_in_voltage": pull_in, "drop_out_voltage": chance.choice((0.1, 0.4, 0.9)) * pull_in,
            "coil_resistance": chance.choice((60.0, 85.0, 85.0, 200.0)),
            "suppression": chance.choice(("none", "none", "none", "resistor", "diode"))}
    return lambda name: Relay(name, **more)


def buzzer(chance, board):
    """A coil fed through its own rest contact, sometimes with something in the way."""
    hot, minus = _hot(chance, board), _minus(chance, board)
    way = [("k1:87a", "k1:86")]
    parts = {"k1": _relay(chance)}
    if chance.random() < 0.4:
        key, make, first, last = chance.choice((("r1", lambda name: Resistor(name, 30.0), "1", "2"),
                                                 ("v1", Diode, "A", "K")))
        parts[key], way = make, [("k1:87a", f"{key}:{first}"), (f"{key}:{last}", "k1:86")]
    return _fitted(board, parts, [(hot, "k1:30"), *way, ("k1:85", minus)])


def sagging(chance, board):
    """A relay whose contact puts a load on the very supply of its coil."""
    ohms, load = chance.choice((1.0, 4.0, 10.0, 25.0)), chance.choice((0.5, 2.0, 8.0))
    loads = {"r2": lambda name: Resistor(name, load)} if chance.random() < 0.5 else {"e2": Lamp}
    name = next(iter(loads))
    return _fitted(board, {"r1": lambda name: Resistor(name, ohms), "x9": lambda name: Splice(name, 3), "k1": _relay(chance),
                           **loads},
                   [(_hot(chance, board), "r1:1"), ("r1:2", "x9:1"), ("x9:2", "k1:86"), ("k1:85", _minus(chance, board)),
                    ("x9:3", "k1:30"), ("k1:87", f"{name}:1"), (f"{name}:2", _minus(chance, board))])


def ring(chance, board):
    """Relays in a ring, the rest contact of each feeding the next coil: an even number has a choice, an odd one has none."""
    count, hot = chance.choice((2, 2, 2, 3, 4)), _hot(chance, board)
    pairs = []
    for number in range(count):
        pairs += [(hot, f"k{number}:30"), (f"k{number}:87a", f"k{(number + 1) % count}:86"),
                  (f"k{number}:85", _minus(chance, board))]
    return _fitted(board, {f"k{number}": _relay(chance) for number in range(count)}, pairs)


def self_holding(chance, board):
    """A push on a button, and the relay keeps itself."""
    control, hot = _control(chance, board), _hot(chance, board)
    board = board if control in board.controls else replace(board, controls=(*board.controls, control))
    return _fitted(board, {"s1": lambda name: toggle(name, control.name) if control.positions == ("off", "on") else
                           Switch(name, control.name, {control.positions[-1]: [("1", "2")]}),
                           "k1": _relay(chance), "e1": Lamp},
                   [(hot, "s1:1"), ("s1:2", "k1:86"), (hot, "k1:30"), ("k1:87", "k1:86"), ("k1:87", "e1:1"),
                    ("e1:2", _minus(chance, board)), ("k1:85", _minus(chance, board))])


def _control(chance, board):
    if board.controls and chance.random() < 0.6:
        return chance.choice(board.controls)
    return next((control for control in board.controls if control.name == "button"), Control("button", ("off", "on")))


def holding_each_other(chance, board):
    """Two relays, each feeding the other's coil through its make contact, and something that may start one of them."""
    hot, starter = _hot(chance, board), chance.choice(board.terminals)
    return _fitted(board, {"k1": _relay(chance), "k2": _relay(chance)},
                   [(hot, "k1:30"), (hot, "k2:30"), ("k1:87", "k2:86"), ("k2:87", "k1:86"), (starter, "k1:86"),
                    ("k1:85", _minus(chance, board)), ("k2:85", _minus(chance, board))])


def short(chance, board):
    """A wire from somewhere to minus, sometimes through a switch."""
    hot, minus = _hot(chance, board), _minus(chance, board)
    if board.controls and chance.random() < 0.5:
        control = chance.choice(board.controls)
        return _fitted(board, {"s1": lambda name: Switch(name, control.name, {control.positions[-1]: [("1", "2")]})},
                       [(hot, "s1:1"), ("s1:2", minus)])
    return _fitted(board, {}, [(hot, minus)])


def _between(make):
    """Return a mishap that puts a part too small for it into a wire, or before a load of its own."""
    def mishap(chance, board):
        part = make(chance)
        if board.wires and chance.random() < 0.6:
            wire = chance.choice(board.wires)
            left = replace(board, wires=tuple(each for each in board.wires if each is not wire))
            return _fitted(left, {"f1": part}, [(wire.start, "f1:1"), ("f1:2", wire.end)])
        load = chance.choice((lambda name: Resistor(name, 2.0), lambda name: Resistor(name, 0.2)))
        return _fitted(board, {"f1": part, "r1": load},
                       [(_hot(chance, board), "f1:1"), ("f1:2", "r1:1"), ("r1:2", _minus(chance, board))])
    return mishap


def _small_breaker(chance):
    rating = chance.choice((0.5, 1.0, 3.0, 5.0))
    return lambda name: Breaker(name, rating)


def _small_fuse(chance):
    rating = chance.choice((1.0, 2.0, 3.0))
    return lambda name: Fuse(name, rating)


def lost_joint(chance, board):
    """A wire that has come off, at minus if there is one."""
    minus = [(wire.name, end) for wire in board.wires for end in (wire.start, wire.end)
             if end == f"{board.battery.name}:-" or end.startswith("X1:")]
    every = [(wire.name, end) for wire in board.wires for end in (wire.start, wire.end)]
    place = chance.choice(minus if minus and chance.random() < 0.7 else every)
    return cl.LoseJoint(*place, *chance.choice(((), (), (0.8,), (20.0,)))).apply(board)


def stuck(chance, board):
    """A part that stays in one of its states."""
    free = [part for part in board.parts if len(part.states) > 1 and part.name not in dict(board.held)]
    if not free:
        return short(chance, board)
    part = chance.choice(free)
    return cl.Hold(part.name, chance.choice(part.states)).apply(board)


def stray_wire(chance, board):
    """A wire between any two terminals."""
    return _fitted(board, {}, [tuple(chance.sample(board.terminals, 2))])


def second_battery(chance, board):
    """Another battery: on its own, at one end, or the wrong way round."""
    ends = chance.sample(board.terminals, 2)
    volts = chance.choice((6.0, 12.6, 24.0))
    return _fitted(board, {"g1": lambda name: Battery(name, volts)},
                   [("g1:+", ends[0]), ("g1:-", ends[1])][:chance.randint(0, 2)])


def starved_flasher(chance, board):
    """A flasher whose load cuts off its own supply by a relay, or sags it."""
    make = chance.choice((Flasher, thermal_flasher))
    hot, minus = _hot(chance, board), _minus(chance, board)
    earthed = [("k2:31", minus)] if "31" in make("K1").terminals else []
    return _fitted(board, {"k1": _relay(chance), "k2": make, "e1": Lamp},
                   [(hot, "k1:30"), ("k1:87a", "k2:49"), ("k2:49a", "k1:86"), ("k1:85", minus), ("k2:49a", "e1:1"),
                    ("e1:2", minus), *earthed])


MISHAPS = (buzzer, buzzer, sagging, ring, ring, ring, self_holding, self_holding, holding_each_other, short, short,
           _between(_small_breaker), _between(_small_breaker), _between(_small_fuse), lost_joint, stuck, stray_wire,
           second_battery, starved_flasher)
