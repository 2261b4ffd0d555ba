"""The live picture: what is blitted is what a full draw would draw, whatever has moved."""

import io

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image

from dampinglab.figures import look
from dampinglab.panels.live import LivePicture, as_png
from tests.panels.conftest import full


def scene(size=look.DESK):
    made = look.paper(size, "A title", "x [m]", "y [m]", inches=(4, 3))
    made.add("line", made.axes.plot([0, 1], [0, 1], **look.now(look.BUMP, size))[0])
    look.label(made, "words")
    made.axes.set(xlim=(0, 1), ylim=(0, 1))
    return made


def move(made):
    made.moving["line"].set_data([0, 0.5, 1], [1, 0.2, 0.4])
    made.moving["words"].set(text="here", position=(0.3, 0.5))


def test_blitted_equals_a_full_draw_again_and_again():
    picture = LivePicture(scene())
    first = picture.pixels().copy()
    move(picture.scene)
    moved = picture.pixels().copy()
    assert not np.array_equal(first, moved)
    assert np.array_equal(moved, full(picture))


@pytest.mark.parametrize("limits", [{"xlim": (0, 2)}, {"ylim": (-1, 1)}])
def test_blitted_equals_a_full_draw_after_limits_change(limits):
    picture = LivePicture(scene())
    picture.pixels()
    move(picture.scene)
    picture.scene.axes.set(**limits)
    blitted = picture.pixels().copy()
    assert np.array_equal(blitted, full(picture))


def test_the_background_is_kept_while_limits_stay(monkeypatch):
    picture = LivePicture(scene())
    picture.pixels()
    drawn = []
    monkeypatch.setattr(FigureCanvasAgg, "draw", lambda canvas: drawn.append(canvas))
    move(picture.scene)
    picture.pixels()
    assert drawn == []


def test_the_image_says_in_words_what_it_shows_and_cannot_be_broken_by_them():
    picture = LivePicture(scene())
    picture.show('A line "up" & on <b>')
    assert 'alt="A line &quot;up&quot; &amp; on &lt;b&gt;"' in picture.widget.value
    assert "<b>" not in picture.widget.value


def test_saving_writes_the_moving_artists_too_and_goes_on_living(tmp_path):
    picture = LivePicture(scene())
    before = picture.pixels().copy()
    picture.save(tmp_path / "a.png")
    saved = np.asarray(Image.open(tmp_path / "a.png").convert("RGB"))
    assert np.array_equal(saved, before)
    move(picture.scene)
    assert np.array_equal(picture.pixels(), full(picture))


def test_the_small_png_keeps_flat_colours_exactly():
    picture = LivePicture(scene())
    pixels = picture.pixels().copy()
    seen = np.asarray(Image.open(io.BytesIO(as_png(pixels))).convert("RGB"))
    paper = np.array([int(look.PAPER[i : i + 2], 16) for i in (1, 3, 5)])
    flat = (pixels == paper).all(axis=-1)
    assert flat.mean() > 0.5
    assert (seen[flat] == paper).all()
    assert np.abs(seen.astype(int) - pixels).mean() < 0.5


def test_another_size_takes_the_same_place():
    picture = LivePicture(scene())
    widget, small = picture.widget, picture.pixels().shape
    picture.swap(scene(look.ROOM))
    picture.show("larger")
    assert picture.widget is widget
    assert picture.pixels().shape[0] > small[0]
