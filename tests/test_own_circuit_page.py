"""The page "Your own circuit": what it tells to take, to join and to write is the two-relay cart, proved."""

import re

import circuitlab as cl
from circuitlab.arrangements import bare, read_change
from circuitlab.benches.board.listing import published
from circuitlab.ground.places import kit_folder
from circuitlab.views.key_page import HEADING, PAGE

TEXT = (kit_folder("lessons") / PAGE).read_text("utf-8").partition(HEADING)[0]
CART = cl.arrangement("shared-filament-rear-relays")


def section(number):
    return re.search(rf"^## {number}\..*?\n(.*?)(?=^## |\Z)", TEXT, re.M | re.S)[1]


def wired(rule=True):
    """Return the circuit that comes of typing the page's sentences, row by row, on an empty board."""
    circuit = bare()
    said = re.findall(r"^\| [^|]*\| `(.+)` \|$", section(2), re.M)
    said += [f"add wire {name} from {start} to {end} {metres} m" for name, start, end, metres in
             re.findall(r"^\| (W\d+) \| (\S+) \| (\S+) \| (\S+) \|", section(3), re.M)]
    said += [f"rule {lamp}: {words}" for lamp, words in re.findall(r"^\| (E\d) \| `(.+)` \|$", section(4), re.M)] if rule else []
    said += re.findall(r"`(rule S1:15: .+?)`", section(4)) if rule else []
    for sentence in said:
        circuit = read_change(sentence, circuit).apply(circuit)
    return circuit


def test_what_the_page_tells_to_do_is_the_two_relay_cart():
    """Every part and wire of the kit's own cart, between the same terminals, no more."""
    circuit = wired()
    assert {(part.name, part.kind) for part in circuit.parts} == {(part.name, part.kind) for part in CART.parts}
    assert {(wire.name, wire.start, wire.end) for wire in circuit.wires} == {(wire.name, wire.start, wire.end) for wire in CART.wires}
    comparison = cl.compare(CART, circuit)
    assert not [row for row in comparison.rows if row.changed] and not circuit.cautions()
    assert {(part.name, part.light) for part in circuit.of_kind(cl.Lamp)} == {(part.name, part.light) for part in CART.of_kind(cl.Lamp)}
    assert {(wire.name, wire.length) for wire in circuit.wires} == {(wire.name, wire.length) for wire in CART.wires}
    assert not [finding for finding in cl.size(circuit).findings if not finding.is_kept and finding.rule == "the fuse sits at the battery"]


def test_with_the_rule_it_writes_a_hazard_switch_that_feeds_the_key_backwards_is_not_proved():
    """A meter on S1:15 has 12 V with the key off; without the line for S1:15 nothing would say so."""
    circuit = wired()
    for sentence in ('add part S4 switch, control hazard, closes "on: 30-49 49a-L 49a-R CL-30 CR-30" with control hazard: off, on',
                     "add wire W70 from F2:2 to S4:30", "add wire W71 from S4:49 to K9:49", "add wire W72 from K9:49a to S4:49a",
                     "add wire W73 from S4:L to X4:1", "add wire W74 from S4:R to X5:1"):
        circuit = read_change(sentence, circuit).apply(circuit)
    proof = cl.prove(circuit)
    assert not proof.is_proved and any(failure.lamp == "S1:15" for failure in proof.failures)


def test_it_is_proved_and_the_rule_it_names_is_offered_and_proves_it_too():
    circuit = wired()
    assert cl.prove(circuit).is_proved
    named = re.search(r"take \*\*(.+?)\*\*", section(4))[1]
    offered = [rule for rule in published(wired(rule=False)) if named in rule["title"]]
    assert offered and offered[0]["source"]
    circuit = wired(rule=False)
    for sentence in offered[0]["sentences"]:
        circuit = read_change(sentence, circuit).apply(circuit)
    assert cl.prove(circuit).is_proved


def test_the_slips_it_names_are_what_the_proof_says_of_them():
    swapped = cl.changed(wired(), cl.SwapTerminals("K1:87", "K1:87a"))
    assert any(failure.lamp == "E1" and failure.wanted == "flashing" for failure in cl.prove(swapped).failures)
    round_it = cl.changed(wired(), cl.AddWire(cl.Wire("W90", "F1:2", "X3:1")))
    assert any(failure.lamp == "E2" and failure.wanted == "dark" and failure.seen.startswith("steady") for failure in cl.prove(round_it).failures)
