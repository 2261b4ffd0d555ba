"""What comes out when a room has voted is what the panels say, to the last word."""

import html
import re

import numpy as np

from dampinglab.panels.complaint import complaint_panel
from dampinglab.panels.corner import corner_panel
from dampinglab.panels.predict import ANSWERS
from dampinglab.workshop import demo


def test_where_the_press_shows_no_change_the_answer_gives_no_share():
    said = ANSWERS["04"][1]()
    assert "; high-speed bump, fast press +21 %; rebound, return +" in said
    assert said.endswith("In the rest no change shows.")
    assert "+0 %" not in said


def test_the_price_of_a_complaint_is_told_with_what_it_comes_to():
    panel = complaint_panel()
    panel.all.click()
    panel.complaint.value = "rear thrown up"
    price = html.unescape(re.sub(r"<[^>]+>", "", panel.price.value))
    first, _, last = price[price.index("The price of") :].split(". ")
    assert last == "The first step alone costs more than the complaint gains."
    assert ANSWERS["09"][0]().endswith(f"{first}. {last}")


def test_all_that_the_good_highway_is_asked_is_answered():
    said = ANSWERS["06"][0]()
    panel, varies = corner_panel(), []
    panel.track.value = "good highway (ISO B)"
    for clicks in (4, 9):
        panel.controls["low-speed bump"].take(clicks)
        tyre = panel.now.tyre
        varies.append(f"{100 * np.sqrt(np.mean((tyre / tyre[0] - 1) ** 2)):.1f} %")
    assert "The tyre's load varies by {}, before {}.".format(*varies) in said
    assert "shaking (ISO 2631 Wk) rises by" in said
    assert "body movement falls by" in said


def test_the_travel_that_a_load_leaves_is_told_as_the_share_that_was_voted_on():
    corner = demo.vehicle().corner("rear")
    left = 1 - 350 / 2 * 9.81 / corner.wheel_rate / corner.bump_gap
    assert ANSWERS["08"][0]().endswith(f" in droop. Of the bump travel {100 * left:.0f} % is left.")
