"""What the comparisons with published values share."""

from decimal import Decimal

import pytest


@pytest.fixture
def printed():
    """Return a maker of "equal as far as the source printed it".

    The value is given as the text of the source, so that its last digit is known; it is met when
    it rounds to the printed figure (half a unit of the last digit), or with ``units=1`` when the
    source cut its digits off or worked with rounded intermediate values.
    """

    def make(text, units=0.5):
        step = 10.0 ** Decimal(text).as_tuple().exponent
        return pytest.approx(float(text), rel=1e-12, abs=units * step * (1 + 1e-9))

    return make
