"""What is said of parts that keep undoing their own moves: which, and how often."""

from ..ground.errors import listed


def buzz_words(events, parts):
    """Return who buzzes at what frequency.

    Parameters
    ----------
    events : list of Event
        Everything since the first move that nothing outside had caused.
    parts : container of str
        Names of the parts; other events are those of controls. [text]

    Returns
    -------
    str
    """
    busy = events[len(events) // 2:]   # the later half, when what merely followed has come to rest
    names = sorted({event.name for event in busy if event.name in parts})
    name = max(names, key=lambda each: sum(event.name == each for event in busy))
    landed = [event.time for event in busy if event.name == name and event.state == busy[-1].state]
    periods = [b - a for a, b in zip(landed, landed[1:])]
    frequency = len(periods) / sum(periods) if periods and sum(periods) else 0.0
    return f"{listed(names)} buzz{'es' if len(names) == 1 else ''} at about {frequency:.0f} Hz"
