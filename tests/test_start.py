"""The start command beside a JupyterLab that runs already, ran once, or is broken."""

import json
import os
import re
import signal
import subprocess
import sys
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from circuitlab.commands import lab, running
from circuitlab.commands.lessons import copy_lessons
from circuitlab.commands.line import main
from circuitlab.ground.errors import FileError

TOKEN = "5" * 48


@pytest.fixture
def begin(tmp_path):
    """Return a function that starts on one folder until it is said where; it gives process, address and words."""
    begun = []

    def begin_start():
        process = subprocess.Popen([sys.executable, "-m", "circuitlab", "start", "--no-browser", "--folder", "mine"],
                                   cwd=tmp_path, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                   stderr=subprocess.STDOUT, text=True, bufsize=1)
        begun.append(process)
        said = ""
        for line in process.stdout:
            said += line
            found = re.search(r"(http://127\.0\.0\.1:\d+/)doc/tree/00_start_here\.ipynb\?token=\w+", line)
            if found:
                return process, found[1], said
        raise AssertionError("start ended early: " + said)
    yield begin_start
    for process in begun:
        process.kill()
        process.wait()
        process.stdout.close()


@pytest.mark.full
def test_a_second_start_shows_the_first_and_a_killed_one_fools_nobody(begin, tmp_path):
    """One folder, one JupyterLab; after it was killed the next start opens another one."""
    first, address, _ = begin()
    runtime = tmp_path / "mine" / ".jupyterlab" / "runtime"
    for _ in range(100):
        if running.running_server(tmp_path / "mine", runtime):      # it prints its address a moment before it answers
            break
        threading.Event().wait(0.1)
    second, again, said = begin()
    assert "JupyterLab runs on this folder already" in said
    assert again == address and second.wait(20) == 0 and first.poll() is None

    first.send_signal(getattr(signal, "SIGKILL", signal.SIGTERM))
    first.wait(20)
    left = list(runtime.glob("jpserver-*.json"))
    assert left, "what a killed server leaves"
    third, _, said = begin()
    assert "already" not in said and third.poll() is None
    assert set(runtime.glob("jpserver-*.json")) - set(left)


# ------------------------------------------------------------------ what may stand in the runtime folder

@pytest.fixture
def answering():
    """Return a function that lets a server answer every question by a function of its token; it gives the address."""
    servers = []

    def answer_with(number_for):
        class Handler(BaseHTTPRequestHandler):
            def do_GET(self):
                number = number_for(self.headers["Authorization"])
                if number:
                    self.send_response(number)
                    self.end_headers()

            def log_message(self, *words):
                pass
        servers.append(ThreadingHTTPServer(("127.0.0.1", 0), Handler))
        threading.Thread(target=servers[-1].serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{servers[-1].server_port}/"
    yield answer_with
    for server in servers:
        server.shutdown()
        server.server_close()


@pytest.fixture
def leave(tmp_path):
    """Return a function that leaves a server's file in a runtime folder as JupyterLab does; it gives that folder."""
    def leave_file(**changed):
        runtime = tmp_path / "runtime"
        runtime.mkdir(exist_ok=True)
        said = {"url": "http://127.0.0.1:9/", "token": TOKEN, "root_dir": str(tmp_path), "pid": os.getpid()} | changed
        (runtime / "jpserver-7.json").write_text(json.dumps(said), encoding="utf-8")
        return runtime
    return leave_file


def by_token(given):
    """Answer as JupyterLab does."""
    return 200 if given == f"token {TOKEN}" else 403


def test_a_server_that_takes_its_token_and_no_other_is_the_kits_own(answering, leave, tmp_path):
    """Beside what another program left half written."""
    address = answering(by_token)
    runtime = leave(url=address)
    (runtime / "jpserver-1.json").write_text('{"url": "http', encoding="utf-8")
    (runtime / "jpserver-2.json").write_text("[]", encoding="utf-8")
    (runtime / "jpserver-3.json").mkdir()
    found = running.running_server(tmp_path, runtime)
    assert found.link == f"{address}doc?token={TOKEN}"


@pytest.mark.parametrize("number_for", [lambda given: 200, lambda given: 403, lambda given: 404, lambda given: 0])
def test_another_program_at_a_dead_servers_address_is_not_taken_for_it(answering, leave, tmp_path, number_for):
    """Whatever it answers, even if it welcomes everybody."""
    assert running.running_server(tmp_path, leave(url=answering(number_for))) is None


@pytest.mark.parametrize("changed", [
    {}, {"root_dir": "/"}, {"root_dir": 3}, {"token": ""}, {"token": None}, {"url": "http://192.0.2.1:80/"},
    {"url": "no address"},
    {"url": "http://127.0.0.1:no/"}, {"url": None},
])
def test_a_file_that_leads_nowhere(answering, leave, tmp_path, changed):
    """Of a dead server, of another folder, of another machine, damaged: none of them counts."""
    address = {} if not changed or "url" in changed else {"url": answering(by_token)}
    assert running.running_server(tmp_path, leave(**address, **changed)) is None


@pytest.mark.parametrize("url", ["http://192.0.2.1:80/", "http://127.0.0.1:1@192.0.2.1/", "https://127.0.0.1:1/",
                                 "file:///", "http://127.0.0.1:1/elsewhere/"])
def test_the_token_is_sent_to_this_machine_only(leave, tmp_path, monkeypatch, url):
    """Whatever a file says, no other address is asked."""
    asked = []
    monkeypatch.setattr(running, "_asked", lambda server, token: asked.append(server.address))
    assert running.running_server(tmp_path, leave(url=url)) is None and asked == []
    assert running.running_server(tmp_path, leave()) is None and asked == ["http://127.0.0.1:9/"]


@pytest.mark.parametrize(("has_page", "has_browser"), [(True, True), (False, True), (True, False)])
def test_a_running_server_is_opened_in_the_browser(leave, tmp_path, monkeypatch, has_page, has_browser):
    """By the page that JupyterLab wrote for it, which keeps the token out of the list of programs, else by its address."""
    page, opened = tmp_path / "jpserver-7-open.html", []
    if has_page:
        page.write_text("<html/>", encoding="utf-8")
    monkeypatch.setattr(running.webbrowser, "open", lambda address: opened.append(address) or has_browser)
    server = running.Server("http://127.0.0.1:8888/", TOKEN, page)
    said = running.show_again(server)
    assert opened == [page.as_uri() if has_page else server.link]
    assert ("opens in your browser" in said) == has_browser and server.link in said
    assert server.link in running.show_again(server, browser=False) and len(opened) == 1


def test_a_second_start_shows_the_first_lesson_and_no_empty_page(tmp_path, monkeypatch, capsys):
    """In the browser and in the address it prints, as the first start does; in a folder without that lesson only what is there can be shown."""
    opened, leading = [], tmp_path / "jpserver-7-open-page.html"
    monkeypatch.setattr(running.webbrowser, "open", lambda address: opened.append(address) or True)
    monkeypatch.setattr(lab, "running_server", lambda folder, runtime: running.Server("http://127.0.0.1:8888/", TOKEN, tmp_path / "jpserver-7-open.html"))
    address = f"http://127.0.0.1:8888/doc/tree/00_start_here.ipynb?token={TOKEN}"
    assert main(["start", "--folder", str(tmp_path / "mine")]) == 0
    assert opened == [leading.as_uri()] and f"url={address}" in leading.read_text(encoding="utf-8")
    assert f"and opens in your browser again. Its address: {address}" in capsys.readouterr().out
    assert main(["start", "--folder", str(tmp_path / "mine"), "--no-browser"]) == 0
    assert f"Open it in your browser: {address}" in capsys.readouterr().out and len(opened) == 1
    (tmp_path / "mine" / "00_start_here.ipynb").unlink()
    assert lab.shown_first(tmp_path / "mine") == ""
    assert lab.shown_first(tmp_path / "mine", "my_board.ipynb") == "my_board.ipynb"


# ------------------------------------------------------------------ a JupyterLab that is broken

@pytest.fixture(scope="module")
def copied(tmp_path_factory):
    """A folder that has the lessons already."""
    return copy_lessons(tmp_path_factory.mktemp("lessons") / "mine").folder


def start_with(before, folder):
    """Start in a Python that runs some lines before; it must end in one line, which is returned."""
    code = (f"import sys\n{before}\nfrom circuitlab.commands.line import main\n"
            f"sys.exit(main(['start', '--folder', {str(folder)!r}]))")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (done.returncode, len(done.stderr.splitlines())) == (2, 1), done.stderr
    return done.stderr


@pytest.mark.parametrize(("module", "sentence"), [
    ("jupyterlab", "JupyterLab is not installed in this Python. Install the kit again"),
    pytest.param("json5", "JupyterLab cannot be opened: it needs the module 'json5', which is missing. Make the kit's",
                 marks=pytest.mark.full),
    ("nbformat", "JupyterLab cannot be opened: it needs the module 'nbformat', which is missing"),
])
def test_what_is_missing_is_named(tmp_path, copied, module, sentence):
    """JupyterLab that is not there, and one that something it needs is missing from, are told apart."""
    lacking = f"""class Lacking:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            raise ModuleNotFoundError(f'No module named {{name!r}}', name=name)
sys.meta_path.insert(0, Lacking())"""
    said = start_with(lacking, tmp_path / "new" if module == "nbformat" else copied)
    assert sentence in said and "README" in said


@pytest.mark.parametrize(("text", "sentence"), [
    ("import nothing_such", "it needs the module 'nothing_such', which is missing"),
    ("def main(:", "(SyntaxError: invalid syntax (labapp.py, line 1))"),
    ("from json import nothing_such", "loading 'jupyterlab.labapp' failed (ImportError: cannot import name 'nothing_such'"),
    ("raise OSError('no such\\nlibrary')", "loading 'jupyterlab.labapp' failed (OSError: no such library)"),
])
def test_what_is_damaged_is_said(tmp_path, copied, text, sentence):
    """A package that was half installed may fail in any way."""
    package = tmp_path / "first" / "jupyterlab"
    package.mkdir(parents=True)
    (package / "__init__.py").write_text("", encoding="utf-8")
    (package / "labapp.py").write_text(text, encoding="utf-8")
    assert sentence in start_with(f"sys.path.insert(0, {str(package.parent)!r})", copied)


def test_jupyterlab_that_finds_the_disk_full_ends_in_a_sentence(tmp_path, monkeypatch, capsys):
    """While it writes its own files."""
    def full(words):
        raise OSError(28, "No space left on device")
    monkeypatch.setattr(lab, "_jupyterlab", lambda: full)
    monkeypatch.setattr(lab.os, "environ", dict(os.environ))
    assert main(["start", "--folder", str(tmp_path / "mine")]) == 2
    assert "the disk is full. Free some space, then start again" in capsys.readouterr().err


def test_the_prompt_connection_is_asked_for_only_where_there_is_one(monkeypatch):
    """Another JupyterLab may lay its rooms out otherwise; it works without."""
    def words():
        return [word for word in lab.lab_words(Path("lessons")) if "PromptConnection" in word]
    assert words() == ["--ServerApp.kernel_websocket_connection_class=circuitlab.commands.prompt.PromptConnection"]
    monkeypatch.setitem(sys.modules, "circuitlab.commands.prompt", None)
    assert words() == []


def test_the_private_folder_is_nobody_elses(tmp_path, monkeypatch):
    """The tokens of its servers lie there."""
    monkeypatch.setattr(lab, "_jupyterlab", lambda: lambda words: None)
    monkeypatch.setattr(lab.os, "environ", dict(os.environ))
    main(["start", "--folder", str(tmp_path / "mine")])
    if os.name == "posix":
        assert (tmp_path / "mine" / ".jupyterlab").stat().st_mode & 0o077 == 0


def test_a_lesson_of_ones_own_that_is_cut_off_is_named_and_a_folder_that_cannot_be_is_told_as_one(tmp_path):
    """Nothing is overwritten; whatever else is kept is as it was."""
    copied = copy_lessons(tmp_path / "mine")
    assert "No notebook" not in copied.sentence
    first = tmp_path / "mine" / "00_start_here.ipynb"
    first.write_text(first.read_text(encoding="utf-8")[:300], encoding="utf-8")
    again = copy_lessons(tmp_path / "mine")
    assert ("No notebook any more, perhaps cut off: '00_start_here.ipynb'. Give it another name and start again: a fresh one is "
            "then put there.") in again.sentence
    assert len(first.read_text(encoding="utf-8")) == 300


@pytest.mark.skipif(not os.path.exists("/proc/self"), reason="only Linux has a place where no folder can be made")
def test_a_place_for_no_folder_is_told_as_that():
    with pytest.raises(FileError, match="cannot be used for the lessons: no folder can be made there. Give another with --folder"):
        copy_lessons("/proc/x")
