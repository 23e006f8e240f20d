"""Proof: every row, every order and the time course, held against the rule; each failure with its current's path."""

from dataclasses import dataclass, replace
from functools import cached_property
from random import Random
from sys import maxsize

from ..arrangements.not_known import NOT_KNOWN
from ..arrangements.rows import count_rows, row_numbered
from ..ground.errors import ArrangementError, CircuitLabError, listed
from ..ground.plain import blow_words, counted
from ..ground.showing import Showing
from ..parts import Lamp
from ..solving import operating_point
from ..solving.beside_fuses import endangered
from ..solving.buzzing import NO_REST
from .failures import Failure
from .flasher_loads import deaf_flashers
from .going_on import going_on
from .looks import TOO_BRIGHT
from .orders import phase_combinations, stays
from .paths import missing_path, path_to
from .rows import LampTable, look_at
from .rows_at_once import lamp_table, rows_at_once
from .rules import Limits, Rule, rule as read_rule, rule_sentence, with_rule
from .terminals import cells_at, telling_point, terminal_path
from .timing import timed

MOST_ORDERS = 4096   # rows beyond which orders of throwing are not walked through
GLIMMER = 0.1        # V, from where on current that comes another way is told too
THROUGHOUT = ("steady", "pulses", TOO_BRIGHT)    # looks of a lamp that is lit in every flasher phase
MOST_TIMED = 512     # rows beyond which only some are played in time


@dataclass(frozen=True, repr=False)
class Proof(Showing):
    """The outcome of holding an arrangement against a rule.

    Attributes
    ----------
    arrangement : Arrangement
        With the rule in it that was proved.
    rule : Rule or None
        None for the arrangement's own.
    table : LampTable
        Every row, or those of the sample.
    failures : tuple of Failure
    all_rows : int
        How many rows the arrangement has. [1]
    orders : int or None
        Ways of being in a row that were reached by all orders of throwing; None when they were not walked through. [1]
    timing : Timing or None
        What the time courses showed; None when none was played.
    deaf : tuple
        Flashers with lamp-out sensing that no longer tell a lamp out, each with its FlasherLoad.
    """

    arrangement: object
    rule: object
    table: object
    failures: tuple
    all_rows: int
    orders: int | None
    timing: object
    deaf: tuple = ()

    text_view, html_view = "views.proof_words:proof_text", "views.proof_words:proof_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        looked = f"{len(self.table.rows)} of {self.all_rows} rows looked at"
        broken = f"the rule is broken {len(self.failures)} times, in {len(self.failing_rows)} rows"
        hanging = self.table.hanging
        came_out = broken if not self.is_kept else "the rule is kept" if not hanging else "nothing breaks the rule"
        silent = (f", no rule for {listed(self.silent)}: not proved" if self.silent else
                  f", but {counted(len(hanging), 'row')} may, by what is not known: not proved" if self.is_kept and hanging else
                  ", but parts have more than they are made for: not proved" if self.is_kept and self.table.overheated else "")
        return f"{'Look at' if self.silent else 'Proof of'} '{self.arrangement.title}': {came_out}{silent}; {looked}."

    @property
    def is_kept(self):
        """Whether nothing breaks the rule in the rows that were looked at."""
        return not self.failures

    @property
    def is_complete(self):
        """Whether every row was looked at, not only a sample."""
        return len(self.table.rows) == self.all_rows

    @property
    def failing_rows(self):
        """Positions of the rows in which something fails, each once, in the table's order."""
        failing = [failure.positions for failure in self.failures]
        return tuple(row.positions for row in self.table.rows if row.positions in failing)

    @property
    def silent(self):
        """Lamps of which the rule does not speak. [text]"""
        return self.arrangement.unruled

    @property
    def is_proved(self):
        """Whether every row was looked at, none breaks the rule or may, it speaks of every lamp, and nothing overheats or burns out."""
        return self.is_kept and self.is_complete and not self.silent and not self.table.overheated and not self.table.hanging

    def of_row(self, positions):
        """Return the failures of one row."""
        return tuple(failure for failure in self.failures if failure.positions == positions)

    def sight(self, positions):
        """Return what a row looks like, with the way of its first failure that has one; worked out once. [Sight]"""
        key = tuple(positions.items())
        if key not in self._sights:
            told = next((failure for failure in self.of_row(positions) if failure.path), None)
            from .sights import proof_sight    # opened when somebody looks

            self._sights[key] = proof_sight(self, positions, dict(told.phases) if told else "on", told.lamp if told else "")
        return self._sights[key]

    @cached_property
    def _sights(self):
        return {}


def prove(arrangement, rule=None, sample=None, seed=1, timing=True, progress=None):
    """Hold an arrangement against a rule in every row, in every order, and in time.

    Parameters
    ----------
    arrangement : Arrangement
    rule : Rule or str, optional
        A rule, its name in the kit, a file, or sentences; the arrangement's own unless given. [text]
    sample : int, optional
        Look at so many rows drawn by chance instead of all; then orders are not walked through. [1]
    seed : int
        Of the drawing, so that it can be repeated. [1]
    timing : bool
        Whether rate, on-share, start time and steady light are judged from time courses too. [yes/no]
    progress : callable ``(done, total, what)``, optional
        Called now and then, with what is counted: ``rows``, then ``orders`` (of which more may turn up on the way), then
        ``time courses`` by their rows. When it returns False the proof ends there. [1], [1], [text]

    Returns
    -------
    Proof

    Raises
    ------
    ArrangementError
        For an arrangement without a rule, or with more rows than can be looked at without a sample.
    CircuitLabError
        When ``progress`` stops it: half a proof is none.

    >>> import circuitlab as cl
    >>> prove(cl.arrangement("one-fused-lamp")).is_proved
    True
    """
    if rule is not None:
        rule = rule if isinstance(rule, Rule) else read_rule(rule)
        arrangement = with_rule(arrangement, rule)
    if not arrangement.rule:
        raise ArrangementError(f"'{arrangement.title}' has no rule of its own. Give one, such as "
                               "prove(arrangement, 'turn-and-hazard-over-stop') or a sentence.")
    table = _table(arrangement, sample, seed, _told(progress, "rows"))
    failures = [failure for row in table.rows for failure in _of_row(arrangement, row)]
    failures += _colours(arrangement, rule)
    orders = None
    if sample is None and len(table.rows) <= MOST_ORDERS:
        failures, orders = _with_orders(arrangement, table, failures, _told(progress, "orders"))
    played = None
    if timing:
        rows = table.rows[:: -(-len(table.rows) // MOST_TIMED)]
        played = timed(arrangement, rows, rule.limits if rule else Limits(), {_key(failure) for failure in failures},
                       _told(progress, "time courses"))
        failures += [Failure(*each[:4], rule_sentence(arrangement, each.lamp) if each.lamp else "",
                             remarks=_remarks([operating_point(arrangement, each.positions)])) for each in played.broken]
    place = {tuple(row.positions.values()): number for number, row in enumerate(table.rows)}
    failures.sort(key=lambda failure: place.get(tuple(failure.positions.values()), -1))
    return Proof(arrangement, rule, table, tuple(failures), count_rows(arrangement), orders, played, deaf_flashers(arrangement, table))


def _table(arrangement, sample, seed, progress):
    rows = count_rows(arrangement)
    if sample is None:
        return lamp_table(arrangement, progress)
    if not isinstance(sample, int) or isinstance(sample, bool) or sample < 1:
        raise ArrangementError(f"a sample is a number of rows from 1 on, got {sample!r}.")
    chance, number = Random(seed), min(sample, rows)
    if rows <= maxsize:
        numbers = sorted(chance.sample(range(rows), number))
    else:                           # more than Python lets a range count: drawn one by one, hardly ever the same twice
        numbers = sorted({chance.randrange(rows) for _ in range(number)})
    return LampTable(arrangement, rows_at_once(arrangement, [row_numbered(arrangement, each) for each in numbers], progress))


def _told(progress, what):
    """Return what tells of one stage of the work and ends it when that is wanted, or None."""
    if progress is None:
        return None

    def tell(done, total):
        if progress(done, total, what) is False:
            raise CircuitLabError(f"stopped after {done} of {total} {what}: nothing is proved.")
    return tell


def _key(failure):
    return tuple(failure.positions.values()), failure.lamp


# ------------------------------------------------------------------ what fails in a row

def _of_row(arrangement, row):
    """Yield the failures of one row of the lamp table."""
    if row.verdict != "settled":
        yield Failure(row.positions, "", "", f"{row.verdict}: {row.sentence}")
        return
    points = [operating_point(arrangement, row.positions, phases) for phases in phase_combinations(arrangement)
              if row.blown or not row.keeps_rule]
    if row.blown:
        yield Failure(row.positions, "", "", blow_words(row.blown), remarks=endangered(*points))
    yield from _broken(arrangement, row, row.judged, points)


def _broken(arrangement, row, judged, points, throws=()):
    """Yield a failure for each lamp and terminal that breaks the rule at the points of a row, or of one way to be in it."""
    for name, cell in judged.items():
        if cell.keeps_rule or cell.look == NOT_KNOWN:
            continue
        if not all(point.is_settled for point in points):      # time alone decides there, and no point shows the way
            yield Failure(row.positions, name, cell.wanted, cell.look, rule_sentence(arrangement, name))
        elif name in row.cells:
            yield _at_lamp(arrangement, row.positions, name, cell, points, throws)
        else:
            yield _at_terminal(arrangement, row.positions, name, cell, points, throws)


def _at_lamp(arrangement, positions, lamp, cell, points, throws):
    """Return the failure of a lamp at the points of a row, with the path in the phase that gives it away."""
    lights = [point.light(lamp) for point in points]
    path, detour, wanted, look = None, None, cell.wanted, cell.look
    if wanted == "dark":
        point = points[lights.index(max(lights))]
    elif wanted == "steady":
        point = points[lights.index(min(lights))]
        path = missing_path(point, lamp, by_flasher=False)
    else:
        point = points[-1] if look in THROUGHOUT else points[0]
        path = missing_path(point, lamp, by_flasher=True) if look not in THROUGHOUT else None
    if path is None or not path.open_places:
        path = path_to(point, lamp)
    elif abs(point.lamp_volts(lamp)) >= GLIMMER:
        detour = path_to(point, lamp)
    seen = _seen(look, [point_.lamp_meter(lamp) or 0.0 for point_ in points])
    wrong = arrangement.part(lamp).misplaced
    if wrong and look in ("dim", TOO_BRIGHT):       # its volts are there: no way is to be looked at
        return Failure(positions, lamp, wanted, seen, rule_sentence(arrangement, lamp), None, (), throws, remarks=(f"{lamp}: {wrong}", *_remarks(points)))
    return Failure(positions, lamp, wanted, seen, rule_sentence(arrangement, lamp), path, _phases_told(point), throws, detour,
                   _left_operated(point, throws), _remarks(points))


def _at_terminal(arrangement, positions, terminal, cell, points, throws):
    """Return the failure of a terminal at the points of a row, with the way to a test lamp in the phase that gives it away."""
    point = telling_point(points, cell)
    return Failure(positions, terminal, cell.wanted, _seen(cell.look, cell.volts), rule_sentence(arrangement, terminal),
                   terminal_path(point, terminal), _phases_told(point), throws, operated=_left_operated(point, throws),
                   remarks=(f"{terminal}: {cell.remark}",) if cell.remark else ())


def _seen(look, volts):
    """Return a look with the volts read in every phase, if there are any. [text]"""
    read = sorted({f"{abs(each):.1f}" for each in volts}, key=float)
    return look if read == ["0.0"] else f"{look} at {'/'.join(read)} V"


def _phases_told(point):
    return tuple((name, phase) for name, phase in point.phases.items() if point.states[name] != "idle")


def _left_operated(point, throws):
    return tuple(name for name, state in point.states.items() if state == "operated") if throws else ()


def _remarks(points):
    """Return what parts say of themselves at the points of a row, each once. [text]"""
    return tuple(dict.fromkeys(words for point in points for words in point.remarks if words not in point.overheated))


def _colours(arrangement, rule):
    """Yield a failure for every lamp whose light has a colour the rule does not allow at its place."""
    for place, allowed in (rule.colours if rule else {}).items():
        for lamp in arrangement.of_kind(Lamp):
            if lamp.place.lower() == place.lower() and lamp.light not in allowed:
                yield Failure({}, lamp.name, " or ".join(allowed) + " light", f"shows {lamp.light} light",
                              f"{place}: {' or '.join(allowed)}")


# ------------------------------------------------------------------ orders

def _with_orders(arrangement, table, failures, progress):
    """Return the failures, rows that remember judged in each way they are reached, and the number of ways."""
    ways = len(table.rows)
    if any("operated" in part.states for part in arrangement.parts):
        failures, ways = _with_stays(arrangement, table, failures, progress)
    rows = {tuple(row.positions.values()): row for row in table.rows if row.verdict == "settled"}
    for other in going_on(arrangement, [row.positions for row in rows.values()]):
        cells = rows[tuple(other.positions.values())].cells
        unlike = {lamp: seen for lamp, seen in other.flashes.items() if cells[lamp].look not in (seen.look, NOT_KNOWN)}
        ways += bool(unlike)
        failures += [Failure(other.positions, lamp, cells[lamp].wanted, seen.sentence, rule_sentence(arrangement, lamp), throws=other.throws)
                     for lamp, seen in unlike.items() if cells[lamp].wanted and seen.look != cells[lamp].wanted]
    return failures, ways


def _with_stays(arrangement, table, failures, progress):
    """Return the same of relays that hold themselves or race one another."""
    reached = stays(arrangement, progress)
    for row in table.rows:
        ways = reached.get(tuple(row.positions.values()), [])
        if len(ways) == 1 and row.verdict in ("settled", *NO_REST) or not all(way.is_settled for way in ways) or not ways:
            continue
        failures = [failure for failure in failures if failure.positions != row.positions]
        for way in ways:
            failures += _of_stay(arrangement, row, way, len(ways) > 1)
    return failures, sum(map(len, reached.values()))


def _of_stay(arrangement, row, way, tell):
    lamps = {lamp: cell if cell.look == NOT_KNOWN else replace(cell, look=look_at(way.points, lamp))
             for lamp, cell in row.cells.items()}
    judged = {**lamps, **cells_at(arrangement, row.positions, way.points)}
    return _broken(arrangement, row, judged, way.points, way.throws if tell else ())
