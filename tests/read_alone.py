"""A sweep beside its cases alone: the comparison behind every test that holds one against the other."""

import numpy as np

from circuitlab.solving.settling import untimed_point

CLOSE_ENOUGH = 1e-9   # V
LIGHT = 2e-6          # of rated light


def differences(found, numbers):
    """Return what a sweep says otherwise than those cases of it alone: (sentences, the greatest error, a state alone).

    Cases in doubt, which time decides, beside what they are at rest. Verdict, state of every part, volts of every terminal or that it floats, volts and light of every lamp.

    Parameters
    ----------
    found : Sweep
    numbers : list of int
        The cases to look at. [1]

    Returns
    -------
    (list of str, float, list of OperatingPoint)
        What is unlike; the greatest difference of volts [V]; the points alone.
    """
    first, numbers = found.variants[0], list(numbers)
    alone = [found.point(number) for number in numbers]
    alone = [untimed_point(*found.case(number), found.operated) if found.in_doubt[number] else point
             for number, point in zip(numbers, alone)]
    wrong, worst = [], 0.0

    def unlike(here, there, what):
        return [f"case {number}: {what} is {one}, alone {other}"
                for number, one, other in zip(numbers, here, there) if one != other]
    wrong += unlike(found.verdicts[numbers], [point.verdict for point in alone], "the verdict")
    wrong += unlike(found.is_settled[numbers], [point.is_settled for point in alone], "having volts")
    for part in first.parts:
        wrong += unlike(found.state(part.name)[numbers], [point.states[part.name] for point in alone], part.name)
    columns = [(terminal, found.volts(terminal), [point.volts(terminal) if point.is_settled else None for point in alone])
               for terminal in first.terminals]
    for lamp in (part.name for part in first.parts if part.shines):
        columns.append((f"the volts of {lamp}", found.lamp_volts(lamp),
                        [point.lamp_volts(lamp) if point.is_settled else None for point in alone]))
        light = [point.light(lamp) if point.is_settled else 0.0 for point in alone]
        off = abs(found.light(lamp)[numbers].filled(0.0) - light) > LIGHT
        wrong += [f"case {number}: {lamp} gives other light" for number in np.array(numbers)[off]]
    for name, column, there in columns:
        column = column[numbers]
        wrong += unlike(np.ma.getmaskarray(column), [volts is None for volts in there], f"{name} having no volts")
        apart = [abs(one - other) for one, other in zip(column.data.tolist(), there) if other is not None]
        worst = max([worst, *apart])
    return wrong, worst, alone
