"""Variants by seed: computed from the circuit, equally hard, and the seeds that are issued."""

import re

import pytest
from hands import markup, widgets_in

import circuitlab as cl
from circuitlab.teaching import Task, fairness, issue_code, read_code, seed_of, vary
from circuitlab.teaching.seeds import is_of
from circuitlab.teaching.kinds import BlankTable, Choice, Lines, Number
from circuitlab.arrangements.naming import renamed

ONE, CART, BOARD = (cl.arrangement(name) for name in ("one-fused-lamp", "shared-filament-four-relays", "relay-test-board"))
SIDES = [({"side": "left", "lamp": "E1", "relay": "K1"}, {"side": "right", "lamp": "E2", "relay": "K2"})]
FLIPPED = [cl.SwapTerminals("K1:87", "K1:87a"), cl.SwapTerminals("K2:87", "K2:87a")]


def grid():
    """Both rear lamps; the side, the battery and the names of the lamps vary."""
    cart = vary(CART, {("G1", "voltage"): (12.0, 12.6, 13.2)}, linked=SIDES)
    return Task("grid", "The lever is to the {side}.", BlankTable.of(CART, [
        {"key": "on", "turn lever": "{side}", "brake pedal": "held"}, {"key": "on", "turn lever": "{side}"},
        {"brake pedal": "held"}], ["E1", "E2"]), cart, None, [cl.idea("M11", wires_as=FLIPPED)])


def contact():
    """Which lamp burns; which contact it is wired to, wire letters and names vary."""
    board = vary(BOARD, {("W6", "colour"): ("OG", "BU", "GY"), ("W7", "colour"): ("PK", "VT")},
                 names={"E1": ("E1", "E4", "E7")}, wired={"as drawn": (), "swapped": cl.SwapTerminals("K1:87", "K1:87a")})
    at = lambda board, switch, E1: E1 if cl.operating_point(board, {"test switch": switch}).light(E1) > 0.25 else "E2"
    return Task("contact", "Coil dead: which lamp is lit, {E1} or E2?", Choice(("{E1}", "E2")), board,
                lambda board, wired, E1: at(board, "off", E1), [cl.idea("M11", reads_as=lambda board, wired, E1: at(board, "on", E1))])


def volts():
    lamps = vary(ONE, {("G1", "voltage"): (11.6, 12.0, 12.4, 12.8, 13.2, 13.6), ("E1", "watts"): (10.0, 16.0, 21.0, 26.5, 30.0)})
    return Task("amps", "What current?", Number("A"), lamps, lambda lamp: cl.operating_point(lamp, {"lamp switch": "on"}).current("F1"),
                [cl.idea("M19", reads_as=lambda lamp: lamp.battery.voltage / lamp.part("E1").branches()[0].device.cold_resistance)])


def lines():
    lamps = vary(ONE, names={"F1": ("F1", "F2", "F7"), "E1": ("E1", "E3"), "S1": ("S1", "S4")})
    return Task("list", "Write the list.", Lines(ONE), lamps, None, [cl.idea("M7", wires_as=[cl.RemoveWire("W4"), cl.RemoveWire("W5")])])


TASKS = {"grid": grid, "contact": contact, "volts": volts, "lines": lines}


@pytest.mark.parametrize("name", TASKS)
def test_variants_are_equally_hard_over_200_seeds(name):
    """As many rows and as many different things in the answer, every idea told from the truth and the others, none trivial."""
    found = fairness(TASKS[name](), range(200))

    assert found.is_equal, found.sentence
    assert found.answers >= (1 if name == "lines" else 2)


def test_a_copied_answer_rarely_fits():
    """Two things that vary give enough answers for a class to have its own."""
    assert fairness(volts(), range(200)).answers >= 10


def test_a_neighbouring_seed_is_another_variant_and_the_same_seed_the_same():
    """Fresh numbers are fresh; a seed written down leads back years later."""
    variants = volts().variants
    say = lambda variant: (variant.circuit.battery.voltage, variant.circuit.part("E1").watts)
    told = [say(variants.of(seed)) for seed in range(60)]

    assert [place for place in range(59) if told[place] == told[place + 1]] == []
    assert told == [say(volts().variants.of(seed)) for seed in range(60)]
    assert len(set(told)) == len(variants)


def test_texts_rows_and_names_follow_the_variant():
    """The side that is asked is the side that is solved; a renamed lamp keeps its wires and its rule."""
    for seed in range(12):
        posed = grid().pose(grid().variants.of(seed))
        side = posed.variant.picks["side"]
        assert side in posed.question and posed.kind.rows[0]["turn lever"] == side
        other = contact().pose(contact().variants.of(seed))
        assert other.kind.options[0] in other.question and other.truth in other.kind.options
    cart = renamed(CART, {"E1": "E8"})
    row = {"key": "on", "turn lever": "left"}
    assert cart.wanted("E8", cart.positions(row)) == "flashing"
    assert cl.row_of(cart, cart.positions(row)).cells["E8"].look == "flashing"


def test_which_contact_changes_the_answer():
    """The swapped board and the drawn one disagree; both come up."""
    answers = {(posed.variant.picks["wired"], posed.truth == "E2")
               for posed in (contact().pose(contact().variants.of(seed)) for seed in range(30))}
    assert answers == {("as drawn", True), ("swapped", False)}


# ------------------------------------------------------------------ what the proof of fairness can find

@pytest.mark.parametrize(("made", "said"), [
    (lambda: Task("trivial", "?", BlankTable.of(CART, [{"turn lever": "{side}"}], ["E1", "E2"]), vary(CART, side=("left", "right"))),
     "every lamp looks the same in every row"),
    (lambda: Task("same", "?", Number("V"), vary(ONE, {("G1", "voltage"): (11.0, 12.0)}), lambda lamp: 0.0,
                  [cl.idea("M6", reads_as=0.0)]), "idea M6 leads to the right answer"),
    (lambda: Task("near", "?", Number("V"), vary(ONE, {("G1", "voltage"): (11.0, 12.0)}), lambda lamp: lamp.battery.voltage,
                  [cl.idea("M6", reads_as=lambda lamp: 1.03 * lamp.battery.voltage)]), "an idea comes near"),
    (lambda: Task("uneven", "?", BlankTable.of(CART, [{"key": "{key}", "turn lever": "left", "brake pedal": "held"}, {}],
                                            ["E1", "E2", "E3"]),
                  vary(CART, key=("on", "off"))), "holds (2, "),
    (lambda: Task("twice", "?", Number("V"), vary(ONE, {("G1", "voltage"): (11.0, 12.0)}), lambda lamp: lamp.battery.voltage,
                  [cl.idea("M6", reads_as=0.0), cl.idea("M5", reads_as=0.0)]), "ideas M6 and M5 lead to one answer"),
])
def test_a_planted_unfair_variant_is_found(made, said):
    """A trivial grid, an idea that happens to be right, one too near, one variant with more in it than the other."""
    found = fairness(made(), range(20))
    assert not found.is_equal and said in found.sentence


def test_fairness_takes_a_question_of_a_lesson_as_well(tmp_path):
    """So that a lesson's own test is one line."""
    asked = cl.Lesson("95", tmp_path).ask(volts())
    assert asked.fairness().is_equal


@pytest.mark.parametrize(("wrong", "said"), [
    (lambda: vary(ONE), "come to 1 combinations"),
    (lambda: vary(ONE, {("G1", "voltage"): [12.0]}), "come to 1 combinations"),
    (lambda: vary(ONE, {("G1", "voltage"): range(200), ("E1", "watts"): range(200)}), "40000 combinations"),
    (lambda: renamed(ONE, {"E9": "E1"}), "no part 'E9'"),
    (lambda: renamed(ONE, {"E1": "F1"}), "named 'F1'"),
    (lambda: Task("x", "?", Number("V"), ONE), "does not say how its answer is worked out"),
    (lambda: Task("x", "?", Number("V"), ONE, lambda lamp: 1.0, [cl.idea("M6")]), "gives no answer here"),
    (lambda: cl.idea("M20"), "no idea 'M20'"), (lambda: cl.idea("M6", reply="x"), "idea has no argument 'reply'. It has: code, because"),
])
def test_what_cannot_be_varied_or_asked_is_refused_in_a_sentence(wrong, said):
    """To whoever writes a lesson."""
    with pytest.raises(cl.CircuitLabError, match=re.escape(said)):
        wrong()


# ------------------------------------------------------------------ issued seeds

def test_codes_differ_by_secret_lesson_and_learner_and_are_the_same_again():
    """24 learners, three lessons, two classes: no code twice."""
    codes = {issue_code(secret, lesson, f"seat {seat}") for secret in ("apples", "pears") for lesson in ("06", "08", "11")
             for seat in range(24)}

    assert len(codes) == 144
    assert issue_code("apples", "11", "seat 3") == issue_code("apples", "11", " SEAT  3 ")
    assert all(re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{4}-[0-9A-HJKMNP-TV-Z]{4}", code) for code in codes)


def test_a_code_knows_its_lesson():
    """Each of 200 its own; of another lesson's some 1 in 32, within three standard deviations."""
    codes = [issue_code("apples", "11", f"seat {seat}") for seat in range(200)]
    assert all(is_of(code, "11") for code in codes)
    assert abs(sum(is_of(code, "06") for code in codes) - 200 / 32) < 3 * (200 / 32) ** 0.5


def test_a_slip_in_a_code_is_noticed():
    """Any one letter changed, save now and then; small letters and look-alikes are taken as meant."""
    code = issue_code("apples", "11", "seat 3")
    assert read_code(code.lower().replace("-", " ")) == read_code(code.replace("0", "O").replace("1", "l")) == code
    noticed = tried = 0
    for place, letter in enumerate(code):
        for other in "0123456789ABCDEFGHJKMNPQRSTVWXYZ":
            if letter != "-" and other != letter:
                tried += 1
                try:
                    read_code(code[:place] + other + code[place + 1:])
                except cl.CircuitLabError:
                    noticed += 1
    assert noticed / tried > 0.9
    for text in ("", "7K3M", "7K3M-9QX!", "a whole sentence"):
        with pytest.raises(cl.CircuitLabError, match="is not an issued code"):
            read_code(text)


def test_an_issued_code_gives_each_learner_their_own_questions(tmp_path):
    """Two learners of a class; the record says which seed, and the code leads to it again."""
    seeds = []
    for seat in (1, 2, 3, 4, 5, 6):
        code = issue_code("apples", "95", f"seat {seat}")
        asked = cl.Lesson("95", tmp_path / str(seat), code=code).ask(volts())
        asked.commit("0")
        assert asked.record.events()[0]["seed"] == asked.seed == seed_of(code, "amps", 0)
        assert code in next(each.tooltip for each in widgets_in(asked.view) if getattr(each, "description", "") == "New numbers") and str(asked.seed) in asked.on_paper()
        seeds.append(asked.seed)
    assert len(set(seeds)) == 6
    with pytest.raises(cl.CircuitLabError, match="wrong letter"):
        cl.Lesson("95", tmp_path, code=code[:-1] + ("A" if code[-1] != "A" else "B"))


@pytest.mark.parametrize(("secret", "label"), [("", "seat 1"), ("apples", " ")])
def test_an_empty_secret_or_label_is_refused(secret, label):
    """Both are needed."""
    with pytest.raises(cl.CircuitLabError, match="is empty"):
        issue_code(secret, "11", label)
