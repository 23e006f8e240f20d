"""A picture or table as the result of a cell."""

from html import escape


class Picture:
    """Text a notebook shows as HTML or SVG; prints as a short word elsewhere.

    Parameters
    ----------
    markup : str
        HTML or SVG, already escaped. [text]
    """

    def __init__(self, markup):
        self.markup = markup

    def _repr_html_(self):
        return self.markup

    def __repr__(self):
        return "Picture"


def show(what):
    """Return something a notebook cell shows: SVG and HTML as they are, any other text set in plain type.

    >>> show("12 < 13")._repr_html_()
    '<pre>12 &lt; 13</pre>'
    """
    text = str(what)
    return Picture(text if text.lstrip().startswith("<") else f"<pre>{escape(text)}</pre>")
