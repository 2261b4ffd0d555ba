"""Every picture: told apart without colour, legible, no word over another or over a line.

Colours as three kinds of colour-blind people see them: the matrices of Machado, Oliveira and
Fernandes (2009) for full severity, from memory, for linear RGB; and as a grey printer sees them.
"""

import functools
import itertools

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex, to_rgb
from matplotlib.patches import Rectangle
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from dampinglab.figures import look
from tests.figures.gallery import PICTURES

SIZES = (look.DESK, look.ROOM)
APART = 20.0  # CIELAB units between two colours that nothing else tells apart; 2 can be seen
SEEN = {
    "everybody": np.eye(3),
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
    "grey": [[0.2126, 0.7152, 0.0722]] * 3,
}
# CIE 1931 from linear sRGB (IEC 61966-2-1), and its white, D65.
XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def seen_as(colour, who):
    """Return a colour in CIELAB as somebody sees it."""
    share = np.array(to_rgb(colour))
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    xyz = XYZ @ np.clip(np.array(SEEN[who]) @ linear, 0, 1) / XYZ.sum(axis=1)
    x, y, z = np.where(xyz > 216 / 24389, np.cbrt(xyz), (24389 / 27 * xyz + 16) / 116)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


def apart(one, other):
    """Return the least distance at which anybody sees two colours."""
    return min(np.linalg.norm(seen_as(one, who) - seen_as(other, who)) for who in SEEN)


@functools.cache
def drawn(name, size):
    """Return a picture, and the renderer that measured it."""
    figure = PICTURES[name](size)
    canvas = FigureCanvasAgg(figure)
    figure.draw_without_rendering()
    return figure, canvas.get_renderer()


def lines(axes):
    """Return the lines of axes that hold a point to show."""
    seen = [line for line in axes.lines if line.get_visible()]
    return [line for line in seen if np.isfinite(places(line)).all(axis=1).any()]


def places(line):
    return np.asarray(line.get_xydata(), dtype=float).reshape(-1, 2)


def style(thing):
    """Return what tells a line or a bar from another besides its colour."""
    if isinstance(thing, Rectangle):
        edge = to_hex(thing.get_edgecolor()) != to_hex(thing.get_facecolor())
        return thing.get_hatch() or None, thing.get_linestyle(), edge
    dashes, mark = thing.get_linestyle(), thing.get_marker()
    line = None if dashes == "None" else (thing.get_linewidth(), str(thing._unscaled_dash_pattern))
    if mark in ("None", "", None):
        return line, None
    inside = thing.get_markerfacecolor()
    full = inside != "none" and to_hex(inside) != to_hex(look.PAPER)
    return line, mark, full, thing.get_markersize()


def ink(thing):
    return to_hex(thing.get_facecolor() if isinstance(thing, Rectangle) else thing.get_color())


def alike(figure):
    """Return pairs of inks that only their colour tells apart."""
    for axes in figure.axes:
        bars = [bar for bar in axes.patches if isinstance(bar, Rectangle) and bar.get_visible()]
        bars = [bar for bar in bars if bar.get_width() and bar.get_height()]
        for one, other in itertools.combinations([*lines(axes), *bars], 2):
            if type(one) is type(other) and style(one) == style(other) and ink(one) != ink(other):
                yield ink(one), ink(other)


@pytest.mark.parametrize("name", PICTURES)
def test_nothing_is_told_by_a_colour_that_somebody_does_not_see(name):
    figure, _ = drawn(name, look.DESK)
    assert {pair: apart(*pair) for pair in alike(figure) if apart(*pair) < APART} == {}


def words(figure):
    """Return the words that are shown, without labels of ticks that lie outside."""
    outside = set()
    for axis in (axis for axes in figure.axes for axis in (axes.xaxis, axes.yaxis)):
        low, high = np.sort(axis.get_view_interval()) + np.array([-1e-9, 1e-9])
        for tick in (*axis.get_major_ticks(), *axis.get_minor_ticks()):
            if not low <= tick.get_loc() <= high:
                outside |= {tick.label1, tick.label2}
    found = figure.findobj(lambda artist: isinstance(artist, Text) and artist.get_visible())
    return [text for text in found if text.get_text().strip() and text not in outside]


def box(text, renderer):
    """Return where words stand, px, a little smaller than their lines are high."""
    around, thin = text.get_window_extent(renderer), 0.15 * text.get_fontsize() * renderer.dpi / 72
    return Bbox.from_extents(around.x0 + 1, around.y0 + thin, around.x1 - 1, around.y1 - thin)


SHOWN = pytest.mark.parametrize(
    ("name", "size"),
    list(itertools.product(PICTURES, SIZES)),
    ids=lambda each: each if isinstance(each, str) else each.name,
)


@SHOWN
def test_words_are_large_enough_on_the_paper_and_clear_of_each_other(name, size):
    figure, renderer = drawn(name, size)
    there = [(text.get_text(), box(text, renderer)) for text in words(figure)]
    small = [text.get_text() for text in words(figure) if text.get_fontsize() < size.font]
    paper = figure.bbox
    cut = [said for said, at in there if not (paper.x0 <= at.x0 and at.x1 <= paper.x1)]
    cut += [said for said, at in there if not (paper.y0 <= at.y0 and at.y1 <= paper.y1)]
    over = [
        (one, other)
        for (one, at), (other, by) in itertools.combinations(there, 2)
        if at.overlaps(by)
    ]
    assert (small, cut, over) == ([], [], [])


def crosses(line, at):
    """Return whether a line, or one of its marks, runs through a box."""
    path = line.get_path().transformed(line.get_transform())
    if line.get_linestyle() != "None":
        return path.intersects_bbox(at, filled=False)
    return any(at.contains(*place) for place in path.vertices)


@SHOWN
def test_no_line_runs_through_words_without_a_ground(name, size):
    figure, renderer = drawn(name, size)
    crossed = [
        text.get_text()
        for axes in figure.axes
        for text in set(axes.texts) & set(words(figure))
        if text.get_bbox_patch() is None
        and any(crosses(line, box(text, renderer)) for line in lines(axes))
    ]
    assert crossed == []


def test_the_simulations_know_what_they_are_there_for():
    """Red and green of one lightness part for all but protan, deutan and grey; greys stay."""
    red, green = "#C8503C", "#5A8C32"
    near = {who: np.linalg.norm(seen_as(red, who) - seen_as(green, who)) for who in SEEN}
    assert near["everybody"] > 60
    assert near["tritan"] > 60
    assert max(near["protan"], near["deutan"]) < 25
    assert near["grey"] < 10
    for who in SEEN:
        assert seen_as("#808080", who) == pytest.approx([53.6, 0, 0], abs=0.3)
