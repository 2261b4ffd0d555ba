"""A full disk, a home that takes no file, a strange folder, a clock that goes backwards."""

import json
import os
import shutil
import signal
import subprocess
import sys

import pytest

from dampinglab.course import classroom, progress

ALONE = ["unshare", "-rm"]  # a name space of its own, in which a disk can be put anywhere


@pytest.fixture(scope="module")
def own_disks():
    told = shutil.which("unshare") and subprocess.run([*ALONE, "mount", "-t", "tmpfs", "x", "/tmp"])
    if not told or told.returncode:
        pytest.skip("this machine lends no name space to mount a small disk in")


ON_A_SMALL_DISK = """
import json, subprocess, sys
from pathlib import Path
from IPython.display import display
from dampinglab.course import check, practice

disk, said = Path(sys.argv[1]), []
practice.display = lambda words: said.append(words.text)
filler = disk / "filler"
mount = lambda options: subprocess.run(["mount", "-o", options, "x", disk], check=True)

check("0.1", "1 N")
try:
    with filler.open("wb", buffering=0) as file:
        while True:
            file.write(bytes(100))
except OSError as problem:
    assert problem.errno == 28, problem
whole = (disk / "progress.jsonl").read_text()
for answer in range(2, 60):  # some fit into the last block
    check("0.1", f"{answer} N")
assert "not recorded yet" in said[-1], said[-1]
assert "No space left" in said[-1], said[-1]
kept = (disk / "progress.jsonl").read_text()
assert kept.startswith(whole) and kept.endswith("\\n")
assert all(json.loads(line) for line in kept.splitlines())

mount("remount,ro")
check("0.1", "60 N")
assert "Read-only" in said[-1], said[-1]
assert (disk / "progress.jsonl").read_text() == kept

mount("remount,rw,size=1m")
check("0.1", "61 N")
lines = (disk / "progress.jsonl").read_text().splitlines()
assert [json.loads(line)["raw"] for line in lines] == [f"{n} N" for n in range(1, 62)]
"""


def test_a_full_and_a_read_only_disk_stop_nobody_and_lose_nothing(own_disks, tmp_path):
    mounted = 'mount -t tmpfs -o size=8k x "$2" && exec "$0" -c "$1" "$2"'
    words = [*ALONE, "sh", "-c", mounted, sys.executable, ON_A_SMALL_DISK, tmp_path]
    environment = {**os.environ, "DAMPINGLAB_WORKBOOK": str(tmp_path)}
    environment.pop("DAMPINGLAB_MARKING", None)
    told = subprocess.run(words, env=environment, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr


def test_a_disk_with_little_room_is_seen_as_it_is(own_disks, tmp_path):
    asked = "import sys; from dampinglab import serve; from pathlib import Path; "
    asked += "print(*serve.short_of_room(Path(sys.argv[1])))"
    mounted = 'mount -t tmpfs -o size=20m x "$2" && exec "$0" -c "$1" "$2"'
    words = [*ALONE, "sh", "-c", mounted, sys.executable, asked, tmp_path]
    told = subprocess.run(words, capture_output=True, text=True)
    assert told.returncode == 0, told.stderr
    assert told.stdout.startswith(f"Only 21 MB are free on the disk of {tmp_path}: make room")


def test_the_course_starts_with_a_home_that_takes_no_file_in_a_strange_folder(
    own_disks, launch, tmp_path
):
    """Settings and kernels' files go beside the lessons; a kernel runs all the same."""
    sealed = 'mount -t tmpfs -o ro x "$HOME" && exec "$@"'
    folder = tmp_path / "моя wörk 本 $x & co"
    elsewhere = {name: str(tmp_path / name) for name in ("JUPYTER_CONFIG_DIR", "IPYTHONDIR")}
    course = launch("--folder", str(folder), before=[*ALONE, "sh", "-c", sealed, "sh"], **elsewhere)
    assert course.folder == folder
    assert json.loads(course.ask("/api/kernels", b"{}"))["name"] == "python3"
    assert json.loads(course.ask("/api/contents/00-start-here.ipynb"))["content"]["cells"]
    assert course.end(signal.SIGTERM)[0] == 0
    assert (folder / ".dampinglab-home" / "JUPYTER_RUNTIME_DIR").is_dir()


def test_a_home_that_takes_no_file_gets_one_sentence(own_disks, command_line, tmp_path):
    sealed = 'mount -t tmpfs -o ro x "$HOME" && exec "$@"'
    words = [*ALONE, "sh", "-c", sealed, "sh", *command_line("start", "--no-browser")]
    environment = {**os.environ, "HOME": str(tmp_path)}
    told = subprocess.run(words, env=environment, capture_output=True, text=True)
    assert (told.returncode, told.stdout, told.stderr.count("\n")) == (2, "", 1)
    assert "cannot be written (Read-only file system)" in told.stderr


def test_a_clock_that_goes_backwards_changes_no_order(tmp_path, monkeypatch):
    """What came first in the file came first."""
    monkeypatch.delenv("DAMPINGLAB_MARKING", raising=False)
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(tmp_path / "anna"))
    (tmp_path / "anna").mkdir()

    class Clock:
        year = 2031

        @classmethod
        def now(cls, zone):
            cls.year -= 1
            return progress_datetime(cls.year, 1, 1, tzinfo=zone)

    progress_datetime = progress.datetime
    monkeypatch.setattr(progress, "datetime", Clock)
    for raw in ("1 N", "245 N", "2 N"):
        progress.record("0.1", "", "", raw, None)
    (learner,) = classroom.read_class(tmp_path).learners
    assert [answer.raw for answer in learner.answers] == ["1 N", "245 N", "2 N"]
    assert learner.answers[0].when > learner.answers[2].when
    assert learner.state("0.1") == 2
