"""The paper twin: a question as a plain HTML form that prints, with nothing in it but what is asked."""

from html import escape
from itertools import count

HOW_SURE = "How sure are you?"
SURE = _, USUAL, _ = ("sure", "think so", "guess")
_NUMBER = count(1)
_STYLE = ("border:1px solid currentColor;border-radius:4px;margin:.6em 0;padding:.4em .8em;max-width:46em;"
          "break-inside:avoid;font-family:sans-serif")


def paper(item, question, lines, confidence=(), reasons=(), foot=""):
    """Return a question as a form.

    Parameters
    ----------
    item, question : str
        Its short name and its words. [text]
    lines : sequence of (str, sequence of str)
        Each a label (text, or one SVG picture) and the choices beside it; none for a line to write on. [text]
    confidence, reasons : sequence of str
        To tick as well. [text]
    foot : str
        Small print, such as the seed. [text]

    Returns
    -------
    str
        One ``form`` element. [HTML]

    Examples
    --------
    >>> paper("a", "Lit?", [("E1:", ("yes", "no"))]).count('type="radio"')
    2
    """
    form = f"paper{next(_NUMBER)}"
    rows = [*lines]
    if reasons:
        rows += [("because", ()), *((_Stacked(""), (reason,)) for reason in reasons)]
    if confidence:
        rows.append((HOW_SURE, confidence))
    body = "".join(_row(form, number, label, choices) for number, (label, choices) in enumerate(rows))
    small = f'<p style="font-size:.8em;margin:.2em 0">{escape(foot)}</p>' if foot else ""
    return (f'<form class="pin-thirty-paper" aria-label="{escape(item)}" onsubmit="return false">'
            f'<fieldset style="{_STYLE}"><legend><b>{escape(question)}</b></legend>{body}{small}</fieldset></form>')


class _Stacked(str):
    """An empty label whose choices share one group with those of the lines above."""


def _row(form, number, label, choices):
    name = f"{form}-reason" if isinstance(label, _Stacked) else f"{form}-{number}"
    shown = label if label.startswith("<svg") else escape(label)
    boxes = "".join(f'<label style="margin-right:1.2em;display:inline-block">'
                    f'<input type="radio" name="{name}" value="{escape(choice)}"> {escape(choice)}</label>'
                    for choice in choices)
    return f'<div role="group" style="margin:.35em 0"><span style="margin-right:.8em">{shown}</span>{boxes}</div>'
