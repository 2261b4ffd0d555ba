"""The wheel that a workshop would install carries the whole course, and only the course."""

import os
import shutil
import subprocess
import sys
import time
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PARTS = (
    "README.md",
    "LICENSE",
    "DEVELOPERS.md",
    "pyproject.toml",
    "dampinglab",
    "lessons",
    "datasets",
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Build the wheel the way an installer does, from a copy with a learner's litter in it."""
    copy = tmp_path_factory.mktemp("copy")
    for part in PARTS:
        source = ROOT / part
        if source.is_dir():
            shutil.copytree(source, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy(source, copy / part)
    litter = copy / "lessons" / ".ipynb_checkpoints" / "00-start-here-checkpoint.ipynb"
    litter.parent.mkdir(exist_ok=True)
    litter.write_text("{}")
    words = [sys.executable, "-m", "build", "--outdir", str(copy / "dist"), str(copy)]
    told = subprocess.run(words, capture_output=True, text=True)
    assert told.returncode == 0, told.stdout + told.stderr
    return next((copy / "dist").glob("*.whl"))


@pytest.fixture(scope="module")
def names(wheel):
    return set(zipfile.ZipFile(wheel).namelist())


def shipped(folder):
    """Return what of a folder has to be in the wheel."""
    skipped = {".ipynb_checkpoints", "__pycache__"}
    return {
        f"dampinglab/_course/{path.relative_to(ROOT).as_posix()}"
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and not skipped & set(path.parts)
    }


@pytest.mark.parametrize("folder", ["lessons", "datasets"])
def test_the_course_is_in_the_wheel(names, folder):
    wanted = shipped(folder)
    assert wanted
    assert wanted - names == set()


def test_every_module_and_setting_is_in_the_wheel(names):
    kinds = {".py", ".json"}
    wanted = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "dampinglab").rglob("*")
        if path.suffix in kinds and not {"_course", "__pycache__"} & set(path.parts)
    }
    assert wanted - names == set()


def test_no_litter_is_in_the_wheel(names):
    litter = ("checkpoint", "__pycache__", ".pyc", "progress.jsonl", "trials.jsonl", "tests/")
    assert {name for name in names if any(piece in name for piece in litter)} == set()


def test_the_licence_goes_with_it(names):
    assert any(name.endswith("licenses/LICENSE") for name in names)


@pytest.fixture
def installed(wheel, tmp_path):
    """Install the wheel beside the libraries of this environment, which are not fetched again."""
    room = tmp_path / "room"
    venv.create(room, with_pip=False, symlinks=True)
    site = next(room.glob("lib/python*/site-packages"))
    zipfile.ZipFile(wheel).extractall(site)
    here = [path for path in sys.path if path.endswith("site-packages")]
    (site / "libraries.pth").write_text("\n".join(here) + "\n")
    return room / "bin" / "python", site


def test_an_installed_wheel_finds_its_lessons_far_from_the_repository(installed, tmp_path):
    python, site = installed
    asked = (
        "from dampinglab import data, workbook\n"
        "from pathlib import Path\n"
        "changes = workbook.refresh(Path('book'))\n"
        "print(data.folder('lessons')); print(*changes.new, sep='\\n')"
    )
    told = subprocess.run([python, "-c", asked], cwd=tmp_path, capture_output=True, text=True)
    where, *new = told.stdout.splitlines()
    assert where == str(site / "dampinglab" / "_course" / "lessons"), told.stderr
    assert "00-start-here.ipynb" in new
    assert any(name.startswith("demo/") for name in new)


@pytest.mark.skipif(os.environ.get("DAMPINGLAB_LONG") != "1", reason="starts a kernel")
def test_an_installed_wheel_passes_its_selfcheck(installed, tmp_path):
    began = time.monotonic()
    words = [installed[0], "-m", "dampinglab", "selfcheck"]
    told = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True)
    assert told.returncode == 0, told.stdout + told.stderr
    lines = told.stdout.splitlines()
    assert len([line for line in lines if line.startswith("good")]) == 8
    assert lines[-1] == "This installation is whole."
    assert time.monotonic() - began < 30
