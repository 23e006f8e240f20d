"""The desk behind a board: hears what the page says a hand did, and answers with pictures and curves. No widget here."""

from html import escape

from ...arrangements.apart import Apart, is_pulled
from ...arrangements.history import Changes
from ...arrangements.tried import Tried, cards_of
from ...ground.errors import CircuitLabError, unknown_name
from ...parts import Flasher
from ...reasoning.extremes import extremes
from ...reasoning.leads import take_reading
from ...reasoning.trials import pedals
from ...reasoning.why import why
from ...solving.live import Live
from ...views.attached import draw_attached
from ...views.board import FORMS, picture_of, piece_of, still_of
from ...views.board.pieces import moments_of
from ...views.board.words import came_of, told_of
from ...views.schematic import draw
from ...views.tables import settled_status
from ..stopped import HOW, STOPPED
from .changing import HELP, Changing
from .compared import Compared

TICK = 1_000_000       # of the page's clock [1/s]
AHEAD = 4.0            # s, of a piece
LONGEST = 30.0         # s, of a stretch that the meter looks back over at once


class Desk(Changing, Compared):
    """One arrangement being worked.

    Parameters
    ----------
    arrangement : Arrangement or Changes
        A list of changes is gone on with.
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    form : {"schematic", "attached"}
    prefix : str
        Put before every id of its pictures. [text]
    changes : dict of str to change or tuple of changes
        What can be made and undone, by the words on its button.

    Attributes
    ----------
    live : Live
        The record.
    tried : Tried
        The list of changes: prepared, typed, and values turned.
    apart : Apart
        What hands took out or off.
    """

    def __init__(self, arrangement, positions=None, form="schematic", prefix="board-", changes=()):
        made = arrangement if isinstance(arrangement, Changes) else Changes(arrangement)
        self.prefix, self.last, self.apart, self.tried = prefix, 0, Apart(made.after), Tried(made, cards_of(changes))
        self.live, self.sheet = self._begun(made, dict(positions or {})), None
        self._keys, self._told, self._sent_until, self._meter, self._were, self._seen = {}, set(), 0.0, None, {}, None
        self._lay_out(form)

    @staticmethod
    def _begun(made, positions):
        """Return the record of a circuit whose list of changes goes on: those are made at once."""
        before = made.before
        live = Live(before, {name: place for name, place in positions.items() if not made.entries or name in before.controls_by_name})
        if made.entries:
            live.change(0.0, made.after, made.sentences)
            for name, place in positions.items():
                if name not in before.controls_by_name:
                    live.act(0.0, name, place)
        return live

    @property
    def present(self):
        """The arrangement as it is now."""
        return self.live.arrangement

    def still(self):
        """Return what of the board stands still, as the page wants it."""
        footed = pedals(self.present)
        controls = [{"name": control.name, "positions": control.positions, "shown": control.shown,
                     "springs": control.name in footed} for control in self.present.controls]
        pulled = [part.name for part in self.present.parts if is_pulled(part)]
        before = self.tried.changes.before
        return still_of(self.form, self.sheet) | {"controls": controls, "title": self.present.title, "pulled": pulled,
                                                  "cards": [*self.tried.cards], "dials": [dial._asdict() for dial in self.tried.dials],
                                                  "form": self.form, "zero": self.present.zero, "gone": f"{STOPPED}. {HOW}",
                                                  "file": f"{before.name or 'my'}.changes", "help": HELP}

    def on_paper(self):
        """Return how everything stands now as one drawing and its sentence, for a page without widgets. [HTML]"""
        point = self.live.at(self.live.now)
        picture = {"schematic": draw, "attached": draw_attached}[self.form](self.present, point, prefix=f"{self.prefix}still-")
        phases = "".join(f" Drawn at a moment when {part.name} is {point.states[part.name]}." for part in self.present.of_kind(Flasher))
        return f'<figure style="margin: 0">{picture}<figcaption>{escape(settled_status(point) + phases)}</figcaption></figure>'

    def hear(self, message):
        """Yield the answers to one message of the page, what is wanted first before the rest is worked out."""
        self.last = max(self.last, message.get("act", 0))
        try:
            yield from getattr(self, f"_{message['kind']}")(message)
        except CircuitLabError as error:
            if "act" in message:
                yield from self._stand()
            yield {"kind": "trouble", "words": str(error)}

    # ------------------------------------------------------------- what the page says

    def _hello(self, message):
        self._told = set()
        yield from self._stand()

    def _act(self, message):
        self.live.act(message["at"] / TICK, message["control"], message["position"])
        yield from self._stand(f"{message['control']} {message['position']}")

    def _change(self, message):
        """Take a part out or put it back, take a wire's end off or put it on, or put a new part in the place of a blown one."""
        what, name, terminal = message["what"], message["name"], message.get("terminal", "")
        if what == "new":
            apart, done = self.apart.with_back(name), f"a new {name} put in"
        elif what == "out":
            apart, done = self.apart.without(name), f"{name} taken out"
        elif what == "back":
            apart, done = self.apart.with_back(name), f"{name} put back"
        elif what == "off":
            apart, done = self.apart.lifted(name, terminal), f"{name} off {terminal}"
        else:
            apart, done = self.apart.joined(name, terminal), f"{name} back on {terminal}"
        yield from self._carry_on(message, self.tried, apart, done, (name,) if what == "new" else ())

    def _carry_on(self, message, tried, apart, done, new=()):
        """Go on in a changed circuit from a moment, and say how everything stands."""
        changes = [str(change) for change in (*tried.changes.sentences, *apart.changes)]
        new = (*new, *(dict(self.present.held).keys() - dict(apart.arrangement.held).keys()))    # no longer held: as if never
        self.live.change(message["at"] / TICK, apart.arrangement, changes, new)
        self.tried, self.apart = tried, apart
        if self._lay_out(self.form):
            yield {"kind": "still", "still": self.still()}
        yield from self._stand(done)

    def _form(self, message):
        self._lay_out(message["form"])
        yield {"kind": "still", "still": self.still()}
        yield from self._stand()

    def _more(self, message):
        if message["act"] == self.last:
            yield self._piece(self._sent_until, self._sent_until + AHEAD)

    def _tell(self, message):
        """Say what is read at one thing at a moment, and why."""
        name, point = message["name"], self.live.at(self._moment(message))
        yield {"kind": "told", "name": name, "words": f"{told_of(point, name, self.apart.out)} {why(point, name)}"}

    def _read(self, message):
        """Say what an instrument shows at a moment, and the least and most it showed since its leads were put on."""
        red, black, moment = message["red"], message["black"], self._moment(message)
        reading = take_reading(self.live.at(moment), red, black, message["instrument"], round(moment, 3))
        lowest = highest = None
        if message["instrument"] == "meter":
            lowest, highest = self._most(red, black, message["since"] / TICK, moment)
        yield {"kind": "reading", "words": reading.brief, "value": reading.value, "lowest": lowest, "highest": highest}

    # ------------------------------------------------------------- what it answers

    def _stand(self, done=""):
        """Say how everything stands since the last act, and what lies ahead."""
        key, pictures = self._pictured([self.live.at(self.live.now)])
        yield {"kind": "now", "act": self.last, "at": round(self.live.now * TICK), "key": key[0], "pictures": pictures,
               "out": self.apart.out, "off": self.apart.off, "made": self.tried.made,
               "turned": {dial.words: dial.value for dial in self.tried.dials}, "listed": self.listed}
        yield self._piece(self.live.now, self.live.now + AHEAD, done)

    def _piece(self, begin, end, done=""):
        """Return a piece of what lies ahead, and in words what was done and comes of it."""
        course = self.live.ahead(end)
        end = self._sent_until = min(end, course.until)
        moments = moments_of(course, begin, end)
        keys, pictures = self._pictured([course.at(moment) for moment in moments])
        return {"kind": "ahead", "act": self.last, "from": round(begin * TICK), "until": round(end * TICK),
                "swaps": [[round(moment * TICK), key] for moment, key in zip(moments, keys, strict=True)],
                "pictures": pictures, "curves": piece_of(course, begin, end), "verdict": course.verdict,
                "sentence": course.sentence, "said": came_of(course, done) if done else ""}

    def _pictured(self, points):
        """Return the key of the picture for each point, and those pictures that the page has not been told yet."""
        keys, fresh = [], {}
        for point in points:
            what = (self.form, *self.tried.changes.sentences, self.apart.out, self.apart.off, *point.states.items(), *point.positions.items(), point.verdict)
            key = self._keys.setdefault(what, f"{len(self._keys)}")
            if key not in self._told:
                fresh[key] = picture_of(self.form, self.sheet, self.present, point, self.prefix)
                self._told.add(key)
            keys.append(key)
        return keys, fresh

    def _lay_out(self, form):
        """Lay the present circuit out, as like the sheet before as can be; tell whether that is another sheet. [yes/no]"""
        if form not in tuple(FORMS):
            raise unknown_name("the board", "form", form, FORMS)
        before, is_same = self.sheet, self.sheet is not None and form == self.form
        self.form = form
        self.sheet = FORMS[form].lay_out(self.present, before if is_same else None)
        return self.sheet is not before

    def _moment(self, message):
        """Return a moment of the page's, as far as the record goes. [s]"""
        return max(self.live.begin, min(message["at"] / TICK, self.live.until))

    def _most(self, red, black, since, moment):
        """Return the least and the greatest volts between two leads since a moment; looked at once, kept from then on. [V]"""
        place = (red, black, since)
        if not self._meter or self._meter[0] != place or self._meter[1] > moment:
            self._meter = (place, max(since, self.live.begin, moment - LONGEST), None, None)
        _, seen, *kept = self._meter
        found = extremes(self.live, red, black, seen, moment)[:2]
        lowest, highest = (pick((each for each in pair if each is not None), default=None)
                           for pick, pair in zip((min, max), zip(kept, found), strict=True))
        self._meter = (place, moment, lowest, highest)
        return lowest, highest
