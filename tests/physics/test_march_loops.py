"""The two time loops are one arithmetic, whatever the number of settings, wheels and states."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import block_diag

from dampinglab.physics import corner, march, measures, road

STATES = ("body", "body_velocity", "wheel", "wheel_velocity")
FORCES = ("suspension_force", "stop_force", "tyre_force")
SETTINGS = [(0,), (3,), (10,)]


def _case(cases, seed):
    """Return a corner, a damper and a road drawn from a seed, violent enough to use the stops."""
    rng = np.random.default_rng(seed)
    body = replace(
        cases.front if seed % 2 else cases.rear,
        sprung_mass=rng.uniform(300, 700),
        bump_gap=rng.uniform(0.03, 0.08),
        droop_gap=rng.uniform(0.04, 0.1),
    )
    if seed % 4 > 1:  # a second stage, met on the way up or carrying at rest
        body = replace(body, second_gap=rng.uniform(-0.02, 0.03), second_rate=25e3)
    if seed % 3 == 0:
        events = ((0.1, 0.12, 0.1), (0.6, 0.11, -0.1), (1.2, 0.10, 0.14))
        return body, cases.digressive(rng.uniform(0.3, 1.2)), cases.bumps(events, 2.5)
    made = road.iso8608("E", rng.uniform(8, 15), 3.0, seed=seed)
    return body, cases.digressive(rng.uniform(0.3, 1.2)), made


@pytest.mark.parametrize("seed", range(8))
def test_one_equals_many(cases, seed):
    """States to 1e-9 m and m/s, forces to 1e-9 of their greatest, scores to 1e-9."""
    body, one, track = _case(cases, seed)
    many = corner.simulate_many(body, one, SETTINGS, track)
    table = measures.scores(many)
    for column, setting in enumerate(SETTINGS):
        single = corner.simulate(body, one, setting, track)
        for name in STATES:
            assert np.abs(getattr(many, name)[:, column] - getattr(single, name)).max() < 1e-9
        for name in FORCES:
            found, expected = getattr(many, name)[:, column], getattr(single, name)
            assert np.abs(found - expected).max() <= 1e-9 * max(1.0, np.abs(expected).max())
        assert np.array_equal(many.beyond[:, column], single.beyond)
        for name, value in vars(measures.scores(single)).items():
            assert getattr(table, name)[column] == pytest.approx(value, rel=1e-9, abs=1e-12)


def test_both_loops_leave_a_short_table_along_its_last_slopes(cases, monkeypatch):
    """A table that ends at 0.2 m/s, bent in its last cell, on a road that asks for more."""
    monkeypatch.setattr(corner, "_TABLE_TOP", 0.2)
    monkeypatch.setattr(corner, "_TABLE_STEP", 0.05)
    body, one, track = _case(cases, 1)
    many = corner.simulate_many(body, one, SETTINGS, track)
    assert np.ptp(body.damper_motion_ratio * many.travel_rate) > 0.6
    for column, setting in enumerate(SETTINGS):
        single = corner.simulate(body, one, setting, track)
        assert np.abs(many.wheel[:, column] - single.wheel).max() < 1e-9


def test_the_cases_use_stops_and_leave_the_ground(cases):
    runs = [corner.simulate(*_case(cases, s)[:2], (10,), _case(cases, s)[2]) for s in range(8)]
    assert sum(np.any(run.stop_force > 0) for run in runs) >= 4
    assert sum(np.any(run.stop_force < 0) for run in runs) >= 4
    assert sum(np.any(run.tyre_force == 0) for run in runs) >= 6


def test_two_corners_side_by_side_are_two_corners(cases):
    """Eight states and two wheels in one march equal each corner by itself: dimension-free."""
    one, events = cases.digressive(), ((0.1, 0.12, 0.1), (0.6, 0.11, -0.1))
    track = cases.bumps(events, 1.5)
    # The same motion ratio, because one march has one grid of wheel speeds for all its tables.
    pair = cases.front, replace(cases.rear, damper_motion_ratio=cases.front.damper_motion_ratio)
    made = [corner.prepare(body, track) for body in pair]
    joined = march.Coefficients(
        *(block_diag(*(getattr(m, name) for m in made)) for name in march.Coefficients._fields[:8]),
        np.hstack([m.road for m in made]),
        np.hstack([m.ground for m in made]),
    )
    tables, stops = [], [corner.stops_of(body) for body in pair]
    for body in pair:
        speed, _ = corner.force_table(body, one, (0,))
        tables.append([corner.force_table(body, one, setting)[1] for setting in SETTINGS])
    per_step = (len(speed) - 1) / (speed[-1] - speed[0])
    states, _, _ = march.march_many(joined, stops, np.array(tables), float(speed[0]), per_step)
    for number, body in enumerate(pair):
        alone = corner.simulate_many(body, one, SETTINGS, track)
        for row, name in enumerate(STATES):
            found = states[:, 4 * number + row]
            assert np.abs(found - getattr(alone, name)).max() < 1e-9
