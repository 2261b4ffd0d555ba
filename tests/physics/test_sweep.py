"""A sweep: scores equal to single runs, told how far it is, and stopped without loss."""

from dataclasses import fields, replace
from itertools import product

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics import corner, measures, road
from dampinglab.physics.corner import simulate
from dampinglab.physics.sweep import sweep
from dampinglab.workshop import demo

SHORT = road.iso8608("D", 60 / 3.6, 2.5, seed=4)
CORNER = replace(demo.vehicle().corner("front"), bump_gap=0.03)  # so that the stop is met
SETTINGS = tuple(product((0, 7, 14), (0, 4), (3, 20)))
NAMES = [field.name for field in fields(measures.Scores)]


@pytest.fixture(scope="module")
def damper():
    return demo.hydraulic("front")


def test_every_setting_scores_as_it_does_alone(damper):
    swept = sweep(CORNER, damper, SETTINGS, SHORT, chunk=5)
    for i, setting in enumerate(SETTINGS):
        alone = measures.scores(simulate(CORNER, damper, setting, SHORT))
        for name in NAMES:
            expected = pytest.approx(getattr(alone, name), rel=1e-9, abs=1e-12)
            assert getattr(swept, name)[i] == expected, (setting, name)
    assert swept.stop_energy.min() > 0


def test_a_measured_damper_sweeps_as_well():
    measured = demo.damper("rear")
    settings = measured.settings[:3]
    swept = sweep(CORNER, measured, settings, SHORT, chunk=2)
    for i, setting in enumerate(settings):
        alone = measures.scores(simulate(CORNER, measured, setting, SHORT))
        assert swept.weighted[i] == pytest.approx(alone.weighted, rel=1e-9)
        assert swept.energy_beyond[i] == pytest.approx(alone.energy_beyond, rel=1e-9)


@pytest.mark.parametrize("chunk", [1, 7, 12, 500])
def test_the_chunk_changes_nothing(damper, chunk):
    whole = sweep(CORNER, damper, SETTINGS, SHORT)
    parts = sweep(CORNER, damper, SETTINGS, SHORT, chunk=chunk)
    assert parts.weighted == pytest.approx(whole.weighted, rel=1e-9)
    assert len(parts.peak_upward) == len(SETTINGS)


def test_progress_is_told_after_each_chunk(damper):
    told = []
    sweep(CORNER, damper, SETTINGS, SHORT, chunk=5, progress=lambda *at: told.append(at))
    assert told == [(5, 12), (10, 12), (12, 12)]


def test_a_stop_keeps_what_is_done_and_the_length_says_which(damper):
    whole = sweep(CORNER, damper, SETTINGS, SHORT)
    some = sweep(CORNER, damper, SETTINGS, SHORT, chunk=4, progress=lambda done, _: done < 8)
    assert len(some.weighted) == 8
    for name in NAMES:
        assert getattr(some, name) == pytest.approx(getattr(whole, name)[:8], rel=1e-9)


def test_one_room_serves_every_chunk(damper, monkeypatch):
    rooms, real = [], corner.march_many
    monkeypatch.setattr(corner, "march_many", lambda *a: rooms.append(a[-1]) or real(*a))
    sweep(CORNER, damper, SETTINGS, SHORT, chunk=5)
    assert len(rooms) == 3
    assert all(room is rooms[0] for room in rooms)
    assert rooms[0].size == len(SHORT.time) * 6 * 5 + 6 * 5


def test_a_long_road_takes_fewer_settings_at_a_time(damper, monkeypatch):
    told = []
    monkeypatch.setattr("dampinglab.physics.sweep._MOST", 4 * len(SHORT.time))
    sweep(CORNER, damper, SETTINGS, SHORT, progress=lambda *at: told.append(at))
    assert told == [(4, 12), (8, 12), (12, 12)]


def test_runs_handed_over_in_blocks_are_those_of_one_block(damper):
    whole = corner.simulate_many(CORNER, damper, SETTINGS, SHORT)
    made = corner.prepare(CORNER, SHORT)
    blocks = list(corner.run_blocks(made, CORNER, SHORT, damper, SETTINGS, 5))
    for name in ("body", "wheel", "suspension_force", "tyre_force", "stop_force"):
        joined = np.concatenate([getattr(block, name) for block in blocks], axis=1)
        assert np.array_equal(joined, getattr(whole, name))


def test_a_setting_that_cannot_be_is_refused_before_anything_runs(damper, monkeypatch):
    monkeypatch.setattr("dampinglab.physics.sweep.run_blocks", None)
    with pytest.raises(OutOfRange, match="rebound"):
        sweep(CORNER, damper, (*SETTINGS, (0, 0, 99)), SHORT)


def test_nothing_to_run_is_said(damper):
    for settings, chunk in (((), 8), (SETTINGS, 0)):
        with pytest.raises(OutOfRange, match="at least one setting"):
            sweep(CORNER, damper, settings, SHORT, chunk=chunk)
