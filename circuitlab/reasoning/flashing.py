"""What a lamp did in a time course: steady or flashing, how often, how long on."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from statistics import median

from ..ground.errors import ScriptError, unknown_name
from ..ground.showing import Showing
from ..solving.buzzing import NO_REST
from ..parts.flasher import HURRY
from .flickering import restless_light
from .looks import DARK_BELOW, DIM_BELOW, SEEN, TOO_BRIGHT, TOO_BRIGHT_ABOVE, differs, goes_out

TOO_SHORT = 0.03              # s, a dark moment no filament shows
ALLOWED_RATE = (60.0, 120.0)  # flashes per minute. Sources: StVZO s.54; UN R48; SAE J974 par. 4.3


@dataclass(frozen=True, repr=False)
class Flash(Showing):
    """A lamp's behaviour over a stretch of time.

    Attributes
    ----------
    look : {"dark", "steady", "dim", "too bright", "pulses", "flashing", "dim flashing", "flickers", "changing", "dim changing"}
        ``pulses`` where it is brighter and less bright, as anybody sees, without going out; ``dim``, ``dim flashing`` and ``dim changing`` where the light of what is lit is never reached; ``flickers`` where
        what feeds it finds no rest and the eye can follow; ``changing`` is on or off once without a full flash. [text]
    rate : float or None
        Flashes per minute, from the first start to the last. [1/min]
    on_share : float or None
        Share of the time with voltage, over whole flashes. [1]
    highest : float
        Greatest voltage across the lamp. [V]
    sentence : str
    edges : tuple of (float, bool)
        Moments at which it came on (true) or went off. [s]
    """

    lamp: str
    look: str
    rate: float | None
    on_share: float | None
    highest: float
    sentence: str
    edges: tuple = ()

    @property
    def brief(self):
        """In one sentence. [text]"""
        return f"{self.lamp}: {self.sentence}."

    @property
    def is_rate_allowed(self):
        """Whether the rate lies within 60 to 120 per minute, both included."""
        return self.rate is not None and ALLOWED_RATE[0] - 0.005 <= self.rate <= ALLOWED_RATE[1] + 0.005


def flash(course, lamp, start=0.0, end=None):
    """Measure what a lamp did, from its light and its voltage.

    Parameters
    ----------
    course : TimeCourse
    lamp : str
        Its name. [text]
    start, end : float
        The stretch to look at; to the end of the record unless given. [s]

    Returns
    -------
    Flash

    Notes
    -----
    A lamp is dark when its light stays under 1 % of rated through the stretch,
    the bound of the lamp table too, or its volts under what gives so much at
    rest (a filament still glowing after the switch is dark). One difference to
    the table remains: there every filament has warmed up for good; here only
    as far as the flashes let it. So a lamp may flash in the table, just above
    1 %, and be dark in time; what is seen is what happens in time.

    "On" is a voltage above half the greatest one of the stretch. Dark moments under 30 ms (a
    relay's transfer gap) are bridged, as a filament bridges them; so are as short moments in which
    a lit lamp is less bright: the eye adds up what comes so close (Bloch's law, from memory). Rate and
    on-share are those of the middle one of all whole flashes, from start to
    start, so one cut short by a switch does not spoil them.

    >>> import circuitlab as cl
    >>> flash(cl.trial(cl.arrangement("shared-filament-rear-relays"), {"key": "on", "turn lever": "left"}), "E1")
    E1: flashing 90 per minute, on 50 % of the time, at most 11.9 V.
    """
    if lamp not in course.lamp_volts:
        raise unknown_name("the time course", "lamp", lamp, course.lamp_volts)
    end = course.until if end is None else end
    if not (0 <= start < end <= course.until or start == end == course.until == 0):   # a short may end it at once
        raise ScriptError(f"the stretch from {start:g} to {end:g} s does not lie within 0 to {course.until:g} s.",
                          start=start, end=end)
    first, behind = bisect_left(course.times, start), bisect_right(course.times, end)
    stretch = [(t, abs(u)) for t, u in zip(course.times[first:behind], course.lamp_volts[lamp][first:behind])]
    highest = max((u for _, u in stretch), default=0.0)
    if highest < DARK_BELOW ** (1 / 3.4) * course.arrangement.part(lamp).volts:
        return Flash(lamp, "dark", None, None, highest, "dark")
    if course.arrangement.is_gone(lamp):
        return Flash(lamp, "dark", None, None, highest, f"dark, though up to {highest:.1f} V reach its terminals")
    peak, flickers = max(course.light[lamp][first:behind]), False
    if course.verdict in NO_REST:      # cut short, perhaps before it was warm
        light, flickers = restless_light(course, lamp)
        peak = max(peak, light)
    if peak < DARK_BELOW:
        return Flash(lamp, "dark", None, None, highest,
                     f"dark: up to {highest:.1f} V reach it, too little or too briefly for light")
    if flickers:
        return Flash(lamp, "flickers", None, None, highest, f"flickers, at most {highest:.1f} V")
    edges = _edges(stretch, highest / 2)
    dim, light = ("dim", f", {100 * peak:.0f} % of its light") if peak < DIM_BELOW else ("", "")
    if not edges:
        still = dim or (TOO_BRIGHT if peak > TOO_BRIGHT_ABOVE and course.arrangement.part(lamp).misplaced else "steady")
        return (None if still == TOO_BRIGHT else _pulse(course, lamp, first, behind, stretch)) or Flash(
            lamp, still, None, None, highest, f"{still} at {highest:.1f} V{light}")
    rate, share = _rhythm(edges)
    if rate is None:
        return Flash(lamp, f"{dim} changing".strip(), None, None, highest,
                     f"{_when(edges, dim or 'lit')}, at most {highest:.1f} V{light}", tuple(edges))
    look = f"{dim} flashing".strip()
    return Flash(lamp, look, rate, share, highest,
                 f"{look} {rate:.0f} per minute, on {100 * share:.0f} % of the time, at most {highest:.1f} V{light}", tuple(edges))


def _rhythm(edges):
    """Return rate and on-share of the middle one of all whole flashes; None twice where there is none. [1/min], [1]"""
    rises = [index for index, (_, on) in enumerate(edges) if on]
    periods = [edges[b][0] - edges[a][0] for a, b in zip(rises, rises[1:])]
    if not periods:
        return None, None
    return 60 / median(periods), median((edges[a + 1][0] - edges[a][0]) / period for a, period in zip(rises, periods))


def _pulse(course, lamp, first, behind, stretch):
    """Return the Flash of a lamp whose volts stay up while its light swings again and again as anybody sees, or None."""
    light = course.light[lamp][first:behind]
    most, least = max(light), min(light)
    if not differs(most, least) or goes_out(least, most) or most < DIM_BELOW:
        return None
    course_of_light = [(t, each) for (t, _), each in zip(stretch, light)]
    if _rhythm(_edges(course_of_light, (1 - SEEN) * most))[0] is None:      # too short a dip to be seen, as of a relay's transfer gap
        return None
    edges = _edges(course_of_light, (most + least) / 2)
    rate, share = _rhythm(edges)
    if rate is None:
        return None
    volts = [u for _, u in stretch]
    return Flash(lamp, "pulses", rate, share, max(volts),
                 f"pulses {rate:.0f} per minute, between {min(volts):.1f} and {max(volts):.1f} V, {100 * least:.0f} to "
                 f"{100 * most:.0f} % of its light", tuple(edges))


def hurry_words(name, does="flashes"):
    """Say of a flasher that its load is too light. [text]"""
    return f"{name} {does} some {HURRY:g} times as fast"


def _when(edges, seen):
    """Say when a lamp that came or went without a full flash was lit, or dim. [text]"""
    (first, rises), *later = edges
    if not rises:
        return f"{seen} until {first:.2f} s" + (f" and again from {later[0][0]:.2f} s" if later else "")
    return f"{seen} from {first:.2f} s" + (f" to {later[0][0]:.2f} s" if later else " on")


def _edges(stretch, level):
    """Return (time, rises) wherever the voltage crosses a level, short dark moments left out."""
    edges = []
    for (_, before), (t, after) in zip(stretch, stretch[1:]):
        if (before > level) == (after > level):
            continue
        if after > level and edges and t - edges[-1][0] < TOO_SHORT:
            edges.pop()
        else:
            edges.append((t, after > level))
    return edges
