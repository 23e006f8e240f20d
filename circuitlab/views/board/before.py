"""The circuit as it was before anything was changed on a board: its still picture, and what it shows in words."""

from ..attached import lay_out_attached
from ..attached.picture import fill_attached
from ..emphasis import emphasis_words
from ..schematic import fill, lay_out
from ..tables import positions_words


def before_of(form, arrangement, point, prefix, marked):
    """Return the still picture of a circuit as it was, what was changed since marked on it. [SVG]

    Parameters
    ----------
    form : {"schematic", "attached"}
    arrangement : Arrangement
        As it was.
    point : OperatingPoint
    prefix : str
        Put before every id. [text]
    marked : iterable of str
        Names of what is changed now; those that were not there yet are passed over. [text]
    """
    marked = [name for name in marked if name in arrangement.by_name]
    if form == "attached":
        return fill_attached(lay_out_attached(arrangement), arrangement, point, prefix, marked=marked)
    return fill(lay_out(arrangement), arrangement, point, prefix, marked=marked)


def before_words(arrangement, point, phases, marked):
    """Return which positions and phases the picture shows, and what is marked in it. [text]"""
    stands = [words for words in (positions_words(point.positions), ", ".join(f"{name} {phase}" for name, phase in phases.items())) if words]
    said = f"Before any change{', with ' if stands else ''}{', '.join(stands)}, lamps settled."
    if not point.is_settled:
        said += f" It has no single answer there: {point.sentence}."
    marked = [name for name in marked if name in arrangement.by_name]
    return " ".join([said, *emphasis_words(arrangement, (), marked)])
