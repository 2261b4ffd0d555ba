"""Moving pictures: names of their own, motion equal to the numbers, an end for the weary eye."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np

from dampinglab.panels import moving
from dampinglab.panels.moving import Bounce, corner_svg

HEIGHTS = 30 * np.sin(np.linspace(0, 2 * np.pi, 9))


def bounce(**changes):
    given = {"name": "now", "words": "1.25 Hz", "mass": "500 kg", "sag": 100.0}
    return Bounce(**given | {"heights": HEIGHTS, "period": 0.8} | changes)


def picture(*bounces):
    return corner_svg(bounces, "A title", "Some < words", "empty", 70, 0.4)


def test_the_picture_is_whole_and_says_its_title_and_description():
    root = ElementTree.fromstring(picture(bounce()))
    labels = root.get("aria-labelledby").split()
    told = {child.get("id"): child.text for child in root if child.get("id")}
    assert [told[label] for label in labels] == ["A title", "Some < words"]
    assert root.get("role") == "img"


def test_no_two_pictures_share_a_name():
    names = [
        set(re.findall(r'id="([^"]+)"|@keyframes (\S+?)\{', picture(bounce(), bounce())))
        for _ in range(2)
    ]
    assert names[0]
    assert not names[0] & names[1]


def test_body_and_spring_move_by_the_heights_in_the_given_period():
    drawn = picture(bounce())
    lifts = [float(y) for y in re.findall(r"translateY\((-?[\d.]+)px\)", drawn)]
    assert np.allclose(lifts, -0.4 * HEIGHTS, atol=0.006)
    stretches = [float(s) for s in re.findall(r"scaleY\(([\d.]+)\)", drawn)]
    spring = float(re.search(r"L0 -([\d.]+)\"", drawn)[1])
    assert np.allclose((np.array(stretches) - 1) * spring, 0.4 * HEIGHTS, atol=0.02)
    assert drawn.count("0.8000s linear") == 2


def test_a_deeper_sag_stands_lower():
    def top(drawn):
        return float(re.search(r'<rect x="-56.0" y="([\d.]+)"', drawn)[1])

    assert top(picture(bounce(sag=150.0))) - top(picture(bounce())) == 0.4 * 50


def test_who_asks_for_no_motion_gets_none():
    drawn = picture(bounce())
    assert re.search(r"prefers-reduced-motion: reduce\)\{#\w+ \*\{animation:none !important", drawn)


def test_before_is_pale_and_dotted():
    was, now = picture(bounce(pale=True)), picture(bounce())
    assert moving.pale(moving.WHEEL) in was
    assert f'stroke="{moving.WHEEL}"' not in was
    assert was.count("stroke-dasharray") > now.count("stroke-dasharray")


def test_the_pulse_goes_on_where_it_was_when_the_period_changes(monkeypatch):
    clock = [100.0]
    monkeypatch.setattr(moving.time, "monotonic", lambda: clock[0])
    pulse = moving.Pulse()
    assert pulse.elapsed(2.0) == 0.0
    clock[0] += 0.5  # a quarter of a turn
    assert pulse.elapsed(1.0) == 0.25
    clock[0] += 0.5  # half a turn more
    assert pulse.elapsed(4.0) == 3.0
