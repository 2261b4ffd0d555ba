"""NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2, the heat flow example: from memory."""

from scipy.stats import t

from dampinglab.course.lessons import find


def test_exercise_on_the_standard_error(printed):
    """From memory: N 195, deviation 0.022789, mean 9.261460; limits 9.258242 to 9.264679."""
    half = t.ppf(0.975, 194) * find("10.7").task().answer
    assert 9.261460 - half == printed("9.258242", 1)
    assert 9.261460 + half == printed("9.264679", 1)
