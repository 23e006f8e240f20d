"""Why a part, a wire or a terminal is as it is: one plain sentence, for any circuit.

What is said follows from the roles of branches and from ways, never from the kind of a part. The causes in it were
tried: see :mod:`~circuitlab.reasoning.causes`.
"""

from dataclasses import dataclass
from math import inf

from ..ground.quantities import say
from ..parts.branch import Role
from ..solving.metering import LIVE
from .causes import Standing
from .nearly_gone import nearly_gone, nearly_gone_words
from .why_words import apostrophe, as_it_is, by_contacts, closed_words, followers_words, from_live, joined, open_words, volts_words

NOTHING = 1e-3       # A, less than a bench tells of a part or wire
OWN = {Role.COIL: "its coil has", Role.ELECTRONICS: "its electronics have"}


@dataclass(frozen=True)
class Reason:
    """Why something is as it is.

    Attributes
    ----------
    sentence : str
    places : tuple of Place
        The causes.
    does : {"bridged brings volts", "bridged makes it live", "bridged takes volts", "bridged brings current", "bridged shorts", \
"opened takes volts", "opened brings volts", "opened parts it", ""}
        What each of them, or all together, did when they were tried; the volts are those between ``ends``, parting is from the
        pole that volts are counted from. Nothing where a cause is no place. [text]
    ends : tuple of str
        Two terminals, or one for its volts. [text]
    """

    sentence: str
    places: tuple = ()
    does: str = ""
    ends: tuple = ()


def why(point, name):
    """Return why a part, a wire or a terminal is as it is at an operating point, in one sentence.

    Parameters
    ----------
    point : OperatingPoint
    name : str
        Such as ``"K1"``, ``"W5"`` or ``"K1:87"``. [text]

    Raises
    ------
    UnknownName
        For what is not there.

    >>> import circuitlab as cl
    >>> why(cl.operating_point(cl.arrangement("one-fused-lamp")), "E1")
    'E1 is dark: it has 0.0 V, because S1 is open (lamp switch off).'
    """
    return reason(point, name).sentence


def reason(point, name):
    """Return the same with what it rests on, as a :class:`Reason`."""
    circuit = point.arrangement
    is_terminal = isinstance(name, str) and ":" in name
    if is_terminal:
        name = circuit.check_terminal(name)
    else:
        part = circuit.part(name)
    if not point.is_settled:
        return Reason(f"{name}: nothing steady can be said, because {point.sentence}.")
    standing = Standing(point)
    if is_terminal:
        return _terminal(standing, name, name)
    return _part(standing, part)


def _part(standing, part):
    """Return the reason of a part by what its branches are."""
    roles = {branch.role for branch in part.branches()}
    if part.seats:      # what sits in it
        return Reason(" ".join(_part(standing, each).sentence for each in part.seats))
    if part.terminals and part.terminals[0] in standing.net.point_of:      # a wire: its ends are terminals of others
        return _wire(standing, part)
    if part.is_metal:
        told = [_terminal(standing, f"{part.name}:{group[0]}", f"{part.name} {metal}".strip()) for metal, group in part.metals.items()]
        return told[0] if len(told) == 1 else Reason(" ".join(each.sentence for each in told))
    if Role.SOURCE in roles:
        amps = max(abs(standing.point.current(part.name, order)) for order, _ in enumerate(part.branches()))
        return Reason(f"{part.name} gives {say(amps, 'A')}.")
    if part.swings and not part.guards:
        return _flasher(standing, part)
    if part.signals:
        return _follower(standing, part)
    if any(role.takes for role in roles):
        return _load(standing, part, *part.first(*(role for role in Role if role.takes)))
    return _guard(standing, part) if part.guards else _diode(standing, part) if Role.WAY in roles else _switch(standing, part)


# ------------------------------------------------------------------ terminals and wires

def _terminal(standing, terminal, subject):
    """Return why a terminal has the volts it has; what is spoken of may be what hangs together with it."""
    end, point = standing.at(terminal), standing.point
    if end == 0:
        return Reason(f"{subject} is on the battery's {point.arrangement.frame}, from which volts are counted.")
    volts, word = point.meter(terminal), point.liveness(terminal)
    if word == "live":
        return _live(standing, terminal, f"{subject} has {volts_words(volts)}{nearly_gone_words(nearly_gone(point, terminal))}")
    head = (f"{subject} floats" if word == "floating" else f"{subject} has {volts_words(volts)}" if word == "dead" else
            f"{subject} shows a ghost of {volts_words(volts)}, gone under a test lamp")
    if end in standing.grounded:
        places = standing.joining(end)
        if places:
            return _reason(head, [closed_words(places, f"to the battery's {point.arrangement.frame}")], places, "opened parts it", terminal)
        return Reason(f"{head}: it is on the battery's {point.arrangement.frame}.")
    return _missing(standing, head, (end, 0), (terminal,))


def _live(standing, terminal, head):
    end, point = standing.at(terminal), standing.point
    if end not in standing.live:       # through a load: its own way back is open, where it has one
        way = standing.to_zero(end, through_open=True)
        places = [place for place in way[0] if not place.is_closed] if way else []
        if places and standing.across((end, 0), places) < LIVE:
            return _reason(head, [open_words(places)], places, "bridged takes volts", terminal)
    if end in standing.poles:
        return Reason(f"{head}: it is the battery's own pole.")
    places = standing.carrying(end)
    if not places:
        return Reason(f"{head}.")
    return _reason(head, [closed_words(places, from_live(point)), by_contacts(standing, end, places)], places, "opened takes volts", terminal)


def _wire(standing, wire):
    lost = [end for end, joint in ((wire.start, wire.start_joint), (wire.end, wire.end_joint)) if joint == inf]
    if lost:
        return Reason(f"{wire.name} carries nothing: it is off at {' and '.join(lost)}.", (), "")
    amps = abs(standing.point.current(wire.name))
    carries = f"{wire.name} carries {say(amps, 'A')}" if amps >= NOTHING else f"{wire.name} carries nothing"
    end = max((wire.start, wire.end), key=lambda end: (abs(standing.point.volts(end) or 0.0), standing.at(end) in standing.poles))
    return _terminal(standing, end, f"{carries}; it")


# ------------------------------------------------------------------ parts

def _load(standing, part, order, branch):
    """Return why what takes volts has them, or has none."""
    point, held = standing.point, dict(standing.point.arrangement.held)
    ends = tuple(map(part.at, (branch.start, branch.end)))
    volts = abs(point.across(*ends) or 0.0)
    head = f"{as_it_is(point, part)}: {OWN.get(branch.role, 'it has')} {volts_words(volts)}"
    if part.name in held:
        how = "broken" if not branch.conducts(held[part.name]) else f"held {held[part.name]}"
        return Reason(f"{part.name} is {how}, whatever it gets ({volts_words(volts)}).")
    if volts < LIVE:
        high = part.inlet or branch.start
        if point.arrangement.frame == "plus" and not (part.is_polar or branch.is_one_way):
            high = branch.end if high == branch.start else branch.start
        if high != branch.start:
            ends = ends[::-1]
        return _missing(standing, head, tuple(map(standing.at, ends)), ends, part, not (part.is_polar or branch.is_one_way))
    ends = sorted(ends, key=lambda end: -abs(point.volts(end) or 0.0))
    high, low = map(standing.at, ends)
    drop = standing.greatest_drop((high, low), part)
    if drop:
        words = f"{drop[0].part.name} takes {volts_words(drop[1])} of them on the way"
        return _reason(head, [words], drop[:1], "bridged brings volts", *ends)
    places = standing.carrying(high, low, part) if high not in standing.poles else None
    if not places:
        return Reason(f"{head}.")
    told = [closed_words(places, from_live(point)), by_contacts(standing, high, places), followers_words(standing, high)]
    return _reason(head, told, places, "opened takes volts", *ends)


def _missing(standing, head, ends, names, part=None, turned=False):
    """Return why there are no volts between two points, or at one."""
    found, is_ghost = standing.missing(ends, part, turned), len(names) == 1 and standing.across(ends) >= LIVE
    if len(names) == 1 and not is_ghost and (not found or found[1]):
        found = standing.missing(ends, through_loads=True) or found
    if found and found[1]:
        return _reason(head, [open_words(found[0]), "a jumper there would short the battery: find the short first"], found[0],
                       "bridged shorts", *names)
    if found:
        does = "bridged makes it live" if is_ghost else "bridged brings volts"
        return _reason(head, [open_words(found[0]), _no_way_back(standing, names, found[0])], found[0], does, *names)
    if len(names) == 2:
        return _alike(standing, head, ends, names, part)
    way = standing.from_pole(ends[0], through_open=True)
    return Reason(f"{head}{'' if way else f': no wiring leads there from the battery{apostrophe(standing.point)}'}.")


def _no_way_back(standing, names, told):
    """Say what parts a floating terminal from the pole that volts are counted from, where that is another gap than was told."""
    places = standing.parting(standing.at(names[0])) if len(names) == 1 else []
    places = [place for place in places if place not in told]
    return f"towards {standing.point.arrangement.frame} {open_words(places)}" if places else ""


def _alike(standing, head, ends, names, part):
    """Return why a thing has no volts though nothing that could be bridged keeps them from it."""
    live, zero = standing.point.arrangement.live_pole, standing.point.arrangement.frame
    places = standing.bypass(ends, part)
    if places:
        words = f"{joined(place.part.name for place in places)} {'joins' if len(places) == 1 else 'join'} both its ends"
        return _reason(head, [words], places, "opened brings volts", *names)
    for pole, reached in ((live, standing.live), (zero, standing.grounded)):
        if all(end in reached for end in ends):
            return Reason(f"{head}, because both its ends are joined to {pole}.")
    sides = [(name, f"no wiring leads from {name} to {pole}") for name, end, pole, way in
             ((names[0], ends[0], live, standing.from_pole), (names[1], ends[1], zero, standing.to_zero))
             if not way(end, through_open=True, without=part)]
    return Reason(f"{head}, because {sides[0][1]}." if sides else f"{head}.")


def _flasher(standing, part):
    """Return why what swings by itself does, or does not."""
    point, state = standing.point, standing.point.states[part.name]
    if part.name in dict(point.arrangement.held):
        return Reason(f"{part.name} is held {state}, whatever it gets.")
    _, contact = part.first(Role.CONTACT)
    inlet, outlet = f"{part.name}:{part.inlet}", f"{part.name}:{contact.end}"
    supplied = next((each for each in enumerate(part.branches()) if each[1].role is Role.ELECTRONICS
                     and f"{part.name}:{each[1].end}" != outlet), None)
    if state != part.states[0]:
        return _terminal(standing, inlet, f"{part.name} flashes and is {state} just now; {inlet}")
    told = _load(standing, part, *supplied) if supplied else None
    if told and (told.does != "opened takes volts" or abs(point.across(*told.ends) or 0.0) < LIVE):
        return told
    if not supplied and point.liveness(inlet) != "live":
        return _terminal(standing, inlet, f"{part.name} rests; {inlet}")
    remark = part.remark(state, [point.current(part.name, order) for order in part.watched])
    head = f"{part.name} rests: nothing draws current from {outlet}"
    return Reason(f"{remark}.") if remark else _unloaded(standing, head, outlet, part)


def _follower(standing, part):
    """Return why what follows signals does what it does."""
    point, state = standing.point, standing.point.states[part.name]
    if part.name in dict(point.arrangement.held):
        return Reason(f"{part.name} is held {state}, whatever its signals.")
    currents = [point.current(part.name, order) for order in part.watched]
    if part.remark(state, currents):
        return Reason(f"{part.remark(state, currents)}.")
    lacking = part.lacks(currents)
    if lacking is not None:
        supply = part.branches()[lacking]
        ends = tuple(map(part.at, (supply.start, supply.end)))
        head = f"{part.name} is {state}: its electronics have {volts_words(abs(point.across(*ends) or 0.0))}, too little to work"
        return _missing(standing, head, tuple(map(standing.at, ends)), ends, part)
    *others, first = sorted(map(part.at, part.signals), key=lambda end: abs(point.volts(end) or 0.0))
    told = "".join(f"{end} has {volts_words(point.volts(end))}, " for end in others)
    return _terminal(standing, first, f"{part.name} is {state} by its signals: {told}{first}")


def _unloaded(standing, head, outlet, part):
    """Return what is open on the way from a live place through whatever it could feed."""
    way = standing.to_zero(standing.at(outlet), through_open=True, through_loads=True, without=part)
    places = [place for place in way[0] if not place.is_closed] if way else []
    contact = next(place for place in standing.places if place.part is part and place.is_contact)
    if not places or not standing.draws(contact, places):
        return Reason(f"{head}.")
    return _reason(head, [open_words(places)], places, "bridged brings current", outlet)


def _guard(standing, part):
    """Return what there is to say of what ends an overload."""
    point, state = standing.point, standing.point.states[part.name]
    order, contact = part.first(Role.CONTACT)
    if not contact.conducts(state):
        advice = f": more went through it than its {part.rating:g} A. Find out why before it is closed again"
        return Reason(f"{part.name} is {state}{'' if part.name in dict(point.arrangement.held) else advice}.")
    amps = abs(point.current(part.name, order))
    if amps >= NOTHING:
        return Reason(f"{part.name} is {state} and carries {say(amps, 'A')} of the {part.rating:g} A printed on it.")
    ends = sorted(part.ends, key=lambda end: standing.at(end) not in standing.live)
    if standing.at(ends[0]) not in standing.live:
        return _terminal(standing, ends[0], f"{part.name} is {state} and carries nothing; {ends[0]}")
    outlet = next(end for end in ends if end != _fed(standing, part, ends))
    return _unloaded(standing, f"{part.name} is {state} and carries nothing", outlet, part)


def _fed(standing, part, ends):
    """Return the end of a guard that plus comes to without passing it."""
    return next((end for end in ends if standing.from_pole(standing.at(end), without=part)), ends[0])


def _switch(standing, part):
    joined = [branch for branch in part.branches() if branch.conducts(standing.point.states[part.name])]
    how = f"{part.control} is {standing.point.positions.get(part.control, standing.point.states[part.name])}" \
        if hasattr(part, "control") else f"it is {standing.point.states[part.name]}"
    if len(part.branches()) == 1:
        return Reason(f"{part.name} is {'closed' if joined else 'open'}, because {how}.")
    closed = " and ".join(f"{branch.start} to {branch.end}" for branch in joined)
    return Reason(f"{part.name} {f'joins {closed}' if closed else 'joins nothing'}, because {how}.")


def _diode(standing, part):
    point, (order, branch) = standing.point, part.first(Role.WAY)
    amps, ends = point.current(part.name, order), [f"{part.name}:{end}" for end in (branch.start, branch.end)]
    if amps >= NOTHING:
        return Reason(f"{part.name} lets {say(amps, 'A')} pass, from {branch.start} to {branch.end}.")
    volts = [abs(point.volts(end) or 0.0) for end in ends]
    return _terminal(standing, ends[volts[1] > volts[0]], f"{part.name} lets nothing pass; {ends[volts[1] > volts[0]]}")


def _reason(head, words, places, does, *ends):
    return Reason(f"{head}, because {'; '.join(filter(None, words))}.", tuple(places), does, tuple(ends))
