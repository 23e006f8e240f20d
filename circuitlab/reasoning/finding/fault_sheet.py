"""What a repairer takes along to a circuit: for each thing a customer may say of a lamp, the suspects and the first readings."""

from dataclasses import dataclass
from typing import NamedTuple

from ...arrangements.mirrored import mirror
from ...arrangements.rows import moved
from ...parts import Lamp
from .asked_for import as_sentence
from .assumptions import WORKSHOP
from .finding import find
from .held_by import held_by
from .solved import solved
from .told import when_words
from ..asked import place_of
from ..rows_at_once import lamp_table

READINGS = 3        # of each entry, each where the likeliest outcome of the one before leads
SUSPECTS = 4        # of each entry
SAYABLE = ("fast", "steady")    # of lamps that shall flash, where some fault makes them do it
LIKELY = 0.5        # odds of a look with some fault, from which on it does


@dataclass(frozen=True)
class Entry:
    """One thing a customer may say.

    Attributes
    ----------
    said : str
        In words: of one lamp, or of all that a control lights. [text]
    finding : Finding
        With its causes; nothing else told.
    readings : tuple of NextReading
    sound : tuple of float or None
        What each reads in the sound circuit; None where something is looked at. [V] or [ohm]
    held : tuple of str
        Of each reading, which value of a meter on MIN/MAX it is: ``MAX``, ``MIN``, or empty. [text]
    other_side : str
        What is said of the other side, where all of this is the same there with its names; else empty. [text]
    """

    said: str
    finding: object
    readings: tuple
    sound: tuple
    held: tuple
    other_side: str = ""

    @property
    def suspects(self):
        """The likeliest causes."""
        return self.finding.causes[:SUSPECTS]


@dataclass(frozen=True)
class FaultSheet:
    """The entries of a circuit.

    Attributes
    ----------
    arrangement : Arrangement
    entries : tuple of Entry
    twins : tuple of (str, str)
        What is called how on the left and on the right, each pair once: parts, wires, and terminals that do not follow from them. [text]
    """

    arrangement: object
    entries: tuple
    twins: tuple = ()


def fault_sheet(arrangement, odds=WORKSHOP, efforts=None, progress=None):
    """Return the FaultSheet of a circuit.

    For each control that lights lamps: all of them dark, and where they flash, steady or fast; then each lamp by itself: dark in each of
    these rows, and dim. What is the same on the other side is told once.

    Parameters
    ----------
    arrangement : Arrangement
    odds, efforts
        As for :func:`~.finding.find`.
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False, KeyboardInterrupt is raised. [1]
    """
    everything, across = solved(arrangement, progress), mirror(arrangement)
    complaints, entries, told = _complaints(arrangement, everything, across), [], set()
    for number, each in enumerate(complaints):
        if progress and progress(number, len(complaints)) is False:
            raise KeyboardInterrupt
        if each.said in told:
            continue
        finding = find(arrangement, each.sentences, (), odds, efforts)
        steps = _steps(finding)
        entries.append(Entry(each.said, finding, steps, tuple(_sound(everything, step.offer) for step in steps),
                             tuple(held_by(finding.ahead.solved, step.offer, finding.ahead.weights) for step in steps),
                             each.across if each.across != each.said else ""))
        told |= {each.said, each.across}
    return FaultSheet(arrangement, tuple(entries), across.pairs if across else ())


def _steps(finding):
    """Return the first readings; what a look at a lamp or fuse lets be read live comes behind it."""
    steps = []
    while len(steps) < READINGS and finding.next is not None:
        path = finding.ahead.path(READINGS - len(steps)) or (finding.next,)
        offer = path[0].offer
        if offer.instrument not in ("look", "watch"):
            return (*steps, *path)
        steps.append(path[0])
        likeliest = max(path[0].outcomes, key=lambda outcome: outcome.odds)
        is_gone = likeliest.is_gone
        shown = likeliest.state if offer.instrument == "look" else finding.symptoms[0].look if is_gone else offer.sound
        finding = finding.told(as_sentence(shown, offer, finding.arrangement))
    return tuple(steps)


class _Complaint(NamedTuple):
    """What may be said, as sentences of lamps, and what is said then of the other side; empty where that is not wired alike."""

    said: str
    sentences: list
    across: str


def _complaints(arrangement, everything, across):
    """Return what may be said of all lamps of a row, and of each lamp."""
    weighing, found, lit = everything.weighing, [], _lit(arrangement, everything)
    for row, lamps in lit:
        when, other = when_words(arrangement, row), across and when_words(arrangement, across.row(row))
        looks = ["dark"] * (len(lamps) > 1) + [look for look in SAYABLE if all(
            weighing.healthy_look(lamp, row) == "flashing" and weighing.looks(lamp, everything.row(row))[look][1:].max() > LIKELY for lamp in lamps)]
        found += [_Complaint(f"all {look}{when}", [f"{place_of(arrangement, lamp)} {look}{when}" for lamp in lamps], f"all {look}{other}" if across else "")
                  for look in looks]
    for lamp in (lamp.name for lamp in arrangement.of_kind(Lamp)):
        rows = [row for row, lamps in lit if lamp in lamps]
        for look, row in [*(("dark", row) for row in rows), *(("dim", row) for row in rows[:1])]:
            said = _sentence(arrangement, lamp, look, row)
            found.append(_Complaint(said, [said], _sentence(arrangement, across.names[lamp], look, across.row(row)) if across else ""))
    return found


def _sentence(arrangement, lamp, look, row):
    return f"{place_of(arrangement, lamp)} {look}{when_words(arrangement, row)}"


def _lit(arrangement, everything):
    """Return rows with the lamps that are lit there and with fewer of these controls moved are not; fewest moved first, those that flash last. [text]"""
    rest, found, before = arrangement.positions(), [], {}
    table = [row for row in lamp_table(arrangement).rows if tuple(row.positions.items()) in everything.row_number]
    for row in sorted(table, key=lambda row: moved(row.positions, rest)):
        own = {(name, position) for name, position in row.positions.items() if position != rest[name]}
        lamps = [lamp for lamp, cell in row.cells.items() if cell.look != "dark" and not any(other <= own for other in before.get(lamp, ()))]
        for lamp in lamps:
            before.setdefault(lamp, []).append(own)
        found += [(row, lamps)] if lamps else []
    return [(row.positions, lamps) for row, lamps in sorted(found, key=lambda each: "flashing" in [each[0].cells[lamp].look for lamp in each[1]])]


def _sound(everything, offer):
    """Return what an offer reads in the sound circuit. [V] or [ohm]"""
    if offer.instrument in ("look", "watch"):
        return None
    if offer.instrument == "ohms":
        return float("inf")
    return float(everything.weighing.expected(offer)[0][0, -1])      # the last phase has off what nothing holds on
