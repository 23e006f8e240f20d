"""A proof in words: as plain text, and as a page of rows that open on their live schematic with the path shown."""

from ..ground.plain import counted
from ..reasoning.rules import rule_sentence
from .caution_words import deaf_lines
from .grid import Grid, Html
from .schematic import draw
from .strokes import slug
from .style import safe
from .tables import beside_html, beside_lines, hanging_words, in_time, no_matter_words, positions_words, rows_words, table_text, unruled_words

MOST_PICTURES = 12   # schematics in one page; each is some 70 kB


def proof_text(proof, table=True):
    """Return a proof as plain text.

    Parameters
    ----------
    proof : Proof
    table : bool
        Whether the lamp table stands first. [yes/no]

    Returns
    -------
    str
    """
    said = [table_text(proof.table, proof.timing), ""] if table else [*filter(None, [unruled_words(proof.arrangement)]),
                                                                      *beside_lines(proof.table)]
    said += rule_lines(proof) + ["", proof_summary(proof), *deaf_lines(proof.deaf)]
    whole, others = {}, []
    for failure in proof.failures:
        (whole.setdefault(failure.short, []) if failure.positions and not failure.lamp else others).append(failure)
    for short, alike in whole.items():
        rows = [failure.positions for failure in alike]
        said += ["", *(f"* {where}: {short}" for where in rows_words(rows, len(proof.table.rows)))]
        beside = {}
        for words in (words for failure in alike for words in failure.remarks):
            beside.setdefault(words.partition(" carries ")[0], f"  beside it: {words}")     # of the first row with it
        said += beside.values()
    for failure in others:
        said += ["", f"* {failure.sentence}"]
        if failure.rule:
            said.append(f"  rule: {failure.rule}")
        if failure.path:
            phases = ", ".join(f"{name} {phase}" for name, phase in failure.phases)
            said.append(f"  path{' with ' * bool(phases)}{phases}: {failure.path.sentence}")
        if failure.detour:
            said.append(f"  all the same: {failure.detour.sentence}")
        said += [f"  beside it: {words}" for words in failure.remarks]
    return "\n".join(said)


def proof_html(proof, pictures=MOST_PICTURES):
    """Return a proof as HTML: one line for each row, the failing ones first; a row opens on its live schematic.

    Parameters
    ----------
    proof : Proof
    pictures : int
        How many rows get their schematic. [1]

    Returns
    -------
    str
    """
    failing = [row for row in proof.table.rows if proof.of_row(row.positions)]
    kept = [row for row in proof.table.rows if not proof.of_row(row.positions)]
    rows = [_row_cells(proof, row, number, number < pictures) for number, row in enumerate(failing + kept)]
    rules = "".join(f"<li>{safe(line)}</li>" for line in rule_lines(proof)[1:])
    general = "".join(f"<p>{safe(failure.sentence)}.</p>" for failure in proof.of_row({}))
    deaf = "".join(f"<p>{safe(line)}</p>" for line in deaf_lines(proof.deaf))
    left = len(failing + kept) - pictures
    silent = f"<p>{safe(unruled_words(proof.arrangement))}</p>" if proof.silent else ""
    note = f"<p>{left} more rows without their schematic; board(proof) shows every row live.</p>" if left > 0 else ""
    return (f'<section class="proof"><p><strong>{safe(proof.arrangement.title)}</strong></p>{silent}'
            f"<p>{safe(rule_lines(proof)[0])}</p><ul>{rules}</ul><p>{safe(proof_summary(proof))}</p>{deaf}{general}{beside_html(proof.table)}"
            f"{Grid('Every row, those that fail first', ('row', 'lamps'), rows).html()}{note}</section>")


def rule_lines(proof):
    """Return the rule's title and source, then its sentence for each lamp and terminal."""
    rule = proof.rule
    head = f"Rule: {rule.title or rule.name or 'as given'}" if rule else "Rule: the arrangement's own"
    head += f". Source: {rule.source}" if rule and rule.source else ""
    sentences = [rule_sentence(proof.arrangement, name) for name in (*proof.table.lamps, *proof.table.terminals)]
    return [head, *dict.fromkeys(filter(None, sentences))]


def proof_summary(proof):
    """Return what was looked at and what came out, in a few sentences."""
    rows, failing = len(proof.table.rows), len(proof.failing_rows)
    looked = f"All {rows} rows" if proof.is_complete else f"{rows} rows drawn by chance out of {proof.all_rows}"
    if proof.is_kept and proof.silent:
        said = f"{unruled_words(proof.arrangement)} {looked} keep the rule as far as it speaks."
    elif proof.is_kept and proof.table.hanging:
        said = f"Not proved: nothing breaks the rule in {looked[0].lower() + looked[1:]}. {hanging_words(proof.table)}"
    elif proof.is_kept and proof.table.overheated:
        said = f"Not proved, though {looked[0].lower() + looked[1:]} keep the rule."
    elif proof.is_kept:
        said = f"Proved: {looked[0].lower() + looked[1:]} keep the rule." if proof.is_complete else \
            f"No failure found in {looked}; this is no proof."
    else:
        only = "" if failing else "; what fails concerns every row"
        silent = f"{unruled_words(proof.arrangement)} " if proof.silent else ""
        said = f"{silent}Not kept: {looked} looked at, {failing} of them {'breaks' if failing == 1 else 'break'} the rule{only}."
    if proof.arrangement.not_known and not proof.table.hanging:
        said += f" {no_matter_words(proof.arrangement)}"
    if proof.orders is None:
        said += " Orders of throwing were not walked through."
    elif proof.orders > rows:
        said += f" Order matters: these rows can be in {proof.orders} ways, each reached and judged."
    elif proof.orders < rows:
        said += f" Throws were followed through {proof.orders} of them: no throw leads on from a row that comes to no rest."
    else:
        said += " Every order of throwing leads to the same."
    said += " Some parts have more than they are made for: see what is said of them." if proof.table.overheated else ""
    said += " No sheet promises it everywhere: see what is said of volts." if proof.table.unpromised else ""
    return f"{said} {_timing_words(proof)}".strip()


def _timing_words(proof):
    seen = proof.timing
    if seen is None:
        return ""
    said = f"{counted(seen.courses, 'time course')} played"
    if seen.rates:
        said += (f": {_span(seen.rates, 1)} flashes per minute, on for {_span(seen.on_shares, 100)} % of the time")
    if seen.first_light is not None:
        said += f", first light, when a lamp that is to flash begins to glow, at most {seen.first_light:.2f} s after the throw"
    return said + "."


def _span(pair, scale):
    low, high = (f"{value * scale:.0f}" for value in pair)
    return low if low == high else f"{low} to {high}"


def failure_sentences(failure):
    """Return what fails, the rule it breaks, and how current came or missed the lamp, in sentences. [text]"""
    said = [failure.short, f"Rule: {failure.rule}" if failure.rule else "", failure.path, failure.detour, *failure.remarks]
    return tuple(f"{words}." for words in said if words)


def _row_cells(proof, row, number, with_picture):
    failures = proof.of_row(row.positions)
    late, where = in_time(proof.timing), tuple(row.positions.items())
    looks = ", ".join(f"{name} {cell.look}" + (f" (in time: {late[where, name]})" if (where, name) in late else "")
                      for name, cell in row.judged.items())
    said = "".join(f"<li>{safe(' '.join(failure_sentences(failure)))}</li>" for failure in failures)
    mark = "* " if failures else ""
    body = f"<ul>{said}</ul>" if said else ""
    if with_picture:
        sight = proof.sight(row.positions)
        body += draw(proof.arrangement, sight.point, f"proof-{slug(proof.arrangement.name)}-{number}-", trace=sight.trace,
                     marked=sight.marked)
    where = safe(mark + positions_words(row.positions))
    return Html(f"<details><summary>{where}</summary>{body}</details>" if body else where), looks
