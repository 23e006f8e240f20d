"""What fits what is wished, in words: each arrangement with why, what it needs, its worst fault, and what it cannot do."""

from textwrap import wrap

from ..arrangements import ReplacePart
from ..arrangements.wishes import WISHES
from ..ground.errors import listed
from ..ground.plain import counted
from ..parts import Flasher, Resistor
from ..reasoning.choosing.lacks import place_words
from ..reasoning.choosing.worst import fires, spoiled_rows, spoils_first
from .faces import face_of
from .grid import Grid
from .style import safe
from .tables import positions_words

WIDE = 118     # letters in a line of text
HOT = 1.0      # W, from which on a resistor is told to be hot
FIRES = 3      # faults that may set a fire named in a sentence
ORDER = ("Best first: turn lamps of one side in phase, then no trailer unless one is asked for, then fewest relays, then fewest poles in one "
         "switch, then fewest parts, then least wire; an exchanged flasher comes after.")
CAUTION = ("Which signal wins on a shared filament is a rule you write; local code and licensed practice say what may go on the road. Supply "
           "off while you wire, a fuse at the battery end, and someone else looks before power.")
NEXT = "Look at one: python -m circuitlab draw NAME --out NAME.svg. Build one: python -m circuitlab sheet NAME --out NAME.html."
EXCHANGED = ("Of one with another flasher both show the kit's own: first python -m circuitlab copy NAME my.toml, then board my.toml; type the change "
             "there, save it under another name, and give that file in the place of NAME.")
HERE = 'Look at one: cl.arrangement("NAME"). Work it by hand: cl.board(cl.arrangement("NAME")).'


def choice_text(choice):
    """Return a choice as plain text: what was asked for, what fits, and what is ruled out by what.

    Parameters
    ----------
    choice : Chosen

    Returns
    -------
    str
    """
    return "\n".join([head_text(choice), *(f"\n{offer_text(offer, number)}" for number, offer in enumerate(choice.offers, 1)),
                      f"\n{tail_text(choice)}"])


def head_text(choice):
    """Return what was asked for and how much of it there is, as plain text."""
    return "\n".join(line for words in _head(choice) for line in wrap(words, WIDE))


def _head(choice):
    said = [f"You asked for: {wished_words(choice.wished) or 'anything that signals stop and turn'}."]
    fit, looked = len(choice.offers), counted(choice.looked, "arrangement")
    if not fit:
        return [*said, f"None of {looked} fits."]
    more = f" {_more(choice)}" if choice.waiting else ""
    return [*said, f"{'The best one' if fit == 1 else f'The best {fit}'} of {looked}, each with its rule proved.{more} {ORDER}"]


def _more(choice):
    count = len(choice.waiting)
    return f"{count} more {'meets' if count == 1 else 'meet'} every wish: {listed(each.arrangement.name for each in choice.waiting)}."


def wished_words(wished):
    """Return what is wished, in words. [text]

    >>> wished_words({"filaments": "shared", "changeover_relays": "2", "flasher": "electronic free running"})
    'stop and turn share a lamp; 2 changeover relays on the shelf; flasher: electronic free running'
    """
    said = []
    for name, value in wished.items():
        words = WISHES[name].choices[value]
        said.append(f"{words} on the shelf" if name.endswith("_relays") else f"switches of {words} at most" if name == "poles" else
                    f"flasher: {words}" if name == "flasher" else words)
    return "; ".join(said)


def offer_text(offer, number=1):
    """Return an arrangement that fits as plain text.

    Parameters
    ----------
    offer : Offer
    number : int
        Its place in the order, from 1. [1]
    """
    said = wrap(f"{number}. {_named(offer)}: {offer.arrangement.title}", WIDE, subsequent_indent="   ")
    for head, words in zip(HEADS[1:], _answers(offer)):
        said += wrap(f"{head}: {words}", WIDE, initial_indent="   ", subsequent_indent="     ")
    return "\n".join(said)


def offer_html(offer):
    """Return an arrangement that fits as an HTML table of one row."""
    return Grid("", HEADS, [_row(offer)]).html()


HEADS = ("Arrangement", "Why", "What it needs", "Worst single fault", "What it cannot do")


def _row(offer):
    """Return the cells of an arrangement that fits, what is listed in one below the other. [text]"""
    why, needs, worst, lacks = _answers(offer)
    return f"{_named(offer)}\n{offer.arrangement.title}", *map(_listed, (why, needs)), worst, _listed(lacks)


def _named(each):
    """Return the name of an arrangement, with the flasher that is exchanged in it. [text]"""
    return ", ".join([each.arrangement.name, *exchange_words(each.found)])


def exchange_words(found):
    """Yield what each new flasher is put in for, such as ``K9 exchanged for thermal fixed load``. [text]"""
    for change in found.changes:
        if isinstance(change, ReplacePart):
            yield f"{change.part.name} exchanged for {change.part.type}"


def _listed(words):
    return "\n".join(f"- {each}" for each in words.removesuffix(".").split("; "))


def _answers(offer):
    """Return why, what it needs, its worst fault, and what it cannot do. [text]"""
    return why_words(offer), needs_words(offer.found), worst_words(offer), f"{'; '.join(offer.lacks)}." if offer.lacks else "nothing was found."


def why_words(offer):
    """Return why an arrangement fits: each wish with what of the circuit meets it, then the proof. [text]"""
    said = [words for name in offer.wished if (words := _met(offer.found, name))]
    count = counted(offer.proof.all_rows, "row")
    return "; ".join([*said, f"proved: all {count} keep its rule, in every order and in time"]) + "."


_KINDS = {"bulbs": "bulbs", "LED": "LED lamps"}


def _met(found, name):
    """Return what of a circuit meets a wish. [text]"""
    if name == "filaments":
        lamps = found.stop & found.turn - found.towed
        return f"stop and turn share {place_words(found, lamps)}" if lamps else (
            f"stop is {place_words(found, found.stop - found.towed)}, turn {place_words(found, found.turn - found.towed)}")
    if name == "hazard" and found.hazards:
        name, position, base = found.hazards
        first = "everything else at rest" if base == found.arrangement.positions() else positions_words(base)
        return f"{positions_words({name: position})} makes both sides flash, {first}"
    if name == "trailer" and found.trailer == "yes":
        lamps = found.towed & (found.stop | found.turn)
        shared = "stop and turn share them" if lamps <= found.stop & found.turn else "stop and turn have each their own"
        return f"{place_words(found, lamps)} signal on the trailer, {shared}"
    if name == "frame" and not found.frame:
        return "nothing of it is on the frame" + (f'; write frame = "{found.arrangement.frame}" into its file' if found.changes else "")
    plain = {"hazard": "no hazard signal", "trailer": "no trailer", "plug": WISHES["plug"].choices.get(found.plug),
             "lamps": f"{_KINDS.get(found.lamps)}{' on the vehicle' * (found.trailer == 'yes')}",
             "trailer_lamps": f"{_KINDS.get(found.trailer_lamps)} on the trailer",
             "flasher": f"flasher: {found.flasher}", "frame": f"{found.frame} on the frame", "poles": f"no switch has more than {counted(found.poles, 'pole')}",
             "changeover_relays": f"takes {counted(found.changeover_relays, 'changeover relay')}",
             "make_relays": f"takes {counted(found.make_relays, 'make relay')}"}
    return plain[name]


def needs_words(found):
    """Return what an arrangement is built from, counted from it: relays first, joints and metres of wire last. [text]"""
    built, counts = found.arrangement, {}
    for part in sorted(built.listed, key=lambda part: _group(found, part)):
        words = _thing(found, part)
        counts[words] = counts.get(words, 0) + 1
    relays, poles, parts, metres = found.effort
    typed = [f"type on its board, which draws the kit's: {', then '.join(map(str, found.changes))}"] if found.changes else []
    said = "".join(f"{words}; " for words in (*exchange_words(found), *typed))
    said += f"{counted(relays, 'relay')}, {counted(poles, 'pole')} in one switch, {parts} parts without joints, {metres:.0f} m of wire"
    return f"{said}; {'; '.join(f'{count} x {words}' for words, count in counts.items())}; {counted(len(built.wires), 'wire')}."


def _group(found, part):
    """Return where a part stands in a list of what is needed: relays, other things that move, switches, the rest, lamps, joints. [1]"""
    return [part.name in found.break_used, part.moves, part.name in found.switch_poles,
            not part.is_metal and not part.lamps, not part.is_metal, True].index(True)


def _thing(found, part):
    """Return a part as one asks for it in a shop. [text]"""
    told = face_of(part).details(part).split(", ")
    if part.name in found.break_used:
        return f"{'changeover' if found.break_used[part.name] else 'make'} relay"
    if part.name in found.switch_poles:
        positions = found.arrangement.control(part.control).positions
        return f"switch for {part.control}, {counted(found.switch_poles[part.name], 'pole')}: {', '.join(positions)}"
    if isinstance(part, Flasher):
        return f"{', '.join(told[:3])}, {part.load_range}, switches {load_words(found, part)}"
    if part.lamps:
        return ", ".join([*told[:1 if told[0] == part.bulb else 2], part.light])
    if any(each.guards for each in part.seats):
        return face_of(part).details(part)
    heat = found.heat(part) if isinstance(part, Resistor) else 0
    return part.kind if part.is_metal else ", ".join(told[:3]) + (f", hot: some {heat:.0f} W while on" if heat >= HOT else "")


def load_words(found, flasher):
    """Return what a flasher switches, in lamps as a shop counts them, such as ``2(4) x 21 W`` with hazard, or in watts. [text]"""
    load = found.flasher_load(flasher)
    if load is None:
        return "nothing"
    if not load.bulb_watts:
        return f"{load.watts:.0f} W" + f", {load.most_watts:.0f} W with {load.added_by}" * bool(load.added_by)
    lamps, all_lamps = round(load.watts / load.bulb_watts), round(load.most_watts / load.bulb_watts)
    return f"{lamps}{f'({all_lamps})' * (all_lamps > lamps)} x {load.bulb_watts:g} W"


def worst_words(offer):
    """Return the one fault of an arrangement that spoils most rows, and what sets a fire, in the words of its fault table. [text]"""
    if not offer.table:
        return "not looked for" + (f"; python -m circuitlab faults {offer.arrangement.name} lists all" if not offer.found.changes else "") + "."
    return f"{_spoiling(offer.worst, offer.table)}{_burning(fires(offer.table))}"


def _spoiling(line, table):
    if not line:
        return "none spoils a signal."
    row = spoils_first(line)
    return (f"fires apart, none spoils more rows than this: {line.fault.words}. In {spoiled_rows(line)} of {len(table.rows)} rows a signal is wrong "
            f"or lost, first {positions_words(table.rows[row])}: {'; '.join(line.effects[row].reasons)}.")


def _burning(lines):
    if not lines:
        return ""
    more = [f"and {len(lines) - FIRES} more"] * (len(lines) > FIRES)
    return f" Fire risk with: {'; '.join([*(line.fault.words for line in lines[:FIRES]), *more])}."


# ------------------------------------------------------------------ what does not fit

def tail_text(choice):
    """Return what is not offered and why, the nearest where none fits, and what to do next, as plain text."""
    said = []
    for head, lines in _left_out(choice):
        said += [*wrap(head, WIDE), *(line for words in lines for line in wrap(f"* {words}", WIDE, subsequent_indent="  ")), ""]
    further = [NEXT, *[EXCHANGED] * any([*exchange_words(offer.found)] for offer in choice.offers), CAUTION] if choice.offers else [CAUTION]
    return "\n".join([*said, *(line for words in further for line in wrap(words, WIDE))])


def _left_out(choice):
    """Return headings, each with its lines, of what is not offered. [text]"""
    found = []
    if choice.unproved:
        found.append(("Meets what you asked for and is not offered:", [unproved_words(each) for each in choice.unproved]))
    if choice.nearest:
        found.append(("Nearest, each proved, and what rules it out:", [near_words(each) for each in choice.nearest]))
    elif not choice.offers:
        found.append(("No proved arrangement comes near by changing what you asked for.", []))
    return found


def unproved_words(each):
    """Return why an arrangement is not offered though it meets every wish. [text]"""
    name, proof = _named(each), each.proof
    if each.found.cautions:
        return f"{name}: {' '.join(each.found.cautions)}"
    if proof.failures:
        return f"{name}: in {len(proof.failing_rows)} of {counted(proof.all_rows, 'row')} it breaks its rule, first {proof.failures[0].sentence}."
    return f"{name}: {next(iter(proof.table.overheated), 'a lamp has no rule, so nothing is proved of it')}."


def near_words(each):
    """Return what rules a near miss out, and what to ask for so that it fits. [text]"""
    return f"{each.arrangement.name}: {'; '.join(miss.why for miss in each.misses)}. It would fit if you asked for: {wished_words(each.instead)}."


def choice_html(choice):
    """Return a choice as HTML: what was asked for, a table of what fits, and what is ruled out by what."""
    said = [f"<p>{safe(words)}</p>" for words in _head(choice)]
    said += [Grid("What fits, best first", HEADS, [_row(offer) for offer in choice.offers]).html()] if choice.offers else []
    for head, lines in _left_out(choice):
        said.append(f"<p>{safe(head)}</p>" + (f"<ul>{''.join(f'<li>{safe(words)}</li>' for words in lines)}</ul>" if lines else ""))
    return "".join([*said, *[f"<p>{safe(HERE)}</p>"] * bool(choice.offers), f"<p>{safe(CAUTION)}</p>"])
