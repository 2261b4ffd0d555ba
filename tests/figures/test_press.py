"""The press-and-return picture: its words at each kind of difference, its curves as computed."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import look, press
from dampinglab.figures.look import drawn

B = press.Work(
    setting=(("low-speed bump", 9), ("rebound", 12)),
    by_hand=True,
    force=900.0,
    speed=0.04,
    press_time=np.array([0.0, 1.0, 3.0]),
    press_travel=np.array([0.0, 0.05, 0.12]),
    back_time=np.array([0.0, 2.0, 4.0]),
    back_travel=np.array([0.12, 0.05, 0.0]),
    back=4.0,
    gas=500.0,
    spring=0.0,
)
HARDER = replace(
    B, setting=(("low-speed bump", 2), ("rebound", 12)), press_time=1.5 * B.press_time, speed=0.027
)
LEVER = replace(B, by_hand=False, force=886.0, speed=0.1)
SLOWER = replace(
    B, setting=(("low-speed bump", 9), ("rebound", 4)), back_time=1.5 * B.back_time, back=6.0
)


def test_alike_is_no_change():
    assert press.sentence(B, B) == (
        "No change, for A and B are set alike: a push of 900 N (91.8 kgf) takes 3.0 s; it comes "
        "out in 4.0 s by gas alone."
    )
    assert "at 0.10 m/s the lever takes 886 N (90.3 kgf)" in press.sentence(LEVER, LEVER)


def test_a_harder_press_by_hand_takes_longer_and_costs_the_body():
    assert press.sentence(HARDER, B) == (
        "A has low-speed bump 2 clicks out, B 9: the press takes 4.5 s in place of 3.0 s (50 % "
        "more); the return stays within 4 % of B's. Felt. The price: a slow bump passes more "
        "force into the body."
    )


def test_a_softer_press_costs_travel():
    words = press.sentence(B, HARDER)
    assert "takes 3.0 s in place of 4.5 s (33 % less)" in words
    assert words.endswith(
        "The price: there is less force to slow the wheel in a slow bump, so more travel is used."
    )


def test_the_lever_tells_newtons():
    words = press.sentence(replace(LEVER, setting=HARDER.setting, force=1210.0), LEVER)
    assert "the press takes 1210 N (123 kgf), 324 N more (37 %)" in words
    assert "a bump at this speed passes more force" in words


def test_a_slower_return_costs_contact_and_a_quicker_one_hold():
    words = press.sentence(SLOWER, B)
    assert "the return takes 6.0 s in place of 4.0 s (50 % more); the press stays" in words
    assert words.endswith("The price: the wheel follows later when the road falls away.")
    assert press.sentence(B, SLOWER).endswith(
        "The price: there is less force to hold the body back after a bump."
    )


def test_both_may_move_and_the_larger_sets_the_price():
    both = replace(HARDER, back=12.0)
    words = press.sentence(both, B)
    assert "the press takes 4.5 s" in words
    assert "and the return takes 12.0 s in place of 4.0 s (200 % more)" in words
    assert "falls away" in words


def test_scatter_is_no_change_and_says_what_to_try():
    words = press.sentence(replace(B, setting=HARDER.setting, back=4.05), B)
    assert "no change shows in this press" in words
    assert words.endswith("Press at another speed.")


@pytest.mark.parametrize(
    ("gas", "spring", "back", "part"),
    [
        (500.0, 0.0, 4.0, "out in 4.0 s by gas alone"),
        (500.0, 6000.0, 3.0, "out in 3.0 s by gas and a spring of 6 N/mm"),
        (0.0, 6000.0, 3.0, "by a spring of 6 N/mm alone"),
        (0.0, 0.0, np.inf, "nothing brings it out"),
        (20.0, 0.0, np.inf, "gas alone cannot bring it all the way out, for friction"),
    ],
)
def test_what_brings_it_out_is_named(gas, spring, back, part):
    work = replace(B, gas=gas, spring=spring, back=back)
    assert part in press.back_in_words(work)
    assert part in press.sentence(work, work)


def test_a_return_that_never_ends_is_not_compared():
    held = replace(SLOWER, gas=0.0, back=np.inf)
    words = press.sentence(held, replace(B, gas=0.0, back=np.inf))
    assert "nothing brings it out" in words
    assert "nan" not in words
    assert "inf" not in words


def test_beyond_the_table_is_said():
    assert "faster than the table" not in press.sentence(HARDER, B)
    assert "faster than the table" in press.sentence(replace(HARDER, beyond=True), B)


def test_curves_are_where_the_results_are():
    scene = press.scene()
    press.update(scene, SLOWER, B)
    data = {name: a.get_data() for name, a in scene.moving.items() if hasattr(a, "get_data")}
    assert np.allclose(data["press now"], [[-3, -2, 0], [0, 50, 120]])
    assert np.allclose(data["back now"], [[0, 3, 6], [120, 50, 0]])
    assert np.allclose(data["back before"], [[0, 2, 4], [120, 50, 0]])
    assert scene.axes.get_xlim()[1] >= 6
    assert scene.moving["press now"].get_color() == look.BUMP
    assert scene.moving["back now"].get_color() == look.REBOUND
    assert scene.moving["back now"].get_linestyle() != "-"
    assert scene.moving["back before"].get_color() == look.pale(look.REBOUND)


def test_a_held_shaft_stays_in_the_picture():
    scene = press.scene()
    held = replace(B, gas=0.0, back_time=np.zeros(1), back_travel=np.array([0.12]), back=np.inf)
    press.update(scene, held, held)
    when, travel = scene.moving["back now"].get_data()
    assert np.allclose(travel, 120)
    assert when[-1] == scene.axes.get_xlim()[1]
    assert "does not come out" in scene.moving["back words"].get_text()


def test_readings_stand_in_the_picture_for_both_or_for_one():
    scene = press.scene()
    press.update(scene, SLOWER, B)
    assert "A after 6.0 s\nB after 4.0 s" in scene.moving["back words"].get_text()
    press.update(scene, B, B)
    assert "A and B\nafter 4.0 s" in scene.moving["back words"].get_text()
    assert "900 N, 91.8 kgf, 3.0 s" in scene.moving["press words"].get_text()


def test_the_picture_in_words_names_clicks_force_and_times():
    words = press.alternative(SLOWER, B)
    for part in ("rebound 4", "120 mm in 3.0 s", "900 N (91.8 kgf)", "6.0 s", "setting B"):
        assert part in words
    assert "setting B" not in press.alternative(B, B)


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(press, SLOWER, B).savefig(tmp_path / "press.png")
    assert (tmp_path / "press.png").stat().st_size > 5000
