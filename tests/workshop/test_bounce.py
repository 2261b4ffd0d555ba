"""The bounce test: its reader, its fit against the truth of the model, and the limits of both."""

import runpy
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from dampinglab.data import dataset
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.physics.oscillator import free_decay
from dampinglab.units import G
from dampinglab.workshop.bounce import (
    BANDS,
    damper_ratio,
    friction_share,
    judge,
    read_bounce,
)
from dampinglab.workshop.decay import Estimate, fit_decay
from dampinglab.workshop.marks import read_marks
from dampinglab.workshop.record import Record, read_record
from dampinglab.workshop.window import sight

DATASETS = Path(__file__).resolve().parents[2] / "datasets"
MAKER = runpy.run_path(str(DATASETS / "generate_bounce.py"))
CORNER = MAKER["CORNER"]
PAGES = tomllib.loads((DATASETS / "dictionary.toml").read_text(encoding="utf-8"))
DEMOS = [name for name in PAGES if name.startswith("bounce/")]
READ = (0.05, 0.1, 0.2, 0.3, 0.4)  # damping ratios that can be read
HIGH = (0.5, 0.65, 0.8)  # and these cannot
HANDS = 6  # ways to push each corner


def pushes(count, seed=3):
    """Return as many ways to push: how hard, how often, how well in rhythm, how fast let go."""
    rng = np.random.default_rng(seed)
    swing = rng.uniform(0.9, 1.1, count) / CORNER.ride_frequency
    force, beats = rng.uniform(350, 600, count), rng.integers(2, 4, count)
    return MAKER["Push"](force, beats, swing, 1.2, rng.uniform(0.05, 0.12, count))


def readings(ratios, friction=0.0, noise=0.03, seeds=(0, 1)):
    """Push corners of these ratios by several hands; yield true frequency and ratio, reading."""
    push = pushes(HANDS * len(ratios))
    times, felt = MAKER["bounce"](CORNER, np.repeat(ratios, HANDS), friction, push)
    for i, released in enumerate(push.released):
        truth = MAKER["body_mode"](CORNER, ratios[i // HANDS])
        for seed in seeds:
            rng = np.random.default_rng([seed, i])
            at, read = MAKER["phone"](times, felt[:, i], rng, noise=noise)
            yield truth, read_bounce(Record("a push", at, read, "wing")), released


@pytest.fixture(scope="module")
def clean():
    """Readings of corners without friction, at every ratio."""
    return list(readings((*READ, *HIGH)))


def of(made, ratios):
    modes = [MAKER["body_mode"](CORNER, ratio)[1] for ratio in ratios]
    return [each for each in made if each[0][1] in modes]


def good(**changes):
    """Return the record of the corner in good order, changed."""
    return replace(read_record(dataset("bounce/good_corner.csv")), **changes)


# The mathematics


@pytest.mark.parametrize("ratio", [0.05, 0.2, 0.5])
def test_acceleration_has_the_decrement_of_displacement(ratio):
    """Between points a swing apart, wherever they lie: the claim in `fit_decay`."""
    t = np.linspace(0, 3, 30001)
    x = free_decay(t, 1.0, (2 * np.pi) ** 2, 4 * np.pi * ratio, 1.0)
    a = np.gradient(np.gradient(x, t), t)
    swing = round(1e4 / np.sqrt(1 - ratio**2))
    fall = np.exp(-2 * np.pi * ratio / np.sqrt(1 - ratio**2))
    for start in (500, 1700, 4100):
        assert x[start + swing] / x[start] == pytest.approx(fall, rel=2e-2)
        assert a[start + swing] / a[start] == pytest.approx(fall, rel=2e-2)


@pytest.mark.parametrize("ratio", [0.02, 0.3, 0.7])
def test_the_fit_returns_an_exact_decay_exactly(ratio):
    t = np.sort(np.random.default_rng(1).uniform(2.0, 4.0, 200))
    w = 2 * np.pi * 1.3
    root = np.sqrt(1 - ratio**2) * w
    a = 9.81 + np.exp(-ratio * w * (t - 2)) * np.cos(root * t + 0.4)
    decay = fit_decay(t, a, 0.03, (9.81, 0.1), (2.0, 8.0))
    assert decay.ratio.value == pytest.approx(ratio, abs=1e-4)
    assert decay.frequency.value == pytest.approx(1.3, rel=1e-4)
    assert np.allclose(decay.at(t), a, atol=1e-3)


def test_the_covariance_is_that_of_repeated_noise():
    rng, t = np.random.default_rng(4), np.linspace(0, 1.2, 200)
    a = np.exp(-5 * t) * np.cos(6 * t)
    fits = [
        fit_decay(t, a + 0.01 * rng.standard_normal(200), 0.01, (0.0, 0.001), (2.0, 8.0))
        for _ in range(400)
    ]
    for name, off in (("ratio", 0.12), ("frequency", 0.25)):
        values = np.array([getattr(fit, name).value for fit in fits])
        told = np.mean([getattr(fit, name).fit for fit in fits])
        assert told == pytest.approx(np.std(values), rel=off)


def test_the_tyre_is_taken_out_of_the_ratio():
    """Against the eigenvalues of body and wheel: 2 % up to 0.4."""
    for rate in (20e3, 40e3):
        corner = replace(CORNER, wheel_rate=rate)
        for ratio in (0.05, 0.2, 0.4):
            _, read = MAKER["body_mode"](corner, ratio)
            assert damper_ratio(read, rate, corner.tyre_rate) == pytest.approx(ratio, rel=0.025)


# The fit against the truth


def test_the_truth_lies_within_two_standard_deviations_as_often_as_it_should(clean):
    seen = of(clean, READ)
    for i, name in enumerate(("frequency", "ratio")):
        inside = [
            abs(getattr(reading, name).value - truth[i]) < 2 * getattr(reading, name).sigma
            for truth, reading, _ in seen
        ]
        assert np.mean(inside) >= 0.92, name


def test_the_uncertainty_is_small_enough_to_be_of_use(clean):
    for ratio, widest in zip(READ, (0.001, 0.002, 0.006, 0.02, 0.04), strict=True):
        sigmas = [reading.ratio.sigma for _, reading, _ in of(clean, [ratio])]
        assert np.median(sigmas) < widest, ratio


def test_the_fit_is_not_biased(clean):
    for ratio in READ:
        off = [reading.ratio.value - truth[1] for truth, reading, _ in of(clean, [ratio])]
        assert abs(np.mean(off)) < 0.006, ratio


def test_what_can_be_read_is_called_read_and_what_cannot_is_not(clean):
    share = {
        ratio: np.mean([reading.readable for _, reading, _ in of(clean, [ratio])])
        for ratio in (*READ, *HIGH)
    }
    assert min(share[ratio] for ratio in READ[:-1]) == 1
    assert share[READ[-1]] > 0.8
    assert max(share[ratio] for ratio in HIGH) == 0


def test_noise_makes_no_reading_out_of_high_damping():
    """A hand not yet off and one trough in the noise once passed for a ratio of 0.44."""
    for _, reading, _ in readings((0.85,), noise=0.06, seeds=range(2)):
        assert not reading.readable


def test_a_bound_lies_below_the_truth(clean):
    kept = [reading.bound <= truth[1] for truth, reading, _ in clean if not reading.readable]
    assert len(kept) >= 2 * HANDS * len(HIGH)
    assert np.mean(kept) >= 0.95
    bounds = [reading.bound for _, reading, _ in of(clean, HIGH)]
    assert np.median(bounds) > 0.3, "a bound too low tells nothing"


def test_the_release_is_found(clean):
    late = [reading.window[0] - released for _, reading, released in of(clean, READ)]
    assert min(late) > -0.05
    assert max(late) < 0.12


def test_friction_adds_what_its_formula_says():
    """A biased reading is physics here: the damper cannot be told from friction."""
    for truth, reading, _ in readings((0.1,), friction=20.0, seeds=(0,)):
        swings = [abs(peak.height) for peak in reading.peaks]
        travel = np.array(swings) / (2 * np.pi * truth[0]) ** 2
        added = reading.ratio.value - truth[1]
        assert added > 2 * reading.ratio.fit
        share = friction_share(20.0, CORNER.ride_rate, np.mean(travel))
        assert 0.4 * share < added < 1.6 * share


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_record_is_read_as_its_dictionary_says(name):
    truth = PAGES[name]["truth"]
    reading = read_bounce(read_record(dataset(name)))
    least = (
        min(abs(peak.height) for peak in reading.peaks) / (2 * np.pi * truth["frequency_Hz"]) ** 2
    )
    friction = friction_share(truth["friction_N"], 20e3 if "hard" in name else 40e3, least)
    low, high = truth["ratio_with_tyre"], truth["ratio_with_tyre"] + friction
    if reading.readable:
        spare = 2 * reading.ratio.sigma
        assert low - spare < reading.ratio.value < high + spare
    else:
        assert "overdamped" in name
        assert 0.3 < reading.bound <= high


def test_the_demo_records_show_what_they_are_there_for():
    seen = {name: read_bounce(read_record(dataset(name))) for name in DEMOS}
    assert judge(seen["bounce/good_corner.csv"]) == (BANDS[1],)
    assert judge(seen["bounce/worn_damper.csv"]) == (BANDS[0],)
    assert BANDS[2] in judge(seen["bounce/overdamped.csv"])
    assert "too high to read" in seen["bounce/overdamped.csv"].words
    assert "friction is likely" in " ".join(seen["bounce/friction_heavy.csv"].remarks)
    assert BANDS[1] in judge(seen["bounce/friction_heavy.csv"]), "friction hides the worn damper"
    assert "turned round" in " ".join(seen["bounce/decimal_comma.csv"].remarks)
    reasons = {part.why for part in seen["bounce/hard_push.csv"].left_out}
    assert {"a stop may have been touched", "the tyre may have left the ground"} <= reasons


# Ways a record may be


def test_which_way_is_up_does_not_change_ratio_or_frequency():
    record = good()
    upright = read_bounce(record)
    turned = read_bounce(replace(record, acceleration=2 * G - record.acceleration))
    assert turned.ratio.value == pytest.approx(upright.ratio.value, rel=1e-6)
    assert [p.height for p in turned.peaks] == pytest.approx([-p.height for p in upright.peaks])


def test_the_left_out_parts_and_the_window_cover_the_record():
    reading = read_bounce(good())
    assert [part.why.split()[0] for part in reading.left_out] == ["at", "pushed", "too"]
    edges = [reading.left_out[0].end, reading.left_out[1].end, reading.left_out[2].start]
    assert edges[0] == reading.left_out[1].start
    assert edges[1:] == list(reading.window)
    assert all(reading.window[0] <= peak.time <= reading.window[1] for peak in reading.peaks)


def test_a_clipped_push_is_left_out_with_a_remark():
    record = read_record(dataset("bounce/hard_push.csv"))
    record = replace(record, acceleration=np.minimum(record.acceleration, 2 * G))
    clipped = np.flatnonzero(record.acceleration == 2 * G)
    reading = read_bounce(record)
    assert any("at its end until" in remark for remark in reading.remarks)
    assert reading.window[0] > record.time[clipped[-1]]


def test_a_record_without_rest_says_so():
    record = read_record(dataset("bounce/worn_damper.csv"))
    inside = (record.time > 2.0) & (record.time < 5.2)
    cut = replace(record, time=record.time[inside], acceleration=record.acceleration[inside])
    reading = read_bounce(cut)
    assert any("never shows the body at rest" in remark for remark in reading.remarks)
    assert reading.ratio.value == pytest.approx(0.08, abs=0.02)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda t, a: (t, G + 0.03 * np.random.default_rng(0).standard_normal(len(t))), "noise"),
        (lambda t, a: (t[t < 2.6], a[t < 2.6]), "still shakes"),
        (lambda t, a: (t, G + np.where(t > 1, np.sin(8 * t), 0.0)), "still shakes"),
        (lambda t, a: (t, np.where((t > 2.2) & (t < 4.2), 2 * G, a)), "sensor was at its end"),
        (
            lambda t, a: (t, np.where(t > 2.2, G + np.resize(a[:90] - G, t.shape), a)),
            "hands still on",
        ),
    ],
)
def test_where_nothing_can_be_fitted_one_sentence_says_why(spoil, words):
    record = good()
    time, acceleration = spoil(record.time, record.acceleration)
    with pytest.raises(LearnerError, match=words) as told:
        read_bounce(replace(record, time=time, acceleration=acceleration))
    assert str(told.value).startswith("good_corner.csv: ")
    assert str(told.value).endswith(".")
    assert str(told.value).count(". ") == 0


def test_a_record_that_ends_too_soon_says_so():
    record = read_record(dataset("bounce/decimal_comma.csv"))
    kept = record.time < 3.7
    cut = replace(record, time=record.time[kept], acceleration=record.acceleration[kept])
    with pytest.raises(LearnerError, match="ends before the body has settled"):
        read_bounce(cut)


def table(path, facts="", head="time [s],acceleration [g]", rate=100.0, span=6.0, scale=1.0):
    """Write a small record and return its path."""
    t = np.arange(0, span, 1 / rate)
    a = scale * (1 + 0.1 * np.exp(-2 * np.maximum(t - 2, 0)) * np.cos(8 * t) * (t > 1))
    rows = "\n".join(f"{x:.4f},{y:.5f}" for x, y in zip(t, a, strict=True))
    path.write_text(f"{facts}{head}\n{rows}\n", encoding="utf-8")
    return path


def test_a_plain_record_is_read(tmp_path):
    path = table(tmp_path / "own.csv", "# sensor place: rear wing\n")
    record = read_record(path)
    assert record.place == "rear wing"
    assert record.remarks == ()
    assert record.acceleration[0] == pytest.approx(G)


def test_what_is_assumed_is_said(tmp_path):
    record = read_record(table(tmp_path / "own.csv", scale=-0.8))
    told = " ".join(record.remarks)
    assert "no sensor place" in told
    assert "37° off upright" in told
    assert "turned round" in told
    assert np.median(record.acceleration) > 0


def test_the_axis_that_feels_gravity_is_taken(tmp_path):
    path = tmp_path / "three.csv"
    rows = "\n".join(f"{i / 50},{0.01 * (i % 3)},{9.8 + 0.1 * (i % 2)},0.2" for i in range(200))
    path.write_text(f"time [s],x [m/s2],y [m/s2],z [m/s2]\n{rows}\n", encoding="utf-8")
    record = read_record(path)
    assert np.median(record.acceleration) > 9
    assert any("'y'" in remark for remark in record.remarks)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"span": 2.0}, "only 2 s long"),
        ({"rate": 8.0}, "only 8 readings a second"),
        ({"scale": 9.8}, r"likely in m/s²: write \[m/s²\]"),
        ({"head": "time [s],acceleration [m/s2]"}, r"likely in g: write \[g\]"),
        ({"head": "time [ms],acceleration [g]"}, "long"),
        ({"head": "time [s],acceleration"}, "no unit"),
        ({"head": "time [s],height [mm]"}, "no column 'acceleration'"),
        ({"head": "moment [s],acceleration [g]"}, "no column 'time'"),
    ],
)
def test_a_bad_file_gets_one_sentence_with_the_mend(tmp_path, changes, words):
    with pytest.raises(FileProblem, match=words) as told:
        read_record(table(tmp_path / "own.csv", **changes))
    assert str(told.value).startswith("own.csv")
    assert told.value.mend


@pytest.mark.parametrize(
    ("spoil", "words", "row"),
    [
        (lambda rows: [*rows[:50], rows[49], *rows[50:]], "must rise", 52),
        (lambda rows: [*rows[:50], *rows[90:]], "no reading between 0.49 s and 0.90 s", 52),
        (lambda rows: [*rows[:50], "0.50,9e306", *rows[51:]], "9e\\+306 .* no phone can feel", 52),
    ],
)
def test_a_row_that_cannot_be_is_named(tmp_path, spoil, words, row):
    path = table(tmp_path / "own.csv")
    head, *rows = path.read_text().splitlines()
    path.write_text("\n".join([head, *spoil(rows)]))
    with pytest.raises(FileProblem, match=words) as told:
        read_record(path)
    assert told.value.row == row


# Words and bands


def test_a_wide_reading_leaves_several_bands_open():
    reading = read_bounce(good())
    assert [band.name for band in judge(replace(reading, ratio=Estimate(0.15, 0.02)))] == [
        "worn",
        "in range",
    ]
    assert [band.name for band in judge(replace(reading, ratio=Estimate(0.3, 0.01)))] == [
        "in range"
    ]


def test_the_words_fit_the_reading():
    reading = read_bounce(good())
    read = replace(reading, ratio=Estimate(0.25, 0.01), frequency=Estimate(1.3, 0.02))
    assert read.words == ("The damping ratio is 0.250 ± 0.020 and the frequency 1.30 ± 0.04 Hz.")
    assert "too high to read" in replace(reading, ratio=Estimate(0.6, 0.05)).words
    assert "at least about 0.45" in replace(reading, ratio=Estimate(0.7, 0.05)).words
    assert "too small or too few" in replace(reading, ratio=Estimate(0.3, 0.06)).words


# The learner's markers


def test_markers_on_two_peaks_read_the_same_as_the_fit():
    reading = read_bounce(read_record(dataset("bounce/worn_damper.csv")))
    tops = [peak.time for peak in reading.peaks if peak.height > 0]
    marks = read_marks(reading.seen, tops[0], tops[2])
    assert marks.swings == 2
    assert marks.ratio == pytest.approx(reading.ratio.value, abs=0.004)
    assert marks.frequency == pytest.approx(reading.frequency.value, rel=0.01)
    half = read_marks(reading.seen, reading.peaks[0].time, reading.peaks[1].time)
    assert half.swings == 0.5
    assert half.ratio == pytest.approx(reading.ratio.value, abs=0.01)


@pytest.mark.parametrize(
    ("first", "later", "words"),
    [
        (3.2, 3.2, "later than marker 1"),
        (3.2, 3.25, "one swing"),
        (0.5, 3.2, "near rest|passes rest"),
        (1.65, 3.23, "never grows"),
    ],
)
def test_markers_that_say_nothing_say_why(first, later, words):
    seen = sight(read_record(dataset("bounce/worn_damper.csv")))
    marks = read_marks(seen, first, later)
    assert marks.ratio is None
    assert any(word in marks.trouble for word in words.split("|"))
