"""Floor 1, plain ground: errors in the learner's words, and quantities as text."""
