"""A slip in a cell of the learner's: a sentence, no frames of the kit's source, and the rest of the lesson goes on."""

import pytest
from IPython.core.interactiveshell import InteractiveShell

import circuitlab as cl
from circuitlab.benches import slips
from circuitlab.ground.known_cells import LAB, known, starts, sum_of
from circuitlab.ground.slips import slip_words

BEGAN = starts("00")


@pytest.fixture
def shell(capsys, monkeypatch, tmp_path):
    """A notebook's shell with lesson 00 listening; ``run`` returns what is printed."""
    monkeypatch.setenv(LAB, str(tmp_path))
    shell = InteractiveShell()
    slips.Slips(shell, "00")

    def run(text, identity=None):
        capsys.readouterr()
        shell.run_cell(text, cell_id=identity)
        return capsys.readouterr().out
    shell.told = run
    run("import circuitlab as cl\nkit_lamp = cl.arrangement('one-fused-lamp')", "machine")
    run("def meter(red, black, switch):\n    return cl.take_reading(cl.operating_point(kit_lamp, {'lamp switch': switch}), red, black).shown")
    yield shell
    shell.history_manager.end_session()
    InteractiveShell.clear_instance()


@pytest.mark.parametrize(("was", "now", "said"), [
    ('"G1:-"', '"G1:9"', "Line 3 of this cell: print"),
    ('"G1:-"', '"G1:9"', "Battery 'G1' has no terminal '9'. It has: +, -."),
    ('"G1:+",', '"G1:+,', "Line 2 of this cell: red, black, switch ="),
    ('"G1:+",', '"G1:+,', "Look for a bracket, quote or comma"),
    ('"off"', "off", "'off' is no name known here. Words go in quotes: \"off\"."),
    ("meter(", "metr(", "Did you mean 'meter'?"),
    ('print(f"', 'print(1 / 0, f"', "Python stopped here: ZeroDivisionError"),
])
def test_a_slip_is_told_in_a_sentence(shell, was, now, said):
    """With its line and what is wrong; not a frame of anybody's source."""
    told = shell.told(BEGAN["meter"].replace(was, now, 1), "meter")
    assert said in told and "Traceback" not in told and ".py" not in told and "circuitlab/" not in told
    assert slips.GOES_ON in told and "Set it back to its start" in told


def test_in_a_call_of_many_lines_the_line_is_that_of_what_is_named(shell):
    """The wire with the slip, not the first line of the circuit; where the name stands twice, the first line."""
    for was, now, said in (('"F1:2", "S1:1"', '"F1:3", "S1:1"', 'Line 6 of this cell: cl.Wire("W2", "F1:3"'), ('"W2"', '"W1"', "Line 2 of this cell: my_lamp")):
        told = shell.told(BEGAN["build"].replace(was, now, 1), "build")
        assert said in told, told


def test_what_a_slip_would_have_made_stands_in_and_nothing_made_before_is_lost(shell):
    """As at the start where there was nothing; else what the cell made when it ran."""
    shell.told(BEGAN["build"].replace("cl.Fuse", "cl.Fuze"), "build")
    assert shell.user_ns["my_lamp"].wires == cl.arrangement("one-fused-lamp").wires
    shell.told(BEGAN["meter"].replace("G1:+", "F1:1"), "meter")
    told = shell.told(BEGAN["meter"].replace("G1:+", "F1:1").replace("print(", "print(("), "meter")
    assert shell.user_ns["red"] == "F1:1" and told.count("V\n") == 0


def test_a_cell_is_known_without_its_name_and_says_how_it_is_set_back(shell, monkeypatch):
    """As other programs send it; another cell is told the slip alone."""
    monkeypatch.delenv(LAB)
    told = shell.told(BEGAN["meter"].replace("G1:-", "G1:9"))
    assert 'lesson.set_back("meter")' in told
    assert slips.GOES_ON not in shell.told("cl.arrangement('nothing')")
    assert slips.GOES_ON not in shell.told("cl.arrangement('nothing')", "compare")


def test_what_was_run_by_hand_is_kept_in_mind_but_no_locked_cell(shell):
    shell.told("red = 7", "meter")
    shell.told("red = 8", "machine")
    assert sum_of("red = 7") in known() and sum_of("red = 8") not in known()


def test_a_cell_is_set_back_where_there_is_no_button(shell, monkeypatch):
    """Its start takes the place of the cell that asks; a wrong name is told those there are."""
    lesson, put = cl.Lesson("00"), []
    monkeypatch.setattr(slips, "get_ipython", lambda: shell)
    monkeypatch.setattr(shell, "set_next_input", lambda text, replace: put.append((text, replace)))
    lesson.set_back("meter")
    assert put == [(BEGAN["meter"], True)]
    with pytest.raises(cl.CircuitLabError, match="no cell of yours 'metre'.*Did you mean 'meter'"):
        lesson.set_back("metre")
    monkeypatch.setattr(slips, "get_ipython", lambda: None)
    with pytest.raises(cl.CircuitLabError, match="only a cell of a notebook"):
        lesson.set_back("meter")


def test_an_error_of_the_kit_is_one_sentence_in_any_notebook():
    """IPython asks the error itself what to show."""
    with pytest.raises(cl.CircuitLabError) as caught:
        cl.arrangement("one-fused-lamp").part("E9")
    assert caught.value._render_traceback_() == slip_words(caught.value) == [
        "Arrangement 'one-fused-lamp' has no part 'E9'. It has: G1, F1, S1, E1, X1. Did you mean 'E1'?"]
