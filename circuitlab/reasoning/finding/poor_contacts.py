"""Poor contacts that leads do not reach, and what all wires of a place share: bolts, clamps, holders of bulbs and fuses, the battery."""

from math import inf

from ...arrangements import AddWire, Lift, SetValue
from ...arrangements.mishaps import unused_name
from ...parts import Connector, Lamp, Role, Wire
from ...parts.connector import PLUG, SOCKET, pins_of
from ..faults.catalogue import used_pins
from .assumptions import CONTACT_GRADES, GRADES, OPEN_SHARE
from .candidate import Candidate, graded, ohms_words

WORN, WORN_SHARE = 0.5, 0.03     # of a bulb's light that a black glass lets out; of the odds of a blown one: the kit's own guess
HOLDER_SHARE = 0.05     # of the odds of a blown bulb, that its holder has poor contacts: the kit's own guess
CLIPS_SHARE = 0.5       # of the odds of a blown fuse, that the clips of its holder are poor: the kit's own guess
FLAT = {0.87: 0.05, 0.7: 0.3, 0.4: 1.0, 0.01: 2.0}      # of its volts, and the ohms inside it then, of a battery that is flat: the kit's own guess


def _behind(arrangement, terminal, grades):
    """Yield the changes that put so many ohms between a terminal and all its wires, where those are then, the grade, and its share of the odds."""
    joined = unused_name(arrangement, "X-" + terminal.replace(":", "-"))
    name = unused_name(arrangement, f"W-{joined}")
    for grade, share in grades:
        path = () if grade == inf else (AddWire(Wire(name, f"{joined}:1", terminal, length=0.001, end_joint=grade)),)
        yield (Lift(terminal), *path), f"{joined}:1", grade, share


def of_bolt(arrangement, terminal):
    """Yield a ground bolt that several wires share, loose in grades."""
    for changes, _, grade, share in _behind(arrangement, terminal, (*graded(GRADES), (inf, OPEN_SHARE))):
        yield Candidate(changes, f"{ohms_words(grade)} under the bolt {terminal}, all its wires", "grounds", (terminal,),
                        f"clean and tighten the bolt {terminal}", grade, share)


def new_bulb(name):
    """Return the repair of a lamp that gives no light: whoever puts a bulb in sees what its holder is like. [text]"""
    return f"put a new bulb into {name}, the contacts of its holder clean"


def of_holder(arrangement, part):
    """Yield a bulb black with age, and poor contacts between a bulb and its holder, in grades: leads reach the holder's terminals, not the bulb."""
    if not isinstance(part, Lamp) or not getattr(part, "bulb", ""):
        return
    yield Candidate((), f"bulb of {part.name} black with age, {WORN:.0%} of its light".replace("%", " %"), "bulbs", (part.name,),
                    new_bulb(part.seat or part.name), share=WORN_SHARE, light=((part.name, WORN),))
    end = part.at("1")
    if arrangement.wires_at[end]:
        for changes, place, grade, share in _behind(arrangement, end, graded(CONTACT_GRADES, HOLDER_SHARE)):
            yield Candidate(changes, f"{ohms_words(grade)} between {part.name} and its holder", "bulbs", (part.name,),
                            f"clean the holder of {part.name} and the contacts of its bulb", grade, share, behind=((end, place),))


def of_shell(arrangement, part):
    """Yield poor contacts between the shell of a holder for two filaments and the cap of its bulb, in grades to open: leads reach the shell, not the bulb."""
    if not part.seats or not all(isinstance(each, Lamp) for each in part.seats):
        return
    for terminal in part.needs:
        end = part.at(terminal)
        if arrangement.wires_at[end]:
            for changes, place, grade, share in _behind(arrangement, end, (*graded(CONTACT_GRADES, HOLDER_SHARE), (inf, HOLDER_SHARE * OPEN_SHARE))):
                yield Candidate(changes, f"{ohms_words(grade)} between the cap of {part.name} and the shell of its holder", "bulbs", (part.name,),
                                f"clean the shell of {part.name}'s holder and the cap of its bulb", grade, share, behind=((end, place),))


def of_clips(arrangement, part):
    """Yield the clips of a fuse's holder, spread or corroded, in grades: leads reach the holder, not the fuse."""
    end = part.ends[-1] if part.guards else ""
    if part.guards and any(branch.mated for branch in part.branches()) and arrangement.wires_at[end]:
        for changes, place, grade, share in _behind(arrangement, end, (*graded(CONTACT_GRADES, CLIPS_SHARE / 2), (inf, CLIPS_SHARE / 2))):
            yield Candidate(changes, f"{ohms_words(grade)} between {part.name} and the clips of its holder", "fuses", (part.name,),
                            f"clean and tighten the clips of {part.name}, or put a new holder in", grade, share, behind=((end, place),))


def of_pins(arrangement, part):
    """Yield the pins of a connector, corroded, bent or pushed back, in grades to open; the ground's among the grounds."""
    if not isinstance(part, Connector):
        return
    functions = {row["pin"]: row["function"] for row in pins_of(part.type)}
    for pin in used_pins(arrangement, part):
        sort = "grounds" if functions[pin].startswith("ground") else "joints"
        for grade, share in (*graded(GRADES), (inf, OPEN_SHARE)):
            yield Candidate((SetValue(part.name, "pins", part.with_pins(grade, pin)),), f"{ohms_words(grade)} at pin {pin} of {part.name}", sort,
                            (f"{part.name}:{pin}{SOCKET}", f"{part.name}:{pin}{PLUG}"), f"clean pin {pin} of {part.name}, or put it right, on both halves", grade, share)


def of_battery(arrangement, part):
    """Yield a battery that is flat, more and less so, and clamps that several wires share, loose in grades."""
    if not part.first(Role.SOURCE):
        return
    for share, ohms in FLAT.items():
        volts = round(share * part.voltage, 1)
        yield Candidate((SetValue(part.name, "voltage", volts), SetValue(part.name, "internal_resistance", ohms)), f"{part.name} flat, {volts:g} V", "battery",
                        (part.name,), f"charge {part.name} and test it")
    for end in part.terminals:
        clamp = f"{part.name}:{end}"
        if len(arrangement.wires_at[clamp]) > 1:
            for changes, _, grade, weight in _behind(arrangement, clamp, (*graded(GRADES), (inf, OPEN_SHARE))):
                yield Candidate(changes, f"{ohms_words(grade)} under the clamp {clamp}, all its wires", "battery", (clamp,),
                                f"clean and tighten the clamp {clamp}", grade, weight)
