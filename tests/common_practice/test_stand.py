"""What a hand learns on the stand: common practice, no source.

Pressed slowly, the low-speed bump adjuster moves the force most and the high-speed one little or
nothing; pressed fast, the high-speed one most; rebound hardly alters the press and sets the
return. Held against the demo wagon's valves and against the dyno tables made from them.
"""

import numpy as np
import pytest

from dampinglab.physics import press
from dampinglab.workshop import demo

MIDDLE = (9, 5, 12)
CLICKS = {"low-speed bump": 18, "high-speed bump": 10, "rebound": 24}
SLOW, FAST = (0.05, 0.10), 0.5  # m/s
NOISE = 0.06  # of the middle force; a row of the tables scatters by 0.8 % and 3 N (one deviation)
FLOOR = 10.0  # N

DAMPERS = [(axle, make) for axle in ("front", "rear") for make in (demo.hydraulic, demo.damper)]


@pytest.fixture(params=DAMPERS, ids=lambda param: f"{param[0]}-{param[1].__name__}")
def damper(request):
    axle, make = request.param
    return make(axle)


def ends(name):
    """Return the settings with one adjuster closed and open, the others at the middle."""
    place = list(CLICKS).index(name)
    return [(*MIDDLE[:place], n, *MIDDLE[place + 1 :]) for n in (0, CLICKS[name])]


def span(damper, name, speed):
    """Return how much one adjuster over its whole range moves the force at a speed, N."""
    closed, wide = (float(damper.valve_force(speed, setting)) for setting in ends(name))
    return abs(closed) - abs(wide)


@pytest.mark.parametrize("speed", SLOW)
def test_pressed_slowly_low_speed_bump_moves_the_force_most(damper, speed):
    """Common practice, no source: and the high-speed adjuster little or nothing."""
    middle = float(damper.valve_force(speed, MIDDLE))
    low, high, back = (span(damper, name, speed) for name in CLICKS)
    assert low > 0.5 * middle
    assert abs(high) < NOISE * middle + FLOOR
    assert abs(back) < NOISE * middle + FLOOR


def test_pressed_fast_high_speed_bump_moves_the_force_most(damper):
    """Common practice, no source."""
    middle = float(damper.valve_force(FAST, MIDDLE))
    low, high, back = (span(damper, name, FAST) for name in CLICKS)
    assert high > 0.4 * middle
    assert high > 1.4 * low
    assert abs(back) < NOISE * middle


def test_rebound_sets_the_return_and_bump_does_not(damper):
    """Common practice, no source: under a spring, as a table may hold no gas force."""
    middle = press.let_return(damper, MIDDLE, spring=6000.0).seconds
    times = {
        name: [press.let_return(damper, setting, spring=6000.0).seconds for setting in ends(name)]
        for name in CLICKS
    }
    assert times["rebound"][0] > 1.6 * times["rebound"][1]
    assert times["rebound"][0] > 1.3 * middle > 1.3 * times["rebound"][1]
    for name in ("low-speed bump", "high-speed bump"):
        assert times[name] == pytest.approx([middle] * 2, rel=NOISE)


def test_rebound_hardly_alters_a_press_by_hand(damper):
    """Common practice, no source: low-speed bump does, high-speed bump does not."""
    middle = press.press_by_hand(damper, MIDDLE, 900.0).seconds
    closed, wide = (press.press_by_hand(damper, s, 900.0).seconds for s in ends("low-speed bump"))
    assert closed > 1.2 * middle > 1.2 * wide
    for setting in ends("rebound"):
        assert press.press_by_hand(damper, setting, 900.0).seconds == pytest.approx(middle, rel=0.1)


def test_where_the_two_bump_adjusters_change_places(damper):
    """Common practice, no source: between a slow press and a fast one, at the shaft."""
    speeds = np.array([0.1, 0.2, 0.5])
    more = [span(damper, "low-speed bump", v) > span(damper, "high-speed bump", v) for v in speeds]
    assert more == [True, True, False]


@pytest.mark.parametrize(
    ("name", "speed", "least", "most"),
    [
        ("low-speed bump", 0.1, 2.0, 5.0),
        ("high-speed bump", 0.5, 1.5, 2.0),
        ("rebound", -0.05, 2.0, 5.0),
        ("rebound", -0.1, 2.0, 5.0),
    ],
)
def test_the_whole_range_of_each_adjuster_is_a_few_times(damper, name, speed, least, most):
    """Common practice, no source."""
    closed, wide = (float(damper.valve_force(speed, setting)) for setting in ends(name))
    assert least <= closed / wide <= most


def test_every_adjuster_is_harder_the_further_it_is_in(damper):
    """Common practice, no source; the table within its noise."""
    for place, (name, speed) in enumerate(zip(CLICKS, (0.1, 0.5, -0.1), strict=True)):
        measured = {s[place] for s in getattr(damper, "curves", {}) if s[:place] == MIDDLE[:place]}
        clicks = sorted(measured) or range(CLICKS[name] + 1)
        turned = [(*MIDDLE[:place], n, *MIDDLE[place + 1 :]) for n in clicks]
        known = [s for s in turned if not measured or s in damper.curves]
        force = np.abs([float(damper.valve_force(speed, s)) for s in known])
        assert np.all(np.diff(force) < NOISE * force[:-1])


@pytest.mark.parametrize("axle", ["front", "rear"])
def test_the_two_bump_adjusters_talk_to_each_other(axle):
    """Common practice, no source: a shut needle brings the high-speed valve into a slow press."""
    valves, speed = demo.hydraulic(axle), 0.1
    shut = [float(valves.valve_force(speed, (0, n, 12))) for n in (0, 10)]
    middle = [float(valves.valve_force(speed, (9, n, 12))) for n in (0, 10)]
    assert shut[0] > 1.3 * shut[1]
    assert middle[0] == middle[1]


def test_a_fast_press_of_the_firm_front_damper_takes_a_lever():
    """Common practice, no source: 900 N, the weight of a heavy person, move it slowly."""
    for setting in ends("low-speed bump"):
        assert press.push_speed(demo.hydraulic("front"), setting, 900.0) < 0.1
    wide = ends("low-speed bump")[1]
    assert press.push_speed(demo.hydraulic("rear"), wide, 900.0) > 0.2


@pytest.mark.parametrize("name", ["utility_two_adjuster", "wagon_rebound_only"])
@pytest.mark.parametrize("axle", ["front", "rear"])
def test_dampers_with_fewer_adjusters_follow_the_same_rule(axle, name):
    """Common practice, no source: rebound is the last adjuster of each of these tables."""
    damper = demo.damper(axle, name)
    rebound = [
        s for s in damper.settings if s[:-1] == damper.settings[len(damper.settings) // 2][:-1]
    ]
    times = [press.let_return(damper, s, spring=6000.0).seconds for s in (rebound[0], rebound[-1])]
    presses = [press.lever_force(damper, s, 0.1) for s in (rebound[0], rebound[-1])]
    assert times[0] > 1.6 * times[1]
    assert presses[0] == pytest.approx(presses[1], rel=2 * NOISE)
