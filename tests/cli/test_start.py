"""The start command as a person and as a hostile machine would use it."""

import json
import os
import pty
import signal
import socket
import stat
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from dampinglab import serve, workbook
from dampinglab.cli import main
from dampinglab.course import bank, words
from dampinglab.course.lessons import LESSONS


def refuse(capsys, *words):
    """Run a command that must be refused; return its one sentence."""
    try:
        code = main(["start", "--no-browser", *map(str, words)])
    except SystemExit as ending:  # argparse ends by itself
        code = ending.code
    out, err = capsys.readouterr()
    assert code == 2
    assert out == ""
    assert err.count("\n") == 1
    assert "Traceback" not in err
    return err.strip()


@pytest.fixture
def taken():
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        yield holder.getsockname()[1]


def test_a_port_in_use_gets_one_sentence_and_no_workbook(capsys, tmp_path, taken):
    said = refuse(capsys, "--port", taken, "--folder", tmp_path / "book")
    assert said.startswith(f"Port {taken} cannot be used (Address already in use)")
    assert f"--port {taken + 1}" in said
    assert not (tmp_path / "book").exists()


@pytest.mark.parametrize("port", ["0", "65536", "x", "-1", "80.5", ""])
def test_a_port_that_is_none_gets_one_sentence(capsys, tmp_path, port):
    said = refuse(capsys, f"--port={port}", "--folder", tmp_path / "book")
    assert "from 1 to 65535" in said


def test_terminals_find_the_command(monkeypatch, tmp_path):
    monkeypatch.setenv("PATH", "before")
    told = serve.environment(tmp_path)
    assert told["PATH"] == os.pathsep.join([str(Path(sys.executable).parent), "before"])
    assert told["DAMPINGLAB_WORKBOOK"] == str(tmp_path)


def test_without_a_port_the_first_free_one_is_taken(monkeypatch, taken):
    monkeypatch.setattr(serve, "FIRST_PORT", taken)
    assert serve.free_port() > taken


@pytest.mark.parametrize(("full", "told"), [("book", 1), ("home", 1), ("", 0)])
def test_a_disk_that_is_nearly_full_is_told_in_one_sentence_and_started_all_the_same(
    capsys, monkeypatch, tmp_path, full, told
):
    def usage(place):
        return SimpleNamespace(free=12e6 if place == tmp_path / full else 51e6)

    started = []
    monkeypatch.setattr(Path, "home", lambda: tmp_path / "home")
    monkeypatch.setattr(serve.shutil, "disk_usage", usage)
    monkeypatch.setattr(serve, "run", lambda *a, **k: started.append(a))
    assert main(["start", "--no-browser", "--folder", str(tmp_path / "book")]) == 0
    said = [line for line in capsys.readouterr().out.splitlines() if "free on the disk" in line]
    assert len(said) == told
    assert len(started) == 1
    if told:
        assert said[0].startswith(
            f"Only 12 MB are free on the disk of {tmp_path / full}: make room"
        )


def test_a_folder_that_cannot_be_written_gets_one_sentence(capsys, tmp_path):
    (tmp_path / "file").write_text("mine")
    said = refuse(capsys, "--folder", tmp_path / "file" / "book")
    assert "cannot be written (Not a directory); name another one with --folder" in said


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to root")
def test_a_forbidden_folder_gets_one_sentence(capsys, tmp_path):
    tmp_path.chmod(stat.S_IRUSR | stat.S_IXUSR)
    assert "cannot be written (Permission denied)" in refuse(capsys, "--folder", tmp_path / "book")


def test_a_missing_kernel_gets_one_sentence(capsys, monkeypatch, tmp_path):
    monkeypatch.setattr(serve, "find_spec", lambda name: None)
    assert main(["start", "--no-browser", "--folder", str(tmp_path / "book")]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "ipykernel" in err
    assert "pip install" in err


def test_an_unknown_lesson_gets_one_sentence(capsys, tmp_path):
    said = refuse(capsys, "--lesson", "77", "--folder", tmp_path / "book")
    assert said.startswith("There is no lesson '77'; there are 00, 01")
    assert not (tmp_path / "book").exists()


def test_an_unknown_option_gets_one_sentence(capsys):
    assert refuse(capsys, "--faster").startswith("Unrecognized arguments: --faster")


@pytest.fixture(scope="module")
def running(launch):
    course = launch("--lesson", "01")
    yield course
    course.end(signal.SIGTERM)


def test_opens_the_lesson_that_was_asked_for(running):
    assert "/lab/tree/01" in running.url
    name = running.url.partition("/lab/tree/")[2].partition("?")[0]
    assert json.loads(running.ask(f"/api/contents/{name}"))["content"]["cells"]


def test_terminals_start_in_the_workbook(running):
    assert Path(f"/proc/{running.process.pid}/cwd").resolve() == running.folder.resolve()


def test_listens_on_this_machine_only_and_asks_for_its_token(running):
    port = int(running.root.rpartition(":")[2])
    tables = [Path("/proc/net/tcp"), Path("/proc/net/tcp6")]
    lines = [line.split() for table in tables for line in table.read_text().splitlines()[1:]]
    heard = [line[1] for line in lines if line[3] == "0A"]
    assert [at for at in heard if int(at.split(":")[1], 16) == port] == [f"0100007F:{port:04X}"]
    with pytest.raises(HTTPError, match="403"):
        urlopen(f"{running.root}/api/contents")


def test_the_token_is_told_to_nobody_else(running):
    shown = Path(f"/proc/{running.process.pid}/cmdline").read_bytes().decode()
    assert running.token not in shown
    assert running.token not in (running.folder / serve.LOG).read_text()


def test_settings_keep_the_news_away_and_show_every_cell(running):
    page = running.ask("/lab").partition('id="jupyter-config-data" type="application/json">')[2]
    disabled = str(json.loads(page.partition("</script>")[0])["disabledExtensions"])
    assert "@jupyterlab/apputils-extension:announcements" in disabled
    settings = json.loads(running.ask("/lab/api/settings/@jupyterlab/notebook-extension:tracker"))
    assert settings["schema"]["properties"]["windowingMode"]["default"] == "none"


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_stops_cleanly_with_kernels_running_and_asks_nothing(launch, name):
    master, terminal = pty.openpty()
    course = launch(stdin=terminal)
    os.close(terminal)
    for _ in range(2):
        course.ask("/api/kernels", b"{}")
    assert len(course.children_left()) >= 3
    code, words = course.end(getattr(signal, name))
    os.close(master)
    assert code == 0
    *before, last = words.splitlines()
    assert last == f"The course has stopped; your work is in {course.folder}."
    assert before in ([], ["Stop it with Ctrl-C in this window."])
    assert course.children_left() == []


def test_stops_after_a_kernel_that_could_not_start(launch, tmp_path):
    """As on a full disk; JupyterLab alone waits for that kernel until it is killed."""
    spec = tmp_path / "kernels" / "broken" / "kernel.json"
    spec.parent.mkdir(parents=True)
    spec.write_text('{"argv": ["/no/such/program"], "display_name": "broken", "language": "none"}')
    course = launch(JUPYTER_PATH=str(tmp_path))
    course.ask("/api/kernels", b"{}")
    with pytest.raises(HTTPError, match="500"):
        course.ask("/api/kernels", b'{"name": "broken"}')
    code, words = course.end(signal.SIGINT)
    assert (code, "has stopped" in words, course.children_left()) == (0, True, [])


def test_a_killed_course_leaves_no_kernel_either(launch):
    course = launch()
    course.ask("/api/kernels", b"{}")
    course.end(signal.SIGKILL)
    until = time.monotonic() + 30
    while course.children_left() and time.monotonic() < until:
        time.sleep(0.2)
    assert course.children_left() == []


def test_a_busy_learner_keeps_every_answer_over_a_restart(launch):
    course = launch()
    course.end(signal.SIGTERM)
    lesson = next(course.folder.glob("00*.ipynb"))
    content = json.loads(lesson.read_text())
    content["cells"][-1]["source"] = ["my own words"]
    lesson.write_text(json.dumps(content))
    again = launch("--folder", course.folder)
    assert f"Kept as you changed it: {lesson.name}." in again.told
    again.end(signal.SIGTERM)
    assert "my own words" in lesson.read_text()


ASK_INSIDE = """
import json, sys, urllib.request as web
root, token, place, body = sys.argv[1:]
asked = web.Request(root + place, body.encode() or None, {"Authorization": "token " + token})
sys.stdout.write(web.urlopen(asked, timeout=60).read().decode())
"""


def test_starts_in_a_room_without_any_network(launch, sealed_room):
    course = launch(before=sealed_room)

    def ask(place, body=""):
        inside = [
            "nsenter",
            "-t",
            str(course.process.pid),
            "-n",
            *([] if os.geteuid() == 0 else ["-U"]),
        ]
        words = [*inside, sys.executable, "-c", ASK_INSIDE, course.root, course.token, place, body]
        return subprocess.run(words, capture_output=True, text=True, check=True).stdout

    assert "jupyter-config-data" in ask("/lab")
    name = course.url.partition("/lab/tree/")[2].partition("?")[0]
    assert json.loads(ask(f"/api/contents/{name}"))["name"].startswith("00")
    assert json.loads(ask("/api/kernels", "{}"))["name"] == "python3"
    code, _ = course.end(signal.SIGTERM)
    assert code == 0
    assert course.children_left() == []


@pytest.mark.skipif(os.environ.get("DAMPINGLAB_LONG") != "1", reason="minutes; in .ci/long")
def test_works_in_a_room_without_any_network(sealed_room, command_line, tmp_path):
    """Selfcheck; every lesson run for paper; an answer marked: each with kernels of its own."""
    book, paper = tmp_path / "book", tmp_path / "paper"
    workbook.refresh(book)
    lesson = book / workbook.find_lesson("00")
    task = bank.exercises()["0.1"].task()
    right = json.dumps(f'check("0.1", {words.written(task, task.answer)!r})')
    lesson.write_text(lesson.read_text("utf-8").replace(r'"check(\"0.1\", ...)"', right), "utf-8")

    def run(*words):
        told = subprocess.run(
            [*sealed_room, *command_line(*words)],
            env={**os.environ, "HOME": str(tmp_path)},
            capture_output=True,
            text=True,
        )
        assert told.returncode == 0, told.stdout + told.stderr
        return told.stdout

    assert run("selfcheck").endswith("This installation is whole.\n")
    run("handout", "--folder", paper)
    assert len(list(paper.glob("[0-9]*.html"))) == len(LESSONS)
    assert "Exercises: 1 done, 0 to look at" in run("mark", book)
