"""What the terminals named in a rule are in a row: live, weak, ghost, dead, floating, or flashing: live with the flasher only.

Weak is live, and too little for the test lamp that the rule promises: who holds one there sees it dim or dark.
"""

from dataclasses import dataclass, replace

from ..arrangements import AddPart, AddWire, changed
from ..arrangements.mishaps import unused_name
from ..arrangements.rows import phases_of
from ..ground.quantities import say
from ..parts import Lamp, Wire
from ..parts.instruments import LAMP_VOLTS, LAMP_WATTS
from ..solving import operating_point
from ..solving.metering import LIVE, TEST_LAMP
from .looks import brightness
from .nearly_gone import nearly_gone, nearly_gone_words
from .paths import path_to
from .settled_course import settled_course, settled_moments


@dataclass(frozen=True)
class TerminalCell:
    """One terminal in one row.

    Attributes
    ----------
    look : str
        ``live``, ``dead``, ``floating`` or ``ghost`` in every flasher phase; ``flashing`` where it is live in some; ``weak``
        where the rule asks for one of these and a test lamp hardly lights;
        ``not told``, which keeps no rule, where a row that only time decides does not settle in time either. [text]
    volts : tuple of float
        On a meter of 10 megohm in each combination of flasher phases, or the least and the greatest where only time
        decides; 0 where it floats. [V]
    wanted : str
        What the rule asks for. [text]
    highest : float or None
        What a meter shows where blocked diodes leak as much as they may, if that makes a dead terminal a ghost. [V]
    under_lamp : float or None
        The least that stays under a test lamp while it is live, where that is weak; of a terminal that shall be dead, where nearly all
        is gone under it. [V]
    """

    look: str
    volts: tuple
    wanted: str
    highest: float | None = None
    under_lamp: float | None = None

    @property
    def keeps_rule(self):
        """Whether it is what the rule asks; dead, floating and ghost all keep *dead*, as no test lamp lights there."""
        return (self.look in ("dead", "floating", "ghost")) if self.wanted == "dead" else self.look == self.wanted

    @property
    def remark(self):
        """What a meter shows where that could be taken for live, and a test lamp where it is weak; else empty. [text]"""
        if self.look == "weak":
            return f"only {say(self.under_lamp, 'V')} stay there under a test lamp, which hardly lights (weak)"
        if self.under_lamp is not None:
            return f"{say(max(self.volts, key=abs), 'V')} on a meter{nearly_gone_words(self.under_lamp)}; from {LIVE:g} V under it on it counts as live"
        if self.look == "ghost":
            return f"a meter shows {say(max(self.volts, key=abs), 'V')} there, gone under a test lamp (a ghost)"
        if self.highest is not None and self.look == "dead":
            return f"a meter may show up to {say(self.highest, 'V')} there, a ghost, where blocked diodes leak more"
        return ""


def wanted_there(arrangement, positions):
    """Return what the rule asks of each terminal it speaks of in a row. [text]"""
    asked = {name: arrangement.wanted(name, positions) for name in arrangement.ruled_terminals}
    return {name: look for name, look in asked.items() if look}


def terminal_cells(arrangement, positions, volts, point):
    """Return the cell of every terminal of which the rule speaks in a row.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        The row. [text]
    volts : callable ``(terminal)``
        Gives its volts in each combination of flasher phases, None where it floats. [V]
    point : callable ``(order)``
        Gives the settled operating point of one of these combinations; only called where an instrument has to tell.

    Returns
    -------
    dict of str to TerminalCell
    """
    return {name: _cell(name, look, volts(name), point) for name, look in wanted_there(arrangement, positions).items()}


def cells_at(arrangement, positions, points):
    """Return the same from the operating points of a row, one for each combination of flasher phases."""
    return terminal_cells(arrangement, positions, lambda name: [point.volts(name) for point in points], points.__getitem__)


def timed_cells(arrangement, positions, course=None):
    """Return the cells of a row that only time decides, as the settled time course shows them.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        The row. [text]
    course : TimeCourse, optional
        That of the row; it is played unless given.
    """
    asked = wanted_there(arrangement, positions)
    if not asked:
        return {}
    points = timed_points(arrangement, positions, course)
    return {name: _timed_cell(name, look, points) for name, look in asked.items()}


def looks_there(arrangement, positions, terminals):
    """Return the look of each terminal in a row, empty where the row has no result in time either. [text]"""
    points = [operating_point(arrangement, positions, phases) for phases in phases_of(arrangement)]
    if not all(point.verdict == "settled" for point in points):
        points = timed_points(arrangement, positions)
    return {name: terminal_look([point.liveness(name) for point in points]) for name in terminals} if points else {}


def timed_points(arrangement, positions, course=None):
    """Return an operating point for each stretch of a row's settled time course; none where it finds no rest."""
    course = course or settled_course(arrangement, positions)
    return [course.at(moment) for moment in settled_moments(course)] if course.verdict == "settled" else []


def _timed_cell(name, wanted, points):
    if not points:
        return TerminalCell("not told", (), wanted)
    shown = [point.meter(name) or 0.0 for point in points]
    highest = [point.meter(name, highest=True) for point in points if wanted == "dead" and point.may_be_ghost(name)]
    seen, ends = [point.liveness(name) for point in points], (min(shown, key=abs), max(shown, key=abs))
    return _with_lamp(name, TerminalCell(terminal_look(seen), ends, wanted, max(highest, key=abs, default=None)),
                      [point for point, look in zip(points, seen) if look == "live"])


def _cell(name, wanted, volts, point):
    """Return the cell of a terminal; what is under 1 V without an instrument is so with one, and is not solved again."""
    seen, shown, highest, live = [], [], [], []
    for order, each in enumerate(volts):
        if each is None or abs(each) < LIVE:
            seen.append("floating" if each is None else "dead")
            shown.append(each or 0.0)
            continue
        here = point(order)
        seen.append(here.liveness(name))
        live += [here] if seen[-1] == "live" else []
        shown.append(here.meter(name))
        highest += [here.meter(name, highest=True)] if wanted == "dead" and here.may_be_ghost(name) else []
    return _with_lamp(name, TerminalCell(terminal_look(seen), tuple(shown), wanted, max(highest, key=abs, default=None)), live)


def _with_lamp(name, cell, live):
    """Return a cell as a test lamp has it at the points where it is live: if the rule asks for a lamp that lights, or for none."""
    if cell.wanted == "dead" and live:
        left = [nearly_gone(point, name) for point in live]
        return cell if None in left else replace(cell, under_lamp=max(left, key=abs))
    if cell.wanted != cell.look or cell.wanted not in ("live", "flashing"):
        return cell
    least, filament = min(abs(point.test_lamp(name)) for point in live), TEST_LAMP.filament
    is_lit = brightness(filament.light(filament.settled_temperature(least))) == "lit"
    return cell if is_lit else replace(cell, look="weak", under_lamp=least)


def terminal_look(seen):
    """Return the look for what a terminal is in every phase combination, or in every stretch of time. [text]

    >>> terminal_look(["live", "dead"]), terminal_look(["ghost", "dead"]), terminal_look(["floating"])
    ('flashing', 'ghost', 'floating')
    """
    kinds = set(seen)
    if len(kinds) == 1:
        return seen[0]
    return next(look for kind, look in (("live", "flashing"), ("ghost", "ghost"), ("dead", "dead")) if kind in kinds)


def telling_point(points, cell):
    """Return the point whose phases give away that a terminal is not what is wanted."""
    volts = [abs(each) for each in cell.volts]
    if cell.wanted == "flashing":
        return points[-1] if cell.look == "live" else points[0]
    return points[volts.index((max if cell.wanted == "dead" else min)(volts))]


def terminal_path(point, terminal):
    """Return how current reaches a test lamp between a terminal and the pole on the frame, minus as a rule, or where it is stopped.

    Parameters
    ----------
    point : OperatingPoint
        Settled.
    terminal : str

    Returns
    -------
    Path or None
        None where the test lamp leaves the circuit without a result. Its steps end at the terminal, or begin there with
        plus on the frame; its sentence names the test lamp.
    """
    arrangement = point.arrangement
    lamp, red, black = (unused_name(arrangement, name) for name in ("test lamp", "its red lead", "its black lead"))
    probed = changed(arrangement, AddPart(Lamp(lamp, volts=LAMP_VOLTS, watts=LAMP_WATTS, place=f"at {terminal}")),
                     AddWire(Wire(red, terminal, f"{lamp}:1")), AddWire(Wire(black, f"{lamp}:2", arrangement.zero)))
    operated = [name for name, state in point.states.items() if state == "operated"]
    found = operating_point(probed, point.positions, point.phases, operated)
    if not found.is_settled:
        return None
    path = path_to(found, lamp)
    return replace(path, steps=tuple(step for step in path.steps if step.name in arrangement.by_name))
