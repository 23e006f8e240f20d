"""Repairs as whoever made them words them: which parts they name, and which candidates ask for the same."""

FAILED = 0.05       # of its odds, that a fault is still there after its repair, done badly: the kit's own guess


def after_failing(arrangement, candidates, odds, failed):
    """Return odds where repairs have failed: what asks for one of them is lowered; told in other words, what is about the same parts. [text], [1]"""
    odds, short = list(odds), [each.repair.partition(",")[0] for each in candidates]
    for words in failed:
        named = names_in(words, arrangement)
        same = [number for number, each in enumerate(short) if _begin_alike(words, each)] or [
            number for number, each in enumerate(short) if named and names_in(each, arrangement) == named]
        for number in same:
            odds[number] *= FAILED
    return odds


def names_in(words, arrangement):
    """Return the parts and wires that a repair names, alone or by their terminals. [text]

    >>> import circuitlab as cl
    >>> sorted(names_in("mended W3, at E1:1.", cl.arrangement("one-fused-lamp")))
    ['E1', 'W3']
    """
    return {word.partition(":")[0] for word in _bare(words)} & {*arrangement.by_name}


def is_about(words, arrangement, repair, names):
    """Tell whether words name one of some parts; where they name none at all, whether a repair is called so. [text], [yes/no]"""
    named = names_in(words, arrangement)
    return bool(named & {*names}) if named else words in repair


def _begin_alike(one, other):
    """Tell whether two repairs are the same as far as the shorter goes, word by word: W1 is not W16. [yes/no]"""
    return all(mine == yours for mine, yours in zip(_bare(one), _bare(other)))


def _bare(words):
    return [word.strip(",.;") for word in words.split()]
