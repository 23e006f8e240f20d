"""The commands that draw: one picture of an arrangement, and a sheet of contacts with a picture of every one."""

import re
from pathlib import Path

from ..ground.errors import ArrangementError, FileError, listed
from ..ground.files import folder_reason, folder_words, page_mark
from ..ground.saving import kept_words, save
from .opening import opened

_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8">{mark}<title>Every arrangement of the kit, drawn</title>
<style>body {{ font: 16px/1.4 sans-serif; margin: 1.5em; background: #fff; color: #000 }}
section {{ border-top: 1px solid #777; margin-top: 1.5em }} .pair {{ display: flex; flex-wrap: wrap; gap: 1.5em }}
figure {{ flex: 1 1 30em; margin: 0 }} img {{ max-width: 100%; height: auto }}</style></head>
<body><h1>Every arrangement of the kit, drawn</h1>
<p>All of them are invented: the orchard cart and its trailer. Each stands twice: current-path form for the bench of
thought, attached form for the builder. Every picture is a file of its own beside this page.</p>
{sections}</body></html>
"""


def draw_command(given):
    """Draw one arrangement into a file: ``given`` are the words of the command line."""
    from ..solving import operating_point
    from ..views.printing.export import check_ending, save_picture

    check_ending(given.out)
    drawn = opened(given.arrangement)
    point = None
    if given.row is not None:
        point = operating_point(drawn, read_row(", ".join(given.row), drawn), phases=given.phase)
    more = {"pages": given.pages}
    if given.form == "attached":
        more |= {"view": given.view, "pins": given.pins}
    elif given.view != "wire side" or given.pins != "A":
        raise FileError("--view and --pins belong to the attached form. Add --form attached.")
    if given.readings:
        if point is None or not point.is_settled:
            raise ArrangementError(f"--readings needs a row that settles.{f' In the row given {point.sentence}.' if point else ''} "
                                   f"{_settled_row(drawn)}")
        more["readings"] = True
    written = save_picture(drawn, given.out, point, given.form, "dark" if given.dark else "light", **more)
    print(f"The drawing is in {listed(map(str, written)) if given.pages else written}."
          + kept_words(written if given.pages else [written]))
    if point is not None and not point.is_settled:
        print(point.sentence)
        return 1
    return 0


def _settled_row(drawn):
    """Return which row to ask for, or that there is none. [text]"""
    from ..arrangements.rows import rows_of
    from ..solving import operating_point

    for positions in rows_of(drawn):
        if operating_point(drawn, positions).is_settled:
            return f'Name one with --row, such as --row "{", ".join(f"{name}={where}" for name, where in positions.items())}".'
    return "No row of it does: mend that first; prove says what it is."


def read_row(text, arrangement):
    """Return control positions from words such as ``key=on, turn lever=left``, every one checked.

    Raises
    ------
    ArrangementError, UnknownName
        For a piece that is no ``control=position``, or one the arrangement does not have.
    """
    moved = {}
    for piece in filter(None, (piece.strip() for piece in re.split("[,;]", text))):
        control, equals, position = (word.strip() for word in piece.partition("="))
        if not (control and equals and position):
            raise ArrangementError(f"'{piece}' is not a control and its position. Write --row \"key=on, turn lever=left\".",
                                   got=piece)
        if control in moved:
            raise ArrangementError(f"control '{control}' is given twice. Give every control one position.", control=control)
        arrangement.control(control).check(position)
        moved[control] = position
    return moved


def contact_sheet_command(given):
    """Draw every arrangement of the kit in both forms into a folder, with a page that shows them side by side."""
    from ..arrangements import arrangement, arrangement_names
    from ..views.printing.export import FORMS, save_picture
    from ..views.style import safe

    folder = Path(given.out)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise FileError(f"'{folder_words(folder)}' cannot be used for the contact sheet: {folder_reason(error)}. "
                        "Give another folder.",
                        folder=folder) from None
    sections, written = [], []
    for name in arrangement_names():
        drawn, figures = arrangement(name), []
        for form in FORMS:
            file = f"{name}.{form}.{given.kind}"
            written.append(save_picture(drawn, folder / file, form=form))
            figures.append(f'<figure><img src="{safe(file)}" alt="{safe(drawn.title)}, {form} form">'
                           f"<figcaption>{form} form: <a href=\"{safe(file)}\">{safe(file)}</a></figcaption></figure>")
        sections.append(f'<section><h2>{safe(drawn.title)}</h2><p>{safe(name)}</p><div class="pair">'
                        f"{''.join(figures)}</div></section>\n")
    page = _PAGE.format(mark=page_mark("a contact sheet"), sections="".join(sections))
    written.append(save(page, folder / "index.html"))
    print(f"{2 * len(sections)} drawings are in {folder}; open {folder / 'index.html'}.{kept_words(written)}")
    return 0
