"""The desk behind a board: hears what the page says a hand did, and answers with pictures and curves. No widget here."""

from ...arrangements import changed
from ...ground.errors import CircuitLabError
from ...reasoning.trials import pedals
from ...views.board import FORMS, picture_of, piece_of, still_of
from ...views.board.pieces import moments_of
from ...solving.live import Live

TICK = 1_000_000       # of the page's clock [1/s]
AHEAD = 4.0            # s, of a piece


class Desk:
    """One arrangement being worked.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str, optional
        Where the controls stand to begin with. [text]
    form : {"schematic", "attached"}
    prefix : str
        Put before every id of its pictures. [text]

    Attributes
    ----------
    live : Live
        The record.
    """

    def __init__(self, arrangement, positions=None, form="schematic", prefix="board-"):
        self.form, self.prefix, self.last = form, prefix, 0
        self.live = Live(arrangement, positions)
        self.sheet = FORMS[form].lay_out(arrangement)
        self._keys, self._told, self._sent_until = {}, set(), 0.0

    @property
    def present(self):
        """The arrangement as it is now, with what is pulled and lifted."""
        return self.live.arrangement

    def still(self):
        """Return what of the board stands still, as the page wants it."""
        footed = pedals(self.present)
        controls = [{"name": control.name, "positions": control.positions, "shown": control.shown,
                     "springs": control.name in footed} for control in self.present.controls]
        return still_of(self.form, self.sheet) | {"controls": controls, "title": self.present.title, "prefix": self.prefix}

    def hear(self, message):
        """Yield the answers to one message of the page, what is wanted first before the rest is worked out."""
        self.last = max(self.last, message.get("act", 0))
        try:
            yield from getattr(self, f"_{message['kind']}")(message)
        except CircuitLabError as error:
            yield from self._stand()
            yield {"kind": "trouble", "words": str(error)}

    def _stand(self):
        """Say how everything stands since the last act, and what lies ahead."""
        yield self._now()
        yield self._piece(self.live.now, self.live.now + AHEAD)

    def _hello(self, message):
        self._told = set()
        yield from self._stand()

    def _act(self, message):
        self.live.act(message["at"] / TICK, message["control"], message["position"])
        yield from self._stand()

    def _more(self, message):
        if message["act"] == self.last:
            yield self._piece(self._sent_until, self._sent_until + AHEAD)

    def _now(self):
        key, pictures = self._pictured([self.live.at(self.live.now)])
        return {"kind": "now", "act": self.last, "at": round(self.live.now * TICK), "key": key[0], "pictures": pictures}

    def _piece(self, begin, end):
        """Return a piece of what lies ahead."""
        course = self.live.ahead(end)
        end = self._sent_until = min(end, course.until)
        moments = moments_of(course, begin, end)
        keys, pictures = self._pictured([course.at(moment) for moment in moments])
        return {"kind": "ahead", "act": self.last, "from": round(begin * TICK), "until": round(end * TICK),
                "swaps": [[round(moment * TICK), key] for moment, key in zip(moments, keys, strict=True)],
                "pictures": pictures, "curves": piece_of(course, begin, end), "verdict": course.verdict, "sentence": course.sentence}

    def _pictured(self, points):
        """Return the key of the picture for each point, and those pictures that the page has not been told yet."""
        keys, fresh = [], {}
        for point in points:
            what = (*point.states.items(), *point.positions.items(), point.verdict)
            key = self._keys.setdefault(what, f"{len(self._keys)}")
            if key not in self._told:
                fresh[key] = picture_of(self.form, self.sheet, self.present, point, self.prefix)
                self._told.add(key)
            keys.append(key)
        return keys, fresh
