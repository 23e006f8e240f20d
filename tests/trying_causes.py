"""Whether a cause is one: the circuit is changed at the place that was named, contacts held as they stood, and solved anew.

A jumper is a wire put in; a wire is opened by taking it out, a contact by lifting a terminal of its part that nothing else
of it needs. Nothing here asks the room that found the cause.
"""

from circuitlab.arrangements import AddWire, Hold, Lift, RemoveWire, changed
from circuitlab.arrangements.reachable import is_joined
from circuitlab.parts import Battery, Wire
from circuitlab.solving import operating_point

LIVE = 1.0      # V


def held(point):
    """The circuit of a point with everything that can change its state held as it stands there."""
    names = dict(point.arrangement.held)
    return changed(point.arrangement, *(Hold(part.name, point.states[part.name]) for part in point.arrangement.parts
                                        if part.name not in names and (len(set(part.states)) > 1 or hasattr(part, "control"))))


def tried(point, reason, name):
    """Return the point with the named places bridged or opened, or None where no change opens one of them alone."""
    circuit = held(point)
    if reason.does == "bridged brings current":     # of a flasher, which rests without
        circuit = changed(circuit, *(Hold(part.name, part.on_state) for part in [circuit.part(name)] if part.swings))
    for number, place in enumerate(reason.places):
        one, other = place.terminals
        if reason.does.startswith("bridged"):
            circuit = changed(circuit, AddWire(Wire(f"jumper {number}", one, other, length=0.001, start_joint=0.005, end_joint=0.005)))
        elif place.part.name in {wire.name for wire in circuit.wires}:
            circuit = changed(circuit, RemoveWire(place.part.name))
        else:
            end = next((end for end in (one, other) if end not in reason.ends and end in circuit.terminals
                        and circuit.wires_at[end] and only_branch(place, end, point)), None)
            if end is None:
                return None
            circuit = changed(circuit, Lift(end))
    return operating_point(circuit, point.positions, point.phases)


def only_branch(place, end, point):
    """Whether no other branch of the part, or of what sits in it or beside it, that conducts ends at a terminal."""
    holder = point.arrangement.part(place.part.seat or place.part.name)
    parts = (holder, *holder.seats)
    return sum(end in (part.at(branch.start), part.at(branch.end)) and branch.conducts(point.states[part.name])
               for part in parts for branch in part.branches()) == 1 and not place.part.merged


def volts(point, ends):
    """Between two terminals; none where one floats. [V]"""
    return abs(point.across(*ends) or 0.0)


def holds(point, reason, after, name):
    """Whether a cause did what is said of it."""
    end, zero = reason.ends[0], point.arrangement.zero      # a wire opened may leave other volts to be counted from
    ends = (*reason.ends, zero)[:2]
    had, has = volts(point, ends), volts(after, ends)
    if reason.does == "opened parts it":
        return not is_joined(after.arrangement, end, zero, after.states)
    if reason.does == "bridged brings current":
        orders = [order for order, branch in enumerate(after.arrangement.part(name).branches()) if branch.role == "contact"]
        return max(abs(after.current(name, order)) for order in orders) > 1e-3
    if reason.does == "bridged shorts":
        return after.verdict == "shorted" or max(abs(after.current(part.name)) for part in after.arrangement.of_kind(Battery)) > 40
    return {"bridged brings volts": has >= LIVE and has > had, "bridged takes volts": has < LIVE <= had,
            "bridged makes it live": point.liveness(end) != "live" and after.liveness(end) == "live",
            "opened takes volts": has < min(LIVE, had / 2), "opened brings volts": has >= LIVE > had}[reason.does]
