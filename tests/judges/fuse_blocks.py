"""Where the fuses of a block are, written down anew from its line of ways: ``F5.1`` lies between the rail of way 1 and F5:1."""


def way_of(ways, number):
    """Return the rail of a way and what its clips add, from a line such as ``30: 10 A, spare; 15: 5 A clips 2 ohm``. [text], [ohm]"""
    flat = [(rail.partition(":")[0] if ":" in rail else "30", words) for rail in ways.split(";") for words in rail.rpartition(":")[2].split(",")]
    rail, words = flat[number - 1]
    return rail.strip(), float(words.partition("clips")[2].replace("ohm", "") or 0)


def ends_of(part, arrangement):
    """Return the two ends of a fuse that sits in a block, and what its clips add. [text], [ohm]"""
    block, _, number = part.name.partition(".")
    rail, ohms = way_of(arrangement.by_name[block].ways, int(number))
    return {"1": f"{block}:{rail}", "2": f"{block}:{number}"}, ohms
