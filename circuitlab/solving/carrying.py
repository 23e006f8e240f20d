"""Carrying on in a changed circuit: what each part was doing goes over to the part of the same name.

Over go the states, what is on its way and since when, the warmth of fuses, breakers and flashers, and the temperature
of every filament. A part that was not there before starts at rest and cold; a control that is gone from where it stood
is at rest. Another fuse under the name of a blown one is a whole one.
"""

from math import log

from .network import network


def carried(engine, arrangement, positions, new=()):
    """Return an engine in a changed arrangement, at the same moment, nothing reacted yet.

    Parameters
    ----------
    engine : Engine
        Where it stands; it is left as it is.
    arrangement : Arrangement
    positions : dict of str to str
        Where every control stands there. [text]
    new : iterable of str
        Parts put in new under an old name. [text]

    Returns
    -------
    Engine
        Without samples and events.
    """
    old, net, other = engine.net, network(arrangement), engine.copy((), ())
    kept = {index: old.place[part.name] for index, part in enumerate(net.parts)
            if part.name not in new and _goes_on(old, part)}
    other.net, other.contacts_of = net, {}
    other.undone.forget()
    other.states, other.aims = net.first_states(positions), net.first_states(positions)
    for index, before in kept.items():
        part = net.parts[index]
        state, was_held = engine.states[before], before in old.held
        if index in net.held or hasattr(part, "control") or was_held and (part.swings or state in part.under_way):
            continue        # what was held and can only be amid something begins anew
        other.states[index], other.aims[index] = state, state if was_held else engine.aims[before]
    loose = {index: before for index, before in kept.items() if index not in net.held and before not in old.held}
    other.pending = {index: engine.pending[before] for index, before in loose.items() if before in engine.pending}
    other.since = {index: engine.since[before] for index, before in kept.items() if before in engine.since}
    other.limits = {index: part.heat_turn(other.states[index]) for index, part, _ in net.heating}
    other.heat = {index: _warmth(engine, kept.get(index), part, other.limits[index]) for index, part, _ in net.heating}
    other.x = _filaments(engine, net, {net.parts[index].name for index in kept})
    return other


def positions_in(arrangement, positions):
    """Return where the controls of a changed arrangement stand: as before where there is such a position, else at rest. [text]"""
    return arrangement.positions({control.name: positions[control.name] for control in arrangement.controls
                                  if positions.get(control.name) in control.positions})


def _goes_on(old, part):
    """Tell whether a part is the one of that name before; a fuse of another rating is another fuse."""
    before = old.parts[old.place[part.name]] if part.name in old.place else None
    return type(before) is type(part) and (not part.latching or before == part)


def _warmth(engine, before, part, limits):
    """Return how warm a part's stores are, from those of the same name; of one that is new, as cool as it may be. [1]"""
    heat = engine.heat.get(before, ())
    coolest = max(0.0, limits[0]) if limits else 0.0
    return heat if len(heat) == len(part.stores) else tuple(share * coolest for share, _ in part.stores)


def _filaments(engine, net, kept):
    """Return ln(T / cold) of every filament, as warm as the one of the same part was, else cold."""
    warmer = log(engine.net.cold / net.cold)
    x = {name: engine.x[order] + warmer for name, order in _filament_order(engine.net).items()}
    order = _filament_order(net)
    return tuple(x.get(name, 0.0) if name[0] in kept else 0.0 for name in sorted(order, key=order.get))


def _filament_order(net):
    """Return for every filament's part and branch where it stands among the filaments. [1]"""
    return {name: net._device_order[number] for name, number in net.branch_of.items()
            if net._device_order.get(number, len(net.filaments)) < len(net.filaments)}
