"""The dyno reader: the same damper from any stand's units, marks and signs, or one sentence."""

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab.data import dataset
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.physics.damper import Adjuster, secant
from dampinglab.workshop.dyno import read_dyno

INCH, LBF = 0.0254, 0.45359237 * 9.80665
PROBES = np.array([-1.2, -0.55, -0.1, -0.03, 0.03, 0.1, 0.55, 1.2])

FACTS = (
    ("title", "Made for a test"),
    ("axle", "front"),
    ("test", "steady speed"),
    ("gas force", "removed"),
    ("friction", "included"),
    ("oil temperature", "40 °C"),
    ("rebound sign", "negative"),
    ("clicks counted from", "closed"),
)


def without(*keys):
    return tuple(fact for fact in FACTS if fact[0] not in keys)


def lines(text):
    """Split a table into its facts and the rest."""
    parts = text.splitlines()
    return [x for x in parts if x.startswith("#")], [x for x in parts if not x.startswith("#")]


def test_a_whole_table_becomes_a_damper_with_nothing_assumed(save, dyno_text):
    (damper,) = read_dyno(save("d.csv", dyno_text)).values()
    assert damper.name == "Test damper (invented)"
    assert damper.adjusters == (Adjuster("rebound", 10),)
    assert damper.settings == ((0,), (10,))
    assert (damper.gas, damper.friction_force, damper.assumptions) == (0.0, 0.0, ())
    assert damper.valve_force(-0.2, (0,)) == pytest.approx(-800)
    assert damper.valve_force(0.2, (10,)) == pytest.approx(400)
    assert damper.valve_force(-0.2, (5,)) == pytest.approx(-600)


@pytest.mark.parametrize(
    "writing",
    [
        {},
        {"speed": ("in/s", INCH), "force": ("lbf", LBF)},
        {"delimiter": ";", "comma": True, "speed": ("m/s", 1.0), "columns": (2, 0, 1)},
        {"delimiter": "\t", "force": ("kgf", 9.80665), "newline": "\r\n", "columns": (1, 2, 0)},
        {"delimiter": "\t", "comma": True, "force": ("kN", 1e3)},
    ],
)
def test_one_damper_is_the_same_in_every_unit_delimiter_and_order(stand, laws, writing):
    facts = (*FACTS, ("adjusters", "bump and rebound 20"))
    path = stand("d.txt", laws.both, "bump and rebound", (0, 8, 20), facts=facts, **writing)
    damper = read_dyno(path)["front"]
    assert damper.adjusters == (Adjuster("bump and rebound", 20),)
    assert damper.assumptions == ()
    for clicks in ((0,), (8,), (20,)):
        expected = [laws.both(v, clicks) for v in PROBES]
        assert damper.valve_force(PROBES, clicks) == pytest.approx(expected, rel=2e-4)


@pytest.mark.parametrize("writing", [{"delimiter": ";", "comma": True}, {"delimiter": "\t"}])
def test_a_rebound_only_damper_changes_its_rebound_alone(stand, laws, writing):
    path = stand("r.txt", laws.rebound_only, "rebound", (0, 5, 10), facts=FACTS, **writing)
    damper = read_dyno(path)["front"]
    assert secant(damper, 0.05, (0,)) == pytest.approx(secant(damper, 0.05, (10,)))
    assert secant(damper, -0.05, (0,)) == pytest.approx(4000)
    assert secant(damper, -0.05, (10,)) == pytest.approx(3000)
    assert damper.adjusters == (Adjuster("rebound", 10),)
    assert any("taken as its largest" in said for said in damper.assumptions)


def test_clicks_counted_from_open_come_out_counted_from_closed(stand, laws):
    facts = (*without("clicks counted from"), ("clicks counted from", "open"))
    facts += (("adjusters", "rebound 12"),)
    path = stand("o.csv", lambda v, n: laws.rebound_only(v, (12 - n[0],)), "rebound", (0, 12),
                 facts=facts)  # fmt: skip
    damper = read_dyno(path)["front"]
    assert secant(damper, -0.2, (0,)) == pytest.approx(4000)
    assert secant(damper, -0.2, (12,)) == pytest.approx(2800)


def signs(text, speed, force):
    """Rewrite a table's signs: functions of signed speed and force."""
    facts, rest = lines(text)
    rows = [rest[0]]
    for row in rest[1:]:
        clicks, v, f = row.split(",")
        rows.append(f"{clicks},{speed(int(v), int(f))},{force(int(v), int(f))}")
    return "\n".join(facts + rows) + "\n"


@pytest.mark.parametrize(
    ("speed", "force", "sign"),
    [
        (lambda v, f: v, lambda v, f: f, "negative"),
        (lambda v, f: -v, lambda v, f: -f, "positive"),
        (lambda v, f: v, lambda v, f: -f, "negative"),
        (lambda v, f: v, lambda v, f: abs(f), "negative"),
        (lambda v, f: abs(v), lambda v, f: f, "negative"),
        (lambda v, f: abs(v), lambda v, f: -f, "positive"),
    ],
)
def test_every_habit_of_signs_gives_the_same_damper(save, dyno_text, speed, force, sign):
    text = signs(dyno_text, speed, force)
    stated = text.replace("sign: negative", f"sign: {sign}")
    deduced = text.replace("# rebound sign: negative\n", "")
    for content in (stated, deduced):
        damper = read_dyno(save("d.csv", content))["front"]
        assert damper.valve_force(-0.2, (0,)) == pytest.approx(-800)
        assert damper.valve_force(0.2, (0,)) == pytest.approx(400)
    assert damper.assumptions == (
        f"The table does not say the sign of rebound: its adjusters show it is {sign}.",
    )


def test_a_sign_that_nothing_proves_is_asked_for(stand, laws):
    facts = without("rebound sign")
    path = stand("d.csv", laws.both, "bump and rebound", (0, 20), facts=facts)
    with pytest.raises(FileProblem, match=r"row 1: .*which sign rebound has.*# rebound sign: neg"):
        read_dyno(path)


def test_a_column_of_directions_needs_no_sign(save, dyno_text):
    facts, rest = lines(signs(dyno_text, lambda v, f: abs(v), lambda v, f: abs(f)))
    ways = ["rebound"] * 3 + ["bump"] * 3
    rows = [f"{row},{way}" for row, way in zip(rest[1:], ways * 2, strict=True)]
    facts = [fact for fact in facts if "sign" not in fact]
    text = "\n".join([*facts, rest[0] + ",direction", *rows])
    damper = read_dyno(save("d.csv", text))["front"]
    assert damper.valve_force(-0.2, (0,)) == pytest.approx(-800)
    assert damper.assumptions == ()
    with pytest.raises(FileProblem, match="row 10: 'up' under 'direction' is no direction"):
        read_dyno(save("d.csv", text.replace("-600", "600").replace(",rebound", ",up", 1)))


def test_gas_force_in_the_table_is_taken_off_once(save, dyno_text):
    with_gas = signs(dyno_text, lambda v, f: v, lambda v, f: f + 300)
    said = with_gas.replace("gas force: removed", "gas force: included, 300 N")
    damper = read_dyno(save("d.csv", said))["front"]
    assert damper.gas == pytest.approx(300)
    assert damper.valve_force([-0.05, 0.05], (0,)) == pytest.approx([-200, 100])
    at_rest = with_gas.replace("removed", "included") + "0,0,300\n10,0,300\n"
    damper = read_dyno(save("d.csv", at_rest))["front"]
    assert damper.valve_force([-0.05, 0.05], (0,)) == pytest.approx([-200, 100])
    assert damper.assumptions == ("The force at rest, 300 N, is taken as the gas force.",)
    with pytest.raises(FileProblem, match=r"row 4: .*its size is not given; write it, as in # gas"):
        read_dyno(save("d.csv", with_gas.replace("removed", "included")))
    with pytest.raises(FileProblem, match="row 23: there are 300 N at zero speed, as when gas"):
        read_dyno(save("d.csv", with_gas + "0,0,300\n10,0,300\n"))


def test_friction_that_was_removed_is_kept_apart(save, dyno_text):
    text = dyno_text.replace("friction: included", "friction: removed (45 N)")
    assert read_dyno(save("d.csv", text))["front"].friction_force == pytest.approx(45)


def test_what_the_facts_leave_out_is_assumed_in_whole_sentences(stand, laws):
    facts = (("axle", "both"), ("rebound sign", "negative"))
    dampers = read_dyno(stand("bare.csv", laws.rebound_only, "rebound", (0, 10), facts=facts))
    assert list(dampers) == ["front", "rear"]
    said = " ".join(dampers["rear"].assumptions)
    for word in (
        "gas force",
        "friction",
        "which end",
        "oil temperature",
        "kind of test",
        "largest",
    ):
        assert word in said
    assert dampers["rear"].name == "bare"


def test_a_damper_that_cannot_be_adjusted_has_one_setting(save, dyno_text):
    facts, rest = lines(dyno_text)
    facts = [fact for fact in facts if "adjusters" not in fact and "clicks" not in fact]
    rows = [row.partition(",")[2] for row in rest[:7]]
    damper = read_dyno(save("d.csv", "\n".join(facts + rows)))["front"]
    assert damper.settings == ((),)
    assert damper.assumptions == ()


def test_rows_in_any_order_are_sorted_and_that_is_said(save, dyno_text):
    facts, rest = lines(dyno_text)
    swept = [rest[0], *rest[1:7][::-1], rest[8], rest[7], *rest[9:]]
    damper = read_dyno(save("d.csv", "\n".join(facts + swept)))["front"]
    assert damper.valve_force(-0.2, (10,)) == pytest.approx(-400)
    (said,) = damper.assumptions
    assert said == (
        "Speeds out of order were sorted (each row has its own): rebound at rebound 10 clicks."
    )


def test_a_fall_within_the_noise_is_ironed_out(save, dyno_text):
    text = dyno_text.replace("0,600,1200", "0,600,395", 1)
    damper = read_dyno(save("d.csv", text))["front"]
    assert np.all(np.diff(damper.curves[0,].force) >= 0)
    assert damper.valve_force(0.2, (0,)) == pytest.approx(397.5)


def swap(old, new, count=-1):
    return lambda text: text.replace(old, new, count)


BAD = {
    "column missing": (swap("shaft speed [mm/s]", "pace [mm/s]"), 10, "no column 'shaft speed'"),
    "unit missing": (swap("force [N]", "force"), 10, "'force' has no unit; write it behind"),
    "unit unknown": (swap("[mm/s]", "[knots]"), 10, "'shaft speed [knots]' is not known"),
    "unit of something else": (swap("force [N]", "force [mm]"), 10, "in a unit of length"),
    "mm/s given as m/s": (
        swap("[mm/s]", "[m/s]"), 10, "is 600, which is 600 m/s, and it should be 0.05 to 6 m/s; "
        "it is likely in mm/s: write [mm/s] in the heading",
    ),
    "m/s given as mm/s": (
        lambda t: t.replace("600,", "0.6,").replace("200,", "0.2,").replace("50,", "0.05,"), 10,
        "is 0.6, which is 0.0006 m/s, and it should be 0.05 to 6 m/s; it is likely in m/s",
    ),
    "kN given as N": (
        lambda t: t.replace("00\n", ".0\n"), 10, "is 24, which is 24 N, and it should be 50",
    ),
    "one row in another unit": (
        lambda t: t.replace("600,", "0.6,").replace("200,", "0.2,").replace("50,", "0.05,")
        .replace("[mm/s]", "[m/s]").replace("0,0.6,1200", "0,600,1200", 1), 16,
        "which is 600 m/s|it is likely in mm/s: correct this row",
    ),
    "one direction only": (
        lambda t: "\n".join(x for x in t.splitlines() if ",-" not in x), 10,
        "so only one direction is there; add the other direction's rows",
    ),
    "one direction at one setting": (
        lambda t: "\n".join(x for x in t.splitlines() if not x.startswith("10,-")), 17,
        "there is no rebound at rebound 10 clicks, only bump",
    ),
    "too few speeds": (
        swap("0,50,100\n", "", 1), 14, "bump at rebound 0 clicks has 2 speeds; measure at least 3",
    ),
    "the same speed twice": (
        swap("0,200,400\n", "0,50,120\n", 1), 15, "has 0.05 m/s twice (first in row 14); keep one",
    ),
    "NaN": (swap("0,50,100\n", "0,50,NaN\n", 1), 14, "'NaN' under 'force [N]' is not a number"),
    "an empty cell": (swap("0,50,100\n", "0,50,\n", 1), 14, "under 'force [N]' is empty"),
    "1,250": (
        swap("0,600,1200", '0,600,"1,250"', 1), 16, "'1,250' under 'force [N]' may mean 1250 or",
    ),
    "decimal comma in a comma table": (
        swap("0,50,100\n", "0,50,100,5\n", 1), 14, "4 cells under 3 headings; with a comma for",
    ),
    "a falling force": (
        swap("0,600,1200", "0,600,120", 1), 16,
        "the force falls from 400 N at 0.2 m/s (row 15) to 120 N at 0.6 m/s, more than noise",
    ),
    "a force with the motion": (
        swap("0,50,100\n", "0,50,-100\n", 1), 14, "100 N at 0.05 m/s push WITH the motion",
    ),
    "clicks past the last": (
        lambda t: t.replace("\n10,", "\n11,"), 17, "11 under 'rebound' is no click of 0 to 10",
    ),
    "half a click": (swap("\n10,-600", "\n9.5,-600"), 17, "9.5 under 'rebound' is no click"),
    "clicks in words": (swap("\n10,-600", "\nten,-600"), 17, "'ten' under 'rebound [clicks]'"),
    "counted from the other end": (
        swap("from: closed", "from: open"), 8, "taking the clicks as counted from open; if",
    ),
    "adjuster misspelled": (
        swap("rebound [clicks]", "rebond [clicks]"), 10, "perhaps you meant 'rebound'",
    ),
    "adjuster without a column": (
        swap("rebound 10", "rebound 10, bump 8"), 10, "no column has its clicks; add a column",
    ),
    "adjuster without its clicks": (
        swap("adjusters: rebound 10", "adjusters: bump 10"), 10, "'bump', and no column has its",
    ),
    "adjusters not understood": (
        swap("adjusters: rebound 10", "adjusters: ten"), 9, "is no adjuster with its clicks",
    ),
    "fact misspelled": (swap("rebound sign", "rebound sgin"), 7, "write 'rebound sign'"),
    "fact of another word": (swap("sign: negative", "sign: down"), 7, "write one of negative, pos"),
    "gas force not understood": (swap("removed", "who knows"), 4, "write one of included, removed"),
    "gas force in kg": (swap("removed", "included, 30 kg"), 4, "'30 kg' in the fact 'gas force'"),
    "no axle": (swap("# axle: front\n", ""), 1, "does not say which axle it is for; add a line"),
    "axle of another word": (swap("axle: front", "axle: middle"), 2, "write one of front, rear, b"),
    "empty": (lambda t: "", None, "the file is empty"),
}  # fmt: skip


@pytest.mark.parametrize("slip", BAD)
def test_a_slip_in_a_dyno_table_gets_one_sentence_with_row_and_mend(save, dyno_text, slip):
    spoil, row, says = BAD[slip]
    spoiled = spoil(dyno_text)
    assert spoiled != dyno_text
    with pytest.raises(FileProblem) as caught:
        read_dyno(save("d.csv", spoiled))
    for part in says.split("|"):
        assert part in str(caught.value)
    assert caught.value.row == row
    assert "\n" not in str(caught.value)


def test_the_demo_tables_read_without_an_assumption():
    for name in ("utility_two_adjuster", "wagon_rebound_only", "wagon_three_adjuster"):
        dampers = read_dyno(dataset(f"dyno/{name}.csv"))
        assert list(dampers) == ["front", "rear"]
        assert all(damper.assumptions == () for damper in dampers.values())


@settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_spoiled_table_gets_more_than_a_sentence(save, dyno_text, data):
    start = data.draw(st.integers(0, len(dyno_text)))
    length = data.draw(st.integers(0, 40))
    scraps = ["", "0", "-", ",", ";", "\n", "1e300", "NaN", "#", ":", "[", "included", "positive"]
    new = data.draw(st.one_of(st.sampled_from(scraps), st.text(max_size=4)))
    content = dyno_text[:start] + new + dyno_text[start + length :]
    with suppress(LearnerError):
        for damper in read_dyno(save("d.csv", content.encode("utf-8", "surrogatepass"))).values():
            for setting in damper.settings:
                assert np.all(np.diff(damper.valve_force(PROBES, setting)) >= 0)
