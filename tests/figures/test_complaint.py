"""A complaint's picture and words: bars are the shares, worse is on the right, nothing bent."""

from dataclasses import replace

import pytest

from dampinglab.figures import complaint as figure
from dampinglab.figures import look
from dampinglab.workshop.advice import Advice, Change
from dampinglab.workshop.complaint import COMPLAINTS
from dampinglab.workshop.ways import Reading, Way

FLOATS = COMPLAINTS["floats"]
WAY = Way(
    FLOATS.remedies[0],
    "rebound",
    (12, 7, 2),
    Reading("waves", (60.0, 48.0, 30.0)),
    (
        Reading("road", (1.0, 1.06, 1.17)),
        Reading("hole", (80.0, 79.0, 72.0)),
        Reading("hump", (100.0, 94.0, 88.0)),
        Reading("ridge", (5.0, 5.0, 5.01)),
    ),
    ((12, 60.0), (7, 48.0), (2, 30.0), (0, 25.0)),
)
TOLD = Advice(
    FLOATS,
    "rear",
    "touring",
    (WAY,),
    ("A note.",),
    Change("rear", "rebound", -5),
    "It goes from 60 to 48 mm in the first step: likely felt.",
)


def test_one_sentence_says_what_to_turn_where_and_what_it_does():
    assert figure.sentence(TOLD) == (
        "Rear rebound: close by 5 clicks on both dampers, from 12 to 7 out from closed. Closed, it "
        "holds the body back as the spring throws it up again. It goes from 60 to 48 mm in the "
        "first step: likely felt."
    )
    opened = replace(TOLD, change=Change("rear", "rebound", 1))
    assert "open by 1 click on both dampers, from 12 to 13 out" in figure.sentence(opened)


def test_the_price_is_told_for_one_step_and_for_two():
    assert figure.price(TOLD) == (
        "The price of the first step: more shaking on a usual road, 6 % (maybe felt). Of two "
        "steps: more shaking on a usual road, 17 % (likely felt); less tyre load in a hole, 10 % "
        "(likely felt)."
    )


@pytest.mark.parametrize(
    ("road", "told"),
    [(1.097, "9.7 % (maybe felt)"), (1.101, "10 % (likely felt)"), (1.0396, "3.9 % (not felt)")],
)
def test_no_number_is_rounded_over_the_mark_that_stands_beside_it(road, told):
    near = replace(WAY, others=(Reading("road", (1.0, 1.05, road)),))
    assert f"more shaking on a usual road, {told}" in figure.price(replace(TOLD, ways=(near,)))


def test_a_price_above_the_gain_is_said():
    dear = replace(WAY, own=Reading("waves", (60.0, 58.0, 55.0)))
    assert "The first step alone costs more than" in figure.price(replace(TOLD, ways=(dear,)))


def test_nothing_to_pay_is_said():
    free = replace(WAY, others=())
    assert figure.price(replace(TOLD, ways=(free,))) == (
        "Nothing else that is watched gets worse by 4 % or more in either step."
    )


def test_without_a_change_the_reason_answers_and_no_next_step_is_told():
    none = replace(TOLD, change=None, ways=(), reason="No click cures this.")
    assert figure.sentence(none) == "No click cures this."
    assert figure.price(none) == ""
    assert figure.remarks(none) == ("A note.",)


def test_the_steps_halve_and_too_much_is_told():
    drive, too_much, gives, note = figure.remarks(TOLD)
    assert "go on by 2 clicks, and halve again" in drive
    assert too_much == f"Too much of it: {FLOATS.remedies[0].overdone}"
    assert gives == "Two steps also make it: thrown less high after a hump, 12 % (likely felt)."
    assert note == "A note."


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
def test_the_bars_are_the_changes_and_worse_is_on_the_right(size):
    axes = figure.draw(TOLD, size).axes[0]
    bars = [patch for patch in axes.patches if patch.get_height() == pytest.approx(0.3)]
    assert [round(bar.get_width(), 6) for bar in bars] == [-20, -50, 6, 17, 1.25, 10, -6, -12]
    filled = [bar.get_facecolor() for bar in bars[:2]]
    assert filled[0] != filled[1]
    names = [text.get_text().replace("\n", " ") for text in axes.texts]
    assert {"less swing after a rise", "more shaking on a usual road"} <= set(names)
    assert {"20 % likely felt", "6 % maybe felt", "1 % not felt"} <= set(names)
    assert "sharper over large bumps" not in names


def test_a_very_long_bar_is_cut_and_its_number_is_not():
    huge = replace(WAY, others=(Reading("road", (1.0, 2.0, 3.0)),))
    axes = figure.draw(replace(TOLD, ways=(huge,))).axes[0]
    assert max(patch.get_width() for patch in axes.patches) <= axes.get_xlim()[1]
    assert any("100 %" in text.get_text() for text in axes.texts)


def test_the_alternative_tells_the_complaint_and_the_price():
    words = figure.alternative(TOLD)
    assert words.startswith("Bars: change of the complaint and of all it is paid with.")
    assert "less swing after a rise, 50 % in all" in words
    assert figure.price(TOLD) in words
