"""What of one arrangement was added, removed, moved or changed in another: ambient, controls, parts and wires."""

from dataclasses import dataclass, fields

from ..arrangements.sentences import value_words

ENDS = ("start", "end")


@dataclass(frozen=True)
class ThingChange:
    """A part or wire, or a control, that was added, removed or changed, or has another name.

    Attributes
    ----------
    how : {"added", "removed", "changed"}
    name, kind : str
        What it is called in the first arrangement; of what was added, in the second. [text]
    values : tuple of (str, str, str)
        Which value, before and after, in words; only for what changed. Ends of wires are told by the names of the first
        arrangement. [text]
    there : str
        What it is called in the second, where that is another name. [text]
    """

    how: str
    name: str
    kind: str
    values: tuple = ()
    there: str = ""

    @property
    def is_only_named(self):
        """Whether nothing but its name is another. [yes/no]"""
        return self.how == "changed" and not self.values


def things_changed(same):
    """Return what was added, removed or changed, as a tuple of ThingChange: the ambient, controls, parts, wires.

    Parameters
    ----------
    same : Counterparts
        Of the two arrangements.
    """
    before, after = same.before, same.there
    words = [value_words("temperature", each.ambient) for each in (before, after)]
    found = []
    if before.ambient != after.ambient:
        found.append(ThingChange("changed", "ambient", "arrangement", (("temperature", *words),)))
    controls = {name: name for name in before.controls_by_name if name in after.controls_by_name}
    called = {new.name: old.name for field in ("parts", "wires") for new, old in zip(getattr(after, field), getattr(same.after, field))}
    for field, known in (("controls", controls), ("parts", same.parts), ("wires", same.wires)):
        old, new = ({thing.name: thing for thing in getattr(each, field) if not getattr(thing, "seat", "")} for each in (before, after))
        for name in dict.fromkeys((*old, *new)):
            kind = getattr(new.get(name) or old[name], "kind", "control")
            if name in known:
                values, there = _values(old[name], new[name]), known[name] if known[name] != name else ""
                found += [ThingChange("changed", name, kind, values, there)] if values or there else []
                continue
            found += [ThingChange("removed", name, getattr(old[name], "kind", "control"))] if name in old else []
            found += [ThingChange("added", called.get(name, name), kind)] if name in new else []
    if before.frame != after.frame:
        found.append(ThingChange("changed", after.battery.name, "battery", (("pole on the frame", before.frame, after.frame),)))
    return (*found, *_marked(before, after))


def _marked(before, after):
    """What is held in another state or not known on one side alone; ``after`` goes by the names of the first arrangement."""
    held = {name: (dict(before.held).get(name), dict(after.held).get(name)) for name, _ in before.held + after.held}
    doubt = {name: (name in before.not_known, name in after.not_known) for name in before.not_known + after.not_known}
    words = {False: "known", True: "not known"}
    marks = [*(("held", name, was or "free", now or "free") for name, (was, now) in held.items()),
             *(("known", name, words[was], words[now]) for name, (was, now) in doubt.items())]
    return tuple(ThingChange("changed", name, getattr((after if name in after.by_name else before).part(name), "kind", ""),
                             ((what, was, now),)) for what, name, was, now in marks if was != now)


def marked_things(same):
    """Return the names of what was removed, moved or changed, as the first arrangement calls it: what stands out in its drawing."""
    return tuple(dict.fromkeys(thing.name for thing in things_changed(same) if thing.how != "added" and not thing.is_only_named))


def _values(old, new):
    return tuple((field.name.replace("_", " "), value_words(field.name, getattr(old, field.name)),
                  value_words(field.name, getattr(new, field.name)))
                 for field in fields(old) if getattr(old, field.name) != getattr(new, field.name))
