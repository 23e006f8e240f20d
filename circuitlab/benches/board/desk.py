"""The desk behind a board: hears what the page says a hand did, and answers with pictures and curves. No widget here."""

from dataclasses import replace
from html import escape
from typing import NamedTuple

from ...arrangements import SetValue
from ...arrangements.apart import Apart, is_pulled, pulling_words
from ...arrangements.cards import check_cards
from ...arrangements.history import Changes
from ...arrangements.plan import stood
from ...arrangements.tried import Tried, cards_of
from ...ground.errors import ArrangementError, CircuitLabError, unknown_name
from ...parts import Flasher
from ...reasoning.extremes import extremes
from ...reasoning.leads import ohms_refused, take_reading
from ...reasoning.not_known import otherwise_words
from ...reasoning.trials import pedals
from ...reasoning.why import why
from ...solving.live import Live
from ...solving.time_course import TICK
from ...views.attached import draw_attached
from ...views.board import FORMS, picture_of, piece_of, still_of
from ...views.board.pieces import moments_of
from ...views.board.words import came_of, told_of
from ...views.schematic import draw
from ...views.tables import settled_status
from ..stopped import HOW, STOPPED
from .changing import HELP, Changing
from .compared import Compared
from .listed import listed
from .listing import Listing
from .played import Played
from .rows import Rows
from .stored import Stored

AHEAD = 4.0            # s, of a piece
HANDS = ("act", "change", "card", "dial", "typed", "undo", "redo")
LONGEST = 30.0         # s, of a stretch that the meter looks back over at once


class Drawn(NamedTuple):
    """The last sheet of a form, the plan that the circuit had then, and whether it was laid out anew since the board began."""

    sheet: object
    plan: object
    is_anew: bool = False


class Desk(Rows, Played, Changing, Compared, Listing, Stored):
    """One arrangement being worked.

    Parameters
    ----------
    arrangement : Arrangement, Changes, Proof, FaultTable or Comparison
        A list of changes is gone on with; of a table the first of its lines that stands out.
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
        self.prefix, self.last, self.form, self.cards, self._relaid = prefix, 0, form, cards_of(changes), False
        lines = listed(arrangement)
        check_cards(lines.arrangement if lines else arrangement, changes)
        if not lines:
            self.begin(Tried(arrangement if isinstance(arrangement, Changes) else Changes(arrangement), self.cards), positions)
        elif positions:
            raise ArrangementError("the lines of a table say where the controls stand. Leave 'positions' out, or open the board with the arrangement.")
        else:
            self._open_lines(lines)

    def begin(self, tried, positions=None, throws=(), apart=None):
        """Begin a new record, at rest: a circuit with some changes made already, drawn as like as can be to it without them.

        Parameters
        ----------
        tried : Tried
        positions : dict of str to str, optional
            Where the controls stand. [text]
        throws : tuple of (str, str)
            What is thrown in the place of that, a second apart, everything at rest before. [text]
        apart : Apart, optional
            What is out or off already.
        """
        apart = apart or Apart(tried.arrangement)
        live = Live(apart.arrangement, None if throws else positions)
        for second, throw in enumerate(throws, start=1):
            live.act(float(second), *throw)
        self.tried, self.apart, self.live, self.began, self.coming = tried, apart, live, (tried, apart), []
        self._keys, self._told, self._sent_until, self._meter, self._were, self._seen, self.sheet = {}, set(), 0.0, None, {}, None, None
        self._asked = ""        # what was told of last [text]
        self.clock = 0          # of a page, as far as it was heard of [us]
        self._first, self._drawn, self._sheets = {}, {}, 0      # of each form the sheet of the circuit unchanged, and the last with the plan it had
        self._lay_out(self.form)

    @property
    def present(self):
        """The arrangement as it is now."""
        return self.live.arrangement

    def still(self):
        """Return what of the board stands still, as the page wants it."""
        footed = pedals(self.present)
        controls = [{"name": control.name, "positions": control.positions, "shown": control.shown,
                     "springs": control.name in footed} for control in self.present.controls]
        pulled = {part.name: pulling_words(part)[:2] for part in self.present.parts if is_pulled(part)}
        plugs = [part.name for part in self.present.parts if part.parted and part.name in pulled and not part.seat]
        before = self.tried.changes.before
        deeds = {name: [[words, str(SetValue(part.name, field, value))] for words, field, value in part.deeds]
                 for part in self.present.parts if part.deeds for name in (part.name, *(each.name for each in part.seats))}
        return still_of(self.form, self.sheet) | {"controls": controls, "title": self.present.title, "pulled": pulled, "plugs": plugs, "deeds": deeds,
                                                  "cards": [*self.tried.cards], "dials": [dial._asdict() for dial in self.tried.dials],
                                                  "rows": self.lines is not None, "acts": True, "lists": True, "opens": self._opens,
                                                  "form": self.form, "zero": self.present.zero, "gone": f"{STOPPED}. {HOW}",
                                                  "file": f"{before.name or 'my'}.changes", "help": HELP, "example": self.example}

    @property
    def _opens(self):
        """What is open below the drawing at first: acts of a script, lines of a table, the list of a circuit with nothing wired. [text]"""
        return "acts" if self.coming else "rows" if self.lines else "" if self.present.wires else "list"

    def on_paper(self):
        """Return how everything stands now as one drawing and its sentence, for a page without widgets. [HTML]"""
        point = self.live.at(self.live.now)
        picture = {"schematic": draw, "attached": draw_attached}[self.form](self.present, point, prefix=f"{self.prefix}still-")
        phases = "".join(f" Drawn at a moment when {part.name} is {point.states[part.name]}." for part in self.present.of_kind(Flasher))
        return f'<figure style="margin: 0">{picture}<figcaption>{escape(settled_status(point) + phases)}</figcaption></figure>'

    def hear(self, message):
        """Yield the answers to one message of the page, what is wanted first before the rest is worked out."""
        self.last = max(self.last, message.get("act", 0))
        self.clock = max(self.clock, message.get("at", 0))
        if message["kind"] in HANDS:
            self.coming = []        # a hand goes on by itself
        try:
            for answer in getattr(self, f"_{message['kind']}")(message):
                self._relaid = self._relaid or answer["kind"] == "still"
                yield answer
        except CircuitLabError as error:
            if "act" in message:
                yield from self._stand()
            yield {"kind": "trouble", **_trouble(error), "of": message["kind"], "asked": message.get("words", "")}

    # ------------------------------------------------------------- what the page says

    def _hello(self, message):
        self._told = set()
        if self._relaid:        # the page may have begun anew with the first one
            yield {"kind": "still", "still": self.still()}
        yield from self._stand(at=self.clock / TICK)

    def _stop(self, message):
        """Nothing to answer: where the page's time stands is known by now."""
        return ()

    def _act(self, message):
        self.live.act(message["at"] / TICK, message["control"], message["position"])
        yield from self._stand(f"{message['control']} {message['position']}")

    def _change(self, message):
        """Take a part out or put it back, take a wire's end off or put it on, or put a new part in the place of a blown one."""
        what, name, terminal = message["what"], message["name"], message.get("terminal", "")
        if what == "new":
            apart, done = self.apart.with_back(name), f"a new {name} put in"
        elif what == "out":
            apart, done = self.apart.without(name), f"{name} {pulling_words(self.present.part(name))[2]}"
        elif what == "back":
            apart, done = self.apart.with_back(name), f"{name} {pulling_words(self.present.part(name))[3]}"
        elif what == "off":
            apart, done = self.apart.lifted(name, terminal), f"{name} off {terminal}"
        else:
            apart, done = self.apart.joined(name, terminal), f"{name} back on {terminal}"
        yield from self._carry_on(message, self.tried, apart, done, (name,) if what == "new" else ())

    def _carry_on(self, message, tried, apart, done, new=()):
        """Go on in a changed circuit from a moment, and say how everything stands."""
        new = dict.fromkeys((*new, *(dict(self.present.held).keys() - dict(apart.arrangement.held).keys())))    # no longer held: as if never
        self.live.change(message["at"] / TICK, apart.arrangement, self.sentences(tried, apart), new)
        self.tried, self.apart = tried, apart
        is_relaid = self._lay_out(self.form)
        if self.lists:
            self.keep()
            yield self.as_list(message["words"] if message.get("kind") == "typed" else "")
        if is_relaid:
            yield {"kind": "still", "still": self.still()}
        yield from self._stand(done)
        if self._asked:         # what the page shows of a thing was read in the circuit before
            yield from self._tell({"name": self._asked, "at": round(self.live.now * TICK)})

    def _form(self, message):
        self._lay_out(message["form"])
        yield {"kind": "still", "still": self.still()}
        yield from self._stand(ahead=self.clock / TICK)     # what has been since the last act is drawn anew as well

    def _more(self, message):
        if message["act"] == self.last:
            yield self._piece(self._sent_until, self._sent_until + AHEAD)

    def _tell(self, message):
        """Say what is read at one thing at a moment, and why."""
        name, point = message["name"], self.live.at(self._moment(message))
        self._asked = name
        if not _has(point.arrangement, name):     # undone while the page still showed it
            yield {"kind": "told", "name": name, "words": ""}
            return
        part = None if ":" in name else point.arrangement.part(name)
        red = name if part is None else part.ends[0]
        hanging = self.apart.hanging(name) if point.arrangement == self.present else {}       # else of a moment before
        because = "" if hanging else f"{why(point, name)} {otherwise_words(point, red)}"
        yield {"kind": "told", "name": name, "words": f"{told_of(point, name, self.apart.out, hanging)} {because}".strip()}

    def _read(self, message):
        """Say what an instrument shows at a moment, and the least and most it showed since its leads were put on."""
        red, black, moment = message["red"], message["black"], self._moment(message)
        point, instrument = self.live.at(moment), message["instrument"]
        gone = next((end for end in (red, black) if not _has(point.arrangement, end)), "")
        if gone:
            yield {"kind": "reading", "words": f"{gone} is not there at this moment. Put its lead on another terminal.", "value": None, "lowest": None, "highest": None}
            return
        reading = take_reading(point, red, black, instrument, round(moment, 3))
        refused, lowest, highest = instrument == "ohms" and ohms_refused(point, red, black), None, None
        if refused:
            yield {"kind": "reading", "words": refused, "value": None, "lowest": None, "highest": None}
            return
        if instrument == "meter":
            lowest, highest = self._most(red, black, message["since"] / TICK, moment)
        otherwise = otherwise_words(point, red, black) if instrument == "meter" else ""
        yield {"kind": "reading", "words": f"{reading.brief} {otherwise}".strip(), "value": reading.value, "lowest": lowest, "highest": highest}

    # ------------------------------------------------------------- what it answers

    def fresh(self):
        """Say that a new record has begun: the sheet, how everything stands, and what lies ahead."""
        yield {"kind": "still", "still": self.still(), "fresh": True}
        if self.lists:
            yield self.as_list()
        yield from self._stand()

    def _stand(self, done="", at=0.0, ahead=0.0):
        """Say how everything stands since the last act, as far back as is kept, or at a later moment; and what lies ahead, of a moment too. [s]"""
        at = max(self.live.now, self.live.begin, min(at, self.live.until))
        key, pictures = self._pictured([self.live.at(at)])
        yield {"kind": "now", "act": self.last, "at": round(at * TICK), "key": key[0], "pictures": pictures,
               "out": [each for name in self.apart.out for each in (name, *(lamp.name for lamp in self.present.part(name).seats))], "off": self.apart.off, "next": self.next_at, "made": self.tried.made,
               "turned": {dial.words: dial.value for dial in self.tried.dials}, "listed": self.listed, "apart": self.apart_words}
        yield self._piece(at, max(at, min(ahead, self.live.until)) + AHEAD, done)

    def _piece(self, begin, end, done=""):
        """Return a piece of what lies ahead, and in words what was done and comes of it."""
        course = self.live.ahead(end)
        end = self._sent_until = min(end, course.until)
        moments = moments_of(course, begin, end)
        keys, pictures = self._pictured([course.at(moment) for moment in moments])
        return {"kind": "ahead", "act": self.last, "from": round(begin * TICK), "until": round(end * TICK),
                "swaps": [[round(moment * TICK), key] for moment, key in zip(moments, keys, strict=True)],
                "pictures": pictures, "curves": piece_of(course.since(max(begin, course.begin)), begin, end), "verdict": course.verdict,
                "sentence": course.sentence, "said": came_of(course, done) if done else ""}

    def _pictured(self, points):
        """Return the key of the picture for each point, and those pictures that the page has not been told yet."""
        keys, fresh = [], {}
        for point in points:
            what = (self._sheets, *self.tried.changes.sentences, self.apart.out, self.apart.off, *point.states.items(), *point.positions.items(), point.verdict)
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
        was, before = self.sheet, self.tried.changes.before
        first = self._first[form] = self._first.get(form) or FORMS[form].lay_out(before)
        is_first = self.present == before and self.present.plan == before.plan and not (form in self._drawn and self._drawn[form].is_anew)
        self.sheet = first if is_first else FORMS[form].lay_out(*self._as_it_stands(form, first))
        self.form, is_anew = form, form in self._drawn and self._drawn[form].is_anew
        self._drawn[form] = Drawn(self.sheet, self.present.plan, is_anew)
        self._sheets += self.sheet is not was
        return self.sheet is not was

    def _as_it_stands(self, form, first):
        """Return the present circuit with the plan of the last sheet, save for parts stood elsewhere or back, and what else it is like."""
        if form not in self._drawn:
            return self.present, first
        had = self._drawn[form]
        plan = stood(form, self.present.plan, had.plan, had.sheet.plan)
        plan = plan if had.is_anew else plan.beside(first.plan)
        return replace(self.present, plan=plan), had.sheet if form == "schematic" or had.plan == self.present.plan else None

    def _anew(self, message):
        """Lay the current-path drawing out anew, as if it had never been drawn: nothing stands where it stood."""
        bare = replace(self.present, plan=replace(self.present.plan, schematic=(), later=(), ways=()))
        self.form, self.sheet = "schematic", FORMS["schematic"].lay_out(bare)
        self._drawn["schematic"] = Drawn(self.sheet, self.present.plan, True)
        self._sheets += 1
        yield {"kind": "still", "still": self.still()}
        yield from self._stand(ahead=self.clock / TICK)

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


def _has(arrangement, name):
    """Tell whether a circuit has a part, wire or terminal of that name. [yes/no]"""
    return name in arrangement.wires_at or name in arrangement.by_name


def _trouble(error):
    """Return what is wrong in words, the circuit before the hand called no name, and which word or name that was typed it is about."""
    where, about = (str(error.pieces.get(what) or "") for what in ("where", "typed"))
    words, rest = str(error), str(error).removeprefix(where)
    if where.startswith("arrangement ") and words != rest:
        words = f"this circuit{rest}"
    return {"words": words, "about": about or next((str(error.pieces[what]) for what in ("got", "name", "part") if what in error.pieces), "")}
