"""Floor 7, teaching: what marking answers needs and no widget does. Wrong ideas, variants, the ladder of help."""

from .fairness import Fairness, fairness
from .ideas import IDEAS, Idea, idea
from .ladder import Ladder, Refused, Reply
from .seeds import issue_code, read_code, seed_of
from .task import Posed, Task
from .variants import Variant, Variants, vary

__all__ = ["Fairness", "IDEAS", "Idea", "Ladder", "Posed", "Refused", "Reply", "Task", "Variant", "Variants", "fairness",
           "idea", "issue_code", "read_code", "seed_of", "vary"]
