"""Wrong ideas as data: what somebody thinks, what that would show, where to look, what really happens.

A number is matched to an idea by working out the answer that idea gives: the
circuit is solved as the idea would wire it (``wires_as``, changes) or read as
the idea would read it (``reads_as``). The table at the end holds the nineteen
ideas about lamps, meters and relays that lessons probe, in sentences of the
kit's own. Which of them are known from published surveys of learners, and
which from the trade alone, the teacher's guide says.
"""

from dataclasses import dataclass, field, replace

from ..arrangements import changed
from ..ground.errors import ArrangementError, unknown_name
from ..parts.making import Maker


@dataclass(frozen=True)
class Idea(metaclass=Maker):
    """One wrong idea and everything said to whoever has it.

    Parameters
    ----------
    code : str
        Short name, as it is written into the record. [text]
    because : str
        The idea as a reason, in the learner's words. [text]
    would : str
        What would be seen if it were so. Never the right value. [text]
    look : str
        Where to look next. [text]
    instead : str
        The idea, why it fails, what happens instead. [text]
    law : str
        The true reason that stands beside it in the menu. [text]
    wires_as : change or sequence of changes
        The circuit as the idea would have it.
    reads_as : callable or plain value, optional
        The answer as the idea would read it off; a callable gets the circuit, and the picks of the variant by name.
    """

    code: str
    because: str
    would: str
    look: str
    instead: str = ""
    law: str = ""
    wires_as: tuple = field(default=(), repr=False)
    reads_as: object = field(default=None, repr=False)

    def __post_init__(self):
        steps = self.wires_as
        object.__setattr__(self, "wires_as", tuple(steps) if isinstance(steps, (tuple, list)) else (steps,))

    @property
    def gives_an_answer(self):
        """Whether an answer can be worked out from it."""
        return bool(self.wires_as) or self.reads_as is not None

    def answer(self, truth, variant):
        """Return the answer somebody with this idea would give to a question.

        Parameters
        ----------
        truth : callable
            The question's own way to the answer; gets the circuit and the picks.
        variant : Variant
        """
        circuit, picks = variant.circuit, variant.picks
        if self.wires_as:
            steps = [step(circuit, **picks) if not hasattr(step, "apply") else step for step in self.wires_as]
            circuit = changed(circuit, *steps)
        if self.reads_as is None:
            return truth(circuit, **picks)
        return variant.fill(self.reads_as) if callable(self.reads_as) or isinstance(self.reads_as, str) else self.reads_as


def idea(code, because="", would="", look="", instead="", law="", wires_as=(), reads_as=None):
    """Return an idea of the table, or one of your own, with the answer it gives to the question at hand.

    Parameters
    ----------
    code : str
        From ``"M1"`` to ``"M19"``, or any other with its ``because``, ``would`` and ``look``. [text]
    because, would, look, instead, law : str
        As for :class:`Idea`, where the question at hand needs closer words than the table's. [text]
    wires_as : change, callable or sequence of them
        The circuit as the idea would have it; a callable gets the circuit and the picks and returns a change.
    reads_as : callable or plain value, optional
        The answer as the idea would read it off the circuit.

    Raises
    ------
    UnknownName
        For a code that is not in the table, without the sentences of an idea of your own.

    Examples
    --------
    >>> idea("M6", reads_as=0.0).law
    'an open contact stands between two different levels'
    """
    own = {"because": because, "would": would, "look": look, "instead": instead, "law": law}
    if code not in IDEAS and not (because and would and look):
        raise unknown_name("the table of ideas", "idea", code, IDEAS)
    made = IDEAS[code] if code in IDEAS else Idea(code, because, would, look)
    return replace(made, wires_as=wires_as, reads_as=reads_as, **{name: words for name, words in own.items() if words})


def check_ideas(ideas):
    """Return ideas as a tuple, or raise for one that gives no answer or a code used twice."""
    ideas = tuple(ideas)
    for one in ideas:
        if not isinstance(one, Idea):
            raise ArrangementError(f"{one!r} is not an idea. Give one such as cl.idea('M6', reads_as=0.0).")
        if not one.gives_an_answer:
            raise ArrangementError(f"idea '{one.code}' gives no answer here. Say wires_as=... (changes) or reads_as=...")
    codes = [one.code for one in ideas]
    for code in codes:
        if codes.count(code) > 1:
            raise ArrangementError(f"idea '{code}' is given twice. Give the second one a code of its own.")
    return ideas


def _many(say, fails, happens):
    return f"Many people say {say}. That fails because {fails}. What happens is: {happens}."


_TABLE = (
    Idea("M1", "the lamp uses up part of the current",
         "Then the meter behind the lamp would show less than the one before it, and the rest would have to go somewhere.",
         "Read the meter before the lamp and the one behind it, in the same second.",
         _many("a lamp eats current", "the current has nowhere to stay",
               "as much comes out of the lamp as goes in; the lamp takes volts"),
         "what goes into a lamp comes out of it"),
    Idea("M2", "the battery always gives the same current",
         "Then two lamps would have to share what one had, and the first would dim as the second comes on.",
         "Watch the first lamp while the second is switched on. Then read the meter at the battery.",
         _many("a battery hands out a fixed current", "a second way lets more through",
               "the battery holds the volts, and the ways joined to it decide the amps"),
         "the battery holds its volts; what is joined to it decides the amps"),
    Idea("M3", "only what comes behind a change can feel it",
         "Then more resistance behind the lamp would leave it as bright as before.",
         "Look at the lamp itself, then at a meter in front of it.",
         _many("a change is felt only further on", "there is one current all the way round",
               "more resistance anywhere in the loop lowers the current everywhere in it"),
         "one loop, one current: a change anywhere is felt everywhere"),
    Idea("M4", "each branch minds its own business",
         "Then the first lamp would not notice when the others come on.",
         "Measure the first lamp alone, then with the others lit. Then measure along the wire they share.",
         _many("branches do not notice each other", "a wire they share carries the current of all of them",
               "what the shared wire loses, every lamp behind it loses"),
         "branches that share a wire share its loss"),
    Idea("M5", "no current flows, so there are no volts",
         "Then the empty socket would be at the level of battery minus, and a bulb put into it could not start a current.",
         "Put the red lead into the socket and the black one on battery minus.",
         _many("volts come with the current", "the level is there before anything flows",
               "volts are a difference between two places; a current may follow"),
         "volts lie between two places, with or without a current"),
    Idea("M6", "the switch is open, so there is nothing across it",
         "If both its ends were at one level, closing the switch would change nothing.",
         "Find the level of each end by itself, black lead on battery minus. Then take one from the other.",
         _many("an open switch has no volts", "its two ends are joined to different places",
               "one end keeps the level of its feed, the other that of the way to ground"),
         "an open contact stands between two different levels"),
    Idea("M7", "one wire from plus is enough",
         "Then you could take the way back off and the lamp would stay lit.",
         "Draw the road from the lamp back to battery minus, and put a finger on each joint.",
         _many("the current runs out to the lamp and is done", "a current that cannot return never starts",
               "it needs a closed way: out, through the lamp, and back"),
         "a current needs a closed way, out and back"),
    Idea("M8", "ground is at 0 V, whatever hangs on it",
         "Then there would be no resistance at all from the lamp's shell to battery minus, however rusty the stud.",
         "Lamp on: red lead on the lamp's ground side, black lead on battery minus itself.",
         _many("ground swallows everything", "its studs and wires have a resistance like any other",
               "the lamp's current lifts the ground side by amps times ohms"),
         "ground is a wire with a resistance like any other"),
    Idea("M9", "0 V on the meter means that nothing is there",
         "Then two readings of 0 V would always mean the same, and a good fuse would be as dead as a dark lamp.",
         "Take one end at a time to battery minus: live, dead, or floating?",
         _many("0 V means no supply", "the meter only says that two places are level",
               "a good fuse shows 0 V with both ends live, a dark lamp with both dead"),
         "0 V says that two places are level, not at what level"),
    Idea("M10", "the coil's current goes on to the contact",
         "Then a click would prove that the lamp has its feed.",
         "The click proves one circuit. Measure at 30 and at the lamp's terminal, of which it says nothing.",
         _many("the relay passes its coil current on", "nothing joins the coil to the contact inside it",
               "the coil moves the contact; the lamp's current comes in at 30"),
         "a relay is two circuits; the coil only moves the contact"),
    Idea("M11", "'normally closed' means closed when it is switched on",
         "Then the break contact would close with the coil, and a relay on the shelf would have it open.",
         "Normal is how it lies on the shelf, coil dead. Which two touch there?",
         _many("normally closed is closed in use", "'normally' speaks of the relay at rest",
               "the spring holds the break contact closed, and the coil opens it"),
         "'normally' means at rest, with a dead coil"),
    Idea("M12", "87 and 87a are live together",
         "If both were made at once, the shelf reading and the operated reading could not differ.",
         "Meter 30 to each of the two with the coil dead, then with the coil fed.",
         _many("a five-pin relay feeds both", "a changeover contact has one tongue",
               "30 is on one side or on the other, never on both"),
         "a changeover contact touches one side or the other"),
    Idea("M13", "two feeds push harder than one",
         "Then the lamp would have far more than the battery's volts with both feeds on, and would soon burn out.",
         "Measure the lamp with one feed, then with both. And look for what is left of the flash.",
         _many("two feeds add up", "both come from the one battery and are at one level",
               "joined feeds hold that level, and the steady one fills the gaps of the flashing one"),
         "two feeds at one level give that level"),
    Idea("M14", "current does not run backwards along a wire",
         "Then only the lamp that is meant would answer, and no relay would be needed to keep the feeds apart.",
         "Follow every wire away from the lamp's feed. Which part stops the current there? Name it.",
         _many("a wire has a direction", "copper has none",
               "current runs from the higher level to the lower, whichever end that is"),
         "a wire carries current either way, from high to low"),
    Idea("M15", "a bigger fuse is safer because it lasts",
         "Then the fuse would outlast the short, and something else in the same loop would have to burn first.",
         "Find the thinnest thing in the loop of the short that would give way before the fuse.",
         _many("a bigger fuse protects better", "until it blows, its whole loop carries the short's current",
               "the fuse must be the weakest thing in the loop, so that the wire is not"),
         "the fuse protects the wire, so it must give way first"),
    Idea("M16", "the meter's figure is what the lamp has",
         "Then the lamp would burn dim and steady at that voltage.",
         "Go through one flash on the time chart. Is there a moment at which the lamp has that voltage?",
         _many("the meter shows the lamp's volts", "a slow needle takes the mean over on and off",
               "the lamp has its full volts or none, and the figure lies between"),
         "a slow needle shows a mean of on and off"),
    Idea("M17", "the ohmmeter says that the wire is good",
         "Then the wire would lose next to nothing with the lamp lit, and the lamp would be at full light.",
         "The tester sent a thousandth of what the lamp needs. Measure along the wire with the lamp lit.",
         _many("a wire with few ohms is a good wire", "a lamp's current turns few ohms into many volts",
               "a wire is proved by what it loses under load"),
         "a wire is proved by what it loses under load"),
    Idea("M18", "more flashes a minute means longer on",
         "Then two lamps that start equally often would also be lit equally long.",
         "Count the starts. Then, apart from that, look at the width of one pulse.",
         _many("rate and on-time are one thing", "two traces can start together and end apart",
               "the rate says how often, the on-time how much of each turn"),
         "how often and how long are two things"),
    Idea("M19", "the cold bulb's ohms tell its amps",
         "Then the lamp would draw many times its rated current all day, and the fuse would blow whenever it is lit.",
         "Take volts and amps of the lit lamp and divide. Compare with the ohms of the cold bulb.",
         _many("volts over cold ohms are the running amps", "a filament's resistance grows as it gets hot",
               "the current leaps up, falls in milliseconds, and stays at the rated figure"),
         "a hot filament has many times its cold resistance"),
)
IDEAS = {one.code: one for one in _TABLE}
