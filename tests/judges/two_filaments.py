"""Where the filaments of a bulb with two are, written down anew from their names: ``E1.54`` and ``E1.58`` end at E1:31."""

SINGLE = ("P21W", "1156")     # bulbs with one filament and a base of 15 mm


def end_of(name, end):
    """Return a terminal; of one filament of two, named as ``E1.54``, what feeds it and the shell, in the place of 1 and 2; of a channel its seat's."""
    seat, _, feed = name.partition(".")
    if feed not in ("", "54", "58"):
        return f"{seat}:{end}"
    return f"{seat}:{feed if end == '1' else '31'}" if feed else f"{name}:{end}"


def is_missing(part, arrangement):
    """Tell whether a filament is not there: a bulb with one, whose names these are, has none for the tail. [yes/no]"""
    return part.name.endswith(".58") and arrangement.by_name[part.name[:-3]].bulb in SINGLE
