"""Playing a script: what an arrangement does while somebody works its controls.

Between events only filaments change, and :mod:`warming` carries them along.
Events are control actions, contacts that land, flashers that swing, fuses
that blow, and coils that cross a threshold *inside* a step, found by halving.
All times sit on a clock of whole microseconds; whatever falls on the same
tick is applied together before anything reacts, so the order in which a
script lists simultaneous actions cannot matter.

A part that keeps undoing its own move may do so only until cold filaments are warm. So it is
played on while they still warm, and only then reported as buzzing, or as chatter where it is slow,
with its frequency: never an endless loop.
"""

from copy import copy
from math import exp, inf, log

from .buzzing import NO_REST
from .network import network
from .script import checked_script, moves
from .settling import short_words, untimed_point
from .time_course import TICK, Event, Sample, TimeCourse, between, standing
from .undoing import ENDLESS, OFTEN, Undone, restless
from .warming import warming
from .warmth import SMALL, grown

CAREFUL = 3e-5   # error allowed in ln T per step: keeps light within about 3e-4 of peak
LONGEST = 0.25   # s, longest step
AT_ONCE = 24     # rounds of moves that take no time, before the clock is looked at again


def run(arrangement, script=(), until=5.0, positions=None):
    """Play a script of control actions and return the record.

    Parameters
    ----------
    arrangement : Arrangement
    script : sequence of (float, str, str) or of Act
        Time, control, position; times must not go back. [s], [text]
    until : float
        Where to stop. [s]
    positions : dict of str to str, optional
        Where the controls stand before the script begins, everything at rest
        and every filament at its settled temperature there. [text]

    Returns
    -------
    TimeCourse

    Raises
    ------
    ScriptError
        For a script that goes back in time or an end that is not later than its last action.
    UnknownName
        For a control or position that is not there.

    >>> import circuitlab as cl
    >>> run(cl.arrangement("one-fused-lamp"), [(0.5, "lamp switch", "on")], until=1.0).events
    (Event(time=0.5, name='lamp switch', state='on'), Event(time=0.5, name='S1', state='on'))
    """
    point = untimed_point(arrangement, positions)
    engine = Engine(network(arrangement), point)
    return engine.play((), script, until, standing(engine, point.positions))


class Engine:
    """Everything that is true at one moment, and how it moves on."""

    def __init__(self, net, point):
        self.net, self.now = net, 0
        self.states = [point.states[part.name] for part in net.parts]
        if not point.is_settled:
            self.states = net.first_states(point.positions)
        self.aims = list(self.states)
        self.x = tuple(log(t / net.cold) for t in point._temperatures) or (0.0,) * len(net.filaments)
        self.pending, self.since, self.heat, self.limits = {}, {}, {}, {}
        self.undone, self.events, self.samples, self.contacts_of = Undone(), [], [], {}
        self.look_around()
        for index, part, watched in net.heating:
            strain, self.limits[index] = part.strain(self.currents(watched)), part.heat_turn(self.states[index])
            coolest, warmest, _ = self.limits[index] or (0.0, 0.0, "")
            warmth = strain if coolest <= strain <= warmest else max(0.0, coolest)
            self.heat[index] = tuple(share * warmth for share, _ in part.stores)
        for index, part, _ in net.latching:
            if self.states[index] != part.states[0]:   # gone before the record begins: say so at its beginning
                self.events.append(Event(0.0, part.name, self.states[index]))

    def copy(self, samples, events):
        other = object.__new__(Engine)
        for name, value in vars(self).items():
            setattr(other, name, copy(value) if isinstance(value, (list, dict)) else value)
        other.samples, other.events, other.undone = list(samples), list(events), self.undone.copy()
        return other

    def play(self, before, script, until, first):
        """Run to the end and return the whole record."""
        script = moves(script)
        actions = checked_script(self.net.arrangement, script, self.now / TICK, until)
        stop, self.verdict, self.sentence = round(until * TICK), "settled", "settled"
        self.movers = ()
        self.react()        # what is restless from the first moment on never begins to glide
        self.go_on(stop, actions)
        if self.verdict == "settled" and self.undone.is_open(self.now):
            self.foresee()
        script = (*before, *((float(when), control, position) for when, control, position in script))
        return TimeCourse(self.net.arrangement, script, self.now / TICK, tuple(self.events), first, self.verdict,
                          self.sentence, tuple(self.samples), self, self.movers)

    def foresee(self):
        """Say what becomes of moves that are still undone at the end of the record, if nothing is touched."""
        ahead = self.copy(self.samples, self.events)
        slow = 2 * OFTEN * sum(self.net.parts[index].round_time for index in self.undone.turns)
        ahead.go_on(self.now + round(TICK * max(ENDLESS, slow)), [])
        if ahead.verdict in NO_REST:
            self.verdict, self.sentence, self.movers = ahead.verdict, ahead.sentence, ahead.movers

    def go_on(self, stop, actions):
        """Carry on to a tick, or to where there is a verdict."""
        while self.now < stop and self.verdict == "settled":
            self.stride(stop, actions)

    def stride(self, stop, actions):
        """Carry on to whatever comes next: an action, a move, a part that changes its mind, or the stop."""
        target = min([stop, *(when for when, _ in self.pending.values()), *(when for when, *_ in actions[:1])])
        self.glide(target)
        if self.now == target:      # else a part changed its mind on the way, and that comes first
            while actions and actions[0][0] <= self.now:
                self.act(*actions.pop(0)[1:])
            self.fire()
        self.react()

    def act(self, control, position):
        """Move a control, and every switch that it works."""
        self.undone.forget()
        self.events.append(Event(self.now / TICK, control, position))
        for index, part in enumerate(self.net.parts):
            if getattr(part, "control", None) == control and index not in self.net.held:
                self.become(index, position)

    def become(self, index, state):
        self.states[index], self.since[index] = state, self.now
        self.events.append(Event(self.now / TICK, self.net.parts[index].name, state))
        if index in self.limits:
            self.limits[index] = self.net.parts[index].heat_turn(state)

    def fire(self):
        """Let every move that is due happen, together."""
        for index in [index for index, (when, _) in self.pending.items() if when <= self.now]:
            _, state = self.pending.pop(index)
            part = self.net.parts[index]
            if part.swings and part.states[0] not in (self.states[index], state):   # its own swing, and no start or giving up
                self.undone.excuse()
            else:
                self.undone.add(index, self.now, self.x)
            self.become(index, state)
            self.schedule(index)

    def schedule(self, index):
        self.pending.pop(index, None)
        part = self.net.parts[index]
        move = part.next_move(self.states[index], self.aims[index])
        if move:
            # a flash is timed from its start, whatever was thought of meanwhile; all else from now
            begin = self.since.get(index, 0) if self.aims[index] in part.clocked else self.now
            self.pending[index] = (max(self.now, begin + round(move[0] * TICK)), move[1])

    def react(self):
        """After something changed: look at the new volts, let every part form its aim, fire what is due at once."""
        for _ in range(AT_ONCE):
            self.look_around()
            self.consult()
            if all(when > self.now for when, _ in self.pending.values()):
                break
            self.fire()     # moves that take no time; each may set off the next, so look again
        found = restless(self)
        if found:
            self.verdict, self.sentence, self.movers = found
        for _, part, watched in self.net.supplying:
            currents = self.currents(watched)
            if part.strain(currents) > 1 and not self.is_about_to_open():
                self.verdict, self.sentence = "shorted", short_words(part, currents[0])

    def look_around(self):
        """Take in the contacts as they stand now and note a sample."""
        key = tuple(self.states)
        if key not in self.contacts_of:
            contacts = self.net.reduced(self.states)
            self.contacts_of[key] = (contacts, *warming(contacts))
        self.contacts, self.slopes_of, self.step = self.contacts_of[key]
        self.slopes, _ = self.slopes_of(self.contacts.late, self.x)
        self.see()
        self.note()

    def see(self):
        """Work out the volts of every point for the present filaments."""
        cold = self.net.cold
        self.temperatures = [cold * exp(x) for x in self.x]
        self.volts = self.contacts.volts(self.contacts.filament_conductances(self.temperatures))

    def note(self):
        sample = Sample(self.now, self.x, self.slopes, self.net.drops(self.volts), tuple(self.states))
        # of one tick the record keeps two: as it was and as it became; what lay between no eye sees
        if len(self.samples) > 1 and self.samples[-1].tick == self.samples[-2].tick == self.now:
            self.samples[-1] = sample
        else:
            self.samples.append(sample)

    def currents(self, watched):
        return [self.contacts.current(number, self.volts, self.temperatures) for number in watched]

    def new_aims(self):
        """Return the aims that differ from the present ones, as ``{index: aim}``."""
        changed = {}
        for index, part, watched in self.net.moving:
            aim = part.aim(self.states[index], self.aims[index], self.currents(watched))
            if aim != self.aims[index]:
                changed[index] = aim
        return changed

    def consult(self):
        for index, aim in self.new_aims().items():
            self.aims[index] = aim
            if self.states[index] not in self.net.parts[index].under_way:      # an armature in flight lands first
                self.schedule(index)

    def glide(self, target):
        """Carry the filaments on to a tick, or to where a part changes its mind on the way."""
        fastest = max((abs(slope) for slope in self.slopes), default=0.0)
        step = min(LONGEST, 0.05 / (fastest + 1e-9))       # a first guess; from then on the error says how far
        self.strains_before = self.strains()
        while self.now < target:
            ticks = min(target - self.now, max(1, round(step * TICK)))
            x, slopes, _, error = self.tried(ticks)
            if error > CAREFUL and ticks > 1:       # nothing has moved yet: again, shorter
                step = ticks / TICK * max(0.2, 0.9 * (CAREFUL / error) ** 0.2)
                continue
            step = min(LONGEST, ticks / TICK * (min(5.0, 0.9 * (CAREFUL / error) ** 0.2) if error else 5.0))
            before = (self.now, self.x, self.slopes)
            self.now, self.x, self.slopes = self.now + ticks, x, slopes
            self.see()
            strains = self.strains()
            heats = self.heats(before, (self.now, x, slopes), strains)
            stops = self.new_aims() or self.turned(heats)
            if stops:       # somewhere inside this step: go back to where, then look once more what it is
                self.halve_back(before)
                strains = self.strains()
                heats = self.heats(before, (self.now, self.x, self.slopes), strains)
                stops = self.new_aims() or self.turned(heats)
            self.note()
            self.heat.update(heats)
            self.strains_before = strains
            if stops:
                self.turn(heats)
                return

    def tried(self, ticks):
        """Return what a step comes to: an endless error when a step far too long ran off the scale."""
        try:
            return self.step(self.contacts.late, self.x, self.slopes, ticks / TICK)
        except ArithmeticError:
            return self.x, self.slopes, (), inf

    def stops(self, before, after):
        """Tell whether some part changes its mind now, or is moved by heat on the way from before to after."""
        return bool(self.new_aims()) or bool(self.turned(self.heats(before, after, self.strains())))

    def halve_back(self, before):
        """Go back to the first tick of the last step at which something stops it.

        Halving looks between the ends of the step; a step of its own to the tick so found then makes it exact, twice
        because that moves the tick a little. Should nothing happen there after all, the glide goes on from there.
        """
        tick, x, slopes = before
        for _ in range(2):
            after = (self.now, self.x, self.slopes)
            low, high = tick, self.now
            while high - low > 1:
                self.now = (low + high) // 2
                self.x = _amid(before, after, self.now)
                self.see()
                low, high = (low, self.now) if self.stops(before, after) else (self.now, high)
            self.now = high
            self.x, self.slopes, *_ = self.step(self.contacts.late, x, slopes, (high - tick) / TICK)
            self.see()
            if not self.stops(before, (self.now, self.x, self.slopes)):     # the exact step stays short of it: enough
                break

    def strains(self):
        """Return the present strain of every part whose warmth can still move it. [1]"""
        return {index: part.strain(self.currents(watched)) for index, part, watched in self.net.heating
                if self.limits[index]}

    def heats(self, before, after, strains):
        """Return how warm every such part's stores are, somewhere on the way from one (tick, x, slopes) to another. [1]"""
        heats, middle, seconds = {}, None, (self.now - before[0]) / TICK
        for index, strain in strains.items():
            stores, was, now = self.net.parts[index].stores, self.strains_before[index], []
            for (share, time), heat in zip(stores, self.heat[index]):
                spent = seconds / time
                extra = share * (was - strain) * spent
                if extra > SMALL or extra < -SMALL:     # the strain has moved: follow it through the middle of the step
                    middle = middle or self.strains_at(_amid(before, after, (before[0] + self.now) / 2))
                    now.append(grown(heat, share * was, share * middle[index], share * strain, spent))
                else:       # as good as constant: the exponential itself
                    now.append(share * strain + (heat - share * strain) * exp(-spent) + extra / 2)
            heats[index] = tuple(now)
        return heats

    def strains_at(self, x):
        """Return the strains for other filaments than the present ones. [1]"""
        here = self.x, self.temperatures, self.volts
        self.x = x
        self.see()
        strains = self.strains()
        self.x, self.temperatures, self.volts = here
        return strains

    def turned(self, heats):
        """Return the parts whose warmth has come to one of its limits, and by how much it is beyond."""
        turned = {}
        for index, heat in heats.items():
            heat, (coolest, warmest, _) = sum(heat), self.limits[index]
            if heat >= warmest or heat <= coolest:
                turned[index] = max(heat - warmest, coolest - heat)
        return turned

    def is_about_to_open(self):
        """Tell whether a fuse or breaker carries more than it can stand, so that the present currents will not last."""
        return any(part.guards and self.limits[index] and part.strain(self.currents(watched)) > 1
                   for index, part, watched in self.net.heating)

    def turn(self, heats):
        """Let heat move the part furthest beyond its limit, if there is one: one at a time."""
        turned = self.turned(heats)
        if turned:
            index = max(turned, key=turned.get)
            self.undone.excuse()
            self.become(index, self.limits[index][2])


def _amid(before, after, tick):
    """Return x at a tick between two of (tick, x, slopes)."""
    return between(Sample(*before, (), ()), Sample(*after, (), ()), (tick - before[0]) / (after[0] - before[0]))
