"""What a board's desk does when the circuit is changed: prepared and typed changes, values turned, undone again, and saved."""

from dataclasses import replace

from ...arrangements.apart import Apart, pulling_words
from ...arrangements.by_hand import check_in_and_out
from ...arrangements.changes import RemovePart
from ...arrangements.history import Changes, save_changes
from ...arrangements.parted import is_whole, steps
from ...arrangements.typed_changes import FORMS
from ...ground.errors import ArrangementError, listed, unknown_name
from ...views.board.connections import goes_words

HELP = tuple(FORMS.values())      # what can be typed


class Changing:
    """The part of a :class:`~circuitlab.benches.board.desk.Desk` that changes its circuit."""

    def _card(self, message):
        """Make one of the prepared changes, or undo it."""
        words, is_made = message["words"], message["made"]
        yield from self._try(message, self.tried.with_card(words, is_made), f"{words}{'' if is_made else ', undone'}")

    def _dial(self, message):
        """Turn a dial."""
        yield from self._try(message, self.tried.with_dial(message["words"], message["value"]), f"{message['words']} {message['value']:g}")

    def _typed(self, message):
        """Make a change that was typed; the field is emptied only once it is made."""
        if not message["words"].strip():
            raise ArrangementError("no change is typed. Type one, such as 'swap K1:87 and K1:87a'.")
        check_in_and_out(message["words"], self.tried.arrangement)
        tried = self.tried.with_typed(message["words"])
        self._warn(tried.changes.entries[-1].steps[-1], message["words"])
        yield from self._try(message, tried, tried.words[-1])
        yield {"kind": "took", "words": message["words"]}

    def _warn(self, change, words):
        """Say what goes with a part before it does, where whoever typed did not speak of its wires."""
        if isinstance(change, RemovePart) and "wire" not in words.lower():
            goes = goes_words(self.tried.arrangement.part(change.part), self.tried.arrangement)
            if goes:
                raise ArrangementError(f"this takes away {goes}. Type '{change}' if that is meant.", part=change.part)

    def _undo(self, message):
        """Undo the change of these words, by hand or from the list, or everything."""
        words, hand = message["words"], self.by_hand
        if not words:
            yield from self._carry_on(message, replace(self.tried, changes=Changes(self.tried.changes.before)), Apart(self.tried.changes.before),
                                      "everything undone")
        elif words in hand:
            out, off = self.apart.out, self.apart.off
            kept = replace(self.apart, out=tuple(name for name in out if _out(self.apart.whole.part(name)) != words),
                           off=tuple(pair for pair in off if _off(*pair) != words))
            yield from self._carry_on(message, self.tried, kept, f"{words}, undone")
        elif words in self.tried.words:
            yield from self._try(message, self.tried.undone(words), f"{words}, undone")
        else:
            raise unknown_name("the board", "change made", words, self.listed)

    def _redo(self, message):
        """Make again what was undone last."""
        tried = self.tried.redone()
        yield from self._try(message, tried, f"{tried.words[-1]}, done again")

    def _save(self, message):
        """Write the list of changes to a file, what hands took apart with it."""
        changes = self.tried.changes
        if not self.listed:
            raise ArrangementError("nothing is changed, so there is nothing to save. Make a change first.")
        if any(map(is_whole, steps(self.tried))):
            raise ArrangementError("the second circuit of a comparison as a whole cannot be written as a list of changes. Save it "
                                   "with cl.save, or open the board with the first one and change that.")
        for words, lost in self.by_hand.items():
            changes = changes.make(*lost, name=words)
        saved = save_changes(changes, message["file"])
        yield {"kind": "saved", "words": f"The changes are in {message['file']}.{saved.before}"}

    @property
    def example(self):
        """A change that can be typed here: of what ends an overload in this circuit, else of its first wire. [text]"""
        guard = next((part.name for part in self.present.parts if part.guards and "blown" in part.states), "")
        wire = next((wire.name for wire in self.present.wires), "")
        return f"blow {guard}" if guard else f"remove {wire}" if wire else HELP[0]

    @property
    def by_hand(self):
        """What hands took out and off, in words, each with its changes."""
        apart, whole = self.apart, self.apart.whole
        return ({_out(whole.part(name)): Apart(whole, (name,)).changes for name in apart.out}
                | {_off(*pair): Apart(whole, (), (pair,)).changes for pair in apart.off})

    @property
    def apart_words(self):
        """What is to be said before a proof while something is out or off: it is judged with all of it put back; else empty. [text]"""
        return f"{listed([*self.by_hand])}: as it stands nothing is proved. With all put back, " if self.by_hand else ""

    @property
    def listed(self):
        """Everything that is changed now, in words. [text]"""
        return [*self.tried.words, *self.by_hand]

    def _try(self, message, tried, done):
        """Go on with something else tried; what hands took apart stays so, where it is still there."""
        whole = tried.arrangement
        kept = Apart(whole, tuple(name for name in self.apart.out if name in whole.by_name),
                     tuple((wire, end) for wire, end in self.apart.off if wire in whole.by_name and end in whole.part(wire).terminals))
        yield from self._carry_on(message, tried, kept, done)


def _out(part):
    return f"{part.name} {pulling_words(part)[2]}"


def _off(wire, terminal):
    return f"{wire} off {terminal}"
