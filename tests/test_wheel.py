"""The wheel: installed without the clone it brings its lessons and datasets and can prove an arrangement."""

import os
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def run(*words, **more):
    """Run a program and return what it printed; raise with its stderr when it fails. [text]"""
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, stdin=subprocess.DEVNULL, **more)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The wheel, built from this tree."""
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index",
        "--wheel-dir", folder, ROOT)
    (built,) = folder.glob("pin_thirty-*.whl")
    return built


@pytest.fixture(scope="module")
def python(wheel, tmp_path_factory):
    """A Python with the wheel installed; it sees this environment's other packages, but not this clone."""
    folder = tmp_path_factory.mktemp("environment")
    run(sys.executable, "-m", "venv", "--without-pip", folder)
    python = folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    run(sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps", "--no-index", wheel)
    site = Path(run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))").strip())
    (site / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python


@pytest.fixture
def ask(python, tmp_path):
    """Run Python words in an empty folder, with nothing of this run's environment that leads to the clone."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}

    def run_there(*words):
        return run(python, *words, cwd=tmp_path, env=clean)
    return run_there


def test_the_wheel_holds_what_the_clone_holds(wheel):
    """Every lesson, guide, picture and dataset under version control or new; no checkpoints, caches or answers."""
    names = set(zipfile.ZipFile(wheel).namelist())
    skipped = {".ipynb_checkpoints", "__pycache__", "answers"}
    for folder in ("circuitlab", "lessons", "datasets"):
        prefix = "" if folder == "circuitlab" else "circuitlab/"
        files = {prefix + path.relative_to(ROOT).as_posix() for path in (ROOT / folder).rglob("*")
                 if path.is_file() and not skipped & set(path.parts)}
        assert files, f"{folder} is empty"
        assert files - names == set()
    assert {name for name in names if skipped & set(name.split("/")) or name.startswith("tests/")} == set()


def test_the_installed_kit_is_not_the_clone(ask, python):
    """Otherwise the tests below would prove nothing."""
    where = ask("-c", "import circuitlab; print(circuitlab.__file__)")
    assert Path(where.strip()).is_relative_to(python.parents[1])
    assert not Path(where.strip()).is_relative_to(ROOT)


def test_it_lists_and_proves_arrangements(ask):
    """From an empty folder."""
    assert "one-fused-lamp" in ask("-m", "circuitlab", "arrangements")
    assert "E1" in ask("-m", "circuitlab", "prove", "one-fused-lamp")


def test_it_brings_the_lessons(ask, tmp_path):
    """And copies them into a folder of the learner's."""
    ask("-c", "from circuitlab.commands.lessons import copy_lessons; copy_lessons('mine')")
    lessons = {path.name for path in (ROOT / "lessons").glob("*.ipynb")}
    assert "00_start_here.ipynb" in lessons
    assert {path.name for path in (tmp_path / "mine").glob("*.ipynb")} == lessons
