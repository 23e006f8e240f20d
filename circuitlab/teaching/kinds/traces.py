"""Two to four small time charts, of which one is this circuit's."""

from dataclasses import dataclass, field, replace
from hashlib import sha256

from ...ground.errors import ArrangementError
from ...reasoning import flash
from ...views.time_chart import trace
from ...views import style
from ...views.course_words import edge_words
from .choice import Choice

WIDTH, HEIGHT, LEFT, TOP, BOTTOM = 420, 124, 46, 16, 88     # of one chart [px]
LETTERS = "ABCD"


@dataclass(frozen=True)
class Traces(Choice):
    """Choose the chart; the options are letters, and each chart is drawn from a course solved for it.

    Parameters
    ----------
    options : tuple of str
        Letters. [text]
    lamp : str
        Whose volts the charts show. [text]
    courses : dict of str to TimeCourse
        By letter.
    """

    options: tuple = ("A", "B")
    chain: tuple = ()
    replies: tuple = ()
    lamp: str = ""
    courses: dict = field(default_factory=dict, repr=False)

    def filled(self, variant):
        return replace(self, lamp=variant.fill(self.lamp))

    def shown(self, courses, variant):
        """Return the kind with charts of these courses under letters that say nothing of their order."""
        kept = []
        for course in courses:
            if all(_looks_like(course, self.lamp) != _looks_like(other, self.lamp) for other in kept):
                kept.append(course)
        if not 2 <= len(kept) <= len(LETTERS):
            raise ArrangementError(f"{len(kept)} of the charts can be told apart; two to four are needed. "
                                   "Give ideas that lead to different traces.")
        order = sorted(kept, key=lambda course: sha256(repr((variant.seed, _looks_like(course, self.lamp))).encode()).digest())
        letters = LETTERS[:len(order)]
        return replace(self, options=tuple(letters), courses=dict(zip(letters, order)))

    def letter_of(self, course):
        """Return the letter under which a course is shown. [text]"""
        wanted = _looks_like(course, self.lamp)
        return next((letter for letter, each in self.courses.items() if _looks_like(each, self.lamp) == wanted), None)

    def would(self, answer, truth, variant):
        return f"Chart {answer} would be seen if the lamp's feed did just that. Which contact would have to move so?"

    def where(self, answer, truth, variant):
        return "Take one moment at which two charts differ, and ask of that moment alone: live or dead?"

    def words(self, answer):
        return f"chart {answer}"

    def read(self, given, variant):
        told = str(given or "").strip()
        return super().read(told[6:] if told.casefold().startswith("chart ") else given, variant)

    def on_paper(self):
        return [(small_chart(course, self.lamp, letter), ()) for letter, course in self.courses.items()] + [
            ("", tuple(f"chart {letter}" for letter in self.options))]


def small_chart(course, lamp, letter, prefix=""):
    """Draw the volts of one lamp as a small chart with its letter; it says no more than it shows.

    Returns
    -------
    str
        One ``svg`` element with its text alternative. [text]
    """
    told = edge_words(flash(course, lamp))
    highest = max(15.0, max(course.lamp_volts[lamp]))
    across, up = (WIDTH - LEFT - 12) / (1000 * course.until), (BOTTOM - TOP) / highest
    x = lambda time: LEFT + 1000 * time * across
    y = lambda volts: BOTTOM - volts * up
    seconds = range(int(course.until) + 1)
    grid = "".join(f"M{LEFT} {y(volts):.1f}H{WIDTH - 12}" for volts in (0, 5, 10, 15))
    ticks = "".join(f"M{x(time):.1f} {BOTTOM}v5" for time in seconds)
    labels = "".join(f'<text x="{LEFT - 6}" y="{y(volts) + 3.5:.1f}" text-anchor="end">{volts} V</text>' for volts in (0, 5, 10, 15))
    labels += "".join(f'<text x="{x(time):.1f}" y="{BOTTOM + 17}" text-anchor="middle">{time}</text>' for time in seconds)
    path = trace([round(1000 * time) for time in course.times], [round(100 * volts) for volts in course.lamp_volts[lamp]])
    spoken = style.safe(f"Chart {letter}. Volts across {lamp} over {course.until:g} seconds: {', '.join(told)}.")
    return (f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{spoken}" viewBox="0 0 {WIDTH} {HEIGHT}" '
            f'width="{WIDTH}" height="{HEIGHT}" style="max-width:100%;height:auto" font-family="{style.FONT}" '
            f'fill="currentColor"><text x="2" y="13" font-size="14" font-weight="bold">{style.safe(letter)}</text>'
            f'<path d="{grid}" stroke="currentColor" stroke-width="{style.HAIR}" stroke-opacity=".35"/>'
            f'<path d="M{LEFT} {BOTTOM}H{WIDTH - 12}{ticks}" stroke="currentColor" stroke-width="{style.THIN}"/>'
            f'<g font-size="10">{labels}<text x="{LEFT}" y="{HEIGHT - 5}">volts across {style.safe(lamp)}, by the second</text></g>'
            f'<g transform="translate({LEFT} {BOTTOM}) scale({across:.6g} {-up / 100:.6g})" fill="none">'
            f'<path d="{path}" vector-effect="non-scaling-stroke" stroke="currentColor" stroke-width="{style.MAIN}"/></g></svg>')


def _looks_like(course, lamp):
    """Return what the eye can tell of a trace: its edges to a twentieth of a second, and its highest volts."""
    seen = flash(course, lamp)
    return seen.look, tuple((round(20 * time), rises) for time, rises in seen.edges), round(seen.highest)
