"""Turns of phrase that several pictures share."""

import pytest

from dampinglab.figures import words
from dampinglab.units import minus


@pytest.mark.parametrize("share", [0.1, -0.2])
def test_a_tenth_is_felt_either_way(share):
    assert words.felt(share) == "Felt."


def test_less_than_a_tenth_is_hardly_felt():
    assert words.felt(-0.099) == "Hardly felt."


def test_what_felt_means_is_an_assumption_and_says_so():
    assert words.FELT_MEANS == (
        "Felt means 10 % or more: an assumption (common practice, no source)."
    )


@pytest.mark.parametrize("share", [0.095, 0.0999, -0.0999])
def test_what_is_hardly_felt_is_never_rounded_to_what_is_felt(share):
    assert words.felt(share) == "Hardly felt."
    assert words.percent(share) in ("9.5 %", "9.9 %")


def test_other_changes_are_whole_percent():
    assert [words.percent(s) for s in (0.004, 0.094, 0.1, -0.104)] == ["0 %", "9 %", "10 %", "10 %"]


def test_a_price_reads_as_a_sentence():
    assert words.price("rebound", more=False) == (
        "The price: there is less force to hold the body back after a bump."
    )
    assert words.price("bump", more=False) == (
        "The price: there is less force to slow the wheel on its way up, so more travel is used."
    )


def test_forces_come_with_the_weight_beside_them():
    assert words.both_forces(-9.80665) == "10 N (1.00 kgf)"


def test_nothing_and_nothing_are_the_same():
    assert words.same(0.0, 0.0)
    assert words.same(1.002, 1.0)
    assert not words.same(1.01, 1.0)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("from 0 to -50 kg", "from 0 to \N{MINUS SIGN}50 kg"),
        ("-0.5 mm", "\N{MINUS SIGN}0.5 mm"),
        ("low-speed bump, 0.2-0.5 m/s, ISO 2631-1", "low-speed bump, 0.2-0.5 m/s, ISO 2631-1"),
    ],
)
def test_a_number_below_zero_has_a_true_minus_and_nothing_else_changes(said, told):
    assert minus(said) == told


@pytest.mark.parametrize(
    ("share", "told"),
    [(0.08, "+8 %"), (-0.026, "\N{MINUS SIGN}3 %"), (0.004, "under 1 %"), (-0.004, "under 1 %")],
)
def test_a_change_that_is_no_whole_percent_has_no_sign(share, told):
    assert words.by_percent(share) == told
