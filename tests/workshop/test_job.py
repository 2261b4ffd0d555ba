"""The main job from files to a page, as the command line runs it, and its picture."""

import re

import numpy as np
import pytest
from matplotlib.colors import to_hex
from PIL import Image

from dampinglab.cli import main
from dampinglab.errors import LearnerError
from dampinglab.figures.baseline import alt_text, baseline_title, draw_baseline
from dampinglab.figures.look import BUMP, DESK, REBOUND, ROOM
from dampinglab.job import run_baseline
from dampinglab.workshop.baseline import baseline
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.sheet import read_ratings, read_vehicle


@pytest.fixture
def files(save, sheet_text, dyno_text):
    return [save("v.toml", sheet_text), save("d.csv", dyno_text)]


@pytest.fixture
def result(files):
    return baseline(read_vehicle(files[0]), read_dyno(files[1]))


def test_files_in_any_order_give_the_page_and_a_picture(files, tmp_path, capsys):
    picture = tmp_path / "p.png"
    assert main(["baseline", *map(str, files[::-1]), "--picture", str(picture)]) == 0
    page = capsys.readouterr()
    assert page.out.startswith("BASELINE   Test wagon, as weighed")
    assert page.err == ""
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert Image.open(picture).text["Description"].startswith("The start damps slow movements")
    assert main(["baseline", *map(str, files), "--load", "touring"]) == 0
    assert "450 kg sprung" in capsys.readouterr().out


def test_a_rating_on_the_sheet_stands_in_for_a_table_and_gives_way_to_one(save, files):
    rating = "[front.rating]\nbump_N = 800\nrebound_N = 1200\nspeed_mm_per_s = 130\n"
    sheet = save("r.toml", files[0].read_text() + rating)
    assert "known by a rating only: 800 N bump, 1200 N rebound at 0.13 m/s" in run_baseline([sheet])
    assert "rating" not in run_baseline([sheet, files[1]])


def other(old, new):
    return lambda text: text.replace(old, new)


SLIPS = {
    "clicks past the last": (
        "v.toml", other("rebound = 5", "rebound = 11"),
        "v.toml, row 18: [front.as_found]: 'rebound' at 11 clicks is past the last",
    ),
    "adjuster that the damper has not": (
        "v.toml", other("rebound = 5", '"bump" = 5'),
        "v.toml, row 18: [front.as_found]: this damper has no adjuster 'bump'",
    ),
    "table of another axle": (
        "d.csv", other("axle: front", "axle: rear"),
        "d.csv: it is for no axle of Test wagon, whose sheet has the front axle",
    ),
    "broken sheet": ("v.toml", other("= 480", "= "), "v.toml, row 5: 'left_wheel_kg =' cannot"),
    "broken table": ("d.csv", other("0,50,100", "0,50,x"), "d.csv, row 14: 'x' under 'force [N]'"),
    "sheet of kilograms in pounds": (
        "v.toml", other("= 470", "= 1036"),
        "v.toml, row 4: 480 kg on the left wheel and 1036 kg on the right do not belong together",
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_in_a_file_ends_in_one_sentence_and_exit_code_2(files, capsys, slip):
    name, spoil, says = SLIPS[slip]
    (path,) = [each for each in files if each.name == name]
    path.write_text(spoil(path.read_text()))
    assert main(["baseline", *map(str, files)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(says)
    assert said.err.count("\n") == 1
    assert "Traceback" not in said.err


def test_slips_in_the_command_itself(files, tmp_path):
    sheet, table = files
    with pytest.raises(LearnerError, match=r"Name one vehicle sheet.* no such file was named"):
        run_baseline([table])
    with pytest.raises(LearnerError, match="2 such file"):
        run_baseline([sheet, tmp_path / "other.toml"])
    with pytest.raises(LearnerError, match="has already given the front axle its damper"):
        run_baseline([sheet, table, table])
    with pytest.raises(LearnerError, match="it has no load 'tourin'; perhaps you meant 'touring'"):
        run_baseline(files, load="tourin")
    with pytest.raises(LearnerError, match="this is a folder"):
        run_baseline([sheet, tmp_path])
    with pytest.raises(LearnerError, match=r"end its name in \.png"):
        run_baseline(files, picture=tmp_path / "p.bmp")
    with pytest.raises(LearnerError, match="cannot be written there; choose a folder that exists"):
        run_baseline(files, picture=tmp_path / "none" / "p.png")
    with pytest.raises(LearnerError, match="no damping ratio to draw"):
        run_baseline([sheet], picture=tmp_path / "p.png")


def test_a_file_of_the_learners_is_never_overwritten(files, tmp_path):
    mine = tmp_path / "mine.png"
    mine.write_bytes(b"holiday")
    with pytest.raises(LearnerError, match="is there already and stays; choose another name"):
        run_baseline(files, picture=mine)
    assert mine.read_bytes() == b"holiday"


def segments(axes, colour):
    """Return the ends of the lines of one colour, by row from the top."""
    lines = [line for line in axes.lines if to_hex(line.get_color()) == colour.lower()]
    drawn = [line for line in lines if len(line.get_xdata()) == 2 and line.get_marker() == "None"]
    return np.array([line.get_xdata() for line in sorted(drawn, key=lambda d: d.get_ydata()[0])])


def test_the_picture_draws_every_setting_from_fast_to_slow(result):
    (axes,) = draw_baseline(result).axes
    case = result.axles[0].cases[0]
    every = sorted([*case.ratios, case.start], key=lambda each: each.setting)
    labels = [label.get_text() for label in axes.get_yticklabels()]
    assert labels == ["0", "5", "10"]
    rebound = [[each.rebound_high.least, each.rebound_low.least] for each in every]
    assert segments(axes, REBOUND) == pytest.approx(np.array(rebound))
    bump = [[each.bump_high.least, each.bump_low.least] for each in every]
    assert segments(axes, BUMP) == pytest.approx(np.array(bump))
    bold = [
        label.get_text() for label in axes.get_yticklabels() if label.get_fontweight() == "bold"
    ]
    assert bold == ["5"]


def test_the_picture_tells_bump_from_rebound_without_colour_and_reads_from_afar(result):
    figure = draw_baseline(result)
    (axes,) = figure.axes
    styles = {to_hex(line.get_color()): line.get_linestyle() for line in axes.lines
              if len(line.get_xdata()) == 2 and line.get_marker() == "None"}  # fmt: skip
    assert styles[BUMP.lower()] == "-"
    assert styles[REBOUND.lower()] == "--"
    words = [
        text for text in figure.findobj(lambda a: hasattr(a, "get_fontsize")) if text.get_text()
    ]
    assert min(text.get_fontsize() for text in words) >= 12
    assert axes.get_xlabel() == "damping ratio"
    assert axes.get_xlim()[1] > 1.0


def test_title_and_alternative_text_come_from_the_results(result):
    assert baseline_title(result) == "The start damps slow movements at 0.06 to 0.09 of critical"
    words = alt_text(result, "touring")
    assert words.startswith(baseline_title(result, "touring"))
    assert "with the load 'touring'" in words
    assert re.search(r"bump a solid purple line, rebound a dashed amber one", words)


@pytest.mark.parametrize("size", [DESK, ROOM], ids=lambda size: size.name)
def test_the_heading_stands_clear_of_the_line_s_name(result, size):
    figure = draw_baseline(result, size=size)
    figure.draw_without_rendering()
    (axes,) = figure.axes
    (name,) = (text for text in axes.texts if text.get_text() == "critical")
    heading = axes._left_title.get_window_extent()
    assert heading.y0 > name.get_window_extent().y1
    assert heading.x1 < figure.bbox.x1


def test_a_rating_is_drawn_as_a_band(save, files):
    rating = "[front.rating]\nbump_N = 800\nrebound_N = 1200\nspeed_mm_per_s = 130\n"
    sheet = save("r.toml", files[0].read_text() + rating)
    result = baseline(read_vehicle(sheet), read_ratings(sheet))
    (axes,) = draw_baseline(result).axes
    band = result.axles[0].cases[0].start
    ends = [[band.bump_low.least, band.bump_low.most], [band.bump_high.least, band.bump_high.most]]
    assert segments(axes, BUMP) == pytest.approx(np.array(ends))
    assert "may damp slow movements" in baseline_title(result)
