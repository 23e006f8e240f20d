"""The commands ``faults`` and ``compare``."""

from ..ground.errors import ArrangementError, unknown_name
from .opening import opened
from .proofs import asked_rule, print_cautions
from .watching import Watching

DIFFERENT = 1  # some lamp looks different in some row


def print_faults(given):
    """Print the fault table; return 0, or 130 when it was stopped before the end. [1]"""
    healthy = opened(given.arrangement)

    from ..reasoning.faults import ODDS, fault_table, single_faults
    from ..views.fault_words import fault_table_text

    for kind in given.kind or ():
        if kind not in ODDS:
            raise unknown_name("the kit", "kind of fault", kind, ODDS)
    if given.most is not None and given.most < 1:
        raise ArrangementError(f"--most must be 1 or more, got {given.most}.")
    watching = Watching("faults")
    table = fault_table(healthy, asked_rule(given.rule), single_faults(healthy, given.kind), progress=watching)
    watching.close()
    print_cautions(healthy)
    print(fault_table_text(table, most=given.most), flush=True)
    return 0 if table.is_complete else watching.stopped()


def print_comparison(given):
    """Print what sets two arrangements apart; return 1 when a lamp or a rate is another in some row, 130 when stopped. [1]"""
    before, after = opened(given.arrangement), opened(given.other)

    from ..reasoning.comparing import compare
    from ..views.compare_words import comparison_text

    watching = Watching("faults")
    comparison = compare(before, after, faults=given.faults, progress=watching)
    watching.close()
    print(comparison_text(comparison), flush=True)
    if not comparison.is_complete:
        return watching.stopped()
    return 0 if comparison.is_same else DIFFERENT
