"""Travel logs: every fault found, named, mended or refused, and the speed against the truth."""

import runpy

import numpy as np
import pytest

from dampinglab.data import dataset, folder
from dampinglab.errors import FileProblem
from dampinglab.workshop.travel_log import read_travel_log

RNG = np.random.default_rng(7)
DEMOS = runpy.run_path(str(folder("datasets") / "generate_travel.py"))


def motion(t):
    """Return an invented shaft travel, m, and its speed, m/s: body, wheel hop and a sharp edge."""
    parts = ((0.02, 1.3, 0.2), (0.006, 12.0, 1.0), (0.0008, 25.0, 2.0))
    x = sum(a * np.sin(2 * np.pi * f * t + p) for a, f, p in parts)
    v = sum(2 * np.pi * f * a * np.cos(2 * np.pi * f * t + p) for a, f, p in parts)
    return x, v


@pytest.fixture
def write(tmp_path):
    def write_log(t, x, *, facts=("positive: bump",), head="time [s],damper travel [mm]", t_form=6):
        lines = [f"# {fact}" for fact in facts] + [head]
        lines += [f"{a:.{t_form}f},{b:.3f}" for a, b in zip(t, x, strict=True)]
        path = tmp_path / "log.csv"
        path.write_text("\n".join(lines) + "\n")
        return path

    return write_log


def clean(rate=1000, seconds=10.0, noise=2e-5):
    t = np.arange(int(rate * seconds) + 1) / rate
    return t, motion(t)[0] + noise * RNG.standard_normal(len(t))


def error(log):
    true = motion(log.time)[1]
    return float(np.sqrt(np.mean((log.speed - true)[log.used] ** 2)))


@pytest.mark.parametrize("rate", [200, 500, 1000, 5000])
def test_a_clean_log_gives_the_true_speed_within_what_it_states(write, rate):
    t, x = clean(rate, 6.0)
    log = read_travel_log(write(t, 1e3 * x))
    loss = 2 * np.pi * sum(abs(log.slope.loss(f)) * f * a for a, f in ((6e-3, 12), (8e-4, 25)))
    assert error(log) < 1.2 * log.speed_noise + loss
    stated = log.speed_noise / log.slope.noise_gain
    assert 1.8e-5 < stated < (4e-5 if rate == 200 else 2.3e-5)  # slow: an upper bound
    assert not log.holes
    assert 1 / log.dt == pytest.approx(rate)


def test_a_log_in_milliseconds_and_inches_is_the_same_log(write):
    t, x = clean()
    ours = read_travel_log(write(t, 1e3 * x))
    head = "damper travel [in],time [ms]"
    other = read_travel_log(write(x / 0.0254, 1e3 * t, head=head))
    assert other.speed[other.used] == pytest.approx(ours.speed[ours.used], abs=0.01)


def test_a_slow_log_says_its_lower_cutoff_and_what_it_cannot_see(write):
    t, x = clean(50, 20.0)
    log = read_travel_log(write(t, 1e3 * x))
    assert log.slope.cutoff < 20
    assert "cut off at 15 Hz" in log.words
    assert "13 % low" in log.words
    assert any("At 50 readings a second" in words for words in log.remarks)


def test_a_clock_in_whole_milliseconds_is_set_right(write):
    """At 400 a second it steps by 2 and 3 ms; the readings themselves came evenly."""
    t, x = clean(400)
    path = write(np.round(1e3 * t), 1e3 * x, head="time [ms],damper travel [mm]", t_form=0)
    log = read_travel_log(path)
    assert log.dt == pytest.approx(0.0025, rel=1e-4)
    assert error(log) < 2 * log.speed_noise + 0.01


def test_truly_uneven_times_are_heeded(write):
    t = np.arange(10_001) / 1000
    t[1:-1] += 3e-4 * RNG.uniform(-1, 1, len(t) - 2)
    log = read_travel_log(write(t, 1e3 * motion(t)[0]))
    assert error(log) < 0.03


def test_a_short_hole_is_bridged_and_a_long_one_left_out(write):
    t, x = clean()
    kept = ~(((t > 2.0) & (t < 2.012)) | ((t > 6.0) & (t < 6.4)))
    log = read_travel_log(write(t[kept], 1e3 * x[kept]))
    short, long = log.holes
    assert (short.bridged, long.bridged) == (True, False)
    assert (short.row, long.row) == (2003 + 1, 6003 - 11 + 1)
    assert (short.start, long.start, long.end) == pytest.approx((2.0, 6.0, 6.4))
    assert not log.used[(log.time > 6.0) & (log.time < 6.4)].any()
    assert log.used[(log.time > 1.9) & (log.time < 5.9)].all()
    assert error(log) < 0.02
    assert "Row 2004, at 2.000 s: readings are missing just before this row" in log.remarks[0]


@pytest.mark.parametrize(("rate", "height"), [(1000, 9.0), (1000, -60.0), (200, 70.0), (5000, 2.0)])
def test_a_spike_is_found_in_its_row_and_bridged(write, rate, height):
    t, x = clean(rate)
    spiked = 1e3 * x
    spiked[3000 if rate > 200 else 1000] += height
    log = read_travel_log(write(t, spiked))
    (hole,) = log.holes
    assert (hole.kind, hole.row) == ("spike", (3000 if rate > 200 else 1000) + 3)
    assert error(log) < 0.03
    assert "faster than a shaft can move" in log.remarks[0]


def test_a_real_edge_is_no_spike(write):
    """The fastest the model's corner does: 2 m/s in and out within 40 ms."""
    t, x = clean()
    bump = 0.04 * np.exp(-(((t - 5.0) / 0.02) ** 2))
    log = read_travel_log(write(t, 1e3 * (x + bump)))
    assert not log.holes


def test_a_sensor_at_its_end_is_found_and_left_out(write):
    t, x = clean()
    log = read_travel_log(write(t, 1e3 * np.minimum(x, 0.022)))
    assert {hole.kind for hole in log.holes} == {"clipped"}
    assert not log.used[(x > 0.0225)[: len(log.used)]].any()
    assert "stays at its highest" in log.remarks[0]
    assert error(log) < 0.02


def test_a_smooth_top_in_coarse_steps_is_not_at_its_end(write):
    t = np.arange(10_001) / 1000
    x = 20 * np.sin(2 * np.pi * 1.3 * t)
    assert not read_travel_log(write(t, np.round(x, 1))).holes


def test_drift_is_named_and_taken_off(write):
    t, x = clean(500, 30.0)
    log = read_travel_log(write(t, 1e3 * x + 8.0 * t / 30))
    assert "drifted by 8" in log.remarks[0].replace("7.9", "8")
    assert error(log) < 0.01
    left = log.travel - motion(log.time)[0]
    assert np.ptp(left[log.used]) < 1e-3


def test_a_road_is_no_drift(write):
    t, x = clean()
    assert read_travel_log(write(t, 1e3 * x)).remarks == ()


def test_rebound_counted_positive_is_turned_round_and_silence_is_told(write):
    t, x = clean()
    ours = read_travel_log(write(t, 1e3 * x))
    turned = read_travel_log(write(t, -1e3 * x, facts=("positive: rebound",)))
    assert turned.speed == pytest.approx(ours.speed, abs=1e-6)
    silent = read_travel_log(write(t, 1e3 * x, facts=()))
    assert "taken as bump" in silent.remarks[0]


def test_a_log_of_the_wheel_needs_the_motion_ratio_once(write):
    t, x = clean()
    ours = read_travel_log(write(t, 1e3 * x))
    facts, head = ("positive: bump", "motion ratio: 0.60"), "time [s],wheel travel [mm]"
    wheel = read_travel_log(write(t, 1e3 * x / 0.6, facts=facts, head=head))
    assert wheel.speed == pytest.approx(ours.speed, abs=2e-3)


def altered(change):
    t, x = clean(seconds=5.0)
    return change(t, 1e3 * x)


def fast():
    t = np.arange(12_100) / 6000
    return t, 1e3 * motion(t)[0]


REFUSED = {
    "time stands": (lambda t, x: (np.where(t == 1.0, 0.999, t), x), {}, "row 1003.*must rise"),
    "too slow": (lambda t, x: (40 * t, x), {}, "25 readings a second"),
    "ms called s": (lambda t, x: (1000 * t, x), {}, r"1 readings a second.*unit of time if \[s\]"),
    "too fast": (lambda t, x: fast(), {}, "there are 59.. readings a second"),
    "too short": (lambda t, x: (t[:1500], x[:1500]), {}, "1500 readings in 1.5 s"),
    "few rows": (lambda t, x: (t[:9], x[:9]), {}, "9 readings in 0.008 s"),
    "metres": (lambda t, x: (t, 1e3 * x), {}, r"would move .* m; mend the unit"),
    "stands still": (lambda t, x: (t, 0 * x), {}, "moves only 0 mm"),
    "half gone": (lambda t, x: (t[(t < 1) | (t > 3)], x[(t < 1) | (t > 3)]), {}, "cannot be used"),
    "no unit": (lambda t, x: (t, x), {"head": "time [s],damper travel"}, "has no unit"),
    "no travel": (lambda t, x: (t, x), {"head": "time [s],force [N]"}, "no column 'damper travel'"),
    "no ratio": (lambda t, x: (t, x), {"head": "time [s],wheel travel [mm]"}, "no motion ratio"),
    "odd ratio": (
        lambda t, x: (t, x),
        {"head": "time [s],wheel travel [mm]", "facts": ("motion ratio: six",)},
        "row 1: the motion ratio 'six'",
    ),
    "which way": (lambda t, x: (t, x), {"facts": ("positive: upwards",)}, "is not clear"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_mended_is_refused_with_one_sentence(write, name):
    change, kind, words = REFUSED[name]
    t, x = altered(change)
    with pytest.raises(FileProblem, match=words) as caught:
        read_travel_log(write(t, x, **kind))
    told = str(caught.value)
    assert told.startswith("log.csv")
    assert told.endswith(".")
    assert "\n" not in told


def test_a_loose_sensor_is_refused(write):
    t, x = clean(seconds=12.0)
    with pytest.raises(FileProblem, match="rest position drifts by 6"):
        read_travel_log(write(t, 1e3 * x + 5 * t))


@pytest.mark.parametrize("item", DEMOS["DEMOS"], ids=lambda item: item.file)
def test_a_demo_log_reads_as_what_the_model_did(item):
    log = read_travel_log(dataset(f"travel/{item.file}"))
    true = DEMOS["truth"](item)[2][: len(log.speed)]
    off = (log.speed[: len(true)] - true)[log.used[: len(true)]]
    assert np.sqrt(np.mean(off**2)) < 1.5 * log.speed_noise
    assert np.abs(off).max() < 0.05


def test_the_faults_of_the_demo_logs_are_all_found():
    log = read_travel_log(dataset("travel/gravel.csv"))
    found = [(hole.kind, round(hole.start, 2)) for hole in log.holes]
    assert found == [
        ("spike", 1.5),
        ("missing", 3.1),
        ("spike", 5.25),
        ("missing", 7.2),
        ("spike", 8.4),
    ]
    (words,) = read_travel_log(dataset("travel/corrugation.csv")).remarks
    assert "drifted by 6." in words
    assert read_travel_log(dataset("travel/highway.csv")).remarks == ()
