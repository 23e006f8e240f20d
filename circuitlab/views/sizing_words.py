"""A sizing in words and tables, as text and as HTML: what flows, what is lost, what guards what, what breaks a rule."""

from math import ceil

from ..ground.errors import listed
from ..ground.plain import counted
from ..ground.quantities import say
from ..parts import Fuse, Role
from ..reasoning.sizing import RULES, ampacity, row_where, where
from .caution_words import caution_lines
from .grid import Grid
from .style import named, safe

RUSH = ("Steady is the most that flows for long. Greatest is the rush at the moment of switching, as cold filaments take it: so many "
        "times the steady current, and above twice the steady one for so long.")


def sizing_text(sizing):
    """Return a sizing as plain text: cautions and broken rules first, then the tables they were found in.

    Parameters
    ----------
    sizing : Sizing

    Returns
    -------
    str
    """
    said = [sizing.arrangement.title, *caution_lines(sizing.arrangement), ""]
    for heading, sentences, heads, lines in _sections(sizing):
        said += [heading, "-" * len(heading), *sentences]
        if lines:
            said += Grid(heading, heads, lines).lines()
        said.append("")
    return "\n".join([*said, _model(sizing.arrangement)])


def sizing_html(sizing):
    """Return a sizing as HTML: a heading, sentences and a table for each question."""
    said = [f"<p>{safe(words)}</p>" for words in (sizing.arrangement.title, *caution_lines(sizing.arrangement))]
    for heading, sentences, heads, lines in _sections(sizing):
        said += [f"<h3>{safe(heading)}</h3>", *(f"<p>{safe(sentence)}</p>" for sentence in sentences)]
        if lines:
            said.append(Grid(heading, heads, lines).html())
    return "".join([*said, f"<p>{safe(_model(sizing.arrangement))}</p>"])


def _model(arrangement):
    """Say what all of it was worked out with, and what it leaves out. [text]"""
    own = [wire.name for wire in arrangement.wires if wire.temperature is not None]
    return (f"Copper at {arrangement.ambient:g} C{f', save {listed(own)} with a temperature given,' if own else ''} and parts as "
            "they are when healthy; volts lost are those at rest: bulbs lose some 8 % more with the engine running; "
            "a flashing lamp counts as if it were on for good; switches and flashers without a most load have "
            "no rating here, and nothing judges ground pins, nor connectors whose standard publishes no amps. "
            "Ampacity tables differ by a factor of two: the one used is named. On metal, measure.")


def _count(sizing):
    broken = len(sizing.broken)
    checks = f"{counted(len(sizing.findings), 'check')} made"
    if not broken and sizing.unguarded and not sizing.arrangement.cautions():
        return f"{checks}, every rule is kept. That does not lift the caution below."
    if not broken and sizing.arrangement.cautions():
        return f"{checks}, every rule is kept. That does not lift the cautions above."
    if not broken:
        return f"All is well: {checks}, every rule is kept."
    return f"{checks}, {broken} of them {'breaks its' if broken == 1 else 'break their'} rule:"


def _to_buy(arrangement):
    """Return a sentence for each rating of fuse and each size of wire: how many, how long, for what. [text]"""
    fuses, sizes = {}, {}
    for part in (part for part in arrangement.parts if part.guards):
        kind = f"{part.family} fuse" if isinstance(part, Fuse) else part.kind
        fuses.setdefault(f"{kind} of {say(part.rating, 'A')}", []).append(part.name)
    for wire in (wire for wire in arrangement.wires if not wire.is_touch):
        sizes.setdefault(wire.area, []).append(wire)
    return [*(f"{words}: {listed(names)}." for words, names in fuses.items()),
            *(f"wire of {area:g} mm2, {sum(wire.length for wire in wires):.3g} m in all: {listed([wire.name for wire in wires])}."
              for area, wires in sorted(sizes.items()))]


def _sections(sizing):
    """Yield (heading, sentences, heads, lines) of every section."""
    yield "Rules", [_count(sizing), *_unguarded(sizing)], ("rule", "part", "found", "limit", "source"), [
        (finding.rule, finding.part, _number(finding.value, finding.unit), _limit(finding), finding.source)
        for finding in sizing.broken]
    if not sizing.broken:
        yield "What to buy", _to_buy(sizing.arrangement), (), []
    if sizing.broken:
        yield "In words", [f"{finding.sentence}." for finding in sizing.broken], (), []
    if not sizing.survey.points:
        yield "What flows", ["Not known: no row comes to a result that could be sized. Mend that first."], (), []
        return
    wires = {wire.name for wire in sizing.arrangement.wires}
    if sizing.running and (sizing.running.fuses or sizing.running.lamp):
        yield _running(sizing)
    yield _flows(sizing, "What flows through fuses and contacts",
                 lambda load: load.role is Role.CONTACT)
    yield _flows(sizing, "What flows through coils and loads",
                 lambda load: load.role.takes)
    yield _flows(sizing, "What flows through wires", lambda load: load.part in wires)
    yield _wires(sizing)
    yield _lost(sizing)
    if sizing.loops:
        yield _pieces(sizing, max(sizing.loops, key=lambda lamp: round(sizing.loops[lamp].lost, 6)))
    yield _copper(sizing)
    yield _guards(sizing)
    yield "At rest", [_rest(sizing.drain)], (), []


def _unguarded(sizing):
    """Return a caution for each fuse that is larger than what pins of a connector behind it are made for. [text]"""
    return [f"Caution: {fuse} of {say(sizing.arrangement.part(fuse).rating, 'A')} does not guard pin{'s' * (len(pins) > 1)} {listed(pins)} of {name}, made for "
            f"{may:g} A: they may get too hot before it blows. Allowed ahead of them: {may:g} A at most, this fuse or one more in the wire to each pin."
            for fuse, name, pins, may in sizing.unguarded]


def _running(sizing):
    """Return the section on what differs with the engine running."""
    ran, rest = sizing.running, sum(sizing.arrangement.supplies)
    said = [f"A charging system holds up to {say(ran.volts, 'V')} (common practice), and more flows; what flashes counts by the heat it makes in the fuse."]
    if ran.lamp:
        lamp = sizing.arrangement.part(ran.lamp)
        said.append(f"{ran.lamp} gets most: {_volts(ran.lamp_volts)}, where it is tested with {lamp.volts:g} V: it lasts {ran.life:.2g} of the life told for that.")
    lines = [(name, say(rating, "A"), say(amps, "A"), say(heating, "A"), f"{100 * heating / rating:.0f} %") for name, rating, amps, heating in ran.fuses]
    return "With the engine running", said, ("fuse", "rating", f"most at {say(rest, 'V')}", f"heats at {say(ran.volts, 'V')}", "of its rating"), lines


def _number(value, unit):
    if value is None:
        return "-"
    return f"{value:.1f} %" if unit == "%" else _volts(value) if unit == "V" else say(value, unit)


def _volts(value):
    if value >= 0.9995:
        return f"{value:.2f} V"
    return f"{1000 * value:.1f} mV" if 5e-5 < value < 0.00995 else say(value, "V")


def _limit(finding):
    side = RULES[finding.rule].side
    return f"{side} {_number(finding.limit, finding.unit)}" if finding.limit is not None else "-"


def _spoken(sizing, name):
    """Return what a table calls a part or wire: two places that touch by both of them. [text]"""
    return getattr(sizing.arrangement.part(name), "spoken", name)


def _flows(sizing, heading, is_shown):
    loads = [load for load in sizing.survey.loads if is_shown(load) and load.peak > 0]
    lines = [(_spoken(sizing, load.part), load.what, say(load.amps, "A"), where(load.point) if load.amps else "never",
              say(load.peak, "A"), f"{load.times:.1f}" if load.amps else "-",
              f"{1000 * load.above:.0f} ms" if load.above else "-",
              row_where(load.peak_row, sizing.arrangement)) for load in loads]
    return (heading, [RUSH] if lines else ["Nothing."],
            ("part", "what", "steady", "with", "greatest", "times steady", "above twice for", "switching on to"), lines)


def _wires(sizing):
    carries = {finding.part: finding for finding in sizing.findings if finding.rule == "the wire carries the load"}
    fed_by = sizing.guarding.together
    lines = [(wire.name, f"{wire.area:g} mm2", f"{wire.length:g} m", _number(carries[wire.name].value, "A"),
              _number(carries[wire.name].limit, "A"), " and ".join(fed_by.get(wire.name, ())) or "-")
             for wire in sizing.arrangement.wires if wire.name in carries]
    return ("What each wire may carry", [f"By the table '{sizing.limits.table}' ({ampacity(sizing.limits.table)[1]})."],
            ("wire", "copper", "length", "carries", "may carry", "behind fuse"), lines)


def _lost(sizing):
    lines = [(named(sizing.arrangement.part(lamp)), _volts(found.battery_volts), _volts(found.load_volts),
              _volts(sum(piece.volts for piece in found.out)), _volts(sum(piece.volts for piece in found.back)),
              f"{100 * found.lost_share:.1f} %", where(found.point)) for lamp, found in sizing.loops.items()]
    unfed = [f"{lamp} is fed from both poles in no row." for lamp in sizing.unfed]
    worst = "Each in the row in which it loses most in all. One leg alone may lose some millivolts more in another row: it is judged there."
    return ("What is lost on the way, in the worst row", [worst, *unfed],
            ("load", "battery", "load gets", "lost out", "lost back", "in all", "with"), lines)


def _pieces(sizing, lamp):
    found = sizing.loops[lamp]
    lines = [(way, _spoken(sizing, piece.part), piece.what, say(piece.amps, "A"), _volts(piece.volts))
             for way, leg in (("out", found.out), ("back", found.back)) for piece in leg]
    return f"Piece by piece, where most is lost: {lamp}", [], ("leg", "part", "piece", "current", "lost"), lines


def _copper(sizing):
    lines = [(lamp, need.by, f"{ceil(100 * need.area) / 100:.2f} mm2", f"{need.circular_mils:.0f} cmil",
              *(f"{size.label} ({size.area:.3f} mm2)" if size else "none so thick" for size in (need.awg, need.sae)),
              need.metric.label if need.metric else "none so thick")
             for lamp, needs in sizing.needs.items() for need in needs]
    share = f"{100 * sizing.limits.lost_share:g} %"
    hopeless = [f"No copper keeps {lamp} within that: its joints, contacts, fuses and diodes lose as much alone."
                for lamp, needs in sizing.needs.items() if 0 < len(needs) < 2]
    return ("Copper, if the whole loop were of one size",
            [f"With the first two no more than {share} of the battery's volts is lost, with what joints, contacts, fuses and "
             "diodes lose. Sizes of different systems are never equal: each is the next larger of its own.", *hopeless],
            ("load", "by", "area", "circular mils", "AWG", "SAE", "metric"), lines)


def _guards(sizing):
    guards, touches = sizing.guarding, {wire.name for wire in sizing.arrangement.wires if wire.is_touch}

    def cut(names):
        return " ".join(name for name in names if name not in touches) or "-"

    lines = [(fuse, say(sizing.arrangement.part(fuse).rating, "A"), cut(wires), cut(guards.returns[fuse]))
             for fuse, wires in guards.wires.items()]
    bare = ", ".join(f"{wire} ({length:.2f} m)" for wire, length in guards.bare.items() if wire not in touches)
    return ("What each fuse guards", [f"No fuse ahead, and how far it reaches from the battery: {bare or 'no wire'}."],
            ("fuse", "rating", "wires behind it", "wires back from its loads"), lines)


def _rest(drain):
    if drain is None:
        return "With every control at rest the circuit finds no answer, so its drain cannot be told."
    if drain.days_to_half is None:
        return "With every control at rest nothing flows. (A battery also loses charge by itself.)"
    return (f"With every control at rest {say(drain.amps, 'A')} flow: {drain.per_day:.3g} Ah a day. A battery of "
            f"{drain.capacity:g} Ah is half empty after {drain.days_to_half:.3g} days. "
            "(It also loses charge by itself.)")
