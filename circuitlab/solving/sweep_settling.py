"""The settled states of many cases: the rounds of :mod:`settling`, case beside case.

In each round every part of every case reacts to the present volts, all at
once; a case in which nothing wants to move lets its most strained fuse blow,
or is at rest. That is the walk of the single operating point, step for step,
because the answer may depend on the way there: a relay that holds itself keeps
what it has reached. A case in which a fuse is whole only in this phase of its
flashers walks on from its first rest, where that fuse blows (:mod:`sweep_cycle`).

Cases that stand in the same states, such as those of a flasher that has not
begun to swing, have the same volts and are solved once. A case that comes
round to where it has been is searched with one part moving at a time
(:mod:`sweep_search`).
"""

from dataclasses import dataclass
from math import inf
from random import Random

import numpy as np

from ..parts import Part
from .inrush import is_slow
from .operating import operating_point
from .settling import is_flasher, share_in_turns
from .sweep_cycle import gone_elsewhere, gone_here
from .sweep_laws import numbers, walk
from .sweep_outcome import Outcome
from .sweep_search import VERDICTS, search

BATCH = 8192      # cases solved side by side: fewer pay for the calls, more leave the processor's cache
SLAB = 32768      # cases that go through the rounds together
ROUNDS = 40       # after which a case is solved alone


def settle(kernel, variants, rows, row_of, phases, phase_of, operated=()):
    """Settle every case of a group and return the Outcome.

    Parameters
    ----------
    kernel : Kernel
    variants, row_of, phase_of : ndarray of int, shape (cases,)
        Which variant, row and phase each case has. [1]
    rows : list of dict
        Control positions. [text]
    phases : list of dict
        Phase of each flasher by its place. [text]
    operated : tuple of str
        Relays taken to be operated beforehand. [text]
    """
    def alone(variants, row_of, phases, phase_of):
        """Return the Outcome in which only that has blown which blows in a case's own phase of its flashers."""
        outcome = Outcome(group.first_codes(rows, row_of, variants, operated), group.network.size, len(group.network.moving))
        play(outcome, np.arange(len(variants)), variants, row_of, phases, phase_of)
        return outcome

    def play(outcome, cases, variants, row_of, phases, phase_of, gone=None):
        for begin in range(0, len(cases), SLAB):
            rounds = _Rounds(kernel, variants, phases, phase_of, outcome, gone, not operated)
            for case in rounds.play(cases[begin:begin + SLAB]):
                _hand_over(group, outcome, case, variants[case], rows[row_of[case]], phases[phase_of[case]], operated)

    group = kernel.group
    outcome = alone(variants, row_of, phases, phase_of)
    gone = gone_elsewhere(group, outcome, alone, variants, row_of, phases, phase_of)
    cases = np.flatnonzero((gone & ~gone_here(group, outcome)).any(axis=0))
    if len(cases):
        outcome.begin_again(cases, group.first_codes(rows, row_of[cases], variants[cases], operated))
        play(outcome, cases, variants, row_of, phases, phase_of, gone)
    return outcome


def _hand_over(group, outcome, case, variant, positions, phases, operated):
    net = group.network
    point = operating_point(group.variants[variant], positions,
                            {net.parts[place].name: phase for place, phase in phases.items()} or "on", operated)
    for place in range(len(outcome.codes)):
        outcome.codes[place, case] = group.code(place, point.states[net.parts[place].name])
    outcome.verdicts[case], outcome.in_doubt[case] = VERDICTS.index(point.verdict), False
    outcome.handed_over += 1
    if point.is_settled:
        outcome.keep(np.array([case]), np.array([point._volts]).T, np.array([0]))


@dataclass
class Look:
    """What cases in given states are like.

    Volts (points, columns) and ``which`` column each case has (cases,); for each part that watches, its currents, each
    (cases,); the aims and codes that all would have next (parts, cases); and what ``moves`` at all (cases,).
    """

    volts: np.ndarray
    which: np.ndarray
    currents: dict
    aims: np.ndarray
    codes: np.ndarray
    moves: np.ndarray


class _Rounds:
    """The cases of one slab on their way to rest."""

    def __init__(self, kernel, variants, phases, phase_of, outcome, gone=None, from_rest=True):
        self.kernel, self.group, self.net = kernel, kernel.group, kernel.network
        self.variants, self.phases, self.phase_of, self.outcome = variants, phases, phase_of, outcome
        self.from_rest = from_rest      # whether no relay is taken to be operated beforehand
        self.gone = gone     # for each latching part the cases in which it is gone by what happens in other phases
        chance = Random(30)
        places = len(outcome.codes)
        self.weights = np.array([chance.getrandbits(63) | 1 for _ in range(2 * places + 1)], np.int64)
        self.watching = self.net.moving + self.net.latching + self.net.supplying
        self.moving = [index for index, *_ in self.net.moving]
        self.changing = self.moving + [index for index, *_ in self.net.latching]
        self._waits, self._rests = {}, {}

    def slowest(self, place):
        """Return, of the records a part has in any variant, the one that takes longest to go there and back."""
        return max((part for part, _ in self.group.records[place]), key=lambda part: part.round_time)

    def play(self, cases):
        """Let the cases, numbers of shape (cases,), react round after round; return those that have to be solved alone.

        Codes and aims have one column for each case still on its way: fewer every round.
        """
        codes, aims, swung, untouched = self.begin(cases)
        seen, fresh, circling, alone = [], np.zeros(len(cases), np.intp), [], []
        for turn in range(ROUNDS):
            look = self.look(cases, codes, aims)
            rest = np.flatnonzero(~look.moves)
            worst, who = self.most_strained(rest, self.variants[cases], codes, look)
            unsure = self.flashing(rest, self.variants[cases], codes, worst, who)
            alone += list(cases[rest[unsure]])
            rest, worst, who = rest[~unsure], worst[~unsure], who[~unsure]
            blown = self.blow(rest, worst, who, look)
            swung[rest] |= self.runs(rest, self.variants[cases], codes)
            blown |= self.blow_what_is_gone(rest, ~blown & swung[rest], cases, look.codes, look.aims)
            untouched[rest[blown]] = False
            still = rest[~blown]
            self.outcome.in_doubt[cases[still]] = self.hang_on_warmth(still, self.variants[cases], codes, look)
            self.finish(cases[still], codes[:, still], aims[:, still], look, still)
            self.outcome.aims[:, cases[still]] = np.where(untouched[still], aims[np.ix_(self.moving, still)], -1)
            going = look.moves.copy()
            going[rest[blown]] = True
            fresh[rest[blown]] = turn + 1          # a fuse that blows is no coming round
            key = self.key(codes, aims)
            again = np.zeros(len(cases), bool)
            for older, keys in seen:
                again |= look.moves & (keys == key) & (older >= fresh)
            if again.any():
                circling.append((cases[again], codes[:, again], aims[:, again]))
            go = np.flatnonzero(going & ~again)
            seen = [(older, keys[go]) for older, keys in seen] + [(turn, key[go])]
            cases, codes, aims = cases[go], look.codes[:, go], look.aims[:, go]
            fresh, swung, untouched = fresh[go], swung[go], untouched[go]
            if not len(go):
                break
        left = alone + list(cases)
        if circling:
            cases, codes, aims = (np.concatenate(pieces, axis=-1) for pieces in zip(*circling))
            left += search(self, cases, codes, aims)
        return left

    def begin(self, cases):
        """Return where cases begin: codes and aims, in which a flasher has run, and in which nothing has given way.

        Shapes (parts, cases) twice, (cases,) twice. One that has rested before goes on from there: what is gone gives way.
        """
        codes = self.outcome.codes[:, cases]
        aims, swung, untouched = codes.copy(), np.zeros(len(cases), bool), np.ones(len(cases), bool)
        rested = np.flatnonzero(self.outcome.have_rested(cases))
        if len(rested):
            aims[np.ix_(self.moving, rested)] = self.outcome.aims[:, cases[rested]]
            swung[rested] = self.runs(rested, self.variants[cases], codes)
            untouched[rested] = ~self.blow_what_is_gone(rested, swung[rested], cases, codes, aims)
        return codes, aims, swung, untouched

    def look(self, cases, codes, aims):
        """Solve cases in states given and return a :class:`Look`: what flows, and what every part would do."""
        variants = self.variants[cases]
        volts, which, currents = self.solve(variants, codes)
        return Look(volts, which, currents, *self.reactions(variants, self.phase_of[cases], codes, aims, currents))

    def key(self, codes, aims):
        """Return a number that tells states and aims of one case apart, those of parts that may move: shape (cases,)."""
        where = np.concatenate((codes[self.changing], aims[self.moving]))
        return self.weights[:len(where)] @ where.astype(np.int64)

    def solve(self, variants, codes):
        """Solve every different case once, a batch of them side by side.

        Returns ``(volts, which, currents)``: (points, columns), the column of each case (cases,), and for each part with a
        law the currents it watches, each (cases,). [V], [1], [A]
        """
        apart = np.flatnonzero((codes != codes[:, :1]).any(axis=1))      # parts that are not in one state in all cases
        key = self.weights[apart] @ codes[apart].astype(np.int64) + self.weights[-1] * variants
        _, first, which = np.unique(key, return_index=True, return_inverse=True)
        if (codes[apart][:, first[which]] != codes[apart]).any() or (variants[first[which]] != variants).any():
            first = which = np.arange(len(key))      # two different cases under one key: never seen, but possible
        blocks, flows = [], []
        for begin in range(0, max(len(first), 1), BATCH):      # of no cases at all, one block of none
            some = first[begin:begin + BATCH]
            mine = variants[some], codes[:, some]
            volts, conductances = self.kernel.solve(*mine)
            blocks.append(volts)
            flows.append([np.broadcast_to(self.kernel.current(number, *mine, volts, conductances), len(some))
                          for _, _, branches in self.watching for number in branches])
        self.outcome.solved += len(first)
        amps = (np.concatenate(pieces)[which] for pieces in zip(*flows))
        currents = {index: [next(amps) for _ in branches] for index, _, branches in self.watching}
        return (blocks[0] if len(blocks) == 1 else np.concatenate(blocks, axis=1)), which, currents

    def people(self, index, variants):
        """Yield ``(part, cases)``: who the part at a place is, and in which cases it is free to move."""
        for part, free in self.group.free[index]:
            cases = np.flatnonzero(free[variants])
            if len(cases):
                yield part, cases

    def reactions(self, variants, phase_of, codes, aims, currents):
        """Return ``(aims, codes, moves)`` as every part would have them now: (parts, cases) twice, and (cases,)."""
        new_aims, new_codes = aims.copy(), codes.copy()
        for index, *_ in self.net.moving:
            names = self.group.names[index]
            for part, cases in self.people(index, variants):
                pairs = codes[index, cases].astype(np.intp) * 64 + aims[index, cases]
                for pair in np.flatnonzero(np.bincount(pairs)):
                    some = cases[pairs == pair]
                    state, aim = names[pair // 64], names[pair % 64]
                    for which, word in walk(lambda seen: part.aim(state, aim, seen),
                                            [amps[some] for amps in currents[index]]):
                        new_aims[index, some[which]] = self.group.code(index, word)
                new_codes[index, cases] = self.rests(index, part)[new_aims[index, cases], phase_of[cases]]
        moves = (new_aims[self.moving] != aims[self.moving]) | (new_codes[self.moving] != codes[self.moving])
        return new_aims, new_codes, moves.any(axis=0)

    def rests(self, index, part):
        """Return the code of a part's settled state for every aim and phase, shape (aims, phases). [1]"""
        names = self.group.names[index]
        known = self._rests.get((index, id(part)))
        if known is None or len(known) < len(names):
            known = np.array([[self.group.code(index, part.rest(name, phase.get(index))) for phase in self.phases]
                              for name in list(names)])
            self._rests[index, id(part)] = known
        return known

    def flashing(self, rest, variants, codes, worst, who):
        """Return in which cases at rest a flasher's period decides whether a fuse blows, shape (rest,)."""
        unsure, strained = np.zeros(len(rest), bool), np.flatnonzero(worst > 1)
        if not len(strained):
            return unsure
        mine, fuse_of, swinging, shares = variants[rest[strained]], {}, {}, {}
        for index, *_ in self.net.latching:
            for part, cases in self.people(index, mine):
                fuse_of |= dict.fromkeys(strained[cases[who[strained[cases]] == index]].tolist(), part)
        for index, *_ in self.net.moving:
            for part, cases in self.people(index, mine):
                for case in strained[cases].tolist() if is_flasher(part) else ():
                    state = self.group.names[index][codes[index, rest[case]]]
                    if state in ("on", "off"):
                        swinging.setdefault(case, []).append((part, state))
        for case, running in swinging.items():
            key = id(fuse_of[case]), *((id(part), state) for part, state in running)
            if key not in shares:
                is_on = any(state == "on" for _, state in running)
                shares[key] = share_in_turns(fuse_of[case], [part for part, _ in running], is_on)
            unsure[case] = worst[case] * shares[key] <= 1
        return unsure

    def hang_on_warmth(self, rest, variants, codes, look):
        """Return in which cases at rest a flasher or a relay might do otherwise with filaments still cold."""
        unsure = np.zeros(len(rest), bool)
        for index, *_ in self.net.moving if self.from_rest else ():
            for part, cases in self.people(index, variants[rest]):
                if not self.net.filaments and part.patience == inf:
                    continue
                if self.waits(part.patience):
                    unsure[cases] = True
                    continue
                states = codes[index, rest[cases]]
                for state in np.flatnonzero(np.bincount(states)):
                    name, some = self.group.names[index][state], cases[states == state]
                    unsure[some] |= numbers(lambda seen: part.hangs_on_warmth(name, seen, self.kernel.reach),
                                            [amps[rest[some]] for amps in look.currents[index]]) > 0
        return unsure

    def waits(self, patience):
        """Tell whether some relay in any variant is so slow that who has this patience may not wait for it. [s]"""
        if patience not in self._waits:
            self._waits[patience] = any(is_slow(self.slowest(place), patience) for place, *_ in self.net.moving)
        return self._waits[patience]

    def most_strained(self, rest, variants, codes, look):
        """Return the strain of the most strained latching part and the place of that, shape (rest,) each. [1]"""
        worst, who = np.zeros(len(rest)), np.full(len(rest), -1)
        for index, *_ in self.net.latching:
            for part, cases in self.people(index, variants[rest]):
                cases = cases[codes[index, rest[cases]] == self.group.code(index, part.states[0])]
                strain = numbers(part.strain, [amps[rest[cases]] for amps in look.currents[index]])
                more = strain >= worst[cases]
                worst[cases[more]], who[cases[more]] = strain[more], index
        return worst, who

    def blow(self, rest, worst, who, look):
        """Let the most strained latching part of each case at rest give way; return in which one did, (rest,)."""
        blown = worst > 1
        for index, part, _ in self.net.latching:
            cases = rest[blown & (who == index)]
            look.codes[index, cases] = look.aims[index, cases] = self.group.code(index, part.states[-1])
        return blown

    def runs(self, rest, variants, codes):
        """Return in which cases at rest a flasher runs; none where no other phase matters."""
        found = np.zeros(len(rest), bool)
        for index, *_ in self.net.moving if self.gone is not None else ():
            for part, cases in self.people(index, variants[rest]) if self.net.parts[index].swings else ():
                if is_flasher(part):
                    found[cases] |= codes[index, rest[cases]] != self.group.code(index, "idle")
        return found

    def blow_what_is_gone(self, rest, may, cases, codes, aims):
        """Let what is gone by other phases give way in cases at rest that may; return in which cases something did."""
        blown = np.zeros(len(rest), bool)
        for order, (index, part, _) in enumerate(self.net.latching if self.gone is not None else ()):
            code = self.group.code(index, part.states[-1])
            mine = may & self.gone[order, cases[rest]] & (codes[index, rest] != code)
            codes[index, rest[mine]] = aims[index, rest[mine]] = code
            blown |= mine
        return blown

    def finish(self, cases, codes, aims, look, columns):
        """Write down cases that nothing wants to leave: states, volts, verdict. ``columns`` are their places in a look."""
        variants = self.variants[cases]
        self.outcome.codes[:, cases] = codes
        self.outcome.keep(cases, look.volts, look.which[columns])
        verdicts = np.zeros(len(cases), np.int8)
        for index, *_ in self.net.supplying:
            for part, some in self.people(index, variants):
                over = numbers(part.strain, [amps[columns[some]] for amps in look.currents[index]]) > 1
                verdicts[some[over]] = VERDICTS.index("shorted")
        for index, part, _ in self.net.moving:
            for part, some in self.people(index, variants) if type(part).trouble is not Part.trouble else ():
                trouble = np.array([bool(part.trouble(name)) for name in self.group.names[index]])
                verdicts[some[trouble[aims[index, some]]]] = VERDICTS.index("tripping")
        self.outcome.verdicts[cases] = verdicts
