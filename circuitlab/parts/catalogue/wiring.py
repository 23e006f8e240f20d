"""Published tables of wire: what it may carry, which fuse it takes, what resistance it may have.

Tables of what a wire may carry differ by a factor of two, since each assumes
another insulation, another bundle, another air. So a table is always named.
"""

from ...ground.errors import PartError, unknown_name
from ...ground.quantities import awg_to_mm2, read_quantity
from ..tables import table

SLACK = 1.005  # of the area: so that an area rounded to three digits still counts as its gauge


def ampacity_tables():
    """Return the names of the tables of what a wire may carry. [text]"""
    return list(dict.fromkeys(row["table"] for row in table("ampacity")))


def carries(area, table_name):
    """Return what a wire may carry all the time, by a named table: that of the next thinner gauge listed. [A]

    Parameters
    ----------
    area : float or str
        Such as ``1.5`` or ``"16 AWG"``. [mm2]
    table_name : str
        One of :func:`ampacity_tables`. [text]

    Raises
    ------
    PartError
        When the wire is thinner than any in that table.

    Examples
    --------
    >>> carries("16 AWG", "chassis wiring"), carries("1.5 mm2", "free air, 60 C insulation")
    (11.5, 18.0)
    """
    if table_name not in ampacity_tables():
        raise unknown_name("the kit's catalogue", "ampacity table", table_name, ampacity_tables())
    rows = [row for row in table("ampacity") if row["table"] == table_name]
    return _thinner(rows, area, table_name)["carries [A]"]


def largest_fuse(area):
    """Return the largest fuse that still guards a wire, by a table of builders' practice. [A]

    Parameters
    ----------
    area : float or str
        Such as ``1.5`` or ``"16 AWG"``. [mm2]
    """
    return _thinner(table("fuse_for_wire"), area, "largest fuse for a wire")["largest fuse [A]"]


def greatest_resistance(area, table_name="IEC 60228 class 5"):
    """Return the most a standard lets a wire of a nominal area have at 20 C. [ohm/km]

    Parameters
    ----------
    area : float
        One of those listed. [mm2]
    table_name : str
        Such as ``"IEC 60228 class 5"``. [text]

    Examples
    --------
    >>> greatest_resistance("1.5 mm2")
    13.3
    """
    rows = [row for row in table("wire_resistance") if row["table"] == table_name]
    if not rows:
        raise unknown_name("the kit's catalogue", "table of wire resistance", table_name,
                           list(dict.fromkeys(row["table"] for row in table("wire_resistance"))))
    area = read_quantity(area, "mm2")
    for row in rows:
        if row["area [mm2]"] == area:
            return row["most [ohm/km]"]
    raise unknown_name(f"table '{table_name}'", "wire of", f"{area:g} mm2",
                       [f"{row['area [mm2]']:g} mm2" for row in rows])


def _thinner(rows, area, where):
    """Return the row of the thickest gauge that is no thicker than a wire."""
    area = read_quantity(area, "mm2")
    fitting = [row for row in rows if awg_to_mm2(row["gauge [AWG]"]) <= area * SLACK]
    if not fitting:
        thinnest = max(row["gauge [AWG]"] for row in rows)
        raise PartError(f"{area:g} mm2 is thinner than any wire in the table '{where}', which begins at "
                        f"{thinnest:g} AWG ({awg_to_mm2(thinnest):.2f} mm2). "
                        "Take a thicker wire or another table.", got=area)
    return min(fitting, key=lambda row: row["gauge [AWG]"])
