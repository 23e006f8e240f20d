"""What the page of a board that finds a fault says of a finding: its words are those of ``find_words``, with the places that go with them."""

from ...reasoning.finding.next_reading import share_words
from ...reasoning.nearly_gone import nearly_gone_words
from ..find_words import (ADVICE, COLD, LIVE, NOTHING, aside_words, beside_words, cause_words, contradiction_words, head_words, next_lines, outcome_words,
                          place_words, reason_words, refuting_words, repairs_words, why_words)

FEW = 8             # causes told on a board; their badges must not cover the drawing
CAUTIONS = {"meter": LIVE, "test lamp": LIVE, "amps": LIVE, "ohms": COLD}      # of what is read with
BEFORE = (LIVE, COLD, ADVICE)       # what is said before anything is told
OWN = ("The drawing is the circuit as it is meant to be; yours is in front of you. Set the switches here as they stand there, say what each "
       "lamp does, and put the leads here where you put yours.")
NOTHING_NEXT = {"caution": "", "first": False, "head": "", "lines": [], "outcomes": [], "reason": "", "offer": None, "refuting": []}


def no_causes(head):
    """Return a sentence in the place of causes."""
    return {"head": head, "causes": [], "other": "", "against": "", "before": []}


def causes_of(finding):
    """Return the causes in words, likeliest first, each with its place; what fits worst, and what is on no list."""
    if not finding.symptoms and not finding.taken:
        return {**no_causes(NOTHING), "before": [OWN, *BEFORE]}
    causes = [{"odds": share_words(cause.odds), "words": cause_words(cause), "repair": cause.repair, "why": why_words(cause), "place": list(cause.place)}
              for cause in finding.causes[:FEW]]
    further = [cause.words for cause in finding.causes[FEW:]]
    other = [f"Something that is on no list: {share_words(finding.other)}.", *([f"Further: {'; '.join(further)}."] if further else [])]
    return {"head": head_words(finding), "causes": causes, "other": " ".join(other), "before": list(beside_words(finding)),
            "against": contradiction_words(finding.contradiction) if finding.contradiction else ""}


def step_of(finding):
    """Return what comes next in words: what to be careful of first; and where the leads are put for it, None where nothing is read."""
    refuting = [refuting_words(finding, cause).strip() for cause in finding.causes[:FEW]]
    step = finding.next
    if step is None:
        said = [f"{first}{words}".strip() for first, words in next_lines(finding)] if finding.symptoms or finding.taken else []
        return {**NOTHING_NEXT, "lines": said, "refuting": refuting}
    offer = step.offer
    caution = CAUTIONS.get(offer.instrument, ADVICE)
    outcomes = [f"{outcome_words(each, offer)}{nearly_gone_words(each.under_lamp)} ({share_words(each.odds)}): leaves {repairs_words(each)}." for each in step.outcomes]
    return {"caution": caution, "first": offer.instrument == "ohms", "head": f"Next (about {offer.effort:.0f} min): {place_words(finding, offer)}.", "outcomes": outcomes,
            "lines": list(aside_words(finding, offer)), "reason": f"Why: {reason_words(step)}", "refuting": refuting,
            "offer": {"red": offer.red, "black": offer.black, "instrument": offer.instrument, "look": offer.look, "positions": dict(offer.positions),
                      "phases": dict(offer.phases), "lifted": [list(each) for each in offer.lifted], "out": list(offer.out)}}
