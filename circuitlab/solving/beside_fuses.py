"""What goes besides a fuse: until it has blown, the current of the fault passes other parts as well."""

from ..arrangements import Hold, changed
from ..parts import Part


def endangered(*points):
    """Return what the current that blew fuses at operating points may have destroyed on its way, each part once. [text]

    It is that of the same circuit with those fuses whole, at the point where it is greatest. A wire and a contact stand it
    until the fuse has gone, if the fuse fits them; a diode does not.
    """
    greatest = {}
    for point in points:
        for blown, part, currents in _on_the_way(point):
            before = greatest.get((blown, part), currents)
            greatest[blown, part] = [max(pair, key=abs) for pair in zip(before, currents)]
    return tuple(f"before {blown} blew, {words}" for (blown, part), currents in greatest.items()
                 for words in part.gone_at_once(currents))


def _on_the_way(point):
    """Yield the fuses that blew, each part that may not outlast them, and its currents while they were whole. [text], -, [A]"""
    arrangement = point.arrangement
    blown = [part for part in arrangement.parts if part.guards and part.latching and point.states[part.name] == part.states[-1]
             and part.name not in dict(arrangement.held)] if point.ask and point.is_settled else []
    tender = [part for part in arrangement.parts if type(part).gone_at_once is not Part.gone_at_once]
    if not blown or not tender:
        return
    before = point.ask(changed(arrangement, *(Hold(part.name, part.states[0]) for part in blown)), point.positions, point.phases)
    if not before.is_settled:
        return
    names = " and ".join(part.name for part in blown)
    for part in tender:
        yield names, part, [before.current(part.name, order) for order in range(len(part.branches()))]
