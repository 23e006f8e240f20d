"""The lamp table: what every lamp does in every row of control positions."""

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

from ..arrangements.cautions import FAR_LESS
from ..arrangements.not_known import NOT_KNOWN
from ..arrangements.pairs import mirrored
from ..arrangements.rows import phases_of
from ..ground.plain import blow_words, counted
from ..ground.showing import Showing
from ..parts import Lamp, Part
from ..parts.rated_light import light_at, rated_lights
from ..solving import operating_point
from .flashing import hurry_words
from .hurrying import surely_in_time
from .looks import DARK_BELOW, differs, look_of
from .mean_heat import too_hot
from .not_known import rows_in_doubt
from .observing import ANSWERED, blown_in, look, observe_row, relays_of
from .orders import rests_in_one_way
from .terminals import cells_at, timed_cells

ALIKE = 0.9         # of the volts of the lamp across, with more of which none are lost on the way: the kit's own


@dataclass(frozen=True)
class Cell:
    """One lamp in one row.

    Attributes
    ----------
    look : str
        ``dark``, ``steady``, ``dim``, ``flashing``, ``dim flashing`` where it is dim at best, ``pulses`` where a flasher
        makes it brighter and less bright as anybody sees, without putting it out, or ``flickers`` where the circuit itself turns it on and off as the
        eye can see; ``not known`` where it hangs on what is not known; the row's verdict where the row has no looks. [text]
    volts : tuple of float
        Across the lamp in each combination of flasher phases. [V]
    wanted : str or None
        What the rule asks for; None when it does not speak of this lamp. [text]
    """

    look: str
    volts: tuple
    wanted: str | None

    @property
    def keeps_rule(self):
        """Whether the lamp does what the rule asks; true where the rule is silent."""
        return self.wanted in (None, self.look)


@dataclass(frozen=True, repr=False)
class Row(Showing):
    """One combination of all control positions.

    Attributes
    ----------
    positions : dict of str to str
    cells : dict of str to Cell
    verdict, sentence : str
        ``settled``, ``tripping``, ``shorted``, ``buzzing``, ``chatter`` or ``several stable``, and in words.
    blown : tuple of str
        Fuses that blow in this row.
    terminals : dict of str to TerminalCell
        The terminals of which the rule speaks in this row; empty where the row does not settle.
    hangs : dict of str to str
        For each lamp and terminal whose look hangs on what is not known: what it may be. [text]
    """

    positions: dict
    cells: dict
    verdict: str
    sentence: str
    blown: tuple
    terminals: dict = field(default_factory=dict)
    hangs: dict = field(default_factory=dict)

    @property
    def brief(self):
        """In one sentence. [text]"""
        looks = ", ".join(f"{name} {cell.look}" for name, cell in self.judged.items())
        where = ", ".join(f"{control} {position}" for control, position in self.positions.items())
        return f"Row {where or 'without controls'}: {looks or 'no lamps'}; {self.sentence}."

    @property
    def judged(self):
        """The cells of all lamps and of the terminals that the rule speaks of, by name."""
        return {**self.cells, **self.terminals}

    @property
    def keeps_rule(self):
        """Whether every lamp and terminal of the row keeps the rule."""
        return self.verdict == "settled" and all(cell.keeps_rule for cell in self.judged.values())

    @property
    def breaks_rule(self):
        """Whether it does not settle, or some lamp or terminal breaks the rule; one of which nobody can know does not."""
        return self.verdict != "settled" or any(not cell.keeps_rule and cell.look != NOT_KNOWN for cell in self.judged.values())


@dataclass(frozen=True, repr=False)
class LampTable(Showing):
    """Every row of an arrangement, first control slowest, rest position first."""

    arrangement: object
    rows: tuple

    text_view, html_view = "views.tables:lamp_table_text", "views.tables:lamp_table_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Lamp table of '{self.arrangement.title}': {counted(len(self.rows), 'row')}, {counted(len(self.lamps), 'lamp')}."

    @property
    def controls(self):
        """Names of the controls, in order."""
        return tuple(control.name for control in self.arrangement.controls)

    @property
    def lamps(self):
        """Names of the lamps, in order."""
        return tuple(lamp.name for lamp in self.arrangement.of_kind(Lamp))

    @property
    def terminals(self):
        """The terminals of which the rule speaks, in its order. [text]"""
        return self.arrangement.ruled_terminals

    @cached_property
    def failing(self):
        """The rows that break the rule or do not settle."""
        return tuple(row for row in self.rows if row.breaks_rule)

    @cached_property
    def hanging(self):
        """The rows that may keep the rule or break it, as they hang on what is not known."""
        return tuple(row for row in self.rows if not row.keeps_rule and not row.breaks_rule)

    @property
    def is_settled(self):
        """Whether every row came to a result."""
        return all(row.verdict == "settled" for row in self.rows)

    @cached_property
    def troubles(self):
        """What keeps rows from one steady result, with the number of such rows: :func:`troubles_of`."""
        return troubles_of(self.rows)

    @cached_property
    def overheated(self):
        """What has or carries more than it may for long: a sentence for each wire, contact and coil, of the row where it is most. [text]"""
        said = []
        for part in self.arrangement.wires + self.arrangement.parts:
            if type(part).overheated is Part.overheated:
                continue
            branches = len(part.branches())
            for order in range(branches):
                most = []
                for found in self._swept:
                    amps = abs(found.current(part.name, order)).filled(0.0)
                    most.append((float(amps.max()), found.case(int(amps.argmax()))[1]))
                worst, positions = max(most, key=lambda each: each[0], default=(0.0, {}))
                alone = [worst if each == order else 0.0 for each in range(branches)]
                said += [(words, positions) for words in part.overheated(alone)]
        said += too_hot(self.arrangement, self._on_and_off)
        where = [", ".join(f"{name} {position}" for name, position in positions.items()) for _, positions in said]
        return tuple(f"{words} (with {each})" if each else words for (words, _), each in zip(said, where))

    def _on_and_off(self, name, branch):
        """Return for each row its positions and what flows through a branch with flashers on, and off. [A]"""
        found = []
        for swept in self._swept:
            _, rows, phases = swept.shape
            amps = abs(swept.current(name, branch)).filled(0.0).reshape(rows, phases).tolist()
            found += [(swept.case(row * phases)[1], each[0], each[-1]) for row, each in enumerate(amps)]
        return found

    @cached_property
    def uneven(self):
        """Lamps left and right of which one gets, at its brightest, less than half the share of its light that the other gets. [text]"""
        said = []
        for pair in mirrored(self.arrangement):
            best = {lamp.name: max(((light_at(lamp, volts), abs(volts)) for row in self.rows if row.cells[lamp.name].look != "dark"
                                    for volts in row.cells[lamp.name].volts), default=(0.0, 0.0)) for lamp in pair}
            faint, bright = sorted(best, key=best.get)
            (least, low), (most, high) = best[faint], best[bright]
            if rated_lights(*pair) and DARK_BELOW <= least < FAR_LESS * most:
                said.append(_uneven_words(faint, least, bright, most, low > ALIKE * high))
        return tuple(said)

    @cached_property
    def unpromised(self):
        """What works with volts at which no sheet promises that it does: ``(sentence, positions of those rows)``. [text]"""
        return self._told_by(Part.unpromised)

    @cached_property
    def hurried(self):
        """Flashers whose load is too light, so that they hurry: ``(sentence, positions of those rows)``. [text]"""
        sure = dict(self._told_by(Part.hurries, lambda name, _: name))
        perhaps = [(name, [row for row in rows if row in sure.get(name, ()) or surely_in_time(self.arrangement, row, name)])
                   for name, rows in self._told_by(Part.hurries, lambda name, _: name, perhaps=True)]
        return tuple((f"{hurry_words(name)} as with its full load, as where a lamp is out", rows) for name, rows in perhaps if rows)

    def _told_by(self, law, words=lambda _, told: told, **more):
        """Return what a law of parts tells in rows with volts: ``(words of part and what is told, positions of those rows)``."""
        said = []
        for part in self.arrangement.parts:
            own = getattr(type(part), law.__name__)
            if own is law:
                continue
            told = {}
            for swept in self._swept:
                amps = [swept.current(part.name, order).filled(0.0) for order in part.watched]
                states = swept.state(part.name)
                for case in (swept.verdicts == "settled").nonzero()[0]:
                    state, drawn = states[case], [float(of_branch[case]) for of_branch in amps]
                    if swept.in_doubt[case] and (point := swept.point(case)).is_settled:
                        state, drawn = point.states[part.name], [point.current(part.name, order) for order in part.watched]
                    found = own(part, state, drawn, **more)
                    if found:
                        told.setdefault(tuple(swept.case(case)[1].items()), words(part.name, found))
            if told:
                said.append((next(iter(told.values())), [dict(positions) for positions in told]))
        return tuple(said)

    @cached_property
    def _swept(self):
        """Sweeps of the rows with volts, and once more with relays operated beforehand of those that remember."""
        from ..solving import sweep    # needs numpy, which is opened when first asked for

        remember = [row.positions for row in self.rows if row.verdict == "several stable"]
        answered = [row.positions for row in self.rows if row.verdict in ANSWERED or row.positions in remember]
        return [sweep(self.arrangement, rows, operated=operated)
                for rows, operated in ((answered, ()), (remember, relays_of(self.arrangement))) if rows]

    def row(self, **moved):
        """Return the row in which the given controls are moved and all others rest.

        Control names with spaces are written with underscores.
        """
        where = self.arrangement.positions({name.replace("_", " "): position for name, position in moved.items()})
        return next(row for row in self.rows if row.positions == where)


def troubles_of(rows):
    """Return ``(sentence, in how many rows)`` for whatever keeps rows from settling, the most frequent first. [text], [1]

    Parameters
    ----------
    rows : iterable of Row or Observed
    """
    return tuple(Counter(row.sentence for row in rows if row.verdict != "settled").most_common())


def row_of(arrangement, positions):
    """Return one row of the lamp table.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        A position for every control. [text]

    Notes
    -----
    Every combination of flasher phases is solved. Should relays that are held
    operated beforehand lead elsewhere than relays at rest, the row has a
    memory and its verdict is ``several stable``; unless no throws from rest
    ever lead there, which its sentence then says. What finds no rest in some
    phase is looked at over time, as with a fault.

    >>> import circuitlab as cl
    >>> row_of(cl.arrangement("one-fused-lamp"), {"lamp switch": "on"})
    Row lamp switch on: E1 steady; settled.
    """
    positions = arrangement.positions(positions)
    if arrangement.not_known:
        return rows_in_doubt(arrangement, lambda known: [row_of(known, positions)])[0]
    combinations = phases_of(arrangement)
    points = [operating_point(arrangement, positions, phases) for phases in combinations]
    lamps = [lamp.name for lamp in arrangement.of_kind(Lamp)]
    wanted = {lamp: arrangement.wanted(lamp, positions) for lamp in lamps}
    if not all(point.is_settled for point in points):
        return _restless(arrangement, positions, wanted)
    verdict, sentence, others = _verdict(arrangement, positions, combinations, points)
    cells = {lamp: Cell(look_at(points, lamp), tuple(point.lamp_volts(lamp) for point in points), wanted[lamp]) for lamp in lamps}
    if verdict != "settled":
        unsure = {lamp: Cell(verdict, (), wanted[lamp]) for lamp in lamps
                  if not others or look_at(others, lamp) != cells[lamp].look and _is_seen(points, others, lamp)}
        return Row(positions, cells | unsure, verdict, sentence, ())
    terminals = cells_at(arrangement, positions, points)
    blown = blown_in(points)
    return Row(positions, cells, verdict, blow_words(blown) if blown else sentence, blown, terminals)


def _restless(arrangement, positions, wanted):
    """Return a row in which some point has no single answer: as the fault table sees it."""
    seen = observe_row(arrangement, positions)
    called = {"dim steady": "dim"}
    looks = [look(seen.levels, index) if seen.levels else seen.verdict for index in range(len(wanted))]
    cells = {lamp: Cell(called.get(shown, shown), (), wanted[lamp]) for lamp, shown in zip(wanted, looks)}
    terminals = timed_cells(arrangement, positions) if seen.verdict == "settled" else {}
    return Row(positions, cells, seen.verdict, seen.sentence, seen.blown, terminals)


def _verdict(arrangement, positions, combinations, points):
    """Return verdict and sentence of a row, and its points with relays held operated beforehand where those rest otherwise."""
    worst = max(points, key=lambda point: ANSWERED.index(point.verdict))
    if worst.verdict != "settled":
        return worst.verdict, worst.sentence, ()
    operated = relays_of(arrangement)
    others = [operating_point(arrangement, positions, phases, operated) for phases in combinations] if operated else points
    for point, other in zip(points, others):
        kept = [name for name, state in other.states.items()   # a flasher caught in its off phase moves on
                if state != point.states[name] and not arrangement.part(name).swings]
        if not other.is_settled or not kept:
            continue
        if rests_in_one_way(arrangement, positions, points):
            return "settled", f"{', '.join(kept)} {'stays' if len(kept) == 1 else 'stay'} released, worked from rest; once in, " \
                f"{'it' if len(kept) == 1 else 'they'} would hold", ()
        stays = "and stays" if len(kept) == 1 else "and each stays"
        return "several stable", f"{', '.join(kept)} can rest in two ways here {stays} as it was before", \
            others if all(each.is_settled for each in others) else ()
    return "settled", next((point.sentence for point in points if point.sentence != "settled"), "settled"), ()


def _is_seen(points, others, lamp):
    """Tell whether a lamp's light differs in some phase by so much that somebody sees it. [yes/no]"""
    return any(differs(one.light(lamp), other.light(lamp)) for one, other in zip(points, others))


def look_at(points, lamp):
    """Return the look of a lamp in a row's points, one for each combination of flasher phases. [text]"""
    return look_of([point.light(lamp) for point in points], bool(points[0].arrangement.part(lamp).misplaced))


def _uneven_words(faint, least, bright, most, has_its_volts):
    """Return what is told of a pair, by light relative to rated and whether the faint one has its volts: never to look at the lamp that is right. [1], [text]"""
    look = "With the supply off and the bulb cold, look whether it is the wrong one, or turned round in its holder"
    is_too_bright = has_its_volts and most * FAR_LESS > 1
    (one, share), (other, across) = sorted([(faint, least), (bright, most)], key=lambda each: each[1], reverse=is_too_bright)
    said = f"{one} gives {100 * share:.0f} % of its light at most and {other} across {100 * across:.0f} %: a pair must look alike."
    if is_too_bright:
        return f"{said} {bright} is too bright for its place. {look}"
    return f"{said} {faint} gets as many volts as {bright}. {look}" if has_its_volts else f"{said} Look for the volts that are lost on the way to {faint} and back"
