"""What people call a light: dim, or as it always was; and a test lamp bright, dim or dark."""

from math import log

import numpy as np

from ..looks import TOO_BRIGHT, TOO_BRIGHT_ABOVE
from ..observing import FLICKERS

SLOW, SOONER = 0.7, 0.05            # of the right flashes in a minute: half of all people call it slow; how soon the others do: the kit's own guess
STRIKING = 0.12                     # of the logarithm of a lamp's light, how soon the others call it too bright: the kit's own guess
UNNOTICED, NOTICED = 0.8, 0.07      # of a lamp's right light: half of all people call it dim; how soon the others do


def look_over_time(levels):
    """Return the look of a lamp from its levels over time. [1], [text]"""
    if FLICKERS in levels:
        return "flickers"
    return "flashing" if len(levels) > 1 else ("dark", "dim", "steady", "flickers", "steady", TOO_BRIGHT)[max(levels)]


def called_dim(share):
    """Return how many people call a lamp dim that gives this share of its right light. [1]"""
    return 1 / (1 + np.exp(np.clip((share - UNNOTICED) / NOTICED, -40, 40)))


def called_too_bright(share):
    """Return how many people call a lamp too bright that gives this share of its right light, half of them where the kit does. [1]"""
    return 1 / (1 + np.exp(np.clip((log(TOO_BRIGHT_ABOVE) - np.log(np.maximum(share, 1e-9))) / STRIKING, -40, 40)))


def called_slow(share):
    """Return how many people call a flasher slow that turns this share of its right flashes in a minute. [1]"""
    return 1 / (1 + np.exp(np.clip((share - SLOW) / SOONER, -40, 40)))


def rises(volts):
    """Return how likely something is called so, half where these are 0. [V], [1]"""
    return 1 / (1 + np.exp(np.clip(-volts / 0.4, -40, 40)))
