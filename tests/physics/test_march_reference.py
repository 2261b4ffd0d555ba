"""The time loop against an adaptive solver that shares no code with it: stops, lift-off, knees.

Smooth bumps drive wheel and body into foam, metal and the droop stop and off the ground. The
solver is scipy's RK45 at a relative 1e-9 and steps of 2 ms at most. Errors are the greatest over
the run, as shares of the greatest value. Observed at 1 ms: ordinary events 0.13 % of height, 0.21 %
of body velocity, 0.35 % of wheel velocity; a wheel smashed against metal with 63 kN, 1.3 % and
2.0 %. They fall with the square of the step, to 0.09 % and 0.14 % at 0.25 ms; what stays, 0.02 % of
height, is the damper's table of 0.005 m/s.
"""

import numpy as np
import pytest

from dampinglab.physics import corner

ORDINARY = ((0.1, 0.12, 0.06), (0.6, 0.11, -0.06), (1.2, 0.10, 0.08))
VIOLENT = ((0.1, 0.12, 0.1), (0.6, 0.11, -0.1), (1.2, 0.10, 0.14))
DURATION = 2.0


_EXACT = {}  # the slow solver runs each case once


def _errors(cases, where, setting, events, step):
    """Return the greatest error of each state as a share of its greatest value, and the run."""
    one, body, key = cases.digressive(), getattr(cases, where), (where, setting, events)
    if key not in _EXACT:
        _EXACT[key] = cases.reference(body, one, setting, events, DURATION)
    exact = _EXACT[key]
    run = corner.simulate(body, one, setting, cases.bumps(events, DURATION, step))
    every = round(1e-3 / step)
    states = [run.body, run.body_velocity, run.wheel, run.wheel_velocity]
    found = np.array(states)[:, ::every]
    return np.abs(found - exact).max(axis=1) / np.abs(exact).max(axis=1), run


def test_the_cases_reach_every_stop_and_leave_the_ground(cases):
    """Foam, metal, droop stop and lift-off all happen, or the comparison would prove little."""
    _, run = _errors(cases, "front", (10,), VIOLENT, 1e-3)
    assert run.travel.max() > run.corner.bump_gap + run.corner.foam_length
    assert run.travel.min() < -run.corner.droop_gap
    assert 0.02 < np.mean(run.tyre_force == 0) < 0.5
    assert run.tyre_force.min() == 0


@pytest.mark.parametrize("setting", [(0,), (10,)])
@pytest.mark.parametrize("where", ["front", "rear", "leaf", "laden"])
def test_ordinary_events_at_a_millisecond(cases, where, setting):
    """Heights within 0.2 %, body velocity 0.3 %, wheel velocity 0.5 %, with lift-off and foam."""
    error, run = _errors(cases, where, setting, ORDINARY, 1e-3)
    assert np.any(run.tyre_force == 0)
    assert np.all(error < [0.002, 0.003, 0.002, 0.005])


@pytest.mark.parametrize("setting", [(0,), (10,)])
@pytest.mark.parametrize("where", ["front", "rear"])
def test_violent_events_at_a_millisecond(cases, where, setting):
    """Even against metal: heights within 0.5 %, velocities within 1.5 and 2.5 %."""
    error, _ = _errors(cases, where, setting, VIOLENT, 1e-3)
    assert np.all(error < [0.005, 0.015, 0.005, 0.025])


def test_the_error_falls_with_the_square_of_the_step(cases):
    """From 1 to 0.25 ms the error falls at least tenfold, where the table does not set it."""
    coarse, _ = _errors(cases, "front", (10,), VIOLENT, 1e-3)
    fine, _ = _errors(cases, "front", (10,), VIOLENT, 2.5e-4)
    assert np.all(fine < coarse / 10)
