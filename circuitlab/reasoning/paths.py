"""Paths: how current reached a lamp, or where it was stopped.

A path that reached follows the solved currents from the lamp back to a
battery's plus and on to its minus, along the strongest at every fork. A path
that missed is the way with the fewest open places between battery and lamp,
and says which places those are.
"""

from dataclasses import dataclass, replace

from ..ground.joined import walked, way_to
from ..ground.showing import Showing
from ..parts import Battery, Flasher, Role
from ..solving.network import network

LEAST = 1e-4      # A, below which nothing is followed: the glow of no lamp
LOAD = 1e6        # how much longer a load in the way makes a way that missed; and an open place, by what it is:
BLOCKING, BY_HAND, BY_ITSELF = 1e5, 2e4, 1e4     # a diode, a contact that a hand moves, one that moves by itself
DEFECT = 1e3      # a blown fuse or a lost joint is the likelier reason


@dataclass(frozen=True)
class Step:
    """One stretch of a path, in the direction of the current.

    Attributes
    ----------
    name : str
        Part or wire. [text]
    start, end : str
        Its terminals, in the direction of the current. [text]
    amps : float
        Through it; 0 in a path that missed. [A]
    is_open : bool
        Whether no current can pass here now.
    is_backwards : bool
        Whether current passes against the way it is meant to: in at a lamp's 2, a coil's 85 or a flasher's 49a; with plus
        on the frame in at a lamp's 1 instead.
    """

    name: str
    start: str
    end: str
    amps: float = 0.0
    is_open: bool = False
    is_backwards: bool = False

    @property
    def is_wire(self):
        """Whether it is along a wire, whose ends are terminals of others. [yes/no]"""
        own = {end.partition(":")[0] for end in (self.start, self.end)}
        return self.name not in own and not (len(own) == 1 and self.name.startswith(f"{own.pop()}."))      # what sits in a part lies between two of its terminals

    @property
    def pins(self):
        """The terminals without the part's name. [text]"""
        return self.start.partition(":")[2], self.end.partition(":")[2]


@dataclass(frozen=True, repr=False)
class Path(Showing):
    """A way from a battery's plus through a lamp to a battery's minus.

    Attributes
    ----------
    lamp : str
    reached : bool
        Whether it carries current now.
    steps : tuple of Step
        From plus to minus.
    through : tuple of str
        Other lamps, coils, flashers' electronics and resistors that the current passes on its way. [text]
    sentence : str
    """

    lamp: str
    reached: bool
    steps: tuple
    through: tuple
    sentence: str

    @property
    def names(self):
        """Parts and wires in order. [text]"""
        return tuple(dict.fromkeys(step.name for step in self.steps))

    @property
    def terminals(self):
        """Terminals in order. [text]"""
        return tuple(dict.fromkeys(end for step in self.steps for end in (step.start, step.end)))

    @property
    def open_places(self):
        """Steps that stop the current."""
        return tuple(step for step in self.steps if step.is_open)

    @property
    def is_backwards(self):
        """Whether current comes through another load, or against the way it is meant to."""
        return self.reached and (bool(self.through) or any(step.is_backwards for step in self.steps))

    @property
    def brief(self):
        """In one sentence. [text]"""
        return self.sentence


def path_to(point, lamp):
    """Return how current reaches a lamp at an operating point, or where it is stopped when there is none.

    Parameters
    ----------
    point : OperatingPoint
        Settled.
    lamp : str
        Its name. [text]

    Returns
    -------
    Path
    """
    amps = [point.current(lamp, order) for order, _ in enumerate(point.arrangement.part(lamp).branches())]
    strongest = max(range(len(amps)), key=lambda order: abs(amps[order]))
    if abs(amps[strongest]) < LEAST:
        return missing_path(point, lamp)
    return _reached(point, lamp, strongest)


def missing_path(point, lamp, by_flasher=None):
    """Return the way that current should take to a lamp, and the places where it is stopped.

    Parameters
    ----------
    point : OperatingPoint
        Settled.
    lamp : str
        Its name. [text]
    by_flasher : bool, optional
        Look at the way through the flasher, or only at ways around it; at any unless given. [yes/no]

    Returns
    -------
    Path
        The way with the fewest open places.
    """
    arrangement, (zero, live) = point.arrangement, point.arrangement.poles
    said = f"{_named(arrangement, lamp)} misses its current: "
    ends = [arrangement.part(lamp).at(terminal) for terminal in ("12" if _feeds_first(arrangement.part(lamp), arrangement.frame) else "21")]
    legs, steps = [((live, ends[0]), lamp), ((ends[1], zero), None)], []
    flashers = arrangement.of_kind(Flasher)
    if by_flasher and flashers:
        name = flashers[0].name
        pins = ("49", "49a") if _feeds_first(flashers[0], arrangement.frame) else ("49a", "49")
        inlet, outlet = (f"{name}:{pin}" for pin in pins)
        legs[:1] = [((live, inlet), name), ((outlet, ends[0]), lamp)]
    barred = {lamp, *(each.name for each in arrangement.of_kind(Battery))}
    barred |= {flasher.name for flasher in flashers} if by_flasher is not None else set()
    for (source, target), then in legs:
        way = _shortest(point, source, target, barred)
        if way is None:
            return Path(lamp, False, _with_metal(steps), (), f"{said}no wiring leads from {source} to {target}")
        others = list(dict.fromkeys(step.name for step in way if _uses_up(arrangement, step))) if source == live else []
        if others:
            return Path(lamp, False, _with_metal(steps), (), f"{said}no wiring leads from {source} to {target}, save back through {' and '.join(others)}")
        steps += way + ([_across(point, then)] if then else [])
    path = Path(lamp, False, _with_metal(steps), (), "")
    places = [_open_words(point, step) for step in path.open_places]
    why = "stopped at " + " and at ".join(places) if places else "nothing is open on the way, but too little comes through"
    return replace(path, sentence=f"{said}{why}, on the way {way_words(path.steps)}")


def _uses_up(arrangement, step):
    """Tell whether volts are used up between the two ends of a step: a lamp, a coil, electronics. [yes/no]"""
    part = arrangement.part(step.name)
    between = [branch.role.takes for branch in part.branches() if {part.at(branch.start), part.at(branch.end)} == {step.start, step.end}]
    return bool(between) and all(between)


# ------------------------------------------------------------------ following currents

def _ways(point):
    """Return every branch as (name, order, start, end, amps, conducts), terminals with their part's name."""
    arrangement, ways = point.arrangement, []
    for part in arrangement.parts + arrangement.wires:
        for order, branch in enumerate(part.branches()):
            start, end = map(part.at, (branch.start, branch.end))
            whole = branch.conducts(point.states[part.name]) and branch.role is not Role.ELECTRONICS
            ways.append((part.name, order, start, end, point.current(part.name, order), whole))
    return ways


def _reached(point, lamp, order):
    arrangement = point.arrangement
    flows = {(name, branch): Step(name, *((start, end) if amps > 0 else (end, start)), abs(amps))
             for name, branch, start, end, amps, _ in _ways(point) if abs(amps) >= LEAST / 10}
    here = flows[lamp, order]
    steps = _with_metal([*_followed(point, flows.values(), here.start, "end", "start")[::-1], here,
                         *_followed(point, flows.values(), here.end, "start", "end")])
    steps = tuple(replace(step, is_backwards=_is_backwards(arrangement.part(step.name), step.pins, arrangement.frame))
                  for step in steps)
    through = tuple(dict.fromkeys(step.name for step in steps if step.name != lamp
                                  and arrangement.part(step.name).is_load(*step.pins)))
    return Path(lamp, True, steps, through, _reached_words(point, lamp, steps, through))


def _followed(point, flows, terminal, near, far):
    """Return the strongest flows one after another from a terminal to a battery, each joined on by its near end."""
    place, found, seen = network(point.arrangement).point_of, [], set()
    while place[terminal] not in seen:
        seen.add(place[terminal])
        flow = max((flow for flow in flows if place[getattr(flow, near)] == place[terminal]), key=lambda flow: flow.amps,
                   default=None)
        if flow is None or isinstance(point.arrangement.part(flow.name), Battery):
            break
        found.append(flow)
        terminal = getattr(flow, far)
    return found


def _with_metal(steps):
    """Put in splices between steps, and join steps from stud to body or bar to stud."""
    whole = []
    for step in steps:
        last = whole[-1] if whole else step
        if whole and last.end != step.start:
            last = Step(last.end.partition(":")[0], last.end, step.start, step.amps)
            whole.append(last)
        if whole and last.name == step.name and (step.start.endswith(":body") or ":bar " in step.start):
            whole[-1] = replace(step, start=last.start)
        else:
            whole.append(step)
    return tuple(whole)


def _is_backwards(part, pins, frame):
    """Tell whether current between two pins of a part runs against the way it is meant to.

    With plus on the frame it is meant the other way where the part does not mind; a plain coil then takes it either way.
    """
    if frame == "minus" or part.is_polar:
        return part.inlet == pins[1]
    return part.inlet == pins[0] and not part.first(Role.COIL)


# ------------------------------------------------------------------ where it was stopped

def opening(part, branch):
    """Return how much longer an open branch makes a way: by what it is. [1]"""
    if branch.is_one_way and branch.role.passes:
        return BLOCKING
    if branch.mated or not part.moves and branch.role is not Role.CONTACT:
        return DEFECT
    return BY_ITSELF if part.moves else BY_HAND


def _feeds_first(part, frame):
    """Tell whether a part's inlet is on the live side: where polarity counts, only while that is plus."""
    return frame == "minus" or not part.is_polar


def _across(point, name):
    """Return the step through a lamp or a flasher's contact."""
    part = point.arrangement.part(name)
    _, branch = part.first(Role.LOAD, Role.CONTACT)
    return Step(name, part.at(branch.start), part.at(branch.end), is_open=not branch.conducts(point.states[name]))


def _shortest(point, source, target, barred):
    """Return the way with the fewest open places, loads and wires between two terminals, as steps, or None."""
    arrangement, place, near = point.arrangement, network(point.arrangement).point_of, {}
    for name, order, start, end, _, whole in _ways(point):
        if name in barred:
            continue
        part = arrangement.part(name)
        branch = part.branches()[order]
        blocked = whole and not (branch.is_one_way and branch.role.passes)
        onward, back = (blocked, whole) if arrangement.frame == "plus" else (whole, blocked)   # from the live pole on
        for one, two, passes in ((start, end, onward), (end, start, back)):
            cost = 1 + (0 if passes else opening(part, branch)) + (0 if branch.role.passes else LOAD)
            near.setdefault(place[one], []).append((cost, place[two], Step(name, one, two, is_open=not passes)))
    found = walked([place[source]], near, {place[target]})
    return way_to(place[target], found) if place[target] in found else None


# ------------------------------------------------------------------ in words

def _named(arrangement, name):
    place = getattr(arrangement.part(name), "place", "")
    return f"{name} ({place})" if place else name


def _reached_words(point, lamp, steps, through):
    way = way_words(steps)
    volts = abs(point.lamp_volts(lamp))
    said = f"{_named(point.arrangement, lamp)} gets {volts:.1f} V by {way}"
    if through:
        said += f"; the current passes {' and '.join(_named(point.arrangement, name) for name in through)} on its way"
    back = [step.name for step in steps if step.is_backwards and step.name not in through]
    return said + (f"; backwards through {' and '.join(dict.fromkeys(back))}" if back else "")


def _open_words(point, step):
    part, state = point.arrangement.part(step.name), point.states[step.name]
    if step.is_wire:
        return f"{step.name} ({step.start} to {step.end}), a joint is lost"
    why = (f"open while {part.control} is {state}" if hasattr(part, "control") else
           f"{step.name} being {state}" if len(part.states) > 1 else f"{step.name} blocking")
    return f"{step.start} to {step.pins[1]}, {why}"


def way_words(steps):
    """Return a path as one line: parts with the terminals passed, wires by name."""
    said = [steps[0].start] if steps else []
    for step in steps:
        way = "" if step.is_wire else f":{'-'.join(step.pins)}"
        said.append(f"{step.name}{way}{' (open)' if step.is_open else ''}")
    return " ".join(said + [steps[-1].end] if steps else said)
