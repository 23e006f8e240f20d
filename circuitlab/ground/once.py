"""What an object works out once for each thing it is asked, and keeps itself: what is kept goes when the object goes."""

from functools import wraps


def once(method):
    """Have a method work out each answer once; the object keeps it, and nothing else keeps the object.

    Parameters
    ----------
    method : callable
        What it is asked by must be hashable and given in order.

    >>> class Square:
    ...     @once
    ...     def of(self, side):
    ...         print("worked out")
    ...         return side * side
    >>> square = Square()
    >>> square.of(3), square.of(3)
    worked out
    (9, 9)
    """
    name = f"_once {method.__name__}"

    @wraps(method)
    def kept(self, *asked):
        found = self.__dict__.setdefault(name, {})
        if asked not in found:
            found[asked] = method(self, *asked)
        return found[asked]

    return kept
