"""The curve explorer: its words at several positions, and its artists where the results are."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import curve
from dampinglab.figures.look import drawn
from dampinglab.figures.words import felt, price

SPEED = np.linspace(-0.5, 0.5, 5)
START = curve.Explored(
    setting=(("low-speed bump", 9), ("rebound", 12)),
    shaft_speed=0.1,
    stroke=(0.02, 2.0),
    place="shaft",
    speed=0.1,
    force=(600.0, 1200.0),
    coefficient=(6000.0, 12000.0),
    ratio=(0.24, 0.46),
    peak=0.25,
    equivalent=7500.0,
    energy=(50.0, 70.0),
    heat=240.0,
    reach=0.3,
    curve_speed=SPEED,
    curve_force=np.array([-3000.0, -1700.0, 0.0, 1500.0, 2300.0]),
    limits={"bump knee": 0.15, "rebound knee": -0.06},
)
HARDER = replace(
    START,
    setting=(("low-speed bump", 3), ("rebound", 12)),
    coefficient=(9000.0, 12000.0),
    force=(900.0, 1200.0),
    equivalent=8250.0,
    energy=(60.0, 70.0),
    heat=260.0,
)


def test_nothing_moved_tells_what_the_damper_is():
    assert curve.sentence(START, START) == (
        "No change: at 0.10 m/s of the shaft the damper, read at the shaft, has 6000 N·s/m in bump "
        "(damping ratio 0.24) and 12000 N·s/m in rebound (damping ratio 0.46); one stroke makes "
        "120 J, 42 % of it in bump: 240 W of heat."
    )


def test_harder_is_told_in_shares_felt_and_priced():
    assert curve.sentence(HARDER, START) == (
        "Low-speed bump from 9 to 3 clicks out: the bump coefficient rises by 50 % to 9000 N·s/m, "
        "the stroke's equivalent rises by 10 % to 8250 N·s/m, heat goes from 240 to 260 W. "
        f"{felt(0.5)} {price('bump', True)}"
    )


def test_softer_costs_travel():
    words = curve.sentence(START, HARDER)
    assert "falls by 33 % to 6000 N·s/m" in words
    assert words.endswith(f"{felt(-0.33)} {price('bump', False)}")


@pytest.mark.parametrize(("back", "more"), [(15000.0, True), (9000.0, False)])
def test_rebound_has_prices_of_its_own(back, more):
    moved = replace(
        START, setting=(("low-speed bump", 9), ("rebound", 5)), coefficient=(6000.0, back)
    )
    words = curve.sentence(moved, START)
    assert "the rebound coefficient" in words
    assert "the bump coefficient" not in words
    assert words.endswith(price("rebound", more))


def test_a_click_that_only_the_stroke_meets_is_priced_by_its_energy():
    moved = replace(START, setting=HARDER.setting, equivalent=8250.0, energy=(56.0, 70.0))
    words = curve.sentence(moved, START)
    assert "the bump coefficient" not in words
    assert words.endswith(price("bump", True))


def test_what_is_felt_is_judged_by_what_is_told():
    slight = replace(HARDER, coefficient=(6300.0, 12000.0), equivalent=7800.0)
    words = curve.sentence(slight, START)  # the energy in bump alone grew by a fifth
    assert "rises by 5 %" in words
    assert felt(0.05) in words
    assert felt(0.2) not in words


def test_a_click_that_moves_nothing_here_is_said_to():
    words = curve.sentence(replace(START, setting=HARDER.setting), START)
    assert words == (
        "Low-speed bump from 9 to 3 clicks out: nothing changes at 0.10 m/s of the shaft nor over "
        "the stroke."
    )


def test_another_stroke_is_the_same_damper_and_has_no_price():
    words = curve.sentence(replace(START, stroke=(0.04, 2.0), equivalent=6000.0), START)
    assert words.startswith("Stroke from 20 mm at 2 Hz to 40 mm at 2 Hz: ")
    assert "equivalent falls by 20 %" in words
    assert words.endswith("No click was turned, so there is no price.")
    faster = replace(START, shaft_speed=0.2, coefficient=(5000.0, 9000.0))
    assert curve.sentence(faster, START).startswith("Shaft speed from 0.10 to 0.20 m/s: ")


def test_two_things_moved_cannot_be_judged():
    words = curve.sentence(replace(HARDER, stroke=(0.04, 2.0)), START)
    assert words.endswith(
        "Clicks and stroke both moved, so neither can be judged: move one at a time."
    )
    assert "price" not in words


def test_what_lies_beyond_the_table_is_told():
    assert "12 % lies beyond the measured table" in curve.sentence(
        replace(START, beyond=0.12), START
    )
    assert "beyond" not in curve.sentence(START, START)


def test_at_the_wheel_both_speeds_are_told():
    words = curve.sentence(replace(START, place="wheel", speed=0.167), START)
    assert "0.10 m/s of the shaft (0.17 m/s of the wheel)" in words


def data(made, name):
    return np.array(made.moving[name].get_data(), float).squeeze()


def test_artists_are_where_the_results_are():
    made = curve.scene()
    curve.update(made, HARDER, START)
    assert data(made, "bump point") == pytest.approx([0.1, 900.0])
    assert data(made, "rebound point") == pytest.approx([-0.1, -1200.0])
    assert np.allclose(data(made, "bump secant"), [[0, 0.1], [0, 900]])
    assert np.allclose(data(made, "equivalent"), [[-0.25, 0.25], [-0.25 * 8250, 0.25 * 8250]])
    assert np.allclose(data(made, "bump now"), [SPEED[2:], HARDER.curve_force[2:]])
    assert np.allclose(data(made, "rebound before"), [SPEED[:3], START.curve_force[:3]])
    assert list(made.moving["bump knee line"].get_xdata()) == [0.15, 0.15]
    assert list(made.moving["rebound knee line"].get_xdata()) == [-0.06, -0.06]
    assert not made.moving["table ends"].get_visible()
    assert "8250 N·s/m" in made.moving["equal words"].get_text()


def test_a_limit_outside_the_picture_is_not_drawn_and_one_at_its_edge_keeps_its_name_inside():
    made = curve.scene()
    curve.update(made, replace(START, limits={"bump knee": 0.6, "rebound knee": -0.29}), START)
    assert not made.moving["bump knee"].get_visible()
    assert made.moving["rebound knee"].get_ha() == "left"
    curve.update(made, START, START)
    assert made.moving["bump knee"].get_visible()
    assert made.moving["rebound knee"].get_ha() == "right"


def test_the_picture_in_words():
    words = curve.alternative(HARDER, START)
    for part in ("low-speed bump 3", "900 N", "1200 N", "bump knee: 0.15 m/s", "the curve before"):
        assert part in words
    assert "before" not in curve.alternative(START, START)


@pytest.mark.parametrize("size", [curve.look.DESK, curve.look.ROOM])
def test_a_static_picture_can_be_saved(tmp_path, size):
    drawn(curve, HARDER, START, size).savefig(tmp_path / "curve.png")
    assert (tmp_path / "curve.png").stat().st_size > 5000
