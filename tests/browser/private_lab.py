"""A JupyterLab of its own for the browser tests, with the settings a learner gets, and a hand to work a notebook in it."""

import os
import secrets
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from circuitlab.commands.lab import SETTINGS, private_places, quiet_words
from circuitlab.commands.running import VIEW

# Beyond the learner's settings: nothing is saved behind the test's back, and the look does not follow the machine.
TEST_SETTINGS = SETTINGS | {
    "@jupyterlab/docmanager-extension:plugin": SETTINGS["@jupyterlab/docmanager-extension:plugin"] | {"autosave": False},
    "@jupyterlab/apputils-extension:themes": {"theme": "JupyterLab Light", "adaptive-theme": False},
}

KERNEL_IS_IDLE = """(all_ran) => {
  const shown = window.jupyterapp && window.jupyterapp.shell.currentWidget;
  const session = shown && shown.context && shown.context.sessionContext.session;
  const kernel = session && session.kernel;
  return !!kernel && kernel.connectionStatus === 'connected' && kernel.status === 'idle' &&
    (!all_ran || shown.content.widgets.every(cell => cell.model.type !== 'code'
       || !cell.model.sharedModel.getSource().trim() || cell.model.executionCount !== null)); }"""

# A lesson is made ready by itself: it is waited for from before that begins, or its cells would be run twice at once.
IS_READY = """() => {
  const shown = window.jupyterapp.shell.currentWidget;
  if (!shown?.context?.isReady || shown.node.matches('.pin30-readying')) return false;
  return !shown.context.model.sharedModel.getMetadata('pin_thirty') || shown.node.matches('.pin30-own') || !!shown.node.querySelector('.pin30-strip'); }"""


class PrivateLab:
    """A JupyterLab on this machine only; all its files lie in one temporary folder.

    Parameters
    ----------
    root : Path
        Folder with the notebooks (copies). [text]
    """

    def __init__(self, root):
        self.own = Path(tempfile.mkdtemp(prefix="lab-"))
        self.token = secrets.token_hex(16)
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.address = f"http://127.0.0.1:{probe.getsockname()[1]}"
        words = [*quiet_words(), f"--ServerApp.root_dir={root}", "--no-browser", "--allow-root", "--ServerApp.port_retries=0",
                 f"--port={self.address.rpartition(':')[2]}", f"--IdentityProvider.token={self.token}",
                 "--LabApp.expose_app_in_browser=True"]
        places = os.environ | private_places(self.own, TEST_SETTINGS)
        places.pop("PIN_THIRTY_ANSWERS", None)                     # answers go where a learner's go
        self.log = (self.own / "server.log").open("wb")
        self.server = subprocess.Popen([sys.executable, "-m", "jupyterlab", *words], stdin=subprocess.DEVNULL,
                                       stdout=self.log, stderr=subprocess.STDOUT,
                                       env=places)
        try:
            self._wait()
        except BaseException:
            self.close()
            raise

    def _wait(self, seconds=60):
        """Return once the server answers, or raise with what it said."""
        ask = urllib.request.Request(self.address + "/api/status", headers={"Authorization": f"token {self.token}"})
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        end = time.monotonic() + seconds
        while True:
            try:
                with opener.open(ask, timeout=2):
                    return
            except OSError:
                if self.server.poll() is not None or time.monotonic() > end:
                    raise RuntimeError((self.own / "server.log").read_text(encoding="utf-8")) from None
                time.sleep(0.1)

    def page_of(self, name):
        """Return the address of a notebook; ``reset`` clears what was open before. [text]"""
        return f"{self.address}/{VIEW}/tree/{name}?token={self.token}&reset"

    def close(self):
        """Stop the server and remove its files."""
        self.server.terminate()
        try:
            self.server.wait(10)
        except subprocess.TimeoutExpired:
            self.server.kill()
            self.server.wait()
        self.log.close()
        shutil.rmtree(self.own, ignore_errors=True)


class Notebook:
    """A notebook open in a browser page.

    Words are looked for in outputs only, because the code cells above them often show the same words.

    Parameters
    ----------
    page : playwright.sync_api.Page
        The page.
    lab : PrivateLab
        Where the notebook is.
    """

    def __init__(self, page, lab):
        self.page, self.lab = page, lab
        self.panel = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
        self.outputs = self.panel.locator(".jp-Cell-outputWrapper")

    def open(self, name):
        """Open a notebook and wait for its kernel; keys pressed earlier would go astray."""
        self.page.goto(self.lab.page_of(name))
        self.page.wait_for_function("window.jupyterapp && window.jupyterapp.started.then(() => true)")
        self.page.wait_for_function(IS_READY, timeout=60_000)
        self.page.wait_for_function(KERNEL_IS_IDLE, arg=False, timeout=60_000)
        return self

    def run_all(self):
        """Run every cell and raise when one fails or writes to stderr; a lesson that ran while it was opened is not run twice."""
        if not self.page.evaluate("""() => { const panel = document.querySelector('.jp-NotebookPanel.pin30-fresh');
              panel?.classList.remove('pin30-fresh'); return !!panel; }"""):
            self.page.evaluate("window.jupyterapp.commands.execute('notebook:run-all-cells')")
        self.wait_until_run()

    def wait_until_run(self):
        """Return once every cell has run; raise when one failed or wrote to stderr."""
        self.page.wait_for_function(KERNEL_IS_IDLE, arg=True, timeout=60_000)
        bad = self.panel.locator("[data-mime-type='application/vnd.jupyter.stderr'], "
                                 "[data-mime-type='application/vnd.jupyter.error']")
        assert bad.count() == 0, bad.all_inner_texts()

    def slider(self, label, place=None):
        """Return the slider with a visible label, in one place of the page or in all outputs; it has no name of its own."""
        row = (place or self.outputs).locator(".widget-slider").filter(has=self.page.get_by_text(label, exact=True))
        return row.get_by_role("slider")

    def button(self, label):
        """Return the button or toggle button of that name."""
        return self.outputs.get_by_role("button", name=label)
