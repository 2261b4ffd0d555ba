"""Cases that the tests of the time loops share, and an independent solver of the same car."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from dampinglab.physics import damper, vehicle
from dampinglab.physics.road import Road

FRONT = vehicle.Corner(560.0, 75.0, 40e3, 0.6, 260e3, 250.0, 0.06, 0.045, 0.1, 60.0)
REAR = vehicle.Corner(420.0, 115.0, 36e3, 0.9, 260e3, 250.0, 0.105, 0.05, 0.105, 40.0)
# A leaf pack: its second stage begins to work 30 mm up, or carries 15 mm already under a load.
LEAF = replace(REAR, friction=250.0, second_gap=0.03, second_rate=30e3)
LADEN = replace(LEAF, sprung_mass=620.0, bump_gap=0.06, droop_gap=0.15, second_gap=-0.015)
FREE = {"bump_gap": 0.6, "droop_gap": 0.8, "friction": 0.0}

SPEEDS = np.array([0.0, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0])
BUMP = np.array([0.0, 450, 760, 1350, 2200, 3100, 4600])
REBOUND = np.array([0.0, 720, 1400, 1850, 3100, 5300, 9000])


def digressive(scale=1.0, friction_force=20.0):
    """Return a damper with knees and two settings, of which (0,) is the harder."""
    speed = np.concatenate([-SPEEDS[:0:-1], SPEEDS])

    def curve(hardness):
        return damper.Curve(speed, hardness * np.concatenate([-REBOUND[:0:-1], BUMP]))

    curves = {(0,): curve(1.4 * scale), (10,): curve(0.7 * scale)}
    adjusters = (damper.Adjuster("all", 10),)
    return damper.MeasuredDamper("knees", adjusters, curves, friction_force=friction_force)


def viscous(coefficient):
    """Return a damper that is a straight line, as a measured table with one setting."""
    speed = np.array([-8.0, 0.0, 8.0])
    return damper.MeasuredDamper("line", (), {(): damper.Curve(speed, coefficient * speed)})


def bumps(events, duration, dt=1e-3):
    """Return a road of smooth (one minus cosine) bumps and holes, exact in height and velocity.

    `events` holds (start s, length s, height m). The road is differentiable, so that a solver of
    any step sees the same road.
    """
    t = dt * np.arange(round(duration / dt) + 1)
    z, v = height_of(events, t)
    return Road("bumps", t, z, v)


def height_of(events, t):
    """Return height and velocity of such a road at times of any shape."""
    z, v = np.zeros_like(t), np.zeros_like(t)
    for start, length, height in events:
        phase = 2 * np.pi * (t - start) / length
        inside = (phase > 0) & (phase < 2 * np.pi)
        z += np.where(inside, height / 2 * (1 - np.cos(phase)), 0)
        v += np.where(inside, height * np.pi / length * np.sin(phase), 0)
    return z, v


def stop_force(corner, travel, rate):
    """Return the stops' force, written anew: foam, metal, droop."""
    deep = travel - corner.bump_gap
    if deep > 0:
        line = 2700.0 / corner.foam_length * deep
        cubic = 7290.0 * (deep / corner.foam_length) ** 3
        total = (line + cubic) * (1 + np.clip(0.35 * rate, -0.5, 0.5))
        return total + 2e6 * max(0.0, deep - corner.foam_length)
    hang = travel + corner.droop_gap
    return min(0.0, 4e5 * hang + 1500.0 * rate) if hang < 0 else 0.0


def reference(corner, one, setting, events, duration, rtol=1e-9):
    """Return states at 1 ms by an adaptive solver that shares no code with the package's loops."""
    fine = np.arange(-60_000, 60_001) * 1e-4
    ratio = corner.damper_motion_ratio
    table = (ratio * (one.valve_force(fine, setting) + one.friction(fine))).tolist()
    ms, mu, k = corner.sprung_mass, corner.unsprung_mass, corner.wheel_rate
    second, k2 = corner.second_gap, corner.second_rate
    weight = (ms + mu) * 9.80665

    def slope(t, x):
        zs, vs, zu, vu = x
        zr, vr = height_of(events, np.float64(t))
        travel, rate = zu - zs, vu - vs
        place = rate * ratio * 1e4 + 60_000
        cell = int(place)
        force = table[cell] + (place - cell) * (table[cell + 1] - table[cell])
        force += corner.friction * np.tanh(rate / 0.01)
        force += k * travel + stop_force(corner, travel, rate)
        force += k2 * (max(0.0, travel - second) - max(0.0, -second))
        tyre = corner.tyre_rate * (zr - zu) + corner.tyre_damping * (vr - vu)
        tyre = max(tyre, -weight)
        return [vs, force / ms, vu, (tyre - force) / mu]

    times = 1e-3 * np.arange(round(duration * 1e3) + 1)
    solved = solve_ivp(
        slope,
        (0, duration),
        np.zeros(4),
        method="RK45",
        t_eval=times,
        rtol=rtol,
        atol=1e-11,
        max_step=2e-3,
    )
    assert solved.success
    return solved.y


@pytest.fixture(scope="session")
def cases():
    """Return the shared corners, dampers, roads and the solver."""
    return SimpleNamespace(
        front=FRONT,
        rear=REAR,
        leaf=LEAF,
        laden=LADEN,
        free=lambda corner, **more: replace(corner, **{**FREE, **more}),
        digressive=digressive,
        viscous=viscous,
        bumps=bumps,
        reference=reference,
        stop_force=stop_force,
    )
