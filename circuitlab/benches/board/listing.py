"""The desk's share of the connection list: the circuit as rows of fields, how it stands in words, and the proof of its rule."""

from time import monotonic

from ...arrangements.bare_runs import unguarded_words
from ...arrangements.cautions import free_contacts, loose_needs, unwired_words, warnings_for
from ...arrangements.sentences import quoted
from ...arrangements.shelf import shelf
from ...ground.errors import CircuitLabError, listed
from ...ground.plain import counted
from ...parts import Lamp
from ...reasoning import prove, rule, rule_names, with_rule
from ...views.board.connections import choices_of, connections

MOST_NAMED = 8      # loose terminals, and parts, in one line
ENOUGH = 2.0        # s, for a proof that nobody asked for by hand
SAFE = "On metal: switch everything off and take the battery's cable off before you touch a wire."


class Listing:
    """The part of a :class:`~circuitlab.benches.board.desk.Desk` that tells its circuit as a list to be edited.

    Attributes
    ----------
    lists : bool
        Whether the page has the list open, so that it is told anew with every change. [yes/no]
    """

    lists = False

    def _list(self, message):
        """Tell the list, and from now on with every change; or no more."""
        self.lists = message.get("open", True)
        if self.lists:
            yield self.as_list()

    def as_list(self, took=""):
        """Return the circuit as rows of fields, as it is wired, all that hands took out put back; with what was just typed and taken."""
        wired = self.tried.arrangement
        told = connections(wired)
        told["rule"]["published"] = published(wired)
        return {"kind": "list", "took": took, **told, "stands": [_loose_words(wired), _caution_words(wired), SAFE], "shelf": [list(each) for each in shelf(wired)], "title": wired.title,
                "undo": self.listed[-1] if self.listed else "", "redo": self.tried.ahead[0].name if self.tried.ahead else "", "kept": self.kept, "offered": self.offered(), "file": f"{self.tried.changes.before.name or 'mine'}.toml"}

    def _prove(self, message):
        """Say how the rule stands; where that takes long, only when it was asked for by hand."""
        yield {"kind": "proved", **_proved(self.tried.arrangement, None if message.get("wanted") else ENOUGH)}


def published(arrangement):
    """Return the published rules that fit an arrangement, each with its source and the sentences that put it on."""
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    return [{"name": asked.name, "title": asked.title, "source": asked.source,
             "sentences": [f"rule {quoted(lamp)}: {words}" for lamp in lamps if (words := choices_of(lines, lamp))]}
            for asked in map(rule, rule_names()) if (lines := _lines_of(arrangement, asked))]


def _lines_of(arrangement, asked):
    """Return the lines of a rule put on an arrangement; none where it does not fit."""
    try:
        return with_rule(arrangement, asked).rule
    except CircuitLabError:
        return ()


def _loose_words(arrangement):
    """Say which terminals that matter have no wire, which parts have none at all, and which contacts lead nowhere. [text]"""
    loose = [end for _, ends in loose_needs(arrangement) for end in ends]
    spare = [part.name for part in arrangement.listed if not any(arrangement.wires_at[f"{part.name}:{end}"] for end in part.terminals)]
    said = [f"Loose: {_first(loose)}; without a wire there the part cannot work."] * bool(loose)
    said += [f"Without any wire: {_first(spare)}."] * bool(spare)
    free = free_contacts(arrangement)
    contacts = [f"No wire on {_first(free)}: nothing flows over {'that contact' if len(free) == 1 else 'those contacts'}."] * bool(free)
    return " ".join([*(said or ["No terminal that a part needs is loose."]), *contacts])


def _first(names):
    more = len(names) - MOST_NAMED
    return f"{listed(names[:MOST_NAMED])}{f' and {more} more' if more > 0 else ''}"


def _caution_words(arrangement):
    """Say how many cautions there are, save of loose terminals, and the first. [text]"""
    loose = tuple(unwired_words(arrangement))
    cautions = [*(words for words in warnings_for(arrangement) if words not in loose), *unguarded_words(arrangement)]
    if not cautions:
        return "No caution."
    first = f"{cautions[0][0].upper()}{cautions[0][1:]}"
    return f"{counted(len(cautions), 'caution')}{'. First' * (len(cautions) > 1)}: {first}"


def _proved(arrangement, enough):
    """Return in words how the rule stands, whether it is proved, and whether the proof was left because it takes long."""
    silent = arrangement.unruled
    missing = f"{listed(silent)} {'has' if len(silent) == 1 else 'have'} no rule." if silent else ""
    if not arrangement.rule:
        return _said(f"Not proved: {missing or 'there is no lamp yet.'}")
    end = monotonic() + (enough or 0)
    try:
        proof = prove(arrangement, progress=(lambda *told: monotonic() < end) if enough else None)
    except CircuitLabError as error:
        late = enough and monotonic() >= end
        return _said("Not known yet: the proof takes longer than is waited for while you wire. Press 'prove'." if late else f"Not proved: {error}", left=bool(late))
    if proof.is_proved:
        return _said("Proved: every lamp has a rule and every row keeps it.", is_proved=True)
    if proof.failures:
        return _said(f"Not proved: {len(proof.failing_rows)} of {counted(len(proof.table.rows), 'row')} do otherwise. "
                     f"First: {proof.failures[0].sentence}. {missing}".rstrip())
    hot = proof.table.overheated
    if hot and not missing:
        return _said(f"Not proved: the rule is kept, but parts have more than they are made for. First{f' of {len(hot)}' * (len(hot) > 1)}: {hot[0]}.")
    return _said(f"Not proved: {missing or 'what is not known leaves it open.'}")


def _said(words, is_proved=False, left=False):
    return {"words": words, "proved": is_proved, "left": left}
