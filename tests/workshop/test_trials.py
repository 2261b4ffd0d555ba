"""A test day: as found first, one change at a time, nothing deleted, whatever fails."""

import json
import os
import re
import threading

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab import journal
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop import trials
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.method import Method
from tests.workshop.conftest import JSON, all_places, put

FUZZ = 2000 if os.environ.get("DAMPINGLAB_LONG") == "1" else 50

TOTALS = {
    **{key: {"low-speed bump": 20, "high-speed bump": 10, "rebound": 24} for key in CORNERS[:2]},
    **{key: {"rebound": 30} for key in CORNERS[2:]},
}
FOUND = {
    **{key: {"low-speed bump": 14, "high-speed bump": 5, "rebound": 18} for key in CORNERS[:2]},
    **{key: {"rebound": 12} for key in CORNERS[2:]},
}
HOW = Method(
    route="lane by the mill", driver="Ann", load="empty", speed_kmh=60, fuel_percent=80,
    cold_kpa=dict.fromkeys(CORNERS, 240), air_c=18, damper_c=45, passes=3, warm=True,
    rated_first=True, knew=False,
)  # fmt: skip


@pytest.fixture
def day(tmp_path):
    path = tmp_path / "trials.jsonl"
    trials.begin(path, "Demo wagon", TOTALS, FOUND)
    return path


def rated(path, *ratings, scores=None, how=HOW):
    return trials.drive(path, how, {"body control": list(ratings)}, scores).number


def one_sentence(words):
    assert "\n" not in words
    assert not words[0].islower() or ": " in words or ".jsonl" in words
    assert words.endswith(".")


def refused(act, *arguments, match, **options):
    with pytest.raises(LearnerError, match=match) as caught:
        act(*arguments, **options)
    one_sentence(str(caught.value))


def test_a_day_begins_as_found_and_reads_back(day):
    read = trials.history(day)
    assert (read.vehicle, read.totals, read.setting) == ("Demo wagon", TOTALS, FOUND)
    assert read.faults == read.complaints == ()
    assert [entry.kind for entry in read.entries] == ["as found"]
    assert "front low-speed bump 14" in read.entries[0].words
    assert next(iter(json.loads(day.read_text()))) == "format"


def test_a_left_right_difference_is_a_fault_to_find_and_bars_that_change(tmp_path):
    path = tmp_path / "trials.jsonl"
    uneven = {**FOUND, "front right": {**FOUND["front right"], "rebound": 16}}
    begun = trials.begin(path, "Demo wagon", TOTALS, uneven)
    assert len(begun.faults) == 1
    assert "18 clicks out on the left and 16 on the right" in begun.faults[0]
    refused(trials.change, path, "front", "rebound", -2, match="find out why")
    trials.change(path, "rear", "rebound", -2)
    refused(trials.set_alike, path, "rear", "rebound", 4, "nothing", match="alike on both")
    refused(trials.set_alike, path, "front", "rebound", 25, "x", match="from 0 to 24")
    entry = trials.set_alike(path, "front", "rebound", 18, "knob turned by hand")
    assert "knob turned by hand" in entry.words
    assert trials.history(path).faults == ()
    trials.undo(path, 1)
    assert len(trials.history(path).faults) == 1


def test_unlike_totals_are_a_fault(tmp_path):
    unlike = {**TOTALS, "rear right": {"rebound": 28}}
    begun = trials.begin(tmp_path / "trials.jsonl", "x", unlike, FOUND)
    assert begun.faults == ("Rear rebound: clicks in all left and right are 30 and 28: a fault to find.",)  # fmt: skip # noqa: E501


@pytest.mark.parametrize(
    ("totals", "found", "match"),
    [
        ({}, FOUND, "front left and front right and rear left and rear right are missing"),
        (TOTALS, {**FOUND, "rear right": {}}, "Rear right rebound has total but no clicks"),
        (TOTALS, {**FOUND, "rear right": {"rebound": 31}}, "is 31; it should be .* from 0 to 30"),
        (TOTALS, {**FOUND, "rear right": {"rebound": 2.5}}, "is 2.5; it should be a whole"),
        (TOTALS, {**FOUND, "rear right": {"rebound": True}}, "is True"),
        (TOTALS, {**FOUND, "rear right": {"rebond": 3}}, "perhaps you meant 'rebound'"),
        (TOTALS, {**FOUND, "back": {}}, "'back' is no wheel"),
        ({**TOTALS, "front left": {"rebound": 0}}, FOUND, "is 0; it should be a whole number"),
        (7, FOUND, "Give the total clicks by wheel"),
        (TOTALS, {**FOUND, "rear right": 3}, "Give rear right by adjuster"),
    ],
)
def test_what_is_missing_at_the_start_gets_one_sentence_and_no_file(tmp_path, totals, found, match):
    refused(trials.begin, tmp_path / "trials.jsonl", "x", totals, found, match=match)
    assert list(tmp_path.iterdir()) == []


def test_a_day_is_begun_once(day):
    before = day.read_bytes()
    refused(trials.begin, day, "x", TOTALS, FOUND, match="something in this file already")
    assert day.read_bytes() == before


def test_a_change_turns_both_dampers_of_one_axle_alike(day):
    entry = trials.change(day, "front", "Low speed bump", -3)
    now = trials.setting_now(day)
    assert now == entry.setting
    moved = {(c, n) for c in CORNERS for n in FOUND[c] if now[c][n] != FOUND[c][n]}
    assert moved == {("front left", "low-speed bump"), ("front right", "low-speed bump")}
    assert now["front left"]["low-speed bump"] == 11
    assert entry.words == "Front low-speed bump 3 clicks in, firmer, both sides: now 11 out from closed."  # fmt: skip # noqa: E501


def test_a_second_change_is_refused_until_driven_or_asked_for(day):
    trials.change(day, "front", "rebound", -2)
    before = day.read_bytes()
    for axle, name in (("front", "low-speed bump"), ("rear", "rebound")):
        refused(trials.change, day, axle, name, 1, match="no drive could tell them apart")
    assert day.read_bytes() == before
    trials.change(day, "front", "rebound", 1)  # still the one adjuster
    trials.change(day, "front", "rebound", 1)  # and back: as if nothing was turned
    trials.change(day, "rear", "rebound", 1)
    rated(day, 5, 5, 5)
    trials.change(day, "front", "rebound", -1)
    trials.change(day, "rear", "rebound", -1, more=True)
    assert trials.setting_now(day)["rear left"]["rebound"] == 12


def test_a_change_counts_from_the_setting_gone_back_to(day):
    trials.change(day, "front", "rebound", -2)
    rated(day, 5, 5, 5)
    trials.undo(day, 1)
    assert trials.setting_now(day) == FOUND
    trials.change(day, "rear", "rebound", -2)
    assert len(trials.history(day).entries) == 5, "nothing is deleted"


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (("front", "rebound", 7), "can be turned 6 out or 18 in, not 7 out"),
        (("front", "rebound", -19), "not 19 in"),
        (("front", "rebound", 0), "A change of no clicks"),
        (("front", "rebound", 1.5), "is 1.5; it should be a whole number"),
        (("left", "rebound", 1), "'left' is no axle"),
        (("rear", "low-speed bump", 1), "have no adjuster 'low-speed bump'"),
    ],
)
def test_an_impossible_change_gets_one_sentence(day, change, match):
    before = day.read_bytes()
    refused(trials.change, day, *change, match=match)
    assert day.read_bytes() == before


def test_undo_goes_anywhere_and_back(day):
    numbers = [1] + [trials.change(day, "rear", "rebound", -1).number for _ in range(3)]
    wanted = [trials.history(day).entry(number).setting for number in numbers]
    for number, setting in zip(numbers[::-1], wanted[::-1], strict=True):
        if setting != trials.setting_now(day):
            trials.undo(day, number)
        assert trials.setting_now(day) == setting
    refused(trials.undo, day, 1, match="stands already")
    refused(trials.undo, day, 99, match="no record 99")


def test_a_drive_keeps_all_of_its_method(day):
    number = rated(day, 6, 6, 7, scores={"peak in m/s²": [4.0, 4.2, 4.1]})
    entry = trials.history(day).entry(number)
    assert entry.method == HOW
    assert entry.ratings == {"body control": (6.0, 6.0, 7.0)}
    assert entry.scores == {"peak in m/s²": (4.0, 4.2, 4.1)}
    assert "by Ann on lane by the mill, 3 passes: rated body control 6.33 of 10" in entry.words


def test_scores_may_follow_the_ratings(day):
    number = rated(day, 6, 6, 7)
    later = trials.add_scores(day, number, {"peak in m/s²": [4.0, 4.2, 4.1]})
    assert trials.history(day).entry(number).scores == {"peak in m/s²": (4.0, 4.2, 4.1)}
    assert f"Measured in drive {number}" in later.words
    refused(trials.add_scores, day, 1, {"x": 1}, match="is no drive")
    refused(trials.add_scores, day, number, {}, match="at least one score")


@pytest.mark.parametrize(
    ("ratings", "match"),
    [
        ({"x": [6, 6]}, "'x' has 2 values for 3 passes"),
        ({"x": [6, 6, 11]}, "11 is outside the range 1 to 10"),
        ({"x": "good"}, "should be a number"),
        ({"x": [6, 6, float("nan")]}, "nan"),
        ([6, 6, 6], "by name"),
    ],
)
def test_a_rating_that_cannot_be_gets_one_sentence(day, ratings, match):
    before = day.read_bytes()
    refused(trials.drive, day, HOW, ratings, match=match)
    assert day.read_bytes() == before


def a_b_a(day, *ratings, how=(HOW, HOW, HOW)):
    """Drive as found, with two clicks in, and as found again; return the numbers."""
    first = rated(day, *ratings[0], how=how[0])
    trials.change(day, "front", "rebound", -2)
    second = rated(day, *ratings[1], how=how[1])
    if len(ratings) > 2:
        trials.undo(day, 1)
        rated(day, *ratings[2], how=how[2])
    return first, second


@pytest.mark.parametrize(
    ("ratings", "verdict"),
    [
        (((4, 4, 5), (8, 8, 8), (4, 5, 5)), "a difference"),
        (((4, 4, 5), (8, 8, 8), (8, 8, 8)), "void"),
        (((6, 6, 6), (6, 7, 6), (6, 6, 6)), "no difference"),
        (((5, 5, 5), (6, 6, 6), (5, 5, 5)), "no difference"),  # one step of a rating is none
        (((4, 4, 5), (8, 8, 8)), "not confirmed"),
        (((2, 2, 2), (8, 8, 8), (4, 4, 4)), "a difference"),  # drifts by 2, far less than 5
    ],
)
def test_a_b_a(day, ratings, verdict):
    numbers = a_b_a(day, *ratings)
    found = trials.compare(day, *numbers)
    assert found.verdict == verdict
    for words in found.words:
        one_sentence(words)
    assert trials.RULE in found.words
    assert (found.again is None) == (len(ratings) < 3)
    backwards = trials.compare(day, *numbers[::-1])
    assert backwards.verdict == "not confirmed"  # B was driven once only


def test_a_from_the_other_end_is_a_as_well(day):
    first, second = a_b_a(day, (4, 4, 5), (8, 8, 8), (4, 5, 5))
    found = trials.compare(day, first, second)
    turned = trials.compare(day, found.again, second)
    assert (turned.again, turned.verdict) == (first, found.verdict)
    assert turned.items[0].effect == found.items[0].effect


@pytest.mark.parametrize(
    ("part", "value", "words"),
    [
        ("driver", "Ben", "driver .Ann, then Ben."),
        ("speed_kmh", 70, "GPS speed in km/h .60, then 70."),
        ("damper_c", 80, "damper-body temperature"),
        ("cold_kpa", {**HOW.cold_kpa, "rear left": 200}, "cold tyre pressures"),
        ("warm", False, "whether the dampers were warm .yes, then no."),
    ],
)
def test_drives_that_were_not_alike_make_it_void(day, part, value, words):
    other = Method(**{**HOW.record(), part: value})
    numbers = a_b_a(day, (4, 4, 4), (8, 8, 8), (4, 4, 4), how=(HOW, other, HOW))
    found = trials.compare(day, *numbers)
    assert found.verdict == "void"
    assert re.search(words, found.words[0])


def test_cautions_name_what_was_not_noted(day):
    bare = Method(passes=2, knew=True, rated_first=False, warm=False)
    numbers = a_b_a(day, (4, 4), (8, 8), (4, 4), how=(bare, bare, bare))
    words = " ".join(trials.compare(day, *numbers).words)
    for said in (
        "Fewer than 3",
        "knew",
        "after data",
        "not warm",
        "Not noted: route, driver, load",
    ):
        assert said in words
    assert words.count("Not noted") == 1
    assert "Drives 2, 4 and 6: Not noted" in words


def test_more_than_one_adjuster_is_said(day):
    rated(day, 4, 4, 4)
    trials.change(day, "front", "rebound", -2)
    trials.change(day, "rear", "rebound", -2, more=True)
    rated(day, 8, 8, 8)
    trials.undo(day, 1)
    rated(day, 4, 4, 4)
    assert "More than one adjuster differs" in " ".join(trials.compare(day, 2, 5).words)


def test_what_cannot_be_compared_gets_one_sentence(day):
    refused(trials.compare, day, 1, 1, match="is no drive; nothing was driven yet")
    first, second = a_b_a(day, (4, 4, 4), (8, 8, 8), (4, 4, 4))
    refused(trials.compare, day, first, first, match="same setting")
    refused(trials.compare, day, first, second + 2, match="same setting")
    trials.change(day, "rear", "rebound", -1)
    silent = trials.drive(day, HOW).number
    refused(trials.compare, day, first, silent, match="share no rating")


def test_no_file_gets_one_sentence_and_none_is_made(tmp_path):
    missing = tmp_path / "trials.jsonl"
    for act, arguments in (
        (trials.history, ()),
        (trials.change, ("front", "rebound", 1)),
        (trials.undo, (1,)),
        (trials.drive, (HOW,)),
    ):
        refused(act, missing, *arguments, match="no test day in it")
    assert list(tmp_path.iterdir()) == []
    refused(trials.history, tmp_path, match="cannot be opened")
    (tmp_path / "other.jsonl").write_text('{"format": "dampinglab progress 1"}\n')
    refused(trials.history, tmp_path / "other.jsonl", match="as found")


def test_a_newer_file_is_neither_read_nor_written(day):
    with day.open("a") as file:
        file.write('{"format": "dampinglab trials 2"}\n')
    before = day.read_bytes()
    for act, arguments in ((trials.history, ()), (trials.change, ("rear", "rebound", 1))):
        refused(act, day, *arguments, match="newer version")
    assert day.read_bytes() == before


def test_a_torn_line_costs_that_line_only(day):
    trials.change(day, "rear", "rebound", -1)
    whole = day.read_bytes()
    trials.change(day, "rear", "rebound", -1)
    longer = day.read_bytes()
    for end in range(len(whole) + 1, len(longer) - 1):
        day.write_bytes(longer[:end])
        read = trials.history(day)
        assert (len(read.entries), len(read.complaints)) == (2, 1)
        assert read.setting["rear left"]["rebound"] == 11
    entry = trials.change(day, "rear", "rebound", -2)
    assert entry.setting["rear left"]["rebound"] == 9


def test_two_notebooks_at_once_turn_the_same_knob_in_turn(day):
    """Each change starts from what the other one wrote, never from an older setting."""
    workers = [
        threading.Thread(
            target=lambda: [trials.change(day, "rear", "rebound", -1) for _ in range(5)]
        )
        for _ in range(2)
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    read = trials.history(day)
    assert read.setting["rear left"]["rebound"] == 2
    assert [entry.number for entry in read.entries] == list(range(1, 12))


ACTS = {
    "change": lambda day: trials.change(day, "rear", "rebound", -1),
    "drive": lambda day: rated(day, 6, 6, 6),
    "scores": lambda day: trials.add_scores(day, 2, {"peak in m/s²": 4.0}),
    "undo": lambda day: trials.undo(day, 1),
    "alike": lambda day: trials.set_alike(day, "front", "rebound", 18, "turned by hand"),
}


@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("call", ["write", "half", "fsync", "open"])
def test_a_failure_while_writing_loses_nothing(tmp_path, monkeypatch, act, call):
    day = tmp_path / "trials.jsonl"
    uneven = {**FOUND, "front right": {**FOUND["front right"], "rebound": 16}}
    trials.begin(day, "Demo wagon", TOTALS, uneven)
    rated(day, 5, 5, 5)
    trials.change(day, "rear", "rebound", -2)
    before, read = day.read_bytes(), trials.history(day)
    real, hits = getattr(os, "write" if call == "half" else call), []

    def fails(*arguments, **options):
        hits.append(call)
        if call == "half" and len(arguments[1]) > 1:
            return real(arguments[0], arguments[1][: len(arguments[1]) // 2])
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        if call == "open":
            patch.setattr("pathlib.Path.open", fails)
        else:
            patch.setattr(journal.os, "write" if call == "half" else call, fails)
        refused(ACTS[act], day, match="No space left")
    assert hits
    assert day.read_bytes() == before
    assert trials.history(day) == read
    ACTS[act](day)
    assert len(trials.history(day).entries) == len(read.entries) + 1


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_beginning_that_fails_can_be_tried_again(tmp_path, monkeypatch, call):
    day = tmp_path / "trials.jsonl"

    def fails(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, call, fails)
        refused(trials.begin, day, "x", TOTALS, FOUND, match="No space left")
    assert trials.begin(day, "x", TOTALS, FOUND).setting == FOUND


def records(path):
    return [json.loads(line) for line in path.read_text().splitlines()]


@pytest.fixture(scope="module")
def full_day(tmp_path_factory):
    day = tmp_path_factory.mktemp("day") / "trials.jsonl"
    trials.begin(day, "Demo wagon", TOTALS, FOUND)
    a_b_a(day, (4, 4, 5), (8, 8, 8), (4, 5, 5))
    trials.add_scores(day, 2, {"peak in m/s²": [4.0, 4.1, 4.0]})
    uneven = {**FOUND, "front right": {**FOUND["front right"], "rebound": 16}}
    line = {**records(day)[0], "number": 8, "kind": "undo", "to": 1, "setting": uneven}
    journal.append(day, line)
    trials.set_alike(day, "front", "rebound", 18, "turned by hand")
    return records(day), day.with_name("fuzzed.jsonl")


def survives(path):
    """Read a day in any state: a day that holds together, or one sentence."""
    try:
        day = trials.history(path)
    except FileProblem as problem:
        one_sentence(str(problem))
        return None
    for words in [entry.words for entry in day.entries] + list(day.complaints):
        assert isinstance(words, str)
    for entry in day.entries:
        assert entry.setting.keys() == set(CORNERS)
    drives = [entry.number for entry in day.entries if entry.kind == "drive"]
    for number in drives:
        try:
            trials.compare(path, drives[0], number)
        except LearnerError as problem:
            one_sentence(str(problem))
    return day


@settings(max_examples=FUZZ, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_fuzz_a_record_changed_anywhere(full_day, data):
    lines, path = full_day
    row = data.draw(st.integers(0, len(lines) - 1))
    place = data.draw(st.sampled_from(list(all_places(lines[row]))))
    fuzzed = [*lines[:row], put(lines[row], place, data.draw(JSON)), *lines[row + 1 :]]
    path.write_text("".join(json.dumps(line) + "\n" for line in fuzzed))
    before = path.read_bytes()
    day = survives(path)
    if day is not None and row > 0:
        assert len(day.entries) >= len(lines) - 4
    try:
        trials.change(path, "rear", "rebound", -1)
    except LearnerError as problem:
        one_sentence(str(problem))
    assert path.read_bytes().startswith(before)


@settings(max_examples=FUZZ, deadline=None)
@given(data=st.data())
def test_fuzz_bytes_changed_anywhere(full_day, data):
    lines, path = full_day
    whole = "".join(json.dumps(line) + "\n" for line in lines).encode()
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 200)))
    path.write_bytes(whole[:start] + data.draw(st.binary(max_size=12)) + whole[end:])
    survives(path)


def test_a_number_from_nowhere_does_not_block_the_next_record(day):
    line = {**records(day)[0], "kind": "undo", "to": 1}
    for number in (10**9, 1, 0, None):
        journal.append(day, {**line, "number": number})
    assert trials.change(day, "rear", "rebound", -1).number == 2
    read = trials.history(day)
    assert (len(read.entries), len(read.complaints)) == (2, 4)


def test_brackets_without_end_are_a_torn_line(day):
    with day.open("a") as file:
        file.write("[" * 100_000 + "\n")
        file.write('{"format": "dampinglab trials ' + "0" * 5000 + '"}\n')
    assert len(trials.history(day).complaints) == 2
    trials.change(day, "rear", "rebound", -1)
