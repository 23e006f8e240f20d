"""``python -m circuitlab``: the kit's commands."""

from .commands.line import main

if __name__ == "__main__":
    raise SystemExit(main())
