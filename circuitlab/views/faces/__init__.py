"""The faces: one room for each kind of part, how it looks in both drawings and what lists call it; one line each below."""

from dataclasses import replace

from ...parts import JOINT
from . import battery, breaker, chassis, connector, converter, diode, distribution, flasher, fuse, fuse_block, lamp, led_lamp, relay, resistor, splice, switch, two_filaments
from .face import Face

FACES = {
    "battery": battery.BatteryFace(),
    "fuse": fuse.FuseFace(),
    "breaker": breaker.BreakerFace(),
    "resistor": resistor.ResistorFace(),
    "splice": splice.SpliceFace(),
    "chassis": chassis.ChassisFace(),
    "switch": switch.SwitchFace(),
    "relay": relay.RelayFace(),
    "flasher": flasher.FlasherFace(),
    "lamp": lamp.LampFace(),
    "LED lamp": led_lamp.LedLampFace(),
    "two-filament lamp": two_filaments.TwoFilamentFace(),
    "diode": diode.DiodeFace(),
    "connector": connector.ConnectorFace(),
    "converter": converter.ConverterFace(),
    "channel": converter.ChannelFace(),
    "fuse block": fuse_block.FuseBlockFace(),
    "distribution block": distribution.DistributionFace(),
}
PLAIN = Face()


def face_of(part):
    """Return the face of a part's kind; that of a kind without one is a box with its name."""
    return FACES.get(part.kind, PLAIN)


def as_seen(arrangement):
    """Return an arrangement as a sheet sees it: what it does not show, or what is filled in later, needs no new sheet."""
    return replace(arrangement, parts=[face_of(part).seen(part) for part in arrangement.parts], rule=(), held=(), name="", note="",
                   wires=[replace(wire, start_joint=JOINT, end_joint=JOINT) for wire in arrangement.wires])


def live_texts(arrangement, point, states):
    """Return every text that changes with a settled point, or nothing settled, by part and by what it tells."""
    return {(part.name, told): words for part in arrangement.parts
            for told, words in face_of(part).live(part, states[part.name], point).items()}


__all__ = ["FACES", "Face", "as_seen", "face_of", "live_texts"]
