"""Scripts: timed control actions, as they are given to a time course."""

from ..ground.errors import ScriptError
from .acts import CHANGE, CONTROL, Act
from .time_course import TICK


def moves(script):
    """Return a script as timed control actions where it is a list of acts; leads move nothing, and a change is refused.

    Raises
    ------
    ScriptError
        For a change of the circuit, which no single record can hold.
    """
    if not isinstance(script, (list, tuple)) or not any(isinstance(act, Act) for act in script):
        return script
    change = next((act for act in script if isinstance(act, Act) and act.kind == CHANGE), None)
    if change:
        raise ScriptError(f"the circuit is changed at {change.when:g} s, and one record is of one circuit. Run the acts "
                          "up to there, or replay the whole script on a board.", got=change.when)
    return [(act.when, act.what, act.to) if isinstance(act, Act) else act for act in script
            if not isinstance(act, Act) or act.kind == CONTROL]


def checked_script(arrangement, script, begin, until):
    """Return the actions as (tick, control, position), equal ticks in the arrangement's order, or raise ScriptError."""
    actions, last = [], begin
    if not isinstance(script, (list, tuple)):
        raise ScriptError(f"{script!r} is not a script. Write a list of (seconds, control, position).", got=script)
    for line in script:
        try:
            when, control, position = line
            when = float(when)
        except (TypeError, ValueError):
            raise ScriptError(f"{line!r} is not an action. Write (seconds, control, position), "
                              "such as (0.5, 'brake pedal', 'held').", got=line) from None
        arrangement.control(control).check(position)
        if not when >= last:
            raise ScriptError(f"'{control}' to '{position}' at {when:g} s comes after {last:g} s. "
                              "A script cannot go back in time: list the actions in order.", got=when)
        actions.append((round(when * TICK), control, position))
        last = when
    if not isinstance(until, (int, float)) or until != until:
        raise ScriptError(f"until must be a number of seconds, got {until!r}.", got=until)
    if not last < until <= 3600:
        raise ScriptError(f"the run ends at {until:g} s, but it must end after {last:g} s and within 3600 s. "
                          "Give a later 'until'.", got=until)
    order = list(arrangement.controls_by_name)
    return sorted(actions, key=lambda action: (action[0], order.index(action[1])))
