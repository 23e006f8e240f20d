"""The checker axe-core on a page: which rules are kept within a part of it, and what is violated gravely."""

import os
from pathlib import Path

import pytest

AXE = Path(__file__).with_name("node_modules") / "axe-core" / "axe.min.js"
MISSING = "The checker axe-core is not installed. It comes with npm: npm ci --prefix tests/browser"
OUTPUTS = ".jp-Cell-outputWrapper"
GRAVE = ("serious", "critical")
RUN = """([within, grave]) => axe.run({include: [within]}, {resultTypes: ['violations']}).then(told => ({
  passed: told.passes.map(rule => rule.id),
  grave: told.violations.filter(rule => grave.includes(rule.impact)).map(rule =>
    `${rule.id}, ${rule.impact}: ${rule.help}. ` + rule.nodes.map(node => node.html.slice(0, 200)).join(' ... '))}))"""


def look_through(page, within):
    """Return the rules kept within a part of a page, and a sentence for each serious or critical violation."""
    if not AXE.is_file():
        (pytest.fail if os.environ.get("PIN_THIRTY_REQUIRE_BROWSER") else pytest.skip)(MISSING)
    page.evaluate(AXE.read_text(encoding="utf-8") + "; 0")
    told = page.evaluate(RUN, [within, GRAVE])
    return told["passed"], told["grave"]
