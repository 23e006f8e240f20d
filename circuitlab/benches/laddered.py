"""A check as widgets: it has variants, climbs the ladder of help, and writes each step into the record."""

import time
from html import escape
from operator import attrgetter

import ipywidgets as widgets

from ..ground.arguments import checked
from ..teaching.book import CLOSED
from ..teaching.fairness import fairness
from ..teaching.ladder import Reply
from ..teaching.paper import HOW_SURE, SURE, USUAL
from .asked import WORDS, Asked
from .entries import OneOf, entry_for
from .spoken import outermost
from .stopped import picture_place

PAUSE = 5.0     # s, to read the reply to a second wrong try before a third
_HELP = {"twin": "Show a worked twin", "key": "Show the key"}


class Laddered(Asked):
    """One question of the ladder; a lesson makes it."""

    fairness = checked(fairness, 1)

    def __init__(self, record, book, item):
        super().__init__(record, book, item)
        self._not_before = 0.0
        self._sure = OneOf(SURE, value=USUAL) if self.asked.with_confidence else None
        self._more = self._guard.button("", self.help, width="auto")
        self._new = self._guard.button(self.way.another, self.renew, width="auto")
        self.view = outermost()
        (self._speaking,) = self.view.children
        picture_place(self._guard.place)
        self._pose()

    def _pose(self):
        """Put the variant that is asked now on the page."""
        posed = self.way.posed
        self._entry = entry_for(posed.kind)
        self._reason = OneOf(posed.reasons, upright=True) if posed.reasons else None
        words = widgets.HTML(f"<p><b>{escape(posed.question)}</b></p>")
        parts = [words, self._entry.box]
        if self.way.earned.rule and not self.asked.once:
            parts.append(widgets.HTML(f"<div>{escape(self.way.earned.rule)}</div>"))
        if self._reason:
            parts += [widgets.HTML("<div>Why? Choose a reason; a second try needs one.</div>"), self._reason.box]
        if self._sure:
            self._sure.put(USUAL)
            parts += [widgets.HTML(f"<div>{HOW_SURE}</div>"), self._sure.box]
        self._new.tooltip = self._foot
        row = widgets.HBox([self._button, self._more, self._new],
                           layout=widgets.Layout(flex_flow="row wrap", align_items="flex-end"))
        self.view.children = [*parts, row, self._reply, self._shown, self._guard.place, self._speaking]
        self._reply.value = self._shown.value = ""
        if self.asked.once and self.asked.reveal:
            self._say(CLOSED)
        self._show_buttons()

    @property
    def _foot(self):
        if not self.way.can_renew:
            return f"Kit {self.record.version}."
        seed = f"code {self.book.code}, seed {self.seed}" if self.book.code else f"open seed {self.seed}"
        return f"Variant: {seed}. Kit {self.record.version}."

    def _show_buttons(self):
        what = self.way.next_help
        self._more.description = _HELP.get(what, "")
        self._more.layout.display = "" if what else "none"
        self._new.layout.display = "" if self.way.can_renew else "none"

    # ------------------------------------------------------------------ what the learner does

    def _clicked(self):
        if time.monotonic() < self._not_before:
            self._say("Read the reply first; Commit opens again in a few seconds.", *self._said)
            return
        try:
            self.commit(self._entry.value, self._sure.value if self._sure else None,
                        self._reason.value if self._reason else None)
        finally:
            if len(self.way.tries) == 2 and not self.way.is_right:
                self._not_before = self._not_before or time.monotonic() + PAUSE

    def help(self):
        """Show the next help after three tries: a worked twin, then the key."""
        sentences, line = self.book.help(self.item)
        self._tell(sentences)
        self._write(line)

    def renew(self):
        """Ask with fresh numbers."""
        line = self.book.renew(self.item)
        self._not_before = 0.0
        self._pose()
        self._say("The question asks anew.")
        self._write(line)

    def anew(self):
        """Show the variant that is asked now, with what the record holds of it."""
        self._not_before = 0.0
        self._pose()
        self.take_up()

    def resume(self):
        """Take up where an earlier sitting left off."""
        events = self.record.events(self.item)
        before, last = self.seed, self.book.replay(self.item, events)
        if self.seed != before:
            self._pose()
        if not self.way.tries:
            return
        self._put_back()
        if self._sure:
            self._sure.put(next((each.get("confidence") for each in reversed(events) if each["event"] == "tried"), None) or USUAL)
        if isinstance(last, Reply):
            self._take(last)
        elif last:
            self._tell(last[1])

    def _put_back(self):
        """Show the last try as it was given."""
        made = self.way.tries[-1]
        self._entry.put(made["answer"])
        if self._reason:
            self._reason.put(made["reason"])

    # ------------------------------------------------------------------ what is shown

    def _take(self, reply, confidence=None):
        self._put_back()
        self._guard.say("")
        self._tell((f"Try {len(self.way.tries)}. {reply.sentences[0]}", *reply.sentences[1:]), reply.verdict)

    def _tell(self, sentences, judged=None):
        first, *more = map(escape, sentences)
        self._said = (WORDS.get(judged, "") + first, *more)
        self._say(*self._said, self._key_idea, judged=judged)
        if self.asked.reveal and self.way.is_open:
            variant = self.way.posed.variant
            self._shown.value = str(self.asked.reveal(variant.circuit, **variant.picks))
        self._show_buttons()

    def on_paper(self):
        """Return the question as a form for print: its boxes, its reasons, its seed; no answer."""
        return self.book.on_paper(self.item, self._foot)

    def __dir__(self):
        return [*super().__dir__(), "help", "renew", "reasons", "seed", "credit", "is_right"]

    @property
    def is_right(self):
        """Whether the last try agreed, None where there is none yet with these numbers."""
        return self.way.is_right if self.way.tries else None

    task = property(attrgetter("asked.task"), doc="The question as data. [Task]")
    reasons = property(attrgetter("way.reasons"), doc="The reasons to choose from. [text]")
    seed = property(attrgetter("way.seed"), doc="Of the variant that is asked now. [1]")
    credit = property(attrgetter("way.credit"), doc="Earned in the variant that is asked now. [1]")
