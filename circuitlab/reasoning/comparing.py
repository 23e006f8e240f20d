"""Two arrangements side by side: rows and terminals that changed, parts and wires, currents and drops, faults on request."""

from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import product
from math import prod

from ..arrangements import Arrangement
from ..arrangements.counterparts import Counterparts, counterparts
from ..arrangements.rows import check_number
from ..ground.errors import ArrangementError
from ..ground.showing import Showing
from ..parts import Connector, Lamp
from ..parts.rated_light import rated_lights
from .faults import CLASSES, fault_table, single_faults
from .looks import differs
from .one_of_two import ABSENT, OneOfTwo, own_positions
from .rows import troubles_of
from .terminals import looks_there
from .things import things_changed

LEAST_VOLTS, LEAST_AMPS = 0.05, 0.01   # V and A, differences smaller than a workshop meter shows are left out


@dataclass(frozen=True)
class RowLooks:
    """One row of both arrangements.

    Attributes
    ----------
    positions : dict of str to str
        Of every control that either has. [text]
    lamps : dict of str to (str, str)
        Look before and after, of every lamp that either has. [text]
    shares : dict of str to float
        Of the lamps whose look is the same and whose light anybody sees to be another: light after, by that before. [1]
    """

    positions: dict
    lamps: dict
    shares: dict = field(default_factory=dict)

    @cached_property
    def changed(self):
        """Names of the lamps that look different, or are brighter or dimmer; one that only one has and that is dark there
        does not. [text]"""
        return tuple(lamp for lamp, pair in self.lamps.items()
                     if lamp in self.shares or pair[0] != pair[1] and set(pair) != {ABSENT, "dark"})


@dataclass(frozen=True)
class TerminalChange:
    """Terminals that are something else in some rows.

    Attributes
    ----------
    names : tuple of str
        Those that change alike. [text]
    before, after : {"live", "flashing", "ghost", "dead", "floating"}
        What a test lamp and a meter make of them; flashing is live with the flasher only.
    rows : tuple of dict of str to str
        Positions of the rows. [text]
    """

    names: tuple
    before: str
    after: str
    rows: tuple


@dataclass(frozen=True)
class Difference:
    """One greatest current, or one least voltage of a lit lamp, before and after.

    Attributes
    ----------
    name : str
        Of the fuse, battery or lamp. [text]
    unit : {"A", "V"}
    before, after : float or None
        None where it is not there, or never lit. [A], [V]
    """

    name: str
    unit: str
    before: float | None
    after: float | None


@dataclass(frozen=True, repr=False)
class Comparison(Showing):
    """What sets two arrangements apart.

    Attributes
    ----------
    before, after : Arrangement
    same : Counterparts
        Which part and wire of the first is which of the second. Whatever is told of both is told in the names of the first.
    rows : tuple of RowLooks
        Every row; the first control slowest.
    things : tuple of ThingChange
        The ambient, then controls, parts, wires.
    differences : tuple of Difference
        Fuses and batteries in A, lamps in V.
    faults : tuple of (str, str, str) or None
        For each fault whose worst class changed its words and the classes before and after; None when not asked for.
    is_complete : bool
        Whether every fault was looked at in both; False after a stop.
    troubles : tuple of two tuples of (str, int)
        What keeps rows from settling, before and after, each with the number of such rows. [text], [1]
    hurried : tuple of (str, int, int)
        Flashers that hurry in other rows than before, their load too light, each with the number of such rows before and
        after. [text], [1]
    clicking : tuple of (str, int, int)
        The same of rows in which no lamp flashes, so that it is heard alone. [text], [1]
    overheated : tuple of two tuples of str
        What has or carries more than it may only before, and only after, a sentence each. [text]
    """

    before: Arrangement
    after: Arrangement
    same: Counterparts
    rows: tuple
    things: tuple
    differences: tuple
    faults: tuple | None = None
    is_complete: bool = True
    troubles: tuple = ((), ())
    hurried: tuple = ()
    clicking: tuple = ()
    overheated: tuple = ((), ())

    text_view, html_view = "views.compare_words:comparison_text", "views.compare_words:comparison_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        return (f"Comparison of '{self.before.title}' and '{self.after.title}': {len(self.changed_rows)} "
                f"of {len(self.rows)} rows look different.")

    @cached_property
    def changed_rows(self):
        """The rows in which some lamp looks different, or is brighter or dimmer."""
        return tuple(row for row in self.rows if row.changed)

    @property
    def is_same(self):
        """Whether no lamp looks different in any row, and no flasher hurries and nothing overheats where it did not."""
        return not (self.changed_rows or self.hurried or self.clicking or any(self.overheated))

    @cached_property
    def terminals(self):
        """What sets terminals apart that both have wired, as a tuple of TerminalChange: where rules name them first, then
        where one is live and the other not, then by the number of rows. Rows without a result in one of them are left out, and pins
        of a connector that is of another kind.
        """
        return _terminals(self.before, self.same.there, [row.positions for row in self.rows], {name for name, *_ in self.other_plugs})

    @cached_property
    def other_plugs(self):
        """Connectors of another kind than before, each with its kinds before and after: a pin of one number is another pin there. [text]"""
        there = self.same.there.by_name
        return tuple((part.name, part.type, there[part.name].type) for part in self.before.of_kind(Connector)
                     if isinstance(there.get(part.name), Connector) and part.type != there[part.name].type)

    def _repr_html_(self):
        return f"{super()._repr_html_()}<p>board(comparison) shows every row before and after, live.</p>"


def compare(before, after, faults=False, progress=None):
    """Compare two arrangements row by row, part by part.

    Parameters
    ----------
    before, after : Arrangement
        Wires are matched by what they join, parts by name or, where that is in no doubt, by how they are wired; controls
        by name.
    faults : bool
        Whether every single fault of both is classed and compared too. [yes/no]
    progress : callable ``(done, total)``, optional
        Called while faults are classed; when it returns False only those looked at in both are compared.

    Returns
    -------
    Comparison

    Raises
    ------
    ArrangementError
        For what is no arrangement, or more than 65 536 rows.

    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> len(compare(cart, cl.changed(cart, cl.RemoveWire("W4"))).rows)
    2
    """
    for each in (before, after):
        if not isinstance(each, Arrangement):
            raise ArrangementError(f"{each!r} is not an arrangement. Open one with arrangement('NAME') first.")
    rows, same = _rows(before, after), counterparts(before, after)
    both = (before, same.there)
    seen = [OneOfTwo(each, rows) for each in both]
    lamps = list(dict.fromkeys(lamp.name for each in both for lamp in each.of_kind(Lamp)))
    rated = {lamp: rated_lights(*(each.part(lamp) for each in both)) for lamp in lamps
             if lamp in before.by_name and lamp in same.there.by_name}
    looks = tuple(_row(number, positions, seen, lamps, rated) for number, positions in enumerate(rows))
    described = [OneOfTwo(replace(each, not_known=()), rows) if each.not_known else own for each, own in zip(both, seen)]
    return Comparison(before, after, same, looks, things_changed(same), _differences(*described, lamps),
                      *(_faults(*both, progress) if faults else (None, True)),
                      tuple(troubles_of(each.own_rows) for each in seen), _hurried(*seen), _hurried(*seen, is_seen=False), _overheated(*seen))


def _row(number, positions, seen, lamps, rated):
    """Return one row: each lamp's look, and by how much its light is another where its look is the same."""
    looks, shares = {lamp: tuple(each.look(number, lamp) for each in seen) for lamp in lamps}, {}
    for lamp, scales in rated.items():
        lights = [each.light(number, lamp) for each in seen]
        if scales and looks[lamp][0] == looks[lamp][1] != "dark" and None not in lights:
            was, now = (light * scale for light, scale in zip(lights, scales))
            if differs(was, now):
                shares[lamp] = now / was
    return RowLooks(positions, looks, shares)


def _rows(before, after):
    """Return the positions of every row of both: each control once, with the positions either gives it."""
    places = {}
    for control in before.controls + after.controls:
        places[control.name] = list(dict.fromkeys(places.get(control.name, []) + list(control.positions)))
    check_number(prod(map(len, places.values())), "the two have", "together", "compared")
    return [dict(zip(places, positions)) for positions in product(*places.values())]


def _overheated(one, other):
    """Return the sentences on what overheats in one of two alone. [text]"""
    return tuple(tuple(words for name, words in each.overheated.items() if name not in beside.overheated)
                 for each, beside in ((one, other), (other, one)))


def _hurried(one, other, is_seen=True):
    """Return ``(name, rows before, rows after)`` of every flasher that surely hurries in one and surely not in the other. [text], [1]"""
    sure, perhaps = ([each.hurried(may, is_seen) for each in (one, other)] for may in (False, True))
    return tuple((name, *(len(rows[name]) for rows in sure)) for name in sorted({*sure[0], *sure[1]})
                 if sure[0][name] - perhaps[1][name] or sure[1][name] - perhaps[0][name])


def _terminals(before, after, rows, left_out):
    """Return the terminal changes of two arrangements, those alike in the same rows together."""
    both, found = (before, after), {}
    shared = [name for name in before.terminals if before.wires_at[name] and after.wires_at.get(name) and name != before.zero and name.rpartition(":")[0] not in left_out]
    known = [{}, {}]
    for positions in rows:
        looks = [_looks(each, positions, shared, seen) for each, seen in zip(both, known)]
        for name in shared if all(looks) else ():
            if looks[0][name] != looks[1][name]:
                found.setdefault((name, looks[0][name], looks[1][name]), []).append(tuple(positions.items()))
    alike = {}
    for (name, was, now), where in found.items():
        alike.setdefault((was, now, tuple(where)), []).append(name)
    ruled = {*before.ruled_terminals, *after.ruled_terminals}
    changes = [TerminalChange(tuple(sorted(names, key=lambda name: name not in ruled)), was, now, tuple(map(dict, where)))
               for (was, now, where), names in alike.items()]
    return tuple(sorted(changes, key=lambda each: (each.names[0] not in ruled, not {each.before, each.after} & {"live", "flashing"},
                                                   -len(each.rows))))


def _looks(arrangement, positions, terminals, known):
    """Return the looks of terminals in a row of two arrangements; nothing where this one has no such row, or no result."""
    own = own_positions(arrangement, positions)
    if own is None:
        return {}
    key = tuple(own.values())
    if key not in known:
        known[key] = looks_there(arrangement, own, terminals)
    return known[key]


def _differences(one, other, lamps):
    """Return the currents and lamp volts that differ by more than a meter's last digit."""
    found = [(Difference(name, "A", one.greatest.get(name), other.greatest.get(name)), LEAST_AMPS)
             for name in dict.fromkeys((*one.greatest, *other.greatest))]
    found += [(Difference(lamp, "V", one.least(lamp), other.least(lamp)), LEAST_VOLTS) for lamp in lamps]
    return tuple(each for each, least in found if each.before != each.after
                 and (None in (each.before, each.after) or abs(each.before - each.after) > least))


def _faults(before, after, progress):
    """Return ``(words, class before, class after)`` of every fault whose worst class is another one, and whether all
    were looked at."""
    lots, done, complete = [single_faults(each) for each in (before, after)], 0, True
    classes = []
    for each, lot in zip((before, after), lots):
        def shared(count, _, start=done):
            return progress(start + count, sum(map(len, lots)))
        table = fault_table(each, faults=lot, progress=progress and shared) if complete else None
        classes.append({line.fault.words: line.worst for line in table.lines} if table else {})
        complete = complete and table.is_complete
        done += len(lot)
    possible = [{fault.words for fault in lot} for lot in lots]
    found = [(words, *(each.get(words, ABSENT) for each in classes)) for words in dict.fromkeys((*classes[0], *classes[1]))
             if all(words in each or words not in own for each, own in zip(classes, possible))]   # stopped: not looked at
    worst = {name: place for place, name in enumerate((*CLASSES, ABSENT))}
    found = sorted((each for each in found if each[1] != each[2]), key=lambda each: (worst[each[2]], worst[each[1]]))
    return tuple(found), complete
