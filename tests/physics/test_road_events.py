"""Single events of a road: where they begin, how high they are, what the tyre leaves of them."""

import math

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics import road

POINT = 0.0  # a radius that follows every edge


def test_a_pothole_is_as_deep_and_long_as_it_was_dug():
    made = road.pothole(0.06, 0.8, 10.0, radius=POINT)
    inside = made.time[made.height < -0.03]
    assert made.height.min() == pytest.approx(-0.06)
    assert (inside[0], inside[-1] - inside[0]) == pytest.approx((1.0, 0.08), abs=2e-3)
    assert made.height[-1] == 0.0


def test_a_tyre_reaches_the_bottom_of_a_hole_only_where_it_fits():
    """Between edges l apart a disc of radius r drops r - sqrt(r^2 - l^2 / 4)."""
    radius, length = 0.4, 0.3
    narrow = road.pothole(0.06, length, 10.0, radius=radius, dt=1e-4)
    drop = radius - math.sqrt(radius**2 - length**2 / 4)
    assert -narrow.height.min() == pytest.approx(drop, rel=0.08)
    assert road.pothole(0.06, 0.8, 10.0, radius=radius).height.min() == pytest.approx(-0.06)


def test_a_ridge_is_level_round_itself_and_smooth():
    made = road.ridge(0.05, 0.5, 10.0, radius=POINT, dt=1e-4)
    assert made.height.max() == pytest.approx(0.05, rel=1e-3)
    assert made.time[np.argmax(made.height)] == pytest.approx(1.025, abs=1e-3)
    assert np.abs(made.velocity).max() == pytest.approx(math.pi * 0.05 / 0.5 * 10, rel=0.02)
    assert np.abs(made.height[made.time < 1.0]).max() < 1e-9


@pytest.mark.parametrize("count", [1, 3])
def test_long_waves_are_counted_and_end_level(count):
    made = road.long_waves(0.06, 25.0, 25.0, 6.0, count=count, radius=POINT)
    crests = (made.height[1:-1] > made.height[:-2]) & (made.height[1:-1] >= made.height[2:])
    assert np.count_nonzero(crests & (made.height[1:-1] > 0.05)) == count
    assert made.height.max() == pytest.approx(0.06, rel=1e-3)
    assert np.abs(made.velocity).max() == pytest.approx(math.pi * 0.06, rel=0.01)
    assert made.height[made.time > 1.05 + count][0] == pytest.approx(0.0, abs=1e-9)


def test_a_corrugation_comes_at_speed_over_wavelength_and_grows():
    made = road.corrugation(0.04, 0.8, 16.0, 6.0, radius=POINT)
    spectrum = np.abs(np.fft.rfft(made.height[1000:6000]))
    assert np.argmax(spectrum[1:]) + 1 == 100  # 20 Hz in 5 s
    assert made.height[1000:].max() == pytest.approx(0.02, rel=0.02)
    assert np.abs(made.height[:100]).max() < 0.001
    assert made.height[0] == 0.0


@pytest.mark.parametrize(("wavelength", "share"), [(0.7, 1.0), (0.3, 0.49)])
def test_a_tyre_fills_a_short_corrugation_and_follows_a_long_one(wavelength, share):
    """A disc touches a trough's bottom where the trough is rounder than itself.

    A sine of half depth a is rounder while its wavelength is above 2 pi sqrt(a r), here 0.56 m.
    """
    rigid = road.corrugation(0.04, wavelength, 16.0, radius=POINT, dt=2e-4)
    rolled = road.corrugation(0.04, wavelength, 16.0, radius=0.4, dt=2e-4)
    late = rigid.time > 1.5
    kept = np.ptp(rolled.height[late]) / np.ptp(rigid.height[late])
    assert kept == pytest.approx(share, abs=0.03)
    assert np.mean(rolled.height[late]) > np.mean(rigid.height[late]) + 1e-3


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: road.pothole(60.0, 0.8, 10.0), "Pothole depth of 60 m"),
        (lambda: road.pothole(0.06, 800.0, 10.0), "Pothole length"),
        (lambda: road.ridge(-0.05, 0.5, 10.0), "Ridge height"),
        (lambda: road.ridge(0.05, 0.5, 100.0), "3.6 km/h is 1 m/s"),
        (lambda: road.long_waves(0.06, 0.25, 25.0), "Wavelength"),
        (lambda: road.long_waves(0.06, 25.0, 25.0, count=0), "Count of waves"),
        (lambda: road.corrugation(0.04, 700.0, 16.0), "Wavelength"),
        (lambda: road.corrugation(math.nan, 0.7, 16.0), "Corrugation depth"),
    ],
)
def test_what_is_no_event_is_refused(make, words):
    with pytest.raises(OutOfRange, match=words):
        make()
