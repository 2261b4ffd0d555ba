"""The corner that drives: what moves in the drawing is what the run did."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from dampinglab.panels.corner import corner_panel
from dampinglab.panels.rolling import rolling_svg


@pytest.fixture(scope="module")
def panel():
    return corner_panel()


@pytest.fixture(scope="module")
def drive(panel):
    return panel.now


def frames(drawing, kind, number):
    """Return the numbers that one part's keyframes go through."""
    name = re.search(r'id="(dl\d+)"', drawing)[1]
    rule = re.search(rf"@keyframes {name}{kind}{{(.*?)}}}}", drawing)[1]
    return np.array([float(value) for value in re.findall(number, rule)])


UP, SCALE = r"translateY\((-?[\d.]+)px", r"scaleY\((-?[\d.]+)\)"


def test_body_and_wheel_move_as_the_run_did_to_one_scale(drive):
    drawing = rolling_svg(drive, drive, 0.0)
    body, wheel = -frames(drawing, "b", UP), -frames(drawing, "w", UP)
    scale = np.ptp(body) / np.ptp(drive.body)
    assert np.ptp(wheel) == pytest.approx(scale * np.ptp(drive.wheel), rel=0.05)
    time = np.linspace(0, drive.time[-1], len(body))
    assert body == pytest.approx(scale * np.interp(time, drive.time, drive.body), abs=1)


def test_the_tyre_is_round_only_off_the_ground(panel):
    values = {**panel.values(), "track": "ridge", "speed": 100 / 3.6}
    hopping = panel.measure(values)
    assert hopping.tyre.min() == 0
    tyre = frames(rolling_svg(hopping, hopping, 0.0), "t", SCALE)
    assert tyre.max() == 1
    assert tyre[0] < 1  # at rest it is squeezed by the weight


def test_the_spring_is_as_long_as_the_gap_between_body_and_wheel(drive):
    drawing = rolling_svg(drive, drive, 0.0)
    spring, wheel = frames(drawing, "s", SCALE), frames(drawing, "w", UP)
    time = np.linspace(0, drive.time[-1], len(wheel))
    travel = np.interp(time, drive.time, drive.travel)
    assert np.corrcoef(travel, spring)[0, 1] < -0.999


def test_the_road_goes_by_in_the_time_that_the_drive_took(drive):
    drawing = rolling_svg(drive, drive, 2.5)
    assert set(re.findall(r"(\d+\.\d+)s linear", drawing)) == {f"{drive.time[-1]:.4f}"}
    assert set(re.findall(r"linear (-\d+\.\d+)s", drawing)) == {"-2.500"}


def test_an_outline_shows_the_body_before_only_when_clicks_differ(drive):
    assert "before" not in rolling_svg(drive, drive, 0.0)
    other = replace(drive, setting=tuple((name, n + 1) for name, n in drive.setting))
    drawing = rolling_svg(other, drive, 0.0)
    assert "dotted: the body before" in drawing
    ghost, body = frames(drawing, "g", UP), frames(drawing, "b", UP)
    assert ghost == pytest.approx(body)


@pytest.mark.parametrize("road", ["speed hump", "long waves", "pothole", "gravel (ISO D)"])
def test_everything_that_moves_stays_in_the_drawing(panel, road):
    now = panel.measure({**panel.values(), "track": road})
    drawing = rolling_svg(now, now, 0.0)
    root = ElementTree.fromstring(drawing)
    body = next(e for e in root.iter() if e.get("class", "").endswith("b"))
    top = min(float(e.get("y")) for e in body.iter() if e.get("height") and e.get("width"))
    assert top - (-frames(drawing, "b", UP)).max() > 0
    assert root.get("role") == "img"
    assert "prefers-reduced-motion" in drawing


def test_no_two_drawings_share_a_name(drive):
    first, second = (rolling_svg(drive, drive, 0.0) for _ in range(2))
    names = [set(re.findall(r"@keyframes (\w+)", drawing)) for drawing in (first, second)]
    assert not names[0] & names[1]
