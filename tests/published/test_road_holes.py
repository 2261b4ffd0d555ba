"""A hole is mended from 40 mm of depth and 200 mm of width on (road inspection of one county).

Read at suffolk.gov.uk.
"""

import numpy as np
import pytest

from dampinglab.course.lessons import find
from dampinglab.physics.road import roll_over


def test_exercise_on_the_drop_into_a_hole(printed):
    """Confirmed: the width; 12.7 mm under a disc of 0.4 m follows by geometry."""
    assert find("8.6").published["width_mm"] == 200
    assert 1e3 * find("8.6").task().answer == printed("12.7")


def test_the_rolling_tyre_drops_as_far():
    """Identity: the road that every event of the course is driven on, against the same geometry."""
    x = np.arange(-2, 2, 1e-3)
    height = np.where(np.abs(x) < 0.1, -0.3, 0.0)
    drop = -roll_over(height, 1e-3, 0.4).min()
    assert drop == pytest.approx(find("8.6").task().answer, rel=0.02)
