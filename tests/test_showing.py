"""How results show themselves: a sentence at a prompt, whole when printed, a table or picture in a notebook."""

import inspect
import io
import re
import subprocess
import sys
from dataclasses import replace
from importlib import import_module

import pytest
from IPython.core.formatters import DisplayFormatter

import circuitlab as cl
from circuitlab.ground.showing import MOST_SAID, Door, Showing, for_console
from circuitlab.views.compare_words import comparison_text
from circuitlab.views.course_words import describe_course
from circuitlab.views.fault_words import fault_table_text
from circuitlab.views.proof_words import proof_html, proof_text
from circuitlab.views.sizing_words import sizing_text
from circuitlab.views.tables import lamp_table_html, lamp_table_text, settled_status
from circuitlab.views.time_chart import time_chart

NAME = "shared-filament-rear-relays"
WHOLE = ("proof", "table", "logic", "comparison", "faults", "sizing", "point", "course")      # printed, they say more


@pytest.fixture(scope="module")
def results():
    """One result of each kind, of one invented circuit."""
    cart = cl.arrangement(NAME)
    changes = cl.Changes(cart).make("set F1 rating 3").make("lose W2 at F1:2")
    point = cl.operating_point(cart, {"key": "on", "brake pedal": "held"})
    course = cl.run(cart, [(0.2, "key", "on"), (0.5, "turn lever", "left")], 4.0)
    return {
        "arrangement": cart, "changes": changes, "rule": cl.rule("stop-over-turn"), "course": course, "point": point,
        "flash": cl.flash(course, "E1"), "table": cl.lamp_table(cart), "row": cl.row_of(cart, {"key": "on"}),
        "proof": cl.prove(cart), "logic": cl.lamp_logic(cart), "comparison": cl.compare(cart, changes.after),
        "faults": cl.fault_table(cart, faults=cl.changes.single_faults(cart, ["blown lamp"])), "sizing": cl.size(cart),
        "path": point.path_to("E1"), "reading": cl.take_reading(point, "E1:1"), "sweep": cl.sweep(cart, [{}]),
        "drain": cl.size(cart).drain, "need": cl.sizing.wire_for_drop(3, 5, 0.5), "finding": cl.sizing.judge(cart)[0],
        "fault": cl.changes.single_faults(cart, ["blown lamp"])[0], "variants": cl.vary(cart, values={"F1.rating": (5.0, 7.5)}),
    }


KINDS = ("arrangement", "changes", "rule", "course", "point", "flash", "table", "row", "proof", "logic", "comparison",
         "faults", "sizing", "path", "reading", "sweep", "drain", "need", "finding", "fault", "variants")


@pytest.mark.parametrize("kind", KINDS)
def test_at_a_prompt_it_is_a_sentence_and_nothing_of_the_record(results, kind):
    """No field's name with its value, no line break, nothing endless."""
    said = repr(results[kind])
    assert len(said) <= MOST_SAID + len(" print() shows it whole.") and "\n" not in said
    assert "=" not in said and "object at" not in said and "mappingproxy" not in said
    assert (said.endswith("print() shows it whole.")) == (kind in WHOLE)


@pytest.mark.parametrize(("kind", "said"), [
    ("proof", "the rule is kept; 12 of 12 rows looked at."), ("table", "12 rows, 4 lamps."),
    ("comparison", "6 of 12 rows look different."), ("faults", "4 of 4 faults, in 12 rows."),
    ("point", "with key on, brake pedal held, turn lever off: settled."),
    ("changes", ": set F1 rating 3 A; lose W2 at F1:2."),
    ("flash", "E1: flashing 90 per minute, on 50 % of the time"), ("arrangement", "18 parts, 29 wires, 3 controls."),
    ("course", "0 to 4 s: 2 control actions,"),
    ("sweep", "Sweep of 2 cases, 2 of them settled."), ("drain", "Drain at rest: 0 A, 0 Ah a day."),
    ("need", "Copper of 0.52 mm2, by copper at 20 C."), ("fault", "Fault: E1 blown."), ("variants", ", 2 to ask."),
    ("reading", "Reading with key on, brake pedal held, turn lever off: meter, red on E1:1, black on G1:-: "),
])
def test_the_sentence_says_how_it_came_out(results, kind, said):
    """Counted on the same circuit by its file and its expected rows."""
    assert said in repr(results[kind])


def behind(door):
    """Return the function that a door leads to."""
    room, name = door.place.split(":")
    return getattr(import_module(f"circuitlab.{room}"), name)


def returned():
    """Yield every class of the kit that a public function, or a method of what it returns, says that it returns."""
    known = {name: thing for module in [*sys.modules.values()] if getattr(module, "__name__", "").startswith("circuitlab.")
             for name, thing in vars(module).items() if inspect.isclass(thing) and thing.__module__.startswith("circuitlab.")}
    pages = [cl, *(thing for thing in (getattr(cl, name) for name in cl.__all__) if inspect.ismodule(thing))]
    asked = [thing for thing in (getattr(page, name) for page in pages for name in page.__all__) if inspect.isfunction(thing)]
    seen = set()
    while asked:
        said = re.search(r"Returns\n-------\n(.+)", inspect.getdoc(asked.pop()) or "")
        for kind in {known[word] for word in re.findall(r"\b[A-Z]\w+", said[1] if said else "") if word in known} - seen:
            seen.add(kind)
            asked += [method for name, method in inspect.getmembers(kind, inspect.isfunction) if name[0] != "_"]
            asked += [behind(door) for _, door in inspect.getmembers(kind, lambda each: isinstance(each, Door))]
    return seen


def test_every_result_shows_itself_through_the_one_place():
    """Found by what the docstrings say is returned; a bench is a widget, and what is saved is a path."""
    found = returned()
    assert {"Proof", "Sweep", "WireNeed", "Fault", "OperatingPoint"} <= {kind.__name__ for kind in found}
    loose = {kind.__name__ for kind in found if not issubclass(kind, Showing) and not hasattr(kind, "_repr_mimebundle_")}
    assert loose <= {"Saved", "Ready"}      # a path; two words and a sentence
    for kind in found:
        assert not issubclass(kind, Showing) or kind.__repr__ is Showing.__repr__, f"{kind.__name__} has a door of its own"


@pytest.mark.parametrize(("kind", "view"), [
    ("proof", proof_text), ("table", lamp_table_text), ("comparison", comparison_text), ("sizing", sizing_text),
    ("point", settled_status), ("course", describe_course), ("faults", lambda table: fault_table_text(table, readings=False)),
])
def test_printed_it_is_its_table(results, kind, view):
    """The same words as its view."""
    assert str(results[kind]) == view(results[kind])


def test_the_options_of_a_view_are_those_of_the_result(results):
    """Handed on as they are, and a wrong one is answered as on the public page."""
    assert results["table"].html(failing_only=True) == lamp_table_html(results["table"], failing_only=True)
    assert results["proof"].html(pictures=0) == proof_html(results["proof"], pictures=0)
    assert results["faults"].text() == fault_table_text(results["faults"]) != str(results["faults"])
    assert results["course"].html(told=False) == time_chart(results["course"], told=False)
    assert results["arrangement"].html(results["point"]) == cl.draw(results["arrangement"], results["point"])
    assert results["arrangement"].text() == str(results["arrangement"]) and results["row"].text() == results["row"].brief
    with pytest.raises(cl.CircuitLabError, match="proof_html: 'pictures' must be a whole number of 0 or more, not the text 'all'"):
        results["proof"].html(pictures="all")
    with pytest.raises(cl.CircuitLabError, match="lamp_table_html has no argument 'fail'. It has: failing_only"):
        results["table"].html(fail=True)
    with pytest.raises(cl.CircuitLabError, match=r"path_to needs 'lamp', which is not given.* Write path_to\(lamp=...\)"):
        results["point"].path_to()
    with pytest.raises(cl.CircuitLabError, match="in_plain_type has no argument 'wide'"):
        results["row"].html(wide=True)


@pytest.mark.parametrize("kind", KINDS)
def test_a_notebook_shows_its_table_or_picture(results, kind):
    """Asked through the notebook's own formatters: HTML, and the sentence beside it for whoever shows none."""
    bundle, _ = DisplayFormatter().format(results[kind])
    html = bundle["text/html"]
    begins = {"arrangement": "<svg", "course": "<svg", "proof": "<section", "table": "<table", "logic": "<table",
              "faults": "<table", "comparison": "<p", "sizing": "<p"}
    assert html.startswith(begins.get(kind, "<pre>"))
    assert bundle["text/plain"] == repr(results[kind])
    assert "dataclass" not in html and "_volts=" not in html and "Arrangement(" not in html


@pytest.mark.parametrize("coding", ["ascii", "cp437", "cp1252", "cp932", "utf-8"])
def test_any_console_can_print_any_result(results, coding, monkeypatch):
    """Old consoles of several countries; none stumbles, and a formula is spelled out where its signs are missing."""
    console = io.TextIOWrapper(io.BytesIO(), encoding=coding, errors="strict")
    monkeypatch.setattr(sys, "stdout", console)
    for result in results.values():
        print(result)
        print(repr(result))
    console.flush()
    printed = console.buffer.getvalue().decode(coding)
    assert "?" not in printed
    spelled = "not key and brake pedal" if coding in ("ascii", "cp932") else "\N{NOT SIGN}key \N{MIDDLE DOT} brake pedal"
    assert spelled in printed


def test_a_letter_the_console_lacks_becomes_a_question_mark(monkeypatch):
    """Such as a learner's own title in another script."""
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="cp1252"))
    assert for_console("\N{GREEK CAPITAL LETTER DELTA} 5 \N{MINUS SIGN}1") == "? 5 -1"


def test_a_title_of_somebody_elses_prints_without_its_escapes():
    """It would clear the screen; in a table it stands for what it is."""
    cart = replace(cl.arrangement("one-fused-lamp"))          # a copy: the kit keeps its own
    table = cl.lamp_table(cart)
    assert table.overheated == ()       # worked out before the title is one that no arrangement takes
    object.__setattr__(cart, "title", "one \x1b[2J lamp")       # whatever a maker or a file would say to it
    assert r"\x1b[2J" in repr(table) and "\x1b" not in str(table) + repr(cart)


def test_a_drawing_and_a_bench_do_not_flood_a_prompt(results):
    """A sentence there, the picture in a notebook; and the letters are what they were."""
    for drawing in (cl.draw(results["arrangement"]), cl.draw_attached(results["arrangement"]), cl.time_chart(results["course"])):
        assert repr(drawing).startswith("A drawing: ") and len(repr(drawing)) < 200
        assert str(drawing).startswith("<svg") and DisplayFormatter().format(drawing)[0]["text/html"] == str(drawing)
    for shown in (cl.board(results["arrangement"]), cl.board(results["proof"])):
        assert "object at" not in repr(shown) and repr(shown).endswith("in a cell of a notebook to see it.")


def test_one_of_a_thing_is_one():
    """No '1 controls'."""
    cart = cl.arrangement("one-fused-lamp")
    assert repr(cart).startswith("Arrangement 'One lamp with its fuse and its switch': 5 parts, 5 wires, 1 control. ")
    assert repr(cl.lamp_table(cart)).startswith("Lamp table of 'One lamp with its fuse and its switch': 2 rows, 1 lamp.")


def test_showing_loads_no_view_before_it_is_asked():
    """The floors below the views stay what they were: a proof is made without them."""
    code = ("import sys, circuitlab as cl; proof = cl.prove(cl.arrangement('one-fused-lamp')); repr(proof); "
            "print([name for name in sys.modules if name.startswith('circuitlab.views')]); "
            "str(proof); print('circuitlab.views.proof_words' in sys.modules)")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[:2] == ["[]", "True"]
