"""Library carts wired from an empty board, wire by wire in an order of chance: no part moves, no wire changes sides."""

from dataclasses import replace
from random import Random

import pytest
from reading_attached import AttachedPicture
from reading_attached import faults as faults_attached

import circuitlab as cl
from circuitlab.arrangements import AddPart, Changes, arrangement, arrangement_names
from circuitlab.arrangements.plan import STEP, MovePart, Plan, stood
from circuitlab.views.attached import lay_out_attached
from circuitlab.views.attached.picture import fill_attached


class Board:
    """The attached drawing of a board, laid out after each change by how it stood, as the desk does."""

    def __init__(self, cart):
        self.now, self.known = cart, cart.plan
        self.first = self.sheet = lay_out_attached(cart)

    def make(self, change):
        """Make a change, and return what moved and what changed sides."""
        was, self.now = (stand(self.sheet), sides(self.sheet)), change.apply(self.now)
        plan = stood("attached", self.now.plan, self.known, self.sheet.plan).beside(self.first.plan)
        self.sheet = lay_out_attached(replace(self.now, plan=plan), like=self.sheet if self.known == self.now.plan else None)
        self.known = self.now.plan
        return [each for before, now in zip(was, (stand(self.sheet), sides(self.sheet)), strict=True)
                for each in before if before[each] != pytest.approx(now[each], abs=0.06)]


def stand(sheet):
    """Return where the first row of each block is, from the sheet's corner. [px]"""
    left, top = sheet.corner
    return {block.part: ((block.left + block.right) / 2 - left, block.rows[0].top - top) for block in sheet.blocks}


def sides(sheet):
    """Return on which side of its block each end of each wire is drawn, read off the lines: -1 left, 1 right. [1]"""
    middle = {block.part: (block.left + block.right) / 2 for block in sheet.blocks}
    found = {}
    for route in sheet.routes:
        ends = zip(sheet.arrangement.part(route.wire).terminals, (route.lines[0][0], route.lines[-1][2]), strict=True)
        found |= {(route.wire, terminal): (1 if x > middle[terminal.partition(":")[0]] else -1,) for terminal, x in ends}
    return found


LINE = 2        # nobody sees it move by less than a line is thick [px]


def put_together(name, seed, by_hand):
    """Return a bare board and the changes that make a cart of it: parts when a wire needs them, or all first and each at a place by chance."""
    cart, chance = arrangement(name), Random(f"{name} {seed}")
    wires, parts = list(cart.wires), [part for part in cart.listed if part is not cart.battery]
    chance.shuffle(wires)
    chance.shuffle(parts)
    bare = replace(cart, parts=[cart.battery], wires=[], rule=[], controls=[], plan=Plan())
    made, there = [], {cart.battery.name}

    def put(part):
        there.add(part.name)
        control = next((control for control in cart.controls if control.name == getattr(part, "control", None)), None)
        made.append(AddPart(part, control, (chance.randint(0, 110), chance.randint(0, 75)) if by_hand else ()))

    for part in parts if by_hand else ():
        put(part)
    for wire in wires:
        for terminal in wire.terminals:
            if terminal.partition(":")[0] not in there:
                put(cart.part(terminal.partition(":")[0]))
        made.append(cl.AddWire(wire))
    return Board(bare), made


CASES = [("shared-filament-rear-relays", 1, True), ("tied-stop-and-turn", 0, False), ("one-fused-lamp", 0, False), ("relay-test-board", 2, True)]


@pytest.mark.parametrize(("name", "seed", "by_hand"), CASES)
@pytest.mark.in_turn(4)
def test_nothing_moves_while_a_cart_is_wired_in_an_order_of_chance(name, seed, by_hand):
    board, changes = put_together(name, seed, by_hand)
    for change in changes:
        assert board.make(change) == [], f"{change} moved these"
    assert {*board.now.wires} == {*arrangement(name).wires}
    drawn = AttachedPicture(fill_attached(board.sheet, board.sheet.arrangement))
    assert faults_attached(board.sheet, drawn) == [], "nothing overlaps, no word is cut"
    kept = replace(board.now, plan=board.sheet.plan)
    assert stand(lay_out_attached(kept)) == stand(board.sheet) and sides(lay_out_attached(kept)) == sides(board.sheet)


@pytest.mark.full
@pytest.mark.parametrize("name", arrangement_names())
@pytest.mark.parametrize("by_hand", [False, True])
def test_hardly_anything_moves_while_any_cart_is_wired(name, by_hand):
    """Where no room is left at last, one change in fifty may push something, by 30 px at most, and none turns a wire to another side."""
    board, changes = put_together(name, 0, by_hand)
    moved = 0
    for change in changes:
        before, faced = stand(board.sheet), sides(board.sheet)
        board.make(change)
        now, faces = stand(board.sheet), sides(board.sheet)
        furthest = max(abs(now[part][way] - before[part][way]) for part in before for way in (0, 1))
        assert furthest <= 30 and all(faces[end] == side for end, side in faced.items()), change
        moved += furthest > LINE
    assert moved <= 1 + len(changes) // 50


def test_a_part_put_upon_another_finds_the_nearest_free_place_and_the_other_stays():
    board = Board(arrangement("one-fused-lamp").planned())
    x, y = stand(board.sheet)["S1"]
    assert board.make(AddPart(cl.Lamp("E9"), at=(x / STEP, y / STEP + 1))) == []
    moved = board.make(MovePart("E1", x / STEP + 1, y / STEP))
    assert {each if isinstance(each, str) else each[1].partition(":")[0] for each in moved} - {"E1"} <= {"S1", "X1"}, "but for wires of E1"
    assert [each for each in moved if isinstance(each, str)] == ["E1"]
    boxes = [block.box for block in board.sheet.blocks]
    assert not any(one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
                   for place, one in enumerate(boxes) for other in boxes[place + 1:])


def test_a_wire_that_joins_another_part_now_looks_for_its_way_anew_and_the_others_keep_theirs():
    cart = arrangement("one-fused-lamp").planned()
    assert {wire[0] for wire in cart.plan.wires} == {wire.name for wire in cart.wires}
    wire = next(wire for wire in cart.wires if wire.end == "E1:1")
    again = Changes(cart).make(f"move {wire.name} from E1:1 to X1:2").after
    assert set(again.plan.wires) == {kept for kept in cart.plan.wires if kept[0] != wire.name}


def test_the_room_for_wires_still_to_come_is_that_of_a_board_and_not_of_a_finished_drawing():
    """Between columns and left of them; a cart with all its wires is drawn as close as it was."""
    cart = arrangement("shared-filament-rear-relays")
    open_, done = (sorted({x for x, _ in stand(lay_out_attached(each)).values()}) for each in (replace(cart, wires=[], rule=[]), cart))
    assert min(b - a for a, b in zip(open_, open_[1:])) > min(b - a for a, b in zip(done, done[1:]))
    assert open_[0] > done[0] - 30


@pytest.mark.parametrize("name", ["separate-filaments", "shared-filament-rear-relays",
                                  pytest.param("trailer-12n-separate-lamps", marks=pytest.mark.full), pytest.param("hazard-third-relay", marks=pytest.mark.full)])
def test_front_lamps_that_come_after_the_rear_ones_stand_ahead_of_them_inside_the_outline(name):
    """Wired from nothing with the rear lamps first: the outline stays, front is ahead of rear, left is left of right, and nothing moves for it."""
    board, changes = put_together(name, 0, False)
    late = [change for change in changes if isinstance(change, AddPart) and "front" in change.part.place]
    ends = {change.part.name for change in late}
    first = [change for change in changes if change not in late and not (
        isinstance(change, cl.AddWire) and {end.partition(":")[0] for end in (change.wire.start, change.wire.end)} & ends)]
    for change in (*first, *late):
        had = bool(board.sheet.outline)
        assert not [each for each in board.make(change) if isinstance(each, str)] or change in first, change
        assert board.sheet.outline or not had, change
    place = {part.name: part.place.split() for part in board.now.of_kind(cl.Lamp) if "trailer" not in part.place}
    at = stand(board.sheet)
    for one, words in place.items():
        for other, others in place.items():
            assert not ("front" in words and "rear" in others) or at[one][1] < at[other][1], (one, other)
            assert not ("left" in words and "right" in others) or at[one][0] < at[other][0], (one, other)
    assert late and board.sheet.outline
