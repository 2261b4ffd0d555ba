"""An examination answer on the car of Rao's rough road at 100 km/h (ques10.com/p/47276)."""

from dampinglab.physics import oscillator


def test_the_same_car_at_a_hundred(printed):
    """Confirmed: frequency ratio 1.59 and body amplitude 0.042 m."""
    ratio_of_frequencies = 100 / 3.6 / 6.0 / oscillator.natural_frequency(400e3, 1200.0)
    assert ratio_of_frequencies == printed("1.59")
    assert oscillator.transmissibility(ratio_of_frequencies, 0.5) * 0.05 == printed("0.042")
