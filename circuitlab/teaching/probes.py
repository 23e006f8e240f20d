"""A ready question for each idea of the table, worked out from the kit's own small circuits.

Lessons may ask them as they are, or put the same idea to a question of their own.
"""

from dataclasses import replace

from ..arrangements import Hold, LoseJoint, RemoveWire, SetValue, arrangement, changed
from ..ground.errors import unknown_name
from ..parts import Fuse, Lamp, Wire
from ..parts.catalogue import largest_fuse
from ..reasoning.leads import take_reading
from ..solving import operating_point
from .ideas import IDEAS, idea
from .kinds import Choice, Number
from .task import Task
from .variants import vary

LIT = {"lamp switch": "on"}
VOLTS = {("G1", "voltage"): (11.6, 12.0, 12.4, 12.8, 13.2, 13.6)}
TIED = {"key": "on", "brake pedal": "held", "turn lever": "left"}
SIDES = ("the fuse", "the lamp", "both", "neither")
FUSES = ("1 A", "7.5 A", "60 A")


def probe(code):
    """Return the question that brings an idea of the table out.

    Parameters
    ----------
    code : str
        From ``"M1"`` to ``"M19"``. [text]

    Returns
    -------
    Task

    Raises
    ------
    UnknownName
        For a code that is not there.
    """
    if code not in _PROBES:
        raise unknown_name("the table of ideas", "idea", code, _PROBES)
    kind, circuit, work, thinks = _PROBES[code]()
    return Task(f"probe-{code}", IDEAS[code].probe, kind, circuit, work, (thinks,))


def _lamp():
    return arrangement("one-fused-lamp")


def _shown(point, red, black=None):
    """Return what a meter's display says between two places, black on battery minus unless said otherwise. [V]"""
    return take_reading(point, red, black).shown


def _lamps(circuit, how_many, switch=LIT):
    """Return the point of a lamp with others beside it, on the same two terminals. [OperatingPoint]"""
    more = [Lamp(f"E{number}") for number in range(2, how_many + 1)]
    wires = [Wire(f"W{number}{end}", f"E1:{end}", f"E{number}:{end}") for number in range(2, how_many + 1) for end in "12"]
    return operating_point(replace(circuit, parts=circuit.parts + tuple(more), wires=circuit.wires + tuple(wires)), switch)


def _compared(before, after, words):
    """Return the first of three words for more, the second for the same within a hundredth, the third for less. [text]"""
    return words[1] if abs(after - before) < 0.01 * abs(before) else words[0] if after > before else words[2]


def _eaten():
    words = ("the one before it", "both the same", "the one behind it")

    def work(circuit):
        point = operating_point(circuit, LIT)
        return _compared(abs(point.current("W4")), abs(point.current("W3")), words)
    return Choice(words), _lamp(), work, idea("M1", reads_as=words[0])


def _constant():
    words = ("it grows", "it stays", "it falls")
    work = lambda circuit: _compared(_lamps(circuit, 1).current("F1"), _lamps(circuit, 2).current("F1"), words)
    return Choice(words), _lamp(), work, idea("M2", reads_as=words[1])


def _sequential():
    words = ("brighter", "as bright as before", "dimmer")

    def work(circuit):
        behind = changed(circuit, LoseJoint("W4", "E1:2", 3.0))
        return _compared(operating_point(circuit, LIT).light("E1"), operating_point(behind, LIT).light("E1"), words)
    return Choice(words), _lamp(), work, idea("M3", reads_as=words[1])


def _local():
    words = ("it gets brighter", "it stays as it is", "it gets dimmer")

    def work(circuit):
        shared = changed(circuit, LoseJoint("W4", "E1:2", 0.4))
        return _compared(_lamps(shared, 1).light("E1"), _lamps(shared, 3).light("E1"), words)
    return Choice(words), _lamp(), work, idea("M4", reads_as=words[1])


def _empty_socket():
    work = lambda circuit: _shown(operating_point(changed(circuit, Hold("E1", "blown")), LIT), "E1:1")
    return Number("V"), vary(_lamp(), VOLTS), work, idea("M5", reads_as=0.0)


def _open_switch():
    work = lambda circuit: _shown(operating_point(circuit), "S1:1", "S1:2")
    return Number("V"), vary(_lamp(), VOLTS), work, idea("M6", reads_as=0.0)


def _one_wire():
    alone = lambda circuit: operating_point(changed(circuit, RemoveWire("W4")), LIT)
    work = lambda circuit: "it is lit" if alone(circuit).light("E1") > 0.25 else "it is dark"
    return Choice(("it is lit", "it is dark")), _lamp(), work, idea("M7", reads_as="it is lit")


def _rusty_ground():
    rusty = vary(changed(_lamp(), LoseJoint("W5", "X1:2", 0.3)), {("G1", "voltage"): (11.8, 12.6, 13.4),
                                                                  ("W5", "start_joint"): (0.2, 0.3, 0.45, 0.7)})
    return Number("V"), rusty, lambda circuit: _shown(operating_point(circuit, LIT), "E1:2"), idea("M8", reads_as=0.0)


def _two_zeros():
    def work(circuit):
        point = operating_point(circuit)
        fuse, lamp = (any(point.is_live(f"{name}:{end}") for end in "12") for name in ("F1", "E1"))
        return SIDES[0 if fuse and not lamp else 1 if lamp and not fuse else 2 if fuse else 3]
    return Choice(SIDES), _lamp(), work, idea("M9", reads_as=SIDES[3])


def _click():
    words = ("only the coil's circuit", "the coil's and the contact's")

    def work(circuit):
        point = operating_point(changed(circuit, RemoveWire("W6")), {"test switch": "on"})
        return words[point.states["K1"] == "operated" and abs(point.current("K1", 1)) > 0.01]
    return Choice(words), arrangement("relay-test-board"), work, idea("M10", reads_as=words[1])


def _outputs(circuit, switch):
    """Return which outputs of the relay on the test board are live. [text]"""
    point = operating_point(circuit, {"test switch": switch})
    live = [end for end in ("87", "87a") if point.is_live(f"K1:{end}")]
    return live[0] if len(live) == 1 else "both" if live else "neither"


def _at_rest():
    ends = ("87", "87a")
    return (Choice(ends), arrangement("relay-test-board"), lambda circuit: _outputs(circuit, "off"),
            idea("M11", reads_as=lambda circuit: _outputs(circuit, "on")))


def _both_outputs():
    return (Choice(("87", "87a", "both")), arrangement("relay-test-board"), lambda circuit: _outputs(circuit, "on"),
            idea("M12", reads_as="both"))


def _two_feeds():
    def fed(circuit, **moved):
        return _shown(operating_point(circuit, TIED | moved), "E1:1", "E1:2")
    added = lambda circuit: fed(circuit, key="off") + fed(circuit, **{"brake pedal": "released"})
    return Number("V"), vary(arrangement("tied-stop-and-turn"), VOLTS), fed, idea("M13", reads_as=added)


def _backwards():
    stop = lambda circuit: operating_point(circuit, {"brake pedal": "held"})
    work = lambda circuit: "they are lit" if min(stop(circuit).light(lamp) for lamp in ("E3", "E4")) > 0.25 else "they are dark"
    return (Choice(("they are lit", "they are dark")), arrangement("tied-stop-and-turn"), work,
            idea("M14", reads_as="they are dark"))


def _fuse_size():
    lamp = changed(_lamp(), *(SetValue(wire, "area", 1.5) for wire in ("W2", "W3", "W4")))
    area = lambda circuit: min(wire.area for wire in circuit.wires)

    def work(circuit):
        holds = operating_point(circuit.with_parts(Fuse("F1", 60)), LIT).current("F1")
        fits = [size for size in FUSES if holds < float(size[:-2]) <= largest_fuse(area(circuit))]
        return fits[-1]
    return (Choice(FUSES), lamp, work, idea("M15", reads_as=FUSES[-1]))


def _mean():
    cart = vary(arrangement("tied-stop-and-turn"), VOLTS | {("K9", "on_share"): (0.4, 0.5, 0.6)})
    turning = TIED | {"brake pedal": "released"}
    work = lambda circuit: _shown(operating_point(circuit, turning), "E1:1", "E1:2")
    return Number("V"), cart, work, idea("M16", reads_as=lambda circuit: circuit.part("K9").on_share * work(circuit))


def _one_strand():
    wires = vary(_lamp(), {("W3", "area"): (0.05, 0.06, 0.075, 0.1), ("W3", "length"): (1.0, 1.5, 2.0)})
    return (Number("V"), wires, lambda circuit: _shown(operating_point(circuit, LIT), "S1:2", "E1:1"),
            idea("M17", reads_as=lambda circuit: 0.001 * circuit.part("W3").resistance))


def _rate_and_width():
    words = ("yes, they must be", "no, that is another thing")

    def work(circuit):
        unit = circuit.part("K9")
        other = changed(circuit, SetValue("K9", "on_share", 1.3 * unit.on_share)).part("K9")
        width = lambda each: each.on_share * 60 / each.rate
        return words[abs(width(unit) - width(other)) > 0.01]
    return Choice(words), arrangement("tied-stop-and-turn"), work, idea("M18", reads_as=words[0])


def _cold_ohms():
    lamps = vary(_lamp(), VOLTS | {("E1", "watts"): (16.0, 21.0, 26.5)})
    cold = lambda circuit: circuit.battery.voltage / circuit.part("E1").branches()[0].device.cold_resistance
    return (Number("A"), lamps, lambda circuit: operating_point(circuit, LIT).current("F1"), idea("M19", reads_as=cold))


_PROBES = dict(zip(IDEAS, (
    _eaten, _constant, _sequential, _local, _empty_socket, _open_switch, _one_wire, _rusty_ground, _two_zeros, _click,
    _at_rest, _both_outputs, _two_feeds, _backwards, _fuse_size, _mean, _one_strand, _rate_and_width, _cold_ohms)))
