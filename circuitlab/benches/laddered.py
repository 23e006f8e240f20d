"""A question with variants and the ladder of help: its widgets and its lines in the record."""

import time
from html import escape

import ipywidgets as widgets

from ..teaching.ladder import Ladder, Refused, Reply
from ..teaching.paper import HOW_SURE, paper
from ..teaching.record_lines import sound
from .asked import CLOSED, SURE, Asked
from .entries import OneOf, entry_for
from .spoken import outermost
from .stopped import picture_place

PAUSE = 5.0     # s, to read the reply to a second wrong try before a third
_HELP = {"twin": "Show a worked twin", "key": "Show the key"}


class Laddered(Asked):
    """One question of the ladder; a lesson makes it.

    Parameters
    ----------
    record : Record
    task : Task
    code : str, optional
        Issued code. [text]
    reveal : callable, optional
        Gets the circuit and the picks; what to show once the question is closed: text, SVG or HTML.
    key_idea : str
        One sentence shown with it. [text]
    opens_after : question, optional
        One that must have an answer first.
    with_confidence : bool
        Whether to ask how sure.
    once : bool
        A prediction: one try, then the result opens whatever was said.
    """

    kind = "tried"

    def __init__(self, record, task, code=None, reveal=None, key_idea="", opens_after=None, with_confidence=False,
                 once=False):
        super().__init__(record, task.item, task.question)
        self._task, self._ladder, self._code = task, Ladder(task, code), code
        self._reveal, self._key_idea, self._after, self._not_before = reveal, key_idea, opens_after, 0.0
        self._once = once
        self._sure = OneOf({word: word for word in SURE}, "think so") if with_confidence else None
        self._more = self._made("", self.help)
        self._new = self._made("New numbers", self.renew)
        self._shown, self.view = widgets.HTML(""), outermost()
        (self._speaking,) = self.view.children
        picture_place(self._guard.place)
        self._pose()

    def _made(self, words, action):
        button = widgets.Button(description=words, layout=widgets.Layout(width="auto"))
        button.on_click(self._guard.watch(lambda _: action()))
        return button

    def _pose(self):
        """Put the variant that is asked now on the page."""
        posed = self._ladder.posed
        self.question = posed.question
        self._entry = entry_for(posed.kind)
        self._reason = OneOf({reason: reason for reason in posed.reasons}, upright=True) if posed.reasons else None
        words = widgets.HTML(f"<p><b>{escape(posed.question)}</b></p>")
        parts = [words, self._entry.box]
        if self._reason:
            parts += [widgets.HTML("<div>Why? Choose a reason; a second try needs one.</div>"), self._reason.box]
        if self._sure:
            self._sure.put("think so")
            parts += [widgets.HTML(f"<div>{HOW_SURE}</div>"), self._sure.box]
        foot = widgets.HTML(f'<div style="font-size:.85em">{escape(self._foot)}</div>')
        row = widgets.HBox([self._button, self._more, self._new],
                           layout=widgets.Layout(flex_flow="row wrap", align_items="flex-end"))
        self.view.children = [*parts, row, self._reply, self._shown, self._guard.place, foot, self._speaking]
        self._reply.value = self._shown.value = ""
        if self._once and self._reveal:
            self._say(CLOSED)
        self._show_buttons()

    @property
    def _foot(self):
        if not self._ladder.can_renew:
            return f"Kit {self.record.version}."
        seed = f"code {self._code}, seed {self._ladder.seed}" if self._code else f"open seed {self._ladder.seed}"
        return f"Variant: {seed}. Kit {self.record.version}."

    @property
    def _is_open(self):
        """Whether the result may be seen."""
        return self._ladder.is_closed or self._once and bool(self._ladder.tries)

    def _show_buttons(self):
        what = None if self._once else self._ladder.next_help
        self._more.description = _HELP.get(what, "")
        self._more.layout.display = "" if what else "none"
        self._new.layout.display = "" if self._ladder.can_renew else "none"

    # ------------------------------------------------------------------ what the learner does

    def _clicked(self):
        if time.monotonic() < self._not_before:
            self._say("Read the reply first; Commit opens again in a few seconds.", *self._said)
            return
        try:
            self.commit(self._entry.value, self._sure.value if self._sure else None,
                        self._reason.value if self._reason else None)
        finally:
            if len(self._ladder.tries) == 2 and not self._ladder.is_right:
                self._not_before = self._not_before or time.monotonic() + PAUSE

    def commit(self, value, confidence=None, reason=None):
        """Answer, and write the answer down; a blank, nonsense or an unchanged try is not counted."""
        if self._after is not None and not self._after.is_answered:
            self._say(CLOSED)
            return
        if self._once and self._ladder.tries:
            self._say("A prediction is made once. Compare it with the result.", *self._said)
            return
        value = sound(value)
        try:
            reply = self._ladder.commit(value, reason)
        except Refused as refused:
            self._say(escape(_capital(refused)), *self._said)
            return
        self._take(value, reason, reply)
        tries = self._ladder.tries
        self.record.add(self.item, "tried", seed=self._ladder.seed, **{"try": len(tries)}, answer=value, reason=reason,
                        confidence=confidence, right=reply.right, idea=reply.idea, step=reply.step, credit=reply.credit)

    def help(self):
        """Show the next help after three tries: a worked twin, then the key."""
        what, sentences = self._ladder.help()
        self._tell(sentences)
        self.record.add(self.item, "helped", seed=self._ladder.seed, what=what)

    def renew(self):
        """Ask with fresh numbers."""
        self._ladder.renew()
        self._not_before = 0.0
        self._pose()
        self._say("Fresh numbers: the question asks anew.")
        self.record.add(self.item, "renewed", seed=self._ladder.seed)

    def resume(self):
        """Take up where an earlier sitting left off."""
        events = [event for event in self.record.events(self.item) if event.get("event") in ("tried", "helped", "renewed")]
        before, last = self._ladder.seed, self._ladder.replay(events)
        if self._ladder.seed != before:
            self._pose()
        if self._ladder.tries and isinstance(last, Reply):
            last_try = self._ladder.tries[-1]
            self._take(last_try["answer"], last_try["reason"], last)
        elif last:
            self._tell(last[1])

    # ------------------------------------------------------------------ what is shown

    _said = ()

    def _take(self, value, reason, reply):
        self._entry.put(value)
        if self._reason:
            self._reason.put(reason)
        self._guard.say("")
        self._tell((f"Try {len(self._ladder.tries)}. {reply.sentences[0]}", *reply.sentences[1:]))

    def _tell(self, sentences):
        self.is_answered = bool(self._ladder.tries)
        self._said = tuple(map(escape, sentences))
        key = f"<i>{escape(self._key_idea)}</i>" if self._key_idea and self._is_open else ""
        self._say(*self._said, key)
        if self._reveal and self._is_open:
            variant = self._ladder.posed._variant
            self._shown.value = str(self._reveal(variant.circuit, **variant.picks))
        self._show_buttons()

    def on_paper(self):
        """Return the question as a form for print: its boxes, its reasons, its seed; no answer."""
        posed = self._ladder.posed
        return paper(self.item, posed.question, posed.kind.on_paper(), SURE if self._sure else (), posed.reasons, self._foot)

    def __dir__(self):
        return [*super().__dir__(), "help", "renew", "reasons", "seed", "credit", "is_right"]

    @property
    def is_right(self):
        """Whether the last try agreed, None where there is none yet with these numbers."""
        return self._ladder.is_right if self._ladder.tries else None

    @property
    def reasons(self):
        """The reasons to choose from. [text]"""
        return self._ladder.posed.reasons

    @property
    def seed(self):
        """Of the variant that is asked now. [1]"""
        return self._ladder.seed

    @property
    def credit(self):
        """Earned in the variant that is asked now. [1]"""
        return self._ladder.credit


def _capital(error):
    return f"{str(error)[:1].upper()}{str(error)[1:]}"
