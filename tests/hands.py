"""A learner's hand and eye at a question or bench: what can be pressed and ticked there, and what is to be read."""


def widgets_in(view):
    """Yield a widget and everything inside it, in the order of the page."""
    yield view
    for child in getattr(view, "children", ()):
        yield from widgets_in(child)


def buttons(shown):
    """Return the buttons that are to be seen, by the words on them."""
    return {each.description: each for each in widgets_in(shown.view)
            if hasattr(each, "click") and each.layout.display != "none"}


def press(shown, words="Commit"):
    """Press a button."""
    buttons(shown)[words].click()


def boxes(shown, words):
    """Return the boxes to tick with these words beside them, the uppermost first."""
    return [each for each in widgets_in(shown.view) if hasattr(each, "indent") and each.description == words]


def tick(shown, words):
    """Tick the uppermost box with these words."""
    boxes(shown, words)[0].value = True


def markup(shown):
    """Return every piece of HTML on the page. [HTML]"""
    return [each.value for each in widgets_in(shown.view) if type(each).__name__ == "HTML"]


def refusal(shown):
    """Return what is said of something that cannot be done, or an empty text. [HTML]"""
    return "".join(each for each in markup(shown) if 'role="alert"' in each)
