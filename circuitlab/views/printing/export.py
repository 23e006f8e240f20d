"""Pictures as files: SVG as it is, PNG by resvg, PDF by svglib and reportlab. Nothing is fetched, no browser is needed.

Letters in PNG and PDF are DejaVu Sans, which comes with matplotlib, so that a
picture looks the same wherever it is made.
"""

import re
import xml.etree.ElementTree as ET
from importlib.util import find_spec
from pathlib import Path
from struct import pack
from zlib import crc32

from ...ground.errors import FileError, listed
from ...ground.files import PROGRAM
from ...ground.saving import save
from ..style import FONT, PAPER

FORMS, LOOKS, ENDINGS = ("current-path", "attached"), tuple(PAPER), (".svg", ".png", ".pdf")
SHARP = 2                    # pixels of a PNG for each drawing unit
_FACE = "DejaVu Sans"
_HEADER = 33                 # bytes of a PNG up to the end of its first chunk
_SVG = "{http://www.w3.org/2000/svg}"
ET.register_namespace("", _SVG[1:-1])


def save_picture(arrangement, path, point=None, form="current-path", look="light", pages=False, **more):
    """Write a drawing of an arrangement to a file that ends in ``.svg``, ``.png`` or ``.pdf``.

    Parameters
    ----------
    arrangement : Arrangement
    path : str or Path
        The ending says what kind of file it becomes. [text]
    point : OperatingPoint, optional
        Fills in contact positions, what is live, and lamp volts.
    form : {"current-path", "attached"}
        Which of the two drawings. [text]
    look : {"light", "dark"}
        Black on white, or light on dark. [text]
    pages : bool
        True draws into as many files as the sheet takes pages, ``cart-1.svg``, ``cart-2.svg``; a sheet of one page
        becomes the file itself. [yes/no]
    more
        Passed on to the drawing, such as ``view="face"`` or ``pins="B"`` for the attached one.

    Returns
    -------
    Path, or tuple of Path with ``pages``
        Where it was written; a drawing that stood there is kept, as ``cart.before-1.svg``, and ``.sentence`` says so.

    Raises
    ------
    FileError
        For another ending, form or look, a folder that is not there, something else than a drawing of the kit there, or
        letters a PDF cannot show.

    >>> import circuitlab as cl
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     save_picture(cl.arrangement("one-fused-lamp"), f"{folder}/cart.svg").name
    'cart.svg'
    """
    if not pages:
        return write_picture(picture(arrangement, point, form, look, **more), path)
    path = check_ending(path)
    svgs = picture(arrangement, point, form, look, paged=True, **more)
    names = [path] if len(svgs) == 1 else [path.with_stem(f"{path.stem}-{number}") for number in range(1, len(svgs) + 1)]
    return tuple(write_picture(svg, name) for svg, name in zip(svgs, names))


def picture(arrangement, point=None, form="current-path", look="light", paged=False, **more):
    """Return a drawing on its own paper as SVG text, or with ``paged`` the SVG text of each page."""
    if look not in LOOKS:
        raise FileError(f"there is no look '{look}'. Take one of: {listed(LOOKS)}.", look=look)
    if form == "current-path":
        from ..schematic import draw, pages
        make = pages if paged else draw
    elif form == "attached":
        from ..attached import draw_attached, pages_attached
        make = pages_attached if paged else draw_attached
    else:
        raise FileError(f"there is no drawing form '{form}'. Take one of: {listed(FORMS)}.", form=form)
    return make(arrangement, point, background=PAPER[look][0], **more)


def check_ending(path):
    """Return the path, or raise a FileError unless its name ends in a kind of picture the kit writes."""
    path = Path(path)
    if path.suffix.lower() not in ENDINGS:
        raise FileError(f"'{path.name}' is not the name of a picture. End it in {', '.join(ENDINGS[:-1])} or "
                        f"{ENDINGS[-1]}.", file=path.name)
    return path


def write_picture(svg, path):
    """Write a picture of the kit to a file; the same picture gives the same bytes.

    Parameters
    ----------
    svg : str
        One picture on its own paper. [text]
    path : str or Path
        Ends in ``.svg``, ``.png`` or ``.pdf``. [text]

    Returns
    -------
    Path
        Where it was written; as for :func:`save_picture`.
    """
    path = check_ending(path)
    make = {".svg": lambda text: text.encode(), ".png": _png, ".pdf": _pdf}[path.suffix.lower()]
    return save(make(svg), path)


def _fonts():
    """Return the files of the plain and the bold face."""
    folder = Path(find_spec("matplotlib").origin).parent / "mpl-data" / "fonts" / "ttf"
    return folder / "DejaVuSans.ttf", folder / "DejaVuSans-Bold.ttf"


def _png(svg):
    from resvg_py import svg_to_bytes

    png = bytes(svg_to_bytes(svg_string=svg, zoom=SHARP, sans_serif_family=_FACE, font_files=list(map(str, _fonts()))))
    said = b"tEXtSoftware\0" + PROGRAM.encode()        # behind the header, so that the kit knows its own drawing
    return png[:_HEADER] + pack(">I", len(said) - 4) + said + pack(">I", crc32(said)) + png[_HEADER:]


def _pdf(svg):
    from io import BytesIO, StringIO

    from reportlab.graphics import renderPDF
    from reportlab.pdfgen.canvas import Canvas
    from svglib.fonts import register_font
    from svglib.svglib import svg2rlg

    for file, weight in zip(_fonts(), ("normal", "bold"), strict=True):
        register_font(_FACE, str(file), weight=weight)
    plain = _spelled_out(svg)
    _check_letters(plain)
    drawing = svg2rlg(StringIO(ET.tostring(plain, encoding="unicode")))
    content = BytesIO()
    canvas = Canvas(content, pagesize=(drawing.width, drawing.height), invariant=1)
    canvas.setCreator(PROGRAM)          # so that the kit knows its own drawing
    renderPDF.draw(drawing, canvas, 0, 0)
    canvas.save()
    return content.getvalue()


def _spelled_out(svg):
    """Return a picture with its size, typeface and the colour of its lines written out, as svglib wants them."""
    root = ET.fromstring(svg)
    ink = root.get("color", "#000")
    root.attrib.pop("style", None)
    _, _, width, height = root.get("viewBox").split()
    root.set("width", width)
    root.set("height", height)
    for element in root.iter():
        for name, value in element.attrib.items():
            if name in ("stroke", "fill", "style"):
                element.set(name, re.sub("currentcolor", ink, value, flags=re.IGNORECASE))
        if element.get("font-family") == FONT:
            element.set("font-family", _FACE)
    return root


def _check_letters(root):
    """Raise a FileError when the PDF's typeface lacks a letter of a text that would be seen."""
    from reportlab.pdfbase.pdfmetrics import getFont

    known = getFont(_FACE).face.charToGlyph
    for text in root.iter(f"{_SVG}text"):
        strange = [letter for letter in text.text or "" if ord(letter) not in known]
        if strange:
            raise FileError(f"the typeface of a PDF has no '{strange[0]}', which stands in '{text.text}'. "
                            "Save the picture as .svg or .png instead.", text=text.text)
