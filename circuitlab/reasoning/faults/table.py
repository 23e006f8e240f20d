"""The fault table: every fault in every row, classed and ranked."""

from dataclasses import dataclass, replace
from functools import cached_property, wraps

from ...arrangements.rows import check_rows, moved, phases_of, rows_of
from ...ground.errors import ArrangementError
from ...ground.showing import Showing, for_console
from ...parts import Lamp
from ...solving import operating_point
from ...solving.beside_fuses import endangered
from ..looks import differs
from ..rows import troubles_of
from ..rows_at_once import lamp_table
from ..rules import with_rule
from ..trials import pedals
from .batches import observe_all
from .catalogue import Fault, as_fault, single_faults
from .classing import CLASSES, Classing
from ..observing import DARK
from .probing import Probing
from .readings import best_reading

TOGETHER = 256    # faults solved at once
HEALTHY = Fault((), "", "no fault", "healthy", 1.0)
SWAPS = "bulb turned round"      # the kind of fault of which both halves are told: one lamp dim, the other too bright
WATCHED = 64      # the same where somebody waits for progress or may want to stop


@dataclass(frozen=True, repr=False)
class FaultLine(Showing):
    """One fault, over all rows.

    Attributes
    ----------
    fault : Fault
    effects : tuple of Effect
        One for each row of the table.
    hidden_in : int or None
        Number of the first row in which a lamp that shows the pedal alone stays dark with turn or hazard selected as
        well: no check with the pedal alone finds that. [1]
    """

    fault: object
    effects: tuple
    hidden_in: int | None

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"{self.fault.words}: {self.worst}."

    @property
    def hides(self):
        """Whether a lamp that shows the pedal alone stays dark with turn or hazard as well. [yes/no]"""
        return self.hidden_in is not None

    @cached_property
    def is_short(self):
        """Whether it shorts something in any row: a fire risk, or a fuse that blows. Never to be looked for live. [yes/no]"""
        return any("fire risk" in effect.classes or effect.blown for effect in self.effects)

    @cached_property
    def symptom(self):
        """What is seen and heard of it in each row. [text]"""
        return tuple(effect.seen for effect in self.effects)

    @cached_property
    def worst(self):
        """The worst class it has in any row. [text]"""
        return min((effect.worst for effect in self.effects), key=CLASSES.index, default="no effect")

    @cached_property
    def counts(self):
        """In how many rows it is of each class that occurs, each row counted once under its worst. [1]"""
        found = [effect.worst for effect in self.effects]
        return {name: found.count(name) for name in CLASSES if name in found}

    @property
    def rank(self):
        """What the table is sorted by: what a check of the pedal alone hides first, then worst class, then odds times rows."""
        touched = sum(effect.worst != "no effect" for effect in self.effects)
        return not self.hides, CLASSES.index(self.worst), -self.fault.odds * touched

    def first(self, name=None):
        """Return the number of the first row of a class, or None; unless named, of what stands it at its rank. [1]"""
        if name is None and self.hides:
            return self.hidden_in
        wanted = name or self.worst
        both = [row for row, effect in enumerate(self.effects) if wanted in effect.classes and len(effect.classes) > 1]
        if name is None and self.fault.kind == SWAPS and both:
            return both[0]
        return next((row for row, effect in enumerate(self.effects) if wanted in effect.classes), None)


def _once(ask):
    """Let a table remember what it has found of a fault, so that who shows it works out nothing."""
    @wraps(ask)
    def asked(self, line):
        key = ask.__name__, line.fault.words
        if key not in self._found:
            self._found[key] = ask(self, line)
        return self._found[key]
    return asked


@dataclass(frozen=True, repr=False)
class FaultTable(Showing):
    """Every fault of an arrangement, worst first.

    Attributes
    ----------
    arrangement : Arrangement
        The healthy one.
    rows : tuple of dict
        Positions of every row. [text]
    lines : tuple of FaultLine
    asked : int
        How many faults there were; fewer lines mean that the work was stopped. [1]
    troubles : tuple of (str, int)
        What keeps rows from settling even without a fault, each with the number of such rows. [text], [1]
    """

    arrangement: object
    rows: tuple
    lines: tuple
    asked: int
    troubles: tuple = ()

    text_view, html_view = "views.fault_words:fault_table_text", "views.fault_words:fault_table_html"

    @cached_property
    def _found(self):
        return {}

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Fault table of '{self.arrangement.title}': {len(self.lines)} of {self.asked} faults, "
                f"in {len(self.rows)} rows.")

    @property
    def is_complete(self):
        """Whether every fault asked for is in the table."""
        return len(self.lines) == self.asked

    @cached_property
    def healthy(self):
        """The lamp table without a fault: faults are held against it, not against the rule."""
        return lamp_table(self.arrangement)

    @cached_property
    def counts(self):
        """How many faults have each class as their worst. [1]"""
        found = [line.worst for line in self.lines]
        return {name: found.count(name) for name in CLASSES}

    def line(self, change):
        """Return the line of a fault, asked for by its words or the sentence of its change.

        Raises
        ------
        ArrangementError
            When no fault of the table is called so.
        """
        for line in self.lines:
            if change in (line.fault, line.fault.words, str(line.fault)):
                return line
        raise ArrangementError(f"no fault of the table is '{change}'. Ask by its words, such as "
                               f"'{self.lines[0].fault.words}'." if self.lines else "the table has no faults.")

    @_once
    def endangered(self, line):
        """Return what else the current of a fault may destroy until a fuse has blown, in the first row where one does. [text]"""
        row = next((row for row, effect in enumerate(line.effects) if effect.blown), None)
        if row is None:
            return ()
        faulty = line.fault.apply(self.arrangement)
        return endangered(*(operating_point(faulty, self.rows[row], phases) for phases in phases_of(faulty)))

    @_once
    def dimmed(self, line):
        """Return the lamp that a fault makes dimmest beside itself healthy, and its share of that light; None where nobody sees any dimmer. [text], [1]

        It is for faults that change no look: each lamp is looked at in the row with fewest controls moved that lights it.
        """
        faulty, found = line.fault.apply(self.arrangement), []
        for row, lamps in self._lit.items():
            before, after = (operating_point(each, dict(row), phases_of(each)[0]) for each in (self.arrangement, faulty))
            if before.is_settled and after.is_settled:
                lights = [(lamp, before.light(lamp), after.light(lamp)) for lamp in lamps if lamp in faulty.by_name]
                found += [(light / right, lamp) for lamp, right, light in lights if light < right and differs(light, right)]
        share, lamp = min(found, default=(1.0, ""))
        return (lamp, share) if lamp else None

    @cached_property
    def _lit(self):
        """The lamps that each row lights which no row with fewer controls moved does. [text]"""
        rest, found = self.arrangement.positions(), {}
        rows = sorted((row for row in self.healthy.rows if row.verdict == "settled"), key=lambda row: moved(row.positions, rest))
        for lamp in self.healthy.lamps:
            row = next((row for row in rows if row.cells[lamp].look != "dark"), None)
            if row:
                found.setdefault(tuple(row.positions.items()), []).append(lamp)
        return found

    @_once
    def reading(self, line):
        """Return the reading that would reveal a fault, or None where no meter would.

        It is told from the other faults that show the same in every row; shorts, whose fuse is gone, only from shorts.
        """
        rows = self._telling_rows(line)
        blown = tuple(dict.fromkeys(name for effect in line.effects for name in effect.blown))
        others = [other.fault for other in self._looking.get(line.symptom, ()) if other is not line
                  and other.is_short == line.is_short]
        return best_reading(self.arrangement, line.fault, rows[:6], rows[6:], line.is_short, blown, others, self._probing)

    @cached_property
    def _probing(self):
        return Probing(self.arrangement)

    @cached_property
    def _looking(self):
        """The lines of each symptom; none for those without any."""
        found = {}
        for line in self.lines:
            if any(line.symptom):
                found.setdefault(line.symptom, []).append(line)
        return found

    def __str__(self):
        return for_console(self.text(readings=False))

    def _repr_html_(self):
        shown = self.html(readings=False)
        return f"{shown}<p>board(table) shows every fault live, with the leads on the reading that reveals it.</p>"

    def _telling_rows(self, line):
        """Return the rows to measure in, fewest controls moved first: three of the worst class, all with an effect, the others."""
        rest = self.arrangement.positions()
        ranked = sorted(zip(self.rows, line.effects), key=lambda each: moved(each[0], rest))
        worst = [row for row, effect in ranked if line.worst in effect.classes][:3]
        touched = [row for row, effect in ranked if effect.worst != "no effect" and row not in worst]
        return [*worst, *touched, *(row for row, _ in ranked if row not in worst and row not in touched)]


def fault_table(arrangement, rule=None, faults=None, progress=None):
    """Class every fault in every row by what a driver behind would see.

    Parameters
    ----------
    arrangement : Arrangement
    rule : Rule, str or tuple of Wanted, optional
        Which lamps shall light for what; tells which of them signal the same thing. The arrangement's own unless given.
    faults : iterable of Fault or change, optional
        Every single fault unless given.
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False the table ends there.

    Returns
    -------
    FaultTable
        Worst first. The keyboard's interrupt ends it early too.

    >>> import circuitlab as cl
    >>> fault_table(cl.arrangement("one-fused-lamp")).brief
    "Fault table of 'One lamp with its fuse and its switch': 21 of 21 faults, in 2 rows."
    """
    check_rows(arrangement)
    if rule is not None:
        own = isinstance(rule, list | tuple)
        arrangement = replace(arrangement, rule=rule) if own else with_rule(arrangement, rule)
    faults = single_faults(arrangement) if faults is None else tuple(map(as_fault, faults))
    rows, lines, classing, troubles = rows_of(arrangement), [], None, ()
    try:
        together = min(TOGETHER, WATCHED) if progress else TOGETHER
        for start in range(0, len(faults), together):
            if progress and progress(start, len(faults)) is False:
                break
            lot = faults[start:start + together]
            seen = observe_all(arrangement, rows, lot if classing else (HEALTHY, *lot))
            if not classing:
                healthy = seen.pop(0)
                classing, stops, troubles = Classing(arrangement, rows, healthy), _stops(arrangement, rows, healthy), troubles_of(healthy)
            lines += [FaultLine(fault, classing.effects(fault, each), _hidden_in(stops, each)) for fault, each in zip(lot, seen)]
        else:
            if progress:
                progress(len(faults), len(faults))
    except KeyboardInterrupt:
        pass
    return FaultTable(arrangement, rows, tuple(sorted(lines, key=lambda line: line.rank)), len(faults), troubles)


def _stops(arrangement, rows, healthy):
    """Return (row with a pedal alone, row with turn or hazard as well, lamp) wherever a lamp has both to show. [1]"""
    feet, rest, found = set(pedals(arrangement)), arrangement.positions(), []
    lamps = range(len(arrangement.of_kind(Lamp)))
    number = {tuple(row.items()): index for index, row in enumerate(rows)}
    for index, row in enumerate(rows):
        alone = {name: position if name in feet else rest[name] for name, position in row.items()}
        levels, before = healthy[index].levels, healthy[number[tuple(alone.items())]].levels
        if alone == rest or alone == row or not levels or not before:
            continue
        flashing = any(len({phase[lamp] for phase in levels}) > 1 for lamp in lamps)
        found += [(number[tuple(alone.items())], index, lamp) for lamp in lamps
                  if flashing and _peak(before, lamp) > DARK and _peak(levels, lamp) > DARK]
    return tuple(found)


def _peak(levels, lamp):
    return max(phase[lamp] for phase in levels)


def _hidden_in(stops, seen):
    """Return the first row in which a lamp that shows the pedal alone shows nothing at all, or None. [1]"""
    return next((both for alone, both, lamp in stops if seen[alone].levels and seen[both].levels
                 and _peak(seen[alone].levels, lamp) > DARK and _peak(seen[both].levels, lamp) == DARK), None)
