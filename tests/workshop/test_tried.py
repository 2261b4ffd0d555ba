"""Settings tried slice by slice: as one sweep, told how far, left without loss, next door alike."""

from dataclasses import fields, replace
from itertools import combinations
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.physics.damper import MeasuredDamper
from dampinglab.physics.measures import Scores
from dampinglab.physics.sweep import sweep
from dampinglab.workshop import demo, tried
from dampinglab.workshop.mix import WAYS, Condition

NAMES = [field.name for field in fields(Scores)]
CORNER = demo.vehicle().corner("front")
ROADS = tuple(
    Condition(name, CORNER, replace(WAYS[name], duration=1.2), 0.5) for name in ("gravel", "ridge")
)
DAMPER = demo.hydraulic("front")
SETTINGS = tried.coarse(DAMPER, 27)


@pytest.fixture(scope="module")
def whole():
    return tried.try_settings(DAMPER, ROADS, SETTINGS)


def test_each_condition_is_a_sweep_of_its_road(whole):
    assert whole.settings == SETTINGS
    for i, condition in enumerate(ROADS):
        alone = sweep(condition.corner, DAMPER, SETTINGS, condition.road)
        for name in NAMES:
            assert getattr(whole.scores, name)[i] == pytest.approx(getattr(alone, name), rel=1e-9)


def test_slices_change_nothing_and_tell_how_far_they_are(whole):
    told = []
    parts = tried.try_settings(
        DAMPER, ROADS, SETTINGS, chunk=10, progress=lambda *at: told.append(at)
    )
    assert told == [(10, 54), (20, 54), (30, 54), (40, 54), (47, 54), (54, 54)]
    assert parts.settings == SETTINGS
    assert parts.scores.weighted == pytest.approx(whole.scores.weighted, rel=1e-9)


def test_a_stop_keeps_the_settings_that_have_been_everywhere(whole):
    some = tried.try_settings(DAMPER, ROADS, SETTINGS, chunk=10, progress=lambda done, _: done < 25)
    assert some.settings == SETTINGS[:10]  # the second ten had been over one road only
    for name in NAMES:
        kept = getattr(whole.scores, name)[:, :10]
        assert getattr(some.scores, name) == pytest.approx(kept, rel=1e-9)


def test_going_on_drives_only_what_is_new(whole, monkeypatch):
    some = tried.try_settings(DAMPER, ROADS, SETTINGS[:20])
    driven = []
    real = tried.sweep
    monkeypatch.setattr(tried, "sweep", lambda *a: driven.extend(a[2]) or real(*a))
    on = tried.try_settings(DAMPER, ROADS, SETTINGS + SETTINGS, tried=some)
    assert driven == [*SETTINGS[20:], *SETTINGS[20:]]
    assert on.settings == SETTINGS
    assert on.scores.body_motion == pytest.approx(whole.scores.body_motion, rel=1e-9)


@pytest.mark.parametrize("which", ["valves", "table"])
def test_two_processes_find_the_same(which):
    damper = DAMPER if which == "valves" else demo.damper("front")
    here = tried.try_settings(damper, ROADS, SETTINGS)
    there = tried.try_settings(damper, ROADS, SETTINGS, processes=2, chunk=9)
    assert set(there.settings) == set(SETTINGS)
    order = [there.place(setting) for setting in SETTINGS]
    for name in NAMES:
        found = getattr(there.scores, name)[:, order]
        assert found == pytest.approx(getattr(here.scores, name), rel=1e-9, abs=1e-12)


def test_two_processes_stop_at_once_and_keep_what_is_done():
    told = []

    def stop(done, total):
        told.append((done, total))
        return done < 9

    some = tried.try_settings(DAMPER, ROADS, SETTINGS, processes=2, chunk=3, progress=stop)
    assert 9 <= told[-1][0] < told[-1][1]
    assert 1 <= len(some.settings) < len(SETTINGS)
    assert some.scores.weighted.shape == (2, len(some.settings))


def test_where_no_other_process_can_be_had_the_work_is_done_here(monkeypatch, whole):
    def refuse(*_):
        raise OSError("no processes on this machine")

    monkeypatch.setattr(tried.ProcessPoolExecutor, "submit", refuse)
    here = tried.try_settings(DAMPER, ROADS, SETTINGS, processes=2)
    assert here.settings == SETTINGS
    assert here.scores.weighted == pytest.approx(whole.scores.weighted, rel=1e-9)


def test_what_a_table_does_not_tell_is_left_out():
    full = demo.damper("rear", "utility_two_adjuster")
    pairs = combinations(full.settings, 2)
    two = next(pair for pair in pairs if all(a != b for a, b in zip(*pair, strict=True)))
    curves = MappingProxyType({setting: full.curves[setting] for setting in two})
    small = MeasuredDamper("two", full.adjusters, curves)
    found = tried.try_settings(small, ROADS, tried.click_space(small))
    assert set(two) <= set(found.settings) < set(tried.click_space(small))


# --- which settings


@pytest.mark.parametrize(
    "damper",
    [
        DAMPER,
        demo.damper("rear", "utility_two_adjuster"),
        demo.damper("rear", "wagon_rebound_only"),
    ],
    ids=["three", "two", "one"],
)
def test_the_space_holds_every_click_once_and_the_grid_its_corners(damper):
    space, grid = tried.click_space(damper), tried.coarse(damper)
    assert len(space) == len(set(space)) == np.prod([a.clicks + 1 for a in damper.adjusters])
    assert set(grid) | set(tried.lines_of(damper)) <= set(space)
    assert len(set(grid)) == len(grid) <= 75
    last = tuple(a.clicks for a in damper.adjusters)
    assert {last, (0,) * len(last)} <= set(grid)


def test_neighbours_are_one_click_away_or_a_part_of_the_range():
    near = tried.neighbours(DAMPER, (9, 5, 12))
    assert len(set(near)) == 26
    assert all(np.abs(np.subtract(s, (9, 5, 12))).max() == 1 for s in near)
    assert set(tried.neighbours(DAMPER, (0, 0, 0))) == set(tried.click_space(DAMPER)) & {
        (a, b, c) for a in (0, 1) for b in (0, 1) for c in (0, 1) if a + b + c
    }
    far = tried.neighbours(DAMPER, (9, 5, 12), 1 / 6)
    assert (6, 3, 8) in far
    assert (12, 7, 16) in far
