"""Properties of the one-mass functions that hold for every valid input, and their refusals."""

import math

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from dampinglab.errors import OutOfRange
from dampinglab.physics import oscillator

MASS = st.floats(1.0, 3000.0)
STIFFNESS = st.floats(1e3, 1e6)
RATIO = st.floats(0.01, 0.98)
POSITIVE = st.floats(1e-3, 1e3)
FAST = settings(max_examples=60, deadline=None)


@FAST
@given(STIFFNESS, MASS, st.floats(1.01, 9.0))
def test_stiffer_is_faster_and_heavier_is_slower(stiffness, mass, times):
    base = oscillator.natural_frequency(stiffness, mass)
    assert oscillator.natural_frequency(stiffness * times, mass) > base
    assert oscillator.natural_frequency(stiffness, mass * times) < base


@FAST
@given(STIFFNESS, MASS, st.floats(0.0, 1e5), st.floats(1.01, 4.0))
def test_heavier_is_less_damped(stiffness, mass, damping, times):
    heavy = oscillator.damping_ratio(damping, stiffness, mass * times)
    light = oscillator.damping_ratio(damping, stiffness, mass)
    assert heavy == pytest.approx(light / math.sqrt(times), rel=1e-12)


@FAST
@given(STIFFNESS, MASS, st.floats(0.1, 10.0))
def test_units_scale_as_they_must(stiffness, mass, times):
    """In a system of units with another kilogram, frequency stays and damping scales with it."""
    frequency = oscillator.natural_frequency(stiffness, mass)
    critical = oscillator.critical_damping(stiffness, mass)
    scaled = oscillator.natural_frequency(stiffness * times, mass * times)
    assert scaled == pytest.approx(frequency, rel=1e-12)
    scaled = oscillator.critical_damping(stiffness * times, mass * times)
    assert scaled == pytest.approx(critical * times, rel=1e-12)


@FAST
@given(RATIO)
def test_decrement_and_ratio_undo_each_other(ratio):
    there = oscillator.decrement_from_ratio(ratio)
    assert oscillator.ratio_from_decrement(there) == pytest.approx(ratio, rel=1e-12)


@FAST
@given(MASS, STIFFNESS, st.floats(0.01, 0.9))
def test_decrement_is_what_the_peaks_of_the_decay_show(mass, stiffness, ratio):
    """Peak to peak of the exact decay: log_decrement reads the ratio that went in."""
    damping = ratio * oscillator.critical_damping(stiffness, mass)
    period = 1 / oscillator.damped_frequency(oscillator.natural_frequency(stiffness, mass), ratio)
    first, half, whole = oscillator.free_decay(
        np.array([0.0, 0.5, 1.0]) * period, mass, stiffness, damping, 0.05
    )
    for later, cycles in ((-half, 0.5), (whole, 1.0)):
        delta = oscillator.log_decrement(first, later, cycles)
        assert oscillator.ratio_from_decrement(delta) == pytest.approx(ratio, rel=1e-9)


@FAST
@given(st.floats(0.0, 20.0), POSITIVE, st.floats(-1, 1), st.floats(-5, 5))
def test_decay_never_yields_nan_and_never_gains_energy(ratio, omega, displacement, velocity):
    t = np.linspace(0.0, 5 / omega, 400)
    path = oscillator.free_decay(t, 1.0, omega**2, 2 * ratio * omega, displacement, velocity)
    assert np.isfinite(path).all()
    highest = math.hypot(displacement, velocity / omega)
    assert np.abs(path).max() <= highest * (1 + 1e-9) + 1e-12


@pytest.mark.parametrize("ratio", [0.0, 0.3, 0.999999, 1.0, 1.000001, 3.0])
def test_decay_matches_an_integrator(ratio):
    """Swinging, critical and creeping: solve_ivp at 1e-12 agrees to 1e-8 of the start."""
    omega, t = 8.0, np.linspace(0.0, 2.0, 201)
    solved = solve_ivp(
        lambda _, y: [y[1], -(omega**2) * y[0] - 2 * ratio * omega * y[1]],
        (0.0, 2.0),
        [0.05, -0.3],
        t_eval=t,
        method="DOP853",
        rtol=1e-12,
        atol=1e-14,
    )
    path = oscillator.free_decay(t, 5.0, 5.0 * omega**2, 10 * ratio * omega, 0.05, -0.3)
    assert np.abs(path - solved.y[0]).max() < 1e-8 * 0.05


def test_decay_satisfies_its_equation_symbolically():
    """Sympy solves the equation of motion; the package gives the same to 12 digits."""
    t = sympy.Symbol("t", nonnegative=True)
    x = sympy.Function("x")
    m, k, c = sympy.Integer(400), sympy.Integer(30000), sympy.Integer(2000)
    equation = sympy.Eq(m * x(t).diff(t, 2) + c * x(t).diff(t) + k * x(t), 0)
    start = {x(0): sympy.Rational(1, 20), x(t).diff(t).subs(t, 0): sympy.Rational(1, 10)}
    exact = sympy.dsolve(equation, x(t), ics=start).rhs
    for moment in (0.0, 0.1, 0.37, 1.0):
        expected = complex(exact.subs(t, moment).evalf(20))
        found = oscillator.free_decay(moment, 400.0, 30000.0, 2000.0, 0.05, 0.1)
        assert abs(expected.imag) < 1e-15
        assert float(found) == pytest.approx(expected.real, rel=1e-12)


@FAST
@given(st.floats(0.01, 6.0), st.floats(0.01, 0.5), st.floats(0.3, 5.0))
def test_settling_time_is_the_last_crossing(ratio, band, frequency):
    """After it the mass stays in the band, just before it does not."""
    settled = oscillator.settling_time(frequency, ratio, band)
    omega = 2 * math.pi * frequency
    t = settled + np.linspace(0.002, 40, 8000) / frequency
    path = oscillator.free_decay(t, 1.0, omega**2, 2 * ratio * omega, 1.0)
    assert np.abs(path).max() <= band + 0.02
    before = oscillator.free_decay(settled, 1.0, omega**2, 2 * ratio * omega, 1.0)
    assert abs(float(before)) >= band * 0.98


@pytest.mark.parametrize("band", [1e-4, 1e-3, 0.01, 0.05, 0.5])
def test_settling_time_at_critical_damping(band):
    """The root of (1 + w t) exp(-w t) = band, found by other means."""
    exact = brentq(lambda x: (1 + x) * math.exp(-x) - band, 1e-6, 50) / (2 * math.pi)
    assert oscillator.settling_time(1.0, 1.0, band) == pytest.approx(exact, abs=2e-3)


def test_transmissibility_limits():
    assert oscillator.transmissibility(0.0, 0.3) == 1.0
    assert oscillator.transmissibility(1.0, 0.5) == pytest.approx(math.sqrt(2), rel=1e-12)
    # Far above resonance the gain falls as 2 zeta / r.
    assert oscillator.transmissibility(1e4, 0.3) == pytest.approx(0.6 / 1e4, rel=1e-3)


@FAST
@given(st.floats(0.0, 50.0), st.floats(0.01, 5.0))
def test_transmissibility_is_the_modulus_of_the_complex_gain(r, ratio):
    gain = (1 + 2j * ratio * r) / (1 - r * r + 2j * ratio * r)
    assert oscillator.transmissibility(r, ratio) == pytest.approx(abs(gain), rel=1e-9)


REFUSALS = [
    (oscillator.natural_frequency, (-30000.0, 400.0), "-30000"),
    (oscillator.natural_frequency, (30000.0, 0.0), "0 kg"),
    (oscillator.critical_damping, (math.nan, 400.0), "nan"),
    (oscillator.damping_ratio, (-12.0, 3e4, 400.0), "-12"),
    (oscillator.damped_frequency, (1.5, 1.25), "1.25"),
    (oscillator.log_decrement, (1.0, 2.5), "2.5"),
    (oscillator.log_decrement, (1.0, -0.5), "-0.5"),
    (oscillator.ratio_from_decrement, (-0.7,), "-0.7"),
    (oscillator.decrement_from_ratio, (1.5,), "1.5"),
    (oscillator.static_deflection, (100.0, -5.0), "-5"),
    (oscillator.frequency_from_deflection, (math.inf,), "inf"),
    (oscillator.transmissibility, (-1.5, 0.3), "-1.5"),
    (oscillator.settling_time, (1.0, 0.0), "0 "),
]


@pytest.mark.parametrize(("function", "arguments", "value"), REFUSALS)
def test_a_refusal_carries_the_value(function, arguments, value):
    with pytest.raises(OutOfRange) as caught:
        function(*arguments)
    assert value in str(caught.value)
    assert str(caught.value).endswith((".", "?"))
