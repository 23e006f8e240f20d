"""Every single thing that may be at fault, graded, each with the repair it asks for.

Both joints of a wire and its copper are one place: no volts at its terminals tell them apart, and whoever mends it looks at all
three. So a bad joint is tried in grades from 0.1 ohm to open, once for each wire.
"""

from collections import Counter
from dataclasses import dataclass, fields, replace
from itertools import combinations, groupby
from math import inf

from ...arrangements import LoseJoint, ReplacePart, SetValue, Short, SwapTerminals
from ...arrangements.complaints import WITH_TRAILER
from ...arrangements.pairs import mirrored, stands_on_trailer
from ...ground.errors import CircuitLabError
from ...parts import Chassis, Connector, Lamp, Relay, Role, Wire
from ...parts.relay import OUTPUTS
from ..faults import single_faults
from .assumptions import CONTACT_GRADES, GRADES, NOT_KNOWN, OPEN_SHARE, SAID, TRAILER
from .candidate import Candidate, graded, ohms_words
from .poor_contacts import new_bulb, of_battery, of_bolt, of_clips, of_holder, of_pins, of_shell

SORT_OF = {     # of the catalogue's kinds; those of a wire's joints and a fuse's clips are graded here instead
    "blown lamp": "bulbs", "blown fuse": "fuses", "missing fuse": "fuses", "short to chassis": "touching", "stuck switch": "switches", "dead flasher": "flashers",
    "stuck flasher": "flashers", "dead load": "loads", "87 and 87a swapped": "fitted wrong", "wrong relay type": "fitted wrong",
    "welded relay": "relays", "stuck relay": "relays", "dead coil": "relays", "short between neighbours": "touching",
    "dead converter": "converters", "dead channel": "converters", "stuck channel": "converters", "wrong converter": "fitted wrong",
    "plug parted": "joints", "plug half in": "joints", "water in a plug": "touching",
    "wrong bulb": "fitted wrong", "bulb turned round": "fitted wrong", "filaments touching": "bulbs"}
MISSING_SHARE = 0.12     # of the odds of a blown fuse, that none sits there: the kit's own guess
SLOWED, SLOW_SHARE = 0.5, 0.3    # of its rate, that of a flasher slow of itself; of the odds of a dead one: the kit's own guess
WEAK_BULBS, STRONG_BULB = ("R5W", "R10W"), "P21W"     # fitted in each other's place; both have one filament
STRONG = 15.0       # W, from which a bulb is one of the strong ones
NEVER = "never"     # the state in which a dead contact closes: it has none such
FUSE_LAST = "only after a look with the battery off, ohms from behind it to the frame, has found no short; then see that it stays whole"
_REPAIRS = {"plug parted": "put the plug of {} in until it locks", "plug half in": "put the plug of {} in until it locks",
            "water in a plug": "dry {}, and see where the water came in", "87 and 87a swapped": "change the wires on {0}:87 and {0}:87a over",
            "bulb turned round": "turn the bulb of {} round, and see to its holder", "wrong bulb": "fit the right bulb in {}",
            "wrong converter": "fit a converter with exclusive or as {}", "missing fuse": f"put a fuse into {{}}, {FUSE_LAST}"}
_FIELDS = ("contact_resistance", "resistance")        # in which a part has the ohms of its contacts


def candidates_of(arrangement):
    """Return every candidate of an arrangement, those of one place beside each other, grades rising.

    >>> import circuitlab as cl
    >>> found = candidates_of(cl.arrangement("one-fused-lamp"))
    >>> found[0].words, len(found) > 40
    ('0.1 ohm between G1:+ and F1:1 (W1)', True)
    """
    studs = {f"{part.name}:{end}" for part in arrangement.of_kind(Chassis) for end in part.terminals}
    found = [each for wire in arrangement.wires if not wire.is_touch for each in _of_wire(wire, studs)]
    for terminal in studs:
        if len(arrangement.wires_at[terminal]) > 1:
            found += of_bolt(arrangement, terminal)
    found += [_from_catalogue(arrangement, fault) for fault in single_faults(arrangement, SORT_OF)]
    for part in arrangement.parts:
        found += [*of_clips(arrangement, part), *of_battery(arrangement, part), *of_pins(arrangement, part), *_of_contact(part), *_of_dead_contact(arrangement, part), *_of_bulb(part), *of_holder(arrangement, part), *of_shell(arrangement, part), *_of_clock(part)]
    return _possible(arrangement, [*found, *_crossed(arrangement), *_of_not_known(arrangement)])


def prior(arrangement, candidates, column, said=()):
    """Return the odds of each candidate before anything is read, not yet summing up to 1. [1]

    Parameters
    ----------
    arrangement : Arrangement
    candidates : sequence of Candidate
    column : dict
        From :func:`~.assumptions.odds_column`.
    said : iterable of str
        Lines of ``SAID`` that somebody said. [text]
    """
    places = {}
    for each in candidates:
        places.setdefault((each.sort, each.place), []).append(each)
    number = Counter(sort for sort, _ in places)
    shares = {place: sum(one.share for one in there if one.share <= 1.0) or 1.0 for place, there in places.items()}
    odds, there = [], _with_trailer(arrangement) if WITH_TRAILER in said else set()
    for each in candidates:
        rate, is_each = column[each.sort]
        together = shares[each.sort, each.place]
        weight = (rate if is_each else rate / number[each.sort]) * each.share / together
        for words in said:
            weight *= SAID[words].get(each.sort, 1.0)
            weight *= TRAILER if words == WITH_TRAILER and there & {name.partition(":")[0] for name in each.place} else 1.0
        odds.append(weight)
    return odds


def _with_trailer(arrangement):
    """Return the names of all that is there only with a trailer: what sits on it, and connectors with a wire to that. [text]"""
    there = {part.name for part in arrangement.parts if stands_on_trailer(part)}
    joined = [{end.partition(":")[0] for end in wire.terminals} for wire in arrangement.wires]
    return there | {part.name for part in arrangement.of_kind(Connector) if any(part.name in ends and ends & there for ends in joined)}


def _of_wire(wire, studs):
    ends, sort = wire.terminals, "grounds" if studs & {*wire.terminals} else "joints"
    repair = f"mend {wire.name}, from {ends[0]} to {ends[1]}, with both its joints"
    for grade, share in (*graded(GRADES), (inf, OPEN_SHARE)):
        change = LoseJoint(wire.name, wire.end) if grade == inf else LoseJoint(wire.name, wire.end, grade)
        yield Candidate((change,), f"{ohms_words(grade)} between {ends[0]} and {ends[1]} ({wire.name})", sort, ends, repair, grade, share)


def _from_catalogue(arrangement, fault):
    sort, part = SORT_OF[fault.kind], fault.place.partition(":")[0]
    ends = tuple(dict.fromkeys(end for pair in fault.touching for end in sorted(pair)))
    if fault.kind == "short to chassis":
        return _chafed(arrangement.part(fault.words.partition(" ")[0]), fault, sort)
    whole = arrangement.part(part).seat or part
    repair = {"bulbs": new_bulb(whole), "fuses": f"put a new {part} in, {FUSE_LAST}",
              "touching": f"part {' from '.join(ends)} and make good what is bare",
              "fitted wrong": f"put right what is plugged in as {part}"}.get(sort, f"put a new {whole} in")
    repair = _REPAIRS[fault.kind].format(part) if fault.kind in _REPAIRS else new_converter(arrangement, whole) if sort == "converters" else repair
    return Candidate(fault.changes, fault.words, sort, ends or (part,), repair, share=MISSING_SHARE if fault.kind == "missing fuse" else 1.0)


def new_converter(arrangement, name):
    """Return the repair of a converter that has failed: what killed it may be there still, and the new one dies of it as well. [text]"""
    outs = [end for end in arrangement.part(name).outs if arrangement.wires_at[f"{name}:{end}"]]
    told = " and ".join(filter(None, (", ".join(outs[:-1]), *outs[-1:]))) or "its outputs"
    return f"put a new {name} in, only after ohms from {told} to the trailer's ground, plug in and lamps out, have found no short"


def _chafed(wire, fault, sort):
    """Return a wire that touches the frame: it may do so anywhere along it."""
    along = f"somewhere from {wire.start} to {wire.end}"
    words = f"{fault.words.removesuffix(f' at {fault.place}')}, {along}"
    repair = f"free {wire.name} from the frame, {along}, and make good what is bare"
    return Candidate(fault.changes, words, sort, wire.terminals, repair, chafed=(wire.name, wire.end, wire.start))


def _of_contact(part):
    """Yield contacts of a part that have burnt, in grades; what melts has none to set."""
    is_contact = any(branch.role is Role.CONTACT and not branch.mated for branch in part.branches())
    field = next((name for name in _FIELDS if hasattr(part, name)), "")
    if is_contact and field:
        sort = "relays" if part.first(Role.COIL) else "switches"
        for grade, share in graded(CONTACT_GRADES, 1.0):
            yield Candidate((SetValue(part.name, field, grade),), f"contacts of {part.name} burnt, {ohms_words(grade)}", sort, (part.name,),
                            f"put a new {part.name} in", grade, share)


@dataclass(frozen=True)
class OneContactDead(Relay):
    """A relay with one contact that never closes; its coil and the other contact are good."""

    dead: str = ""

    def branches(self):
        return tuple(replace(each, closed_in=frozenset({NEVER})) if each.end == self.dead else each for each in super().branches())


def _of_dead_contact(arrangement, part):
    """Yield for each output of a relay that a wire is on that its contact does not make."""
    if isinstance(part, Relay):
        for end in OUTPUTS[part.contact]:
            if arrangement.wires_at[f"{part.name}:{end}"]:
                dead = OneContactDead(**{each.name: getattr(part, each.name) for each in fields(part) if each.init}, dead=end)
                yield Candidate((ReplacePart(dead),), f"contact {end} of {part.name} does not make", "relays", (part.name,), f"put a new {part.name} in")


def _of_bulb(part):
    """Yield a bulb of other watts in a lamp that has one by name."""
    if isinstance(part, Lamp) and getattr(part, "bulb", ""):
        for bulb in WEAK_BULBS if part.watts >= STRONG else (STRONG_BULB,):
            if bulb != part.bulb:
                yield Candidate((SetValue(part.name, "bulb", bulb),), f"{bulb} in {part.name} in the place of {part.bulb}", "fitted wrong",
                                (part.name,), f"put a {part.bulb} into {part.name}")


def _of_clock(part):
    """Yield a flasher that keeps time too slowly of itself, aged or of another rate."""
    if part.swings:
        rate = round(SLOWED * part.rate)
        yield Candidate((SetValue(part.name, "rate", float(rate)),), f"{part.name} slow of itself, {rate} flashes a minute", "flashers", (part.name,),
                        f"put a new {part.name} in", share=SLOW_SHARE)


def _crossed(arrangement):
    """Yield two wires on each other's terminal: of a left and a right lamp, of neighbours of a switch, of a plug's pins and a box's leads."""
    pairs = [(one.at("1"), other.at("1")) for one, other in mirrored(arrangement)]
    for part in arrangement.parts:
        for group in part.mistaken:
            pairs += combinations([f"{part.name}:{end}" for end in group if arrangement.wires_at[f"{part.name}:{end}"]], 2)
        if getattr(part, "control", ""):
            ends = [f"{part.name}:{end}" for end in part.terminals if arrangement.wires_at[f"{part.name}:{end}"]]
            pairs += zip(ends, ends[1:])
    for one, other in pairs:
        yield Candidate((SwapTerminals(one, other),), f"wires on {one} and {other} crossed", "fitted wrong", (one, other),
                        f"change the wires on {one} and {other} over")


def _of_not_known(arrangement):
    """Yield for each wire and part that nobody has looked at that it lets nothing through: the fault is somewhere in it."""
    for name in arrangement.not_known:
        part = arrangement.part(name)
        ends = part.terminals if isinstance(part, Wire) else tuple(f"{name}:{end}" for end in part.terminals)
        lost = tuple(LoseJoint(wire, end) for end in ends for wire in ((name,) if isinstance(part, Wire) else arrangement.wires_at[end]))
        place = ends if len(ends) == 2 else (name,)
        yield Candidate(lost[:1] if isinstance(part, Wire) else lost, f"somewhere in {name}, which nobody has looked at", "joints", place,
                        f"look at {name}, as nobody has", share=NOT_KNOWN)


def _possible(arrangement, candidates):
    """Return those that can be made, those of one place beside each other."""
    found = []
    for each in candidates:
        try:
            if each.grade is None:          # a joint of a wire that is there can always be bad
                each.apply(arrangement)
        except CircuitLabError:         # such as a bulb that does not go with the lamp's light
            continue
        found.append(each)
    order = {place: number for number, place in enumerate(dict.fromkeys((each.sort, each.place, each.repair) for each in found))}
    found.sort(key=lambda each: (order[each.sort, each.place, each.repair], -1.0 if each.grade is None else each.grade))
    return tuple(found)


def is_touching(candidate):
    """Tell whether a candidate joins what shall be apart. [yes/no]"""
    return any(isinstance(change, Short) for change in candidate.changes)


def neighbours(candidates):
    """Return for each candidate the numbers of the next lighter and next heavier grade of the same place, or its own. [1]"""
    lighter, heavier = list(range(len(candidates))), list(range(len(candidates)))
    numbered = enumerate(candidates)
    for _, group in groupby(numbered, key=lambda each: (each[1].sort, each[1].place, each[1].repair, each[1].grade is None)):
        group = [number for number, each in group if each.grade is not None]
        for one, other in zip(group, group[1:]):
            heavier[one], lighter[other] = other, one
    return lighter, heavier
