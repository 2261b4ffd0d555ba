"""What the tests of the command line and of the browser share: the real course, started."""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import parse_qs, urlparse
from urllib.request import Request, urlopen

import pytest

MISSED = []

IN_A_SEALED_ROOM = """
import fcntl, socket, struct, sys
with socket.socket() as loopback:  # bring up "lo", the only network there is in here
    request = struct.pack("16sH14s", b"lo", 0x1 | 0x40, b"")
    fcntl.ioctl(loopback, 0x8914, request)
with socket.socket() as outside:
    try:
        outside.connect(("192.0.2.1", 9))
    except OSError as sealed:
        assert sealed.errno == 101, sealed
    else:
        sys.exit("this room is not sealed")
import os
os.execvp(sys.argv[1], sys.argv[1:])
"""


@dataclass
class RunningCourse:
    """A started course: its process, its address, its workbook, and a mark on its children."""

    process: subprocess.Popen
    url: str
    folder: Path
    mark: str
    told: str = ""

    @property
    def token(self):
        return parse_qs(urlparse(self.url).query)["token"][0]

    @property
    def root(self):
        return self.url.partition("/lab/")[0]

    def ask(self, place, body=None):
        """Fetch a place of the server as its owner; return the text."""
        asked = Request(self.root + place, body, {"Authorization": f"token {self.token}"})
        return urlopen(asked, timeout=60).read().decode()

    def end(self, number):
        """Send a signal; return the exit code and the last words."""
        self.process.send_signal(number)
        words, _ = self.process.communicate(timeout=60)
        return self.process.returncode, words

    def children_left(self):
        """Return the processes that carry the mark; kernels do not share the course's group."""
        return [
            entry.parent.name for entry in Path("/proc").glob("[0-9]*/environ") if self._has(entry)
        ]

    def _has(self, entry):
        try:
            return self.mark.encode() in entry.read_bytes().split(b"\0")
        except OSError:
            return False


@pytest.fixture(scope="session")
def command_line():
    """Return a maker of the command line of ``dampinglab`` in this Python."""
    return lambda *words: [sys.executable, "-m", "dampinglab", *map(str, words)]


def any_free_port():
    """Return a port far from the usual ones, where other courses may be about to start."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@pytest.fixture(scope="session")
def launch(tmp_path_factory, command_line):
    """Start courses, each in a home of its own; end those that a test left running."""
    started = []

    def start(*options, before=(), stdin=subprocess.DEVNULL, **variables):
        home = tmp_path_factory.mktemp("home")
        settings = home / "jupyter-settings"
        settings.mkdir()
        shown = {"LabApp": {"expose_app_in_browser": True}}
        (settings / "jupyter_lab_config.json").write_text(json.dumps(shown))
        mark = f"DAMPINGLAB_TEST_COURSE={home}"
        environment = {
            **os.environ,
            "HOME": str(home),
            "JUPYTER_CONFIG_DIR": str(settings),
            "IPYTHONDIR": str(home / "ipython"),
            **dict([mark.split("=")]),
            **variables,
        }
        words = command_line("start", "--no-browser", "--port", any_free_port(), *options)
        process = subprocess.Popen(
            [*before, *words],
            env=environment,
            stdin=stdin,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        started.append(process)
        told = ""
        for line in process.stdout:
            told += line
            if found := re.search(r"http://\S+", line):
                folder = Path(re.search(r"workbook is (.*)\.$", told, re.MULTILINE)[1])
                return RunningCourse(process, found[0], folder, mark, told)
        raise RuntimeError(f"the course did not start: {told}")

    yield start
    for process in started:
        if process.poll() is None:
            process.terminate()
            process.communicate(timeout=60)


@pytest.fixture(scope="session")
def sealed_room():
    """Return the words before a command that run it where there is no network but loopback."""
    for unshare in (["unshare", "-n"], ["unshare", "-rn"]):
        if shutil.which("unshare") and subprocess.run([*unshare, "true"]).returncode == 0:
            return [*unshare, sys.executable, "-c", IN_A_SEALED_ROOM]
    MISSED.append("NOT TESTED WITHOUT A NETWORK: this machine lends no network namespace")
    pytest.skip(MISSED[-1])
    return None


def pytest_terminal_summary(terminalreporter):
    for reason in MISSED:
        terminalreporter.write_line(reason, red=True, bold=True)
