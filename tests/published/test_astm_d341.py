"""ASTM D341: an oil of 32 mm2/s at 40 degC and 5.4 at 100 has 8.5 at 80.

Read at scribd.com/document/361017004, whose page counts kelvin as degC + 273.
"""

from dampinglab.course.lessons import find
from dampinglab.physics.fluid import viscosity

OIL = (40, 32e-6), (100, 5.4e-6)


def test_viscosity_between(printed):
    """Confirmed: 8.5 mm2/s at 80 degC, and the two given points themselves."""
    assert 1e6 * viscosity(80, *OIL) == printed("8.5")
    assert 1e6 * viscosity(40, *OIL) == printed("32")
    assert 1e6 * viscosity(100, *OIL) == printed("5.4")


def test_exercise_on_this_standard(printed):
    """Confirmed: the course expects 8.5 mm2/s."""
    assert find("3.7").task().answer == printed("8.5")
