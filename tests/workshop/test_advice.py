"""Advice: computed for this damper at this setting, and honest where model and trade part."""

import re
from dataclasses import replace
from functools import cache
from types import MappingProxyType

import pytest

from dampinglab.errors import LearnerError
from dampinglab.physics.corner import prepare, run_table
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper, RatedDamper
from dampinglab.physics.measures import scores
from dampinglab.workshop import advice as module
from dampinglab.workshop import demo
from dampinglab.workshop.advice import Advice, Change, advise
from dampinglab.workshop.catalogue import COMPLAINTS
from dampinglab.workshop.complaint import fitting
from dampinglab.workshop.proving import event_road
from dampinglab.workshop.watched import WATCHED
from dampinglab.workshop.ways import Reading, Way

WAGON = demo.vehicle()


@cache
def wagon(key, axle="rear", load=None, setting=(9, 5, 12)):
    return advise(key, WAGON, axle, demo.hydraulic(axle), setting, load)


def straight(adjusters, settings, top=4.0):
    """Return a damper whose force is straight: the fewer clicks out, the more of it."""
    curves = {}
    for setting in settings:
        hard = 3000 / (1 + sum(setting) / 6)
        speed = [top * share for share in (-1.0, -0.3, -0.05, 0.05, 0.3, 1.0)]
        curves[setting] = Curve(speed, [1.5 * hard * v if v < 0 else hard * v for v in speed])
    return MeasuredDamper("Test damper", adjusters, MappingProxyType(curves))


def test_the_first_step_is_a_fifth_of_the_range_and_is_driven_as_the_lesson_drives_it():
    told = wagon("sharp, small")
    assert told.change == Change("rear", "low-speed bump", 4)
    (way,) = told.ways
    assert way.clicks == (9, 13, 17)
    way_there, corner = event_road("small ridge"), WAGON.corner("rear")
    made = prepare(corner, way_there)
    for clicks, value in zip(way.clicks, way.own.values, strict=True):
        run = run_table(made, corner, way_there, demo.hydraulic("rear"), (clicks, 5, 12))
        assert value == pytest.approx(float(scores(run).peak_upward), rel=1e-12)
    assert way.own.shares[1] < way.own.shares[0] < -0.1
    assert way.own.marks == ("likely felt", "likely felt")


def test_what_gets_worse_is_told_with_what_gets_better():
    (way,) = wagon("sharp, small").ways
    assert "hardly felt (an" not in " ".join(wagon("sharp, small").notes)
    worse = {each.key for each in way.paid}
    assert {"dip", "motion"} <= worse
    assert worse.isdisjoint(each.key for each in way.gained)
    assert max(way.paid[0].shares) == max(max(each.shares) for each in way.others)


@pytest.mark.parametrize(
    ("share", "mark"),
    [(0.1, "likely felt"), (-0.12, "likely felt"), (0.09, "maybe felt"), (0.03, "not felt")],
)
def test_marks_are_the_stated_assumption(share, mark):
    assert Reading("ridge", (10.0, 10 * (1 + share))).marks == (mark,)


def test_tyre_load_gets_worse_as_it_falls_and_a_few_millimetres_of_sinking_are_not_felt():
    assert Reading("hole", (80.0, 60.0)).shares[0] == pytest.approx(0.25)
    assert Reading("many bumps", (0.1, 3.1)).marks == ("not felt",)


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ((7.03, 6.5, 6.1), "mean sinking of the body goes from 7.03 to 6.5 mm"),
        ((-7.03, -7.54, -8.0), "mean rise of the body goes from 7.03 to 7.54 mm"),
        (
            (1.58, -1.34, -2.0),
            "sinking of the body (below zero: mean rise of the body) goes from 1.58 to −1.34 mm",
        ),
    ],
)
def test_a_body_that_rises_is_not_said_to_sink(monkeypatch, values, said):
    own = Reading("many bumps", values)

    def ways(case):
        remedy = next(each for each in case.complaint.remedies if each.adjuster == "rebound")
        return (Way(remedy, "rebound", (12, 17, 22), own, (), ((12, values[0]), (17, values[1]))),)

    monkeypatch.setattr(module, "ways", ways)
    told = advise("sinks", WAGON, "front", demo.hydraulic("front"), (9, 5, 12))
    assert said in told.reason
    last = f"{'sinking' if values[-1] > 0 else 'rise'} of the body, {abs(values[-1]):.3g}"
    assert f"even two steps (mean {last} mm)" in " ".join(told.notes)
    assert "its change is taken as a share of 100 mm, for less" in " ".join(told.notes)


def looked(*values):
    pairs = tuple((20 - 4 * i, v) for i, v in enumerate(values))
    remedy = COMPLAINTS["floats"].remedies[0]
    return Way(remedy, "rebound", (20, 16, 12), Reading("waves", values[:3]), (), pairs)


def test_a_remedy_that_turns_round_helps_no_more_or_helps_to_the_end():
    assert (looked(100.0, 80, 60, 75, 95).enough, looked(100.0, 80, 60, 75, 95).turns) == (12, True)
    flat = looked(100.0, 70, 60, 60, 60)
    assert (flat.enough, flat.turns) == (12, False)
    assert looked(100.0, 80, 60, 40, 20).enough is None
    assert looked(100.0, 100, 100, 100, 100).enough is None
    assert looked(100.0, 120, 140, 150, 160).against


def test_the_turning_point_is_told_and_the_ridge_from_which_fast_bump_saves_the_stop():
    told = wagon("floats", load="touring")
    assert any("it helps no more" in note for note in told.notes)
    ridge = next(note for note in wagon("sharp, big").notes if "ridges below" in note)
    assert "below 98 mm sharper" in ridge


def test_where_the_model_goes_the_other_way_it_says_so_and_advises_no_click():
    axle = WAGON.axles["front"]
    low = replace(axle, corner=replace(axle.corner, bump_gap=0.012))
    car = replace(WAGON, axles=MappingProxyType({"front": low}))
    told = advise("sharp, big", car, "front", demo.hydraulic("front"), (9, 5, 12))
    assert told.ways[0].against
    assert told.change is None
    assert "makes it worse here, so no click is advised" in told.reason
    assert any("The trade says high-speed bump, less" in note for note in told.notes)


def test_a_stop_that_the_model_does_not_reach_sends_back_to_the_checks():
    told = wagon("top-out")
    assert told.ways[0].own.values == (0.0, 0.0, 0.0)
    assert "does not show it here" in told.reason
    assert told.change == Change("rear", "rebound", -5)


def test_less_is_turned_where_less_is_enough():
    told = wagon("floats", load="touring", setting=(9, 5, 5))
    assert told.ways[0].clicks == (5, 0)
    assert 0 < told.ways[0].enough < 5
    assert told.change == Change("rear", "rebound", told.ways[0].enough - 5)


def test_no_room_left_is_told():
    told = wagon("floats", setting=(0, 5, 0))
    assert told.change is None
    assert "Rebound is closed already as far as it goes." in told.notes
    assert "Low-speed bump is closed already as far as it goes." in told.notes
    assert told.reason.startswith("No click is left for it here")


@pytest.mark.parametrize("key", [k for k, each in COMPLAINTS.items() if not each.remedies])
def test_no_click_cures_this_is_an_answer(key):
    told = wagon(key)
    assert (told.change, told.ways, told.reason) == (None, (), COMPLAINTS[key].instead)


def test_a_complaint_of_the_rear_is_not_cured_in_front():
    told = wagon("rear thrown up", "front")
    assert told.reason == "It is not for the front axle: look at the other one."
    assert told.change is None


def test_the_rear_is_warned_of_and_the_front_is_not():
    assert "rear may step out" in wagon("floats", load="touring").warning
    assert not replace(wagon("floats", load="touring"), axle="front").warning
    assert not wagon("sharp, small").warning


def test_two_adjusters_turn_slow_and_fast_bump_together():
    utility, damper = demo.vehicle("utility"), demo.damper("rear", "utility_two_adjuster")
    middle = {each.name: each.clicks // 2 for each in damper.adjusters}
    told = advise("sharp, small", utility, "rear", damper, middle)
    assert told.ways[0].adjuster == "bump"
    assert any("not measured" in note for note in told.notes) == bool(
        damper.assumption((told.change.clicks_by + middle["bump"], middle["rebound"]))
    )
    assert "This damper has one bump adjuster: slow and fast movement change together." in (
        told.notes
    )


def test_rebound_only_says_what_it_lacks():
    damper = demo.damper("front", "wagon_rebound_only")
    middle = {"rebound": damper.adjusters[0].clicks // 2}
    told = advise("sharp, small", WAGON, "front", damper, middle)
    assert (told.ways, told.change) == ((), None)
    assert "This damper has no low-speed bump adjuster" in told.notes[0]


def test_a_dial_of_three_positions_that_turns_both_directions():
    dial = straight((Adjuster("bump and rebound", 2),), [(0,), (1,), (2,)])
    told = advise("floats", WAGON, "rear", dial, (1,), "touring")
    assert told.ways[0].clicks == (1, 0)
    assert told.change == Change("rear", "bump and rebound", -1)
    assert "This damper turns bump and rebound together: both directions change." in told.notes


def test_work_beyond_the_table_is_told():
    short = straight((Adjuster("rebound", 10),), [(0,), (5,), (10,)], top=0.3)
    told = advise("rear thrown up", WAGON, "rear", short, (5,))
    assert any("% lies beyond its table" in note for note in told.notes)
    assert not any("beyond its table" in note for note in wagon("sharp, small").notes)


def test_not_adjustable_is_work_for_springs_or_valves():
    fixed = straight((), [()])
    told = advise("floats", WAGON, "rear", fixed, ())
    assert told.change is None
    assert "springs, stops, or the valves inside" in told.reason


@pytest.mark.parametrize("damper", [RatedDamper(800.0, 1200.0, 0.13), None])
def test_two_numbers_give_the_trades_direction_and_nothing_computed(damper):
    told = advise("floats", WAGON, "rear", damper, None)
    assert (told.ways, told.change) == ((), None)
    assert "nothing is computed" in told.reason
    assert told.notes[0].startswith("The trade turns rebound, more")
    assert "not for the front" in advise("rear thrown up", WAGON, "front", damper, None).notes[0]
    assert "may lack one of them" in told.notes[1], "it names adjusters as if they were there"


def named(notes):
    return next((note for note in notes if note.startswith("The trade turns ")), "")


@pytest.mark.parametrize("key", [k for k, each in COMPLAINTS.items() if each.remedies])
@pytest.mark.parametrize(
    "there",
    [
        (),
        ("rebound",),
        ("bump", "rebound"),
        ("bump and rebound",),
        ("low-speed bump", "high-speed bump", "rebound"),
    ],
    ids=str,
)
def test_of_a_rated_damper_only_adjusters_that_are_there_are_turned(key, there):
    rated = RatedDamper(800.0, 1200.0, 0.13)
    remedies = [each for each in COMPLAINTS[key].remedies if "rear" in each.axles]
    told = advise(key, WAGON, "rear", rated, dict.fromkeys(there, 3)).notes
    turned = re.findall(r"(?:turns|else) ([a-z -]+), (?:more|less)", named(told))
    assert set(turned) <= set(there)
    reached = [each for each in remedies if fitting(each.adjuster, there)]
    assert len(turned) == len({(fitting(r.adjuster, there), r.more) for r in reached})
    for each in remedies:
        lacks = fitting(each.adjuster, there) is None
        assert lacks == (f"This damper has no {each.adjuster} adjuster" in " ".join(told))
    if remedies and not reached:
        assert told[0] == "These dampers have no adjuster for it: no click cures this here."


def test_a_step_beyond_the_table_is_left_out_and_told():
    part = straight((Adjuster("rebound", 20),), [(8,), (14,)])
    told = advise("into a hole", WAGON, "rear", part, (12,))
    assert told.ways == ()
    assert any("outside" in note or "cannot be told" in note for note in told.notes)


def test_both_dampers_known_the_whole_vehicle_leans_else_one_corner_moves():
    other = demo.hydraulic("front"), (9, 5, 12)
    whole = advise("nose dive", WAGON, "rear", demo.hydraulic("rear"), (9, 5, 12), other=other)
    assert whole.ways[0].own.key == "brake"
    assert whole.ways[0].own.shares[1] < -0.04
    corner = wagon("leans fast", setting=(9, 5, 0)).ways[0]
    assert corner.own.key == "motion"
    assert all(not WATCHED[each.key].whole for each in corner.others)


def test_what_does_not_exist_gets_one_sentence():
    with pytest.raises(LearnerError, match="There is no complaint 'float'; perhaps you meant"):
        wagon("float")
    with pytest.raises(LearnerError):
        wagon("floats", setting=(9, 5, 99))
    with pytest.raises(LearnerError, match="no load case"):
        wagon("floats", load="moon")


def test_without_a_way_nothing_is_chosen():
    bare = Advice(COMPLAINTS["knock"], "rear", "as weighed")
    assert (bare.chosen, bare.warning) == (None, "")
