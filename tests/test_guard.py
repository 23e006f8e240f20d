"""What goes wrong in a handler is said in a sentence."""

import circuitlab as cl
from circuitlab.benches.guard import Guard


def test_the_kits_own_errors_are_told_in_their_own_words():
    """A CircuitLabError keeps its sentence; markup in it is escaped."""
    guard = Guard()

    def handler():
        raise cl.CircuitLabError("lamp '<E1>' is not there")

    guard.watch(handler)()
    assert "lamp &#x27;&lt;E1&gt;&#x27; is not there" in guard.place.value


def test_a_stumble_of_the_kit_is_a_sentence_too_and_goes_with_the_next_press():
    guard, work = Guard(), [lambda: 1 / 0, lambda: 1]
    press = guard.watch(lambda: work.pop(0)())
    press()
    assert 'role="alert"' in guard.place.value and "ZeroDivisionError" in guard.place.value
    press()
    assert guard.place.value == ""
