"""What a guesser and a clicker earn in every lesson: under a sixth of its credit, by the rule that widgets, record, grid and points share.

The *guesser* commits one random answer to each variant; his credit is the expected one, over all ways in which he may hit or
miss. The *clicker* commits every answer in the order offered until one is right, then asks for the next variant. Both go on after
the credit is shut. Credit is what checks earn; predictions, observations and notes earn nothing. Numbers, lists and boards offer
nothing to click: whoever types 12 V everywhere is not looked at. ``-s`` prints a line for each lesson, and beside it the *parrot*,
who clicks through the first variant and then gives what was right there: no limit binds him here.

What may tell the right choice is looked for as well. Of the faults of items that are counted, the right choice that is the longest
and clue words moved scores (a cross-over with 100 pairs of items, PMC10711986); the bounds are chance and a tenth, our own choice.
"""

import re
from functools import cache
from itertools import count, islice, product
from statistics import mean

import pytest

from circuitlab.benches.record import Record
from circuitlab.teaching import gathering
from circuitlab.teaching.book import KEPT, Marking
from circuitlab.teaching.credit import Earned
from circuitlab.teaching.gathering import lesson_files
from circuitlab.teaching.hand_out import points
from circuitlab.teaching.kinds import BlankTable, Choice, Sort
from circuitlab.teaching.ladder import NO_ANSWER
from circuitlab.teaching.questions import Check

MOST = 1 / 6
CLICKS = 6              # in a variant of a table, where there are hundreds of answers and three count
STARTS = range(1, 301)   # as issued codes begin anywhere
lesson_book = cache(gathering.lesson_book)


def checks(number):
    """Return the questions of a lesson that earn credit."""
    return [question for question in lesson_book(number).questions.values() if question.earns and not question.is_own]


def answers(kind):
    """Yield what can be given to a kind without thinking, in the order offered."""
    if isinstance(kind, Choice):
        yield from kind.options
    elif isinstance(kind, Sort):
        yield from (dict(zip(kind.items, groups)) for groups in product(kind.groups, repeat=len(kind.items)))
    elif isinstance(kind, BlankTable):
        rows = len(kind.rows)
        for looks in product(kind.looks, repeat=rows * len(kind.lamps)):
            yield {lamp: [*looks[rows * place:rows * (place + 1)]] for place, lamp in enumerate(kind.lamps)}


@cache
def at(question, place):
    """Return the kind, its answers in no order yet, and the right answer of a variant, worked out once. [Kind], [answer]"""
    posed = question.task.pose(question.task.variants.of(place))
    return question.task.kind.filled(posed.variant), posed.truth


def clicks(question, seed):
    """Return the first answers offered in a variant, each with whether it is right."""
    kind, truth = at(question, seed % len(question.task.variants))
    offered = kind.mixed(question.item, seed) if isinstance(kind, Choice) else kind
    return [(given, given == truth) for given in islice(answers(offered), CLICKS)]


def guesser(question):
    """Return the expected credit of one random answer to each variant. [1]"""
    if question.task.kind.at_most is None:
        return 0.0
    many, total = sum(1 for _ in answers(question.task.kind)), 0.0
    for hits in product((True, False), repeat=question.task.kind.at_most + 1):
        earned, weight = Earned(question.task), 1.0
        for seed, hit in enumerate(hits, 1):
            earned.add(seed, hit, True)
            weight *= 1 / many if hit else 1 - 1 / many
        total += weight * earned.credit
    return total


def clicker(question, start=1, repeats=False):
    """Return the credit of whoever clicks through each variant in order; one who repeats begins with what was right last. [1]"""
    earned, last = Earned(question.task), None      # what has no limit offers nothing to click
    for seed in islice(count(start), (question.task.kind.at_most or 0) + 1):
        tries = clicks(question, seed)
        for given, right in sorted(tries, key=lambda each: each[0] != last) if repeats else tries:
            earned.add(seed, right, True)
            if right:
                last = given
                break
    return earned.credit


@pytest.mark.parametrize("number", lesson_files())
@pytest.mark.in_turn(3)
def test_who_guesses_or_clicks_earns_less_than_a_sixth_of_a_lesson(number):
    """With open numbers, and on average over where issued codes begin."""
    asked = checks(number)
    earned = {"guesser": mean(map(guesser, asked)), "clicker": mean(map(clicker, asked)),
              "clicker with codes": mean(clicker(each, start) for each in asked for start in STARTS)}
    parrot = mean(clicker(each, repeats=True) for each in asked)
    print(f"\nlesson {number}, {len(asked)} checks: " + ", ".join(f"{who} {share:.1%}" for who, share in earned.items())
          + f"; parrot {parrot:.1%}", end="")
    assert asked and max(earned.values()) < MOST, earned


@pytest.mark.in_turn(13, 6)
@pytest.mark.parametrize("number", lesson_files())
def test_record_grid_and_points_pay_the_clicker_no_more(number, tmp_path):
    """Every question of a lesson clicked through by its book; the lines marked anew give what the ladder says, the rest nothing."""
    book = gathering.lesson_book(number)
    record = Record(number, tmp_path)
    for item, question in book.questions.items():
        for turn in range(4 if isinstance(question, Check) else 1):
            for given in islice(answers(book.ways[item].posed.kind) if isinstance(question, Check) else question.choices or ["x"], CLICKS):
                _try(book, record, item, given)
            if isinstance(question, Check) and book.ways[item].can_renew and question.task.kind.at_most:
                record.add(**book.renew(item))
    marking = Marking(lesson_book(number))
    assert [marking.take(event) for event in record.events() if marking.take(event)] == []
    marks, ladders = marking.marks(), {each.item: book.ways[each.item].credit for each in checks(number)}
    assert {item: marks[item].credit for item in ladders if item in marks} == {
        item: credit for item, credit in ladders.items() if item in marks}
    assert sum(ladders.values()) == sum(mark.credit for mark in marks.values()) == points(record.path) < MOST * len(ladders)
    assert {mark.credit for item, mark in marks.items() if item not in ladders} == {0.0} and KEPT in {mark.word for mark in marks.values()}


def _try(book, record, item, given):
    """Commit an answer with the first reason that is taken, where one is needed."""
    for reason in (None, *book.ways[item].reasons):
        try:
            record.add(**book.commit(item, given, "sure", reason)[1])
            return
        except NO_ANSWER:
            continue


def test_choices_stand_in_the_same_order_in_the_widgets_as_here():
    """Mixed anew for each seed, the same again for the same one; figures and single letters in their own order."""
    for question in checks("03"):
        task = question.task
        if isinstance(task.kind, Choice):
            orders = [task.pose(task.variants.of(seed)).kind.options for seed in range(1, 13)]
            assert orders == [at(question, seed % len(task.variants))[0].mixed(question.item, seed).options for seed in range(1, 13)]
            assert (len({*map(len, orders)}), len({*orders}) > 1) == (1, question.item != "bad-leg")


# ------------------------------------------------------------------ what may tell the right choice

@cache
def items():
    """Return every item with choices of every lesson, each variant of a check once: name, stem, choices as shown, right one, replies."""
    found = []
    for number in lesson_files():
        for item, question in lesson_book(number).questions.items():
            if getattr(question, "choices", ()):
                found.append((f"{number} {item}", question.question, question.choices, question.truth(), question.replies))
            elif isinstance(question, Check) and isinstance(question.task.kind, Choice):
                for seed in range(1, len(question.task.variants) + 1):
                    posed = question.task.pose(question.task.variants.of(seed))
                    truth = at(question, seed % len(question.task.variants))[1]
                    found.append((f"{number} {item}", posed.question, posed.kind.options, truth, {}))
    return found


def plain_words(text):
    return set(re.findall(r"[a-z]{4,}", text.lower()))


TELLS = {
    "longest": lambda stem, choices: [max(choices, key=len)] if sorted(map(len, choices))[-2:-1] != [max(map(len, choices))] else [],
    "shortest": lambda stem, choices: [min(choices, key=len)] if sorted(map(len, choices))[1] != min(map(len, choices)) else [],
    "shares words with the stem": lambda stem, choices: [each for each in choices if plain_words(each) & plain_words(stem)],
    "shares most words with the others": lambda stem, choices: alone_at_the_top(choices),
    "first": lambda stem, choices: choices[:1], "second": lambda stem, choices: choices[1:2], "last": lambda stem, choices: choices[-1:]}


def alone_at_the_top(choices):
    shared = {each: sum(len(plain_words(each) & plain_words(other)) for other in choices if other != each) for each in choices}
    return top if len(top := [each for each in choices if shared[each] == max(shared.values())]) == 1 else []


@pytest.mark.parametrize("tell", TELLS)
@pytest.mark.parametrize("is_check", [False, True], ids=["plain", "checks"])
def test_nothing_tells_the_right_choice(tell, is_check):
    """Whoever goes by it alone is right no oftener than chance and a tenth, where it points at one choice."""
    asked = [each for each in items() if is_check != bool(each[4])]
    pointed = [(truth, found[0]) for _, stem, choices, truth, _ in asked if len(found := list(TELLS[tell](stem, choices))) == 1]
    hits, chance = sum(truth == found for truth, found in pointed), mean(1 / len(choices) for _, _, choices, *_ in asked)
    print(f"\n{'checks' if is_check else 'plain'}, {tell}: right in {hits} of {len(pointed)} where it points, {len(asked)} asked", end="")
    assert len(asked) > 100 and hits <= (chance + 0.1) * len(asked)
    assert len(pointed) < 30 or hits <= (chance + 0.1) * len(pointed)


def test_the_reply_to_the_right_choice_is_not_the_only_one_that_asks_or_asks_nothing():
    """Replies stand in an exported page: where one differs by a question mark, it must not be the right one's."""
    told = []
    for name, _, choices, truth, replies in items():
        asks = [choice for choice in choices if "?" in replies.get(choice, "")]
        if replies and [truth] in (asks, [choice for choice in choices if choice not in asks]):
            told.append(name)
    assert told == []


# ------------------------------------------------------------------ the rule

@pytest.mark.parametrize("tries, credit, shut", [
    ("R R", 1, True), ("R", 0, False), ("WR R", 0, False), ("W R", 0, False), ("W R R", 0.5, True), ("R W R", 0, True), ("W W", 0, True),
    ("WR WR R R", 0, True), ("r R", 0.5, True), ("R r", 0.5, True)])
def test_a_choice_is_paid_for_two_variants_in_a_row(tries, credit, shut):
    """R right, r right with a reason that does not hold, W wrong; a word is a variant."""
    question = next(each for each in checks("06") if each.item == "no-click")
    earned = Earned(question.task)
    for seed, variant in enumerate(tries.split(), 1):
        for each in variant:
            earned.add(seed, each != "W", each != "r")
    assert (earned.credit, earned.is_shut) == (credit, shut)


def test_a_variant_that_comes_again_is_not_paid():
    """Three variants: tried, passed over twice, met again and now known."""
    question = next(each for each in checks("06") if each.item == "unmarked")
    earned = Earned(question.task)
    assert len(question.task.variants) == 3
    for seed in (1, 4, 7, 10):
        earned.add(seed, True, True)
    assert earned.credit == 0 and not earned.is_shut
