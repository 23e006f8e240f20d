"""What goes besides a fuse: until it has blown, the current of the fault passes other parts as well."""

from ..arrangements import Hold, changed
from ..parts import Part
from ..solving import operating_point


def endangered(point):
    """Return what the current that blew fuses at an operating point may have destroyed on its way. [text]

    It is that of the same circuit with those fuses whole. A wire and a contact stand it until the fuse has gone, if the
    fuse fits them; a diode does not.
    """
    arrangement = point.arrangement
    blown = [part for part in arrangement.parts if part.guards and part.latching and point.states[part.name] == part.states[-1]
             and part.name not in dict(arrangement.held)] if point.is_settled else []
    tender = [part for part in arrangement.parts if type(part).gone_at_once is not Part.gone_at_once]
    if not blown or not tender:
        return ()
    before = operating_point(changed(arrangement, *(Hold(part.name, part.states[0]) for part in blown)), point.positions, point.phases)
    if not before.is_settled:
        return ()
    names = " and ".join(part.name for part in blown)
    found = [words for part in tender for words in part.gone_at_once(
        [before.current(part.name, order) for order in range(len(part.branches()))])]
    return tuple(f"before {names} blew, {words}" for words in found)
