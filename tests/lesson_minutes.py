"""How many minutes a lesson or a task at the bench needs: from what there is to read, to answer and to wire. The one room of times.

``PYTHONPATH=.:tests python tests/lesson_minutes.py`` prints a table. Where the rates come from:

- reading: adults read non-fiction silently at 238 words a minute, most between 175 and 300 (Brysbaert 2019, 190 studies). Taken is
  the slow end, since who learns a trade in a second language shall be done too;
- a choice: 36 s with three, 41 s with four or five (Schneid 2013, students at a desk). Taken are 60 s, as there is a drawing to look at;
  once more half of it for the second try after a wrong one. What is not a choice is our own proposal, not yet tried in a class;
- the bench: common practice, from memory: a minute for each wire with its two ends found, pushed on and ticked off, half a minute for
  each row called and ticked, a minute for a reading with its two places written down, three for another pair to look before power, three
  to watch a student through the form that is signed.
"""

from collections import Counter
from math import ceil

from lesson_path import LESSONS, count, path
from worked_lessons import worked

import circuitlab as cl
from circuitlab.benches.asked import Note, Question
from circuitlab.teaching.kinds import BlankTable, Choice, Lines, Number, Sort, Wired

WORDS_A_MINUTE = 175
SECONDS = {Choice: 60, Number: 120, BlankTable: 180, Sort: 120, Lines: 240, Wired: 300, Note: 60}     # the first try
AGAIN = 0.5         # of it, for the second try
BOARD = 120         # s at a live board
STEP = 5            # min; a time is told in whole steps
WIRE, ROW, READING, LOOK, SIGNING = 1.0, 0.5, 1.0, 3.0, 3.0      # min at the bench
RIGHT_SIDE = ("K2", "E2", "E4", "X5")              # of the cart with two rear relays


def seconds_to_answer(question):
    """Return the time for a question whose first answer is wrong. [s]"""
    if isinstance(question, (Question, Note)):
        return SECONDS[Note if isinstance(question, Note) else Choice]
    first = SECONDS[type(question.task.kind)]
    return first if question.asked.once else first * (1 + AGAIN)


def needed(name):
    """Return the minutes a lesson needs without its page for the real bench. [min]"""
    read = sum(count(each.text) for each in path(name) if each.kind != "steps") / WORDS_A_MINUTE     # before the lesson is run again
    page = worked(name)
    asked = sum(map(seconds_to_answer, page.lesson.questions.values())) / 60
    boards = sum(hasattr(shown, "desk") for shown in page.shown.values()) * BOARD / 60
    return read + asked + boards


def told(name):
    """Return the minutes that a lesson and the list of lessons say: those needed, rounded up. [min]"""
    return STEP * ceil(needed(name) / STEP)


def wires(circuit, without=()):
    """Return how many wires of a circuit have no end on the parts left out. [1]"""
    return sum(not any(end.split(":")[0] in without for end in (wire.start, wire.end)) for wire in circuit.wires)


def at_the_bench(circuit, rows, readings=0, without=()):
    """Return the minutes to wire a circuit, have it looked at, and go through its rows. [min]"""
    return WIRE * wires(circuit, without) + LOOK + ROW * rows + READING * readings


def bench_tasks():
    """Return the minutes of each task that the guide has at the real bench, and what they are made of. [min], [text]"""
    lamp, relay, cart = map(cl.arrangement, ("one-fused-lamp", "relay-test-board", "shared-filament-rear-relays"))
    half = 6        # rows of one side: key off and on, pedal up and held; lever moved with the key on
    return {
        "one fused lamp, three readings": (at_the_bench(lamp, 2, 3), f"{wires(lamp)} wires"),
        "the relay board, two lamps": (at_the_bench(relay, 2, 2), f"{wires(relay)} wires"),
        "the cart with two rear relays, left side": (at_the_bench(cart, half, 0, RIGHT_SIDE), f"{wires(cart, RIGHT_SIDE)} wires, {half} rows"),
        "the cart with two rear relays, whole": (at_the_bench(cart, cart.count_rows()), f"{wires(cart)} wires, {cart.count_rows()} rows")}


if __name__ == "__main__":
    for each in LESSONS:
        print(f"{each:32} needs {needed(each):5.1f} min, says {told(each)} min", dict(Counter(
            type(question).__name__ for question in worked(each).lesson.questions.values())))
    for words, (minutes, made) in bench_tasks().items():
        print(f"{words:44} {minutes:5.1f} min ({made})")
