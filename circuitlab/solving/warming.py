"""How filaments warm and cool between two events: one step of an explicit Runge-Kutta pair.

The unknown is x = ln(T / ambient) of each filament, which keeps temperatures
positive. Right after a contact closes a cold filament moves at some -600 /s,
but that is over in milliseconds, and a hot one moves at -20 /s: not stiff, so
the explicit pair of Dormand and Prince (orders 5 and 4) does least work.

The step is written out for the number of filaments at hand, like the
elimination it calls, and for the same reason: no loop, no list, no dependency.

The letters of the written-out step; each carries the number of its filament, such as ``x0``:

======  ===============================================================================================
x       ln(T / ambient) where the step begins
y       the same at the stage just written; after the last stage, where the step ends
t       e^x or e^y: T / ambient
m       conductance cold, 0 where the filament is broken or switched off [S]
q       conductance at that temperature, m t^-1.2 [S]
u       volts across it, from the elimination with those q [V]
w       one over heat capacity and ambient: how fast a watt warms it [1/J]
l       what it radiates at the ambient, times w: how fast that cools it [1/s]
k       slope dx/dt, as ``slopes`` returns it [1/s]
a .. g  slopes of the seven stages: a is given, the last one, g, is the k of the next step [1/s]
z       the step's error in x, over h [1/s]
h       seconds of the step
late    what is left of the network by the first half of the elimination
======  ===============================================================================================
"""

from functools import lru_cache
from math import exp

from ..parts.lamp import RESISTANCE_POWER

# Dormand & Prince 1980, RK5(4)7M. The last row is also the fifth-order answer, so its slope serves the next step.
STAGES = ((1 / 5,), (3 / 40, 9 / 40), (44 / 45, -56 / 15, 32 / 9),
          (19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729),
          (9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656),
          (35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84))
ERROR = (71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40)


@lru_cache(maxsize=64)
def _maker(count):
    """Write the slope and step functions for a number of filaments."""
    lamps = range(count)
    unpack = [f"    {', '.join(f'{name}{i}' for i in lamps)}, = {name}" for name in ("m", "w", "l")]
    tail = "".join
    lines = ["def make(drops, exp, m, w, l):", *unpack, "    def slopes(late, x):",
             f"        {tail(f'x{i}, ' for i in lamps)} = x", *_slope_lines(count, "x", "k"),
             f"        return ({tail(f'k{i}, ' for i in lamps)}), u", "    def step(late, x, k, h):",
             f"        {tail(f'x{i}, ' for i in lamps)} = x", f"        {tail(f'a{i}, ' for i in lamps)} = k"]
    # each stage: where the weighted slopes so far lead, and the slopes there
    for stage, weights in enumerate(STAGES):
        for i in lamps:
            terms = " + ".join(f"{weight!r} * {'abcdef'[j]}{i}" for j, weight in enumerate(weights) if weight)
            lines.append(f"        y{i} = x{i} + h * ({terms})")
        lines += _slope_lines(count, "y", "bcdefg"[stage])
    # the fifth-order answer less the fourth-order one; the worst filament decides on the step
    for i in lamps:
        terms = " + ".join(f"{weight!r} * {'abcdefg'[j]}{i}" for j, weight in enumerate(ERROR) if weight)
        lines.append(f"        z{i} = abs({terms})")
    worst = f"max({', '.join(f'z{i}' for i in lamps)})" if count > 1 else "z0"
    lines += [f"        return ({tail(f'y{i}, ' for i in lamps)}), ({tail(f'g{i}, ' for i in lamps)}), u, h * {worst}",
              "    return slopes, step"]
    made = {}
    exec(compile("\n".join(lines), "<warming>", "exec"), made)
    return made["make"]


def _slope_lines(count, at, into):
    """Write dx/dt = (U^2 G - W (t^4 - 1)) / (T_cold C t) with t = e^x for every filament."""
    lines = [f"        t{i} = exp({at}{i})" for i in range(count)]
    lines += [f"        q{i} = m{i} * t{i} ** {-RESISTANCE_POWER!r}" for i in range(count)]
    lines.append(f"        u = drops(late, ({''.join(f'q{i}, ' for i in range(count))}))")
    lines.append(f"        {''.join(f'u{i}, ' for i in range(count))} = u")
    return lines + [f"        {into}{i} = (u{i} * u{i} * q{i} * w{i} - (t{i} * t{i} * t{i} * t{i} - 1.0) * l{i}) / t{i}"
                    for i in range(count)]


def warming(contacts):
    """Return how the filaments of a network warm with its contacts standing still.

    Returns
    -------
    slopes : callable ``(late, x) -> (dx/dt, volts)``
    step : callable ``(late, x, slopes, seconds) -> (x, slopes, volts, error)``
    """
    laws = contacts.network.filaments
    if not laws:        # nothing warms: a step of any length is exact
        return lambda late, x: ((), ()), lambda late, x, k, h: ((), (), (), 0.0)
    cold = tuple(1 / law.cold_resistance if conducting else 0.0 for law, conducting in zip(laws, contacts.laws))
    heating = tuple(1 / (law.heat_capacity * law.cold) for law in laws)
    losing = tuple(law.radiation * law.cold**4 * heat for law, heat in zip(laws, heating))
    return _maker(len(laws))(contacts.drops, exp, cold, heating, losing)
