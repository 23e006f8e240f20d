"""The worst single fault by a measure that can be said: in how many rows it spoils a signal; what sets a fire is told apart."""

SPOILED = {"wrong signal", "signal lost"}     # classes of the fault table
FIRE = "fire risk"


def spoiled_rows(line):
    """Return in how many rows a fault leaves a signal wrong or lost. [1]"""
    return sum(not SPOILED.isdisjoint(effect.classes) for effect in line.effects)


def fires(table):
    """Return the lines of the faults that may set a fire in some row, for no fuse ends them."""
    return tuple(line for line in table.lines if any(FIRE in effect.classes for effect in line.effects))


def worst(table):
    """Return the line of the fault, fires apart, that spoils most rows; the first of the table among equals, None where none does."""
    burning = fires(table)
    line = max((line for line in table.lines if line not in burning), key=spoiled_rows, default=None)
    return line if line and spoiled_rows(line) else None


def spoils_first(line):
    """Return the number of the first row whose signal a fault spoils. [1]"""
    return next(row for row, effect in enumerate(line.effects) if not SPOILED.isdisjoint(effect.classes))
