"""Variants of one circuit by seed: other values, another side, other names, another contact.

Everything asked and answered about a variant is worked out from its circuit,
so nothing needs to be stored but the seed.
"""

from dataclasses import dataclass, field
from hashlib import sha256
from itertools import product
from math import prod

from ..arrangements import SetValue, changed
from ..arrangements.naming import renamed
from ..ground.errors import ArrangementError, shown
from ..ground.showing import Showing

MOST = 20000        # combinations, so that listing them stays quick
KEPT_BACK = 5       # one combination in so many is kept for worked twins and never asked, where none are given for them


@dataclass(frozen=True)
class Variant:
    """One circuit, what was picked for it, and the seed that leads back to it."""

    circuit: object = field(repr=False)
    picks: dict = field(repr=False)
    seed: int | None = None

    def fill(self, text):
        """Return a text with ``{name}`` replaced by what was picked; left alone where nothing is."""
        if callable(text):
            return text(self.circuit, **self.picks)
        return text.format_map(self.picks) if self.picks and "{" in text else text


class Variants(Showing):
    """All variants of a circuit; see :func:`vary`."""

    def __init__(self, base, values=(), names=(), linked=(), picks=(), twins=None):
        self.base, self._twins = base, twins and variants_of(twins)
        for word, options in dict(picks).items():
            if isinstance(options, str) or not hasattr(options, "__iter__"):
                raise ArrangementError(f"vary: {word}={shown(options)} is no list of options, and vary takes nothing else of that "
                                       f"name. Give a free word its options, such as {word}=('left', 'right').")
        axes = [[("value", key, option) for option in options] for key, options in dict(values).items()]
        axes += [[("name", old, new) for new in options] for old, options in dict(names).items()]
        axes += [[("linked", None, tuple(dict(option).items())) for option in group] for group in linked]
        axes += [[("pick", key, option) for option in (options.items() if hasattr(options, "items") else options)]
                 for key, options in dict(picks).items()]
        size = prod(map(len, axes))
        if not 2 <= size <= MOST:
            raise ArrangementError(f"these variants come to {size} combinations; 2 to {MOST} are allowed. "
                                   "Give each thing that varies two or more options.")
        first, *every = product(*axes)
        every.sort(key=lambda each: sha256(repr(each).encode()).digest())
        every.insert(1, first)      # seed 1, where open seeds begin, asks what stands first
        back = 0 if twins else len(every) // KEPT_BACK
        self._asked, self._back = every[:len(every) - back], every[len(every) - back:]

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"Variants of '{self.base.title}', {len(self)} to ask."

    def __len__(self):
        return len(self._asked)

    def of(self, seed):
        """Return the variant of a seed; neighbouring seeds differ, and seed 1 takes the first option of everything."""
        return self._made(self._asked[seed % len(self._asked)], seed)

    def twins(self, seed):
        """Yield the variants a worked twin may show: those never asked, then those whose turn is furthest from a seed's."""
        kept = self._twins or self
        for combination in (kept._asked + kept._back if self._twins else self._back):
            yield kept._made(combination, None)
        for turn in range(len(self) - 1, 1, -1):        # 1 is the next one
            yield self._made(self._asked[(seed + turn) % len(self)], None)

    def _made(self, combination, seed):
        circuit, picks, names = self.base, {}, {}
        for kind, key, option in combination:
            if kind == "value":
                circuit = changed(circuit, SetValue(*key, option))
            elif kind == "name":
                names[key] = picks[key] = option
            elif kind == "linked":
                picks |= dict(option)
            elif isinstance(option, tuple):
                word, steps = option
                picks[key] = word
                circuit = changed(circuit, *(steps if isinstance(steps, (tuple, list)) else (steps,)))
            else:
                picks[key] = option
        return Variant(renamed(circuit, names) if names else circuit, picks, seed)


class Alone(Variants):
    """A circuit without variants, in the same clothes."""

    def __init__(self, base):
        self.base, self._twins, self._asked, self._back = base, None, [()], []


def vary(arrangement, values=(), names=(), linked=(), twins=None, **picks):
    """Return the variants of an arrangement.

    Parameters
    ----------
    arrangement : Arrangement
    values : dict of (str, str) to sequence
        Which field of which part or wire takes which values: ``{("G1", "voltage"): (11.8, 12.4, 13.2)}``;
        a wire's ``"colour"`` counts as one. [unit of the field]
    names : dict of str to sequence of str
        Other names for a part: ``{"E1": ("E1", "E4", "E7")}``; texts say ``{E1}``. [text]
    linked : sequence of sequences of dict
        Words that go together: ``[({"side": "left", "lamp": "E1"}, {"side": "right", "lamp": "E2"})]``. [text]
    twins : Arrangement or Variants, optional
        What worked twins show, with picks of the same names. Where all variants have one answer, theirs must be another;
        without, one variant in five is kept for them.
    **picks : sequence of str, or dict of str to change
        A free word, such as ``side=("left", "right")``; with a change each where the word alters the circuit,
        such as ``contact={"87": (), "87a": SwapTerminals("K1:87", "K1:87a")}``. [text]

    Returns
    -------
    Variants
        Give it to a question in the place of a circuit. Texts, rows and lamps may then say ``{side}``.

    Raises
    ------
    ArrangementError
        When nothing varies, or more than 20 000 combinations do.

    Examples
    --------
    >>> import circuitlab as cl
    >>> lamps = vary(cl.arrangement("one-fused-lamp"), {("G1", "voltage"): (11.8, 12.2, 12.6, 13.0, 13.4)})
    >>> lamps.of(3).circuit.battery.voltage != lamps.of(4).circuit.battery.voltage
    True
    """
    return Variants(arrangement, values, names, linked, picks, twins)


def variants_of(circuit):
    """Return variants as they are, and a plain arrangement as the only one of its kind."""
    return circuit if isinstance(circuit, Variants) else Alone(circuit)
