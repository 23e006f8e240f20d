"""Floors and ceilings: the wheel with the lowest and with the newest version that pyproject.toml allows of every dependency.

    python -m pip install uv
    python tests/floors_and_ceilings.py --python 3.11 --python 3.14

For each Python and each end of the range: a fresh environment in a folder of its own, the wheel and nothing of this
clone in it, the kit started as the README starts it until its JupyterLab answers, and every lesson of the learner's
copy run. ``--suite`` also runs the tests that need no browser in that environment, with the test packages at the same
end of their range. A line is printed for each; the exit code is 1 when any failed.

It stands outside the test command because it fetches some two hundred packages for each environment. uv finds the
versions: ``lowest-direct`` takes the lowest of what the kit asks for, ``highest`` the newest.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
ENDS = {"lowest": "lowest-direct", "newest": "highest"}
PATIENCE = 180          # s, until JupyterLab answers on a busy machine
SHOWN = ("numpy", "jupyterlab", "ipywidgets", "matplotlib", "networkx", "schemdraw", "resvg-py", "svglib", "reportlab")
RUN_LESSONS = """
import sys
from pathlib import Path
import nbformat
from nbclient import NotebookClient
count = 0
for path in sorted(Path(sys.argv[1]).glob("[0-9]*.ipynb")):
    book = nbformat.read(path, as_version=4)
    NotebookClient(book, timeout=300, resources={"metadata": {"path": sys.argv[1]}}).execute()
    count += 1
print(count)
"""


def main(words=None):
    """Try every combination and return 0 when all held. [1]"""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--python", action="append", metavar="PYTHON", help="a version or a program (default: this one)")
    parser.add_argument("--end", action="append", choices=ENDS, help="only this end of the range (default: both)")
    parser.add_argument("--suite", action="store_true", help="run the tests that need no browser as well")
    given = parser.parse_args(words)
    uv = shutil.which("uv", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}")
    if uv is None:
        parser.error("uv is not installed. Install it with 'python -m pip install uv'.")
    failed = 0
    with tempfile.TemporaryDirectory(prefix="floors-") as folder:
        run(uv, "build", "--quiet", "--wheel", "--out-dir", folder, ROOT)
        (wheel,) = Path(folder).glob("*.whl")
        for python in given.python or [sys.executable]:
            for end in given.end or ENDS:
                with tempfile.TemporaryDirectory(prefix=f"{end}-") as place:
                    try:
                        print(f"{end} on {python}: {tried(uv, wheel, python, end, Path(place), given.suite)}", flush=True)
                    except (AssertionError, subprocess.SubprocessError, OSError) as error:
                        failed += 1
                        print(f"{end} on {python}: FAILED\n{error}", flush=True)
    return 1 if failed else 0


def tried(uv, wheel, python, end, place, suite):
    """Install, start and run the lessons in one environment; return what was done. [text]"""
    environment = place / "environment"
    run(uv, "venv", "--quiet", "--no-python-downloads", "--python", python, environment)
    mine = environment / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    extra = ("--extra", "test") if suite else ()
    run(uv, "pip", "install", "--quiet", "--python", mine, "--resolution", ENDS[end], "-r", ROOT / "pyproject.toml", *extra)
    run(uv, "pip", "install", "--quiet", "--python", mine, "--no-deps", wheel)
    versions = {line["name"]: line["version"] for line in
                json.loads(run(uv, "pip", "list", "--python", mine, "--format", "json"))}
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "PIN_THIRTY", "JUPYTER"))}
    clean["HOME"] = str(place)
    where = run(mine, "-c", "import circuitlab; print(circuitlab.__file__)", cwd=place, env=clean)
    assert Path(where.strip()).is_relative_to(environment), f"the kit came from {where}"
    started(mine, place, clean)
    count = run(mine, "-c", RUN_LESSONS, place / "mine", cwd=place, env=clean).strip()
    assert int(count) == len(list((ROOT / "lessons").glob("[0-9]*.ipynb"))), f"{count} lessons ran"
    said = [f"started, {count} lessons ran"]
    if suite:
        lines = run(mine, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-m", "not browser", ROOT / "tests",
                    cwd=ROOT, env=clean).strip()
        said.append(lines.rpartition("\n")[2])
    release = run(mine, "--version", env=clean).strip()
    return f"{'; '.join(said)} ({release}; {', '.join(f'{name} {versions[name]}' for name in SHOWN)})"


def started(python, place, environment):
    """Start the kit as the README does and wait until its JupyterLab answers."""
    with (place / "said.txt").open("wb") as said:
        server = subprocess.Popen([python, "-m", "circuitlab", "start", "--no-browser", "--folder", place / "mine"],
                                  cwd=place, env=environment, stdin=subprocess.DEVNULL, stdout=said, stderr=said)
    try:
        end = time.monotonic() + PATIENCE
        while not answers(place / "mine"):
            words = (place / "said.txt").read_text(encoding="utf-8", errors="replace")
            assert server.poll() is None, f"the kit did not start:\n{words}"
            assert time.monotonic() < end, f"JupyterLab did not answer in {PATIENCE} s:\n{words}"
            time.sleep(0.3)
    finally:
        server.terminate()
        server.wait(30)


def answers(folder):
    """Tell whether a running JupyterLab of that folder lets us in."""
    for file in (folder / ".jupyterlab" / "runtime").glob("jpserver-*.json"):
        server = json.loads(file.read_text(encoding="utf-8"))
        try:
            with urllib.request.urlopen(f"{server['url']}api/contents?token={server['token']}", timeout=5) as answer:
                return any(entry["name"] == "00_start_here.ipynb" for entry in json.load(answer)["content"])
        except OSError:
            continue
    return False


def run(*words, **more):
    """Run a program and return what it printed; raise with all it said when it fails. [text]"""
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, stdin=subprocess.DEVNULL, **more)
    if done.returncode:
        raise subprocess.SubprocessError(f"{' '.join(map(str, words))[:200]}\n{(done.stdout + done.stderr)[-4000:]}")
    return done.stdout


if __name__ == "__main__":
    sys.exit(main())
