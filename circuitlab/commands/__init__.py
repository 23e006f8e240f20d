"""Floor 9, commands: what ``python -m circuitlab`` can do without a notebook, and how it opens the notebooks."""
