"""Sweeps: what thousands of cases solved side by side say is what each case says alone."""

import numpy as np
import pytest

import circuitlab as cl
from circuitlab.ground.errors import ArrangementError, UnknownName
from circuitlab.parts import KINDS
from circuitlab.solving import operating_point, sweep
from circuitlab.solving.sweep_curves import CLOSE, Curves
from circuitlab.solving.sweep_laws import numbers, walk

CLOSE_ENOUGH = 1e-9   # V


def faults(arrangement):
    """Return one tuple of changes for every fault a bench offers: lost and bad joints, shorts, dead and stuck parts."""
    parts, wires = arrangement.parts, arrangement.wires
    found = [()]
    found += [(cl.LoseJoint(wire.name, wire.start),) for wire in wires]
    found += [(cl.LoseJoint(wire.name, wire.end, 0.8),) for wire in wires[::2]]
    found += [(cl.Hold(part.name, "blown"),) for part in parts if "blown" in part.states]
    found += [(cl.Hold(part.name, state),) for part in arrangement.of_kind(cl.Relay) for state in ("released", "operated")]
    found += [(cl.SetValue(part.name, "coil_resistance", 1e5),) for part in arrangement.of_kind(cl.Relay)]
    found += [(cl.Hold(part.name, state),) for part in arrangement.of_kind(cl.Flasher) for state in ("on", "off")]
    found += [(cl.Hold(part.name, arrangement.control(part.control).positions[-1]),)
              for part in arrangement.of_kind(cl.Switch)]
    found += [(cl.AddWire(cl.Wire("W99", wire.start, f"{arrangement.battery.name}:-", length=2.0)),)
              for wire in wires[::3] if not wire.start.endswith(":-")]
    found += [(cl.SetValue(part.name, "watts", 4.0),) for part in arrangement.of_kind(cl.Lamp)]
    found += [(cl.RemoveWire(wires[-1].name),), (cl.MoveWire(wires[0].name, wires[0].end, wires[1].end),),
              (cl.LoseJoint(wires[0].name, wires[0].start, 0.5), cl.Hold(parts[1].name, parts[1].states[-1]))]
    lamp = arrangement.of_kind(cl.Lamp)[0]
    return [*found, (cl.ReplacePart(cl.LedLamp(lamp.name)),)]


def differences(found, every=1):
    """Return what a sweep says otherwise than its cases alone: a list of sentences, and the greatest error in volts."""
    terminals = found.variants[0].terminals
    volts = {terminal: found.volts(terminal) for terminal in terminals}
    lamps = [part.name for part in found.variants[0].parts if part.shines]
    lamp_volts, light = ({lamp: read(lamp) for lamp in lamps} for read in (found.lamp_volts, found.light))
    states = {part.name: found.state(part.name) for part in found.variants[0].parts}
    wrong, worst = [], 0.0
    for number in range(len(found)):
        alone = found.point(number)
        if alone.verdict != found.verdicts[number] or alone.is_settled != found.is_settled[number]:
            wrong.append(f"case {number} is {found.verdicts[number]}, alone {alone.verdict}")
        wrong += [f"case {number}: {name} is {states[name][number]}, alone {alone.states[name]}"
                  for name in states if states[name][number] != alone.states[name]]
        if not alone.is_settled or number % every:
            continue
        for terminal in terminals:
            here, there = volts[terminal][number], alone.volts(terminal)
            if (there is None) != (here is np.ma.masked):
                wrong.append(f"case {number}: {terminal} is {here}, alone {there}")
            elif there is not None:
                worst = max(worst, abs(here - there))
        for lamp in lamps:
            worst = max(worst, abs(lamp_volts[lamp][number] - alone.lamp_volts(lamp)))
            if abs(light[lamp][number] - alone.light(lamp)) > 2e-6:
                wrong.append(f"case {number}: {lamp} gives {light[lamp][number]}, alone {alone.light(lamp)}")
    return wrong, worst


@pytest.mark.parametrize("name", cl.arrangement_names())
def test_every_row_phase_and_fault_reads_as_it_does_alone(name):
    """States and verdicts identical, volts of every terminal within 1 nV, floating where the one point floats."""
    cart = cl.arrangement(name)
    found = sweep(cart, changes=faults(cart))
    wrong, worst = differences(found, every=1 if len(found) < 4000 else 5)
    assert not wrong, wrong[:5]
    assert 0 < worst < CLOSE_ENOUGH
