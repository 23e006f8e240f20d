"""Issued seeds: a short code for each learner, made from a secret of the class, the lesson and the learner's label.

What this can do: two learners get different numbers, the teacher can tell from
secret, lesson and label alone which numbers were whose, a typing slip in the
code is noticed, and so is a code that was issued for another lesson. What it
cannot do: tell a neighbour's code from one's own, or another class's from this
one's, as both are right codes; the class's summary tells. Nor hide an answer. Whatever is worked out
on the learner's own machine can be looked at there; the code only says which
variant it is. For marks that count, a person watches.
"""

import hmac
from hashlib import sha256

from ..ground.errors import PartError

LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"    # no I, L, O, U: they are misread
_ALIKE = str.maketrans("ILOU", "110V")
SIZE = 7                                        # letters of 5 bits each, and one more to check them


def issue_code(secret, lesson, label):
    """Return the code of one learner in one lesson.

    Parameters
    ----------
    secret : str
        Known to the teacher alone. [text]
    lesson : str
        Its number, such as ``"11"``. [text]
    label : str
        What the teacher calls the learner in lists; a seat number will do. [text]

    Returns
    -------
    str
        Eight letters and digits, in two groups. [text]

    Raises
    ------
    PartError
        For an empty secret or label.

    Examples
    --------
    >>> issue_code("apples in june", "11", "seat 4") == issue_code("apples in june", "11", " Seat 4")
    True
    """
    for words, what in ((secret, "the class secret"), (label, "the learner's label")):
        if not str(words or "").strip():
            raise PartError(f"{what} is empty. Give some words for it.")
    told = f"{str(lesson).strip()}\n{' '.join(str(label).casefold().split())}"
    number = int.from_bytes(hmac.new(str(secret).encode(), told.encode(), sha256).digest()[:8])
    drawn = "".join(LETTERS[(number >> 5 * place) & 31] for place in range(1, SIZE))
    letters = _lesson_letter(drawn, lesson) + drawn
    return f"{letters[:4]}-{letters[4:]}{_check_letter(letters)}"


def read_code(text):
    """Return a code as it is written, or raise PartError when a letter of it must be wrong. [text]"""
    letters = "".join(str(text).upper().translate(_ALIKE).split()).replace("-", "")
    if len(letters) != SIZE + 1 or any(letter not in LETTERS for letter in letters):
        raise PartError(f"'{text}' is not an issued code. A code has {SIZE + 1} letters and digits, such as '7K3M-9QXD'.")
    if letters[-1] != _check_letter(letters[:-1]):
        raise PartError(f"the code '{text}' has a wrong letter in it. Compare it with the slip you were given.")
    return f"{letters[:4]}-{letters[4:]}"


def is_of(code, lesson):
    """Tell whether a code can have been issued for a lesson; one of 32 of another lesson's can by chance. [yes/no]

    Parameters
    ----------
    code : str
        As :func:`read_code` returns it. [text]
    lesson : str
        Its number, such as ``"11"``. [text]
    """
    letters = code.replace("-", "")
    return letters[0] == _lesson_letter(letters[1:SIZE], lesson)


def seed_of(code, item, turn):
    """Return the seed of a question's variant.

    Parameters
    ----------
    code : str or None
        Issued code; without one the seeds are open: 1, 2, 3 and so on. [text]
    item : str
        The question. [text]
    turn : int
        How many variants of it came before. [1]
    """
    if code is None:
        return turn + 1
    first = int.from_bytes(sha256(f"{code}\n{item}".encode()).digest()[:4])
    return first + turn


def _lesson_letter(drawn, lesson):
    """Return the first letter of a code, which hangs on its next six and on the lesson. [text]"""
    return LETTERS[sha256(f"{drawn}\n{str(lesson).strip()}".encode()).digest()[0] & 31]


def _check_letter(letters):
    return LETTERS[sha256(letters.encode()).digest()[0] & 31]
