"""The attached drawing in words: where every part stands, which terminals it has, and what goes to each of them."""

from ...ground.errors import listed
from ..faces import face_of
from ..point_words import floating_words, light_words, volt_words, wire_words
from ..style import UNANSWERED, ambient_line, colour_words, frame_words, named
from .blocks import check_view


def describe_attached(arrangement, point=None, view="wire side", pins="A"):
    """Return the attached drawing as text: part by part, and after each part the wires that leave it.

    Parameters
    ----------
    arrangement : Arrangement
    point : OperatingPoint, optional
        Adds states, lamp volts and what is live, ghost, dead or floating.
    view : {"wire side", "face"}
        From where the relay sockets are seen. [text]
    pins : {"A", "B"}
        Pin order of the relays. [text]

    Returns
    -------
    str
        One sentence for each part and each wire.
    """
    check_view(view, pins)
    settled = point if point is not None and point.is_settled else None
    lines = [f"{arrangement.title}. Attached drawing: every part with its numbered terminals, seen from above, the front "
             f"on top, left and right being the driver's, facing forward.{frame_words(arrangement)}",
             *filter(None, [ambient_line(arrangement)])]
    if point is not None and not settled:
        lines.append(f"No steady state: {point.sentence}. {UNANSWERED}")
    said = set()
    for part in arrangement.parts:
        lines.append(_part(part, settled, view, pins))
        for terminal in part.terminals:
            for name in arrangement.wires_at[f"{part.name}:{terminal}"]:
                if name not in said:
                    said.add(name)
                    lines.append(_wire(arrangement.part(name), f"{part.name}:{terminal}", settled))
    lines += floating_words(any(line.endswith(": floating.") for line in lines))
    if arrangement.loose:
        lines.append(f"Nothing is wired to {listed(arrangement.loose)}.")
    return " ".join(lines)


def _part(part, point, view, pins):
    text = f"{part.kind[:1].upper()}{part.kind[1:]} {named(part)}{face_of(part).spoken(part, view, pins)}"
    if point is not None and part.shines:
        text += f": {volt_words(part, point)}, {light_words(part, point)}"
    elif point is not None and point.states[part.name] != "fixed":
        text += f": {point.states[part.name]}"
    return text + "."


def _wire(wire, end, point):
    other = wire.end if end == wire.start else wire.start
    colour = f"{wire.colour or 'without letters'} ({colour_words(wire.colour)})"
    text = f"From {end}, wire {wire.name} {colour} to {other}"
    if point is None:
        return text + "."
    return f"{text}: {wire_words(wire, point)}."
