"""The cutaway panel: what is lit is what the valves' equations say."""

import re
from dataclasses import replace

import pytest

from dampinglab.errors import LearnerError
from dampinglab.figures.cutaway import WIDEST
from dampinglab.panels.cutaway import cut_open, cutaway_panel
from dampinglab.physics.hydraulic import Knob
from dampinglab.workshop import demo

FRONT = demo.hydraulic("front")
START = (9, 5, 12)


def words(panel):
    return re.sub("<[^>]+>", "", panel.sentence.value).replace("&nbsp;", " ")


def shares(panel):
    return {p.name: p.share for p in panel.now.passages}


@pytest.mark.parametrize("speed", [-1.0, -0.05, 0.05, 0.3, 1.0])
def test_shares_and_parts_are_the_solution(speed):
    cut, flows, (rod, ring) = cut_open(FRONT, START, speed), FRONT.flows(speed, START), FRONT.areas
    share = {p.name: p.share for p in cut.passages}
    for place in ("base", "piston"):
        assert sum(p.share for p in cut.passages if p.place == place) == pytest.approx(1)
    assert share["high-speed valve"] == pytest.approx(flows.high_valve / (rod * abs(speed)))
    assert share["bump stack"] == pytest.approx(flows.piston_stack / (ring * abs(speed)))
    assert share["rebound stack"] == pytest.approx(flows.rebound_stack / (ring * abs(speed)))
    assert sum(cut.parts.values()) == pytest.approx(cut.force)
    assert cut.force == pytest.approx(abs(float(FRONT.valve_force(speed, START))))


def test_the_panel_draws_the_solution_and_what_was_before():
    panel = cutaway_panel()
    panel.controls["speed"].typed.value = "0.5"
    panel.clicks["low-speed bump"].slider.value = 3
    flows = FRONT.flows(0.5, (3, 5, 12))
    share = flows.low_needle / (flows.low_needle + flows.high_valve)
    width = re.search(
        r'data-passage="low-speed needle" stroke="#\w+" stroke-width="([\d.]+)"',
        panel.picture.widget.value,
    )
    assert float(width[1]) == pytest.approx(WIDEST * share, abs=0.006)
    assert 'class="before"' in panel.picture.widget.value
    assert "Low-speed bump from 9 to 3 clicks out" in words(panel)
    panel.keep.click()
    assert 'class="before"' not in panel.picture.widget.value
    assert words(panel).startswith("No change")


def test_ranges_are_forces_at_both_ends_of_an_adjuster():
    cut = cut_open(FRONT, START, 0.5)
    high = cut.ranges[1]
    assert (high.closed, high.opened) == pytest.approx(
        (float(FRONT.valve_force(0.5, (9, 0, 12))), float(FRONT.valve_force(0.5, (9, 10, 12))))
    )


def test_directions_have_adjusters_of_their_own():
    panel = cutaway_panel()
    assert "rebound does nothing in bump" in words(panel)
    assert "high-speed bump does nothing at this speed" in words(panel)
    panel.way.value = -1
    assert panel.now.side == "rebound"
    assert shares(panel)["check valve"] == 1
    assert "low-speed bump and high-speed bump do nothing in rebound" in words(panel)
    assert words(panel).startswith("No change")


def test_without_a_check_valve_rebound_acts_in_bump():
    panel = cutaway_panel(replace(FRONT, checked=False))
    assert shares(panel)["rebound needle"] > 0
    assert "nothing in bump" not in words(panel)


def test_other_kinds_say_which_adjuster_turns_a_passage():
    dial = replace(FRONT, knobs=(Knob("bump and rebound together", 4, ("low", "rebound")),))
    told = {p.name: p.adjuster for p in cut_open(dial, (2,), 0.2).passages}
    assert told["low-speed needle"] == told["rebound stack"] == "bump and rebound together 2 out"
    assert told["high-speed valve"] == "no adjuster"
    fixed = cutaway_panel(replace(FRONT, knobs=()))
    assert words(fixed).endswith("Nothing can be turned from outside.")


def test_its_names_are_its_own_and_motion_can_be_stopped():
    one, other = (cutaway_panel().picture.widget.value for _ in range(2))
    names = [set(re.findall(r'id="([^"]+)"|@keyframes (\S+?)\{', text)) for text in (one, other)]
    assert not names[0] & names[1]
    assert "prefers-reduced-motion" in one
    assert "<title" in one
    assert "A damper cut open and lying down" in one


def test_the_projector_enlarges_and_takes_nothing_away():
    panel = cutaway_panel()
    told, small = words(panel), panel.picture.widget.value
    panel.room.value = True
    assert words(panel) == told
    assert "font-size:16px" in small
    assert "font-size:19px" in panel.picture.widget.value


def test_a_measured_damper_cannot_be_cut_open_and_that_is_said():
    with pytest.raises(LearnerError, match="does not show where the oil goes"):
        cutaway_panel(demo.damper())
    assert "invented" in cutaway_panel().children[0].value
