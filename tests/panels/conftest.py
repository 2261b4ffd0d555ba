"""What the tests of panels share."""

import asyncio

import pytest


@pytest.fixture(autouse=True)
def no_loop_of_a_browser():
    """Set aside the event loop that browser tests of the same process leave running.

    A panel asks whether a loop runs, and does its work at once where none does.
    """
    loop = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(loop)
