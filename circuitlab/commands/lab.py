"""JupyterLab as the lessons want it: on this machine only, quiet, with settings of its own.

Nothing is asked of the web (no news, no look for updates) and the learner's
other JupyterLab settings are neither read nor changed.
"""

import json
import os
from pathlib import Path

from ..ground.errors import FileError

FRONT_END = Path(__file__).with_name("front_end")     # holds what JupyterLab loads into the page
FIRST_PAGE = "00_start_here.ipynb"
SETTINGS = {
    "@jupyterlab/apputils-extension:notification":
        {"fetchNews": "false", "checkForUpdates": False, "doNotDisturbMode": True},
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
    "@jupyterlab/notebook-extension:panel": {"toolbar": [{"name": "executionProgress", "disabled": True}]},
}
# Signs that come and go with every move of a slider; each costs the browser a look at the whole page.
UNSHOWN = ("@jupyterlab/application-extension:faviconbusy", *(f"@jupyterlab/{each}-extension:kernel-status" for each in (
    "apputils", "console", "notebook")))
QUIET = ("--ip=127.0.0.1", "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate", "--LabApp.news_url=None",
         "--LabApp.extension_manager=readonly", f"--LabServerApp.extra_labextensions_path={FRONT_END}",
         "--ServerApp.kernel_websocket_connection_class=circuitlab.commands.prompt.PromptConnection")


def private_places(folder, settings=SETTINGS):
    """Make the folders in which JupyterLab shall keep its own things, and write the quiet settings.

    A setting the learner has changed since is left alone.

    Parameters
    ----------
    folder : Path
        Where to make them. [text]
    settings : dict
        JupyterLab settings by ``package:name``. [text]

    Returns
    -------
    dict
        Environment variables that point there. [text]
    """
    for plugin, values in settings.items():
        package, name = plugin.split(":")
        file = folder / "settings" / package / f"{name}.jupyterlab-settings"
        file.parent.mkdir(parents=True, exist_ok=True)
        if not file.exists():
            file.write_text(json.dumps(values, indent=2), encoding="utf-8")
    page = folder / "config" / "labconfig" / "page_config.json"
    page.parent.mkdir(parents=True, exist_ok=True)
    page.write_text(json.dumps({"disabledExtensions": dict.fromkeys(UNSHOWN, True)}, indent=2), encoding="utf-8")
    places = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
              "IPYTHONDIR": "ipython", "MPLCONFIGDIR": "matplotlib", "JUPYTERLAB_SETTINGS_DIR": "settings",
              "JUPYTERLAB_WORKSPACES_DIR": "workspaces"}
    return {name: str(folder / place) for name, place in places.items()} | {
        "JUPYTER_PREFER_ENV_PATH": "1", "JUPYTER_WIDGETS_ECHO": "0"}    # no slider's value is sent back to itself


def lab_words(folder, browser=True):
    """Return the command-line words that open JupyterLab on a folder. [text]"""
    words = [*QUIET, f"--ServerApp.root_dir={folder}", "--ServerApp.answer_yes=True", "--log-level=WARN"]
    if (folder / FIRST_PAGE).exists():
        words.append(f"--LabApp.default_url=/lab/tree/{FIRST_PAGE}")
    if not browser:
        words.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--allow-root")
    return words


def open_lab(folder, browser=True):
    """Open JupyterLab on a folder and stay until it is stopped.

    Parameters
    ----------
    folder : Path
        The learner's folder. [text]
    browser : bool
        Whether to open a browser on it. [1]

    Raises
    ------
    FileError
        When JupyterLab is not installed here.
    """
    os.environ.update(private_places(Path(folder) / ".jupyterlab"))   # read by JupyterLab while it is imported
    try:
        from jupyterlab.labapp import main as jupyterlab
    except ImportError:
        raise FileError("JupyterLab is not installed in this Python. Install the kit again with its one-line command "
                        "from the README.") from None
    where = "in your browser" if browser else "at the last address printed below"
    print(f"JupyterLab opens {where}. To stop it, press Ctrl and C here.", flush=True)
    jupyterlab(lab_words(Path(folder), browser))
