"""The current-path drawing stands still: whatever is wired, no piece, no line of metal and no number of a path goes elsewhere."""

from dataclasses import replace

import pytest
from reading_pictures import Picture, faults, stretches
from test_plan import with_trailer
from test_standing import BY_HAND
from test_wired_and_still import put_together

import circuitlab as cl
from circuitlab.arrangements import AddPart, arrangement, arrangement_names, read_change, read_text, write_text
from circuitlab.arrangements.plan import Plan, stood
from circuitlab.benches.board.desk import Desk
from circuitlab.views.schematic import draw, fill, lay_out

CART = "shared-filament-rear-relays"


class Board:
    """The current-path drawing of a board, laid out after each change by how it stood, as the desk does."""

    def __init__(self, cart):
        self.now, self.known = cart, cart.plan
        self.first = self.sheet = lay_out(cart)

    def make(self, change):
        """Make a change, and return what stands elsewhere since then."""
        was, self.now = self.sheet, change.apply(self.now)
        plan = stood("schematic", self.now.plan, self.known, self.sheet.plan).beside(self.first.plan)
        self.sheet, self.known = lay_out(replace(self.now, plan=plan), self.sheet), self.now.plan
        return moved(was, self.sheet)

    @property
    def wrong(self):
        return faults(self.sheet, Picture(fill(self.sheet, self.now)))


def places(sheet):
    """Return where each piece is, its path and which side is up; and how far down each line of metal that is a part's own. [px], [1]"""
    pieces = {symbol.piece.key: (symbol.xs, symbol.top, symbol.near_up, sheet.paths[symbol.piece.key]) for symbol in sheet.symbols}
    return pieces | {f"bar {metal.key}": metal.lines[0][1] for metal in sheet.metals if metal.kind != "terminal"}


def moved(was, now):
    """Return what stands on two sheets and on the second elsewhere."""
    before, after = places(was), places(now)
    return [key for key in before if key in after and after[key] != before[key]]


def wired(name, seed, by_hand):
    """Return the finished board of a cart that is wired from nothing, after whatever moved or lies on something was told."""
    attached, changes = put_together(name, seed, by_hand)
    board = Board(attached.now)
    for change in changes:
        assert board.make(change) == [], f"{change} moved these"
        assert board.wrong == [], change
    return board


def joined(sheet):
    """Return for each wire the two places where its line begins and ends, and in how many stretches that hang together it is drawn. [px], [1]"""
    found = {}
    for line in sheet.wires:
        breaks = sum(a[2:] != b[:2] for a, b in zip(line.lines, line.lines[1:]))
        found[line.wire] = line.lines[0][:2], line.lines[-1][2:], 1 + breaks
    return found


@pytest.mark.parametrize(("name", "seed", "by_hand"), [(CART, 1, True), ("one-fused-lamp", 0, False),
                                                       pytest.param("tied-stop-and-turn", 0, False, marks=pytest.mark.full)])
def test_nothing_moves_while_a_cart_is_wired_in_an_order_of_chance(name, seed, by_hand):
    """From nothing: at each step no piece moved, nothing overlaps, and the file of the end is drawn the same again."""
    board = wired(name, seed, by_hand)
    assert {*board.now.wires} == {*arrangement(name).wires}
    kept = read_text(write_text(replace(board.now, plan=board.sheet.plan)), name)
    assert draw(kept) == fill(board.sheet, board.now)


@pytest.mark.full
@pytest.mark.parametrize("name", arrangement_names())
@pytest.mark.parametrize("by_hand", [False, True])
def test_nothing_moves_while_any_cart_is_wired(name, by_hand):
    """One word in a hundred changes may at last lie on something; nothing moves for it."""
    attached, changes = put_together(name, 0, by_hand)
    board, wrong = Board(attached.now), 0
    for change in changes:
        had = len(board.wrong)
        assert board.make(change) == [], f"{change} moved these"
        wrong += len(board.wrong) > had
    assert wrong <= 1 + len(changes) // 100


@pytest.mark.full
def test_laid_out_anew_the_same_steps_move_much():
    """So that the tests above can fail: what stands still is kept, not lucky."""
    attached, changes = put_together(CART, 1, True)
    now, sheet, count = attached.now, lay_out(attached.now), 0
    for change in changes:
        was, now = sheet, change.apply(now)
        sheet = lay_out(replace(now, plan=Plan()))
        count += len(moved(was, sheet))
    assert count > 100


def test_a_trailer_that_comes_part_by_part_moves_nothing_of_the_finished_cart():
    cart = arrangement(CART)
    more, board = with_trailer(cart), Board(cart)
    for part in more.parts[len(cart.parts):]:
        assert board.make(AddPart(part)) == []
    for wire in more.wires[len(cart.wires):]:
        assert board.make(cl.AddWire(wire)) == []
    assert board.wrong == []
    assert moved(lay_out(cart), board.sheet) == []
    assert board.sheet.columns[:len(lay_out(cart).columns)] == lay_out(cart).columns


def test_each_end_of_an_interrupted_wire_says_in_which_path_it_goes_on():
    """References where a line goes on, at both of its ends, as IEC 61082-1 has them for interrupted connecting lines (from memory)."""
    board = wired(CART, 1, True)
    broken = [wire for wire, (*_, parts) in joined(board.sheet).items() if parts == 2]
    assert broken, "else this shows nothing"
    numbered = {int(label.text): label.x for label in board.sheet.labels if label.owner == "path"}
    at = {terminal: (x, y) for symbol in board.sheet.symbols for terminal, x, y, _ in symbol.pins()}
    for name in broken:
        wire = board.now.part(name)
        says = [label.text.rpartition(" \N{RIGHTWARDS ARROW} ") for label in board.sheet.labels if label.kind == "wire" and label.owner == name]
        assert len(says) == 2 and all(text.split()[0] == name for text, _, _ in says)
        for terminal, (_, _, path) in zip(wire.terminals, reversed(says), strict=True):
            if terminal in at:
                nearest = min(numbered, key=lambda number: abs(numbered[number] + 4 - at[terminal][0]))
                assert int(path) == nearest, f"{name} at the other end of {terminal}"
    told = [text for _, text, *_ in board.sheet.key]
    assert f"W1 \N{RIGHTWARDS ARROW} 4: goes on in path 4" in told


def test_every_wire_of_a_grown_sheet_is_joined_to_its_own_terminals():
    """Read off the picture: each line begins and ends where a piece has that terminal, or on a tap of that terminal's metal."""
    board = wired("tied-stop-and-turn", 0, False)
    picture = Picture(fill(board.sheet, board.now))
    at = {}
    for terminal, x, y in [*picture.pins, *(tap for _, _, taps in picture.metals for tap in taps)]:
        at.setdefault((round(x), round(y)), set()).add(terminal)
    for group in picture.of("wire"):
        lines, wire = stretches(group[1].get("d")), board.now.part(group.get("data-wire"))
        assert wire.start in at[tuple(map(round, lines[0][:2]))] and wire.end in at[tuple(map(round, lines[-1][2:]))], wire.name


@pytest.mark.full
def test_a_fresh_drawing_of_a_finished_cart_interrupts_nothing():
    for name in arrangement_names():
        assert not lay_out(arrangement(name)).is_grown and not any(line.is_interrupted for line in lay_out(arrangement(name)).wires)


@pytest.fixture
def desk(tmp_path):
    desk = Desk(cl.changes.bare(), form="schematic")
    desk.folder = tmp_path
    for words in BY_HAND:
        before = places(desk.sheet)
        answers = [answer["kind"] for answer in desk.hear({"kind": "typed", "words": words, "act": desk.last + 1, "at": 0})]
        assert "trouble" not in answers and {key: place for key, place in places(desk.sheet).items() if key in before} == before, words
    return desk


def test_a_board_goes_to_the_other_form_and_back_and_everything_stands(desk):
    before = places(desk.sheet)
    for form in ("attached", "schematic"):
        list(desk.hear({"kind": "form", "form": form}))
    assert places(desk.sheet) == before


def test_a_board_lays_its_drawing_out_anew_when_asked_and_what_comes_after_stands(desk):
    assert desk.still()["grown"]
    list(desk.hear({"kind": "anew"}))
    fresh = lay_out(replace(desk.tried.arrangement, plan=Plan()))
    assert not desk.still()["grown"] and places(desk.sheet) == places(fresh)
    list(desk.hear({"kind": "typed", "words": "add part E7 lamp", "act": desk.last + 1, "at": 0}))
    assert {key: place for key, place in places(desk.sheet).items() if key in places(fresh)} == places(fresh)


def test_what_is_free_on_a_rail_pushes_nothing_aside(desk):
    """A rail with its name beside it: the list of its free studs grows, and is left out where it has no room."""
    def make(*typed):
        for words in typed:
            assert "trouble" not in [answer["kind"] for answer in desk.hear({"kind": "typed", "words": words, "act": desk.last + 1, "at": 0})], words

    make("add part X9 chassis", "add part E8 lamp")
    list(desk.hear({"kind": "anew"}))
    stand = places(desk.sheet)
    for studs in (5, 6, 9, 14):
        make(f"set X1 studs {studs}")
        assert places(desk.sheet) == stand, studs


def test_a_saved_board_keeps_both_drawings(desk, tmp_path):
    stand = places(desk.sheet)
    list(desk.hear({"kind": "form", "form": "attached"}))
    list(desk.hear({"kind": "store", "file": "mine"}))
    kept = cl.load(tmp_path / "mine.toml")
    assert kept.plan.attached and kept.plan.later and places(lay_out(kept)) == stand


def grown(cart, *typed):
    """Return the board of a circuit after changes, at each of which nothing moved and nothing lay on something."""
    board = Board(cart)
    for words in typed:
        assert board.make(read_change(words, board.now)) == [], words
        assert board.wrong == [], words
    return board


@pytest.mark.parametrize("ways", ["30: 10 A, spare; 15: 7.5 A", "10 A, spare, spare, 5 A", "30: 10 A, 7.5 A; 15: spare, 5 A; 58: 3 A"])
@pytest.mark.parametrize("cart", [CART, ""])
def test_a_fuse_block_that_comes_later_stands_together(cart, ways):
    """Its ways side by side at one height in the order of their numbers, feeds on top, and each rail fed straight from the supply."""
    board = grown(arrangement(cart) if cart else cl.changes.bare(), f'add part F5 fuse block, ways "{ways}"', "add wire W50 from G1:+ to F5:30 RD 0.3 m 2.5 mm2")
    block = board.now.part("F5")
    pieces = sorted((symbol for symbol in board.sheet.symbols if symbol.piece.key.startswith("F5.")), key=lambda symbol: symbol.xs[0])
    assert [symbol.piece.key for symbol in pieces] == [f"F5.{way}" for way in range(1, len(block.numbers) + 1)]
    assert len({(symbol.top, symbol.height) for symbol in pieces}) == 1
    assert all(up for symbol in pieces for terminal, _, _, up in symbol.pins() if terminal.partition(":")[2] in block.rails)
    others = [symbol.right for symbol in board.sheet.symbols if not symbol.piece.key.startswith("F5.")]
    assert min(symbol.left for symbol in pieces) > max(others), "nothing else stands among them"
    (feed,) = (line.lines for line in board.sheet.wires if line.wire == "W50")
    assert len(feed) == 1 and feed[0][0] == feed[0][2], "one upright stretch"
    kept = read_text(write_text(replace(board.now, plan=board.sheet.plan)), "mine")
    assert draw(kept) == fill(board.sheet, board.now)


def test_the_bars_of_a_block_that_comes_later_cross_no_wires_of_each_other():
    board = grown(cl.changes.bare(), 'add part X9 distribution block, bars "30: 4, 31: 4"', "add part E1 lamp", "add part E2 lamp", *(
        f"add wire W{number} from X9:{stud} to {end} RD 1 m 1 mm2" for number, (stud, end) in enumerate((("2", "E1:1"), ("3", "E2:1"), ("6", "X1:1"), ("7", "X1:2")), 1)))
    (left, y, right, _), (other, low, _, _) = (next(metal.lines[0] for metal in board.sheet.metals if metal.key == f"X9.{bar}") for bar in ("30", "31"))
    assert y == low and left < right < other
    for wire, own, there in (("W1", "X9.30", "X9.31"), ("W2", "X9.30", "X9.31"), ("W3", "X9.31", "X9.30"), ("W4", "X9.31", "X9.30")):
        bar = next(metal.lines[0] for metal in board.sheet.metals if metal.key == there)
        lines = next(line.lines for line in board.sheet.wires if line.wire == wire)
        assert not any(x == to_x and bar[0] < x < bar[2] and min(begin, end) < bar[1] < max(begin, end) for x, begin, to_x, end in lines), (wire, own)


def spelled_out(words, every):
    """Return which terminals ``3, 5 to 8`` are, or how many ``4 of 9`` are. [text] or [1]"""
    if " of " in words:
        return int(words.split(" of ")[0])
    ends = [run.split(" to ") for run in words.split(", ")]
    return [terminal for first, *last in ends for terminal in every[every.index(first):every.index(last[0] if last else first) + 1]]


@pytest.mark.parametrize("part", ["distribution block", 'distribution block, bars "30: 6, 31: 6"', "splice, ways 5", "splice, ways 12", "chassis, studs 9"])
@pytest.mark.parametrize("is_fresh", [False, True])
def test_which_terminals_of_a_bar_are_free_is_told_whole_while_it_is_wired(part, is_fresh):
    """At every step all that have no wire, one by one, in runs, or counted; never cut. Of a bar that comes later, and of one laid out at first."""
    bare = replace(cl.changed(cl.changes.bare(), read_change(f"add part X9 {part}", cl.changes.bare())), plan=Plan())
    board = Board(bare) if is_fresh else grown(cl.changes.bare(), f"add part X9 {part}")
    names, silent = board.now.part("X9").terminals, 0
    for number, terminal in enumerate([*names[1::2], *names[::2]], 1):
        for key, every in (board.now.part("X9").metals or {"": names}).items():
            told = next(label.text for label in board.sheet.labels if label.kind == "sheet" and label.owner == (f"X9.{key}" if key else "X9") and label.text.startswith("X9"))
            free = [each for each in every if not board.now.wires_at[f"X9:{each}"]]
            assert "\N{HORIZONTAL ELLIPSIS}" not in told
            silent += bool(free) and " free: " not in told
            found = spelled_out(told.partition(" free: ")[2], [*every]) if " free: " in told else free
            assert found == free or found == len(free), told
            assert free or told.partition(" free: ")[2] == ""
        for words in (f"add part E{number} lamp", f"add wire W{number} from X9:{terminal} to E{number}:1 RD 1 m 1 mm2"):
            board.make(read_change(words, board.now))
        assert not [each for each in board.wrong if "X9" in each]
    assert silent == 0
