"""What a driver behind would see: each fault in each row put into a class.

Everything is compared with the healthy arrangement in the same row. Lamps
that the rule lights for the same reason (or, without a rule, that look alike)
give one *signal* together, those with a white light left out, which signal nothing; a signal is lost when none of its
lamps that can be seen from behind shows it any more, or where it has none there, none at all. A terminal is wrong where it is no
longer what the rule asks of it. A flasher that hurries, with lamps that look
as before, is a wrong signal: it leaves the 60 to 120 a minute that vehicle
rules allow. Where its lamps stay dark it is heard: its relay clicks as fast.
A lamp with more volts than it stands is lost as well.
"""

from dataclasses import dataclass, replace

from ...parts import Lamp
from ...solving.buzzing import NO_REST
from ..flashing import hurry_words
from ..looks import TOO_BRIGHT
from ..observing import DARK, FLICKERS, look
from .readings import bridged

SIGNAL_COLOURS = ("red", "amber")    # of lamps that signal to others. Source: UN R48 par. 5.15
REAR = ("rear", "trailer")           # in the place of a lamp that is seen from behind
CLASSES = ("fire risk", "wrong signal", "signal lost", "lamp lost", "terminal wrong", "protection lost", "battery drain",
           "no effect")     # worst first
BEFORE = ", if relays were operated before"
DRAIN = 0.05     # A out of a parked vehicle's battery beyond the healthy: common practice asks for less


@dataclass(frozen=True)
class Effect:
    """A fault in one row.

    Attributes
    ----------
    classes : tuple of str
        Every class that fits, worst first; ``("no effect",)`` when none does. [text]
    reasons : tuple of str
        What is seen or felt, in words. [text]
    blown : tuple of str
        Fuses that blow and would not without the fault. [text]
    terminals : tuple of str
        Terminals that are no longer what the rule asks. [text]
    seen : tuple of str
        What the lamps show of it and a hurried flasher clicks: all that whoever looks for it has before the first
        reading. [text]
    """

    classes: tuple
    reasons: tuple
    blown: tuple = ()
    terminals: tuple = ()
    seen: tuple = ()

    @property
    def worst(self):
        """The worst class. [text]"""
        return self.classes[0]


class Classing:
    """The healthy arrangement row by row, to class faults against.

    Parameters
    ----------
    arrangement : Arrangement
        With the rule that tells which lamps signal the same thing.
    rows : sequence of dict
    healthy : sequence of Observed
        One for each row.
    """

    def __init__(self, arrangement, rows, healthy):
        self.arrangement, self.healthy, self.known = arrangement, healthy, {}
        self.lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
        rest = arrangement.positions()
        self.parked = [positions == rest for positions in rows]
        lamps = dict(enumerate(arrangement.of_kind(Lamp)))
        signalling = {index for index, lamp in lamps.items() if lamp.light in SIGNAL_COLOURS}
        behind = {index for index in signalling if "front" not in lamps[index].place}
        self.rear = {index for index in behind if any(word in lamps[index].place for word in REAR)}
        self.asked = [{lamp: arrangement.wanted(lamp, positions) for lamp in self.lamps} if seen.verdict in NO_REST else {}
                      for positions, seen in zip(rows, healthy)]     # where the healthy circuit itself has no result to go by
        self.signals = [_signals(arrangement, positions, seen, self.lamps, signalling, behind)
                        for positions, seen in zip(rows, healthy)]

    def effects(self, fault, seen):
        """Return the effect of a fault in every row, from what is seen there."""
        found, fuse = tuple(self.effect(row, each) for row, each in enumerate(seen)), bridged(self.arrangement, fault)
        return tuple(self._unguarded(effect, fuse) for effect in found) if fuse else found

    def effect(self, row, seen):
        """Return the effect of a fault in the row of that number, from what is seen there."""
        key = (row, seen.levels, seen.verdict, seen.sentence, seen.blown, seen.overloaded, seen.held_levels, seen.broken,
               seen.hurried, seen.overvolted, seen.burning, self._drains(row, seen))
        if key not in self.known:
            self.known[key] = self._class(row, seen)
        return self.known[key]

    def _unguarded(self, effect, fuse):
        """Return an effect with what it means besides that a fuse is bridged."""
        said = f"nothing is seen; {fuse} guards nothing any more, and the next short burns the wire behind it"
        classes = {*effect.classes, "protection lost"} - {"no effect"}
        return replace(effect, classes=tuple(name for name in CLASSES if name in classes), reasons=(*effect.reasons, said))

    def _drains(self, row, seen):
        return self.parked[row] and seen.drawn > self.healthy[row].drawn + DRAIN

    def _class(self, row, seen):
        before, found = self.healthy[row], []
        if seen.verdict in ("tripping", *NO_REST) and seen.levels and not seen.chatters and seen.sentence != before.sentence:
            found.append(("wrong signal", seen.sentence))
        hot = sorted(set(seen.overloaded) - set(before.overloaded))
        if seen.verdict == "shorted" != before.verdict:
            found.append(("fire risk", seen.sentence))
        if hot:
            carries = "carries" if len(hot) == 1 else "carry"
            found.append(("fire risk", f"{', '.join(hot)} {carries} more than a wire of that size may, and no fuse ends it"))
        found += [("fire risk", words) for name, words in seen.burning if name not in dict(before.burning)]
        found += [("lamp lost", words) for name, words in seen.overvolted if name not in dict(before.overvolted)]
        if before.levels and seen.levels:
            found += self._lamps(row, seen.levels, "")
            if seen.held_levels and seen.held_levels != before.held_levels:
                found += [pair for pair in self._lamps(row, seen.held_levels, BEFORE)
                          if pair[1].partition(BEFORE)[0] not in {words for _, words in found}]
        elif (seen.verdict, seen.sentence) != (before.verdict, before.sentence):
            ended = f"{before.verdict} without the fault, and with it the row settles"
            found.append(("wrong signal", ended if seen.verdict == "settled" else seen.sentence))
        shown, hurry = _shown(found), _hurry(before, seen)
        found += [("wrong signal", words) for words in hurry if not shown]
        if self._drains(row, seen) and not any(name == "fire risk" for name, _ in found):
            found.append(("battery drain", f"{seen.drawn:.2f} A flow with everything at rest"))
        wrong = [each for each in seen.broken if each[0] not in {name for name, *_ in before.broken}]
        found += [("terminal wrong", f"{name} is {look} and shall be {wanted}") for name, look, wanted in wrong]
        classes = {name for name, _ in found}
        blown = tuple(name for name in seen.blown if name not in before.blown)
        chatter = (seen.sentence,) if seen.chatters and not before.chatters else ()
        return Effect(tuple(name for name in CLASSES if name in classes) or ("no effect",),
                      (*(f"{name} blows" for name in blown), *chatter,
                       *dict.fromkeys((*(words for _, words in found), *hurry))), blown,
                      tuple(name for name, *_ in wrong), (*shown, *hurry))

    def _lamps(self, row, levels, when):
        """Return ``(class, words)`` for every lamp that looks different, and for every signal nobody behind sees."""
        before, found, unseen = self.healthy[row].levels, [], set()
        for index, lamp in enumerate(self.lamps):
            old, new = look(before, index), look(levels, index)
            if old in (new, "flickers") or new == self.asked[row].get(lamp):      # what buzzes without the fault was nobody's signal
                continue
            if old == "dark":
                found.append(("wrong signal", f"{lamp} {_DOES[new]} and shall be dark{when}"))
            elif new == "dark" or new == f"dim {old}":
                unseen.add(index)
                found.append(("lamp lost", f"{lamp} {_DOES[new]}{when}"))
            elif old.removeprefix("dim ") != new.removeprefix("dim "):
                unseen |= set() if {old, new} <= {"steady", "pulses", TOO_BRIGHT} else {index}
                found.append(("wrong signal", f"{lamp} {_DOES[new]} instead of {'pulsing' if old == 'pulses' else old}{when}"))
        for name, lamps in self.signals[row]:
            if lamps and lamps <= unseen:
                found.append(("signal lost", f"nobody {'behind ' * bool(lamps & self.rear)}sees {name}{when}"))
        return found


def _shown(found):
    """Return what lamps show of it all, from ``(class, words)``. [text]"""
    return tuple(dict.fromkeys(words for name, words in found if name != "fire risk" and BEFORE not in words))


def _hurry(before, seen):
    """Return what is said of flashers that surely hurry and surely did not, or, where lamps still flash, the other way round. [text]"""
    if not before.levels or not seen.levels:
        return ()
    is_seen = any("flashing" in look(seen.levels, index) for index in range(len(seen.levels[0])))
    ended = sorted({*before.hurried} - {*seen.may_hurry}) if is_seen else ()
    return (*(hurry_words(name, "flashes" if is_seen else "clicks") for name in sorted({*seen.hurried} - {*before.may_hurry})),
            *(hurry_words(name, "no longer flashes") for name in ended))


_DOES = {"flickers": "flickers", "pulses": "pulses with the flasher", "dark": "stays dark", "steady": "is steady", "flashing": "flashes",
         "dim steady": "is dim", "dim flashing": "flashes dim", TOO_BRIGHT: "is too bright"}


def _signals(arrangement, positions, seen, lamps, signalling, behind):
    """Return ``(name, lamps that show it to the rear, or else all that do)`` of every signal a row gives."""
    groups = {}
    for index, lamp in enumerate(lamps):
        if index not in signalling or not seen.levels or max(phase[index] for phase in seen.levels) in (DARK, FLICKERS):
            continue
        old = look(seen.levels, index)
        line = next((line for line in arrangement.rule if line.lamp == lamp and line.fits(positions)), None)
        when = " and ".join(f"{control} {position}" for control, position in line.when) if line else ""
        groups.setdefault((old, when), []).append(index)
    return tuple((f"the {old} signal of {when}" if when else f"the {old} signal",
                  frozenset(group) & behind or frozenset(group)) for (old, when), group in groups.items())
