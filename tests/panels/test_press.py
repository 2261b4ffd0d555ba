"""The press-and-return panel: what it shows is what physics says, for any damper."""

import html
import re
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.figures import look
from dampinglab.figures import press as figure
from dampinglab.panels import press_panel
from dampinglab.physics import press
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper
from dampinglab.physics.hydraulic import Knob
from dampinglab.workshop import demo
from tests.panels.conftest import full


def words(panel):
    told = html.unescape(re.sub("<[^>]+>", "", panel.sentence.value))
    return told.replace("\N{NO-BREAK SPACE}", " ")


def data(panel, name):
    return np.array(panel.picture.scene.moving[name].get_data(), dtype=float)


def test_it_starts_alike_and_b_can_be_set_like_a():
    panel = press_panel()
    assert words(panel).startswith("No change")
    panel.controls["A"].slider.value = 2
    assert words(panel).startswith("A has low-speed bump 2 clicks out, B 9")
    panel.keep.click()
    assert panel.controls["B"].value == 2
    assert words(panel).startswith("No change")


def test_by_hand_it_shows_what_physics_says():
    damper, panel = demo.hydraulic(), press_panel()
    panel.controls["A"].take(2)
    panel.controls["push"].take(1200.0)
    way = press.press_by_hand(damper, (2, 5, 12), 1200.0)
    assert np.allclose(data(panel, "press now"), [way.time - way.seconds, 1e3 * way.travel])
    for name, setting in (("back now", (2, 5, 12)), ("back before", (9, 5, 12))):
        out = press.let_return(damper, setting)
        assert np.allclose(data(panel, name), [out.time, 1e3 * out.travel])


def test_by_lever_it_shows_what_physics_says():
    damper, panel = demo.hydraulic(), press_panel()
    panel.way.value = False
    panel.controls["speed"].take(0.5)
    assert panel.now.force == pytest.approx(press.lever_force(damper, (9, 5, 12), 0.5))
    assert data(panel, "press now")[0].tolist() == [pytest.approx(-0.24), 0]
    assert panel.controls["push"].layout.display == "none"
    assert panel.controls["speed"].layout.display == ""
    panel.way.value = True
    assert panel.controls["push"].layout.display == ""


def test_the_spring_quickens_the_return():
    panel = press_panel()
    alone = panel.now.back
    panel.controls["spring"].take(6.0)
    assert panel.now.back < alone
    assert panel.now.back == press.let_return(demo.hydraulic(), (9, 5, 12), spring=6e3).seconds
    assert "gas and a spring of 6 N/mm" in words(panel)


# Position of the panel, its sentence, and the same numbers from the functions by themselves.
@pytest.mark.parametrize(
    ("chosen", "clicks", "by_hand"), [(0, 0, True), (1, 10, False), (2, 24, True), (2, 0, False)]
)
def test_the_sentence_tells_the_numbers_of_the_functions(chosen, clicks, by_hand):
    damper, panel = demo.hydraulic(), press_panel()
    panel.adjuster.value, panel.way.value = chosen, by_hand
    panel.controls["A"].take(clicks)
    panel.controls["speed"].take(0.5)
    setting = tuple(clicks if i == chosen else n for i, n in enumerate((9, 5, 12)))
    pressed = press.press_by_hand(damper, setting, 900.0).seconds
    force = press.lever_force(damper, setting, 0.5)
    told = words(panel)
    if chosen == 2:
        assert f"return takes {press.let_return(damper, setting).seconds:.1f} s" in told
        assert "the press stays within 4 % of B's" in told
    else:
        part = f"press takes {pressed:.1f} s" if by_hand else f"press takes {force:.0f} N"
        assert part in told
        assert "the return stays within 4 % of B's" in told


def test_another_adjuster_sends_both_back_to_the_start():
    panel = press_panel()
    panel.controls["A"].take(0)
    panel.controls["B"].take(18)
    panel.adjuster.value = 2
    assert panel.setting("A") == panel.setting("B") == (9, 5, 12)
    assert panel.controls["A"].label == "A: rebound, out from closed"
    assert words(panel).startswith("No change")


@pytest.mark.parametrize("by_hand", [True, False])
def test_blitted_equals_a_full_draw_at_both_ends_of_every_slider(by_hand):
    panel = press_panel()
    panel.way.value = by_hand
    for control in panel.controls.values():
        ends = getattr(control.slider, "options", None) or (control.slider.min, control.slider.max)
        for end in (ends[0], ends[-1]):
            control.slider.value = end
            blitted = panel.picture.pixels().copy()
            assert np.array_equal(blitted, full(panel.picture)), (control.label, end)


def test_the_projector_switch_enlarges_and_takes_nothing_away():
    panel = press_panel()
    small, told = panel.picture.pixels().shape, words(panel)
    panel.room.value = True
    assert panel.picture.scene.size is look.ROOM
    assert panel.picture.pixels().shape[1] > 1.4 * small[1]
    assert words(panel) == told


def test_the_weakest_push_on_offer_still_gets_in():
    panel = press_panel()
    panel.controls["push"].take(panel.controls["push"].low)
    assert np.isfinite(panel.now.press_time[-1])
    assert panel.now.press_travel[-1] == press.STROKE
    panel.controls["push"].typed.value = "100"
    assert "100 N is outside" in panel.controls["push"].note.value


def test_two_dampers_move_in_real_time_and_are_let_go_together():
    panel = press_panel()
    panel.controls["A"].take(0)
    periods = {float(s) for s in re.findall(r"([\d.]+)s linear", panel.beside.value)}
    lead = max(w.press_time[-1] for w in (panel.now, panel.measure(panel.recall()))) + 0.4
    assert len(periods) == 1
    assert periods.pop() == pytest.approx(lead + panel.now.back + 0.8, abs=1e-3)
    starts = re.findall(r"([\d.]+)%\{transform:translateY\(74.0px\)\}", panel.beside.value)
    assert 100 * lead / (lead + panel.now.back + 0.8) in [
        pytest.approx(float(s), abs=0.01) for s in starts
    ]


def measured(adjusters=("rebound",), gas=0.0, top=0.3):
    v = np.array([-top, 0.0, top])
    settings = [(n,) for n in (0, 5)] if adjusters else [()]
    curves = {s: Curve(v, (3000 - 200 * sum(s)) * v) for s in settings}
    names = tuple(Adjuster(n, 8) for n in adjusters)
    return MeasuredDamper("own", names, MappingProxyType(curves), gas, assumptions=("A.",))


def test_a_table_offers_its_measured_clicks_and_says_that_it_holds_no_gas():
    panel = press_panel(measured())
    assert tuple(panel.controls["A"].slider.options) == (0, 5)
    head = panel.children[0].value
    assert "own. The table holds no gas force, so a return spring stands in. A." in head
    assert panel.controls["speed"].high == 0.3
    assert "by a spring of 6 N/mm alone" in words(panel)
    panel.controls["spring"].take(0.0)
    assert "nothing brings it out" in words(panel)
    assert "stays in" in panel.beside.value


def test_a_table_with_gas_comes_out_by_it():
    panel = press_panel(measured(gas=400.0))
    assert panel.controls["spring"].value == 0
    assert "by gas alone" in words(panel)


def test_what_lies_beyond_the_table_is_said():
    panel = press_panel(measured(top=0.6))
    panel.controls["A"].take(5)
    assert "faster than the table" not in words(panel)
    panel.controls["push"].take(1500.0)
    assert "faster than the table" in words(panel)


def test_every_demo_table_can_be_pressed():
    for name in ("wagon_three_adjuster", "utility_two_adjuster", "wagon_rebound_only"):
        for axle in ("front", "rear"):
            panel = press_panel(demo.damper(axle, name))
            assert words(panel).startswith("No change")
            panel.controls["A"].slider.index = 0
            assert words(panel).startswith("A has")


KINDS = [
    (),
    (Knob("rebound", 20, ("rebound",)),),
    (Knob("bump and rebound together", 8, ("low", "rebound")),),
    (Knob("bump", 12, ("low",)), Knob("rebound", 20, ("rebound",))),
    (Knob("dial", 3, ("low", "high", "rebound")),),
]


@pytest.mark.parametrize("knobs", KINDS)
def test_every_kind_of_damper_can_be_pressed(knobs):
    panel = press_panel(replace(demo.hydraulic("rear"), knobs=knobs))
    assert words(panel).startswith("No change")
    assert ("A" in panel.controls) == bool(knobs)
    assert (panel.keep.layout.display == "none") == (not knobs)
    assert figure.alternative(panel.now, panel.now) == panel.picture.alternative
    if knobs:
        panel.controls["A"].slider.value = 0
        assert words(panel).startswith(f"A has {knobs[0].name} 0 clicks out")


def test_the_demo_damper_is_called_computed():
    assert "Computed from valves, not measured." in press_panel().children[0].value
