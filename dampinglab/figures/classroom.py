"""A class at a glance: a square for each learner and exercise, the fuller the better."""

from collections.abc import Mapping, Sequence

import numpy as np
from matplotlib.figure import Figure

from dampinglab.figures.flow import drawable
from dampinglab.figures.look import DESK, FAINT, INK, Scene, Size, paper

__all__ = ["ROWS", "alt_text", "draw"]

ROWS = 40
"""Learners that one picture holds."""

_NAMED = 45  # exercises that can be named below their column: those of an evening
_MARKS = ("full", "left", "none")
_WORDS = ("right at the first try", "right later", "tried, not right yet")


def draw(
    names: Sequence[str],
    lessons: Mapping[str, Sequence[str]],
    states: np.ndarray,
    title: str,
    size: Size = DESK,
) -> Figure:
    """Draw states (a row a learner, a column an exercise): 3 at once, 2 later, 1 tried, 0 none."""
    names, states = list(names)[:ROWS], states[:ROWS]
    named = states.shape[1] <= _NAMED
    column = 0.24 if named else 0.13
    inches = (float(np.clip(3 + column * states.shape[1], 8.8, 18)), 2.6 + 0.3 * len(names))
    scene = paper(size, title, "lesson and exercise", "", inches)
    scene.axes.grid(visible=False)
    scene.axes.set(xlim=(-0.7, states.shape[1] - 0.3), ylim=(len(names) - 0.4, -0.6))
    _make_room(scene, names, inches, 7.2 if named else 5.2)
    _name(scene, names, lessons)
    _mark(scene, states)
    return scene.figure


def _make_room(scene: Scene, names: list[str], inches: tuple[float, float], below: float) -> None:
    """Leave room for the names at the left, and so many letters for what stands below."""
    letter = scene.size.font / 72
    left = (2 + 0.62 * max(map(len, names), default=0)) * letter / inches[0]
    low, high = below * letter / inches[1], 1 - 3.2 * letter / inches[1]
    scene.axes.set_position((left, low, 1 - left - letter / inches[0], high - low))


def _name(scene: Scene, names: list[str], lessons: Mapping[str, Sequence[str]]) -> None:
    axes, font = scene.axes, scene.size.font
    ends = np.cumsum([len(ids) for ids in lessons.values()])
    starts = ends - [len(ids) for ids in lessons.values()]
    for end in ends[:-1]:
        axes.axvline(end - 0.5, color=FAINT, linewidth=scene.size.line / 2)
    axes.set_yticks(range(len(names)), map(drawable, names), parse_math=False)
    if ends[-1] <= _NAMED:
        ids = [name for ids in lessons.values() for name in ids]
        axes.set_xticks(range(len(ids)), ids, rotation=90, fontsize=font)
    else:
        axes.set_xticks((starts + ends - 1) / 2, list(lessons))
    axes.tick_params(length=0)


def _mark(scene: Scene, states: np.ndarray) -> None:
    wide = 72 * scene.figure.get_figwidth() * scene.axes.get_position().width / states.shape[1]
    style = {"marker": "s", "linestyle": "none", "color": INK, "markeredgewidth": 1}
    style |= {"markersize": float(np.clip(0.72 * wide, 3, 13)), "markerfacecoloralt": "none"}
    for fill, words, state in zip(_MARKS, _WORDS, (3, 2, 1), strict=True):
        down, across = np.nonzero(states == state)
        scene.axes.plot(across, down, fillstyle=fill, label=words, **style)
    key = {"loc": "lower center", "ncols": 3, "frameon": False, "fontsize": scene.size.font}
    scene.figure.legend(**key, bbox_to_anchor=(0.5, 0.0))


def alt_text(names: Sequence[str], lessons: Mapping[str, Sequence[str]], states: np.ndarray) -> str:
    """Say in words what the picture shows."""
    counts = [int((states == state).sum()) for state in (3, 2, 1)]
    told = ", ".join(f"{count} {words}" for count, words in zip(counts, _WORDS, strict=True))
    more = f" The first {ROWS} of {len(names)} learners are drawn." if len(names) > ROWS else ""
    return (
        f"{len(names)} learners by {states.shape[1]} exercises of lessons {', '.join(lessons)}, "
        f"a square for each exercise tried: {told}.{more}"
    )
