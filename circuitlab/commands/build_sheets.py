"""The command ``sheet``: a circuit worked out, then its build sheet."""

from ..ground.saving import page_path, save
from .opening import opened


def build_sheet(arrangement, blank=False):
    """Return the build sheet of an arrangement: one self-contained page for printing, the same for the same arrangement. [HTML]

    Page 1 lists parts and connections; page 2 shows the relay sockets and has
    one line to tick for every row. A big arrangement may run to more pages.

    Parameters
    ----------
    arrangement : Arrangement
        Of at most as many rows as :data:`~circuitlab.ground.limits.MOST_ROWS` says.
    blank : bool
        For a class: looks and volts are blanks to write into, and what explains the circuit is left out.
    """
    from ..reasoning.to_build import to_build
    from ..views.build_sheet import sheet_page

    return sheet_page(to_build(arrangement), blank)


def write_build_sheet(arrangement, path, blank=False):
    """Write the build sheet of an arrangement to a file.

    Parameters
    ----------
    arrangement : Arrangement
        Of at most as many rows as :data:`~circuitlab.ground.limits.MOST_ROWS` says.
    path : str or Path
        A name that ends in ``.html``; open it in a browser and print it on A4. [text]
    blank : bool
        As for :func:`build_sheet`.

    Returns
    -------
    Path
        Where it was written; a build sheet that stood there is kept, as ``sheet.before-1.html``, and ``.sentence`` says so.

    Raises
    ------
    FileError
        For another ending, a folder that is not there, or something else than a build sheet there.

    >>> import circuitlab as cl
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     write_build_sheet(cl.arrangement("one-fused-lamp"), f"{folder}/cart.html").name
    'cart.html'
    """
    path = page_path(path, "sheet")
    return save(build_sheet(arrangement, blank), path)


def sheet_command(given):
    """Write a build sheet and say where it is; return 0. [1]"""
    path = write_build_sheet(opened(given.arrangement), given.out, given.blank)
    print(f"The build sheet is in {path}.{path.before}")
    return 0
