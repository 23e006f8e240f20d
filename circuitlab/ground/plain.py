"""Text that is safe to print: no letter of it moves a cursor, changes a colour or turns the line round.

Names of folders and files, labels and answers come from others. Whatever prints one, or raises an error about one,
shows the letters that are not to be seen by their numbers.
"""

import unicodedata

JOINERS = "\N{ZERO WIDTH JOINER}\N{ZERO WIDTH NON-JOINER}"      # some scripts need them inside words
CUT = " [... shortened ...] "


def plain(text, kept="\n"):
    r"""Return a text with control, direction and other unseen letters shown by their numbers. [text]

    Parameters
    ----------
    text : str
    kept : str
        Letters that stay as they are; line ends unless given. [text]

    Examples
    --------
    >>> print(plain("seat 4" + chr(27) + "[31m" + chr(0x202E)))
    seat 4\x1b[31m\u202e
    >>> print(plain("two" + chr(10) + "lines", kept=""))
    two\nlines
    """
    if text.isprintable():
        return text
    return "".join(each if each in kept or _is_seen(each) else each.encode("unicode_escape").decode() for each in text)


def counted(number, thing):
    """Return a number of things in words, one or several. [text]

    >>> counted(1, "control"), counted(3, "file"), counted(0, "wire")
    ('1 control', '3 files', '0 wires')
    """
    return f"{number} {thing}{'s' * (number != 1)}"


def blow_words(names):
    """Return that fuses blow, in words. [text]

    >>> blow_words(["F1"]), blow_words(["F1", "F2"])
    ('F1 blows', 'F1, F2 blow')
    """
    return f"{', '.join(names)} {'blows' if len(names) == 1 else 'blow'}"


def bounded(text, most):
    """Return a text with its middle left out, and that said, where it has more letters than may stand there. [text]

    >>> bounded("a" * 100, 40)
    'aaaaaaaaaaaaa [... shortened ...] aaaaaa'
    """
    if len(text) <= most:
        return text
    end = (most - len(CUT)) // 3
    return text[:most - len(CUT) - end] + CUT + text[-end:]


def _is_seen(letter):
    return letter.isprintable() or letter in JOINERS or unicodedata.category(letter) == "Zs"
