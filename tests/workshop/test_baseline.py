"""The baseline: closed forms of a straight damper, the order of starts, bands, and the sheet."""

from dataclasses import FrozenInstanceError, replace
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import Adjuster, Curve, MeasuredDamper, RatedDamper
from dampinglab.workshop.baseline import HIGH, LOW, baseline
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.report import MODEL, axle_sentence, report
from dampinglab.workshop.sheet import read_vehicle
from dampinglab.workshop.start import named_setting

SPEEDS = np.array([-1.0, -0.3, -0.1, -0.05, 0.05, 0.1, 0.3, 1.0])


@pytest.fixture
def vehicle(save, sheet_text):
    return read_vehicle(save("v.toml", sheet_text))


@pytest.fixture
def dampers(save, dyno_text):
    return read_dyno(save("d.csv", dyno_text))


def found(vehicle, as_found=None, maker=None):
    """Return the vehicle with other settings on its sheet."""
    axle = replace(vehicle.axles["front"], as_found=as_found, maker=maker)
    return replace(vehicle, axles=MappingProxyType({"front": axle}))


def star(cross_talk=0.0):
    """Return a three-adjuster damper measured along each adjuster from the middle only."""

    def curve(low, high, rebound):
        bump = 900 * (1 - 0.04 * low) * np.tanh(SPEEDS / 0.05) + 900 * (1 - 0.06 * high) * SPEEDS
        bump *= 1 - cross_talk * rebound / 10
        back = 1500 * (1 - 0.05 * rebound) * np.tanh(SPEEDS / 0.05) + 1500 * SPEEDS
        return Curve(SPEEDS, np.where(SPEEDS > 0, bump, back))

    settings = {(5, 5, 5)} | {(n, 5, 5) for n in (0, 10)} | {(5, n, 5) for n in (0, 10)}
    settings |= {(5, 5, n) for n in (0, 10)}
    names = ("low-speed bump", "high-speed bump", "rebound")
    curves = MappingProxyType({s: curve(*s) for s in settings})
    return MeasuredDamper("star", tuple(Adjuster(n, 10) for n in names), curves)


def test_ratios_are_the_closed_form_of_a_straight_damper(vehicle, dampers):
    (axle,) = baseline(vehicle, dampers).axles
    weighed, touring = axle.cases
    critical = 2 * np.sqrt(40e3 * 400)  # N s/m, of 400 kg on 40 N/mm
    assert weighed.corner.critical_damping == pytest.approx(critical)
    by_setting = {each.setting: each for each in weighed.ratios}
    assert list(by_setting) == [(0,), (10,)]
    for clicks, rebound in (((0,), 4000), ((10,), 2000)):
        bump_low, bump_high, rebound_low, rebound_high = by_setting[clicks].readings
        assert [bump_low.speed, rebound_high.speed] == [LOW, -HIGH]
        assert bump_low.least == bump_low.most == pytest.approx(2000 * 0.5**2 / critical)
        assert bump_high.least == pytest.approx(2000 * 0.5**2 / critical)
        assert rebound_low.least == pytest.approx(rebound * 0.5**2 / critical)
        assert rebound_high.least == pytest.approx(rebound * 0.5**2 / critical)
    assert weighed.start.rebound_low.least == pytest.approx(3000 * 0.25 / critical)
    loaded = touring.start.rebound_low.least
    assert loaded == pytest.approx(3000 * 0.25 / (2 * np.sqrt(40e3 * 450)))


def test_the_start_is_as_found_else_the_makers_else_the_middle_of_force(vehicle, dampers):
    both = found(vehicle, {"rebound": 3}, {"rebound": 7})
    start = baseline(both, dampers).axles[0].start
    assert (start.setting, start.reason[:8]) == ((3,), "as found")
    start = baseline(found(vehicle, None, {"rebound": 7}), dampers).axles[0].start
    assert (start.setting, start.reason[:11]) == ((7,), "the maker's")
    start = baseline(found(vehicle), dampers).axles[0].start
    assert "middle of force" in start.reason
    assert start.setting in dampers["front"].settings


def test_the_middle_of_force_is_not_the_middle_click(vehicle):
    forces = {0: 4000, 1: 2600, 5: 1100, 10: 1000}  # most of the force sits in the first clicks
    curves = {
        (n,): Curve(SPEEDS, np.where(SPEEDS < 0, c, 1500) * SPEEDS) for n, c in forces.items()
    }
    damper = MeasuredDamper("steep", (Adjuster("rebound", 10),), MappingProxyType(curves))
    start = baseline(found(vehicle), {"front": damper}).axles[0].start
    assert start.setting == (1,)


def test_a_speed_beyond_the_table_is_flagged_and_cautioned(vehicle, save, dyno_text):
    slow = dyno_text.replace("600,-2400", "100,-400").replace("600,-1200", "100,-200")
    result = baseline(vehicle, read_dyno(save("s.csv", slow.replace("600,1200", "100,200"))))
    (axle,) = result.axles
    flags = [reading.beyond for reading in axle.cases[0].start.readings]
    assert flags == [False, True, False, True]
    assert "Front: ratios marked * lie beyond the speeds measured." in result.cautions
    assert "0.06*" in report(result)


def test_a_rating_gives_a_band_that_closes_at_its_speed(vehicle):
    at_low = baseline(vehicle, {"front": RatedDamper(100.0, 200.0, LOW)}).axles[0].cases[0]
    assert at_low.start.bump_low.least == at_low.start.bump_low.most
    assert at_low.start.bump_low.least == pytest.approx(100 / LOW * 0.25 / 8000)
    wide = at_low.start.rebound_high
    assert wide.most / wide.least == pytest.approx(10 ** (1.2 - 0.4))
    assert wide.least < 200 / LOW * 0.25 / 8000 < wide.most


def test_a_start_off_the_table_is_read_as_the_damper_reads_it_and_said(vehicle):
    damper, setting = star(), (2, 2, 8)
    clicks = dict(zip(("low-speed bump", "high-speed bump", "rebound"), setting, strict=True))
    result = baseline(found(vehicle, clicks), {"front": damper})
    start = result.axles[0].cases[0].start
    for reading, speed in ((start.bump_low, LOW), (start.rebound_high, -HIGH)):
        force = damper.valve_force(speed, setting)
        assert reading.least == pytest.approx(force / speed * 0.25 / 8000)
    assert result.cautions[0] == f"Front: {damper.assumption(setting)}"
    assert "2 / 2 / 8 clicks were not measured together: bump joins" in result.cautions[0]


def test_a_start_that_the_table_does_not_tell_is_said_and_not_guessed(vehicle):
    damper = star()
    inner = {s: c for s, c in damper.curves.items() if s[0] != 0}
    clicks = {"low-speed bump": 2, "high-speed bump": 5, "rebound": 5}
    result = baseline(found(vehicle, clicks), {"front": replace(damper, curves=inner)})
    assert result.axles[0].cases[0].start is None
    assert "the table does not tell what the start does. " in result.cautions[0]
    assert "the table does not tell what the start does" in axle_sentence(result.axles[0])
    assert "START AT low-speed bump 2, high-speed bump 5, rebound 5" in report(result)


def test_settings_that_a_damper_cannot_have_are_named(dampers):
    damper = dampers["front"]
    assert named_setting(damper, {"rebound": 10}) == (10,)
    with pytest.raises(OutOfRange, match=r"'rebound' at 11 clicks is past the last.*0 to 10"):
        named_setting(damper, {"rebound": 11})
    with pytest.raises(OutOfRange, match="no adjuster 'bump', only rebound 0 to 10"):
        named_setting(damper, {"rebound": 1, "bump": 2})
    with pytest.raises(OutOfRange, match="gives no clicks of 'rebound'"):
        named_setting(damper, {})


def test_an_axle_without_a_known_damper_keeps_its_frequency_and_gets_no_ratio(vehicle):
    result = baseline(found(vehicle), {})
    case = result.axles[0].cases[0]
    assert (case.ratios, case.start) == ((), None)
    assert axle_sentence(result.axles[0]) == (
        "Front: nothing is known of the damper; the body swings at 1.59 Hz."
    )


def test_a_damper_without_adjusters_is_left_as_it_is(vehicle):
    curve = Curve(SPEEDS, 1000 * SPEEDS)
    damper = MeasuredDamper("fixed", (), MappingProxyType({(): curve}))
    result = baseline(found(vehicle), {"front": damper})
    assert result.axles[0].start.reason.startswith("not adjustable")
    assert "START AT what is there" in report(result)


def test_a_load_that_does_not_fit_is_left_out_with_a_caution(save, sheet_text, dampers):
    heavy = sheet_text.replace("front_kg = 100", "front_kg = 900")
    result = baseline(read_vehicle(save("v.toml", heavy)), dampers)
    assert [case.load for case in result.axles[0].cases] == [None]
    assert "Front, load 'touring': 450 kg more" in " ".join(result.cautions)
    assert "this load does not fit in the travel" in report(result, "touring")


def test_unequal_wheels_and_an_odd_frequency_are_cautioned(save, sheet_text, dampers):
    odd = sheet_text.replace("= 480", "= 600").replace("_mm = 40\n", "_mm = 10\n")
    cautions = " ".join(baseline(read_vehicle(save("v.toml", odd)), dampers).cautions)
    assert "the two wheels' loads differ by 24%" in cautions
    assert "0.74 Hz is unusual for a road vehicle" in cautions


def test_a_damper_tested_only_fast_says_how_slow_ratios_are_read(vehicle):
    fast = np.array([-1.0, -0.5, -0.2, 0.2, 0.5, 1.0])
    curves = MappingProxyType({(5,): Curve(fast, 1000 * fast)})
    damper = MeasuredDamper("fast", (Adjuster("rebound", 10),), curves)
    said = baseline(vehicle, {"front": damper}).assumptions
    assert "Front damper: the slowest speed measured is 0.2 m/s" in said[0]


def test_the_bench_sheet_says_everything_and_lines_up(vehicle, dampers):
    page = report(baseline(vehicle, dampers))
    rows = [line for line in page.splitlines() if line.startswith("  ") and line[-4:-2] == "0."]
    assert rows == [
        "  >        5  0.06  0.06     0.09     0.09",
        "           0  0.06  0.06     0.12     0.12",
        "          10  0.06  0.06     0.06     0.06",
    ]
    assert "  START AT rebound 5 clicks out from closed." in page
    assert "40.0 N/mm at the wheel, 400 kg sprung a corner: 1.59 Hz on the spring" in page
    assert "With the load 'touring': 1.50 Hz; at the start, slow and fast, 0.06 and 0.06" in page
    assert MODEL.split(":")[0] in page
    assert max(map(len, page.splitlines())) <= 96
    loaded = report(baseline(vehicle, dampers), "touring")
    assert loaded.startswith("BASELINE   Test wagon, with the load 'touring'")
    assert "450 kg sprung" in loaded


def test_results_are_frozen(vehicle, dampers):
    result = baseline(vehicle, dampers)
    with pytest.raises(FrozenInstanceError):
        result.axles[0].cases[0].start.bump_low.least = 1.0
