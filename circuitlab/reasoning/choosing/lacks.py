"""What an arrangement cannot do, found in its rows: signals that hide each other, what hangs on the key, what is not there."""

from ...ground.errors import listed
from ...parts import Lamp, LedLamp
from ..trials import keys

MORE_LAMPS = {"a rear fog lamp on the trailer": {"fog"}, "a lamp for the trailer's plate": {"plate", "licence", "license", "registration"}}   # by words of a place
UNTOLD = "tell of a blown turn lamp: the others and the flasher go on as before"


def lacks(found, table=None, plug=""):
    """Return what an arrangement cannot do, in words that follow *it cannot*, the gravest first. [text]

    Parameters
    ----------
    found : Traits
        Of one that signals stop and turn.
    table : FaultTable, optional
        Its faults; without them nothing is said of blown lamps.
    plug : str
        The kind of plug that is asked for: then what a trailer on the road has besides is looked for. [text]
    """
    said = [*_out_of_phase(found), *_hidden_by_turn(found), *_hidden_by_hazard(found), *_without_key(found)]
    said += [*_law(found), *(_road_trailer(found) if plug and found.towed else ())]
    said += ["signal hazard"] if not found.hazards else []
    said += ["light tail lamps"] if not found.tails else []
    said += ["signal on a trailer"] if found.trailer == "no" else []
    said += [UNTOLD] if table and not _tells(found, table) else []
    return tuple(said)


def law_minds(found):
    """Return what local code may mind of an arrangement that signals stop and turn, in short; nothing of any other. [text]

    The findings of :func:`lacks`, without rows and lamps, and a tell-tale that the turn signals of the vehicle itself lack: for a page that has
    little room. Whether a code asks for any of it is for the local code to say.
    """
    if not (found.sides and found.stops):
        return ()
    said = ["turn lamps of one side flash against each other"] if found.opposed else []
    said += ["red rear turn signals"] if _red_rear(found) else []
    said += ["no turn lamps in front"] if not _turns_ahead(found) else []
    said += ["no tail lamps"] if not found.tails else []
    said += ["LED lamps in place of bulbs"] if any(isinstance(lamp, LedLamp) for lamp in _signalling(found)) else []
    if found.towed:
        missing = _not_on_trailer(found)
        said += [f"without {' and '.join(missing)}"] if missing else []
    untold = ["turn signals"] * (not _turn_told(found)) + ["hazard"] * bool(found.hazards and not _tell_tale(found))
    said += [f"no tell-tale for {' and '.join(untold)}"] if untold else []
    if found.towed:
        said += [] if found.hazards else ["no hazard signal"]
        said += ["one tail lamp alone"] if len(found.tails - found.towed) == 1 else []
    return tuple(said)


def place_words(found, lamps):
    """Return lamps by name and place, in the arrangement's order. [text]"""
    return listed(f"{lamp.name} {lamp.place}".strip() for lamp in found.arrangement.of_kind(Lamp) if lamp.name in lamps)


def _out_of_phase(found):
    if found.opposed:
        positions, one, other = found.opposed
        rest = found.arrangement.positions()
        with_ = listed(f"{name} {position}" for name, position in positions.items() if position != rest[name])
        yield (f"flash all turn lamps of one side in phase, as UN R48 6.5 (direction indicators) asks (from memory): with {with_}, {place_words(found, {one})} is dark "
               f"while {place_words(found, {other})} is lit")


def _law(found):
    """What is asked of lamps where it goes on the road; from memory, so the words say so."""
    red = _red_rear(found)
    if red:
        yield (f"go on the road everywhere: red rear turn signals ({place_words(found, red)}) are allowed in the US (FMVSS 108), not under UN "
               "R48, which wants amber (from memory; local code decides)")
    if not _turns_ahead(found):
        yield "signal a turn ahead: no turn lamp is in front, and UN R48 6.5 and FMVSS 108 ask for some (from memory; local code decides)"
    if found.hazards and not _tell_tale(found):
        yield "tell the driver that hazard is on: no tell-tale lamp flashes with it, and UN R48 6.6 and FMVSS 108 ask for one (from memory)"
    if any(isinstance(lamp, LedLamp) for lamp in _signalling(found)):
        yield "show that its LED lamps in place of bulbs may go on the road: ask for the approval of the whole lamp"


def _signalling(found):
    return [lamp for lamp in found.arrangement.of_kind(Lamp) if lamp.name in found.stop | found.turn]


def _red_rear(found):
    """Turn lamps that show red, those in front aside. [text]"""
    return {lamp.name for lamp in _signalling(found) if lamp.name in found.turn and lamp.light == "red" and "front" not in lamp.place}


def _not_on_trailer(found):
    """Which lamps that a trailer on the road has are not among its own. [text]"""
    places = [lamp.place.lower().split() for lamp in found.arrangement.of_kind(Lamp) if lamp.name in found.towed]
    return [words for words, meant in MORE_LAMPS.items() if not any(meant & {*place} for place in places)]


def _turns_ahead(found):
    """Whether a lamp in front signals a turn. [yes/no]"""
    return any("front" in lamp.place.lower() for lamp in found.arrangement.of_kind(Lamp) if lamp.name in found.turn)


def _turn_told(found):
    """Whether a lamp on the dash flashes with a side selected. [yes/no]"""
    return any(_on_dash(found, found.sides[1] | {found.sides[0]: position}) for position in found.sides[2])


def _road_trailer(found):
    """What a trailer on the road has besides; from memory, so the words say so."""
    missing = _not_on_trailer(found)
    if missing:
        yield f"light {' and '.join(missing)}: none is there, and which a trailer on the road must have is for the local code"
    if not _turn_told(found):
        yield ("tell the driver that the trailer's turn signals work: no tell-tale lamp flashes with them, and UN R48 6.5.8 asks for one where no other shows that "
               "one has failed (from memory)")


def _tell_tale(found):
    """Whether a lamp on the dash flashes with hazard. [yes/no]"""
    name, position, base = found.hazards
    return _on_dash(found, base | {name: position})


def _on_dash(found, positions):
    """Whether a lamp on the dash flashes in a row. [yes/no]"""
    flashing = found.showing("flashing", positions)
    return any("dash" in lamp.place for lamp in found.arrangement.of_kind(Lamp) if lamp.name in flashing)


def _hidden_by_turn(found):
    """Stop lamps that no longer burn steadily while a side is selected, and whether any are left on that side."""
    turn, base, sides = found.sides
    pedal, _, held = found.stops
    hidden, left = frozenset(), frozenset(found.stop)
    for position in sides:
        seen = found.showing("steady", base | {pedal: held, turn: position})
        hidden |= found.stop - seen
        left &= seen
    if not hidden:
        return
    rest = f", while {place_words(found, left)} {'still shows' if len(left) == 1 else 'still show'} stop" if left else ""
    yield (f"show stop in the lamp that signals a turn: while a side is selected, its lamp ({place_words(found, hidden)}) "
           f"flashes, pedal held or not{rest}")


def _hidden_by_hazard(found):
    if not found.hazards:
        return
    name, position, base = found.hazards
    pedal, _, held = found.stops
    seen = found.showing("steady", base | {name: position, pedal: held}) & found.stop
    if not seen:
        yield f"show stop in any lamp while {name} is {position}"


def _without_key(found):
    """What does not work while the key, or whatever else must be on first, rests."""
    first = {"stop": found.stops[1], "hazard": found.hazards[2] if found.hazards else {}}
    rest = found.arrangement.positions()
    for signal, base in first.items():
        moved = [f"{name} {rest[name]}" for name in keys(found.arrangement) if base and base[name] != rest[name]]
        if moved:
            yield f"show {signal} with {listed(moved)}"


def _tells(found, table):
    """Whether a blown turn lamp shows in anything but itself, in some row. [yes/no]"""
    for line in table.lines:
        if line.fault.kind == "blown lamp" and line.fault.place in found.turn:
            own = (f"{line.fault.place} ", "nobody")
            if any(not words.startswith(own) for effect in line.effects for words in effect.seen):
                return True
    return False
