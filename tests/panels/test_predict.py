"""What comes out when a room has voted is what the panels say, to the last word."""

import html
import re

from dampinglab.panels.complaint import complaint_panel
from dampinglab.panels.predict import ANSWERS


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
