"""A plugin of pytest that writes down what nbval finds while it goes, a line of JSON for each step.

So nothing is lost when a notebook has to be stopped, and whoever waits sees how far it is.
"""

import json
import os
import re
import signal
from pathlib import Path

__all__ = [
    "BEGUN",
    "DEAD",
    "RAN",
    "STEPS",
    "STOPS",
    "TOO_LONG",
    "pytest_configure",
    "pytest_runtest_logreport",
    "pytest_runtest_logstart",
]

STEPS = "DAMPINGLAB_MARKING_STEPS"
"""The variable that names the file of steps."""

BEGUN, RAN, STOPS, TOO_LONG, DEAD = "begun", "ran", "stops", "too long", "no Python left"

_COLOURS = re.compile(r"\x1b\[[0-9;]*m")
_CELL = re.compile(r"::Cell (\d+)$")


def pytest_configure(config) -> None:
    """End in good order when asked to, so that the notebook's kernel ends as well."""
    signal.signal(signal.SIGTERM, signal.default_int_handler)


def pytest_runtest_logstart(nodeid, location) -> None:
    """Write that a cell begins."""
    _write(cell=_number(nodeid), state=BEGUN, says="")


def pytest_runtest_logreport(report) -> None:
    """Write how a cell ended."""
    if report.when == "call" or report.failed:
        told = report.longrepr if isinstance(report.longrepr, str) else ""
        lines = [line.strip() for line in _COLOURS.sub("", told).splitlines() if line.strip()]
        state, says = _ending(lines)
        _write(cell=_number(report.nodeid), state=state, says=says[:2000])


def _ending(lines: list[str]) -> tuple[str, str]:
    """Return how a cell ended, and the last line of what nbval says about it."""
    if not lines:
        return RAN, ""
    for words, state in (("Timeout of", TOO_LONG), ("Kernel dead", DEAD)):
        if any(words in line for line in lines[:3]):
            return state, ""
    return STOPS, lines[-1]


def _number(nodeid: str) -> int | None:
    found = _CELL.search(nodeid)
    return int(found[1]) if found else None


def _write(**step: object) -> None:
    with Path(os.environ[STEPS]).open("a", encoding="utf-8") as file:
        file.write(json.dumps(step) + "\n")
