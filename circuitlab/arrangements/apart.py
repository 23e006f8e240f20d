"""Taken apart by hand: parts out of their places and ends of wires off their terminals, each to be put back."""

from dataclasses import dataclass, replace
from functools import cached_property

from ..ground.errors import ArrangementError, UnknownName, listed
from ..parts import Role, Wire
from .changes import LoseJoint, changed
from .mishaps import Hold, Lift

PULLED = ("take out", "put back", "taken out", "put back")       # as a hand is asked to, and back; what is said once it has
PARTED = ("part the plug", "put the plug in", "parted", "mated again")

@dataclass(frozen=True)
class Apart:
    """An arrangement and what hands took out of it or off it.

    Parameters
    ----------
    whole : Arrangement
    out : tuple of str
        Parts out of their holders and sockets; a connector is parted, and both halves keep their wires. [text]
    off : tuple of (str, str)
        Wires, each with the terminal it is off. [text]

    >>> import circuitlab as cl
    >>> [str(change) for change in Apart(cl.arrangement("one-fused-lamp")).without("F1").changes]
    ['lose W1 at F1:1', 'lose W2 at F1:2']
    """

    whole: object
    out: tuple = ()
    off: tuple = ()

    def without(self, name):
        """Return the same with a part taken out, or raise ArrangementError where a hand cannot."""
        part = self.whole.part(name)
        part = part if part.alone else self.whole.part(part.seat or name)
        if any(each.alone for each in part.seats):
            raise ArrangementError(f"{part.kind} '{name}' stays where it is, and what sits in it comes out: take out "
                                   f"{' or '.join(each.name for each in part.seats)}.", part=name)
        if not is_pulled(part):
            raise ArrangementError(f"{part.kind} '{name}' stays where it is: fuses, relays, lamps and what else sits in a holder "
                                   f"or socket come out. Take off the end of a wire at '{name}' instead.", part=name)
        return self if part.name in self.out else replace(self, out=(*self.out, part.name))

    def with_back(self, name):
        """Return the same with a part put back."""
        return replace(self, out=tuple(each for each in self.out if each not in (name, self.whole.part(name).seat)))

    def lifted(self, wire, terminal):
        """Return the same with one end of a wire off its terminal, or raise UnknownName where it has no such end."""
        ends = self._ends(wire)
        if terminal not in ends:
            raise UnknownName(f"wire '{wire}' is not on '{terminal}'. Its ends are on {listed(ends)}.", part=wire, allowed=ends)
        return self if (wire, terminal) in self.off else replace(self, off=(*self.off, (wire, terminal)))

    def joined(self, wire, terminal):
        """Return the same with that end back on its terminal."""
        return replace(self, off=tuple(pair for pair in self.off if pair != (wire, terminal)))

    def _ends(self, name):
        wire = self.whole.part(name)
        if not isinstance(wire, Wire):
            raise ArrangementError(f"{wire.kind} '{name}' is no wire, so it has no end to take off. Name a wire.", part=name)
        return wire.terminals

    @cached_property
    def changes(self):
        """What was done, as changes: wires of one terminal stay together when the part they are on comes out."""
        lost = [LoseJoint(*pair) for pair in self.off]
        out = [*map(self.whole.part, self.out)]
        lost += [Hold(part.name, part.parted) for part in out if part.parted]
        for part in (part for part in out if not part.parted):
            for end in (f"{part.name}:{terminal}" for terminal in part.terminals):
                wires = self.whole.wires_at[end]
                lost += [Lift(end)] if len(wires) > 1 else [LoseJoint(wire, end) for wire in wires]
        return tuple(lost)

    def hanging(self, name):
        """Return where wires ended on a part that is out with none on it now, at each terminal or at one: the wires, each with a place of its volts.

        A wire that nothing is on at one end carries nothing, so its end has the volts of its other end; wires that stay together hang
        together. Ends that a hand took off are left out. Empty for a part that is in, and for a plug, whose halves keep their wires. [text]
        """
        name, _, terminal = name.partition(":")
        part = self.whole.part(name)
        owner = part if isinstance(part, Wire) or part.name in self.out or not part.seat else self.whole.part(part.seat)
        if owner.name not in self.out or owner.parted:
            return {}
        ends = [f"{owner.name}:{each}" for each in owner.terminals if terminal in ("", each)]
        wires = {end: self.whole.wires_at[end] for end in ends}
        return {end: [(wire, self._place(wires[end][0], end)) for wire in wires[end] if (wire, end) not in self.off] for end in ends}

    def _place(self, name, end):
        """Return a terminal that the loose end of a wire has the volts of. [text]"""
        was, now = self.whole.part(name), self.arrangement.part(name)
        first, last = (now.start, now.end) if was.start == end else (now.end, now.start)
        return last if first == end else first

    @cached_property
    def arrangement(self):
        """The circuit as it is now."""
        return changed(self.whole, *self.changes)


def is_pulled(part):
    """Tell whether a hand takes a part out of a holder or socket: all but batteries, metal, switches, wires and what its fuses come out of. [yes/no]"""
    return not (part.is_metal or isinstance(part, Wire) or hasattr(part, "control") or part.first(Role.SOURCE) or any(each.alone for each in part.seats))


def pulling_words(part):
    """Return how it is said that a hand pulls a part and puts it back: each as it is offered, then as it is done. [text]"""
    return PARTED if part.parted and not part.seat else PULLED
