"""Which arrangements fit, best first: each held against the wishes and proved, the nearest told where none fits."""

from dataclasses import dataclass, replace

from ...arrangements import FrameOn, arrangement, arrangement_names
from ...arrangements.wishes import WISHES, read_wishes
from ...ground.errors import ArgumentError, CircuitLabError
from ...ground.plain import counted
from ...ground.showing import Showing
from ...parts import Chassis
from ..faults import fault_table
from ..proving import prove
from .exchanging import exchange
from .lacks import lacks
from .ruling_out import misses
from .traits import traits
from .worst import worst

NEAREST = 4      # arrangements told of where none fits
_proofs, _tables = {}, {}     # of arrangements of the library asked for before: worked out once


@dataclass(frozen=True, repr=False)
class Offer(Showing):
    """An arrangement that fits.

    Attributes
    ----------
    found : Traits
        What it is, read off its parts and rows.
    proof : Proof
        Of its own rule, time courses included: kept.
    wished : dict of str to str
        The wishes it meets. [text]
    table : FaultTable or None
        Every single fault of it, worst first; None where faults were not asked for.
    """

    found: object
    proof: object
    wished: dict
    table: object = None

    text_view, html_view = "views.choice_words:offer_text", "views.choice_words:offer_html"

    @property
    def arrangement(self):
        """The arrangement itself."""
        return self.found.arrangement

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"{self.arrangement.name} fits: its rule is proved in all {counted(self.proof.all_rows, 'row')}."

    @property
    def worst(self):
        """The line of the one fault, fires apart, that spoils most rows; None where none does, or faults were not asked for."""
        return worst(self.table) if self.table else None

    @property
    def lacks(self):
        """What it cannot do, the gravest first. [text]"""
        return lacks(self.found, self.table, self.wished.get("plug", ""))

    def with_faults(self, progress=None):
        """Return the same with its fault table.

        Raises
        ------
        CircuitLabError
            When ``progress`` stops it: the worst of half the faults is none.
        """
        if self.arrangement not in _tables:
            table = fault_table(self.arrangement, progress=progress)
            if not table.is_complete:
                raise CircuitLabError(f"stopped after {len(table.lines)} of {table.asked} faults: the worst is not known.")
            _tables[self.arrangement] = table
        return replace(self, table=_tables[self.arrangement])


@dataclass(frozen=True)
class NearMiss:
    """An arrangement that does not fit.

    Attributes
    ----------
    found : Traits
    misses : tuple of Miss
        The wishes that rule it out; empty where its proof does, or a caution of its changes.
    proof : Proof
        Of its own rule; without time courses where rows alone break it, or where wishes rule it out.
    """

    found: object
    misses: tuple
    proof: object

    @property
    def arrangement(self):
        """The arrangement itself."""
        return self.found.arrangement

    @property
    def needs_flasher(self):
        """Whether the type of its flasher alone rules it out. [yes/no]"""
        return bool(self.found.flasher) and [miss.wish for miss in self.misses] == ["flasher"]

    @property
    def instead(self):
        """The wishes that, changed so, would no longer rule it out. [text]"""
        return {miss.wish: miss.instead for miss in self.misses}


@dataclass(frozen=True, repr=False)
class Chosen(Showing):
    """Which arrangements of the library fit, and why not the others.

    Attributes
    ----------
    wished : dict of str to str
        What was asked for. [text]
    offers : tuple of Offer
        Those that fit, best first, as many as were asked for at most.
    waiting : tuple of Traits
        Further ones that meet every wish and keep their rule in every row; their time courses were not played.
    unproved : tuple of NearMiss
        Those that meet every wish, if with another flasher, and whose proof fails or whose change gives cause for caution.
    nearest : tuple of NearMiss
        Where none fits, those with a proof that the fewest wishes rule out, nearest first; none that would ask more of the wisher than one before it.
    looked : int
        How many arrangements were looked at. [1]
    """

    wished: dict
    offers: tuple
    waiting: tuple
    unproved: tuple
    nearest: tuple
    looked: int

    text_view, html_view = "views.choice_words:choice_text", "views.choice_words:choice_html"

    @property
    def brief(self):
        """In one sentence. [text]"""
        fit = ", ".join(offer.arrangement.name for offer in self.offers)
        more = f", and {len(self.waiting)} more meet every wish" if self.waiting else ""
        return f"Of {counted(self.looked, 'arrangement')} {f'the best that fit: {fit}{more}' if fit else 'none fits'}."


def choose(filaments=None, lamps=None, hazard=None, trailer=None, changeover_relays=None, make_relays=None, poles=None, flasher=None,
           frame=None, plug=None, trailer_lamps=None, most=3, faults=True, progress=None):
    """Return the arrangements of the library that fit what is wished and lies on the shelf, best first, each proved.

    Parameters
    ----------
    filaments : {"shared", "separate"}, optional
        Whether one filament in each rear lamp is stop and turn. What is left out, here and below, does not matter. [text]
    lamps, trailer_lamps : {"bulbs", "LED"}, optional
        What the vehicle itself signals with, and what signals on its trailer. [text]
    hazard, trailer : {"yes", "no"}, optional
        Whether both sides flash at once on demand, and whether a trailer's lamps signal as well. [text]
    changeover_relays, make_relays : int, optional
        How many lie on the shelf, with and without 87a; a changeover relay serves as a make relay too. [1]
    poles : int, optional
        How many contacts one switch can close at once. [1]
    flasher : str, optional
        The type on the shelf, such as ``"electronic free running"``; it is put into circuits drawn with another. [text]
    frame : {"minus", "plus"}, optional
        Which pole of the battery stands on the frame; a circuit with nothing on it fits plus where that leaves no fuse out. [text]
    plug : str, optional
        The kind of plug on the trailer, such as ``"4-flat"``; ``"none"`` where wires are joined for good. [text]
    most : int
        How many to prove and show. [1]
    faults : bool
        Whether every single fault of those shown is looked at too, for the worst. [yes/no]
    progress : callable ``(done, total, what)``, optional
        Called now and then; when it returns False the work ends there. [1], [1], [text]

    Returns
    -------
    Chosen

    Raises
    ------
    UnknownName, ArgumentError
        For a value that is not allowed; the sentence lists those that are.

    Notes
    -----
    Those whose turn lamps of one side flash in phase come first, and those without a trailer where nobody spoke of one; then best is
    what takes least: fewest relays, then fewest poles in one switch, then fewest parts, then least wire. Those whose flasher is
    exchanged come after those that have the wished one.

    >>> import circuitlab as cl
    >>> choice = cl.choose(filaments="separate", trailer="no", most=1, faults=False)
    >>> [offer.arrangement.name for offer in choice.offers]
    ['separate-filaments']
    """
    wished = read_wishes({"filaments": filaments, "lamps": lamps, "hazard": hazard, "trailer": trailer, "trailer_lamps": trailer_lamps, "plug": plug, "changeover_relays": changeover_relays,
                          "make_relays": make_relays, "poles": poles, "flasher": flasher, "frame": frame})
    if most < 1:
        raise ArgumentError(f"choose: 'most' must be 1 or more, got {most}.", argument="most", got=most)
    names = arrangement_names()
    found = []
    for done, name in enumerate(names):
        _tell(progress, done, len(names), "arrangements")
        found.append(traits(arrangement(name)))
    _tell(progress, len(names), len(names), "arrangements")
    choice = _sorted_out(wished, sorted(found, key=lambda each: each.rank), most, progress)
    if not faults:
        return choice
    return replace(choice, offers=tuple(offer.with_faults(progress and (lambda done, total: progress(done, total, "faults")))
                                        for offer in choice.offers))


def _as_wished(asked, wished, exchanged=False):
    """Return the traits of an arrangement: with nothing on the frame, with the pole there that is wished; if exchanged, with that flasher."""
    pole = wished.get("frame", asked.frame)
    changes = [FrameOn(pole)] * (pole != asked.frame and not asked.of_kind(Chassis))
    return traits(asked, *changes, *(exchange(asked, wished["flasher"]) if exchanged else ()))


def _tell(progress, done, total, what):
    if progress and progress(done, total, what) is False:
        raise CircuitLabError(f"stopped after {done} of {total} {what}: nothing is chosen.")


def _sorted_out(wished, found, most, progress):
    """Return the choice among arrangements in order: those that meet every wish are proved until there are as many as wanted."""
    offers, waiting, unproved, fitting, others = [], [], [], [], []
    for plain in found:
        each = _as_wished(plain.arrangement, wished)
        ruled_out = misses(each, wished)
        if ruled_out:
            others.append(NearMiss(plain, ruled_out, plain.proof))
        else:
            fitting.append(each)
    for each in fitting:
        if each.proof.is_proved and len(offers) == most:
            waiting.append(each)
        else:
            _judge(each, wished, offers, unproved, progress)
    for near in others:
        if near.needs_flasher and near.proof.is_proved and len(offers) < most:
            _judge(_as_wished(near.arrangement, wished, exchanged=True), wished, offers, unproved, progress)
    nearest = () if offers else _nearest(others, progress)
    return Chosen(wished, tuple(offers), tuple(waiting), tuple(unproved), nearest, len(found))


def _judge(each, wished, offers, unproved, progress):
    """Offer what meets every wish where it is proved and its changes give no cause for caution."""
    proof = each.proof if each.cautions or not each.proof.is_proved else _proved(each.arrangement, progress)
    if proof.is_proved and not each.cautions:
        offers.append(Offer(each, proof, wished))
    else:
        unproved.append(NearMiss(each, (), proof))


def _nearest(others, progress):
    """Return the near misses that fewest wishes rule out and that would fit without these, for they are proved; none that asks more than another."""
    near = sorted((each for each in others if each.proof.is_proved and all(each.instead.values())), key=lambda each: (len(each.misses), sum(not miss.is_caution for miss in each.misses)))
    said = []
    for each in near:
        if len(said) < NEAREST and not any(_asks_less(other.instead, each.instead) for other in said):
            proof = _proved(each.arrangement, progress)
            said += [replace(each, proof=proof)] if proof.is_proved else []
    return tuple(said)


def _asks_less(one, other):
    """Whether all that one near miss wants changed, another wants changed as well, and no less. [yes/no]"""
    return all(name in other and (int(value) <= int(other[name]) if WISHES[name].shelf else value == other[name])
               for name, value in one.items())


def _proved(asked, progress):
    """Return the whole proof of an arrangement, time courses included."""
    if asked not in _proofs:
        _proofs[asked] = prove(asked, progress=progress)
    return _proofs[asked]
