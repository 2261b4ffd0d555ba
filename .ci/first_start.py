"""Runs a command that starts the course, waits until lesson 00 answers, stops it as Ctrl-C does.

Fails unless the page, the lesson and a kernel come, the exit code is 0, and no process is left.
"""

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import Request, urlopen

PATIENCE = 600
MARK = f"DAMPINGLAB_FIRST_START={os.getpid()}"


def main(command: str) -> int:
    """Run the proof; return its exit code."""
    began = time.monotonic()
    # A group of its own stands for the terminal window, whose Ctrl-C reaches all that it started.
    course = subprocess.Popen(
        ["env", MARK, "bash", "-c", command],
        stdout=subprocess.PIPE,
        text=True,
        start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    signal.signal(signal.SIGALRM, lambda *_: os.killpg(course.pid, signal.SIGKILL))
    signal.alarm(PATIENCE)
    try:
        url = address(course)
        print(f"address after {time.monotonic() - began:.1f} s")
        look_at(url)
        print(f"page, lesson and kernel after {time.monotonic() - began:.1f} s")
    finally:
        if course.poll() is None:
            os.killpg(course.pid, signal.SIGINT)
    words = echo(course.stdout.read())
    code, left = course.wait(), marked_processes()
    print(f"stopped with exit code {code}; processes left: {len(left)}")
    return 0 if code == 0 and not left and "has stopped" in words else 1


def address(course: subprocess.Popen) -> str:
    """Return the address that the course prints."""
    for line in course.stdout:
        if found := re.search(r"course is at (http\S+)", echo(line)):
            return found[1]
    sys.exit("the start command ended without an address")


def echo(words: str) -> str:
    """Show the words without the key to the course."""
    sys.stdout.write(re.sub(r"token=\w+", "token=...", words))
    sys.stdout.flush()
    return words


def look_at(url: str) -> None:
    """Fetch the page and the lesson behind it, and start a kernel for it."""
    assert "jupyter-config-data" in urlopen(url).read().decode(), "the page is not JupyterLab's"
    lesson = json.load(urlopen(url.replace("/lab/tree/", "/api/contents/")))
    assert lesson["name"].startswith("00"), lesson["name"]
    assert lesson["content"]["cells"], "the first lesson is empty"
    root, token = re.match(r"(.*)/lab/tree/.*token=(.*)", url).groups()
    asked = Request(f"{root}/api/kernels", b"{}", {"Authorization": f"token {token}"})
    assert json.load(urlopen(asked))["name"] == "python3"


def marked_processes() -> list[int]:
    """Return the processes that the command started and that still run."""
    found = []
    for entry in Path("/proc").glob("[0-9]*/environ"):
        try:
            if MARK.encode() in entry.read_bytes().split(b"\0"):
                found.append(int(entry.parent.name))
        except OSError:  # it ended while we looked
            continue
    return found


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
