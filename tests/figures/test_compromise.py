"""The compromise in picture and words: marks where settings are, prices as worked out."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import compromise as figure
from dampinglab.figures import look
from dampinglab.figures.look import drawn
from dampinglab.workshop.compromise import GOALS, PRIORITIES, Choice, Move

WAY = (Move("rebound", 12, 8, 0.021), Move("low-speed bump", 10, 6, 0.0))
CHOICE = Choice(
    setting=(6, 8),
    cost=-0.02,
    regret=0.083,
    worst="corrugations, as weighed",
    equals=((6, 9), (5, 8)),
    noise=0.004,
    losses={"as found": 0.061, "middle of force": 0.02},
    ways={"as found": WAY, "middle of force": ()},
)
ASKED = (("axle", "front"), ("load", "as weighed"), ("roads", "gravel"), ("priority", "balanced"))
CHANGES = {
    "weighted": (1.00, 1.04),
    "peak_upward": (4.0, 4.0),
    "tyre_variation": (0.20, 0.17),
    "body_motion": (0.014, 0.012),
    "bump_travel": (0.040, 0.039),
    "stop_energy": (4.0, 1.0),
}
NOW = figure.Compromise(
    asked=ASKED,
    up="body_motion",
    across=np.array([0.9, 1.0, 1.04, 1.3, 1.05, 1.2]),
    upright=np.array([16, 14, 12, 10, 12.1, 15]) * 1e-3,
    front=np.array([0, 1, 2, 3]),
    named={"chosen": 2, "as found": 1, "middle of force": 5},
    equals=(4,),
    adjusters=(("low-speed bump", 18), ("rebound", 24)),
    start="as found",
    changes=CHANGES,
    weights=PRIORITIES["balanced"],
    choice=CHOICE,
    whole=5225,
)
TOURING = (ASKED[0], ("load", "touring"), *ASKED[2:])


def test_no_change_tells_clicks_both_ways_gain_price_and_equals():
    told = figure.sentence(NOW, NOW)
    assert told == (
        "No change in what is asked. Balanced: low-speed bump 6 (12), rebound 8 (16), in clicks "
        "out from closed (from soft). Against as found, tyre load variation falls from 20 to 17 %"
        " (felt) and body movement falls from 14.0 to 12.0 mm (felt). The price: shaking (ISO "
        "2631 Wk) rises from 1.00 to 1.04 m/s² (hardly felt). 2 other settings cannot be told "
        "from it, nearest to as found: low-speed bump 6 (12), rebound 9 (15)."
    )


def test_what_is_asked_anew_comes_first_and_whether_the_choice_moves():
    load = replace(NOW, asked=TOURING)
    told = figure.sentence(load, NOW)
    assert told.startswith("Load from as weighed to touring, and the choice stays: low-speed bump")
    moved = replace(load, choice=replace(CHOICE, setting=(4, 8), equals=()))
    told = figure.sentence(moved, NOW)
    assert "and the choice moves: low-speed bump 4 (14), rebound 8 (16)" in told
    assert told.endswith("No other setting has been shown to be its equal.")


def test_a_choice_that_only_costs_or_changes_nothing_says_so():
    worse = replace(NOW, changes={key: (old, 1.2 * old) for key, (old, _) in CHANGES.items()})
    assert "Against as found, nothing is gained. The price: shaking" in figure.sentence(worse, NOW)
    better = replace(NOW, changes={key: (old, 0.8 * old) for key, (old, _) in CHANGES.items()})
    assert "No score of this mix pays for it." in figure.sentence(better, NOW)
    same = replace(NOW, changes={key: (old, old) for key, (old, _) in CHANGES.items()})
    assert "no score moves by as much as can be written" in figure.sentence(same, NOW)


def test_what_counts_most_is_told_first():
    held = replace(NOW, weights=PRIORITIES["body held first"])
    assert "as found, body movement falls" in figure.sentence(held, NOW)


def test_a_few_joules_into_the_stop_are_not_felt():
    only = {key: (old, old) for key, (old, _) in CHANGES.items()} | {"stop_energy": (4.0, 1.0)}
    told = figure.sentence(replace(NOW, changes=only), NOW)
    assert "energy into the bump stop falls from 4 to 1 J (hardly felt)" in told


def test_prices_of_starts_and_steps_regret_noise_and_how_much_was_tried():
    first, second, regret, noise, tried = figure.prices(NOW)
    assert first == (
        "Starting as found costs 6.1 %: rebound from 12 to 8 leaves 2.1 %, then low-speed bump "
        "from 10 to 6 leaves nothing."
    )
    assert second == "Starting at the middle of force costs 2.0 %."
    assert "corrugations, as weighed" in regret
    assert "8.3 % better" in regret
    assert "moves by 0.4 %" in noise
    assert tried == "Tried: 6 of 5,225 settings."
    assert len(figure.prices(replace(NOW, choice=replace(CHOICE, noise=0.0)))) == 4


def test_the_weights_are_stated():
    told = figure.weights(NOW)
    for goal in GOALS:
        assert f"{100 * PRIORITIES['balanced'][goal.key]:.0f} %" in told
        assert goal.word in told
    only = figure.weights(replace(NOW, weights={"weighted": 1.0}))
    assert "100 %" in only
    assert "grip" not in only


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_marks_and_front_are_where_the_settings_are(size):
    made = figure.scene(size)
    figure.update(made, NOW, NOW)
    assert np.allclose(made.moving["every"].get_ydata(), 1e3 * NOW.upright)
    assert list(made.moving["front"].get_xdata()) == [0.9, 1.0, 1.04, 1.3]
    assert list(made.moving["equals"].get_xdata()) == [1.05]
    for name, place in NOW.named.items():
        x, y = made.moving[name].get_data()
        assert (x[0], y[0]) == pytest.approx((NOW.across[place], 1e3 * NOW.upright[place]))
        assert made.moving[f"{name} label"].get_text() == name
    assert made.moving["before label"].get_text() == ""
    assert not len(made.moving["maker's"].get_xdata())
    assert made.axes.get_ylabel() == "body movement [mm]"


def test_shapes_differ_so_that_no_mark_is_told_by_colour_alone():
    made = figure.scene()
    names = ("chosen", "as found", "maker's", "middle of force")
    assert len({made.moving[name].get_marker() for name in names}) == 4
    chosen, before = made.moving["chosen"], made.moving["before"]
    assert chosen.get_markerfacecolor() != before.get_markerfacecolor() == look.PAPER


def test_marks_on_one_setting_share_a_label():
    made = figure.scene()
    one = replace(NOW, named={"chosen": 2, "as found": 2, "before": 1, "middle of force": 5})
    figure.update(made, one, NOW)
    assert made.moving["chosen label"].get_text() == "chosen = as found"
    assert made.moving["as found label"].get_text() == ""
    assert made.moving["before label"].get_text() == "before"


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
@pytest.mark.parametrize("chosen", range(6))
def test_labels_stay_on_the_paper_and_inside_the_axes(size, chosen):
    made = figure.scene(size)
    figure.update(made, replace(NOW, named={**NOW.named, "chosen": chosen}), NOW)
    made.figure.draw_without_rendering()
    for name, artist in made.moving.items():
        if (name.endswith("label") or name == "key") and artist.get_text():
            box = artist.get_window_extent()
            assert made.axes.bbox.x0 <= box.x0, name
            assert box.x1 <= made.figure.bbox.x1, name
            assert made.axes.bbox.y0 - 2 <= box.y0, name


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
@pytest.mark.parametrize("apart", [0.0, 0.03, 0.06, 0.1])
def test_labels_of_marks_that_lie_close_do_not_cover_each_other(size, apart):
    made = figure.scene(size)
    across = np.array([0.9, 1.0, 1.04, 1.3, 1.05, 1.0 + apart])
    near = replace(NOW, across=across, upright=np.array([16, 14, 10, 10, 12.1, 14.05]) * 1e-3)
    figure.update(made, near, NOW)
    made.figure.draw_without_rendering()
    names = ("as found", "middle of force")
    one, other = (made.moving[f"{name} label"].get_window_extent() for name in names)
    assert not one.overlaps(other)


def test_the_picture_in_words_tells_spans_front_and_marks():
    told = figure.alternative(NOW, NOW)
    for part in (
        "each of 6 settings",
        "0.90 to 1.30 m/s²",
        "10.0 to 16.0 mm",
        "joins the 4 settings",
        "as found at 1.00 m/s² and 14.0 mm",
    ):
        assert part in told


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(figure, NOW).savefig(tmp_path / "compromise.png")
    assert (tmp_path / "compromise.png").stat().st_size > 5000
