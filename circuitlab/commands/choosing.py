"""The command ``choose``: wishes given as options, or asked for one by one, then each arrangement that fits as soon as it is known."""

import sys

from ..arrangements.wishes import WISHES
from ..ground.errors import ArrangementError, CircuitLabError, listed
from .keyboard import typed
from .watching import Watching

NONE_FITS = 1       # nothing of the library fits what was asked for
FEW = 6             # choices up to which a question lists each with its number


def add_choose_parser(command):
    """Add the parser of ``choose``, an option for each wish."""
    choosing = command("choose", choose_command, "say which arrangement of the kit fits your cart and your shelf, and why",
                       "Say which arrangements of the kit fit, best first: why, what each needs, its worst single fault, and what it cannot "
                       "do; each is proved. What is left out does not matter. Without any wish, and at a keyboard, it asks one thing after "
                       "the other. Leaves with 0 when one fits, with 1 when none does, with 2 for bad input, with 130 when stopped (Ctrl+C).")
    for name, wish in WISHES.items():
        allowed = list(wish.choices)
        few = len(allowed) <= FEW
        choosing.add_argument(_option(name), metavar="|".join(allowed) if len(allowed) == 2 else "NUMBER" if wish.shelf else "TYPE",
                              action="append", help=f"{wish.question}{'' if wish.shelf or len(allowed) == 2 else f' One of: {listed(allowed)}.'}"
                              if few or wish.shelf else wish.question)
    choosing.add_argument("--most", metavar="NUMBER", type=int, default=3, help="prove and print so many at most (default: 3)")
    choosing.add_argument("--no-faults", action="store_true", help="leave out the worst single fault, which takes longest")


def _option(name):
    return f"--{name.replace('_', '-')}"


def choose_command(given):
    """Print which arrangements fit; return 0, 1 when none does, or 130 when it was stopped before the end. [1]"""
    from ..reasoning.choosing import choose
    from ..views.choice_words import head_text, offer_text, tail_text

    wished = {name: _once(name, getattr(given, name)) for name in WISHES}
    if not any(wished.values()) and sys.stdin and sys.stdin.isatty():
        wished = asked()
    watching = Watching("arrangements")
    try:
        choice = choose(**wished, most=given.most, faults=False, progress=watching)
        watching.close()
        print(head_text(choice), flush=True)
        for number, offer in enumerate(choice.offers, 1):
            if not given.no_faults:
                offer = offer.with_faults(lambda done, total: watching(done, total, "faults"))
                watching.close()
            print(f"\n{offer_text(offer, number)}", flush=True)
        print(f"\n{tail_text(choice)}")
    except KeyboardInterrupt:
        return watching.stopped()
    return 0 if choice.offers else NONE_FITS


def _once(name, values):
    """Return the one value of an option, or None. [text]

    Raises
    ------
    ArrangementError
        Where it is given twice and differs.
    """
    found = list(dict.fromkeys(values or ()))
    if len(found) > 1:
        raise ArrangementError(f"{_option(name)} is given as {' and as '.join(found)}: one circuit cannot be both. Give it once, or leave it "
                               "out where it does not matter.")
    return found[0] if found else None


# ------------------------------------------------------------------ asked at a keyboard

def asked():
    """Ask for each wish at the keyboard and return what was answered; what does not matter is left out. [text]

    Raises
    ------
    KeyboardInterrupt
        Where the answers end before the questions do.
    """
    print("A number or a word, then Enter. Enter alone: it does not matter.")
    answers = {}
    for name, wish in WISHES.items():
        if name == "make_relays" and "changeover_relays" not in answers:
            continue                # where any number of relays may be had, so may make relays
        if name == "plug" and answers.get("trailer") == "no" or name == "trailer_lamps" and answers.get("trailer") != "yes":
            continue
        answer = _answer(wish)
        if answer:
            answers[name] = answer
    again = " ".join(f'{_option(name)} "{value}"' if " " in value else f"{_option(name)} {value}" for name, value in answers.items())
    print(f"\nThe same again: python -m circuitlab choose {again}\n" if again else "")
    return answers


def _answer(wish):
    """Ask one question until it is answered; return the value, or nothing where it does not matter. [text]"""
    values = list(wish.choices)
    print(f"\n{wish.question}")
    if wish.shelf:
        print(f"  {values[0]} to {values[-1]}")
    for number, value in enumerate([] if wish.shelf else values, 1):
        print(f"  {number}  {value}" + (f": {wish.choices[value]}" if wish.choices[value] != value else ""))
    while True:
        said = typed()
        if not said:
            return ""
        if not wish.shelf and said.isdecimal() and 0 < int(said) <= len(values):
            return values[int(said) - 1]
        try:
            return wish.read(said)
        except CircuitLabError as error:
            print(error)
