"""What may be at fault, from what was told: causes, likeliest first, and what to look at or to read next.

Single faults come first. Only where none of them agrees are pairs tried. Nothing is ever certain: what cannot be parted is
told as a span, and something that is on no list keeps odds of its own.
"""

from dataclasses import dataclass, field
from functools import cached_property

from ...arrangements.complaints import WITH_TRAILER
from ...arrangements.pairs import stands_on_trailer
from ...ground.errors import ArrangementError, CircuitLabError
from ...ground.showing import Showing
from .agreeing import is_as_sound
from .assumptions import WORKSHOP, efforts_table, odds_column
from .cause import SHOWN, causes_of
from .customers import read_all
from .elsewhere import elsewhere
from .fuses_told import fuses_among, with_its_fuse
from .next_reading import SURE, Ahead, share_words
from .pairs import pairs_solved
from .repairs import after_failing
from .slips import worst_fit
from .so_far import so_far
from .solved import solved
from .told import Symptom, Taken, read_out_of_reach, read_taken
from .weighing import OTHERWISE, STANDING_IN

NONE_FITS = 0.5     # odds of nothing on the list, from which on pairs are tried
UNSURE = 0.2        # odds of nothing on the list, from which on no repair is likely enough


@dataclass(frozen=True, repr=False)
class Finding(Showing):
    """What may be at fault.

    Attributes
    ----------
    arrangement : Arrangement
        As it is meant to be.
    symptoms : tuple of Symptom
    taken : tuple of Taken
        Readings, and what was looked at.
    away : tuple of str
        Terminals and parts nobody can get at. [text]
    odds : str or dict
        The column of odds, by its name, or a table of one's own.
    efforts : dict of str to float
        What is changed in the table of efforts. [min]
    causes : tuple of Cause
        Likeliest first.
    other : float
        Odds of something that is on no list. [1]
    is_of_pairs : bool
        No single fault agrees: the causes are two faults each. [yes/no]
    contradiction : Slip or None
        The thing told that fits worst beside the others, where one does.
    is_found : bool
        Whether one repair is likely enough to be made, and then proved by a retest; never before anything was read or seen. [yes/no]
    stands_in : bool
        Whether the circuit only stands in for the vehicle's own. [yes/no]
    failed : tuple of str
        Repairs that were made and did not cure it. [text]
    ahead : Ahead or None
        All that may be looked at or read next, sorted out when somebody first asks for it.
    is_as_sound : bool
        No symptom was told, and all that was read and seen is what the sound circuit shows. [yes/no]
    """

    arrangement: object
    symptoms: tuple
    taken: tuple
    away: tuple
    odds: object
    efforts: dict
    causes: tuple
    other: float
    is_of_pairs: bool
    contradiction: object
    is_found: bool
    stands_in: bool = False
    failed: tuple = ()
    ahead: object = field(default=None, compare=False)
    is_as_sound: bool = False

    text_view, html_view = "views.find_words:finding_text", "views.find_words:finding_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        if not self.causes:
            return f"Finding in '{self.arrangement.title}': nothing on the list agrees with what was told."
        best = self.causes[0]
        return f"Finding in '{self.arrangement.title}': {best.words}, {share_words(best.odds)}, is the likeliest of {len(self.causes)}."

    @cached_property
    def next(self):
        """What to do next, as a NextReading; None where nothing more parts what is left, one repair is likely enough, or all readings are vain.

        Nothing is likely enough from symptoms alone: then it is what would refute the likeliest.
        """
        if self.is_vain:
            return None
        if self.ahead and self.ahead.is_done and not self.taken:
            return self.ahead.confirming
        return self.ahead.next if self.ahead else None

    @property
    def is_vain(self):
        """Whether what was told is on no list so surely that every reading would most likely leave it so. [yes/no]"""
        return self.none_agrees and self.other >= SURE

    @property
    def rest(self):
        """The odds of all causes on the list that are not told; 0 where they are not worth a word. [1]"""
        left = float(1.0 - self.other - sum(cause.odds for cause in self.causes))
        return left if self.causes and left >= SHOWN else 0.0

    @property
    def none_agrees(self):
        """Whether no cause agrees with anything that was told. [yes/no]"""
        return bool(self.causes) and not any(fit.agrees for cause in self.causes for fit in cause.fits)

    @cached_property
    def elsewhere(self):
        """Where no cause agrees: in which rows what was told is no fault at all, as a tuple of Elsewhere; else empty."""
        return elsewhere(self.arrangement, self.ahead.solved.weighing, self.symptoms) if self.none_agrees and self.ahead else ()

    @cached_property
    def spans(self):
        """Every Span inside which nothing more can be parted, likeliest first, where that is the end of it; else empty."""
        return self.ahead.spans() if self.ahead and self.next is None and not self.is_found and not self.is_vain else ()

    @cached_property
    def ruled_out(self):
        """Words of the causes that the symptoms alone made worth telling, and that have fallen under it since. [text]"""
        if not self.symptoms or not self.taken:
            return ()
        before = find(self.arrangement, self.symptoms, (), self.odds, self.efforts, self.stands_in, failed=self.failed)
        left = {cause.repair for cause in self.causes if cause.odds >= SHOWN}
        return tuple(cause.words for cause in before.causes if cause.repair not in left)

    def told(self, *sentences):
        """Return the finding with more told: symptoms, readings, or what nobody can get at, in the forms of ``find``. [text]"""
        return find(self.arrangement, self.symptoms, (*self.taken, *(f"cannot get at {name}" for name in self.away), *sentences),
                    self.odds, self.efforts, self.stands_in, failed=self.failed)


def find(arrangement, symptoms=(), readings=(), odds=WORKSHOP, efforts=None, stands_in=False, progress=None, failed=()):
    """Find what may be at fault, from symptoms and readings.

    Parameters
    ----------
    arrangement : Arrangement
        As it is meant to be.
    symptoms : str or iterable of str
        Such as ``"rear left dim when braking"``. [text]
    readings : str or iterable of str
        Such as ``"1.8 V from X3:2 to K1:87a when braking"``, ``"F1 whole"`` or ``"cannot get at X3:2"``; or what another lamp shows. [text]
    odds : str or dict
        ``"workshop practice"`` or ``"handbook rates"``, or what is other in the first. Both are assumptions, and they disagree. [1]
    efforts : dict of str to float, optional
        Other efforts, by a line of the table or by the name of a part: ``{"X3": 20}``. [min]
    stands_in : bool
        The circuit is like the vehicle's, as far as anybody knows, and not its own diagram: what is on no list is likelier. [yes/no]
    progress : callable ``(done, total)``, optional
        Called now and then while candidates are solved; when it returns False, that is stopped. [1]
    failed : iterable of str
        Repairs that were made and did not cure it, such as ``"mend W3"``: what asks for one of them is lowered, as it may have been done badly. [text]

    Returns
    -------
    Finding

    Raises
    ------
    CircuitLabError
        For what cannot be read, and where the sound circuit shows all that is told.

    >>> import circuitlab as cl
    >>> found = find(cl.arrangement("one-fused-lamp"), "E1 dark when lamp switch on", ["F1 whole", "12.5 V from E1:1 to E1:2 when lamp switch on"])
    >>> found.causes[0].words
    'E1 blown'
    """
    symptoms, taken, away = told(arrangement, symptoms, readings)
    column, table = odds_column(odds), efforts_table(efforts, arrangement)
    efforts = dict(efforts or {})
    everything = solved(arrangement, progress)
    weighing = everything.weighing
    _check_is_wrong(weighing, symptoms, taken)
    said = _said_besides(arrangement, symptoms)
    before = after_failing(arrangement, everything.candidates, everything.prior(tuple(column.items()), said), failed)
    otherwise = STANDING_IN if stands_in else OTHERWISE
    found = weighing.posterior(before, symptoms, taken, otherwise=otherwise)
    slip = worst_fit(weighing, found, lambda fewer, less: weighing.posterior(before, fewer, less, otherwise=otherwise), symptoms, taken)
    known, is_of_pairs = so_far(arrangement, table, symptoms, taken, away), False
    if found.other > NONE_FITS or slip and not slip.slip:
        both = pairs_solved(everything, before, found, (*known.rows, *(each.went for each in taken if each.went)), progress)
        twice = both.weighing.posterior([each.share for each in both.candidates], symptoms, taken, 1.0, otherwise)
        if twice.evidence > found.evidence:
            weighing, found, is_of_pairs = both.weighing, twice, True
    ahead = Ahead(weighing.solved, found.weights, known) if symptoms or taken else None
    causes = causes_of(weighing, found, symptoms, taken, ahead)
    if is_of_pairs and causes and all(fit.agrees for fit in causes[0].fits):
        slip = None         # two faults at once explain it all: nothing contradicts
    is_found = bool(ahead and ahead.is_done and found.other < UNSURE and taken)
    return Finding(arrangement, symptoms, taken, away, odds, efforts, causes, found.other, is_of_pairs, slip, is_found, stands_in, tuple(failed), ahead,
                   bool(taken) and not symptoms and is_as_sound(everything.weighing, found, taken))


def told(arrangement, symptoms, readings):
    """Return symptoms, readings and what nobody can get at as records, each once. [text]"""
    listed = [[each] if isinstance(each, (str, Symptom, Taken)) else list(each) for each in (symptoms, readings)]
    away = [name for each in listed[1] if isinstance(each, str) for name in [read_out_of_reach(each, arrangement)] if name]
    fuses, said = fuses_among(listed[0], arrangement)
    seen = [*read_all(said, arrangement)]
    read = [*fuses, *(one for each in listed[1] if not isinstance(each, str) or not read_out_of_reach(each, arrangement)
                      for one in (_read(each, arrangement) if isinstance(each, str) else [each]))]
    seen += [each for each in read if isinstance(each, Symptom)]
    return _once(seen), _once(each for each in read if isinstance(each, Taken)), tuple(dict.fromkeys(away))


def _read(sentence, arrangement):
    """Return the Taken of a sentence, or the Symptoms where other lamps were looked at instead, as a sequence. [text]"""
    try:
        return [read_taken(with_its_fuse(sentence, arrangement), arrangement)]
    except CircuitLabError as error:
        try:
            return read_all([sentence], arrangement)
        except CircuitLabError:
            raise error from None


def _said_besides(arrangement, symptoms):
    """Return what was said besides, each once; that a lamp of a trailer is wrong only with the trailer tells nothing. [text]"""
    return tuple(dict.fromkeys(words for each in symptoms for words in each.said
                               if words != WITH_TRAILER or not stands_on_trailer(arrangement.part(each.lamp))))


def _once(records):
    return tuple({str(each): each for each in records}.values())


def _check_is_wrong(weighing, symptoms, taken):
    """Raise where nothing told is other than in the sound circuit."""
    same = [each for each in symptoms if weighing.healthy_look(each.lamp, each.positions) == each.look]
    if symptoms and not taken and len(same) == len(symptoms):
        raise ArrangementError(f"'{same[0]}' is what the sound circuit shows: nothing is wrong there. Say what is wrong, and in which "
                               "positions of the controls, such as 'rear left dim when braking'.")
