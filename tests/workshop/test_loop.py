"""Force-travel records made from valves whose force is known, good ones and bad ones."""

import numpy as np
import pytest

from dampinglab.errors import FileProblem
from dampinglab.workshop import demo
from dampinglab.workshop.loop import read_loop

VALVES, SETTING = demo.hydraulic("front"), (9, 5, 12)
FACTS = {
    "title": "Test loop (invented)",
    "axle": "front",
    "test": "sine",
    "gas force": "removed",
    "friction": "included",
    "oil temperature": "40 °C",
    "rebound sign": "negative",
}


def motion(rate=1000, stroke=0.4, strokes=3.0, size=0.04, phase=0.0):
    """Return time, travel and speed of a sine; 0.04 m at 2.5 a second reach 0.63 m/s."""
    t = np.arange(round(rate * stroke * strokes)) / rate
    angle = 2 * np.pi * t / stroke + phase
    return t, size * np.sin(angle), size * 2 * np.pi / stroke * np.cos(angle)


def valves(v, gas=0.0, rate=0.0, x=0.0):
    return VALVES.valve_force(v, SETTING) + VALVES.friction(v) + gas + rate * x


@pytest.fixture
def write(save):
    def write(t, x, f, units=("s", "mm", "N"), scale=(1.0, 1e3, 1.0), drop=(), **facts):
        said = {k: v for k, v in (FACTS | facts).items() if k not in drop}
        lines = [f"# {key}: {value}" for key, value in said.items()]
        lines.append(
            ",".join(f"{n} [{u}]" for n, u in zip(("time", "travel", "force"), units, strict=True))
        )
        columns = [s * np.asarray(c) for c, s in zip((t, x, f), scale, strict=True)]
        lines += [",".join(f"{cell:.7g}" for cell in row) for row in zip(*columns, strict=True)]
        return save("loop.csv", "\n".join(lines) + "\n")

    return write


def near(loop, spare):
    """Demand the forces of the valves to some newtons and 1 %."""
    true = valves(loop.curve.speed) * (loop.curve.speed != 0)
    worst = np.abs(loop.curve.force - true) - 0.01 * np.abs(true)
    assert worst.max() < spare


def test_a_sine_gives_both_branches_of_the_valves_it_was_made_from(write):
    t, x, v = motion()
    loop = read_loop(write(t, x, valves(v)))
    near(loop, 2.0)
    assert loop.curve.speed[0] < -0.55 < 0.55 < loop.curve.speed[-1]
    assert loop.scatter.max() < 12.0
    assert (loop.gas, loop.gas_rate, loop.assumptions) == (0.0, 0.0, ())
    # Straight in ends where speed turns: the slope over a twelfth of a stroke, as stated.
    inner = slice(60, -60)
    assert np.abs(loop.speed - v)[inner].max() < 2e-3 * np.abs(v).max()


def test_noise_is_told_as_scatter_and_averaged(write):
    rng = np.random.default_rng(4)
    t, x, v = motion(rate=2000, strokes=5)
    noisy = valves(v) + rng.normal(0, 25, t.size)
    loop = read_loop(write(t, x + rng.normal(0, 1e-5, t.size), noisy))
    assert np.median(loop.scatter[loop.scatter > 0]) == pytest.approx(25.0, rel=0.25)
    near(loop, 15.0)


@pytest.mark.parametrize("said", ["included", "included, 430 N"])
def test_gas_force_is_taken_off_with_its_rise_over_the_stroke(write, said):
    t, x, v = motion()
    force = valves(v, 430.0, 1500.0, x)
    loop = read_loop(write(t, x, force, **{"gas force": said}))
    assert loop.gas == pytest.approx(430.0, abs=6.0)
    assert loop.gas_rate == pytest.approx(1500.0, rel=0.03)
    near(loop, 8.0)
    assert loop.scatter.max() < 12.0  # a rise that was left in would lie apart by 60 N
    assert "rising by 1.5" in loop.assumptions[-1]


def test_a_lag_between_force_and_travel_shows_as_scatter(write):
    """Force 0.5 ms late: the table stays a mean, and the branches lie apart in it."""
    t, x, v = motion()
    late = np.interp(t - 0.0005, t, valves(v))
    straight, lagging = (read_loop(write(t, x, f)) for f in (valves(v), late))
    assert np.median(lagging.scatter) > 2 * np.median(straight.scatter)


def test_units_signs_and_rates_of_other_stands_give_the_same_curve(write):
    t, x, v = motion()
    plain = read_loop(write(t, x, valves(v)))
    other = read_loop(
        write(t, -x, -valves(v), ("ms", "in", "kgf"), (1e3, 1 / 0.0254, 1 / 9.80665),
              **{"rebound sign": "positive"})
    )  # fmt: skip
    assert other.curve.force == pytest.approx(plain.curve.force, rel=1e-3, abs=1.0)
    assert "turned round" in other.assumptions[-1]
    uneven = np.sort(t + np.random.default_rng(1).uniform(0, 5e-4, t.size))
    x2 = 0.04 * np.sin(2 * np.pi * uneven / 0.4)
    v2 = 0.04 * 2 * np.pi / 0.4 * np.cos(2 * np.pi * uneven / 0.4)
    near(read_loop(write(uneven, x2, valves(v2))), 15.0)


@pytest.mark.parametrize("phase", [0.0, 0.8, np.pi / 2])
def test_one_averaged_stroke_is_enough(write, phase):
    t, x, v = motion(strokes=1.0, phase=phase)
    near(read_loop(write(t, x, valves(v))), 5.0)


def bad(change, drop=(), **facts):
    t, x, v = motion()
    t, x, f = change(t, x, valves(v))
    return t, x, f, drop, facts


def clip(t, x, f):
    return t, x, np.minimum(f, 1500.0)


def coarse(t, x, f):
    return t, x, 20.0 * np.round(f / 20.0)


def swap(t, x, f):
    t = t.copy()
    t[[100, 101]] = t[[101, 100]]
    return t, x, f


def part(keep):
    return lambda t, x, f: (t[keep], x[keep], f[keep])


def same(t, x, f):
    return t, x, f


HOLED = np.r_[0:300, 420:1200]
BAD = {
    "no sign": (bad(same, ("rebound sign",)), "row 1: the record does not say which sign"),
    "time falls": (bad(swap), r"row 110: the time goes from 0.101 s to 0.1 s and must rise"),
    "hole": (bad(part(HOLED)), r"row 309: there is no reading between 0.299 s and 0.42 s"),
    "clipped": (bad(clip), "readings stop at exactly 1500 N, so the sensor was at its end"),
    "half a stroke": (bad(part(slice(100, 300))), "does not hold a whole stroke"),
    "too slow": (bad(part(slice(None, None, 8))), "there are only 50 readings a stroke"),
    "too few": (bad(part(slice(0, 90))), "there are only 90 readings"),
    "mm as m": (bad(lambda t, x, f: (t, 1e3 * x, f)), "the travel is 80 m, and it should be 0.004"),
    "kN as N": (
        bad(lambda t, x, f: (t, x, f / 1e3)),
        r"the largest force is [34]\.\d+ N, and it should",
    ),
    "ms as s": (bad(lambda t, x, f: (1e3 * t, x, f)), "greatest speed is 0.000628 m/s"),
    "gas in it": (bad(lambda t, x, f: (t, x, f + 400)), "turns round is 4.. N, and the header"),
    "wrong gas": (
        bad(lambda t, x, f: (t, x, f + 400), **{"gas force": "included, 200 N"}),
        "header says 200 N of gas; write # gas force: included, or correct its size",
    ),
    "not zeroed": (bad(lambda t, x, f: (t, x, f - 400)), "set the force to zero before the test"),
    "a spring": (bad(lambda t, x, f: (t, x, f + 3e4 * x)), "by 2400 N from end to end, as of a"),
    "late": (bad(lambda t, x, f: (t, x, np.interp(t - 4e-3, t, f))), "or of forces written late"),
    "gives back": (
        bad(lambda t, x, f: (t, x, 50 * np.cos(50 * t) + 900 * np.sin(9 * t))),
        "end to end",
    ),
}


def test_a_coarse_sensor_is_no_sensor_at_its_end(write):
    near(read_loop(write(*coarse(*bad(same)[:3]))), 10.0)


@pytest.mark.parametrize("name", BAD)
def test_a_bad_record_gets_one_sentence(write, name):
    (t, x, f, drop, facts), words = BAD[name]
    with pytest.raises(FileProblem, match=words) as told:
        read_loop(write(t, x, f, drop=drop, **facts))
    assert str(told.value).endswith(".")
    assert "\n" not in str(told.value)


def test_a_missing_column_or_unit_is_named(save):
    with pytest.raises(FileProblem, match="there is no column 'travel'"):
        read_loop(save("a.csv", "time [s],force [N]\n0,1\n1,2\n"))
    with pytest.raises(FileProblem, match="'travel' has no unit"):
        read_loop(save("b.csv", "time [s],travel,force [N]\n0,1,1\n1,2,2\n"))
