"""A finding in words: causes, why each agrees, what would refute it, and what to look at or to read next."""

from math import inf
from textwrap import wrap

from ..ground.errors import listed
from ..reasoning.asked import place_of
from ..reasoning.finding.battery_off import DEAD_SHORT
from ..reasoning.finding.held_by import held_by
from ..reasoning.finding.next_reading import share_words
from ..reasoning.finding.seen import MISSING, blown_fuse
from ..reasoning.finding.told import when_words
from ..reasoning.finding.weighing import UNSTEADY
from ..reasoning.nearly_gone import nearly_gone_words
from .find_heads import head_words
from .grid import Grid
from .heat_words import heat_words, hot_words
from .style import safe

IN_TIME = ("flashing", "fast", "slow")      # looks of which the rate counts
WIDE = 118      # letters in a line of text
NAMED = 3       # repairs that an outcome leaves, by name
FEW = 6         # causes told at first
ONE_VALUE, ALIKE = 0.05, 0.03     # V, and share of it, within which an outcome is told as one value
NARROW = 2.0        # from the least to the most of a joint's ohms, up to which one value is told
ADVICE = ("It advises and does not certify: prove every repair by working every control again. Local code and licensed practice come first.")
LIVE = "No live probing on control units, airbags or anything you have no diagram of; black lead first, and no jewellery near the battery."
COLD = ("Battery off means its clamp off the pole on the frame, and nobody puts it back while you read ohms. A cold lamp has a few ohms at most, a coil "
        "some tens: neither is a short, so the lamps on that line are taken out.")
FUSE = ("Or, the lamps of that line still out and the battery on again, a test lamp in the place of the fuse that is blown, with a bulb, best of "
        "21 W, and no LED: one with an LED lights through a sound coil of 85 ohm too. Bright while the short is there, out once what you part takes it away; behind a flasher or an operated relay it flickers, as the "
        "short takes their volts. Never a larger fuse, never a bridge.")
FLASHER = "To hold a flashing line still: a jumper with a fuse of its own from {feed} to {load}"
FLASHER_OFF = "While {name} is off: no jumper, it would hold {name} on. Read between two flashes, {kept}with {name} pulled out."
KEPT = "a meter on MIN/MAX, leads on first and set once it flashes: {end} is {phase}, {other} is {opposite}"
OPPOSITE = {"MIN": "MAX", "MAX": "MIN", "on": "off", "off": "on"}
OHMS_TOLD = "Ohms count only with the battery off, its clamp off the pole on the frame; what a meter on ohms shows beside a battery means nothing."
STANDS_IN = ("This circuit stands in for yours, as far as you know. Names and colours on yours are others; where a reading fits nothing here, yours is "
             "wired otherwise.")
VAIN = ("No reading is asked for: it would part what is listed, but most likely none of that is it. Look at the lamps again, row after row, and tell what differs; two faults at "
        "once, or a circuit wired otherwise than this one, look so.")
NOTHING = ("Nothing is told yet. Say what the customer sees, such as 'rear left dim when braking'.")


def finding_text(finding, most=FEW, why=True):
    """Return a finding as plain text.

    Parameters
    ----------
    finding : Finding
    most : int
        How many causes to tell. [1]
    why : bool
        Whether to say why each agrees and what would refute it. [yes/no]

    Returns
    -------
    str
    """
    return "\n".join(line for words in _lines(finding, most, why) for line in (wrap(words[1], WIDE, initial_indent=words[0],
                                                                         subsequent_indent=" " * len(words[0])) or [""]))


def _lines(finding, most, why):
    """Yield ``(what stands before it, words)``."""
    yield "", finding.arrangement.title
    for each in (*finding.symptoms, *finding.taken):
        yield "  told: ", str(each)
    for name in finding.away:
        yield "  told: ", f"cannot get at {name}"
    for words in beside_words(finding):
        yield "  ", words
    yield "", ""
    if not finding.symptoms and not finding.taken:
        yield "", NOTHING
        return
    yield "", head_words(finding)
    for number, cause in enumerate(finding.causes[:most], 1):
        yield f"{number:2}. ", f"{share_words(cause.odds)}  {cause_words(cause)}"
        yield "    ", f"To do: {cause.repair}."
        if why:
            yield "    ", f"{why_words(cause)}{refuting_words(finding, cause)}"
    more = finding.causes[most:]
    if more and why:
        yield "    ", f"Further: {listed(each.words for each in more)}."
    rest = f" All others on the list together: {share_words(finding.rest)}." if finding.rest else ""
    yield "    ", f"Something that is on no list: {share_words(finding.other)}.{rest}"
    if finding.contradiction:
        yield "", ""
        yield "", contradiction_words(finding.contradiction)
    yield "", ""
    for words in next_lines(finding):
        yield words


def beside_words(finding):
    """Yield what is to be known of what was told: that a circuit stands in, and how ohms are read. [text]"""
    if finding.stands_in:
        yield STANDS_IN
    yield from (f"Repaired and not cured: {words}. What asks for that is lowered, as it may have been done badly." for words in finding.failed)
    if any(each.reading and each.reading.instrument == "ohms" for each in finding.taken):
        yield OHMS_TOLD


def cause_words(cause):
    """Return what may be at fault, with its size where that can be worked out. [text]"""
    if cause.ohms is None:
        return cause.words
    least, most = cause.ohms
    about = f"about {(few_figures if cause.volts is not None else one_figure)(cause.about)} ohm" if most <= NARROW * least else f"{one_figure(least)} to {one_figure(most)} ohm"
    place = (f"between {' and '.join(cause.place)}" if len(cause.place) == 2 else
             f"between {cause.place[0]} and its holder" if cause.is_holder else f"at {cause.place[0]}")
    said = f"{about} {place}" + f" ({cause.named})" * bool(cause.named)
    if cause.volts is not None:
        said += f": {volts_words(cause.volts)} lost at {cause.amps:.1f} A{heat_words(cause)}"
    return said


def one_figure(value):
    """Return a number with one figure that counts; more would be false. [text]

    >>> one_figure(0.508), one_figure(1.34), one_figure(12.0)
    ('0.5', '1', '10')
    """
    return f"{float(f'{value:.1g}'):g}"


def few_figures(value):
    """Return a number that a reading gave: one figure where that is within 3 %, else two. [text]

    >>> few_figures(0.508), few_figures(1.34), few_figures(7.4)
    ('0.5', '1.3', '7.4')
    """
    short = float(f"{value:.1g}")
    return f"{short if abs(short - value) <= 0.03 * value else float(f'{value:.2g}'):g}"


def volts_words(volts):
    """Return volts as a hand meter shows them.

    >>> volts_words(0.9), volts_words(12.34), volts_words(-0.004)
    ('0.90 V', '12.3 V', '0.00 V')
    """
    return f"{volts:.1f} V" if abs(volts) >= 10 else f"{volts + 0.0:.2f} V".replace("-0.00", "0.00")


def value_words(value, unit):
    """Return what is expected or read, in words: a value, a look, or no way. [text]"""
    if value is None or isinstance(value, str):
        return value or ""
    if value == inf:
        return "no way"
    return volts_words(value) if unit == "V" else f"{value:.2f} {unit}" if value < 10 else f"{value:.0f} {unit}"


def why_words(cause):
    """Return how a cause agrees with each thing told. [text]"""
    good, bad = ([_fit_words(fit) for fit in cause.fits if fit.agrees == wanted] for wanted in (True, False))
    said = f"Agrees with {len(good)} of {len(cause.fits)} things told"
    numbers = [words for words in good if words]
    said += f" ({'; '.join(numbers)})" if numbers else ""
    return f"{said}." + f" Against it: {'; '.join(bad)}." * bool(bad)


def _fit_words(fit):
    reading = getattr(fit.told, "reading", None)
    if fit.is_half:
        return f"'{fit.told}' only half: it would be {fit.expected}, not flicker, unless it comes and goes"
    if reading is None:
        return "" if fit.agrees else f"'{fit.told}', where it makes one expect {fit.expected}"
    expected = value_words(fit.expected, reading.unit)
    if fit.agrees:
        return f"{value_words(_read(reading), reading.unit)} read, {expected} expected{nearly_gone_words(fit.under_lamp)}"
    return f"'{fit.told}', where it makes one expect {expected}"


def _read(reading):
    if reading.word == "unsteady":
        return UNSTEADY
    return reading.word if reading.instrument == "test lamp" else inf if reading.value is None else reading.value


def refuting_words(finding, cause):
    """Return what would refute a cause, or that nothing parts it from the others. [text]"""
    if cause.refuting is None:
        return "" if len(finding.causes) == 1 else " No reading parts it from the others."
    offer, outcome = cause.refuting
    return f" Refuted unless you find '{outcome_words(outcome, offer)}': {place_words(finding, offer)}."


def contradiction_words(slip):
    """Return which thing told fits worst, and what slip would explain it. [text]"""
    reading = getattr(slip.told, "reading", None)
    expected = value_words(slip.expected, reading.unit) if reading is not None else slip.expected
    said = f"These do not go together. '{slip.told}' fits worst"
    said += f": the rest makes one expect {expected}." if expected else "."
    if slip.slip:
        return f"{said} It would fit with {slip.slip}. Look again there before you trust the list."
    return f"{said} Read it again, or say that you are not sure of it; two faults at once can look so too."


# ------------------------------------------------------------------ what comes next

def next_lines(finding):
    """Yield what to do next, as ``(what stands before it, words)``."""
    yield from (("", words) for words in hot_words(finding))
    if finding.next is None:
        yield from _last_lines(finding)
        return
    offer = finding.next.offer
    yield "Next ", f"(about {offer.effort:.0f} min): {place_words(finding, offer)}."
    for words in aside_words(finding, offer):
        yield "     ", words
    yield "     ", f"Why: {reason_words(finding.next)}"
    for outcome in finding.next.outcomes:
        yield "     ", f"{outcome_words(outcome, offer)}{nearly_gone_words(outcome.under_lamp)} ({share_words(outcome.odds)}) leaves {repairs_words(outcome)}."
    yield "     ", LIVE if offer.instrument == "meter" else COLD if offer.instrument == "ohms" else ADVICE


def reason_words(step):
    """Return why a reading comes next. [text]"""
    tells = "it tells '{}' from '{}', and ".format(*step.apart) if step.apart else "it "
    return f"{tells}parts {step.among} repairs best for its effort; from here on about {step.ahead:.0f} min are left on average."


def _last_lines(finding):
    if finding.is_found:
        yield "", f"Likely enough to be mended: {finding.causes[0].repair}.{_at_the_end(finding)}"
    elif finding.is_vain:
        yield "", VAIN
    elif finding.spans:
        yield "", "No further reading that you can take parts what is left. It lies in:"
        for span in finding.spans[:NAMED]:
            yield "  - ", f"{span.words} ({share_words(span.odds)})"
        yield "", f"Open and look there, likeliest first.{_at_the_end(finding)}"
    yield "", ADVICE


def _at_the_end(finding):
    """Return what is done after the repair: what is put back, new fuses, and every row worked again. [text]"""
    back = put_back(finding)
    fuses = _blown_fuses(finding)
    said = f" Put back what is off or out: {listed(back)}." if back else ""
    said += f" New fuses of the same rating: {listed(fuses)}, only once no short is read any more." if fuses else ""
    return f"{said} Then work every control through every row again, and sign."


def place_words(finding, offer):
    """Return where the leads are put, or what is looked at, and how the controls stand. [text]"""
    if offer.instrument == "look":
        part = finding.arrangement.part(offer.look)
        return f"look at {offer.look}" + (", out of its socket" if part.shines else ", pulled out")
    when = when_words(finding.arrangement, offer.positions) or ", everything at rest"
    if offer.instrument == "watch":
        well = ", as bright as ever and at its usual rate" if offer.sound in IN_TIME else ", as bright as ever"
        return f"look whether {' '.join(dict.fromkeys((place_of(finding.arrangement, offer.look), offer.look)))} works{when}{well}"
    held = "".join(f", while {name} is {phase}" for name, phase in offer.phases.items())
    if offer.instrument == "ohms":
        first = [f"battery off, {listed(name for name in offer.out if name not in offer.parted)} out", *(f"plug out of {name}" for name in offer.parted), *(f"{wire} off {end}" for wire, end in offer.lifted)]
        return f"{', '.join(first)}: ohms from {offer.red} to {offer.black}{when}"
    black = f"{offer.black} (battery)" if offer.black == finding.arrangement.zero else offer.black
    return f"red lead on {offer.red}, black lead on {black}{when}{held}"


def aside_words(finding, offer):
    """Yield what else is to be known about how to read it. [text]"""
    kept = kept_words(held_by(finding.ahead.solved, offer, finding.ahead.weights), *offer.phases.values()) if len(offer.phases) == 1 else ""
    for name, phase in offer.phases.items():
        part = finding.arrangement.part(name)
        yield (FLASHER_OFF.format(name=name, kept=f"with {kept}; or " * bool(kept)) if phase == "off" else
               FLASHER.format(feed=f"{name}:{part.inlet}", load=f"{name}:{part.outlet}") + f"; or {kept}" * bool(kept) + ".")
    if offer.instrument == "ohms":
        yield FUSE
    back = put_back(finding, offer)
    if back:
        yield f"Before that, put back: {listed(back)}."


def kept_words(end, phase):
    """Return which value of a meter on MIN/MAX is which phase; empty where nothing tells. [text]

    >>> kept_words("MIN", "on")
    'a meter on MIN/MAX, leads on first and set once it flashes: MIN is on, MAX is off'
    """
    return KEPT.format(end=end, phase=phase, other=OPPOSITE[end], opposite=OPPOSITE[phase]) if end else ""


def put_back(finding, offer=None):
    """Return what was off or out at the reading before and is not at the next one, as it is put back; without a next one all of it. [text]"""
    last = next((each for each in reversed(finding.taken) if each.reading), None)
    if last is None:
        return []
    blown = _blown_fuses(finding)
    return [*(f"{wire} on {end}" for wire, end in last.lifted if not offer or (wire, end) not in offer.lifted),
            *(name for name in last.out if name not in blown and (not offer or name not in offer.out))]


def _blown_fuses(finding):
    """Return the fuses that were seen blown, each once. [text]"""
    return [*dict.fromkeys(filter(None, (blown_fuse(each, finding.arrangement) for each in finding.taken)))]


def outcome_words(outcome, offer):
    """Return what is read or seen. [text]"""
    if offer.instrument == "watch":
        return "it does not" if outcome.is_gone else f"it does ({offer.sound})"
    if outcome.least is None:
        return "none there" if outcome.state == MISSING else outcome.state
    if offer.instrument == "ohms":
        return f"over {DEAD_SHORT:g} ohm, or no way" if outcome.least == inf else f"under {DEAD_SHORT:g} ohm"
    low, high = outcome.least, outcome.most
    if low == -inf:
        return "the display jumps"
    middle = (high + low) / 2
    if high - low < max(ONE_VALUE, ALIKE * abs(middle)):
        return "about 0 V" if abs(middle) < 0.05 else f"about {volts_words(middle)}"
    return f"{volts_words(low)} to {volts_words(high)}"


def repairs_words(outcome):
    """Return which repairs an outcome leaves, a few by name. [text]"""
    short = outcome.in_short
    return "; ".join(short) if len(short) <= NAMED else f"{len(short)} repairs, first of all: {short[0]}"


def finding_html(finding, most=FEW):
    """Return a finding as HTML: what was told, the causes, what comes next.

    Parameters
    ----------
    finding : Finding
    most : int
        How many causes to tell. [1]

    Returns
    -------
    str
    """
    told = [[str(each)] for each in (*finding.symptoms, *finding.taken)] + [[f"cannot get at {name}"] for name in finding.away]
    said = [Grid(f"Told of {finding.arrangement.title}", ("Told",), told or [[NOTHING]]).html()]
    if finding.symptoms or finding.taken:
        rows = [[share_words(cause.odds), cause_words(cause), cause.repair, why_words(cause), refuting_words(finding, cause).strip()]
                for cause in finding.causes[:most]]
        said += [f"<p>{safe(words)}</p>" for words in beside_words(finding)]
        said.append(Grid(head_words(finding), ("Odds", "What it may be", "To do", "Why", "What would refute it"), rows).html())
        said.append(f"<p>Something that is on no list: {safe(share_words(finding.other))}.</p>")
        said += [f"<p><b>{safe(contradiction_words(finding.contradiction))}</b></p>"] if finding.contradiction else []
        said += [f"<p>{safe((first + words).strip())}</p>" for first, words in next_lines(finding)]
    return "".join(said)
