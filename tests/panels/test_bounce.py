"""The bounce panel: what it draws and says is what the reading is, and no file breaks it."""

import html
import re
from dataclasses import replace

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.errors import FileProblem
from dampinglab.panels import bounce_panel
from dampinglab.panels.bounce import DEMOS
from dampinglab.workshop.bounce import read_bounce
from dampinglab.workshop.marks import read_marks
from dampinglab.workshop.record import Record, read_record
from tests.panels.conftest import full


@pytest.fixture
def panel():
    return bounce_panel()


def words(widget):
    return html.unescape(re.sub("<[^>]+>", "", widget.value)).replace("\xa0", " ")


def test_markers_read_what_the_workshop_reads(panel):
    panel.controls["first"].take(2.38)
    panel.controls["later"].take(3.14)
    marks = read_marks(panel.seen, 2.38, 3.14)
    assert f"damping ratio {marks.ratio:.3f}" in words(panel.sentence)
    assert panel.picture.scene.moving["first dot"].get_data() == ([2.38], [marks.heights[0]])
    assert f'alt="{panel.picture.alternative}"' in panel.picture.widget.value


def test_it_starts_beside_the_peaks_so_that_there_is_something_to_do(panel):
    panel.ask.value = True
    assert words(panel.sentence).startswith("No change")
    assert "Well read" not in words(panel.answer)


def test_the_fit_is_a_secret_until_asked_for(panel):
    assert words(panel.answer) == ""
    panel.ask.value = True
    fit = read_bounce(read_record(dataset("bounce/good_corner.csv")))
    assert fit.words in words(panel.answer)
    assert len(panel.picture.scene.moving["fit"].get_xdata()) > 0
    panel.ask.value = False
    assert words(panel.answer) == ""


def test_keeping_makes_now_the_before(panel):
    panel.controls["first"].take(2.4)
    assert "the markers read before" in words(panel.sentence)
    panel.keep.click()
    assert words(panel.sentence).startswith("No change")


@pytest.mark.parametrize("file", [file for _, file in DEMOS])
def test_every_demo_record_can_be_chosen(panel, file):
    panel.choice.value = DEMOS[1][1]
    panel.ask.value = True
    panel.choice.value = file
    assert file in words(panel.place)
    assert words(panel.trouble) == ""
    shown = panel.picture.scene.moving["readings"].get_xdata()
    assert np.array_equal(shown, read_record(dataset(f"bounce/{file}")).time)
    assert panel.controls["later"].high == pytest.approx(panel.seen.grid[-1], abs=0.01)


@pytest.mark.parametrize("file", [file for _, file in DEMOS])
def test_markers_start_in_order_inside_the_record(panel, file):
    panel.choice.value = file
    first, later = (panel.controls[name].value for name in ("first", "later"))
    assert 0 <= first < later <= panel.seen.grid[-1]
    assert "later than marker 1" not in words(panel.sentence)


def test_markers_keep_their_order_where_the_record_ends_early(panel):
    start = panel.fit.window[0]
    grid = panel.seen.grid[panel.seen.grid < start + 0.1]
    panel.seen = replace(panel.seen, grid=grid)
    first, later = panel._places()
    assert 0 <= first < later <= grid[-1] + 0.005


def test_an_own_file_not_named_yet_is_asked_for(panel, tmp_path):
    panel.choice.value = ""
    assert words(panel.trouble) == "Type the file's name and press Enter."
    panel.path.value = str(tmp_path / "nothing.csv")
    assert "there is no such file" in words(panel.trouble)
    panel.path.value = ""
    assert words(panel.trouble) == "Type the file's name and press Enter."
    panel.choice.value = DEMOS[0][1]
    assert words(panel.trouble) == ""


def test_a_name_far_from_all_others_gets_no_suggestion(panel, tmp_path):
    (tmp_path / "words.csv").write_text("x")
    panel.path.value = str(tmp_path / "nosuch.csv")
    assert "perhaps" not in words(panel.trouble)
    panel.path.value = str(tmp_path / "word.csv")
    assert "perhaps you meant 'words.csv'" in words(panel.trouble)


def test_another_record_hides_the_fit_and_forgets_the_before(panel):
    panel.ask.value = True
    panel.controls["first"].take(2.0)
    panel.choice.value = "worn_damper.csv"
    assert panel.ask.value is False
    assert words(panel.sentence).startswith("No change")


def test_an_own_file_is_shown(panel, tmp_path):
    own = tmp_path / "own.csv"
    own.write_text(dataset("bounce/worn_damper.csv").read_text(encoding="utf-8"), encoding="utf-8")
    panel.path.value = f' "{own}" '
    assert panel.choice.value == ""
    assert words(panel.place).startswith("own.csv, recorded on the wing")
    assert words(panel.trouble) == ""


@pytest.mark.parametrize("content", [None, "", "time [s],acceleration [g]\n0,1\n", "nonsense"])
def test_a_bad_file_gets_one_sentence_and_the_record_stays(panel, tmp_path, content):
    own = tmp_path / "bad.csv"
    if content is not None:
        own.write_text(content)
    panel.path.value = str(own)
    told = words(panel.trouble)
    assert told.startswith("bad.csv")
    assert told.endswith(".")
    assert "good_corner.csv" in words(panel.place)
    panel.choice.value = "worn_damper.csv"
    assert words(panel.trouble) == ""


def test_a_record_that_cannot_be_fitted_can_still_be_looked_at():
    t = np.arange(0, 6, 0.01)
    panel = bounce_panel(Record("shaken", t, 9.8 + np.sin(8 * t) * (t > 1), "wing"))
    assert panel.choice.value == ""
    panel.ask.value = True
    assert words(panel.answer).startswith("shaken: it still shakes")
    assert len(panel.picture.scene.moving["readings"].get_xdata()) == len(t)


def test_a_bad_path_in_the_call_is_one_sentence():
    with pytest.raises(FileProblem, match="no such file"):
        bounce_panel("nowhere.csv")


def test_blitted_equals_a_full_draw_at_both_ends_and_after_another_record(panel):
    for file in ("good_corner.csv", "hard_push.csv"):
        panel.choice.value = file
        for control in panel.controls.values():
            for end in (control.slider.min, control.slider.max):
                control.slider.value = end
                blitted = panel.picture.pixels().copy()
                assert np.array_equal(blitted, full(panel.picture)), (file, control.label, end)


def test_the_projector_keeps_what_is_shown(panel):
    panel.ask.value = True
    told = words(panel.answer)
    panel.room.value = True
    assert words(panel.answer) == told
    assert len(panel.picture.scene.moving["fit"].get_xdata()) > 0
