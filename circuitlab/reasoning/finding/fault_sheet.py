"""What a repairer takes along to a circuit: for each thing a customer may say of a lamp, the suspects and the first readings."""

from dataclasses import dataclass

from ...arrangements.rows import moved, rows_of
from ...parts import Lamp
from .asked_for import as_sentence
from .assumptions import WORKSHOP
from .finding import find
from .solved import solved
from .told import read_symptom, when_words
from ..asked import place_of

SAYABLE = ("dark", "dim")       # of a lamp that shall be lit
READINGS = 3                    # of each symptom, each where the likeliest outcome of the one before leads


@dataclass(frozen=True)
class Entry:
    """One thing a customer may say.

    Attributes
    ----------
    symptom : Symptom
    finding : Finding
        With its causes; nothing else told.
    readings : tuple of NextReading
    sound : tuple of float or None
        What each reads in the sound circuit; None where something is looked at. [V] or [ohm]
    """

    symptom: object
    finding: object
    readings: tuple
    sound: tuple


@dataclass(frozen=True)
class FaultSheet:
    """The entries of a circuit.

    Attributes
    ----------
    arrangement : Arrangement
    entries : tuple of Entry
    """

    arrangement: object
    entries: tuple


def fault_sheet(arrangement, odds=WORKSHOP, efforts=None, progress=None):
    """Return the FaultSheet of a circuit: every lamp that is lit in some row, dark and dim there.

    Parameters
    ----------
    arrangement : Arrangement
    odds, efforts
        As for :func:`~.finding.find`.
    progress : callable ``(done, total)``, optional
        Called now and then; when it returns False, KeyboardInterrupt is raised. [1]
    """
    everything = solved(arrangement, progress)
    sentences, entries = _sentences(arrangement, everything), []
    for number, sentence in enumerate(sentences):
        if progress and progress(number, len(sentences)) is False:
            raise KeyboardInterrupt
        finding = find(arrangement, sentence, (), odds, efforts)
        steps = _steps(finding)
        entries.append(Entry(finding.symptoms[0], finding, steps, tuple(_sound(everything, step.offer) for step in steps)))
    return FaultSheet(arrangement, tuple(entries))


def _steps(finding):
    """Return the first readings; what a look at a lamp or fuse lets be read live comes behind it."""
    steps = []
    while len(steps) < READINGS and finding.next is not None:
        path = finding.ahead.path(READINGS - len(steps)) or (finding.next,)
        offer = path[0].offer
        if offer.instrument not in ("look", "watch"):
            return (*steps, *path)
        steps.append(path[0])
        is_gone = max(path[0].outcomes, key=lambda outcome: outcome.odds).is_gone
        shown = ("blown" if is_gone else "whole") if offer.instrument == "look" else finding.symptoms[0].look if is_gone else offer.sound
        finding = finding.told(as_sentence(shown, offer, finding.arrangement))
    return tuple(steps)


def _sentences(arrangement, everything):
    """Return what may be said of each lamp, in the row with fewest controls moved in which it is lit. [text]"""
    weighing, rest, found = everything.weighing, arrangement.positions(), []
    rows = sorted(rows_of(arrangement), key=lambda row: moved(row, rest))
    for lamp in arrangement.of_kind(Lamp):
        lit = next((row for row in rows if tuple(row.items()) in everything.row_number
                    and weighing.healthy_look(lamp.name, row) in ("steady", "flashing")), None)
        if lit is not None:
            found += [f"{place_of(arrangement, lamp.name)} {look}{when_words(arrangement, lit)}" for look in SAYABLE]
    return [str(read_symptom(sentence, arrangement)) for sentence in found]


def _sound(everything, offer):
    """Return what an offer reads in the sound circuit. [V] or [ohm]"""
    if offer.instrument in ("look", "watch"):
        return None
    if offer.instrument == "ohms":
        return float("inf")
    return float(everything.weighing.expected(offer)[0][0, -1])      # the last phase has off what nothing holds on
