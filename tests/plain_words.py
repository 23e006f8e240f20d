"""Which words of a text are hard: neither on the Dale-Chall list of 3,000 nor in the glossary of the kit.

The list is the one that the package ``textstat`` carries, read as a file; nothing of the package is run. What counts as a form of
a listed word follows the published counting rules as far as they are told without a parser (plurals, possessives, regular verb
forms, comparatives, adverbs in -ly, hyphenated words part by part; names of persons and places and numbers are not hard): Dale
and Chall 1948 and 1995, the rules from memory.
"""

import re
from functools import cache
from importlib.metadata import files

from lesson_path import CODE, plain

from circuitlab.ground.places import kit_folder

ENDINGS = ("'s", "s'", "n't", "'ll", "'re", "'ve", "s", "es", "d", "ed", "ing", "ly", "er", "est", "r", "st")


@cache
def listed():
    """Return the words of the Dale-Chall list. [text]"""
    (path,) = (each for each in files("textstat") if each.parts[-2:] == ("en", "easy_words.txt"))
    return frozenset(path.read_text("utf-8").lower().split())


@cache
def glossary():
    """Return the words that words.md explains, in the order of its table, each with what is said of it. [text]"""
    table = (kit_folder("lessons") / "words.md").read_text("utf-8").partition("## Words\n")[2].partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines() if line.startswith("|")][2:]
    return {word.strip(): row[1] for row in rows for word in row[0].split(",")}


@cache
def explained():
    """Return every single word that the glossary explains. [text]"""
    return frozenset(part for word in glossary() for part in re.findall(r"[a-z]+", word.lower()))


def bases(word):
    """Yield a word and what it may be a regular form of. [text]"""
    yield word
    for ending in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) > 1:
            stem = word.removesuffix(ending)
            yield from (stem, stem + "e", stem.removesuffix("i") + "y" if stem.endswith("i") else stem)
            if len(stem) > 2 and stem[-1] == stem[-2]:
                yield stem[:-1]
    if word.endswith("lly"):
        yield word[:-2]


@cache
def is_known(word):
    """Whether a word, in small letters, is on the list or in the glossary, or a regular form of one that is."""
    return any(base in listed() or base in explained() for base in bases(word))


def spoken(text):
    """Yield the words of a text as ``(word, whether it may be a name)``; what is code, a number or a letter is left out."""
    bare = re.sub(CODE, " # ", text)
    for line in re.split(r"(?<=[.?!:])\s|\n|^", plain(bare)):
        for place, found in enumerate(re.finditer(r"(?<![\w@])[^\W\d_][^\W\d_]+(?:'[a-z]+)?(?![\w@])", line)):
            yield found[0].lower(), found[0][0].isupper() and (place > 0 or found[0][1:].isupper())


def hard(text):
    """Return the hard words of a text, and how many words it has. [text], [1]"""
    found = list(spoken(text))
    return [word for word, is_name in found if not is_name and not is_known(word)], len(found)
