"""Trade figures that stand in a lesson's prose are those that the package works with."""

from dampinglab.data import folder
from dampinglab.workshop.bounce import BANDS


def test_the_bands_of_a_bounce_test_are_the_packages():
    prose = (folder("lessons") / "02-damping-ratio.ipynb").read_text(encoding="utf-8")
    worn, fine, over = BANDS
    assert f"| below {worn.high:g} | worn" in prose
    assert f"| {fine.low:g} to {fine.high:g} | nothing speaks against the damper |" in prose
    assert f"| above {over.low:g}, or no second swing | overdamped" in prose
