"""What every test finds ready: the marker for outside sources."""

import outside_marker


def pytest_configure(config):
    """Take the marker's rules into this run."""
    config.pluginmanager.register(outside_marker, "outside_marker")
