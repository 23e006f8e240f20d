"""What a command is given to work on: an arrangement of the kit, a file of one's own, or a list of changes made to one."""

from ..arrangements import arrangement, load_changes

CHANGES = ".changes"


def opened(name_or_file):
    """Return the arrangement of a name or file; of a list of changes, the arrangement with the changes made.

    Raises
    ------
    CircuitLabError
        When there is no such arrangement, or its file cannot be read.
    """
    return load_changes(name_or_file).after if str(name_or_file).lower().endswith(CHANGES) else arrangement(name_or_file)
