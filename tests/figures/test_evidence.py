"""A rule's picture and words: where it holds, where it does not, where it has nothing to say."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import evidence as figure
from dampinglab.figures import look
from dampinglab.workshop.evidence import RULES, Evidence, Turned

CLICKS = (20, 15, 10, 5, 0)


def turned(adjuster, *values):
    return Turned(adjuster, CLICKS, np.array(values, dtype=float), np.zeros(len(values)))


SHARP = Evidence(
    "R3",
    RULES["R3"],
    turned("low-speed bump", 1.0, 1.1, 1.2, 1.5, 2.0),
    turned("low-speed bump", 11.0, 8.0),
)
ROAD = replace(
    SHARP,
    name="R3 good road",
    rule=RULES["R3 good road"],
    control=turned("high-speed bump", 1.2, 1.2, 1.2, 1.2, 1.2),
)


def test_a_rule_that_holds_is_told_with_its_price():
    assert figure.sentence([("front", SHARP)]) == (
        "On a ridge of 8 mm at 30 km/h, low-speed bump from 20 to 0 clicks out: peak upward "
        "acceleration of the body, front 1.00 to 2.00 m/s². The rule (common practice, no source) "
        "holds here. From end to end: felt. The price of the cure, on two waves of 60 mm at 90 "
        "km/h: motion of the body against the road, front 8.0 to 11.0 mm."
    )


def test_a_rule_that_does_not_hold_is_told_not_bent():
    wrong = replace(SHARP, turned=turned("low-speed bump", 2.0, 1.8, 1.6, 1.4, 1.0))
    words = figure.sentence([("front", SHARP), ("rear", wrong)])
    assert "The rule does not hold for rear." in words
    assert "holds here" not in words


def test_a_rule_with_nothing_to_say_says_so():
    still = Evidence("R6", RULES["R6"], turned("rebound", 0, 0, 0, 0, 0), SHARP.price)
    moving = replace(still, turned=turned("rebound", 12, 9, 6, 3, 0))
    words = figure.sentence([("front", moving), ("rear", still)])
    assert "It has nothing to say for rear." in words
    assert "The rule (common practice, no source) holds" in words


def test_a_small_change_is_hardly_felt():
    small = replace(SHARP, turned=turned("low-speed bump", 1.0, 1.0, 1.01, 1.01, 1.02))
    assert "From end to end: hardly felt." in figure.sentence([("front", small)])


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ((1.2,) * 5, "High-speed bump instead does nothing to it."),
        ((1.3, 1.2, 1.2, 1.2, 1.2), "High-speed bump instead does at most 10 % of that."),
    ],
)
def test_the_idle_adjuster_is_told(values, words):
    shown = replace(ROAD, control=turned("high-speed bump", *values))
    assert words in figure.sentence([("front", shown)])


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_the_lines_are_the_values_and_rebound_is_dashed(size):
    other = replace(ROAD, turned=turned("low-speed bump", 2, 3, 4, 5, 6))
    axes = figure.draw([("front", ROAD), ("rear", other)], size).axes[0]
    drawn = [line.get_ydata() for line in axes.get_lines()]
    expected = [e.values for one in (ROAD, other) for e in (one.turned, one.control)]
    assert all(np.array_equal(a, b) for a, b in zip(drawn, expected, strict=True))
    assert [label.get_text() for label in axes.get_xticklabels()] == ["20", "15", "10", "5", "0"]
    assert axes.get_lines()[0].get_color() == look.BUMP
    rebound = Evidence("R6", RULES["R6"], turned("rebound", 5, 4, 3, 2, 1), SHARP.price)
    line = figure.draw([("front", rebound)], size).axes[0].get_lines()[0]
    assert line.get_color() == look.REBOUND
    assert line.is_dashed()


def test_dampers_with_other_clicks_are_drawn_by_shares():
    other = replace(SHARP, turned=replace(SHARP.turned, clicks=(12, 9, 6, 3, 0)))
    axes = figure.draw([("front", SHARP), ("rear", other)]).axes[0]
    assert axes.get_xticklabels()[0].get_text() == "open"


def test_names_at_the_ends_do_not_lie_on_each_other():
    picture = figure.draw([("front", SHARP), ("rear", SHARP), ("rear loaded", SHARP)])
    heights = [text.get_position()[1] for text in picture.axes[0].texts]
    assert np.all(np.diff(heights) > 0)
    assert {text.get_text()[0] for text in picture.axes[0].texts} == set("●■▲")


def test_the_alternative_names_the_corners():
    words = figure.alternative([("front", SHARP), ("rear", SHARP)])
    assert words.startswith("Peak upward acceleration of the body against clicks, one line each")
    assert "front, rear" in words
