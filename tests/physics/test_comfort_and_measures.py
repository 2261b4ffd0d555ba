"""Weighting as spectrum against weighting as filter; scores against sums done by hand."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy import signal

from dampinglab.errors import OutOfRange
from dampinglab.physics import comfort, corner, measures, road, vehicle

BODY = vehicle.Corner(400.0, 60.0, 30e3, 0.6, 250e3, 250.0, 0.05, 0.04, 0.1)
STATIC = 460.0 * 9.80665


def _filtered(record, dt):
    """Return a record through Wk as a digital filter: an independent route, sample by sample."""
    two_pi = 2 * np.pi
    low, high, f3, f5, f6 = (two_pi * f for f in (0.4, 100.0, 12.5, 2.37, 3.35))
    parts = [
        ([1, 0, 0], [1, np.sqrt(2) * low, low**2]),
        ([high**2], [1, np.sqrt(2) * high, high**2]),
        ([f3, f3**2], [1, f3 / 0.63, f3**2]),
        ([1, f5 / 0.91, f5**2], [1, f6 / 0.91, f6**2]),
    ]
    for top, bottom in parts:
        record = signal.lfilter(*signal.bilinear(top, bottom, 1 / dt), record)
    return record


@pytest.mark.parametrize("seed", range(4))
def test_spectrum_and_filter_agree(seed):
    """On noise below 60 Hz that fades out, the two routes give the same score within 0.3 %.

    Where a record is cut off in full motion the spectrum also counts the ringing of the weighting
    behind the cut, which a meter never sees: up to 0.3 % on ten seconds of road.
    """
    dt, count = 5e-4, 40_000
    noise = np.random.default_rng(seed).normal(size=count)
    noise = signal.sosfiltfilt(signal.butter(4, [0.5, 60], "band", fs=1 / dt, output="sos"), noise)
    noise *= np.clip((count - np.arange(count)) / 8000 - 0.5, 0, 1)
    found = comfort.weighted_rms(noise, dt)
    expected = np.sqrt(np.mean(np.square(_filtered(noise, dt))))
    assert found == pytest.approx(expected, rel=0.003)


def test_a_dose_is_the_fourth_power_of_the_filtered_record():
    """A blow of 20 ms through the digital filter, within 0.5 %."""
    dt = 5e-4
    blow = np.zeros(8000)
    blow[1000:1040] = 30 * np.sin(np.pi * np.arange(40) / 40)
    expected = (dt * np.sum(_filtered(blow, dt) ** 4)) ** 0.25
    assert comfort.vibration_dose(blow, dt) == pytest.approx(expected, rel=5e-3)


def test_one_blow_weighs_more_in_a_dose_than_in_an_rms():
    """The same energy, spread over a hundred blows instead of one: r.m.s. alike, dose a third."""
    one, many = np.zeros((2, 20_000))
    one[5000:5020] = 10.0
    for i in range(100):
        many[180 * i + 500 : 180 * i + 520] = 1.0
    assert comfort.weighted_rms(many, 1e-3) < 1.5 * comfort.weighted_rms(one, 1e-3)
    assert comfort.vibration_dose(one, 1e-3) > 2 * comfort.vibration_dose(many, 1e-3)


@pytest.mark.parametrize("score", [comfort.weighted_rms, comfort.vibration_dose])
def test_many_records_at_once_are_each_by_itself(score):
    noise = np.random.default_rng(1).normal(size=(4000, 3))
    alone = [score(noise[:, i], 1e-3) for i in range(3)]
    assert score(noise, 1e-3) == pytest.approx(alone, rel=1e-12)


def test_the_end_of_a_record_does_not_wrap_round_to_its_start():
    """A blow at the end scores as the same blow in the middle of a longer silence before it."""
    late, early = np.zeros(8000), np.zeros(8000)
    late[-20:], early[100:120] = 50.0, 50.0
    assert comfort.weighted_rms(late, 1e-3) == pytest.approx(
        comfort.weighted_rms(early, 1e-3), rel=1e-3
    )


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: comfort.weighting(1.0, "Wx"), "'Wx'"),
        (lambda: comfort.weighting(-3.5), "-3.5"),
        (lambda: comfort.weighted_rms(np.zeros(100), 1e-3), "0.1 s"),
        (lambda: comfort.weighted_rms(np.zeros(100), 0.02), "0.02 s"),
    ],
)
def test_a_refusal_carries_the_value(act, words):
    with pytest.raises(OutOfRange, match=words):
        act()


def _run(**more):
    """Return a run that stands still but for what is given."""
    time = 1e-3 * np.arange(2000)
    still = np.zeros(2000)
    level = road.Road("level", time, still, still)
    names = ("body", "wheel", "body_velocity", "wheel_velocity", "suspension_force", "stop_force")
    fields = {**dict.fromkeys(names, still), "tyre_force": still + STATIC, "beyond": still > 0}
    return SimpleNamespace(time=time, run=corner.Run(BODY, level, **{**fields, **more}))


def test_tyre_variation_is_a_share_of_the_static_load():
    time = _run().time
    run = _run(tyre_force=STATIC * (1 + 0.3 * np.sin(2 * np.pi * 5 * time))).run
    assert measures.scores(run).tyre_variation == pytest.approx(0.3 / np.sqrt(2), rel=1e-6)


def test_time_off_the_ground_and_beyond_the_table_are_shares_of_time():
    time = _run().time
    run = _run(tyre_force=np.where(time < 0.5, 0.0, STATIC), beyond=time < 0.2).run
    scored = measures.scores(run)
    assert scored.off_ground == pytest.approx(0.25)
    assert scored.beyond == pytest.approx(0.1)


def test_travel_is_counted_each_way():
    wheel = np.linspace(-0.03, 0.05, 2000)
    scored = measures.scores(_run(wheel=wheel).run)
    assert (scored.bump_travel, scored.droop_travel) == pytest.approx((0.05, 0.03))


def test_stop_energy_counts_what_goes_in_and_not_what_comes_out():
    """1000 N over 0.5 m/s for one second is 500 J; the way back gives nothing off."""
    time = _run().time
    speed = np.where(time < 1.0, 0.5, -0.5)
    run = _run(wheel_velocity=speed, stop_force=np.full(2000, 1000.0)).run
    assert measures.scores(run).stop_energy == pytest.approx(500.0, rel=2e-3)


def test_heat_is_what_neither_spring_nor_stop_holds():
    """800 N of damper at 0.5 m/s is 400 W, whatever spring and stop carry besides."""
    travel = np.full(2000, 0.01)
    force = 800.0 + 250.0 + BODY.spring_force(travel)
    run = _run(
        wheel=travel,
        wheel_velocity=np.full(2000, 0.5),
        suspension_force=force,
        stop_force=np.full(2000, 250.0),
    ).run
    assert measures.heat(run) == pytest.approx(400.0, rel=1e-9)


def test_body_motion_is_against_the_road():
    body = np.full(2000, 0.01)
    assert measures.scores(_run(body=body).run).body_motion == pytest.approx(0.01)


def test_peak_upward_looks_up_and_leaves_out_what_is_not_felt():
    """A slow wave of 3 m/s2 keeps its peak, a downward blow adds nothing, 200 Hz hardly any."""
    time = _run().time
    slow = 400.0 * 3.0 * np.sin(2 * np.pi * 2 * time)
    down = np.where((time > 1.1) & (time < 1.15), -400.0 * 20.0, 0.0)
    buzz = 400.0 * 3.0 * np.sin(2 * np.pi * 200 * time)
    plain = measures.scores(_run(suspension_force=slow).run).peak_upward
    assert plain == pytest.approx(3.0, rel=0.01)
    assert measures.scores(_run(suspension_force=buzz).run).peak_upward < 0.4
    lower = measures.scores(_run(suspension_force=np.minimum(slow, 0) + down).run).peak_upward
    assert lower < 1.5
