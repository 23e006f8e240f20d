"""What is said of parts that keep undoing their own moves: which, how often, and what that is called.

Below :data:`SLOW` turns in a second the eye follows each of them, and a customer
says that it flickers: that is *chatter*. Faster it is *buzzing*, which is heard.
"""

from statistics import median

from ..ground.errors import listed

SLOW = 20.0                             # Hz, of chatter at most: about the lowest tone that is heard, from memory
NO_REST = ("buzzing", "chatter")        # the verdicts on what finds no rest
_DOES = {"buzzing": ("buzz", "buzzes"), "chatter": ("chatter", "chatters")}


def who_and_rate(events, parts):
    """Return who keeps moving, and how often each does the same again. [text], [Hz]

    Parameters
    ----------
    events : list of Event
        Everything since the first move that nothing outside had caused.
    parts : container of str
        Names of the parts; other events are those of controls. [text]
    """
    middle = (events[0].time + events[-1].time) / 2      # by time, as what has come to rest moved oftener than what goes on
    busy = [event for event in events if event.time >= middle and event.name in parts]
    names = sorted({event.name for event in busy})
    name = max(names, key=lambda each: sum(event.name == each for event in busy))
    own = [event for event in busy if event.name == name]
    rarest = min({event.state for event in own}, key=lambda state: sum(event.state == state for event in own))
    landed = [event.time for event in own if event.state == rarest]    # not a gap, which each turn passes twice
    seconds = median(later - sooner for sooner, later in zip(landed, landed[1:])) if len(landed) > 1 else 0.0   # pauses apart
    return names, 1 / seconds if seconds else 0.0


def leading(parts):
    """Return, of parts that find no rest, those that lead: a flasher that starts and gives up in step only follows others."""
    parts = list(parts)
    return [part for part in parts if not part.swings] or parts


def found_out(events, moved):
    """Return ``(verdict, sentence, movers)`` of parts that moved too often, from everything since the first of those moves."""
    late = events[-1].time - (events[-1].time - events[0].time) / 4
    lately = {event.name for event in events if event.time >= late}        # what merely moved at first is at rest by now
    again = {name for name in lately if who_and_rate(events, (name,))[1]}  # and what moved once in a while only follows
    lately = again or lately
    parts = {part.name: part for part in leading(part for part in moved if part.name in lately)}
    names, rate = who_and_rate(events, parts)
    return verdict_at(rate), buzz_words([parts[name] for name in names], rate), tuple(names)


def verdict_at(rate):
    """Return what restlessness of a rate is called. [Hz], [text]"""
    return "chatter" if rate < SLOW else "buzzing"


def buzz_words(parts, rate):
    """Return which parts buzz or chatter, and how fast; of flashers alone what :func:`starved_words` says. [Hz], [text]"""
    does = _DOES[verdict_at(rate)][len(parts) == 1]
    return starved_words(parts) or _follower_words(parts) or f"{_names(parts)} {does} at about {rate:.{0 if rate >= 10 else 1}f} Hz"


def restless_words(parts, verdict):
    """Say that parts buzz or chatter, where no time course told how fast. [text]"""
    return starved_words(parts) or _follower_words(parts) or f"{_names(parts)} {_DOES[verdict][len(parts) == 1]}: each move undoes itself"


def starved_words(parts):
    """Say why flashers that move with nothing else find no rest, nothing of others: one sentence, however that was found out. [text]

    >>> from circuitlab.parts import Flasher, Relay
    >>> starved_words([Flasher("K9")]), starved_words([Flasher("K9"), Relay("K1")])
    ('K9 cannot stay on: its supply breaks down each time its output comes on', '')
    """
    if not all(part.swings for part in parts):
        return ""
    its = "its" if len(parts) == 1 else "their"
    return f"{_names(parts)} cannot stay on: {its} supply breaks down each time {its} output comes on"


def _follower_words(parts):
    """Say of electronics that follow signals, and of nothing else, that they go on and off: their maker alone knows how fast. [text]"""
    if not all(part.signals for part in parts):
        return ""
    goes, is_its = ("goes", "its") if len(parts) == 1 else ("go", "their")
    return f"{_names(parts)} {goes} on and off again and again, as {is_its} volts come and go: how fast hangs on the maker"


def _names(parts):
    return listed(part.name for part in parts)
