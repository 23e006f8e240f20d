"""A caution on what wants a fused battery wire of its own, as a powered converter does: where its supply comes from instead."""

from ..ground.errors import listed
from ..ground.joined import walked, way_to
from ..parts import Switch
from .nets import metals_as_built

APART = 2.0     # times the rating of a fuse behind it, from which one ahead stands while that one blows: common practice for fuses of one kind


def own_feed_words(arrangement):
    """Say of every supply that should have a fuse of its own what it hangs on instead. [text]

    Its guard is a fuse between the battery and it; a fuse behind it, which takes its volts from there, is none. Nothing is said of one without a
    wire, of one on the battery's own metal or of one on a spare way: other cautions say that.
    """
    asking = [part for part in arrangement.listed if part.own_feed and arrangement.wires_at[f"{part.name}:{part.own_feed}"]]
    metals = metals_as_built(arrangement) if asking else {}
    live = {metals[pole] for pole in arrangement.sides[0]} if asking else set()
    for part in asking:
        feed = f"{part.name}:{part.own_feed}"
        there = {name for name, metal in metals.items() if metal == metals[feed] and name != feed}
        if metals[feed] not in live and not _is_spare(arrangement, there):
            words = _words(arrangement, part, feed, there, metals, live)
            advice = f"Wire {feed} straight to a fuse of its own at the battery: an overload on the trailer must not darken the vehicle's own lamps"
            yield from [f"{words}. {advice}."] if words else []


def _words(arrangement, part, feed, there, metals, live):
    """Return what a supply hangs on besides a fuse of its own on the battery's metal, else nothing. [text]"""
    ahead = walked(sorted(live), _joins(arrangement, metals, {metals[feed]}))
    guards = {each: far for each in arrangement.parts if each.guards and there & {*each.ends}
              for far in [metals[end] for end in each.ends if end not in there][:1] if far in ahead}
    holding = {part.name, *(each.seat or each.name for each in guards)}
    others = [name for name in sorted({name.partition(":")[0] for name in there} - holding) if not arrangement.part(name).is_metal]
    if not guards:
        if any(each.guards and there & {*each.ends} for each in arrangement.parts) and metals[feed] not in walked(sorted(live), _joins(arrangement, metals)):
            return ""      # nothing feeds its fuse at all, which is told of what lacks the wire
        return f"{part.kind} '{part.name}' has no fuse of its own: {feed} hangs on {listed(others) or 'nothing'} by wires alone"
    guard, far = min(guards.items(), key=lambda item: ahead[item[1]][0])
    if others:
        return f"the fuse of {part.kind} '{part.name}', {guard.name}, feeds {listed(others)} too"
    over = [arrangement.part(name) for name in way_to(far, ahead)]
    cutting = [each for each in over if not each.guards]
    if cutting:
        return f"{feed} gets its volts over {cutting[-1].name}: {_while_off(arrangement, cutting[-1])} nothing comes out on the trailer"
    shared = [each for each in over if each.rating < APART * guard.rating]
    return _shared(arrangement, feed, shared[-1], guard, metals) if shared else ""


def _is_spare(arrangement, names):
    """Tell whether a terminal of a fuse block among these is a way without a fuse. [yes/no]"""
    return any(way in getattr(arrangement.part(name), "spares", ()) for name, _, way in (each.partition(":") for each in names))


def _joins(arrangement, metals, without=frozenset()):
    """Return where each metal leads over fuses and contacts, as ``walked`` asks; some metals are left out, and no state of a part counts."""
    near = {}
    for part in arrangement.parts:
        for branch in (each for each in part.branches() if each.role.passes):
            one, other = (metals.get(part.at(end)) for end in (branch.start, branch.end))
            if one != other and not {one, other} & {None, *without}:
                near.setdefault(one, []).append((1, other, part.name))
                near.setdefault(other, []).append((1, one, part.name))
    return near


def _while_off(arrangement, part):
    """Return in which positions what is not a fuse lets nothing through. [text]"""
    if not isinstance(part, Switch):
        return "while it passes nothing"
    off = [position for position in arrangement.control(part.control).positions if not dict(part.closes).get(position)]
    return f"with the {part.control} {' or '.join(off)}" if off else "between two of its positions"


def _shared(arrangement, feed, fuse, guard, metals):
    """Return which lamps hang on another fuse that a supply's own one hangs behind. [text]"""
    inlet, outlet = fuse.ends
    behind = walked([metals[outlet]], _joins(arrangement, metals, {metals[end] for end in (inlet, *guard.ends)} - {metals[outlet]}))
    hanging = [lamp for lamp in arrangement.parts if lamp.shines and any(metals.get(end) in behind for end in lamp.ends)]
    beside = sorted({name.partition(":")[0] for name, metal in metals.items() if metal == metals[outlet]} - {fuse.name, fuse.seat, guard.name, guard.seat})
    what = listed([f"{lamp.name} ({lamp.place})" if lamp.place else lamp.name for lamp in hanging])
    what = what or listed([name for name in beside if not arrangement.part(name).is_metal])
    return f"{feed} gets its volts over {fuse.name} too: that fuse takes {what or 'what hangs on it'} with it when the trailer overloads it"
