"""Judging a choice of fuses and wires: whatever keeps the rules is accepted.

A finding says which rule a part keeps or breaks, by the rule's name and what
was found. It never says what to choose instead: several choices may do.
"""

from dataclasses import replace
from math import inf, isinf
from operator import attrgetter

from ...arrangements import changed
from ...arrangements.cautions import frame_contradicted
from ...arrangements.rows import count_rows
from ...ground.quantities import say
from ...parts import Chassis, Connector, Diode, DistributionBlock, Flasher, Fuse, Lamp, LedLamp, Relay, Resistor, Role, Wire
from ...parts.conductors import copper_factor
from ...parts.overheating import BAD_JOINT, COIL_STANDS, CONTACT_CARRIES, OVERVOLTED, TOUCH_BURNS, WARM
from .found import judged
from .guarding import guarding
from .limits import (CONTACT_MAKES, CONTACT_NEEDS, RULES, Limits, fuse_ratings)
from .loads import FLOWS, row_where, solved, survey, where
from .running import broken_while_running, running
from .ways import loop, steps
from .wires import capacity

NO_MORE = 0.02      # of what may be lost on a leg, with less of it left the sentence says how little: the kit's own


def judge(arrangement, *choices, limits=Limits()):
    """Hold an arrangement to the rules of sizing.

    Parameters
    ----------
    arrangement : Arrangement
    choices : Change
        Made first, such as ``SetValue("F1", "rating", 15.0)``.
    limits : Limits
        Where not the defaults.

    Returns
    -------
    tuple of Finding
        Kept and broken ones, rule by rule. What lets more current through (a
        thicker wire) brings a load closer to its limit, if only a little.

    Examples
    --------
    >>> from circuitlab.arrangements import SetValue, arrangement
    >>> [finding.rule for finding in judge(arrangement("one-fused-lamp"), SetValue("F1", "rating", 2.0))
    ...  if not finding.is_kept]
    ['the fuse carries the load']
    """
    surveyed = survey(changed(arrangement, *choices))
    return findings(surveyed, guarding(surveyed), worst_loops(surveyed), limits, running(surveyed))


def findings(surveyed, guards, loops, limits, ran=None):
    """Return every finding on a surveyed arrangement, in the order of the rules; of what was run, what is broken only then."""
    found = [*_battery(surveyed.arrangement), *_volts(surveyed), *_rows(surveyed), *_fuse_there(surveyed, guards, limits), *_fuse_load(surveyed, limits),
             *_guarded(surveyed, guards, limits), *_flowing(surveyed, limits), *_loops(loops, surveyed, limits), *_coils(surveyed, limits)]
    if ran:
        kept = {(finding.rule, finding.part) for finding in found} - {(finding.rule, finding.part) for finding in found if not finding.is_kept}
        found += broken_while_running([*_volts(ran.survey), *_flowing(ran.survey, limits)], kept, ran, limits, judged)
    order = list(RULES)
    return tuple(dict.fromkeys(sorted(found, key=lambda finding: order.index(finding.rule))))      # what two studs of one bar say alike, once


def worst_loops(surveyed, how_bad=attrgetter("lost")):
    """Return for each load the loop in which most is lost, or that is worst otherwise, over all rows and phases.

    It is ``{load: Loop}``; one that is not fed from both poles in any row is left out.
    """
    loads = {part.name: part.first(Role.LOAD)[0] for part in surveyed.arrangement.with_role(Role.LOAD)}
    return _worst(surveyed.points, loads, how_bad)


def _worst(points, branches, how_bad):
    """Return the worst loop of each branch, of those as bad the first. branches: order of the branch by part."""
    worst = {}
    for point in points:
        ways = steps(point)
        for name, branch in branches.items():
            found = loop(point, name, branch, ways)
            if found and (name not in worst or how_bad(found) > how_bad(worst[name]) + 1e-9):
                worst[name] = found
    return {name: worst[name] for name in branches if name in worst}


def _battery(arrangement):
    """Say first when the battery is reversed: what else is found then is found on the side that is not the frame."""
    for words in frame_contradicted(arrangement)[:1]:
        says = f"it is reversed against its frame, which is to be {arrangement.frame}: {words.partition(': ')[2].partition('. ')[0]}"
        yield judged("the battery is the right way round", arrangement.battery.name, says, kept=False)


def _volts(surveyed):
    """Hold each lamp and coil that is fed to the volts it stands, where most flows through it."""
    for load in surveyed.loads:
        part, at = surveyed.arrangement.part(load.part), f"with {where(load.point)}"
        if load.amps <= FLOWS:
            continue
        if isinstance(part, Lamp) and load.branch == 0:
            told = part.overheated([load.point.current(part.name, order) for order in range(len(part.branches()))])
            volts = abs(load.point.lamp_volts(part.name))
            says = f"it{told[0].removeprefix(part.name)} ({at})" if told else f"it has {say(volts, 'V')} at most, {at}"
            yield judged("the lamp stands its volts", part.name, says, volts, OVERVOLTED * part.volts, "V", kept=not told)
        if isinstance(part, Relay) and load.role is Role.COIL and load.branch == 0:
            volts, most = load.amps * part.warm_resistance, COIL_STANDS * part.nominal
            says = f"its coil has {say(volts, 'V')} at most, {at}"
            if volts > most:
                says = (f"its coil has {say(volts, 'V')}, {volts / part.nominal:.1f} times the {part.nominal:g} V it is made for: it burns "
                        f"out within minutes ({at})")
            yield judged("the coil stands its volts", part.name, says, volts, most, "V")


def _rows(surveyed):
    bad, count = {}, count_rows(surveyed.arrangement)
    for point in surveyed.restless:
        rows = bad.setdefault(point.sentence, {})
        rows[row_where(point.positions, surveyed.arrangement)] = None
    for sentence, rows in bad.items():
        first = next(iter(rows))
        where = first if len(rows) == 1 else "every row" if len(rows) == count else f"{first} and {len(rows) - 1} more"
        yield judged("no row is restless or shorted", where, sentence, kept=False)
    if not bad:
        yield judged("no row is restless or shorted", "all rows", "every one has an answer", kept=True)


def _fuse_there(surveyed, guards, limits):
    for load in surveyed.arrangement.with_role(Role.LOAD, Role.COIL, Role.ELECTRONICS):
        bare = load.name in guards.unfused
        says = "no fuse lies between it and the battery" if bare else "it hangs on no unfused wire"
        yield judged("a fuse ahead of every load", load.name, says, kept=not bare)
    for wire, length in guards.bare.items():
        says = f"no fuse lies ahead of it, and it ends {length:.2f} m from the battery"
        yield judged("the fuse sits at the battery", wire, says, length, limits.bare_run, "m")


def _fuse_load(surveyed, limits):
    for fuse in (part for part in surveyed.arrangement.parts if part.guards):
        made = not isinstance(fuse, Fuse) or any(abs(fuse.rating - rating) < 1e-9
                                                     for rating in fuse_ratings(fuse.family))
        kind = f"{fuse.family} fuse" if isinstance(fuse, Fuse) else fuse.kind
        yield judged("the rating is one that is made", fuse.name,
                       f"{fuse.rating:g} A is {'a' if made else 'no'} {kind} that is made", kept=made)
        for load in surveyed.loads:
            if load.part != fuse.name:
                continue
            share = load.amps / fuse.rating
            says = f"{load.amps:.2f} A, {100 * share:.0f} % of its rating, flow with {where(load.point)}"
            yield judged("the fuse carries the load", fuse.name, says, load.amps, limits.load_share * fuse.rating,
                           "A")
            blown = surveyed.blown.get(fuse.name)
            row = row_where(load.peak_row, surveyed.arrangement)
            says = f"it takes {load.peak:.1f} A at the moment of switching to {row}"
            if blown:
                when = "in the end" if isinf(blown[0]) else f"after {blown[0]:.2f} s"
                says += f" and blows {when} with {row_where(blown[1], surveyed.arrangement)}"
            yield judged("the fuse lives through the inrush", fuse.name, says, load.peak, None, "A", kept=not blown)


def _guarded(surveyed, guards, limits):
    """One finding for each fuse: the wire behind it that may carry least for what can come through."""
    ratings = {part.name: part.rating for part in surveyed.arrangement.parts if part.guards}
    for fuse, rating in ratings.items():
        behind = []
        for name in (each for each in (*guards.wires[fuse], *guards.returns[fuse]) if not surveyed.arrangement.part(each).is_touch):
            feeders = guards.together.get(name, (fuse,))
            comes = sum(ratings[each] for each in feeders) if fuse in feeders else rating
            may = capacity(surveyed.arrangement.part(name).area, limits.table)
            behind.append((may.amps / comes, name, comes, may, feeders))
        if not behind:
            continue
        _, name, comes, may, feeders = min(behind, key=lambda each: each[0])
        through = " and ".join(feeders) if len(feeders) > 1 else "it"
        says = f"{through} can let {comes:g} A into {name} ({_copper(surveyed, name, may)})"
        yield judged("the fuse guards its thinnest wire", fuse, says, comes, may.amps, "A",
                       source=f"ABYC E-11, from memory; {may.source}")


def _flowing(surveyed, limits):
    """What each wire and branch carries and loses, in the row in which most flows through it."""
    for load in surveyed.loads:
        part, at = surveyed.arrangement.part(load.part), f"with {where(load.point)}"
        if load.amps <= FLOWS:
            continue
        if isinstance(part, Wire):
            yield from _wire(surveyed, part, load, at, limits)
            continue
        branch = part.branches()[load.branch]
        if load.role.passes and branch.device is None:
            yield from _passed(part, branch, load, at, limits)
        if isinstance(part, Relay) and load.role is Role.CONTACT:
            yield from _contact(surveyed, part, load, at)
        if isinstance(part, Connector) and branch.mated and part.rated(pin := part.numbers[load.branch]):
            yield judged("the pin carries the load", part.name, f"its pin {pin} carries {load.amps:.2f} A {at}", load.amps, part.rated(pin), "A")
        yield from _rated(part, load, at)


def _passed(part, branch, load, at, limits):
    """What is lost in a branch that only passes current; where the clips of a fuse are not sound, what is lost in them, and their heat."""
    kind, clips = kind_of_drop(part, branch), getattr(part, "clips", 0.0)
    if clips >= BAD_JOINT:
        watts = load.point.effective(part.name)**2 * clips
        heat = f", {say(watts, 'W')} of heat in one place," if watts >= WARM else ""
        yield judged("little is lost in a joint", part.name, f"{1000 * load.amps * clips:.0f} mV are lost in the clips of way {part.way} of {part.seat}{heat} {at}; "
                       "a new fuse does not help: mend or change the clips", load.amps * clips, limits.joint, "V")
        if heat:
            yield judged("nothing glows where two things meet", part.name, f"the clips of way {part.way} turn {say(watts, 'W')} into heat {at}", watts, TOUCH_BURNS, "W")
    lost = load.amps * (branch.resistance - clips * (clips >= BAD_JOINT))
    yield judged(f"little is lost in a {kind}", part.name, f"{1000 * lost:.0f} mV are lost in its {load.what} {at}", lost, getattr(limits, kind), "V")


def kind_of_drop(part, branch):
    """Return as what the volts lost in a branch that only passes current are limited: a word of a field of the limits. [text]"""
    if part.guards:
        return "fuse"
    if branch.mated or branch.role is Role.WAY:
        return "joint"
    return part.loses_as


def _wire(surveyed, wire, load, at, limits):
    amps, heating = load.amps, load.point.effective(wire.name) if wire.hot_spots else load.amps
    if wire.is_touch:
        ohms = wire.resistance
        yield judged("nothing leaks where two places touch", wire.spoken, f"{say(amps, 'A')} leak through "
                       f"{say(ohms, 'ohm')}, {say(amps**2 * ohms, 'W')} of heat, {at}", kept=False)
        yield judged("nothing glows where two things meet", wire.spoken, f"it turns {say(heating**2 * ohms, 'W')} into heat {at}",
                       heating**2 * ohms, TOUCH_BURNS, "W")
        return
    may = capacity(wire.area, limits.table)
    yield judged("the wire carries the load", wire.name, f"{amps:.2f} A flow {at} ({_copper(surveyed, wire.name, may)})",
                   amps, may.amps, "A", source=may.source)
    for end, joint in ((wire.start, wire.start_joint), (wire.end, wire.end_joint)):
        lost = amps * joint
        watts = heating**2 * joint
        heat = f", {say(watts, 'W')} of heat in one place," if watts >= WARM else ""
        yield judged("little is lost in a joint", wire.name, f"{1000 * lost:.0f} mV are lost in its joint at {end}{heat} {at}", lost,
                       limits.joint, "V")
        if heat:
            yield judged("nothing glows where two things meet", wire.name, f"its joint at {end} turns {say(watts, 'W')} into heat {at}", watts,
                           TOUCH_BURNS, "W")
    lost = amps * (wire.copper + sum(joint for joint in (wire.start_joint, wire.end_joint) if joint < BAD_JOINT))
    says = f"{1000 * lost:.0f} mV are lost in its {wire.length:g} m {at}"
    yield judged("little is lost in a wire", wire.name, says, lost, limits.wire, "V")


def _copper(surveyed, name, may):
    return f"{surveyed.arrangement.part(name).area:g} mm2; in the table '{may.table}' taken for {may.counts_as}"


def _loops(loops, surveyed, limits):
    """Judge each leg in the way there that comes nearest to its limit, and what the load keeps in the one in which most is lost."""
    nearest = worst_loops(surveyed, lambda found: max(lost / most for _, lost, _, most, _ in _legs(found, limits))) if loops else {}
    for load, worst in loops.items():
        at = f"with {where(nearest[load].point)}"
        for words, lost, what, most, contacts in _legs(nearest[load], limits):
            spare = f", {1000 * (most - lost):.1f} mV under its limit" if 0 <= most - lost < NO_MORE * most else ""
            says = f"{lost:.2f} V are lost on the way {words}{spare}, through {contacts} contact{'s' * (contacts != 1)}, {at}"
            yield judged("little is lost on the ground side" if what == "ground" else "little is lost on one leg", load, says, lost, most, "V")
        says = f"{worst.lost:.2f} V, {100 * worst.lost_share:.1f} % of the battery's, do not reach it with {where(worst.point)}"
        yield judged("the load keeps its volts", load, says, 100 * worst.lost_share, 100 * limits.lost_share, "%")


def limit_of_leg(arrangement, names, contacts, is_back, limits):
    """Return as what the volts of a leg over some parts and wires are limited, ``leg`` or ``ground``, and how many they may be. [text], [V]

    A converter counts as one contact more; over the frame, without a contact, it is the ground side.
    """
    parts = [arrangement.part(name) for name in names]
    grounded = is_back and not contacts and any(isinstance(part, Chassis) for part in parts)
    return "ground" if grounded else "leg", limits.of_leg(contacts + any(part.loses_as == "converter" for part in parts), grounded)


def _legs(found, limits):
    """Return for both legs of a loop where they lead, what is lost, as what it is limited, how much may be, and through how many contacts. [text], [V], [1]"""
    arrangement, told = found.point.arrangement, []
    live, other = ("plus", "minus") if arrangement.frame == "minus" else ("minus", "plus")
    for words, leg in ((f"from {live} to it", found.out), (f"from it to {other}", found.back)):
        contacts = sum(piece.is_contact for piece in leg)
        what, most = limit_of_leg(arrangement, [piece.part for piece in leg], contacts, leg is found.back, limits)
        told.append((words, sum(piece.volts for piece in leg), what, most, contacts))
    return told


def _contact(surveyed, relay, load, at):
    side = "87a" if relay.branches()[load.branch].end == "87a" else "87"
    says = f"its {load.what} carries {load.amps:.2f} A {at}"
    yield judged("the contact carries the load", relay.name, says, load.amps, CONTACT_CARRIES[side], "A")
    yield judged("the contact stands the inrush", relay.name, f"its {load.what} makes {load.peak:.1f} A with "
                   f"{row_where(load.peak_row, surveyed.arrangement)}", load.peak, CONTACT_MAKES[side], "A")
    yield judged("the contact is kept clean", relay.name, says, load.amps, CONTACT_NEEDS, "A")


def _rated(part, load, at):
    """What is bought by a rating of its own: diodes by amperes, resistors by watts, flashers by the watts of lamps."""
    if isinstance(part, Diode):
        yield judged("the diode carries the load", part.name, f"{load.amps:.2f} A flow through it {at}", load.amps,
                       part.rated_current, "A")
    if isinstance(part, DistributionBlock):
        bar, amps = part.over_bar(load.branch, [load.point.current(part.name, order) for order in range(len(part.branches()))])
        if load.amps > amps - FLOWS:      # all of it passes this stud
            yield judged("the bar carries the load", part.name, f"{amps:.2f} A flow over its {bar} {at}", amps, part.rated_amps, "A")
    ohms, most = 0.0, inf
    if isinstance(part, Resistor):
        ohms, most = part.resistance, part.rated_watts
    if isinstance(part, LedLamp) and load.branch:
        ohms, most = part.load_resistance, part.load_watts
    if not isinf(most):
        watts = load.amps**2 * ohms
        yield judged("the resistor stands its heat", part.name, f"it turns {watts:.1f} W into heat {at}", watts, most, "W")
    if isinstance(part, Flasher) and load.branch == part.first(Role.CONTACT)[0] and not isinf(part.most_load):
        watts = load.amps * part.volts
        yield judged("the flasher carries its lamps", part.name,
                       f"its lamps draw {load.amps:.2f} A, {watts:.0f} W at {part.volts:g} V, {at}", watts, part.most_load, "W")


def warmed(relay, temperature):
    """Return a relay with its coil at a temperature, and the volts it then pulls in at: its current stays. [C], [V]

    >>> warm, volts = warmed(Relay("K1", coil_resistance=90.0, pull_in_voltage=6.5), 85)
    >>> round(warm.warm_resistance, 1), round(volts, 2)
    (113.0, 8.16)
    """
    return replace(relay, coil_temperature=temperature), relay.pull_in_voltage * copper_factor(temperature)


def _coils(surveyed, limits):
    """Each coil, warm, in the row in which it gets least of those that feed it from both poles."""
    celsius = max(limits.coil_temperature, surveyed.arrangement.ambient)
    warm = {relay.name: warmed(relay, celsius) for relay in surveyed.arrangement.of_kind(Relay)}
    relays = [relay for relay, _ in warm.values()]
    points, _ = solved(surveyed.arrangement.with_parts(*relays)) if relays else ((), ())
    for name, found in _worst(points, {relay.name: relay.watched[0] for relay in relays}, lambda found: -found.load_volts).items():
        says = f"at {celsius:g} C its coil gets {found.load_volts:.2f} V with {where(found.point)}"
        yield judged("the coil pulls in when warm", name, says, found.load_volts, warm[name][1], "V")
