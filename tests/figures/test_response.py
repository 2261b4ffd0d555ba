"""What damping can and cannot change: words at no change, better and worse, and what stays."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import look, response

F = np.geomspace(0.4, 25, 5)
START = response.Response(
    shown="acceleration",
    ratio=0.3,
    mass=560.0,
    tyre_rate=260e3,
    frequency=F,
    curve=np.array([0.1, 0.2, 0.3, 0.4, 0.2]),
    ends=(np.ones(5), np.zeros(5)),
    point=(9.4, 0.46),
    shaking=1.40,
    travel=0.020,
    unevenness=0.25,
    answers=(0.21, 0.39, 0.40),
    costs=(0.05, 0.02, None),
)


def test_no_change_says_what_stays_and_that_three_questions_have_three_answers():
    assert response.sentence(START, START) == (
        "No change. At 9.4 Hz every damper and every spring give the same body acceleration: "
        "0.46 m/s² for 1 mm of road. Least shaking asks for a ratio of 0.21, the evenest tyre for "
        "0.39, a curve without hump or climb for 0.40: no ratio is best for all."
    )


def test_more_damping_shakes_more_and_pays_for_less_travel():
    now = replace(START, ratio=0.6, shaking=1.82, travel=0.015, unevenness=0.265)
    assert response.sentence(now, START).startswith(
        "Damping ratio from 0.30 to 0.60. On a rough road the body shakes 30 % more (1.82 m/s²). "
        "Felt. The price: that shaking and 6 % more uneven load on the tyre; the gain: 25 % "
        "less wheel travel. At 9.4 Hz every damper"
    )


def test_less_damping_is_hardly_felt_and_pays_in_travel():
    now = replace(START, ratio=0.25, shaking=1.33, travel=0.022)
    words = response.sentence(now, START)
    assert "5 % less (1.33 m/s²). Hardly felt. The price: 10 % more wheel travel. At" in words


def test_next_to_nothing_is_not_told_as_0_percent():
    words = response.sentence(replace(START, ratio=0.29, shaking=1.396), START)
    assert "the body shakes under 1 % less (1.40 m/s²)" in words


def test_all_better_shows_no_price():
    now = replace(START, mass=700.0, shaking=1.2, travel=0.018, unevenness=0.2)
    words = response.sentence(now, START)
    assert words.startswith("Body mass from 560 kg to 700 kg.")
    assert "No price shows here; the gain: 20 % less uneven load" in words


def test_masses_and_tyre_move_the_point_and_the_words_say_so():
    now = replace(START, tyre_rate=200e3, point=(8.2, 0.36), shaking=1.3)
    words = response.sentence(now, START)
    assert words.startswith("Tyre rate from 260 N/mm to 200 N/mm.")
    assert "At 8.2 Hz (before: 9.4 Hz; masses and tyre moved it) every damper" in words


def test_the_tyre_has_no_such_point():
    tyre = replace(START, shown="tyre", point=None)
    assert "The tyre load has no point that stays" in response.sentence(tyre, tyre)
    made = response.scene()
    response.update(made, tyre, tyre)
    assert len(made.moving["point"].get_data()[0]) == 0
    assert made.moving["point words"].get_text().startswith("No point here stays")


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_the_drawn_lines_are_the_results(size):
    now = replace(START, ratio=0.5, curve=2 * START.curve)
    made = response.scene(size)
    response.update(made, now, START)
    assert made.moving["now"].get_ydata() == pytest.approx(now.curve)
    assert made.moving["before"].get_ydata() == pytest.approx(START.curve)
    assert made.moving["soft"].get_ydata() == pytest.approx(now.ends[0])
    assert [float(x[0]) for x in made.moving["point"].get_data()] == [9.4, 0.46]
    assert list(made.moving["answers"].get_xdata()) == [0.21, 0.39, 0.40]
    assert [made.moving[f"cost {i}"].get_text() for i in range(3)] == ["+5 %", "+2 %", ""]
    assert made.axes.get_ylim()[1] >= 0.8


def test_the_alternative_names_the_point_the_answers_and_the_ghost():
    words = response.alternative(replace(START, ratio=0.5), START)
    assert "damping ratio 0.50; greatest at 8.9 Hz" in words
    assert "At 9.4 Hz every damper" in words
    assert "dotted: ratio 0.30." in words
    assert "0.21" in words
    assert "dotted" not in response.alternative(START, START)
