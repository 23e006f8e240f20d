"""The page of a board in one file: its words and cautions, and what a browser is to let it do: nothing but itself."""

import json
from base64 import b64encode
from hashlib import sha256

from ...ground.files import page_mark
from ..build_sheet.lists import faults_in
from ..build_sheet.page import cautions_for
from ..caution_words import caution_lines
from ..style import frame_words, safe

KIND = "a board in one file"
SO = "Computed, not measured. Whether a circuit may be used on a road is for local code and licensed practice to say."
SHOWN = (
    "Every throw of every control was computed beforehand, from a row that has settled; one made before that is shown as if it had. "
    "One made while lamps flash is shown as made amid that flash or that pause.",
    "What is told of a part, wire or terminal is read in that row and phase once all is warm; lamps show their volts and light at every moment.",
    "Parts are taken to be healthy and as described. On metal, trust the meter.",
)
PLUGS = "A plug parted or put in is shown as if it had been so since everything was at rest: what has blown before is whole again, and lamps are warm or cold at once."
NO_PLUGS = "The plugs of this circuit cannot be parted on this page; on the live board of a notebook they can."
_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8">{mark}
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{hashed}'; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>{title}: board</title>
<style>{style}</style></head>
<body><main tabindex="-1"><header><h1>{title}</h1> {so}</header>
<div id="board"></div>
<noscript><p>This page works only where its own script may run. Open it in another browser, or allow scripts for it.</p></noscript></main>
<footer><h2>Before you build it</h2><ul>{cautions}</ul><h2>How this page shows it</h2><ul>{shown}</ul></footer>
<script type="application/json" id="drawn">{drawn}</script>
<script type="module">{script}</script></body></html>
"""


def alone_page(arrangement, drawn, script, style):
    """Return the page. [HTML]

    Parameters
    ----------
    arrangement : Arrangement
    drawn : dict
        What it plays back, plain data.
    script, style : str
        Its module and its style sheet. [text]
    """
    plugs = PLUGS if drawn["still"]["plugs"] else NO_PLUGS if any(part.parted and not part.seat for part in arrangement.parts) else ""
    # the sheet's last caution is of roads, and speaks of the sheet; the page says the same at its top
    cautions = (*caution_lines(arrangement), *cautions_for(arrangement)[:-1])
    faults = faults_in(arrangement)
    told = f"{SO}{frame_words(arrangement)}{f' This circuit carries a fault: {faults}.' if faults else ''}"
    return _PAGE.format(mark=page_mark(KIND), title=safe(arrangement.title), so=safe(told), style=style, script=script,
                        hashed=b64encode(sha256(script.encode()).digest()).decode(), cautions=_items(cautions), shown=_items((*SHOWN, *filter(None, [plugs]))),
                        drawn=json.dumps(drawn, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c"))


def _items(lines):
    return "".join(f"<li>{safe(line)}</li>" for line in lines)
