"""The look: what was is pale and dotted, words are large enough, the PNG keeps the colours."""

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb

from dampinglab.figures import look, sag, settle, stand

SCENES = [module.scene for module in (stand, sag, settle)]
SIZES = [look.DESK, look.ROOM]


def words(scene):
    """Return the words that are shown or will be; empty tick labels are neither."""
    found = scene.figure.findobj(lambda artist: hasattr(artist, "get_fontsize"))
    will_be = scene.moving.values()
    return [text for text in found if text in will_be or (text.get_text() and text.get_visible())]


def test_now_is_full_and_before_is_the_same_colour_pale_and_dotted():
    now, was = look.now(look.BUMP, look.DESK), look.before(look.BUMP, look.DESK)
    assert now["color"] == look.BUMP
    assert now["linestyle"] == "-"
    assert was["linestyle"] != now["linestyle"]
    paper, full, pale = (np.array(to_rgb(c)) for c in (look.PAPER, look.BUMP, was["color"]))
    share = (paper - pale) / (paper - full)
    assert np.allclose(share, share[0], atol=0.02)
    assert 0.3 < share[0] < 0.7


def test_bump_and_rebound_differ_by_line_and_not_by_colour_alone():
    bump, rebound = (look.now(colour, look.DESK) for colour in (look.BUMP, look.REBOUND))
    assert bump["linestyle"] != rebound["linestyle"]


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_every_word_is_twelve_points_or_more(scene, size):
    made = scene(size)
    FigureCanvasAgg(made.figure).draw()
    assert min(text.get_fontsize() for text in words(made)) >= 12


@pytest.mark.parametrize("scene", SCENES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_the_title_stays_on_the_paper(scene, size):
    figure = scene(size).figure
    canvas = FigureCanvasAgg(figure)
    box = figure.texts[0].get_window_extent(canvas.get_renderer())
    assert box.x1 < figure.bbox.x1
    assert box.y1 < figure.bbox.y1
    assert box.y0 > figure.axes[0].bbox.y1, "the title runs into the picture"


@pytest.mark.parametrize("scene", SCENES)
def test_axes_carry_their_units(scene):
    axes = scene(look.DESK).axes
    for text in (axes.get_xlabel(), axes.get_ylabel()):
        assert text.endswith("]")


def test_a_projector_gets_larger_words_and_thicker_lines():
    assert look.ROOM.font > 1.3 * look.DESK.font
    assert look.ROOM.line > 1.3 * look.DESK.line


def test_a_limit_is_thin_dark_dash_dot_and_says_its_name():
    scene = look.paper(look.DESK, "T", "x [m]", "y [m]")
    look.limit(scene, "knee")
    look.place_limit(scene, "knee", 0.2)
    line = scene.moving["knee line"]
    assert line.get_linestyle() == "-."
    assert line.get_color() == look.INK
    assert line.get_linewidth() < look.DESK.line / 2
    assert list(line.get_xdata()) == [0.2, 0.2]
    assert scene.moving["knee"].get_text().strip() == "knee"
    assert 0.2 < scene.moving["knee"].get_position()[0] < 0.25


def test_the_ladder_gives_whole_rungs_and_never_cuts_off():
    assert look.ladder(0.31, (0.3, 0.5)) == 0.5
    assert look.ladder(0.3, (0.3, 0.5)) == 0.3
    assert look.ladder(0.9, (0.3, 0.5)) > 0.9


def test_the_palette_fits_a_png_and_holds_every_ink_and_its_pale():
    colours = look.palette()
    assert len(colours) <= 256
    inks = [look.BUMP, look.REBOUND, look.WHEEL, look.ROAD, look.INK, look.QUIET]
    for ink in [look.PAPER, look.FAINT, *inks, *map(look.pale, inks)]:
        assert tuple(round(255 * c) for c in to_rgb(ink)) in colours
