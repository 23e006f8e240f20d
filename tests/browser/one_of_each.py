"""One question of each kind as a learner's notebook would ask it, and a notebook of cells."""

import nbformat

START = """import circuitlab as cl
lesson = cl.Lesson("97")
one, cart = cl.arrangement("one-fused-lamp"), cl.arrangement("shared-filament-four-relays")
batteries = cl.vary(one, {("G1", "voltage"): (12.2, 11.8, 12.6, 13.0, 13.4, 13.8)})
swapped = [cl.SwapTerminals("K1:87", "K1:87a"), cl.SwapTerminals("K2:87", "K2:87a")]"""
ASKED = {
    "measure": """lesson.measure("open", "The switch is open. What does a meter show across it?", batteries, "V",
    lambda lamp: cl.operating_point(lamp).across("S1:1", "S1:2"), ideas=[cl.idea("M6", reads_as=0.0)], confidence=True)""",
    "grid": """lesson.grid("rows", "The lever is to the {side}. What does each rear lamp do?",
    cl.vary(cart, side=("left", "right")), [{"key": "on", "turn lever": "{side}", "brake pedal": "held"}],
    ["E1", "E2"], ideas=[cl.idea("M11", wires_as=swapped)])""",
    "trace": """lesson.pick_trace("trace", "Key on, lever left, pedal down from 1.5 to 3 s. Which chart is E1's?", cart, "E1",
    lambda cart: cl.trial(cart, {"key": "on", "turn lever": "left", "brake pedal": "held"}),
    ideas=[cl.idea("M11", wires_as=swapped), cl.idea("M18", wires_as=cl.SetValue("K9", "on_share", 0.8))])""",
    "sort": """lesson.sort("levels", "The switch is open. Which terminals are live?", one, ["F1:2", "S1:2", "E1:2"],
    ["live", "dead"], lambda lamp, end: "live" if cl.operating_point(lamp).is_live(end) else "dead")""",
    "order": """lesson.order("way", "In which order does the current pass them?", one, ["E1", "F1", "S1"],
    lambda lamp: [step for step in ("F1", "S1", "E1")])""",
    "place": """lesson.place("fuse", "Where does the fuse go?", one, ["battery plus", "switch", "lamp", "ground"],
    lambda lamp: "between battery plus and switch", ideas=[cl.idea("M15", reads_as="between switch and lamp")])""",
    "connect": """lesson.connect("list", "Write the connection list of this lamp.", one)""",
}


def write_notebook(path, cells):
    """Write a notebook of code cells by their names, folded and kept from being deleted as in a lesson; return its path."""
    kept = {"jupyter": {"source_hidden": True}, "deletable": False, "editable": False}
    made = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(code, id=name, metadata=kept) for name, code in cells.items()],
        metadata={"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, path)
    return path
