"""What every printed page is: one file that needs nothing from outside and says what wrote it."""

from ..ground.files import page_mark


def printed_page(kind, title, style, body):
    """Return a page to print. [HTML]

    Parameters
    ----------
    kind : str
        What the kit knows it by again, such as ``"a build sheet"``. [text]
    title, body : str
        Safe already. [HTML]
    style : str
        What it has beyond black on white. [CSS]
    """
    return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"/>{page_mark(kind)}<title>{title}</title>'
            f'<meta name="viewport" content="width=device-width, initial-scale=1"/><style>\n* {{ box-sizing: border-box }}{style}</style></head>'
            f"<body>{body}</body></html>\n")
