"""The desk's share of a script: what hands did so far, line by line; saved, read again, and played act by act as hands would."""

from dataclasses import replace

from ...arrangements.parted import is_whole, parted, steps
from ...ground.errors import ScriptError
from ...solving.acts import CHANGE, CONTROL, LEAD
from ...solving.scripts import Script, load_script, save_script
from ...solving.time_course import TICK


class Played:
    """What a desk answers of acts.

    Attributes
    ----------
    coming : list of Act
        What is still to be played of a script.
    """

    coming = ()

    @property
    def script(self):
        """What hands did so far, from how the record began. [Script]"""
        tried, apart = self.began
        whole = next((change.after for change in steps(tried) if is_whole(change)), tried.changes.before)
        return Script(whole, self.live.started, self.live.script, tuple(self.sentences(tried, apart)))

    @property
    def next_at(self):
        """When the next act of a script is due on the page's clock, None where none is. [us]"""
        return round(self.coming[0].when * TICK) if self.coming else None

    def sentences(self, tried, apart):
        """Return all changes as sentences, from the circuit that a script is of; None where that is another one. [text]"""
        first, now = ([change for change in steps(each) if is_whole(change)] for each in (self.began[0], tried))
        return None if first != now else [str(change) for change in (*steps(tried), *apart.changes) if not is_whole(change)]

    def _lead(self, message):
        """Note that a lead was put on or taken off."""
        self.live.lead(message["at"] / TICK, message["lead"], message["terminal"])
        yield self._acts_told()

    def _acts(self, message):
        yield self._acts_told()

    def _replay(self, message):
        """Begin anew as at first, and let the page come for each act at its own moment."""
        self.play(replace(self.script, acts=(*self.live.script, *self.coming)))
        yield from self.fresh()
        yield self._acts_told()

    def _next(self, message):
        """Do the next act of the script again, at its own moment."""
        if not self.coming:
            return
        act, *self.coming = self.coming
        if act.kind == CONTROL:
            self.live.act(act.when, act.what, act.to)
            yield from self._stand(f"{act.what} {act.to}")
        elif act.kind == LEAD:
            self.live.lead(act.when, act.what, act.to)
            yield {"kind": "lead", "lead": act.what, "terminal": act.to}
        else:
            yield from self._made_again(act)
        yield self._acts_told()

    def _made_again(self, act):
        """Make the changes of an act again; what is out or off can be put back as before."""
        tried, apart = parted(self.tried, act.what)
        yield from self._carry_on({"at": round(act.when * TICK)}, tried, apart, f"changed: {'; '.join(act.what) or 'all put back'}", act.to)

    def _keep(self, message):
        """Save what hands did so far."""
        saved = save_script(self.script, message["name"])
        yield {"kind": "kept", "words": saved.sentence}

    def _take(self, message):
        """Read a script and begin to play it; where it does not fit, nothing is lost."""
        script = load_script(message["name"], self.script.arrangement)
        self.play(script)
        yield from self.fresh()
        yield self._acts_told()
        yield {"kind": "kept", "words": f"Read '{message['name']}': {len(script.acts)} acts, played from the start."}

    def play(self, script):
        """Begin as a script begins, its acts to come.

        Raises
        ------
        ScriptError
            For one of another circuit, and one with a change that has no sentence.
        """
        if script.arrangement != self.script.arrangement:
            raise ScriptError(f"this is a script of '{script.arrangement.title}', not of '{self.script.arrangement.title}'. Open that circuit.")
        if any(act.kind == CHANGE and not isinstance(act.what, tuple) for act in script.acts):
            raise ScriptError("a change of this script has no sentence, so it cannot be made again. Undo it, and go on from there by hand.")
        tried, apart = parted(self.began[0], script.begun)
        self.begin(tried, script.positions, apart=apart)
        self.coming = list(script.acts)

    def _acts_told(self):
        """Say what was done so far and what is still to come, when the next of it is, and how long ago."""
        lines, stood = [], self.script.begun
        for act in (*self.live.script, *self.coming):
            lines.append([f"{act.when:.2f} s", _words(act, stood)])
            stood = act.what if act.kind == CHANGE else stood
        return {"kind": "acts", "lines": lines, "done": len(self.live.script),
                "next": self.next_at}


def _words(act, stood):
    """Return what was done, of a change what differs from those that stood before. [text]"""
    if act.kind == CONTROL:
        return f"{act.what} {act.to}"
    if act.kind == LEAD:
        return f"{act.what} lead {f'on {act.to}' if act.to else 'off'}"
    if not isinstance(act.what, tuple) or not isinstance(stood, tuple):
        return "another circuit"
    said = [each for each in act.what if each not in stood]
    said += [f"undone: {each}" for each in stood if each not in act.what]
    return "; ".join([*said, *(f"new {name}" for name in act.to)]) or "nothing changed"
