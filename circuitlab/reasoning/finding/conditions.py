"""What somebody does or has on, in the plain words of a condition: ``I press the brakes`` is *stop*."""

import re

JOINING = ("and", "or", "not", "(", ")")
_WHO = r"(?:(?:i|you|we|they|he|she|it) )?"
_PRESSES = r"(?:(?:press(?:es|ed|ing)?|step(?:s|ped|ping)? on|hit(?:s|ting)?|touch(?:es|ed|ing)?|appl(?:y|ies|ied|ying)) )?"
_BRAKES = re.compile(rf"{_WHO}(?:brak(?:e|es|ed|ing)|{_PRESSES}(?:the |my )?(?:foot )?brakes?(?: pedal)?(?: (?:is |are )?(?:on|pressed|held|applied|down))?)", re.IGNORECASE)
_TURNS = re.compile(rf"{_WHO}(?:turn(?:s|ed|ing)?|signal(?:s|led|ed|ling|ing)?|indicat(?:e|es|ed|ing))(?: to)?(?: the)? (left|right)", re.IGNORECASE)
_HAS = re.compile(r"(?:(?:the|my) )?(.+?)(?: (?:is|are))?( \S+)?", re.IGNORECASE)


def plain_condition(words, domain):
    """Return the words of a condition, what somebody does in them by the trade's own words; a control's own name stays as it is. [text]

    Parameters
    ----------
    words : sequence of str
    domain : tuple of (str, tuple of str)
        Every control with its positions. [text]

    >>> plain_condition("I press the brakes and the key is on".split(), (("key", ("off", "on")),))
    ['stop', 'and', 'key', 'on']
    """
    found, piece = [], []
    for word in (*words, None):
        if word is not None and word not in JOINING:
            piece.append(word)
            continue
        found += [*_plain(" ".join(piece), domain).split(), *([word] if word else [])]
        piece = []
    return found


def _plain(piece, domain):
    own = {f"{name} {position}" for name, positions in domain for position in positions} | {name for name, _ in domain}
    if piece in own:
        return piece
    if _BRAKES.fullmatch(piece):
        return "stop"
    if turns := _TURNS.fullmatch(piece):
        return f"turn {turns[1].lower()}"
    has = _HAS.fullmatch(piece)
    return f"{has[1]}{has[2] or ''}" if has else piece
