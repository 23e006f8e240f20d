"""What every picture of the kit has in common: line weights, dashes, colours, safe text.

Weight and dash carry the meaning; colour only repeats it. Every colour here
keeps a contrast of at least 3:1 on white paper and on a dark page.
"""

import re
from html import escape

from ..parts.law import AMBIENT

HEAVY, MAIN, THIN, HAIR = 3.0, 2.0, 1.2, 0.7    # line weights [px on screen, pt in print]
FONT = "sans-serif"
LIGHT_COLOURS = {"red": "#d23b34", "amber": "#b26a00", "white": "#777777"}  # a lamp's own light, as a line
LIGHT_DASH = (6, 3)                              # relative light
CURRENT_DASH = (5, 2, 1, 2)                      # current
ACTION_DASH = (2, 3)                             # a hand or foot moves a control
LIT_COLOURS = {"red": "#ff5c4d", "amber": "#ffb020", "white": "#fff3b8"}      # the same light, as a filled lamp
LAMP_DASHES = ((), (7, 2), (2, 2), (8, 2, 2, 2), (4, 1))             # lamps that share one set of axes
LAMP_COLOURS = ("#3c78b4", "#b26a00", "#3a8a5f", "#9b5fb0", "#777777")

INSULATION = {"BK": "#1a1a1a", "BN": "#8b5a2b", "RD": "#d62828", "OG": "#f28c28", "YE": "#f2d21b", "GN": "#2e9e44",
              "BU": "#2f6fd0", "VT": "#8a4fbf", "GY": "#8c8c8c", "WH": "#ffffff", "PK": "#f5a0b8", "TQ": "#30c5c0"}
COLOUR_WORDS = {"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
                "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "TQ": "turquoise"}

PAPER = {"light": ("#ffffff", "#000"), "dark": ("#16191d", "#e6e6e6")}      # of a picture on its own: ground, ink

_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
UNANSWERED = "No single answer here: live and dead are not drawn. Mend that first."    # below a drawing and spoken


def safe(text):
    """Return text that may stand in SVG or HTML, as content or inside a quoted attribute.

    >>> safe('<b> & "c"\\x00')
    '&lt;b&gt; &amp; &quot;c&quot;'
    """
    return escape(_NOT_XML.sub("", str(text)))


def ink_on(background):
    """Return the colour for lines and letters on a background: dark unless it is the dark paper.

    >>> ink_on("#ffffff"), ink_on("#16191d")
    ('#000', '#e6e6e6')
    """
    return dict(PAPER.values()).get(background, PAPER["light"][1])


def dashes(pattern):
    """Return a dash pattern as an SVG attribute, empty for a solid line."""
    return f' stroke-dasharray="{" ".join(map(str, pattern))}"' if pattern else ""


def named(part):
    """Return a part's name, with its place when it has one. [text]"""
    return f"{part.name}, {part.place}" if part.place else part.name


def question_mark(name, arrangement):
    """Return what drawings put after the name of what is not known, else nothing. [text]"""
    return " ?" if name in arrangement.not_known else ""


def colour_words(letters):
    """Return colour letters in words.

    >>> colour_words("RDBU"), colour_words("")
    ('red with blue', 'no colour')
    """
    pieces = [COLOUR_WORDS[letters[index:index + 2]] for index in range(0, len(letters), 2)]
    return " with ".join(pieces) or "no colour"


def frame_words(arrangement):
    """Return what has to be known of a drawing whose frame is on plus, nothing of any other. [text]"""
    return (" Plus stands on the frame: volts are counted from there, so the live side is the negative one."
            if arrangement.frame == "plus" else "")


def ambient_line(arrangement):
    """Return how warm it is round what is drawn, nothing where that is a room. [text]"""
    return f"Ambient {arrangement.ambient:g} C, not {AMBIENT:g} C." if arrangement.ambient != AMBIENT else ""


def ground_words(arrangement):
    """Return what a chassis is called in a drawing. [text]"""
    return "frame, plus" if arrangement.frame == "plus" else "ground (31)"


def rail_words(arrangement, live=True):
    """Return what the supply's rail is called, or the other pole's where no chassis is. [text]"""
    sign, number = ("+", "30") if live == (arrangement.frame == "minus") else ("\N{MINUS SIGN}", "31")
    return f"battery {sign} ({number if arrangement.frame == 'minus' else 'live' if live else 'not live'})"
