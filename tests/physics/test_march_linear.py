"""The time loop with a straight damper and no stops: closed forms and linear-systems oracles."""

import control
import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid

from dampinglab.physics import corner, linear, measures, oscillator, road
from dampinglab.physics.road import Road

RATIO = 0.9
STEP = 1e-3


def _car(cases, **more):
    return cases.free(cases.rear, damper_motion_ratio=RATIO, **more)


def _shaft(at_wheel):
    return at_wheel / RATIO**2


def _noise(duration=4.0, seed=5):
    """Return a gentle road without a smooth formula, so that every frequency is tried."""
    return road.iso8608("B", 20.0, duration, seed=seed)


@pytest.mark.parametrize("share", [0.3, 0.1, 0.9])
def test_python_control_on_a_random_road(cases, share):
    """Within 1e-9 where the matrices hold all the damping, within 0.2 % where the table does.

    python-control steps the same straight-line input exactly. Observed: 3e-15 of the greatest
    value at a ratio of 0.3 (the linear part's own), at most 0.11 % at 0.1, 0.06 % at 0.9.
    """
    body, track = _car(cases), _noise()
    damping = share * body.critical_damping
    a, b = linear.quarter_car(body, damping)
    system = control.ss(a, b[:, :2], np.eye(4), np.zeros((4, 2)))
    exact = control.forced_response(system, track.time, [track.height, track.velocity]).outputs
    run = corner.simulate(body, cases.viscous(_shaft(damping)), (), track)
    found = np.array([run.body, run.body_velocity, run.wheel, run.wheel_velocity])
    error = np.abs(found - exact).max(axis=1) / np.abs(exact).max(axis=1)
    assert np.all(error < (1e-9 if share == 0.3 else 2e-3))


@pytest.mark.parametrize("frequency", [0.7, 1.4, 3.0, 8.0, 12.0])
def test_steady_waves_follow_the_frequency_response(cases, frequency):
    """After the start has died out, amplitudes are those of `responses` within 0.5 %."""
    body = _car(cases)
    damping = 0.35 * body.critical_damping
    omega, time = 2 * np.pi * frequency, STEP * np.arange(14_000)
    wave = Road("wave", time, 1e-3 * np.sin(omega * time), 1e-3 * omega * np.cos(omega * time))
    run = corner.simulate(body, cases.viscous(_shaft(damping)), (), wave)
    late = time > 14.0 - np.floor(6 * frequency) / frequency
    fit = np.stack([np.sin(omega * time[late]), np.cos(omega * time[late])], axis=1)
    expected = linear.responses(body, damping, frequency)
    for name, signal in (
        ("acceleration", run.body_acceleration),
        ("travel", run.travel),
        ("tyre", run.road.height - run.wheel),
        ("body", run.body),
    ):
        parts, *_ = np.linalg.lstsq(fit, signal[late], rcond=None)
        gain = complex(*parts) / 1e-3
        assert gain == pytest.approx(expected[name][0], rel=5e-3)


@pytest.mark.parametrize("ratio", [0.05, 0.3, 1.0, 1.6])
def test_on_a_hard_tyre_the_body_is_one_mass(cases, ratio):
    """A kerb under a nearly rigid tyre: the body swings as `free_decay` says, within 2 %.

    In the moving frame of the new road level the body starts at minus the kerb's height and with
    the velocity c h / m that the damper's blow gives it. Spring and tyre in series set the pace:
    0.7 % of stiffness would be 7 % of a swing after three cycles.
    """
    body = _car(cases, tyre_rate=5e6, tyre_damping=3000.0, unsprung_mass=5.0)
    damping, height = ratio * body.critical_damping, 1e-4  # so low that the tyre stays down
    time = 2e-4 * np.arange(10_000)
    rise = height * np.clip((time - 0.1) / 2e-3, 0, 1)
    track = Road("kerb", time, rise, np.gradient(rise, 2e-4))
    run = corner.simulate(body, cases.viscous(_shaft(damping)), (), track)
    late = time > 0.15
    blow = damping * height / body.sprung_mass
    exact = height + oscillator.free_decay(
        time[late] - 0.101, body.sprung_mass, body.ride_rate, damping, -height, blow
    )
    assert run.tyre_force.min() > 0
    assert np.abs(run.body[late] - exact).max() < 0.02 * height


def test_random_road_scores_the_white_road_variances(cases):
    """Long runs on a class road against the closed forms for a flat velocity spectrum.

    Three seeds of 60 s at 25 m/s; the standard's band (0.25 to 250 Hz here) holds nearly all of
    the white road's energy. Single seeds came within 1.5 %, their mean within 1 %; 3 % is allowed.
    """
    body = _car(cases, tyre_damping=0.0, sprung_mass=400.0)
    damping = 0.35 * body.critical_damping
    intensity = (2 * np.pi * 0.1) ** 2 * road.CLASS_MEANS["A"] * 25.0
    expected = linear.white_road_variances(body, damping, intensity)
    sums = dict.fromkeys(expected, 0.0)
    for seed in range(3):
        track = road.iso8608("A", 25.0, 60.0, seed=seed, radius=0)
        run = corner.simulate(body, cases.viscous(_shaft(damping)), (), track)
        late = track.time > 3
        for name, signal in (
            ("acceleration", run.body_acceleration),
            ("travel", run.travel),
            ("tyre", track.height - run.wheel),
        ):
            sums[name] += np.var(signal[late]) / 3
    assert sums == pytest.approx(expected, rel=0.03)


def test_level_road_stays_level(cases):
    """At rest nothing moves and the tyre carries the weight: no force is counted twice."""
    time = STEP * np.arange(1500)
    run = corner.simulate(
        cases.front, cases.digressive(), (0,), Road("level", time, 0 * time, 0 * time)
    )
    assert np.abs(run.body).max() < 1e-12
    assert run.tyre_force == pytest.approx(635.0 * 9.80665)
    assert measures.scores(run).weighted < 1e-9


def test_momentum(cases):
    """The tyre's push less the weight, added up over time, is the momentum of both masses."""
    track = cases.bumps(((0.1, 0.12, 0.1), (0.6, 0.11, -0.1)), 1.0)
    run = corner.simulate(cases.front, cases.digressive(), (10,), track)
    push = cumulative_trapezoid(run.tyre_force - 635.0 * 9.80665, dx=STEP, initial=0)
    momentum = 560.0 * run.body_velocity + 75.0 * run.wheel_velocity
    assert np.abs(push - momentum).max() < 0.01 * np.abs(momentum).max()
