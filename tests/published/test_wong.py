"""Bounce and pitch of a car. Wong, J. Y., Theory of Ground Vehicles (Wiley), worked example.

Sprung mass 2120 kg, radius of gyration 1.33 m, axles 1.267 m ahead and 1.548 m behind, 35 and
38 kN/m. The example is given from memory and recomputed; the book itself was not open. Its other
oscillation centre is left out: remembered as 2.09 m, it computes as 2.095 m.
"""

import pytest

from dampinglab.physics.bounce_pitch import bounce_and_pitch


@pytest.fixture
def car():
    return bounce_and_pitch(2120, 1.33, 1.267, 1.548, 35e3, 38e3)


def test_coefficients(car, printed):
    """From memory, recomputed: D1 34.43, D2 6.83, D3 39.26."""
    assert car.d1 == printed("34.43")
    assert car.d2 == printed("6.83")
    assert car.d3 == printed("39.26")


def test_frequencies(car, printed):
    """From memory, recomputed: 0.89 and 1.04 Hz."""
    assert car.frequencies[0] == printed("0.89")
    assert car.frequencies[1] == printed("1.04")


def test_centre_of_the_pitching_motion(car, printed):
    """From memory, recomputed: 0.84 m from the centre of gravity; ahead of it here."""
    assert car.centres[1] == printed("0.84")


def test_the_centres_multiply_to_the_square_of_the_radius(car):
    """Identity: one centre ahead, one behind, l1 l2 = -r^2."""
    assert car.centres[0] * car.centres[1] == pytest.approx(-(1.33**2))
