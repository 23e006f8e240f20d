"""What happened to the parts and wires of two arrangements, in words, and which goes by another name."""

import re

OFF, FREE = "inf", "free"     # how a comparison says the ohms of a joint that is off, and what holds a part that nothing holds
_ENDS = ("start", "end")


def thing_lines(comparison):
    """Return what happened to parts, wires and controls, alike ones on one line: ``added: relay K1, K2``. [text]

    A wire that is off or back on says only that: ``W11 is off K1:86``. What has another name and is else the same is left
    to :func:`name_line`.
    """
    lines = {}
    for thing in comparison.things:
        if thing.is_only_named:
            continue
        if thing.how != "changed":
            own = (comparison.after if thing.how == "added" else comparison.before).by_name.get(thing.name)
            is_touch = thing.kind == "wire" and own.is_touch
            name = own.spoken if is_touch else f"{own.name} {own.start} to {own.end}" if thing.kind == "wire" else thing.name
            key, head = (thing.how, is_touch or thing.kind), f"{thing.how}: {'' if is_touch else f'{thing.kind} '}"
        elif _stays_on_metal(comparison, thing):
            key, head = "metal", "on another terminal of the same splice or chassis: wire "
            name = f"{_called(thing)} {' and '.join(f'{was} to {now}' for _, was, now in thing.values)}"
        else:
            key, head, name = thing, "", _changed_words(comparison, thing)
        lines[key] = f"{lines[key]}, {name}" if key in lines else f"{head}{name}"
    return list(lines.values())


def name_line(comparison, field):
    """Return which parts or wires have another name in the second arrangement, in a sentence; nothing where none has. [text]

    Parameters
    ----------
    comparison : Comparison
    field : {"parts", "wires"}
    """
    pairs = [(here, there) for here, there in getattr(comparison.same, field).items() if here != there]
    order = list(comparison.before.by_name)
    said = [f"{run[0][0]} is {run[0][1]}" if len(run) == 1 else f"{run[0][0]} to {run[-1][0]} are {run[0][1]} to {run[-1][1]}"
            for run in _runs(sorted(pairs, key=lambda pair: order.index(pair[0])))]
    more = " What follows is told in the names of the first." * (field == "parts")
    return f"{field.capitalize()} of other names in the second: {', '.join(said)}.{more}" if said else ""


def _runs(pairs):
    """Return pairs of names in lists, three or more that are numbered on by one in both together."""
    runs = []
    for pair in pairs:
        if runs and [_next(name) for name in runs[-1][-1]] == [*pair]:
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return [piece for run in runs for piece in ([run] if len(run) > 2 else [[pair] for pair in run])]


def _next(name):
    """Return the name with the next number, or None where it ends with none. [text]"""
    found = re.fullmatch(r"(.*?)([1-9]\d{0,8})", name)
    return f"{found[1]}{int(found[2]) + 1}" if found else None


def _called(thing):
    return f"{thing.name} ({thing.there} there)" if thing.there else thing.name


def _stays_on_metal(comparison, thing):
    """Tell whether all that became of a wire is that it goes to another terminal of one piece of metal. [yes/no]"""
    ends = [(was, now) for field, was, now in thing.values if field in _ENDS]
    metals = [{f"{part.name}:{end}": (part.name, name) for name, group in part.metals.items() for end in group}
              for was, _ in ends for part in [comparison.before.part(was.partition(":")[0])]]
    return len(ends) == len(thing.values) and all(metal.get(was) == metal.get(now) is not None for (was, now), metal in zip(ends, metals))


def _changed_words(comparison, thing):
    """Return what became of a part or wire: whether it is off or was moved, and which values are others. [text]"""
    joints = {field: _joint_words(comparison, thing, field, *values) for field, *values in thing.values}
    moves = {field: (was, now) for field, was, now in thing.values if field in _ENDS and thing.kind == "wire"}
    rest = [_value_words(*value) for value in thing.values if not joints[value[0]] and value[0] not in moves]
    still = [getattr(comparison.before.part(thing.name), end) for end in _ENDS if end not in moves] if moves else ()
    moved = [*(f"still on {end}" for end in still), " and ".join(f"from {was} to {now}" for was, now in moves.values())] if moves else []
    said = f"{'moved' if moves else 'changed'}: {thing.kind} {_called(thing)}, {', '.join(moved + rest)}" if moved + rest else ""
    return "; ".join(filter(None, (*joints.values(), said)))


def _joint_words(comparison, thing, field, before, after):
    """Return that a wire is off its terminal or on it again, or an empty text. [text]"""
    end = {"start joint": "start", "end joint": "end"}.get(field)
    if not end or OFF not in (before, after):
        return ""
    return f"{thing.name} is {'off' if after == OFF else 'on'} {getattr(comparison.same.there.part(thing.name), end)}"


def _value_words(field, before, after):
    if field == "held":
        return after if after == FREE else f"held {after}" + ("" if before == FREE else f", before {before}")
    return after if field == "known" else f"{field} {before} to {after}"
