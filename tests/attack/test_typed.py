"""Whatever is typed, spoiled, near misses, nonsense or malice, is understood or refused in a sentence.

Four places take typed words: changes, rules, rows (``key=on``) and quantities. What is understood must say itself in
words that are understood the same.
"""

from functools import cache
from itertools import product
from math import isfinite
from random import Random

import pytest

import circuitlab as cl
from circuitlab.arrangements import arrangement, read_change
from circuitlab.arrangements.text import read_text, write_text
from circuitlab.arrangements.typed_changes import FORMS
from circuitlab.commands.pictures import read_row
from circuitlab.ground.quantities import read_quantity
from circuitlab.reasoning import rule, rule_names, rule_sentence, with_rule
from circuitlab.reasoning.faults import single_faults

from attack.judging import Tries, nans_in
from attack.mutating import MARKS, NAMES, in_pieces, swap_pieces

TRIES = {"change": 8000, "rule": 3000, "row": 2000, "quantity": 6000}
PLAIN = 0.05            # share that the plain test command tries; the long run tries the rest
GIANT = ("9" * 400, "1" + "0" * 5000, "1e999", "-1e999", "1e-999", "0." + "0" * 400 + "1", "nan", "inf", "-0",
         "\N{ARABIC-INDIC DIGIT FIVE}",
         "\N{VULGAR FRACTION ONE HALF}", "\N{SUPERSCRIPT TWO}", "1,234", "1.2.3", "1e", "e5", "0x10", "--5", "5-",
         "1_000", "\N{INFINITY}")
UNITS = ("V", "A", "W", "ohm", "s", "m", "mm2", "%", "/min", "1")
QUANTITIES = {"12.4 V": "V", "350 mA": "A", "0,75 mm2": "mm2", "18 AWG": "mm2", "50 %": "1", "90 /min": "/min",
              "4.7 kohm": "ohm",
              "21 W": "W", "2 ft": "m", "500 ms": "s", "AWG 16": "mm2", "-3": "V"}
CIRCUIT, RULED = "shared-filament-four-relays", "shared-filament-rear-relays-hazard"


@cache
def circuit():
    return arrangement(CIRCUIT)


@cache
def sound(kind):
    """Return sentences of one kind that are understood."""
    if kind == "change":
        faults = [str(change) for fault in single_faults(circuit()) for change in fault.changes]
        examples = [each.removeprefix("or: ").strip() for form in FORMS.values() for each in form.split(", or: ")]
        return faults[::7] + examples * 3
    if kind == "rule":
        return [sentence for name in rule_names() for sentence in rule(name).sentences] + [
            "rear left: flash when (turn lever left or not key off) and not (brake pedal held), else steady when key on",
            "E1: steady when key, else dark", "E1, E2: dark"]
    if kind == "row":
        return ["key=on, turn lever=left", "key = on; brake pedal = held", "brake pedal=held", "",
                "turn lever=right,key=off,"]
    return list(QUANTITIES)


def spoiled(text, chance):
    """Return a text after one or two slips or malices."""
    for _ in range(chance.choice((1, 1, 2))):
        text = chance.choice(_SLIPS)(chance, text)
    return text


def _put(chance, text, piece):
    place = chance.randrange(len(text) + 1)
    return text[:place] + piece + text[place:]


def _word(do):
    return in_pieces(" ", do)


def _nonsense(chance, text):
    letters = 'abKE1:7 "\\()[]{},;=.-+#%\n\t\0\x1b\u202e\u2028\u00e9\N{PILE OF POO}'
    return "".join(chance.choice(letters) for _ in range(chance.choice((1, 5, 30, 300))))


_SLIPS = (
    lambda chance, text: _put(chance, text, chance.choice(MARKS)),
    lambda chance, text: _put(chance, text, chance.choice(('"', "'", "\\", "(", ")"))),
    lambda chance, text: text[:chance.randrange(len(text) + 1)],
    lambda chance, text: text[chance.randrange(len(text) + 1):],
    lambda chance, text: text.upper(), lambda chance, text: text.swapcase(),
    lambda chance, text: text * chance.choice((2, 3, 400)),
    lambda chance, text: chance.choice(("not ", "(", "lose ", '"', "key on and ", "key=on,")) * 5 + text,
    lambda chance, text: chance.choice(("not ", "(", "lose ", '"', "key on and ", "key=on,")) * 3000 + text,
    lambda chance, text: text + chance.choice((" or key on and turn lever left", " and (key on or brake pedal held)",
                                               ", else dark")) * 40,
    _word(swap_pieces), _word(lambda chance, words: words.pop(chance.randrange(len(words)))),
    _word(lambda chance, words: words.insert(chance.randrange(len(words) + 1), chance.choice(words))),
    _word(lambda chance, words: words.__setitem__(chance.randrange(len(words)), chance.choice(NAMES))),
    _word(lambda chance, words: words.__setitem__(chance.randrange(len(words)), f'"{chance.choice(NAMES)}"')),
    _word(lambda chance, words: words.__setitem__(chance.randrange(len(words)), chance.choice(GIANT))),
    _word(lambda chance, words: words.__setitem__(-1, f"{chance.choice(GIANT)} {chance.choice(UNITS)}")),
    lambda chance, text: "".join(chance.sample(text, len(text))), _nonsense,
    lambda chance, text: text.replace(" ", chance.choice(("", "  ", "\t", "\N{NO-BREAK SPACE}", "_"))),
    lambda chance, text: "".join(chr(ord(each) + 1) if each.isalnum() and chance.random() < 0.1 else each
                                 for each in text),
    lambda chance, text: text.replace("e", "\N{CYRILLIC SMALL LETTER IE}"), lambda chance, text: text,
)


# ------------------------------------------------------------------ what is understood must hold

def use_change(change):
    """Its own sentence makes the same change; what it makes can be written and read."""
    made = change.apply(circuit())
    again = read_change(str(change), circuit())
    broken = [] if again.apply(circuit()) == made else [f"its own words make something else: {str(change)[:200]!r}"]
    if read_text(write_text(made), made.name) != made:
        broken.append(f"what it makes does not survive a file: {str(change)[:200]!r}")
    return broken + [f"NaN{where}" for where in nans_in(made.parts)]


def use_rule(ruled):
    """Every lamp's sentence, put on again, is the same rule in every row."""
    names = [control.name for control in ruled.controls]
    sentences = [rule_sentence(ruled, lamp) for lamp in dict.fromkeys(line.lamp for line in ruled.rule)]
    again = with_rule(ruled, cl.rules.Rule(tuple(sentences)))
    rows = [dict(zip(names, row)) for row in product(*(control.positions for control in ruled.controls))]
    return [f"said again it asks for something else of {line.lamp}" for line in ruled.rule for row in rows
            if ruled.wanted(line.lamp, row) != again.wanted(line.lamp, row)]


def use_row(moved):
    return [f"{name}={position}" for name, position in moved.items()
            if position not in circuit().control(name).positions]


def use_quantity(value):
    return [] if isinstance(value, float) and isfinite(value) else [f"a quantity that is none: {value!r}"]


def attack(kind, seeds, counts):
    """Spoil and type one sentence for each seed."""
    read, use = {"change": (lambda: read_change(text, circuit()), use_change),
                 "rule": (lambda: with_rule(arrangement(RULED), cl.rules.Rule((text,), if_fitted=True)), use_rule),
                 "row": (lambda: read_row(text, circuit()), use_row),
                 "quantity": (lambda: read_quantity(text, QUANTITIES[whole] if chance.random() < 0.7
                                                    else chance.choice(UNITS)), use_quantity)}[kind]
    tries = Tries(counts)
    for seed in seeds:
        chance = Random(f"{kind} {seed}")
        whole = sound(kind)[seed % len(sound(kind))]
        text = spoiled(whole, chance)
        tries.make(f"seed {seed}, {text[:150]!r}", read, use)
    tries.check()


@pytest.mark.parametrize("kind", TRIES)
def test_what_is_typed_is_understood_or_refused_in_a_sentence(kind, counts):
    """The first part of each kind."""
    attack(kind, range(int(TRIES[kind] * PLAIN)), counts)
    assert counts.held and counts.refused


@pytest.mark.full
@pytest.mark.parametrize("kind", TRIES)
def test_thousands_of_typed_sentences_are_understood_or_refused_in_a_sentence(kind, counts):
    """The rest of each kind."""
    attack(kind, range(int(TRIES[kind] * PLAIN), TRIES[kind]), counts)
    assert counts.held and counts.refused
