"""Sag and ride frequency: the words at five positions, and the points on the curve."""

from dataclasses import replace

import numpy as np

from dampinglab.figures import sag
from dampinglab.figures.look import drawn

CURVE = np.array([0.05, 0.1, 0.2])
START = sag.Ride(
    mass=500.0,
    wheel_rate=40e3,
    ride_rate=34e3,
    sag=0.120,
    together=0.144,
    frequency=1.30,
    travel_left=0.060,
    foam=0.045,
    stop_at=0.212,
    curve_sag=CURVE,
    curve_frequency=np.array([2.2, 1.6, 1.1]),
)
LOADED = replace(START, sag=0.150, together=0.180, frequency=1.16, travel_left=0.030)


def test_no_change():
    assert sag.sentence(START, START) == (
        "No change: the spring sags 120 mm and the body bounces at 1.30 Hz."
    )


def test_loaded_sags_slows_and_costs_travel():
    assert sag.sentence(LOADED, START) == (
        "The spring sags 150 mm, 30 mm more, and the body bounces at 1.16 Hz, 11 % slower. "
        "Felt. The price: 30 mm less travel, and 30 mm left before the bump stop."
    )


def test_worse_stands_on_its_bump_stop():
    words = sag.sentence(replace(LOADED, travel_left=-0.012), START)
    assert words.endswith(
        "The price: it stands 12 mm into its bump stop, which is work for a spring, "
        "not for a damper."
    )


def test_on_the_edge_of_its_bump_stop_it_touches():
    words = sag.sentence(replace(LOADED, travel_left=-0.0004), START)
    assert "The price: it touches its bump stop, which is work for a spring" in words


def test_past_the_foam_it_lies_solid():
    solid = sag.sentence(replace(LOADED, travel_left=-0.046), START)
    assert solid.endswith(
        "The price: it lies solid on its bump stop, so the spring has nothing left to do."
    )
    assert "solid" not in sag.sentence(replace(LOADED, travel_left=-0.044), START)


def test_stiffer_rises_quickens_and_costs_comfort():
    words = sag.sentence(START, LOADED)
    assert "30 mm less, and the body bounces at 1.30 Hz, 12 % faster" in words
    assert words.endswith("so the ride is firmer.")


def test_a_softer_tyre_leaves_the_spring_alone():
    words = sag.sentence(replace(START, frequency=1.25, together=0.155), START)
    assert words.startswith("The spring sags 120 mm as before and the body bounces at 1.25 Hz, 4 %")
    assert "Hardly felt." in words
    assert words.endswith("No price shows in this picture.")


def test_points_are_where_the_results_are():
    scene = sag.scene()
    sag.update(scene, LOADED, START)
    assert scene.moving["now"].get_data() == ([180.0], [1.16])
    assert scene.moving["before"].get_data() == ([144.0], [1.30])
    assert np.array_equal(scene.moving["curve"].get_data(), [1e3 * CURVE, START.curve_frequency])
    assert list(scene.moving["bump stop line"].get_xdata()) == [212.0, 212.0]
    assert "spring 150 + tyre 30 mm" in scene.moving["words"].get_text()


def test_the_name_of_the_bump_stop_keeps_clear_of_dot_and_edge():
    scene = sag.scene()
    name = scene.moving["bump stop"]
    for ride, side in (
        (LOADED, "left"),
        (replace(LOADED, together=0.24), "right"),
        (replace(LOADED, stop_at=0.299), "right"),
    ):
        sag.update(scene, ride, START)
        assert name.get_ha() == side
        assert (name.get_position()[0] < 1e3 * ride.stop_at) == (side == "right")


def test_axes_hold_before_and_now():
    scene = sag.scene()
    sag.update(scene, START, replace(START, together=0.4, frequency=3.4))
    assert scene.axes.get_xlim()[1] >= 400
    assert scene.axes.get_ylim()[1] >= 3.4


def test_the_picture_in_words():
    words = sag.alternative(LOADED, START)
    assert "180 mm" in words
    assert "A pale ring marks before: 144 mm and 1.30 Hz." in words
    assert "before" not in sag.alternative(START, START)


def test_a_static_picture_can_be_saved(tmp_path):
    drawn(sag, LOADED, START).savefig(tmp_path / "sag.png")
    assert (tmp_path / "sag.png").stat().st_size > 5000
