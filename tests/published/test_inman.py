"""Inman, Engineering Vibration: the table of a car on a wavy road (base excitation).

c 2000 N s/m, k 40 kN/m, waves of 0.01 m and 6 m, masses 1007 and 1585 kg. The table's entries of
one digit (0.12, 0.09, 0.05 and 0.07, 0.05, 0.03 cm) are weak evidence and are held to one unit.
"""

import pytest

from dampinglab.physics import oscillator

ROWS = [
    # km/h, mass, frequency ratio, amplitude in cm
    (20, 1007.0, "0.923", "3.19"),
    (80, 1007.0, "3.692", "0.12"),
    (100, 1007.0, "4.615", "0.09"),
    (150, 1007.0, "6.923", "0.05"),
    (20, 1585.0, "1.158", "2.32"),
    (80, 1585.0, "4.632", "0.07"),
    (100, 1585.0, "5.79", "0.05"),
    (150, 1585.0, "8.686", "0.03"),
]


@pytest.mark.parametrize(("speed", "mass", "ratio", "amplitude"), ROWS)
def test_car_on_a_wavy_road(printed, speed, mass, ratio, amplitude):
    """From memory: the table of amplitudes; only the ratios, 3.19 and 2.32 are strong evidence."""
    found = speed / 3.6 / 6.0 / oscillator.natural_frequency(4e4, mass)
    assert found == printed(ratio, units=1)
    gain = oscillator.transmissibility(found, oscillator.damping_ratio(2000.0, 4e4, mass))
    assert gain * 1.0 == printed(amplitude, units=1)
