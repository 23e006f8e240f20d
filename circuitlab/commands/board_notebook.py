"""The notebook that holds one board, also one to find a fault on, for whoever writes no Python: written where there is none, opened in the kit's JupyterLab."""

import os
import re
from pathlib import Path

from ..arrangements import arrangement_names, bare
from ..ground.errors import ArrangementError, FileError
from ..ground.files import file_words
from ..ground.saving import put
from .lessons import is_notebook, learners_folder, make_folder, own_folder, unusable
from .opening import CASE, CHANGES, circuit_of, opened

ENDING, FINDS = "_board.ipynb", "_find.ipynb"
_FORMS = {None: "", "current-path": 'form="schematic"', "attached": 'form="attached"'}
_MARKS = re.compile(r"[\\`*_\[\]<>#!|$&]")     # what a text cell would not show as it stands
_SAYS = """# {title}

Click into the cell below, then press Shift and Enter: the board appears below it. What you wire is yours once you save it there.

On metal: switch off before you wire, a fuse at the battery, and someone else looks before power."""
_SAYS_FIND = """# Find the fault: {title}

Click into the cell below, then press Shift and Enter: the board appears below it. Choose what each lamp does, put the leads on terminals, and it says what may be at fault and what to read next. The case is kept in CASE.

It advises and does not certify. No live probing on control units or airbags; what may be a dead short is looked for with the battery off."""


def open_board(given):
    """Open JupyterLab on a notebook that holds one board and stay until it is stopped; return 0. [1]

    Raises
    ------
    CircuitLabError
        When the circuit cannot be read, something else stands in the notebook's place, or JupyterLab cannot be opened.
    """
    if given.find or f"{given.arrangement}".lower().endswith(CASE):
        if given.form:
            raise ArrangementError("--form is not for a board that finds a fault: its form is chosen on it. Leave it out.")
        circuit, name, case = _of_case(given.arrangement)
        folder, notebook = places(given.arrangement, given.folder, FINDS)
        case = _where(case, notebook.parent) if case else f"{notebook.name.removesuffix(FINDS)}{CASE}"
        of = circuit_call(name, notebook.parent) + ".after" * name.lower().endswith(CHANGES)
        says, call = _SAYS_FIND.replace("CASE", _MARKS.sub("", case)), f"cl.find({of}, case={_in_quotes(case)})"
    else:
        circuit = opened(given.arrangement) if given.arrangement else bare()       # what is wrong with it is said before anything is written
        folder, notebook = places(given.arrangement, given.folder)
        says, call = _SAYS, board_call(given.arrangement, notebook.parent, given.form)
    return _open(folder, notebook, circuit.title, says, call, given.no_browser)


def _of_case(name_or_file):
    """Return the circuit that a fault is to be found in, the name or file it is opened by, and its case, empty for none. [text]"""
    from ..reasoning.finding.case_file import load_case

    if not name_or_file:
        raise ArrangementError("a fault is found in a circuit. Say which: board one-fused-lamp --find, or a .case file of yours.")
    if not name_or_file.lower().endswith(CASE):
        return opened(name_or_file), name_or_file, ""
    name = circuit_of(name_or_file)
    circuit = opened(name)
    load_case(name_or_file, circuit)
    return circuit, name, name_or_file


def _open(folder, notebook, title, says, call, no_browser):
    """Write a notebook where there is none, and open JupyterLab on it until it is stopped; return 0. [1]"""
    from .lab import lacking, open_lab

    is_new = not os.path.lexists(notebook)
    if is_new:
        try:
            text = notebook_text(title, call, says)
        except ModuleNotFoundError as error:
            raise lacking(error) from None
        make_folder(folder, folder)
        _write(text, folder, notebook)
    elif not is_notebook(notebook):
        raise FileError(f"'{file_words(notebook)}' is no notebook any more, perhaps cut off. Give it another name and type this again: a "
                        "fresh one is then put there.", file=notebook)
    print(f"The board is in {notebook}{'.' if is_new else ', which was there already and opens as it is.'}", flush=True)
    open_lab(folder, not no_browser, notebook.relative_to(folder).as_posix())
    return 0


def places(name_or_file, typed=None, ending=ENDING):
    """Return the folder JupyterLab opens on, and the notebook in it: beside a file of one's own, else in the learner's own folder.

    Parameters
    ----------
    name_or_file : str
        A name of the kit, a file, or nothing. [text]
    typed : str, optional
        Another folder for both. [text]
    ending : str
        Of the notebook's name. [text]
    """
    folder = learners_folder(own_folder(typed))
    if not _is_file(name_or_file):
        return folder, folder / f"{name_or_file or 'my'}{ending}"
    file = Path(name_or_file).resolve()
    beside = folder if typed is not None else learners_folder(file.parent)
    return folder if folder in beside.parents else beside, beside / f"{file.stem}{ending}"


def _is_file(name_or_file):
    return bool(name_or_file) and name_or_file not in arrangement_names()


def board_call(name_or_file, beside, form=None):
    """Return the line of Python that shows the board of a circuit in a notebook that lies in a folder. [text]

    >>> board_call("one-fused-lamp", Path())
    'cl.board(cl.arrangement("one-fused-lamp"))'
    """
    of = circuit_call(name_or_file, beside) if name_or_file else ""
    return f"cl.board({', '.join(filter(None, (of, _FORMS[form])))})"


def circuit_call(name_or_file, beside):
    """Return the Python that opens a circuit in a notebook that lies in a folder. [text]

    >>> circuit_call("one-fused-lamp", Path())
    'cl.arrangement("one-fused-lamp")'
    """
    if not _is_file(name_or_file):
        return f"cl.arrangement({_in_quotes(name_or_file)})"
    where = _where(name_or_file, beside)
    return f"cl.{'changes.load_changes' if where.lower().endswith(CHANGES) else 'load'}({_in_quotes(where)})"


def _where(name, beside):
    """Return a file's name for whoever works in a folder: alone where it lies there, else in full. [text]"""
    file = Path(name).resolve()
    return file.name if file.parent == Path(beside).resolve() else file.as_posix()


def _in_quotes(text):
    return f'"{text}"' if text.isprintable() and not set(text) & set('"\\') else repr(text)


def notebook_text(title, call, says=_SAYS):
    """Return a notebook that says what to do and shows a board by one call. [text]"""
    from nbformat import v4, writes

    cells = [v4.new_markdown_cell(says.replace("{title}", _MARKS.sub(r"\\\g<0>", title))), v4.new_code_cell(f"import circuitlab as cl\n\n{call}")]
    kernel = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
    return writes(v4.new_notebook(cells=cells, metadata=kernel)) + "\n"


def _write(text, folder, notebook):
    try:
        put(text.encode("utf-8", "replace"), notebook)
    except FileError as error:
        raise unusable(folder, error) from None
