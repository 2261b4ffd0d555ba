"""ASTM D2270: the viscosity index of two oils.

Read at dgaequipment.com, pages 2791 and 2793; L and H are from the standard's table there.
"""

import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics.fluid import viscosity_index


def test_an_index_up_to_100(printed):
    """Confirmed: L 119.94, H 69.48, U 73.30 mm2/s give 92.43."""
    index = viscosity_index(73.30e-6, 8.86e-6, 119.94e-6, 69.48e-6)
    assert index == printed("92.43")


def test_an_index_above_100():
    """Confirmed: H 28.97, U 22.83, Y 5.05 mm2/s give 156.37, after N was rounded to 0.14708."""
    index = viscosity_index(22.83e-6, 5.05e-6, 40e-6, 28.97e-6)  # L does not enter
    assert index == pytest.approx(156.37, abs=0.01)


def test_reference_oils_the_wrong_way_round_get_a_sentence():
    """Identity: L is the thicker oil when cold."""
    with pytest.raises(OutOfRange, match="L must lie above H"):
        viscosity_index(60e-6, 8e-6, 50e-6, 70e-6)
