"""Find a fault: at once from sentences, or on a live board on which they are made by hand."""

from pathlib import Path

from ..ground.errors import ArrangementError
from ..reasoning.finding.assumptions import WORKSHOP
from ..reasoning.finding.case import Case
from ..reasoning.finding.case_file import load_case
from ..reasoning.finding.finding import find as find_from
from ..reasoning.finding.told import Symptom, Taken
from .board.seeking import FindBoard


def find(arrangement, symptoms=(), readings=(), odds=None, efforts=None, stands_in=False, progress=None, case=None):
    """Find what may be at fault, from symptoms and readings; without any, on a live board to be shown last in a cell.

    On the board the look of each lamp is chosen beside it, in the row that the board's own switches stand in, and leads are put on
    terminals of the drawing; each becomes the sentence that it is, in the same forms as here. It says what may be at fault, marks
    the places, and says what to read next. What is told can be taken back, saved to a ``.case`` file and gone on with.

    Parameters
    ----------
    arrangement : Arrangement
        As it is meant to be.
    symptoms : str or iterable of str
        Such as ``"rear left dim when braking"``. [text]
    readings : str or iterable of str
        Such as ``"1.8 V from X3:2 to K1:87a when braking"``, ``"F1 whole"`` or ``"cannot get at X3:2"``. [text]
    odds : str or dict, optional
        ``"workshop practice"`` or ``"handbook rates"``, or what is other in the first. Both are assumptions, and they disagree. Without it
        the column of the case, else the first. [1]
    efforts : dict of str to float, optional
        Other efforts, by a line of the table or by the name of a part: ``{"X3": 20}``; set beside those of the case. [min]
    stands_in : bool
        The circuit is like the vehicle's, as far as anybody knows, and not its own diagram: what is on no list is likelier. [yes/no]
    progress : callable ``(done, total)``, optional
        Called now and then while candidates are solved; when it returns False, that is stopped. On a board it does nothing: the board
        itself says how far it is. [1]
    case : str or Path, optional
        A file such as ``"left-rear.case"``, which the board goes on with and keeps; one that is not there yet is begun. [text]

    Returns
    -------
    Finding or FindBoard
        The board where no sentence is given, or a case is. Its ``finding`` is the Finding of all that is told on it, its ``case`` the Case.

    Raises
    ------
    CircuitLabError
        For what cannot be read, where the sound circuit shows all that is told, and for a file that is no case of this circuit.

    >>> import circuitlab as cl
    >>> lamp = cl.arrangement("one-fused-lamp")
    >>> found = find(lamp, "E1 dark when lamp switch on", ["F1 whole", "12.5 V from E1:1 to E1:2 when lamp switch on"])
    >>> found.causes[0].words
    'E1 blown'
    >>> find(lamp)
    A board to find the fault in 'One lamp with its fuse and its switch'. Write it last in a cell of a notebook to see it.
    """
    listed = [[each] if isinstance(each, (str, Symptom, Taken)) else list(each) for each in (symptoms, readings)]
    if case is None and any(listed):
        return find_from(arrangement, *listed, WORKSHOP if odds is None else odds, efforts, stands_in, progress)
    if isinstance(odds, dict):
        raise ArrangementError("a board takes 'odds' by the name of a column, for its case is written to a file. Write odds=\"workshop practice\", or "
                               "give symptoms or readings with your own odds.")
    begun = load_case(case, arrangement) if case is not None and Path(case).exists() else Case(arrangement, circuit=arrangement.name)
    begun = begun.given(odds, efforts, stands_in)
    for words in listed[0]:
        begun = begun.with_symptom(str(words))
    for words in listed[1]:
        begun = begun.with_reading(str(words))
    return FindBoard(begun, case)
