"""The thermal flasher against an integrator of its own: lamps and heated strip as one system for scipy, with its events.

The judge takes from the kit what the lamps are and how the board is wired, and works out Kirchhoff's laws, the strip's two
constants, every switching and the whole course by itself.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from circuitlab.parts import Battery, Lamp, Splice, thermal_flasher, toggle
from circuitlab.solving import run

from judges.curves import COLD
from judges.heating import Heating
from small_boards import board

DRIVE, POWER, RUSH = 1.5, 1.2, 0.067     # as the flasher's page states them
CLOSE = 1e-3                             # s, for the length of each flash and pause: the kit adds a warmth of 2e-3 unseen


def lamps_on_a_thermal_flasher(lamps, volts, **unit):
    parts = [Battery("G1", volts), thermal_flasher("K9", rated_load=42.0, volts=12.0, **unit), toggle("S1", "switch"), Splice("X1", 8)]
    pairs = [("G1:+", "S1:1"), ("S1:2", "K9:49"), ("K9:49a", "X1:1")]
    for number, watts in enumerate(lamps, start=1):
        parts.append(Lamp(f"E{number}", 12.0, watts, light="amber"))
        pairs += [(f"X1:{number + 1}", f"E{number}:1"), (f"E{number}:2", "G1:-")]
    return board("lamps on a thermal flasher", parts, pairs)


def strip(on, off):
    """Return time constant and point of reclosing: each flash at rated load ends at a warmth of 1. [s], [1]"""
    def warmth(tau):
        heat = 0.0
        for _ in range(400):     # flash after flash from cold: heat at once from the rush, then the even part, then the pause
            heat += RUSH / tau
            heat = DRIVE + (heat - DRIVE) * np.exp(-on / tau)
            top, heat = heat, heat * np.exp(-off / tau)
        return top
    tau = brentq(lambda tau: warmth(tau) - 1, 0.05, 20)
    return tau, np.exp(-off / tau)


def switchings(cart, until, rate=90.0, share=0.5, drive=DRIVE):
    """Return when the flasher opens and closes, played by scipy from cold. [s]"""
    tau, lo = strip(60 / rate * share, 60 / rate * (1 - share))
    still = {part.name: part.states[0] for part in cart.parts} | {"S1": "on"}
    closed, opened = (Heating(cart, still | {"K9": state}) for state in ("on", "off"))
    def course(heating):
        def slopes(time, y):
            amps = (heating.lamp_volts(y[:-1]) / (heating.hot * (y[:-1] / 2800.0) ** 1.2)).sum() if heating is closed else 0.0
            return np.append(heating.slopes(time, y[:-1]), (drive * (amps / 3.5) ** POWER - y[-1]) / tau)
        return slopes
    now, y, heating, found = 0.5, np.append(np.full(len(closed.all), COLD), 0.0), closed, []
    while now < until:
        limit = 1.0 if heating is closed else lo
        def crossing(time, y, limit=limit):
            return y[-1] - limit
        crossing.terminal, crossing.direction = True, 1.0 if heating is closed else -1.0
        way = solve_ivp(course(heating), (now, until), y, method="LSODA", rtol=1e-8, atol=1e-8, events=crossing)
        now, y = way.t[-1], way.y[:, -1]
        if way.t_events[0].size:
            found.append(now)
        heating = opened if heating is closed else closed
    return found


def kits(cart, until):
    course = run(cart, [(0.5, "switch", "on")], until)
    moves = [(start, state) for start, _, state in course.spans("K9")]
    return [start for (start, state), (_, before) in zip(moves[1:], moves) if "off" in (state, before)]


@pytest.mark.in_turn(12)
@pytest.mark.parametrize("volts", [9.0, 12.4, 15.0])
@pytest.mark.parametrize("lamps", [(21.0, 21.0), (21.0, 21.0, 5.0), (21.0,) * 3, (21.0,) * 4], ids=lambda lamps: f"{sum(lamps):g} W")
def test_every_switching_is_where_the_judge_puts_it(lamps, volts):
    cart = lamps_on_a_thermal_flasher(lamps, volts)
    ours, judged = kits(cart, 5.0), switchings(cart, 5.0)
    assert len(ours) == len(judged) >= 4
    assert np.diff(ours, prepend=0.5) == pytest.approx(np.diff(judged, prepend=0.5), abs=CLOSE)


@pytest.mark.parametrize("rate, share", [(60.0, 0.4), (110.0, 0.45)])
def test_so_it_is_at_other_rates_and_shares(rate, share):
    cart = lamps_on_a_thermal_flasher((21.0, 21.0), 12.4, rate=rate, on_share=share)
    assert np.diff(kits(cart, 5.0)) == pytest.approx(np.diff(switchings(cart, 5.0, rate, share)), abs=CLOSE)


@pytest.mark.parametrize("lamps", [(21.0,), (21.0, 5.0)])
def test_too_light_a_load_never_opens_it(lamps):
    cart = lamps_on_a_thermal_flasher(lamps, 12.4)
    assert kits(cart, 6.0) == switchings(cart, 6.0) == []


def test_the_judge_finds_a_heat_that_is_a_hundredth_off():
    cart = lamps_on_a_thermal_flasher((21.0, 21.0), 12.4)
    assert np.diff(kits(cart, 5.0)) != pytest.approx(np.diff(switchings(cart, 5.0, drive=1.01 * DRIVE)), abs=CLOSE)
