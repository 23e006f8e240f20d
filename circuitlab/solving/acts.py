"""Acts: what a hand did, and when. A script is acts; a replay, a lesson's trial and a told story are scripts."""

from typing import NamedTuple

CONTROL, CHANGE, LEAD = "control", "change", "lead"
LEADS = ("red", "black")


class Act(NamedTuple):
    """One thing that a hand did.

    Parameters
    ----------
    when : float
        [s]
    kind : {"control", "change", "lead"}
    what : str or tuple of str or Arrangement
        The control that was moved; the changes made so far, as sentences, or the circuit they make; which lead. [text]
    to : str or tuple of str
        The position it was moved to; the terminal the lead was put on, nothing where it was taken off; the parts put in new under
        their old name. [text]

    >>> Act(0.5, CONTROL, "brake pedal", "held")
    Act(when=0.5, kind='control', what='brake pedal', to='held')
    """

    when: float
    kind: str
    what: object
    to: str = ""
