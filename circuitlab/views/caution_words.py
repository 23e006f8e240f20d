"""Cautions as lines to print ahead of everything else: what is said of several parts alike is said once."""

from ..arrangements.cautions import warnings_for
from ..ground.errors import listed


def caution_lines(arrangement):
    """Return a line for each caution of an arrangement; those that differ in the part's name alone are one. [text]

    >>> from circuitlab.arrangements import SetValue, arrangement, changed
    >>> twice = changed(arrangement("shared-filament-four-relays"), SetValue("G1", "voltage", 25.2))
    >>> [line[-29:] for line in caution_lines(twice) if line.startswith("Caution: relay")]
    ['The same holds of K2, K3, K4.']
    """
    told = {}
    for words in warnings_for(arrangement):
        name = words.split("'")[1] if words.count("'") == 2 else ""
        told.setdefault(words.replace(f"'{name}'", "''") if name else words, []).append((words, name))
    return tuple(f"Caution: {alike[0][0]}{_others([name for _, name in alike[1:]])}" for alike in told.values())


def _others(names):
    return f" The same holds of {listed(names)}." if names else ""


def deaf_lines(deaf):
    """Return a line for each flasher with lamp-out sensing that no longer tells one lamp out by its pace, each with its FlasherLoad. [text]"""
    return [f"Caution: {flasher.name} is to hurry when a lamp is out, and is made for {flasher.rated_load:g} W. Here it switches {load.count} x "
            f"{load.bulb_watts:g} W: with one out it still has {load.watts_one_out:.0f} W and goes on at its pace, so a dead lamp is not told. "
            f"Fit one made for {load.count} lamps, or look at every lamp."
            for flasher, load in deaf]
