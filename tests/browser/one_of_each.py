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
    "sort": """lesson.sort("levels", "The switch is open. Which terminals are live?", one, ["F1:2", "S1:2", "E1:2"],
    ["live", "dead"], lambda lamp, end: "live" if cl.operating_point(lamp).is_live(end) else "dead")""",
    "connect": """lesson.connect("list", "Write the connection list of this lamp.", one)""",
}

# Plain questions and a reading, with answers, so that a result and a reply are on the page as well.
PLAIN = {
    "predict": """lesson.predict("lamp", "The switch is closed. Is the lamp lit?", {"lit": "", "dark": "Follow the wire."},
    truth=lambda: "lit", reveal=lambda: cl.lamp_table(cart).html(), key_idea="A closed way.")""",
    "check": """lesson.choose("again", "And open?", one, {"lit": "Look at the contact.", "dim": "What takes volts?", "dark": ""},
    lambda one: "dark")""",
    "reading": 'lesson.measure("volts", "Volts of the battery?", one, "V", lambda one: one.battery.voltage)',
    "note": 'lesson.note("words", "What would you measure first?")',
    "answers": 'for item, said in (("lamp", "dark"), ("volts", "1 V")):\n'
               "    lesson.answer(item, said)",
}


def write_notebook(path, cells):
    """Write a notebook of code cells by their names, folded and kept from being deleted as in a lesson; return its path."""
    kept = {"jupyter": {"source_hidden": True}, "deletable": False, "editable": False}
    made = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(code, id=name, metadata=kept) for name, code in cells.items()],
        metadata={"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}})
    nbformat.write(made, path)
    return path
