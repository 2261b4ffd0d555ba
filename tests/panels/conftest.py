"""What the tests of panels share."""

import asyncio

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg


@pytest.fixture(autouse=True)
def no_loop_of_a_browser():
    """Set aside the event loop that browser tests of the same process leave running.

    A panel asks whether a loop runs, and does its work at once where none does.
    """
    loop = asyncio._get_running_loop()
    asyncio._set_running_loop(None)
    yield
    asyncio._set_running_loop(loop)


def full(picture):
    """Draw the whole figure anew, nothing kept, and return its pixels."""
    for artist in picture.scene.moving.values():
        artist.set_animated(False)
    canvas = FigureCanvasAgg(picture.scene.figure)
    canvas.draw()
    pixels = np.array(canvas.buffer_rgba())[..., :3]
    picture.swap(picture.scene)
    return pixels
