"""The command ``prove``: the lamp table, or the proof of a rule, ahead of it cautions, after it what sizing finds."""

from ..arrangements.rows import count_rows
from ..ground.errors import ArrangementError
from .opening import opened
from .watching import Watching

BROKEN = 1          # a row does not settle, a rule is broken, a lamp has none, or a part has more than it is made for
MOST_SIZED = 256    # rows beyond which nobody waits for sizing here


def prove_command(given):
    """Print the lamp table, or the proof of a rule; return 1 unless all is kept, every lamp has a rule and nothing overheats. [1]"""
    proved = opened(given.arrangement)
    watching = Watching()
    ruled = given.rule is not None or given.sample is not None
    try:
        said, kept = (_proof if ruled else _table)(proved, given, watching)
    except KeyboardInterrupt:
        return watching.stopped(": nothing is proved" if ruled else ": there is no lamp table")
    watching.close()
    print_cautions(proved)
    print(said)
    _print_sizing(proved)
    return 0 if kept else BROKEN


def _table(proved, given, watching):
    from ..reasoning import lamp_table
    from ..views.tables import lamp_table_text

    table = lamp_table(proved, progress=watching)
    return lamp_table_text(table), not (table.failing or table.hanging or proved.unruled or table.overheated)


def _proof(proved, given, watching):
    from ..reasoning import prove
    from ..views.proof_words import proof_text

    asked = asked_rule(given.rule)
    proof = prove(proved, None if asked in (None, "own") else asked, sample=given.sample, progress=watching)
    return proof_text(proof), proof.is_kept and not (proof.silent or proof.table.overheated or proof.table.hanging)


def asked_rule(given):
    """Return the rule that was asked for, sentences given one by one as one rule; None without. [text]

    Raises
    ------
    ArrangementError
        When one of several is no sentence.
    """
    for rule in given or () if len(given or ()) > 1 else ():
        if ":" not in rule or rule.endswith(".toml"):
            raise ArrangementError(f"--rule is given {len(given)} times, and '{rule}' is no sentence. Give one rule by its name or "
                                   "file, or a sentence for each lamp, such as 'rear left: flash when turn left, else dark'.")
    return "\n".join(given) if given else None


def print_cautions(arrangement):
    """Print what is allowed and will still surprise, a line each."""
    from ..views.caution_words import caution_lines

    for line in caution_lines(arrangement):
        print(line)


def _print_sizing(arrangement):
    """Print how many rules of sizing are broken, if any; all rows are played for that, so not of too many."""
    from ..reasoning.sizing import size

    if count_rows(arrangement) > MOST_SIZED:
        print(f"More than {MOST_SIZED} rows: fuses and wires are not sized here, run `size`.")
        return
    broken = len(size(arrangement).broken)
    if broken:
        print(f"size finds {broken} thing{'s' * (broken != 1)} to mend: run `size`.")
