"""The search for a settled state: everything at rest, for given control positions and flasher phases.

Contacts and filaments depend on each other: coils decide where contacts
stand, contacts decide what coils get. The settled answer is found by letting
every part react to the present volts until none wants to move any more.

If the same states come round again there may be no settled answer. Reacting
all at once can go in circles where real relays would not, so before saying
"buzzing" the states are searched again with one part moving at a time: a
state nobody wants to leave is stable; if none can be reached, it buzzes; if
several can, chance decides which, and that is the verdict here. Where time
would tell more, :mod:`operating` asks it.
"""

from ..arrangements import Arrangement
from ..ground.errors import ArrangementError, PartError, listed, unknown_name
from .buzzing import restless_words
from .network import network
from .point import OperatingPoint

SEARCH = 4096     # states looked at before giving up the search for a stable one
LATELY = 16       # solved states kept with a network: those of the phases of a row


def untimed_point(arrangement, positions=None, phases="on", operated=(), ask=None):
    """Return the operating point with ``several stable`` wherever several states can be reached, timing left out.

    Parameters and errors are those of :func:`~circuitlab.solving.operating_point`, which hands itself on as ``ask``.
    """
    net = network(checked_arrangement(arrangement))
    where = arrangement.positions(positions or {})
    phase_of = _phases(net, phases)
    states = net.first_states(where)
    aims = list(states)
    for name in operated:
        if "operated" not in arrangement.part(name).states:
            raise unknown_name(f"{arrangement.part(name).kind} '{name}'", "state", "operated", arrangement.part(name).states)
        if net.place[name] not in net.held:
            states[net.place[name]] = aims[net.place[name]] = "operated"
    search = _Search(net, phase_of)
    states, verdict, sentence, answer = search.settle(states, aims)
    phases = {net.parts[index].name: phase for index, phase in phase_of.items()}

    def point(states, verdict, sentence, answer, turns=()):
        contacts, volts, temperatures = answer if answer else (None, (), ())
        return OperatingPoint(arrangement, where, phases, {part.name: state for part, state in zip(net.parts, states)},
                              verdict, sentence, contacts, tuple(volts), temperatures, turns=turns, movers=search.movers, ask=ask)

    return point(states, verdict, sentence, answer, tuple(point(turn, "settled", "one turn of what buzzes", search.solve(turn))
                                                          for turn in search.turns))


def checked_arrangement(arrangement):
    """Return the arrangement, or raise ArrangementError for anything else."""
    if not isinstance(arrangement, Arrangement):
        raise ArrangementError(f"{arrangement!r} is not an arrangement. Open one with arrangement('NAME') first.",
                               got=arrangement)
    return arrangement


def _phases(net, phases):
    swinging = {index: part for index, part in enumerate(net.parts) if part.swings}
    names = {part.name: index for index, part in swinging.items()}
    if not isinstance(phases, (str, dict)):
        raise PartError(f"phases must be 'on' or 'off', or say so for each flasher by name, got {phases!r}.", got=phases)
    for name in () if isinstance(phases, str) else phases:
        if name not in names:
            raise unknown_name("the arrangement", "flasher", name, names)
    asked = {name: phases for name in names or ["none"]} if isinstance(phases, str) else phases
    for name, phase in asked.items():
        if phase not in ("on", "off"):
            raise unknown_name(f"flasher '{name}'", "phase", phase, ("on", "off"))
    return {index: asked.get(name, "on") for name, index in names.items()}


class _Search:
    """The walk through the states of the parts to where nothing wants to move."""

    def __init__(self, net, phases):
        self.net, self.phases, self.solved, self.turns, self.movers = net, phases, net.lately, (), ()
        if len(net.lately) > LATELY:
            net.lately = self.solved = {}
        self.blows = self.looks_round = True     # whether fuses blow, and whether those count that blow in the other phase

    def in_phase(self, phase):
        """Return a search of the same circuit with every flasher in one phase, in which only what blows there blows."""
        other = _Search(self.net, self.phases | {index: phase for index, part, _ in self.net.moving if is_flasher(part)})
        other.looks_round = False
        return other

    def solve(self, states):
        key = tuple(states)
        if key not in self.solved:
            contacts = self.net.reduced(states)
            self.solved[key] = (contacts, *contacts.settled())
        return self.solved[key]

    def reactions(self, states, aims):
        """Return what each part would do now: a list of (index, aim, state)."""
        contacts, volts, temperatures = self.solve(states)
        wishes = []
        for index, part, watched in self.net.moving:
            currents = [contacts.current(number, volts, temperatures) for number in watched]
            aim = part.aim(states[index], aims[index], currents)
            state = part.rest(aim, self.phases.get(index))
            if (aim, state) != (aims[index], states[index]):
                wishes.append((index, aim, state))
        return wishes

    def settle(self, states, aims):
        """Return ``(states, verdict, sentence, solution)``; no solution unless settled."""
        seen, start, swung = {}, (tuple(states), tuple(aims)), False
        while True:
            wishes = self.reactions(states, aims)
            if not wishes:
                swung = swung or bool(self.swinging(states))
                gone = self.giving_way(states, aims) or (self.gone_elsewhere(start, states) if swung else ())
                if not gone:
                    return self.final(states, aims)
                for index in gone:
                    states[index] = aims[index] = self.net.parts[index].states[-1]
                seen.clear()
                continue
            key = (tuple(states), tuple(aims))
            if key in seen:
                round_ = dict.fromkeys(states_ for states_, _ in list(seen)[seen[key]:])
                return self.one_at_a_time(states, aims, tuple(round_))
            seen[key] = len(seen)
            for index, aim, state in wishes:
                aims[index], states[index] = aim, state

    def swinging(self, states):
        """Return the flashers that run, whichever phase they are in."""
        return [part for index, part, _ in self.net.moving if is_flasher(part) and states[index] in ("on", "off")]

    def giving_way(self, states, aims):
        """Return the latching part furthest beyond its limit, over the whole period where something swings; or nothing."""
        if not self.blows:
            return ()
        strains = [(strain, index) for index, part, watched in self.net.latching
                   if states[index] == part.states[0] and (strain := part.strain(self.watched(states, watched))) > 1]
        swinging = self.swinging(states)
        is_on = any(states[self.net.place[part.name]] == "on" for part in swinging)
        strain, index = max(strains, default=(0.0, None))
        if strains and swinging and strain * share_in_turns(self.net.parts[index], swinging, is_on) <= 1:
            strain, index = max(self.over_a_period(states, aims, strains, swinging, is_on))
        return (index,) if strain > 1 else ()

    def gone_elsewhere(self, start, states):
        """Return what is still whole here and blows with all flashers on, or all off: what is gone stays gone. [1]"""
        if not (self.blows and self.looks_round and self.net.latching):
            return ()
        ends = [other.settle(*map(list, start))[0] for phase in ("on", "off")
                if (other := self.in_phase(phase)).phases != self.phases]
        return tuple(index for index, part, _ in self.net.latching if states[index] == part.states[0]
                     and any(ended[index] == part.states[-1] for ended in ends))

    def watched(self, states, watched):
        """Return the currents that a part watches in some states. [A]"""
        contacts, volts, temperatures = self.solve(states)
        return [contacts.current(number, volts, temperatures) for number in watched]

    def over_a_period(self, states, aims, strains, swinging, is_on):
        """Return strains as the warmth at the end of this phase, the other one that comes between cooling what it can.

        Of several flashers the one that is on for longest counts. Filaments
        count as settled, so what each flash draws at its first instant is left out.
        """
        other = self.in_phase("off" if is_on else "on")
        other.blows = False
        rested, verdict, *_ = other.settle([*states], [*aims])
        if verdict != "settled":
            return strains
        currents = {index: other.watched(rested, watched) for index, _, watched in self.net.latching}
        return [(self.net.parts[index].warmest_in_turns(strain, self.net.parts[index].strain(currents[index]),
                                                        *turn_of(swinging, is_on)), index)
                for strain, index in strains]

    def final(self, states, aims):
        """Return the verdict on states that nothing wants to leave: settled, tripping, or shorted."""
        contacts, volts, temperatures = self.solve(states)
        trouble = [words for index, part, _ in self.net.moving if (words := part.trouble(aims[index]))]
        if trouble:
            return states, "tripping", "; ".join(trouble), self.solve(states)
        for _, part, watched in self.net.supplying:
            currents = [contacts.current(number, volts, temperatures) for number in watched]
            if part.strain(currents) > 1:
                return states, "shorted", short_words(part, currents[0]), self.solve(states)
        return states, "settled", "settled", self.solve(states)

    def one_at_a_time(self, states, aims, turns):
        start = (tuple(states), tuple(aims))
        ways, ahead, stable, movers = {}, [start], [], set()
        while ahead and len(ways) < SEARCH:
            here = ahead.pop()
            if here in ways:
                continue
            wishes = self.reactions(list(here[0]), list(here[1]))
            ways[here] = [(_put(here[0], index, state), _put(here[1], index, aim)) for index, aim, state in wishes]
            ahead += ways[here]
            movers |= {self.net.parts[index].name for index, *_ in wishes}
            if not wishes:
                stable.append(here)
        names = listed(sorted(movers))
        if not stable:
            self.turns = turns
            self.movers = tuple(sorted(movers))
            parts = {part.name: part for part in self.net.parts}
            return states, "buzzing", restless_words([parts[name] for name in self.movers], "buzzing"), None
        if len(stable) == 1:
            return self.final(list(stable[0][0]), stable[0][1])
        return (states, "several stable", f"{names} can come to rest in {len(stable)} ways; which one depends on "
                "which moves first", None)


def is_flasher(part):
    """Tell whether a part swings with its load on and off; a breaker that trips is no such part."""
    return part.swings and part.on_state == "on"


def turn_of(swinging, is_on):
    """Return how long this phase lasts and the other, of the flasher that is on for longest at a time. [s]"""
    slowest = max(swinging, key=lambda part: part.on_time)
    return (slowest.on_time, slowest.off_time) if is_on else (slowest.off_time, slowest.on_time)


def share_in_turns(part, swinging, is_on):
    """Return which share of its strain a fuse gets to that comes only in this phase of flashers, nothing between. [1]"""
    return part.warmest_in_turns(1.0, 0.0, *turn_of(swinging, is_on))


def short_words(part, current):
    """Say that a supply is shorted. [text]"""
    return (f"{part.name} is shorted: {abs(current):.0f} A flow through it and nothing stops them. "
            "Find the way from plus to minus that has neither a load nor a fuse")


def _put(values, index, value):
    return values[:index] + (value,) + values[index + 1:]
