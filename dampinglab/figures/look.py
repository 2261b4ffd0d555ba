"""How every picture of the course looks: colours, lines, sizes, and the paper they stand on."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field
from types import ModuleType

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_hex, to_rgb
from matplotlib.figure import Figure

__all__ = [
    "BODY",
    "BUMP",
    "DESK",
    "FAINT",
    "INK",
    "PAPER",
    "QUIET",
    "REBOUND",
    "ROAD",
    "ROOM",
    "WHEEL",
    "Scene",
    "Size",
    "before",
    "drawn",
    "dress",
    "edge",
    "keep_clear",
    "label",
    "ladder",
    "limit",
    "now",
    "number",
    "pale",
    "palette",
    "paper",
    "place_limit",
    "table",
]

BUMP = "#7B3294"
REBOUND = "#E08214"
BODY = "#1A1A1A"
WHEEL = "#1B7837"
ROAD = "#8C7B6B"
INK = "#1A1A1A"  # words, axes, limits
QUIET = "#5E5850"  # second-rank words, dark enough to read on paper
PAPER = "#FBFAF6"
FAINT = "#E4DFD5"  # grid and empty rulings

_DASHES = {BUMP: "-", REBOUND: (0, (4.5, 1.6)), BODY: "-", WHEEL: "-", ROAD: "-"}
_DOTS = {REBOUND: (0, (1, 3))}  # sparser, for pale purple and pale amber are one grey


@dataclass(frozen=True)
class Size:
    """How large words and lines are, for a desk or for the back of a room."""

    name: str
    font: float  # points
    line: float  # points
    dpi: int


DESK = Size("desk", 12.0, 2.4, 100)
ROOM = Size("room", 16.0, 3.8, 160)


@dataclass
class Scene:
    """A figure, its axes, and the artists that change while a learner moves a slider."""

    figure: Figure
    axes: Axes
    size: Size
    moving: dict[str, Artist] = field(default_factory=dict)

    def add(self, name: str, artist: Artist) -> None:
        """Take in an artist that will change; it is drawn above all that stays."""
        artist.set_zorder(10 + len(self.moving))
        self.moving[name] = artist


def paper(size: Size, title: str, across: str, up: str, inches=(8.8, 4.4)) -> Scene:
    """Return an empty scene: one pair of axes with a title that says what to see."""
    title = _wrapped(title, size, inches[0])
    figure = Figure(figsize=inches, dpi=size.dpi, facecolor=PAPER)
    axes = figure.add_axes(_box(size, inches, title.count("\n")))
    dress(axes, size)
    axes.set_xlabel(across, fontsize=size.font, color=INK)
    axes.set_ylabel(up, fontsize=size.font, color=INK)
    large = {"fontsize": _TITLE * size.font, "fontweight": "bold", "color": INK}
    figure.text(_EDGE * size.font / 72 / inches[0], _top(size, inches), title, va="top", **large)
    return Scene(figure, axes, size)


def dress(axes: Axes, size: Size) -> None:
    """Give axes their ground, edges at the left and below, words and grid of this size."""
    axes.set_facecolor(PAPER)
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set(color=QUIET, linewidth=size.line / 2)
    axes.tick_params(labelsize=size.font, colors=INK, color=QUIET, width=size.line / 2)
    axes.grid(color=FAINT, linewidth=size.line / 3)
    axes.set_axisbelow(True)


def drawn(picture: ModuleType, now, before=None, size: Size = DESK) -> Figure:
    """Return the whole picture of a module of this room, with what was before as its ghost."""
    made = picture.scene(size)
    picture.update(made, now, before or now)
    return made.figure


_TITLE = 1.15  # size of a title beside the other words
_EDGE = 0.7  # paper left and above the title, in letters' heights
_SIDES = (5.6, 1.2)  # room left and right of the axes, in letters' heights


def _top(size: Size, inches: tuple[float, float]) -> float:
    return 1 - _EDGE * size.font / 72 / inches[1]


def _wrapped(title: str, size: Size, width: float) -> str:
    """Return the title in as many lines as a figure of this width (inches) needs."""
    room = 72 * width / size.font - 2 * _EDGE
    return textwrap.fill(title, int(room / (0.67 * _TITLE)))


def _box(size: Size, inches: tuple[float, float], more_lines: int) -> tuple[float, ...]:
    """Return where the axes stand, with room for words of this size around them."""
    across, up = (size.font / 72 / side for side in inches)
    left, right = (side * across for side in _SIDES)
    bottom, top = 3.5 * up, (2.9 + 1.4 * more_lines) * up
    return left, bottom, 1 - left - right, 1 - bottom - top


def pale(colour: str, share: float = 0.48) -> str:
    """Return a colour mixed with the paper: what was, beside what is."""
    return to_hex(
        [share * c + (1 - share) * p for c, p in zip(to_rgb(colour), to_rgb(PAPER), strict=True)]
    )


def now(colour: str, size: Size) -> dict:
    """Return the line style of a thing as it is now."""
    return {"color": colour, "linestyle": _DASHES.get(colour, "-"), "linewidth": size.line}


def before(colour: str, size: Size) -> dict:
    """Return the line style of the same thing as it was before: pale and dotted."""
    dots = _DOTS.get(colour, (0, (1, 1.6)))
    return {"color": pale(colour), "linestyle": dots, "linewidth": size.line}


def edge(size: Size) -> dict:
    """Return the line style of a limit: thin, dark, dash-dot."""
    return {"color": INK, "linestyle": "-.", "linewidth": size.line / 2.2}


def limit(scene: Scene, name: str) -> None:
    """Add a limit, to be placed: its line with its name beside it."""
    axes, size = scene.axes, scene.size
    up = axes.get_xaxis_transform()
    scene.add(f"{name} line", axes.plot([], [], transform=up, **edge(size))[0])
    beside = {"ha": "left", "va": "bottom", "transform": up, "clip_on": True}
    narrow = name.replace(" ", "\n")
    scene.add(name, axes.text(0, 0, narrow, fontsize=size.font, color=INK, **beside))


def place_limit(scene: Scene, name: str, across: float, *, before: bool = False) -> None:
    """Put a limit where it stands along the lower axis, its name behind the line or before it."""
    scene.moving[f"{name} line"].set_data([across, across], [0, 1])
    gap = 0.005 * scene.size.line * scene.axes.get_xlim()[1]
    scene.moving[name].set(x=across + (-gap if before else gap), y=0.03)
    scene.moving[name].set_ha("right" if before else "left")


def label(scene: Scene, name: str, colour: str = INK, **place):
    """Add words that move with the picture, empty for now, and return them."""
    style = {"color": colour, "fontsize": scene.size.font, "clip_on": False, **place}
    words = scene.axes.text(0, 0, "", **style)
    scene.add(name, words)
    return words


def table(scene: Scene, name: str) -> None:
    """Add lines of readings in the upper right corner, empty for now."""
    corner = {"transform": scene.axes.transAxes, "ha": "right", "va": "top", "linespacing": 1.45}
    words = label(scene, name, **corner)
    words.set_position((0.99, 0.99))
    keep_clear(words)


def keep_clear(*words: Artist) -> None:
    """Give words a paper ground, so that a line behind them does not cross the letters."""
    for text in words:
        text.set_bbox({"facecolor": PAPER, "edgecolor": "none", "alpha": 0.85, "pad": 1.5})


def number(scene: Scene, names: Sequence[str], across: Sequence[float], up: float) -> None:
    """Write 1 and 2 below two marks, beside each other where the marks are closer than that."""
    low, high = scene.axes.get_xlim()
    wide = scene.axes.get_position().width * scene.figure.get_figwidth()
    near = abs(across[1] - across[0]) < scene.size.font / 72 / wide * (high - low)
    sides = ("right", "left") if across[0] <= across[1] else ("left", "right")
    for i, (name, at) in enumerate(zip(names, across, strict=True)):
        place = {"position": (at, up), "ha": sides[i] if near else "center"}
        scene.moving[name].set(text=f"{i + 1}", **place)


def ladder(value: float, steps: Sequence[float]) -> float:
    """Return the first step that holds the value, so that axes change seldom and by whole rungs."""
    for step in steps:
        if value <= step:
            return step
    return value * 1.1


_SHADES, _APART = 15, 9.0  # of each ink, and how far colours of the palette are apart, of 255


def palette() -> list[tuple[int, int, int]]:
    """Return the colours a picture can hold: each ink of the course in shades down to paper.

    Shades nearer to another are left out, so that plain paper stays plain.
    """
    inks = [BUMP, REBOUND, INK, WHEEL, ROAD, QUIET]
    inks += [pale(ink) for ink in inks]
    whole = [PAPER, FAINT, "#FFFFFF", *inks]
    mixes = [pale(ink, i / _SHADES) for i in range(_SHADES, 0, -1) for ink in inks]
    kept: list[np.ndarray] = []
    for number, mix in enumerate(whole + mixes):
        colour = np.round(255 * np.array(to_rgb(mix)))
        if number < len(whole) or min(np.abs(colour - old).max() for old in kept) > _APART:
            kept.append(colour)
    return [tuple(int(c) for c in colour) for colour in kept]
