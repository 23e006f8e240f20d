"""A trial: the few seconds a bench plays, from where its controls stand.

Everything a bench shows is computed here and below, so every number exists
without a widget.
"""

from dataclasses import replace

from ..parts import Battery, Flasher, Switch
from ..solving import run

MOVED_AT = 0.5  # s, when the hand-worked controls leave their rest


def with_settings(arrangement, volts=None, rate=None, on_share=None):
    """Return the arrangement with another supply voltage, flash rate or on-share.

    Parameters
    ----------
    volts : float, optional
        Of every battery. [V]
    rate : float, optional
        Of every flasher. [1/min]
    on_share : float, optional
        Of every flasher. [1]

    >>> import circuitlab as cl
    >>> with_settings(cl.arrangement("one-fused-lamp"), volts=11.0).battery.voltage
    11.0
    """
    changed = []
    if volts is not None:
        changed += [replace(battery, voltage=volts) for battery in arrangement.of_kind(Battery)]
    new = {name: value for name, value in (("rate", rate), ("on_share", on_share)) if value is not None}
    if new:
        changed += [replace(flasher, **new) for flasher in arrangement.of_kind(Flasher)]
    return arrangement.with_parts(*changed)


def pedals(arrangement):
    """Return the names of the controls that work a stop switch. [text]"""
    return tuple(dict.fromkeys(switch.control for switch in arrangement.of_kind(Switch)
                               if switch.worked_by in ("pedal", "pressure")))


def keys(arrangement):
    """Return the names of the controls that work a key switch. [text]"""
    return tuple(dict.fromkeys(switch.control for switch in arrangement.of_kind(Switch) if switch.worked_by == "key"))


def trial_script(arrangement, positions, pedal_at=1.5, pedal_for=1.5, until=4.0):
    """Return ``(positions before, script)`` of a trial.

    The key stands where it stands from the beginning, hands move at 0.5 s,
    and a pedal goes down at ``pedal_at`` for ``pedal_for`` seconds.
    """
    where = arrangement.positions(positions)
    keyed, pedal = keys(arrangement), pedals(arrangement)
    before = {name: position for name, position in where.items() if name in keyed}
    script = []
    for control in arrangement.controls:
        position = where[control.name]
        if position == control.rest or control.name in before:
            continue
        if control.name in pedal:
            script.append((pedal_at, control.name, position))
            if pedal_at + pedal_for < until:
                script.append((pedal_at + pedal_for, control.name, control.rest))
        else:
            script.append((MOVED_AT, control.name, position))
    return before, sorted((line for line in script if line[0] < until), key=lambda line: line[0])


def trial(arrangement, positions=(), pedal_at=1.5, pedal_for=1.5, until=4.0):
    """Play a trial and return its time course.

    Parameters
    ----------
    arrangement : Arrangement
    positions : dict of str to str
        Where the controls are put; those not named stay at rest. [text]
    pedal_at, pedal_for : float
        When a pedal that is put down goes down, and for how long. [s]
    until : float
        Length of the record. [s]

    Returns
    -------
    TimeCourse

    >>> import circuitlab as cl
    >>> len(trial(cl.arrangement("shared-filament-rear-relays"), {"turn lever": "left"}).script)
    1
    """
    before, script = trial_script(arrangement, positions, pedal_at, pedal_for, until)
    return run(arrangement, script, until, before)
