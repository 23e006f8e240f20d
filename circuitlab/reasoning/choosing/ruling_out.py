"""Which wishes rule an arrangement out, and what would have to be wished instead."""

from dataclasses import dataclass

from ...arrangements.wishes import WISHES
from ...ground.plain import counted


@dataclass(frozen=True)
class Miss:
    """What one wish rules an arrangement out for.

    Attributes
    ----------
    wish : str
        Its name. [text]
    why : str
        What the arrangement has or needs instead, in words. [text]
    instead : str
        The value with which the wish would no longer rule it out; empty where none would. [text]
    is_caution : bool
        Whether the wish is met, and a caution alone speaks against it. [yes/no]
    """

    wish: str
    why: str
    instead: str
    is_caution: bool = False


def misses(found, wished):
    """Return what rules an arrangement out, a miss for each wish.

    Parameters
    ----------
    found : Traits
    wished : dict of str to str
        As :func:`~circuitlab.arrangements.wishes.read_wishes` returns it. [text]
    """
    checks = {"changeover_relays": _changeover, "make_relays": _make, "poles": _poles, "frame": _frame}
    said = [checks.get(name, _other)(found, name, wished) for name in wished]
    return tuple(filter(None, [_signals(found), *said]))


def _signals(found):
    """Every circuit asked for signals stop and turn."""
    return None if found.stop and found.turn else Miss("signals", "it does not signal stop and turn", "")


WORDS = {
    "filaments": {"shared": "stop and turn share a lamp", "separate": "stop and turn have lamps of their own"},
    "lamps": {"bulbs": "the vehicle signals with bulbs", "LED": "the vehicle signals with LED lamps", None: "the vehicle signals with both, bulbs and LED lamps"},
    "trailer_lamps": {"bulbs": "the trailer signals with bulbs", "LED": "the trailer signals with LED lamps",
                      None: "it has no trailer that signals with lamps of one kind"},
    "hazard": {"yes": "it has a hazard signal", "no": "it has no hazard signal"},
    "trailer": {"yes": "it has lamps of a trailer", "no": "it has no lamps of a trailer"},
    "plug": {plug: f"it has {words}" for plug, words in WISHES["plug"].choices.items()} | {None: "it has plugs of several kinds"},
}


def _other(found, name, wished):
    """What must be as it is wished; of one that does not signal, that alone is told."""
    value = getattr(found, name)
    if value == wished[name] or not (found.stop and found.turn):
        return None
    if name == "flasher":
        return Miss(name, f"its flasher is {value}" if value else "it has no flasher of one type", value or "")
    return Miss(name, WORDS[name][value], value or "")


def _changeover(found, name, wished):
    needs, there = found.changeover_relays, int(wished[name])
    return Miss(name, f"it needs {counted(needs, 'changeover relay')}, {_lie(there)}", str(needs)) if needs > there else None


def _make(found, name, wished):
    """Changeover relays that are left over serve as well."""
    spare, needs = max(0, int(wished["changeover_relays"]) - found.changeover_relays), found.make_relays
    there = int(wished[name]) + spare
    if needs <= there:
        return None
    beside = f" beside {counted(found.changeover_relays, 'changeover relay')}" if found.changeover_relays else ""
    return Miss(name, f"it needs {counted(needs, 'make relay')}{beside}, {_lie(there)}", str(needs - spare))


def _lie(there):
    return f"{there or 'none'} {'lies' if there < 2 else 'lie'} on the shelf"


def _poles(found, name, wished):
    there = int(wished[name])
    if found.poles <= there:
        return None
    which = [switch for switch, poles in found.switch_poles.items() if poles > there]
    control = ", ".join(dict.fromkeys(found.arrangement.part(switch).control for switch in which))
    return Miss(name, f"it needs a switch of {counted(found.poles, 'pole')} ({control})", str(found.poles))


def _frame(found, name, wished):
    """A circuit with no part on the frame fits either pole there, unless its fuses then lie in the frame's leads."""
    if found.frame is None and found.cautions:
        pole, live = found.arrangement.frame, found.arrangement.live_pole
        return Miss(name, f"nothing of it is on the frame, but with {pole} there {live} is the live side, and its fuses lie in {pole} leads. "
                    f"So {' '.join(found.cautions)} Its fuses and switches would have to move to the {live} leads", live, is_caution=True)
    return Miss(name, f"it has {found.frame} on the frame", found.frame) if found.frame not in (None, wished[name]) else None
