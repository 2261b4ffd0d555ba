"""ISO 8041: the weightings as transfer functions, built here from the printed parameters.

Read in the manuals of two general vibration meters: band limits 0.4 and 100 Hz with Q 1/sqrt(2);
Wk f3 = f4 12.5 Hz, Q4 0.63, f5 2.37, Q5 0.91, f6 3.35, Q6 0.91; Wd f3 = f4 2.0 Hz, Q4 0.63.
"""

import numpy as np
import pytest
from scipy import signal

from dampinglab.physics import comfort

PI2 = 2 * np.pi
STEP = (2.37, 0.91, 3.35, 0.91)
PARAMETERS = {"Wk": (12.5, 12.5, 0.63, STEP), "Wd": (2.0, 2.0, 0.63, None)}


def _gain(frequency, kind):
    """Return |H| multiplied out from the four parts of the standard, by polynomials in s."""
    f3, f4, q4, step = PARAMETERS[kind]
    w1, w2, w3, w4 = (PI2 * f for f in (0.4, 100.0, f3, f4))
    top, bottom = np.array([1.0, 0.0, 0.0]), np.array([1.0, w1 * np.sqrt(2), w1**2])
    bottom = np.polymul(bottom, [1 / w2**2, np.sqrt(2) / w2, 1.0])
    top = np.polymul(top, [1 / w3, 1.0])
    bottom = np.polymul(bottom, [1 / w4**2, 1 / (q4 * w4), 1.0])
    if step:
        w5, q5, w6, q6 = PI2 * step[0], step[1], PI2 * step[2], step[3]
        top = np.polymul(top, [1 / w5**2, 1 / (q5 * w5), 1.0]) * (w5 / w6) ** 2
        bottom = np.polymul(bottom, [1 / w6**2, 1 / (q6 * w6), 1.0])
    return np.abs(signal.freqs(top, bottom, PI2 * np.atleast_1d(frequency))[1])


@pytest.mark.parametrize("kind", PARAMETERS)
def test_weighting_is_the_transfer_function(kind):
    """Confirmed parameters: the package follows them from 0.05 to 400 Hz to 9 digits."""
    f = np.geomspace(0.05, 400, 300)
    assert abs(comfort.weighting(f, kind)) == pytest.approx(_gain(f, kind), rel=1e-9)


def test_the_transfer_function_built_here_is_the_printed_one(printed):
    """Confirmed: Wd at 100 rad/s is 0.1261, here and in the package."""
    assert _gain(100 / PI2, "Wd")[0] == printed("0.1261")
    assert float(abs(comfort.weighting(100 / PI2, "Wd"))) == printed("0.1261")


def test_a_sine_scores_its_weighted_amplitude():
    """Confirmed parameters: a steady sine of 2 m/s2 gives 2 / sqrt(2) times the printed gain."""
    t = np.arange(0, 40, 1e-3)
    for frequency in (1.0, 2.37, 5.0, 12.5, 25.0):
        wave = 2.0 * np.sin(PI2 * frequency * t)
        expected = np.sqrt(2) * _gain(frequency, "Wk")[0]
        assert comfort.weighted_rms(wave, 1e-3, "Wk") == pytest.approx(expected, rel=0.01)
