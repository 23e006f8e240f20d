"""What a cause of volts lost turns into heat, and what comes before a hand or a lead goes there."""

HOT = ("Caution: {places} it gets so hot that it glows and may set fire. Switch off, the battery's clamp off (minus first), and let it cool; then look at it and "
       "mend it before anything else. Nothing is measured there live.")


def heat_words(cause):
    """Return how much heat is where the volts are lost, or nothing. [text]"""
    return f", {cause.heat:.0f} W of heat there" if cause.is_warm else ""


def hot_words(finding):
    """Yield the caution of every place that would glow, if there is one. [text]"""
    places = [f"between {' and '.join(cause.place)}" if len(cause.place) == 2 else f"at {cause.place[0]}" for cause in finding.causes if cause.glows]
    if places:
        yield HOT.format(places=", or ".join(places))
