"""JupyterLab as the lessons want it: on this machine only, quiet, with settings of its own.

Nothing is asked of the web (no news, no look for updates) and the learner's
other JupyterLab settings are neither read nor changed.
"""

import json
import os
import traceback
from contextlib import suppress
from itertools import count
from pathlib import Path
from urllib.parse import quote

from ..ground.errors import FileError
from ..ground.files import file_words
from ..ground.known_cells import LAB, remember_lessons
from ..ground.saving import put
from .lessons import make_folder, unusable
from .running import VIEW, running_server, show_again

FRONT_END = Path(__file__).with_name("front_end")     # holds what JupyterLab loads into the page
PRIVATE = ".jupyterlab"      # in the learner's folder; JupyterLab's own things lie there
FIRST_PAGE = "00_start_here.ipynb"
SETTINGS = {
    "@jupyterlab/apputils-extension:notification":
        {"fetchNews": "false", "checkForUpdates": False, "doNotDisturbMode": True},
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
    "@jupyterlab/filebrowser-extension:browser": {"showLastModifiedColumn": False},      # so that whole names fit
    "@jupyterlab/docmanager-extension:plugin": {"defaultViewers": {"markdown": "Markdown Preview"}},    # so links in it work
    "@jupyterlab/notebook-extension:panel": {"toolbar": [{"name": "executionProgress", "disabled": True}]},
}
# Signs that come and go with every move of a slider; each costs the browser a look at the whole page.
UNSHOWN = ("@jupyterlab/application-extension:faviconbusy", *(f"@jupyterlab/{each}-extension:kernel-status" for each in (
    "apputils", "console", "notebook")))
QUIET = ("--ip=127.0.0.1", "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate", "--LabApp.news_url=None",
         "--LabApp.extension_manager=readonly", f"--LabServerApp.extra_labextensions_path={FRONT_END}",
         "--TemplateExporter.preprocessors=circuitlab.commands.folded.WithoutFolded")
PLACES = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
          "IPYTHONDIR": "ipython", "MPLCONFIGDIR": "matplotlib", "JUPYTERLAB_SETTINGS_DIR": "settings",
          "JUPYTERLAB_WORKSPACES_DIR": "workspaces"}

_AFRESH = "Make the kit's environment afresh: remove the folder '.venv', then run the one-line command from the README."


def private_places(folder, settings=SETTINGS):
    """Make the folders in which JupyterLab shall keep its own things, and write the quiet settings.

    A setting the learner has changed since is left alone.

    Parameters
    ----------
    folder : Path
        Where to make them; it lies in the folder of the lessons. [text]
    settings : dict
        JupyterLab settings by ``package:name``. [text]

    Returns
    -------
    dict
        Environment variables that point there. [text]

    Raises
    ------
    FileError
        When something else stands where a folder must be, or it cannot be written.
    """
    lessons = folder.parent
    for place in PLACES.values():
        make_folder(lessons, folder / place)
    for plugin, values in settings.items():
        package, name = plugin.split(":")
        file = folder / "settings" / package / f"{name}.jupyterlab-settings"
        make_folder(lessons, file.parent)
        if not os.path.lexists(file):
            _write(lessons, file, values)
    page = folder / "config" / "labconfig" / "page_config.json"
    make_folder(lessons, page.parent)
    _write(lessons, page, {"disabledExtensions": dict.fromkeys(UNSHOWN, True)})
    return {name: str(folder / place) for name, place in PLACES.items()} | {
        LAB: str(folder), "JUPYTER_PREFER_ENV_PATH": "1", "JUPYTER_WIDGETS_ECHO": "0"}    # no slider's value is sent back to itself


def _write(lessons, file, values):
    """Write settings aside and move them into place; what is there already is not kept."""
    try:
        put(json.dumps(values, indent=2).encode(), file)
    except FileError as error:
        raise unusable(lessons, error) from None


def set_damaged_aside(folder):
    """Give settings and workspaces that cannot be read another name, so that JupyterLab begins afresh with these.

    Parameters
    ----------
    folder : Path
        Where JupyterLab keeps its own things. [text]

    Returns
    -------
    list of str
        A sentence for each. [text]
    """
    said = []
    for file in sorted(path for kind in ("settings", "workspace") for path in folder.rglob(f"*.jupyterlab-{kind}")):
        if _is_readable(file):
            continue
        names = (file.with_name(f"{file.name}.damaged-{number}") for number in count(1))
        aside = next(name for name in names if not os.path.lexists(name))
        try:
            os.replace(file, aside)
        except OSError as error:
            raise unusable(folder.parent, error) from None
        said.append(f"JupyterLab's own '{file_words(file)}' was damaged. It is set aside as '{file_words(aside)}'.")
    return said


def _is_readable(file):
    """Whether a file holds JSON, with remarks as JupyterLab allows them."""
    try:
        text = file.read_text(encoding="utf-8")
        try:
            found = json.loads(text)
        except ValueError:
            import json5      # what JupyterLab reads them with

            found = json5.loads(text)
        return isinstance(found, dict)
    except ImportError:         # nobody can tell; what is missing is said when JupyterLab is opened
        return True
    except (OSError, ValueError):
        return False


def quiet_words():
    """Return the words for a JupyterLab on this machine only, quiet and prompt. [text]"""
    words = list(QUIET)
    try:
        from .prompt import PromptConnection
    except (ImportError, AttributeError):       # another JupyterLab than this was written for; it works without
        return words
    return [*words, f"--ServerApp.kernel_websocket_connection_class={PromptConnection.__module__}.PromptConnection"]


def shown_first(folder, page=""):
    """Return which document of a folder is shown: the one asked for, else the first lesson where it is there; an address without one shows nothing. [text]"""
    return page or FIRST_PAGE * (folder / FIRST_PAGE).exists()


def lab_words(folder, browser=True, page=""):
    """Return the command-line words that open JupyterLab on a folder, at one page of it or the first lesson. [text]"""
    words = [*quiet_words(), f"--ServerApp.root_dir={folder}", "--ServerApp.answer_yes=True", "--log-level=WARN"]
    page = shown_first(folder, page)
    if page:
        words.append(f"--LabApp.default_url=/{VIEW}/tree/{quote(page)}")
    if not browser:
        words.append("--no-browser")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        words.append("--allow-root")
    return words


def open_lab(folder, browser=True, page=""):
    """Open JupyterLab on a folder and stay until it is stopped.

    Parameters
    ----------
    folder : Path
        The learner's folder. [text]
    browser : bool
        Whether to open a browser on it. [1]
    page : str
        What to open, by its path in the folder; the first lesson unless given. [text]

    Raises
    ------
    FileError
        When JupyterLab is not installed here or is broken, or its own folder cannot be used.
    """
    private = Path(folder) / PRIVATE
    make_folder(Path(folder), private)
    with suppress(OSError):             # some disks know no rights
        private.chmod(0o700)            # the tokens of its servers are nobody else's
    for sentence in set_damaged_aside(private):
        print(sentence, flush=True)
    places = private_places(private)
    remember_lessons(private)           # they are made ready by themselves, also once the kit has newer ones
    server = running_server(Path(folder), Path(places["JUPYTER_RUNTIME_DIR"]))
    if server:
        print(show_again(server, browser, shown_first(Path(folder), page)), flush=True)
        return
    os.environ.update(places)           # read by JupyterLab while it is imported
    jupyterlab = _jupyterlab()
    where = "in your browser" if browser else "at the last address printed below"
    print(f"JupyterLab opens {where}. To stop it, press Ctrl and C here.", flush=True)
    try:
        jupyterlab(lab_words(Path(folder), browser, page))
    except OSError as error:
        raise unusable(folder, error) from None


def _jupyterlab():
    """Return JupyterLab's main function, or raise a sentence that says what is missing."""
    try:
        from jupyterlab.labapp import main
    except ModuleNotFoundError as error:
        if error.name == "jupyterlab":
            raise FileError("JupyterLab is not installed in this Python. Install the kit again with its one-line command "
                            "from the README.") from None
        raise lacking(error) from None
    except Exception as error:      # whatever a damaged package raises while it is loaded
        frames = [frame.f_globals.get("__name__", "") for frame, _ in traceback.walk_tb(error.__traceback__)]
        module = next(name for name in reversed(frames) if not name.startswith("importlib."))
        raise FileError(f"JupyterLab cannot be opened: loading '{module}' failed ({type(error).__name__}: "
                        f"{' '.join(str(error).split())}). {_AFRESH}", module=module) from None
    return main


def lacking(error):
    """Return the FileError for a ModuleNotFoundError. [FileError]"""
    return FileError(f"JupyterLab cannot be opened: it needs the module '{error.name}', which is missing. {_AFRESH}",
                     module=error.name)
