"""What a command is given to work on: an arrangement of the kit, a file of one's own, a list of changes made to one, or the case of a fault."""

from pathlib import Path

from ..arrangements import arrangement, load_changes

CHANGES, CASE = ".changes", ".case"
OWN = (".toml", CHANGES)     # of a file with a circuit of one's own


def opened(name_or_file):
    """Return the arrangement of a name or file; of a list of changes, the arrangement with the changes made.

    Raises
    ------
    CircuitLabError
        When there is no such arrangement, or its file cannot be read.
    """
    return load_changes(name_or_file).after if str(name_or_file).lower().endswith(CHANGES) else arrangement(name_or_file)


def circuit_of(case):
    """Return where the circuit of a case file is: a file beside the case, named whole or without its ending, or what its name says. [text]"""
    from ..reasoning.finding.case_file import case_circuit

    circuit = case_circuit(case)
    beside = (Path(case).parent / f"{circuit}{ending}" for ending in ("", *OWN))
    return next((str(each) for each in beside if each.is_file()), circuit)
