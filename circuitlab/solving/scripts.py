"""Scripts as files: what hands did to a circuit, line by line, saved, read again and replayed.

The first line names the circuit, then each act has a line of its own; a change has below it, set in, all the changes
that stand from then on, and the parts put in new under an old name. What was changed before stands below ``begin: changed``::

    script of one-fused-lamp
    begin: "lamp switch" on
    0.5 s: "lamp switch" to off
    1.25 s: changed
      lift F1:2
    2 s: changed
      new F1
    3.5 s: red lead on E1:1
    end of script
"""

from dataclasses import dataclass
from math import inf

from ..arrangements.history import Changes
from ..arrangements.sentences import closed, off_a_line, on_a_line, opened, quoted
from ..ground.errors import CircuitLabError, FileError, ScriptError, shown
from ..ground.files import ENDS, named, read, whole
from ..ground.saving import save
from ..parts.making import Maker
from .acts import CHANGE, CONTROL, LEAD, LEADS, Act
from .live import Live

KIND, HEADING, BEGIN, NEW = "a script", "script of ", "begin: ", "new "
BEGUN = BEGIN + "changed"
HOW = "Write '0.5 s: \"brake pedal\" to held', '0.5 s: changed' or '0.5 s: red lead on E1:1'."


@dataclass(frozen=True)
class Script(metaclass=Maker):
    """What hands did to a circuit.

    Attributes
    ----------
    arrangement : Arrangement
        As it was before.
    positions : dict of str to str
        Where the controls stood before. [text]
    acts : tuple of Act
        In order of time.
    begun : tuple of str
        Changes made before, as sentences. [text]

    >>> import circuitlab as cl
    >>> live = Live(cl.arrangement("one-fused-lamp"))
    >>> point = live.act(0.5, "lamp switch", "on")
    >>> print(script_of(live))
    script of one-fused-lamp
    begin: "lamp switch" off
    0.5 s: "lamp switch" to on
    end of script
    """

    arrangement: object
    positions: dict
    acts: tuple
    begun: tuple = ()

    @property
    def start(self):
        """The circuit at the first act, what was changed before made."""
        return _changed(self.arrangement, self.begun)

    def __str__(self):
        lines = [HEADING + on_a_line(self.arrangement.name or self.arrangement.title)]
        lines += [BEGUN, *(f"  {sentence}" for sentence in self.begun)] if self.begun else []
        lines += [f"{BEGIN}{quoted(control)} {quoted(position)}" for control, position in self.positions.items()]
        return "\n".join([*lines, *(line for act in self.acts for line in _lines(act)), ENDS[KIND]])


def script_of(live):
    """Return what hands did in a live course, from its beginning."""
    return Script(live.first, live.started, live.script)


def replayed(script):
    """Return a live course in which every act of a script has been done again.

    >>> import circuitlab as cl
    >>> from circuitlab.solving.acts import Act
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> replayed(Script(cart, cart.positions(), (Act(0.5, "control", "lamp switch", "on"),))).at(0.5).states["S1"]
    'on'
    """
    live = Live(script.start, script.positions)
    for act in script.acts:
        if act.kind == CONTROL:
            live.act(act.when, act.what, act.to)
        elif act.kind == CHANGE:
            made = isinstance(act.what, tuple)
            live.change(act.when, _changed(script.arrangement, act.what) if made else act.what, act.what if made else None, act.to)
        else:
            live.lead(act.when, act.what, act.to)
    return live


def save_script(script, path):
    """Write a script to a text file; one that stood there is kept beside it.

    Returns
    -------
    Saved

    Raises
    ------
    ScriptError
        Where a change was given as a whole circuit, not in sentences.
    FileError
        When something else stands there or the file cannot be written.

    >>> from tempfile import TemporaryDirectory
    >>> import circuitlab as cl
    >>> with TemporaryDirectory() as folder:
    ...     save_script(script_of(Live(cl.arrangement("one-fused-lamp"))), f"{folder}/mine.script").name
    'mine.script'
    """
    return save(f"{script}\n", path)


def load_script(path, arrangement):
    """Return the script in a file, to be done to an arrangement.

    Raises
    ------
    FileError
        When there is no such file, it is none or is cut off, it is one of another circuit, or a line does not fit; the line
        is named.

    >>> from tempfile import TemporaryDirectory
    >>> import circuitlab as cl
    >>> cart = cl.arrangement("one-fused-lamp")
    >>> with TemporaryDirectory() as folder:
    ...     load_script(save_script(Script(cart, cart.positions(), ()), f"{folder}/mine.script"), cart).positions
    {'lamp switch': 'off'}
    """
    path = named(path)
    text = read(path, kind=KIND)
    first, *lines = text.split("\n")
    if not first.startswith(HEADING):
        raise FileError(f"'{path.name}' is no script. Its first line must be '{HEADING}' and the name of a circuit.",
                        file=path.name)
    positions, acts, begun, number, last = {}, [], [], 1, 0.0
    try:
        _check_circuit(off_a_line(first.removeprefix(HEADING)), arrangement)
        for number, line in enumerate(lines, start=2):
            if line.strip() and line.strip() != ENDS[KIND]:
                _take(number, line, arrangement, positions, acts, begun)
        present = _changed(arrangement, tuple(begun))
        for number, act in acts:
            present, last = _fitting(act, arrangement, present, last), act.when
    except CircuitLabError as error:
        raise FileError(f"'{path.name}', line {number}: {error}", file=path.name, line=number) from None
    whole(text, f"'{path.name}'")
    return Script(arrangement, arrangement.positions(positions), tuple(act for _, act in acts), tuple(begun))


# ------------------------------------------------------------------ lines

def _lines(act):
    """Return an act as lines of a file. [text]"""
    when = f"{act.when:.6f}".rstrip("0").rstrip(".") + " s: "
    if act.kind == CONTROL:
        return [f"{when}{quoted(act.what)} to {quoted(act.to)}"]
    if act.kind == LEAD:
        return [f"{when}{act.what} lead {f'on {quoted(act.to)}' if act.to else 'off'}"]
    if not isinstance(act.what, tuple):
        raise ScriptError(f"the change at {act.when:g} s was given as a whole circuit, so it cannot be written down. "
                          "Give its changes as sentences with it.", got=act.when)
    return [f"{when}changed", *(f"  {sentence}" for sentence in act.what), *(f"  {NEW}{quoted(name)}" for name in act.to)]


def _take(number, line, arrangement, positions, acts, begun):
    """Take one line of a file into the positions, the acts read so far, as (line number, act), or the changes before them."""
    if line.startswith(" ") and not acts and not positions:
        begun.append(line.strip())
    elif line.startswith(" "):
        if not acts or acts[-1][1].kind != CHANGE:
            raise ScriptError(f"{shown(line.strip())} is set in, and no change stands above it. {HOW}")
        (number, act), said = acts[-1], line.strip()
        if said.startswith(NEW):
            acts[-1] = number, act._replace(to=(*act.to, opened(closed(said.removeprefix(NEW)))))
        else:
            acts[-1] = number, act._replace(what=(*act.what, said))
    elif line.strip() == BEGUN and not acts and not positions:
        pass
    elif line.startswith(BEGIN):
        control, position = _words(line.removeprefix(BEGIN), 2)
        arrangement.control(control).check(position)
        positions[control] = position
    else:
        acts.append((number, _act(line)))


def _act(line):
    """Return the act that a line tells of; a change without its sentences yet."""
    when, _, said = closed(line).partition(" s: ")
    try:
        when = float(opened(when))
    except ValueError:
        when = inf
    words = said.split()
    if not 0 <= when < inf or not words:
        raise ScriptError(f"{shown(line)} is no act. {HOW}")
    told = [opened(word) for word in words]
    if words == ["changed"]:
        return Act(when, CHANGE, (), ())
    if words[0] in LEADS and words[1:] == ["lead", "off"]:
        return Act(when, LEAD, words[0])
    if words[0] in LEADS and words[1:3] == ["lead", "on"] and len(words) == 4:
        return Act(when, LEAD, words[0], told[3])
    if len(words) == 3 and words[1] == "to":
        return Act(when, CONTROL, told[0], told[2])
    raise ScriptError(f"{shown(line)} is no act. {HOW}")


def _words(said, count):
    words = [opened(word) for word in closed(said).split()]
    if len(words) != count:
        raise ScriptError(f"{shown(said)} does not say where a control stood. Write 'begin: \"brake pedal\" held'.")
    return words


# ------------------------------------------------------------------ whether it fits

def _check_circuit(name, arrangement):
    here = arrangement.name or arrangement.title
    if name != here:
        raise ScriptError(f"this is a script of {shown(name)}, not of {shown(here)}. Open that circuit, or "
                          "write the other name in the first line if it is meant for this one.")


def _fitting(act, arrangement, present, last):
    """Return the circuit after an act, or raise where the act does not fit it, or comes before the one above."""
    if act.when < last:
        raise ScriptError(f"this act stands below one at {last:g} s. List acts in order of time.", got=act.when)
    if act.kind == CONTROL:
        present.control(act.what).check(act.to)
    elif act.kind == CHANGE:
        present = _changed(arrangement, act.what)
        for name in act.to:
            present.part(name)
    elif act.to:
        present.check_terminal(act.to)
    return present


def _changed(arrangement, sentences):
    return Changes(arrangement).make(*sentences).after if sentences else arrangement
