"""Slopes of positions: against the sine, the polynomial and the noise that are known."""

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.workshop.slope import noise_of, slope_for

RATES = [50, 100, 200, 500, 1000, 5000]


@pytest.mark.parametrize("rate", RATES)
def test_a_polynomial_of_fourth_order_has_its_own_slope(rate):
    t = np.linspace(0, 2, 2 * rate + 1)
    made = slope_for(1 / rate, 60.0)
    inside = slice(made.reach, -made.reach)
    assert made.of(t**4 - 3 * t**2)[inside] == pytest.approx((4 * t**3 - 6 * t)[inside], abs=1e-6)


@pytest.mark.parametrize("rate", RATES)
@pytest.mark.parametrize("share", [0.1, 0.5, 1.0])
def test_a_sine_reads_low_by_the_loss_that_is_stated(rate, share):
    made = slope_for(1 / rate, 60.0)
    frequency = share * made.cutoff
    t = np.arange(4 * rate) / rate
    read = made.of(np.sin(2 * np.pi * frequency * t))[made.reach : -made.reach]
    true = 2 * np.pi * frequency * np.cos(2 * np.pi * frequency * t)[made.reach : -made.reach]
    assert read == pytest.approx((1 - made.loss(frequency)) * true, abs=1e-6 * frequency)


@pytest.mark.parametrize("rate", RATES)
def test_the_cutoff_is_where_half_the_power_is_left(rate):
    made = slope_for(1 / rate, 60.0)
    assert 1 - made.loss(made.cutoff) == pytest.approx(np.sqrt(0.5), abs=0.005)
    assert made.cutoff >= 60.0 or len(made.weights) == 5


def test_a_longer_window_would_cut_lower_than_wanted():
    made = slope_for(1e-3, 60.0)
    assert made.cutoff < 66.0
    assert slope_for(1e-3, 30.0).reach > made.reach


@pytest.mark.parametrize("rate", RATES)
def test_noise_of_readings_becomes_the_noise_of_speed_that_is_stated(rate):
    made = slope_for(1 / rate, 60.0)
    noise = 1e-4 * np.random.default_rng(1).standard_normal(20_000)
    assert made.of(noise).std() == pytest.approx(1e-4 * made.noise_gain, rel=0.05)
    assert noise_of(noise) == pytest.approx(1e-4, rel=0.1)


def test_noise_is_told_from_a_movement_and_never_below_the_steps_of_the_readings():
    t = np.arange(20_000) / 1000
    moved = 0.03 * np.sin(2 * np.pi * 12 * t)
    noise = 5e-5 * np.random.default_rng(2).standard_normal(len(t))
    assert noise_of(moved + noise) == pytest.approx(5e-5, rel=0.15)
    assert noise_of(np.round(moved, 3)) >= 0.9e-3 / np.sqrt(12)


def test_a_bad_reading_spoils_its_whole_window_and_no_more():
    made = slope_for(1e-3, 60.0)
    used = np.ones(300, bool)
    used[150] = False
    clear = made.clear_of(used)
    spoilt = np.flatnonzero(~clear[made.reach : -made.reach]) + made.reach
    assert (spoilt[0], spoilt[-1]) == (150 - made.reach, 150 + made.reach)


@pytest.mark.parametrize(("dt", "cutoff"), [(0, 60), (1, 60), (1e-3, 0), (1e-3, float("nan"))])
def test_what_is_no_sampling_is_refused(dt, cutoff):
    with pytest.raises(OutOfRange):
        slope_for(dt, cutoff)
