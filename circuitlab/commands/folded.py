"""What JupyterLab prints or exports of a lesson: no code that is folded, since replies and how answers are worked out stand in it.

JupyterLab hides folded code on its page and hands all of it to whoever prints. The kit's own server is told to leave it out.
"""

from nbconvert.preprocessors import Preprocessor

from ..ground.known_cells import MARK


class WithoutFolded(Preprocessor):
    """Leaves the folded code of a lesson out of every page that is made of it; what its cells show, and the learner's own cells, stay."""

    def preprocess(self, nb, resources):
        """Return the notebook without that code; one that is no lesson of the kit as it is."""
        if MARK not in nb.metadata:
            return nb, resources
        nb.cells = [cell for cell in nb.cells if not is_folded(cell) or cell.outputs]
        for cell in filter(is_folded, nb.cells):
            cell.source, cell.execution_count = "", None
            cell.metadata["transient"] = {"remove_source": True}
        return nb, resources


def is_folded(cell):
    """Tell whether a cell holds code that is folded. [yes/no]"""
    return cell.cell_type == "code" and bool(cell.metadata.get("jupyter", {}).get("source_hidden"))
