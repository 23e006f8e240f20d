"""The notebook that holds one board, for whoever writes no Python: written where there is none yet, opened in the kit's JupyterLab."""

import os
import re
from pathlib import Path

from ..arrangements import arrangement_names, bare
from ..ground.errors import FileError
from ..ground.files import file_words
from ..ground.saving import put
from .lessons import is_notebook, learners_folder, make_folder, own_folder, unusable
from .opening import CHANGES, opened

ENDING = "_board.ipynb"
_FORMS = {"current-path": "", "attached": 'form="attached"'}
_MARKS = re.compile(r"[\\`*_\[\]<>#!|$&]")     # what a text cell would not show as it stands
_SAYS = """# {title}

Click into the cell below, then press Shift and Enter: the board appears below it. What you wire is yours once you save it there.

On metal: switch off before you wire, a fuse at the battery, and someone else looks before power."""


def open_board(given):
    """Open JupyterLab on a notebook that holds one board and stay until it is stopped; return 0. [1]

    Raises
    ------
    CircuitLabError
        When the circuit cannot be read, something else stands in the notebook's place, or JupyterLab cannot be opened.
    """
    from .lab import lacking, open_lab

    circuit = opened(given.arrangement) if given.arrangement else bare()       # what is wrong with it is said before anything is written
    folder, notebook = places(given.arrangement, given.folder)
    is_new = not os.path.lexists(notebook)
    if is_new:
        try:
            text = notebook_text(circuit.title, board_call(given.arrangement, notebook.parent, given.form))
        except ModuleNotFoundError as error:
            raise lacking(error) from None
        make_folder(folder, folder)
        _write(text, folder, notebook)
    elif not is_notebook(notebook):
        raise FileError(f"'{file_words(notebook)}' is no notebook any more, perhaps cut off. Give it another name and type this again: a "
                        "fresh one is then put there.", file=notebook)
    print(f"The board is in {notebook}{'.' if is_new else ', which was there already and opens as it is.'}", flush=True)
    open_lab(folder, not given.no_browser, notebook.relative_to(folder).as_posix())
    return 0


def places(name_or_file, typed=None):
    """Return the folder JupyterLab opens on, and the notebook in it: beside a file of one's own, else in the learner's own folder.

    Parameters
    ----------
    name_or_file : str
        A name of the kit, a file, or nothing. [text]
    typed : str, optional
        Another folder for both. [text]
    """
    folder = learners_folder(own_folder(typed))
    if not _is_file(name_or_file):
        return folder, folder / f"{name_or_file or 'my'}{ENDING}"
    file = Path(name_or_file).resolve()
    beside = folder if typed is not None else learners_folder(file.parent)
    return folder if folder in beside.parents else beside, beside / f"{file.stem}{ENDING}"


def _is_file(name_or_file):
    return bool(name_or_file) and name_or_file not in arrangement_names()


def board_call(name_or_file, beside, form="current-path"):
    """Return the line of Python that shows the board of a circuit in a notebook that lies in a folder. [text]

    >>> board_call("one-fused-lamp", Path())
    'cl.board(cl.arrangement("one-fused-lamp"))'
    """
    of = ""
    if _is_file(name_or_file):
        file = Path(name_or_file).resolve()
        where = file.name if file.parent == Path(beside).resolve() else file.as_posix()
        of = f"cl.{'changes.load_changes' if where.lower().endswith(CHANGES) else 'load'}({_in_quotes(where)})"
    elif name_or_file:
        of = f"cl.arrangement({_in_quotes(name_or_file)})"
    return f"cl.board({', '.join(filter(None, (of, _FORMS[form])))})"


def _in_quotes(text):
    return f'"{text}"' if text.isprintable() and not set(text) & set('"\\') else repr(text)


def notebook_text(title, call):
    """Return a notebook that says what to do and shows a board by one call. [text]"""
    from nbformat import v4, writes

    cells = [v4.new_markdown_cell(_SAYS.format(title=_MARKS.sub(r"\\\g<0>", title))), v4.new_code_cell(f"import circuitlab as cl\n\n{call}")]
    kernel = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
    return writes(v4.new_notebook(cells=cells, metadata=kernel)) + "\n"


def _write(text, folder, notebook):
    try:
        put(text.encode("utf-8", "replace"), notebook)
    except FileError as error:
        raise unusable(folder, error) from None
