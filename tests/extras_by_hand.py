"""What is right in the extras, reasoned by hand from the words of a question; as the tables in ``test_right_in_every_variant.py``."""

import re

USUAL, TWICE = "the usual rate", "about twice as fast"
CHOICES = {
    ("x1", "which"): {"free-running|beside each|two 21 W": USUAL, "": TWICE},
    ("x2", "size"): {"flasher": "a few milliamps", "lever fed": "a relay coil's", "": "lamps'"},
    ("x3", "name"): {"rear left": "H2", "rear right": "H5", "flasher": "H1", "brake": "D4", "": "D9"},
    ("x3", "feed"): {"lever left": "87", "": "87a"},
    ("x5", "bears"): {"cold": "more than it bears", "10 megohm": "far less than it bears", "": "less, but a good part of it"},
}
ALLOWED = ("a diode", "100 ohm", "220 ohm", "680 ohm", "nothing")     # what lies across a coil, the fewest volts first


def figures(text):
    """Return the numbers of a text. [1]"""
    return [float(each) for each in re.findall(r"(?<![\w.])\d+(?:\.\d+)?(?![\w:])", text)]


def heat(text, lesson):
    """Volts squared by ohms, for half of the time: Joule's law."""
    ohms, volts = figures(text)
    return volts * volts / ohms / 2


def by_fuse(text, lesson):
    """Ohm's law in thousandths."""
    _, milliohms, millivolts = figures(text)
    return millivolts / milliohms


def kick(text, lesson):
    """Amps by ohms. Published: 0.100 A into 680 ohm, 68 V by this sum, 65 V on a scope (a forum's measurement)."""
    milliamps, ohms, _, *_ = [*figures(text), 0]
    return milliamps / 1000 * ohms


def watch(text, lesson):
    ohms, volts = figures(text)
    return volts / ohms


def days(text, lesson):
    """35 Ah by the Ah of a day."""
    amps, _ = figures(text)
    half = 35 / (24 * (amps / 1000 if "mA flow" in text else amps))
    return ("about a day", "about a week", "about a month", "most of a year")[sum(half > level for level in (3, 15, 100))]


def first(text, lesson):
    """More volts end the current sooner."""
    a, b = ([place for place, words in enumerate(ALLOWED) if words in part] for part in text.partition("A: ")[2].split("B: "))
    return "A" if a > b else "B"


NUMBERS = {("x1", "heat"): heat, ("x2", "fuse"): by_fuse, ("x4", "kick"): kick, ("x5", "watch"): watch}
REASONED = {("x2", "days"): days, ("x4", "first"): first}
