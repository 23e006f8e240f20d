"""A caution on what wants a fused battery wire of its own, as a powered converter does: where its supply comes from instead."""

from ..ground.errors import listed
from .nets import metals_as_built


def own_feed_words(arrangement):
    """Say of every supply that should have a fuse of its own what it hangs on instead; nothing of one without a wire. [text]"""
    asking = [part for part in arrangement.listed if part.own_feed and arrangement.wires_at[f"{part.name}:{part.own_feed}"]]
    metals = metals_as_built(arrangement) if asking else {}
    for part in asking:
        feed = f"{part.name}:{part.own_feed}"
        there = {name for name, metal in metals.items() if metal == metals[feed] and name != feed}
        guards = [each for each in arrangement.parts if each.guards and there & {*each.ends}]
        holding = {part.name, *(each.seat or each.name for each in guards)}
        owners = sorted({name.partition(":")[0] for name in there} - holding)
        others = [name for name in owners if not arrangement.part(name).is_metal]
        advice = f"Wire {feed} straight to a fuse of its own at the battery: an overload on the trailer must not darken the vehicle's own lamps"
        if not guards:
            yield f"{part.kind} '{part.name}' has no fuse of its own: {feed} hangs on {listed(others) or 'nothing'} by wires alone. {advice}."
        elif others:
            yield f"the fuse of {part.kind} '{part.name}', {guards[0].name}, feeds {listed(others)} too. {advice}."
