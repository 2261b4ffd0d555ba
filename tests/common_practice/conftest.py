"""The demo vehicles' corners, and what one adjuster does on one event of the trade's rules."""

from functools import cache

import pytest

from dampinglab.workshop import demo
from dampinglab.workshop.evidence import evidence

# Vehicle, axle and load, dyno table (none: the wagon's own valves).
CORNERS = {
    "front": ("wagon", "front", None, None),
    "rear empty": ("wagon", "rear", None, None),
    "rear loaded": ("wagon", "rear", "touring", None),
    "utility front": ("utility", "front", None, "utility_two_adjuster"),
    "utility rear empty": ("utility", "rear", None, "utility_two_adjuster"),
    "utility rear loaded": ("utility", "rear", "tools and material", "utility_two_adjuster"),
}


@cache
def _pair(where):
    """Return a corner and its damper."""
    vehicle, axle, load, table = CORNERS[where]
    damper = demo.damper(axle, table) if table else demo.hydraulic(axle)
    return demo.vehicle(vehicle).corner(axle, load), damper


@cache
def _found(name, where):
    return evidence(name, *_pair(where))


@pytest.fixture(scope="session")
def pair():
    """Return a maker of a corner with its damper."""
    return _pair


@pytest.fixture(scope="session")
def found():
    """Return a maker of the evidence of a rule on a corner."""
    return _found


_TOLD = pytest.StashKey[list]()


@pytest.fixture(scope="session")
def tell(pytestconfig):
    """Return a list of lines that are shown at the end of the tests."""
    return pytestconfig.stash.setdefault(_TOLD, [])


def pytest_terminal_summary(terminalreporter, config):
    for line in config.stash.get(_TOLD, []):
        terminalreporter.write_line(line)
