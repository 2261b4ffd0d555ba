"""The working tool's pure part: nothing typed is lost, and whatever is missing is said."""

import json
import os
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dampinglab import journal
from dampinglab.data import dataset
from dampinglab.errors import LearnerError
from dampinglab.physics.damper import RatedDamper
from dampinglab.workshop import demo, own_dampers, trials
from dampinglab.workshop.bounce import friction_share, read_bounce
from dampinglab.workshop.complaint import COMPLAINTS
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.day import history
from dampinglab.workshop.foretold import beside, foretell, sides
from dampinglab.workshop.lever import lever, read_pairs
from dampinglab.workshop.own import FORMAT, read_own, save_own
from dampinglab.workshop.own_card import changed_words, own_card, with_taken
from dampinglab.workshop.own_dampers import (
    by_trade,
    clicks_as_found,
    clicks_lacking,
    known_dampers,
    nothing_known,
    with_clicks,
)
from dampinglab.workshop.own_rows import ROWS, number
from dampinglab.workshop.own_sheet import lacking, own_vehicle, problem
from dampinglab.workshop.record import read_record
from tests.workshop.conftest import JSON

FUZZ = 2000 if os.environ.get("DAMPINGLAB_LONG") == "1" else 200
MASSES = {f"{c} mass": f"{m} kg" for c, m in zip(CORNERS, (638, 632, 533, 537), strict=True)}
BOXES = {**MASSES, "vehicle name": "Zug 日本 “one”", "front pairs": "-40 402\n0 378\n40 354"}


def one_sentence(words):
    assert "\n" not in words
    assert words.endswith(".")
    assert "Traceback" not in words


def refused(act, *arguments, match):
    with pytest.raises(LearnerError, match=match) as caught:
        act(*arguments)
    one_sentence(str(caught.value))


@pytest.fixture
def path(tmp_path):
    return tmp_path / "own.json"


# The file


def test_boxes_come_back_as_they_were_left(path):
    save_own(path, BOXES)
    save_own(path, {"front pairs": "", "driver": "Ann"})
    expected = {**BOXES, "driver": "Ann"}
    del expected["front pairs"]
    assert read_own(path).written == expected
    assert read_own(path).told == ()
    assert next(iter(json.loads(path.read_text("utf-8")))) == "format"


def test_no_file_is_an_empty_sheet_and_its_folder_is_made(tmp_path):
    path = tmp_path / "new" / "own.json"
    assert read_own(path).written == {}
    assert not path.parent.exists(), "looking made a folder"
    save_own(path, BOXES)
    assert read_own(path).written == BOXES


def test_two_notebooks_on_one_file_lose_neither_s_boxes(path):
    save_own(path, {"a": "1"})
    save_own(path, {"b": "2"})  # by a notebook that never saw a
    assert read_own(path).written == {"a": "1", "b": "2"}


def test_a_newer_version_is_never_written_to(path):
    path.write_text(json.dumps({"format": "dampinglab own 2", "written": {"a": "1"}}))
    before = path.read_bytes()
    refused(read_own, path, match="newer version")
    refused(save_own, path, {"a": "2"}, match="newer version")
    assert path.read_bytes() == before


DAMAGED = (b"", b"{", b"[1]", b"\xff\xfe", b'{"format": "dampinglab card 1"}', b"[" * 100_000,
           b'{"format": "dampinglab own 1", "written": 3}')  # fmt: skip


@pytest.mark.parametrize("raw", DAMAGED, ids=range(len(DAMAGED)))
def test_a_damaged_file_is_kept_aside_whole_and_said(path, raw):
    path.write_bytes(raw)
    kept = read_own(path)
    assert kept.written == {}
    one_sentence(kept.told[0])
    assert "own-damaged.json" in kept.told[0]
    save_own(path, {"a": "1"})
    assert path.with_stem("own-damaged").read_bytes() == raw
    assert read_own(path) == type(kept)({"a": "1"})
    path.write_bytes(raw[:-1] + b"x")  # damaged again, otherwise
    save_own(path, {"a": "2"})
    assert path.with_stem("own-damaged-2").read_bytes() == raw[:-1] + b"x"


def test_the_good_parts_of_a_damaged_file_are_taken(path):
    boxes = {"a": "1", "b": 3, "c": "\ud800", "d": ""}
    path.write_text(json.dumps({"format": FORMAT, "written": boxes}))
    kept = read_own(path)
    assert kept.written == {"a": "1"}
    assert "parts of it" in kept.told[0]


def test_a_clock_gone_back_gets_one_sentence(path):
    later = (datetime.now(UTC) + timedelta(days=3)).isoformat()
    path.write_text(json.dumps({"format": FORMAT, "when": later, "written": {"a": "1"}}))
    kept = read_own(path)
    one_sentence(kept.told[0])
    assert "clock stands before the last save" in kept.told[0]
    for no_time in ("2026-01-01", "x", 3, None, [], "9999-12-31T23:59:59-14:00"):
        path.write_text(json.dumps({"format": FORMAT, "when": no_time, "written": {}}))
        read_own(path)


@pytest.mark.parametrize("call", ["write", "half", "fsync", "replace"])
def test_a_failure_while_saving_loses_nothing(path, monkeypatch, call):
    save_own(path, BOXES)
    before, real = path.read_bytes(), os.write

    def fails(*arguments, **_):
        if call == "half" and len(arguments[1]) > 1:
            return real(arguments[0], arguments[1][: len(arguments[1]) // 2])
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, "write" if call == "half" else call, fails)
        refused(save_own, path, {"a": "1"}, match="No space left")
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == ["own.json"]
    assert save_own(path, {"a": "1"}).written == {**BOXES, "a": "1"}


def test_a_damaged_file_that_cannot_be_kept_aside_is_not_written_over(path, monkeypatch):
    path.write_bytes(b"{torn")

    def fails(*_arguments, **_options):
        raise OSError(30, "Read-only file system")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, "write", fails)
        refused(save_own, path, {"a": "1"}, match="Read-only file system")
    assert path.read_bytes() == b"{torn"
    assert [each.name for each in path.parent.iterdir()] == ["own.json"]


def test_a_place_that_cannot_be_gets_one_sentence(tmp_path):
    (tmp_path / "file").write_text("x")
    refused(save_own, tmp_path / "file" / "own.json", {"a": "1"}, match="cannot be (made|opened)")
    refused(read_own, tmp_path, match="cannot be opened")
    (tmp_path / "own.json").write_bytes(b"x" * 2_000_001)
    refused(save_own, tmp_path / "own.json", {"a": "1"}, match="far too large")


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    path = tmp_path_factory.mktemp("own") / "own.json"
    save_own(path, BOXES)
    return path.read_bytes(), path


@pytest.fixture(scope="module")
def quick():
    """Leave out the wait for the disk, which the tests of failures do not."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(journal.os, "fsync", lambda _descriptor: None)
        yield


def survives(path):
    """Save to a file in any state: what could be read stays, and all of it if anything is lost."""
    for each in path.parent.glob("own-damaged*"):
        each.unlink()
    before = path.read_bytes()
    try:
        kept = read_own(path)
        save_own(path, {"new box": "1"})
    except LearnerError as trouble:
        one_sentence(str(trouble))
        assert path.read_bytes() == before
        return
    assert read_own(path).written == {**kept.written, "new box": "1"}
    if any("kept as" in words for words in kept.told):
        assert path.with_stem("own-damaged").read_bytes() == before
    else:
        assert json.loads(before)["written"].items() <= kept.written.items()
    lacking(kept.written)


@settings(max_examples=FUZZ, deadline=None)
@given(data=st.data())
def test_fuzz_a_part_changed_anywhere(whole, quick, data):
    raw, path = whole
    record = json.loads(raw)
    part = data.draw(st.sampled_from(["format", "when", "written", "", "in", "in", "in"]))
    if part == "in":
        box = data.draw(st.sampled_from(list(record["written"])))
        record["written"][box] = data.draw(JSON)
    elif part:
        record[part] = data.draw(JSON)
    else:
        record = data.draw(JSON)
    path.write_text(json.dumps(record), "utf-8")
    survives(path)


@settings(max_examples=FUZZ, deadline=None)
@given(data=st.data())
def test_fuzz_bytes_changed_anywhere(whole, quick, data):
    raw, path = whole
    start = data.draw(st.integers(0, len(raw)))
    end = data.draw(st.integers(start, min(len(raw), start + 200)))
    path.write_bytes(raw[:start] + data.draw(st.binary(max_size=12)) + raw[end:])
    survives(path)


# What a learner types: digits, units, commas, nonsense.
TYPED = st.text(st.sampled_from("0123456789.,-/ kgmlbNrin\n\tof"), max_size=12) | st.text(
    max_size=6
)


@settings(max_examples=FUZZ, deadline=None)
@given(data=st.data())
def test_fuzz_whatever_is_typed_gets_a_sentence(data):
    boxes = [box for ask in ROWS for box in ask.boxes]
    typed = data.draw(st.dictionaries(st.sampled_from(boxes), TYPED, max_size=6))
    kinds = {"front kind": "rebound", "rear kind": "bump, rebound", "front left rebound": ""}
    words = [lacking({**MASSES, **typed}), clicks_lacking({**kinds, **typed})]
    words += [problem(ask, typed.get(box, "")) for ask in ROWS for box in ask.boxes]
    for each in filter(None, words):
        one_sentence(each)


# The sheet


def test_only_the_masses_are_a_must_and_all_else_is_said():
    assert "front and rear" in lacking({})
    assert lacking({f"{c} mass": "500" for c in CORNERS[:2]}).endswith("the rear wheels.")
    vehicle = own_vehicle(MASSES)
    told = " ".join(vehicle.assumptions)
    for word in ("body swings at 1.3 Hz", "motion ratio 0.75", "unsprung mass", "tyre rate",
                 "bump travel", "droop travel", "friction", "no source"):  # fmt: skip
        assert word in told, word
    assert vehicle.corner("front").body_frequency == pytest.approx(1.3, rel=1e-6)


def test_the_demo_wagon_typed_is_the_demo_wagon_from_its_sheet():
    typed = {
        **MASSES, "front unsprung": "75 kg", "rear unsprung": "115",
        "front spring rate": "111 N/mm", "front spring motion ratio": "0,60",
        "rear wheel rate": "36000 N/m", "front pairs": "-40 24\n0 0\n40 -24",
        "rear pairs": "wheel;damper\n0;0\n50;45", "front tyre rate": "260", "rear tyre rate": "260",
        "front bump travel": "60", "rear bump travel": "10.5 cm", "front foam": "45 mm",
        "rear foam": "50", "front droop travel": "100", "rear droop travel": "105",
        "front friction": "60 N", "rear friction": "80", "vehicle wheelbase": "2850",
        "vehicle ball overhang": "1150", "load 1 name": "trailer", "load 1 ball": "140 kg",
    }  # fmt: skip
    mine, theirs = own_vehicle(typed), demo.vehicle("wagon")
    for axle in ("front", "rear"):
        ours, sheet = mine.corner(axle), theirs.corner(axle)
        for name in sheet.__dataclass_fields__:
            assert getattr(ours, name) == pytest.approx(getattr(sheet, name)), (axle, name)
    assert mine.loads[0].rear_mass == pytest.approx(140 * (1 + 1150 / 2850))
    assert len(mine.assumptions) == 1, mine.assumptions  # tyre damping


def test_a_camper_on_a_trucks_frame_is_taken_from_its_boxes():
    heavy = {"front left mass": "1980", "rear left mass": "4800 lb"}
    vehicle = own_vehicle(heavy)
    assert vehicle.corner("front").sprung_mass == pytest.approx(0.85 * 1980)
    assert "Front and rear: more than 1,000 kg on a wheel" in " ".join(vehicle.assumptions)
    boxes = {"front left mass": "1900", "rear left mass": "470"}
    refused(own_vehicle, boxes, match="1900 kg on a front wheel and 470 kg on a rear one")


def test_two_heights_and_a_mass_tell_the_wheel_rate():
    boxes = {**MASSES, "rear added": "120 kg", "rear before": "46.0 cm", "rear after": "444 mm"}
    assert own_vehicle(boxes).corner("rear").wheel_rate == pytest.approx(60 * 9.80665 / 0.016)
    refused(own_vehicle, {**boxes, "rear after": "46 cm"}, match="lowers it by 0 mm")


def test_a_tyre_without_a_rate_gets_one_from_its_pressure():
    boxes = {**MASSES, "front left cold": "3 bar", "front right cold": "300"}
    assert own_vehicle(boxes).corner("front").tyre_rate == pytest.approx(250e3 * (0.3 + 0.7 * 1.25))


@pytest.mark.parametrize(
    ("box", "text", "match"),
    [
        ("front left mass", "6380", "Front left, mass on the wheel: 6380 is outside 80 to 3000 kg"),
        ("rear wheel rate", "36 N", "Rear, wheel rate: 'N' measures force"),
        ("rear spring rate", "36", "needs both its rate and its motion ratio"),
        ("front pairs", "1 2", "Front, damper motion ratio: Pairs found: 1"),
        ("front pairs", "1 2\n3", "Line 2, '3', is no pair"),
        ("front left mass", "300", "do not belong together"),
        ("front left mass", "6380\n", "6380 is outside"),
        ("load 1 ball", "100", "needs the wheelbase and the ball overhang"),
        ("front wheel rate", "5 N/mm", "would swing at 0.48 Hz"),
    ],
)
def test_what_cannot_be_gets_one_sentence_without_the_names_of_a_file(box, text, match):
    boxes = {**MASSES, box: text}
    refused(own_vehicle, boxes, match=match)
    assert "[" not in lacking(boxes)
    assert "_" not in lacking(boxes)


def test_every_row_says_what_to_measure_and_how_and_its_range_has_its_unit():
    for ask in ROWS:
        assert len(ask.how) > 15
        if ask.key:
            assert number(ask, f"{(ask.key.low + ask.key.high) / 2} {ask.unit}") is not None


def test_the_lever_is_the_slope_at_ride_height():
    wheel = np.linspace(-60, 60, 7)
    curved = lever(np.column_stack([wheel, 400 - 0.6 * wheel - 1e-3 * wheel**2]))
    assert curved.ratio == pytest.approx(0.6)
    assert (curved.lowest, curved.highest) == pytest.approx((0.48, 0.72))
    assert "again" not in curved.told
    bad = np.column_stack([wheel, 0.6 * wheel])
    bad[3, 1] += 9
    assert "The pair 0 and 9 lies off" in lever(bad).told
    assert "at 20, the measured place" in lever(np.array([[20.0, 0], [60, 24]])).told
    refused(lever, np.array([[0.0, 0], [10, 5], [20, 6], [30, 3], [40, -3]]), match="to and fro")
    refused(lever, np.array([[1.0, 0], [1, 5]]), match="one wheel height")
    assert read_pairs("travel damper\n-40,5; 3\n\n1\t2").tolist() == [[-40.5, 3], [1, 2]]


# The dampers


KINDS = {"front kind": "low-speed bump, high-speed bump, rebound", "rear kind": "rebound"}
THREE = {"low-speed bump": "14 of 20", "high-speed bump": "5/10", "rebound": "18 out of 24"}
COUNTS = {f"{c} {name}": text for c in CORNERS[:2] for name, text in THREE.items()}
COUNTS |= {f"{c} rebound": "8 of 30" for c in CORNERS[2:]}


def test_clicks_are_read_and_gaps_are_named():
    totals, found = clicks_as_found({**KINDS, **COUNTS})
    assert found["front right"] == {"low-speed bump": 14, "high-speed bump": 5, "rebound": 18}
    assert totals["rear left"] == {"rebound": 30}
    assert "front and rear dampers" in clicks_lacking({})
    gap = {**KINDS, **COUNTS, "rear left rebound": ""}
    assert clicks_lacking(gap) == "Still missing: clicks counted at rear left."
    refused(clicks_as_found, {**KINDS, **COUNTS, "rear left rebound": "31 of 30"}, match="count")
    refused(clicks_as_found, {**KINDS, **COUNTS, "rear left rebound": "some"}, match="14 of 20")


def test_dampers_are_a_table_a_rating_or_nothing(tmp_path):
    rating = {"rear bump": "500 N", "rear rebound": "90 kgf", "rear speed": "0.13 m/s"}
    rating["dampers known"] = "a rating: two numbers"
    damper = known_dampers(tmp_path, rating)
    assert damper == {"rear": RatedDamper(500.0, 90 * 9.80665, 0.13)}
    refused(known_dampers, tmp_path, {**rating, "rear speed": ""}, match=r"lacks its shaft speed\.")
    refused(known_dampers, tmp_path, {**rating, "rear bump": "5"}, match="outside 20 to 20000")
    assert known_dampers(tmp_path, {}) == {}
    table = {"dampers known": "a dyno table", "dampers table": "none.csv"}
    refused(known_dampers, tmp_path, table, match="no such file")
    (tmp_path / "mine.csv").write_bytes(dataset("dyno/wagon_three_adjuster.csv").read_bytes())
    assert set(known_dampers(tmp_path, {**table, "dampers table": "mine.csv"})) == {"front", "rear"}
    for words in nothing_known(own_vehicle(MASSES)):
        assert "0.15 to 0.5 of critical (common practice, no source)" in words


def test_a_setting_stands_on_the_vehicle_where_the_sides_agree():
    _, found = clicks_as_found({**KINDS, **COUNTS, "rear left rebound": "9 of 30"})
    vehicle = with_clicks(own_vehicle(MASSES), found)
    assert vehicle.axles["front"].as_found["rebound"] == 18
    assert vehicle.axles["rear"].as_found is None


def test_the_trade_turns_a_fifth_the_right_way_where_nothing_is_computed():
    totals, found = clicks_as_found({**KINDS, **COUNTS})
    remedy, name, by = by_trade("floats", "rear", totals, found)
    assert (name, by) == ("rebound", -6 if remedy.more else 6)
    assert remedy.price
    nothing = next(key for key, each in COMPLAINTS.items() if not each.remedies)
    refused(by_trade, nothing, "rear", totals, found, match="no click cures this")
    shut = {corner: dict.fromkeys(clicks, 0) for corner, clicks in found.items()}
    refused(by_trade, "floats", "rear", totals, shut, match="The trade turns rebound or low-speed")


# The bounce test


@pytest.fixture(scope="module")
def readings():
    names = ("good_corner", "worn_damper", "overdamped")
    return {n: read_bounce(read_record(dataset(f"bounce/{n}.csv"))) for n in names}


def test_a_bounce_test_stands_beside_what_sheet_and_damper_foretell(readings):
    corner, good = demo.vehicle().corner("front"), readings["good_corner"]
    told = foretell(corner, RatedDamper(700.0, 1100.0, 0.13), None, good)
    assert 0.02 < told.speed < 0.2
    assert told.least < told.most
    words = " ".join(beside(corner, good, told))
    assert "they agree" in words
    weak = foretell(corner, RatedDamper(60.0, 80.0, 0.13), None, good)
    assert "more than foretold" in " ".join(beside(corner, good, weak))
    strong = foretell(corner, RatedDamper(4000.0, 6000.0, 0.13), None, good)
    assert "less than foretold" in " ".join(beside(corner, good, strong))
    assert "or more" in " ".join(beside(corner, readings["overdamped"], strong))
    assert foretell(corner, None, None, good) is None
    assert "Nothing foretells" in " ".join(beside(corner, good, None))


def test_a_measured_damper_foretells_one_number_and_friction_counts(readings):
    vehicle, good = demo.vehicle(), readings["good_corner"]
    corner, clicks = vehicle.corner("front"), vehicle.axles["front"].as_found
    told = foretell(corner, demo.damper(), clicks, good)
    assert told.least == told.most
    slick = foretell(replace(corner, friction=0.0), demo.damper(), clicks, good)
    swing = told.speed / (2 * np.pi * good.frequency.value * corner.damper_motion_ratio)
    assert told.least - slick.least == pytest.approx(
        friction_share(corner.friction, corner.wheel_rate, swing)
    )
    assert foretell(corner, demo.damper(), {"rebound": 3}, good) is None


def test_a_wrong_spring_shows_in_the_frequency_and_sides_are_compared(readings):
    heavy = own_vehicle({**MASSES, "front wheel rate": "80 N/mm"}).corner("front")
    words = " ".join(beside(heavy, readings["good_corner"], None))
    assert "look at the wheel rate" in words
    assert "N/mm at the wheel would swing so" in words
    good, worn = readings["good_corner"], readings["worn_damper"]
    assert "a fault to find, never a setting" in sides(good, worn, "front")
    assert "agree" in sides(good, good, "front")
    assert "not readable" in sides(good, readings["overdamped"], "front")


# The card


def test_a_card_is_filled_in_from_what_is_known(tmp_path):
    day = tmp_path / "trials.jsonl"
    totals, found = clicks_as_found({**KINDS, **COUNTS})
    trials.begin(day, "Wagon", totals, found)
    trials.change(day, "rear", "rebound", -4)
    boxes = {
        **MASSES, **{f"{c} height": "450" for c in CORNERS},
        **{f"{c} cold": "2.4 bar" for c in CORNERS},
        "card felt": "It floats.", "card not_fixed": "none", "card cautions": "One.\n\nTwo.",
        "card empty record": "1", "card loaded record": "2", "card loaded rear cold": "3 bar",
        "may 1 axle": "rear", "may 1 adjuster": "rebound", "may 1 softer": "3",
    }  # fmt: skip
    card = own_card(boxes, own_vehicle(boxes), history(day), date(2026, 11, 6))
    assert card.date == "6 November 2026"
    assert card.changed == "Rear rebound 4 clicks in, firmer."
    assert (card.not_fixed, card.cautions) == ((), ("One.", "Two."))
    assert card.masses_kg["front left"] == 638
    assert card.heights_mm["rear right"] == 450
    assert card.final.clicks["rear left"] == {"rebound": 4}
    assert card.final.cold_kpa["front left"] == 240
    assert card.empty.clicks == found
    assert card.loaded.cold_kpa == {"rear left": 300, "rear right": 300}
    assert (card.owner_may[0].softer, card.owner_may[0].firmer) == (3, 0)
    assert card.missing == ("the customer's own words", "what you give up", "when to come back")
    refused(own_card, {**boxes, "may 1 softer": "x"}, None, history(day), date.today(),
            match="whole clicks")  # fmt: skip
    refused(own_card, {**boxes, "may 1 firmer": "9"}, None, history(day), date.today(),
            match="from 0 to 4")  # fmt: skip


def test_prices_stand_on_a_card_while_their_changes_do(tmp_path):
    day = tmp_path / "trials.jsonl"
    trials.begin(day, "Wagon", *clicks_as_found({**KINDS, **COUNTS}))
    trials.change(day, "rear", "rebound", -4)
    taken = with_taken({}, "floats", "rear", "rebound")
    taken = with_taken(taken, "sharp, small", "front", "low-speed bump")
    assert with_taken(taken, "floats", "rear", "rebound") == taken

    def card():
        return own_card(taken, None, history(day), date.today(), ("First setting.",))

    floats, sharp = (COMPLAINTS[key].remedies[0] for key in ("floats", "sharp, small"))
    assert card().given_up == floats.price
    assert card().cautions == (floats.warning, "First setting.")
    trials.change(day, "front", "low-speed bump", 3, more=True)
    assert card().given_up == f"{floats.price} {sharp.price}"
    trials.change(
        day, "rear", "rebound", 6, more=True
    )  # beyond where it was found: now the other way
    assert card().given_up == sharp.price
    assert card().cautions == ("First setting.",)
    for foreign in (
        "floats",
        "a | b | c | d",
        "floats | rear | bump",
        " | ",
        "floats | x | rebound",
    ):
        assert own_card({"felt taken": foreign}, None, history(day), date.today()).given_up is None


def test_a_card_without_a_day_or_a_vehicle_still_is_one():
    card = own_card({"card felt": "It floats."}, None, None, date(2026, 1, 2))
    assert (card.felt, card.final, card.masses_kg) == ("It floats.", None, None)
    assert changed_words({}, {c: {} for c in CORNERS}) == ""


def test_sides_set_alike_are_told_with_where_they_stood_and_stand():
    found = {"rear left": {"rebound": 12}, "rear right": {"rebound": 10}}
    now = {side: {"rebound": 9} for side in found}
    told = "Rear rebound from 12 left and 10 right to 9 on both sides."
    assert changed_words(found, now) == told


def test_a_table_is_read_once_for_each_state_of_its_file(tmp_path, monkeypatch):
    reads = []
    monkeypatch.setattr(own_dampers, "read_dyno", lambda path: reads.append(path) or {})
    written = {"dampers known": "a dyno table", "dampers table": "mine.csv"}
    for state in ("one", "another"):
        (tmp_path / "mine.csv").write_text(state)
        os.utime(tmp_path / "mine.csv", ns=(1, len(state)))
        for _ in range(3):
            assert known_dampers(tmp_path, written) == {}
    assert len(reads) == 2
