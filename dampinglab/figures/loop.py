"""Lesson 03: a force-travel record as a loop, and the curve that its two branches make."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from dampinglab.figures.look import BUMP, DESK, INK, REBOUND, Scene, Size, dress, now, paper
from dampinglab.workshop.loop import Loop

__all__ = ["alternative", "picture"]


def picture(loop: Loop, size: Size = DESK) -> Figure:
    """Return the loop on the left, its force against speed on the right; bump above."""
    title = "In on top, out below: two branches, one curve"
    scene = paper(size, title, "shaft travel [mm]", "force [N]")
    right = _beside(scene)
    for name, colour, way in (("bump", BUMP, 1), ("rebound", REBOUND, -1)):
        _branch(scene.axes, loop, colour, way, size)
        _points(right, loop, colour, way, size)
        place = {"transform": right.transAxes, "ha": "center", "va": "center"}
        right.text(0.5 + 0.25 * way, 0.5 + 0.06 * way, name, color=INK, fontsize=size.font, **place)
    return scene.figure


def _beside(scene: Scene) -> Axes:
    """Halve the axes of a scene and return a second pair that shares their height."""
    left, bottom, wide, tall = scene.axes.get_position().bounds
    scene.axes.set_position((left, bottom, 0.46 * wide, tall))
    right = scene.figure.add_axes((left + 0.54 * wide, bottom, 0.46 * wide, tall))
    dress(right, scene.size)
    right.sharey(scene.axes)
    right.tick_params(labelleft=False)
    right.set_xlabel("shaft speed [m/s]", fontsize=scene.size.font)
    return right


def _branch(axes, loop: Loop, colour: str, way: int, size: Size) -> None:
    """Draw the readings of one direction along the travel."""
    inside = way * loop.speed > 0
    force = np.where(inside, loop.force, np.nan)
    axes.plot(1e3 * loop.travel, force, **now(colour, size))


def _points(axes, loop: Loop, colour: str, way: int, size: Size) -> None:
    """Draw the points of one direction with their scatter."""
    kept = way * loop.curve.speed >= 0
    points = loop.curve.speed[kept], loop.curve.force[kept], loop.scatter[kept]
    axes.errorbar(*points, marker="o", markersize=size.font / 3, capsize=3, **now(colour, size))


def alternative(loop: Loop) -> str:
    """Return the picture in words."""
    bump, rebound = loop.curve.force[-1], -loop.curve.force[0]
    return (
        f"{loop.name}: a closed loop of force against travel, bump above and rebound below, and "
        f"beside it force against shaft speed: {bump:.0f} N in bump at {loop.curve.speed[-1]:.2f} "
        f"m/s, {rebound:.0f} N in rebound at {-loop.curve.speed[0]:.2f} m/s, each point within "
        f"{loop.scatter.max():.0f} N."
    )
