"""ISO 8608: classes of road by the displacement spectrum at 0.1 cycles a metre, slope -2.

Means 16, 64, 256 ... 1e-6 m3 and upper limits 32, 128, 512 ... were read in public code that
quotes the standard (the limits in wanglongqi/RoadProfile); the standard itself was not seen. Some
public code takes a class to be its upper limit, which is twice its mean: these tests refuse that.
"""

import numpy as np
import pytest
from scipy import signal

from dampinglab.physics import road

MEANS = {"A": 16, "B": 64, "C": 256, "D": 1024, "E": 4096, "F": 16384}
LIMITS = {"A": 32, "B": 128, "C": 512, "D": 2048, "E": 8192, "F": 32768}
SEEDS = range(8)
SPEED, STEP, DURATION = 20.0, 1e-3, 100.0


def _spectrum(road_class, seed):
    """Return spatial frequency (cycles/m) and displacement spectrum (m3) of a generated road."""
    made = road.iso8608(road_class, SPEED, DURATION, seed=seed, dt=STEP, radius=0)
    settled = made.height[made.time > 1.0]
    f, density = signal.welch(settled, 1 / STEP, nperseg=8192, detrend="linear")
    return f / SPEED, density * SPEED


def _level(road_class):
    """Return Gd(0.1) of a class, averaged over seeds and over 0.05 to 2 cycles/m at slope -2."""
    levels = []
    for seed in SEEDS:
        n, density = _spectrum(road_class, seed)
        band = (n > 0.05) & (n < 2.0)
        levels.append(np.mean(density[band] * (n[band] / 0.1) ** 2))
    return np.mean(levels), np.std(levels)


@pytest.mark.parametrize("road_class", road.CLASS_MEANS)
def test_class_means(road_class):
    """Confirmed: the table of means, of which the upper limit is twice."""
    assert road.CLASS_MEANS[road_class] == pytest.approx(MEANS[road_class] * 1e-6, rel=1e-12)
    assert LIMITS[road_class] == 2 * MEANS[road_class]


@pytest.mark.parametrize("road_class", ["A", "C"])
def test_generated_roads_have_the_mean_of_their_class(road_class):
    """Confirmed mean: eight seeds of 2 km average within 5 % of it, far from the upper limit.

    One seed of that length scatters by about 2 % (below 4 % is asked), so the mean of eight is
    good to about 1 %; the window of the estimate leaks another per cent or two at this slope.
    """
    level, scatter = _level(road_class)
    assert level == pytest.approx(MEANS[road_class] * 1e-6, rel=0.05)
    assert scatter < 0.04 * level


def test_generated_roads_fall_with_the_square():
    """Confirmed: waviness 2; a straight line through the averaged spectrum, within 0.05."""
    spectra = [_spectrum("B", seed) for seed in SEEDS]
    n, density = spectra[0][0], np.mean([one for _, one in spectra], axis=0)
    band = (n > 0.05) & (n < 2.0)
    # Each band of wavelengths counts alike, or the many short waves would decide alone.
    slope, _ = np.polyfit(np.log(n[band]), np.log(density[band]), 1, w=np.sqrt(1 / n[band]))
    assert slope == pytest.approx(-2.0, abs=0.05)


@pytest.mark.parametrize(("road_class", "published"), [("A", 1), ("B", 4), ("C", 16), ("D", 64)])
def test_angular_form(road_class, published):
    """From memory: at 1 rad/m the classes are 1, 4, 16 ... 1e-6 m3, the exact 1.005 rounded."""
    at_one_radian = road.CLASS_MEANS[road_class] * (0.1 * 2 * np.pi) ** 2 / (2 * np.pi)
    assert at_one_radian == pytest.approx(published * 1e-6, rel=6e-3)


def test_wavelengths_of_the_standard():
    """Confirmed: 0.01 to 10 cycles/m on roads; beyond 10 there is nothing to speak of."""
    n, density = _spectrum("A", 3)
    assert np.mean(density[(n > 12) & (n < 20)]) < 0.05 * np.mean(density[(n > 5) & (n < 9)])


def test_a_general_library_of_road_profiles_makes_the_same_spectrum():
    """Identity: roadprofile (PyPI) with this class mean, by Welch, between 0.05 and 1 cycles/m.

    It calls the upper limit the class, twice the mean, so the mean is given as a number. Not among
    what the tests install: skipped where it is not there.
    """
    library = pytest.importorskip("roadprofile")
    np.random.seed(4)  # noqa: NPY002  the library draws from the global generator
    theirs = library.RoadProfile(Gdn0=road.CLASS_MEANS["C"]).generate(2000.0, 0.1).profile
    ours = road.iso8608("C", 10.0, 200.0, seed=4, dt=0.01, radius=0).height
    levels = []
    for profile in (theirs, ours):
        n, density = signal.welch(profile, fs=10.0, nperseg=2048)
        band = (n > 0.05) & (n < 1.0)
        levels.append(np.exp(np.mean(np.log(density[band] * (n[band] / 0.1) ** 2))))
    assert levels[0] == pytest.approx(levels[1], rel=0.2)
