"""What to turn for which complaint: common practice, no source.

Each rule on the event that shows it best, with the demo vehicles' own dampers, one adjuster at a
time from open to closed and the others at the middle. The sign is what is claimed, and a least
size where it matters; sizes are a model's. The complaints' numbers are this page's own.
"""

import numpy as np
import pytest

from dampinglab.errors import LearnerError
from dampinglab.physics import road
from dampinglab.physics.corner import simulate
from dampinglab.physics.measures import scores
from dampinglab.workshop import demo
from dampinglab.workshop.evidence import (
    RULES,
    Evidence,
    Turned,
    enough,
    evidence,
    turn,
    turned_settings,
    turning_height,
)

WAGON = ("front", "rear empty", "rear loaded")
UTILITY = ("utility front", "utility rear empty", "utility rear loaded")
LOW, HIGH, REBOUND = "low-speed bump", "high-speed bump", "rebound"

# By how much of the middle value at least the whole range moves the metric, on the wagon.
LEAST = {
    "R1": 0.20,
    "R1 rough track": 0.05,
    "R2": 0.20,
    "R3": 0.5,
    "R3 good road": 0.05,
    "R3 usual road": 0.10,
    "R4": 0.10,
    "R5": 0.10,
    "R5 waves": 0.5,
    "R6": 0.9,
    "R6 motion": 0.3,
    "R7": 0.05,
    "R7 drop": 0.25,
    "R7 sinking": 1.0,
    "R7 shaking": 0.25,
    "R7 packing": 0.5,
}


@pytest.mark.parametrize("where", WAGON)
@pytest.mark.parametrize("name", RULES)
def test_a_rule_has_its_sign(found, where, name):
    """Common practice, no source: the same way at every quarter from open to closed."""
    shown = found(name, where)
    assert shown.applies
    assert shown.steady, shown.turned.values
    assert abs(shown.change) > LEAST[name] * abs(shown.turned.values[2]), shown.turned.values


# A leaf pack's friction lets the empty rear keep still after a rise: there is no complaint.
STILL = [("R6", "utility rear empty")]


@pytest.mark.parametrize("where", UTILITY)
@pytest.mark.parametrize("name", [name for name in RULES if RULES[name].adjuster == REBOUND])
def test_a_rule_of_rebound_has_its_sign_on_leaves_and_measured_dampers(found, where, name):
    """Common practice, no source: the utility's damper has one bump adjuster and a rebound one."""
    shown = found(name, where)
    assert shown.applies == ((name, where) not in STILL)
    assert shown.steady or not shown.applies, shown.turned.values


@pytest.mark.parametrize("name", [name for name in RULES if RULES[name].adjuster != REBOUND])
def test_a_damper_without_the_adjuster_is_told_so(found, name):
    with pytest.raises(LearnerError, match=f"no {RULES[name].adjuster} adjuster, only: bump, reb"):
        found(name, "utility front")


def test_what_does_not_exist_is_told_in_a_sentence(pair):
    corner, damper = pair("front")
    with pytest.raises(LearnerError, match="There is no rule 'R12'; there are: hits the stop"):
        evidence("R12", corner, damper)
    with pytest.raises(LearnerError, match="There is no event 'cliff'; there are dip, "):
        turn(corner, damper, LOW, "cliff", "ride")


@pytest.mark.parametrize("where", WAGON)
@pytest.mark.parametrize("name", [name for name in RULES if RULES[name].control])
def test_the_idle_adjuster_does_nothing(found, where, name):
    """Common practice, no source: nothing, but for its last clicks out under a load.

    Fully open the valve opens at about 0.13 m/s, which a loaded rear reaches on long waves.
    """
    shown = found(name, where)
    idle, own = shown.control.values, shown.turned
    assert shown.control.adjuster == HIGH
    assert np.ptp(idle[2:]) < 0.001 * own.span
    assert np.ptp(idle) < (0.15 if where == "rear loaded" else 0.01) * own.span


@pytest.mark.parametrize("where", WAGON)
@pytest.mark.parametrize("name", RULES)
def test_every_cure_has_its_price(found, where, name):
    """Common practice, no source: the same turn that cures makes another road worse."""
    shown = found(name, where)
    cost = RULES[shown.rule.price]
    way = 1 if shown.rule.more else -1
    worse = way * (shown.price.values[1] - shown.price.values[0]) > 0
    assert worse == (cost.metric != "hole load")


def test_a_complaint_names_its_rule(pair, found):
    by_words = evidence("sharp over big bumps", *pair("front"))
    assert by_words.name == "R4"
    assert np.array_equal(by_words.turned.values, found("R4", "front").turned.values)


def test_evidence_runs_the_settings_that_it_names(pair):
    corner, damper = pair("front")
    clicks, settings = turned_settings(damper, HIGH)
    assert clicks == (10, 8, 5, 2, 0)
    assert settings[0] == (9, 10, 12)
    shown = turn(corner, damper, HIGH, "ridge", "peak")
    way = road.ridge(0.05, 0.5, 60 / 3.6, 3.0)
    for setting, value in zip(settings, shown.values, strict=True):
        assert value == scores(simulate(corner, damper, setting, way)).peak_upward


def _shown(name, values, stop=0.0):
    values = np.array(values, dtype=float)
    turned = Turned(RULES[name].adjuster, (4, 3, 2, 1, 0), values, np.full(5, stop))
    return Evidence(name, RULES[name], turned)


def test_a_wrong_sign_is_not_called_right():
    assert _shown("R4", [1, 2, 3, 4, 5]).holds
    assert not _shown("R4", [5, 4, 3, 2, 1]).holds
    assert not _shown("R4", [3, 3, 3, 3, 3]).holds
    assert not _shown("R6", [1, 2, 3, 4, 5]).holds
    wavering = _shown("R6", [5, 2, 3, 2, 1])
    assert wavering.holds
    assert not wavering.steady


def test_a_rule_is_not_claimed_where_there_is_no_complaint_or_the_stop_is_hit():
    assert not _shown("R6", [0.4, 0.3, 0.2, 0.1, 0.0]).applies
    assert _shown("R6", [5, 4, 3, 2, 0]).applies
    assert _shown("R4", [1, 2, 3, 4, 5]).applies
    assert not _shown("R4", [1, 2, 3, 4, 5], stop=20.0).applies
    assert _shown("R1", [90, 80, 70, 60, 50], stop=70.0).applies


@pytest.mark.parametrize("where", WAGON)
def test_more_high_speed_bump_turns_from_worse_to_better_where_the_stop_is_hit(pair, where):
    """Common practice, no source: the fourth complaint turns into the first as bumps grow."""
    corner, damper = pair(where)
    height = turning_height(corner, damper)
    _, settings = turned_settings(damper, HIGH, (0.25, 0.75))

    def run(tall):
        way = road.ridge(tall, 10 * tall, 40 / 3.6, 3.0)
        return [scores(simulate(corner, damper, setting, way)) for setting in settings]

    low, high = run(0.9 * height), run(1.1 * height)
    assert low[1].peak_upward > low[0].peak_upward
    assert high[1].peak_upward < high[0].peak_upward
    assert high[1].stop_energy > 1.0


def test_a_load_lowers_the_bump_at_which_it_turns(pair):
    """Common practice, no source."""
    assert turning_height(*pair("rear loaded")) < turning_height(*pair("rear empty"))


def test_where_it_never_turns_nothing_is_said(pair):
    corner, damper = pair("front")
    assert turning_height(corner, damper, heights=(0.02, 0.03)) is None


@pytest.mark.parametrize(
    ("name", "where"),
    [("R3 good road", "front"), *((name, w) for name in ("R5 waves", "R6") for w in WAGON)],
)
def test_where_more_of_a_cure_stops_helping(pair, name, where):
    """Common practice, no source: up to there it helps, the rest of the range hardly does."""
    corner, damper = pair(where)
    rule, last = RULES[name], enough(name, corner, damper)
    most = next(a.clicks for a in damper.adjusters if a.name == rule.adjuster)
    begin, end = (most, 0) if rule.more else (0, most)
    before = last + (1 if rule.more else -1)
    assert last not in (begin, end)
    values = turn(
        corner,
        damper,
        rule.adjuster,
        rule.event,
        rule.metric,
        [1 - n / most for n in (begin, before, last, end)],
    ).values
    gains = abs(values - values[0])
    assert gains[1] < 0.95 * gains[3] <= gains[2] * 1.001


def test_rebound_past_enough_goes_on_costing(pair):
    """Common practice, no source: the last clicks of rebound only shake the body more."""
    corner, damper = pair("front")
    n = enough("R5 waves", corner, damper)
    most = damper.adjusters[2].clicks
    ride = turn(corner, damper, REBOUND, "road", "ride", [1 - n / most, 1.0]).values
    assert ride[1] > 1.05 * ride[0]


@pytest.mark.parametrize("where", WAGON)
def test_more_rebound_does_not_save_the_stop_in_a_dip(pair, where):
    """Common practice, no source: it drags the body down into the dip."""
    assert np.all(np.diff(turn(*pair(where), REBOUND, "dip", "stop energy").values) > 0)


@pytest.mark.parametrize("where", WAGON)
def test_every_change_costs_something(found, pair, where):
    """Common practice, no source: what cures one complaint worsens a road that had none."""
    for adjuster in (LOW, REBOUND):
        ride = turn(*pair(where), adjuster, "road", "ride").values
        assert ride[-1] > 1.1 * ride[0]
    sharp = found("R4", where).turned.values
    assert sharp[-1] > 1.1 * sharp[0]


@pytest.mark.parametrize("where", WAGON)
def test_the_last_clicks_out_of_low_speed_bump_gain_little(found, where):
    """Common practice, no source: most of the harshness is near closed."""
    ride = found("R3 good road", where).turned.values
    assert ride[2] - ride[0] < 0.25 * (ride[4] - ride[0])


@pytest.mark.parametrize("where", WAGON)
def test_open_rebound_jacks_up_and_closed_rebound_sinks(found, where):
    """Common practice, no source: the sign of the mean height changes within the range."""
    sunk = found("R7 sinking", where).turned.values
    assert sunk[0] < 0 < sunk[-1]


def test_load_takes_the_rear_to_its_stop(found):
    """Common practice, no source: four times the stop energy, more than any click saves."""
    empty, loaded = (found("R1", where).turned.values for where in ("rear empty", "rear loaded"))
    assert loaded[2] > 4 * empty[2]
    assert loaded.min() > empty.max()


def test_the_wagons_corners_are_the_demos(pair):
    corner, damper = pair("rear loaded")
    assert corner.sprung_mass == demo.vehicle().corner("rear", "touring").sprung_mass
    assert damper is demo.hydraulic("rear")
