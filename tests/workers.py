"""Who runs which tests: as many workers as the machine has processors, each file whole, browser files one after another."""

from xdist.scheduler import LoadFileScheduling

BROWSER = "tests/browser/"


class ByRoom(LoadFileScheduling):
    """A file's tests stay together, for their fixtures; so do all that share the one JupyterLab."""

    def _split_scope(self, nodeid):
        """Return the name of the group a test belongs to. [text]"""
        return BROWSER if nodeid.startswith(BROWSER) else super()._split_scope(nodeid)


def pytest_xdist_make_scheduler(config, log):
    """Hand the tests out by room."""
    return ByRoom(config, log)


def pytest_xdist_auto_num_workers(config):
    """Start no workers for a single file: they would take longer than they save."""
    return 0 if len(config.args) == 1 and config.args[0].partition("::")[0].endswith((".py", ".ipynb")) else None
