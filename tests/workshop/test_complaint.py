"""The catalogue: every complaint of the job, how it is found, and how far a click goes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dampinglab.errors import LearnerError
from dampinglab.workshop.complaint import (
    ANSWERS,
    COMPLAINTS,
    find,
    first_step,
    fitting,
    next_step,
    table,
    way,
)

NO_CLICK = {"wander", "crosswind", "sway", "knock", "hiss", "bad hot", "one side"}
# What the trade turns, in the words of the physics page: more is closed.
TRADE = {
    "stop, slow": ("low-speed bump", True),
    "stop, hard": ("high-speed bump", True),
    "leans fast": ("low-speed bump", True),
    "nose dive": ("low-speed bump", True),
    "floats": ("rebound", True),
    "sharp, small": ("low-speed bump", False),
    "sharp, big": ("high-speed bump", False),
    "into a hole": ("rebound", False),
    "edge of a hole": ("high-speed bump", False),
    "rear thrown up": ("rebound", True),
    "all thrown up": ("rebound", True),
    "sinks": ("rebound", False),
    "axle tramp": ("rebound", True),
    "brake hop": ("rebound", False),
    "porpoise": ("rebound", True),
    "top-out": ("rebound", True),
}


def test_each_complaint_has_the_trades_first_remedy_or_none():
    first = {key: each.remedies[0] for key, each in COMPLAINTS.items() if each.remedies}
    assert {key: (r.adjuster, r.more) for key, r in first.items()} == TRADE
    assert set(COMPLAINTS) - set(first) == NO_CLICK


@pytest.mark.parametrize("each", COMPLAINTS.values(), ids=list(COMPLAINTS))
def test_each_says_what_to_look_at_why_and_what_it_costs(each):
    assert each.instead.endswith(".")
    assert bool(each.remedies) == bool(each.shown) == ("o click cures this" not in each.instead)
    assert each.stops == each.instead.startswith("Stop, do not drive")
    for remedy in each.remedies:
        assert all(words.endswith(".") for words in (remedy.why, remedy.price, remedy.overdone))
        assert ("rear may step out" in remedy.warning) == remedy.more


def test_every_answer_leads_somewhere_and_every_complaint_is_found_by_its_own_answers():
    assert find() == tuple(COMPLAINTS)
    for name, answers in ANSWERS.items():
        for answer in answers:
            assert find(**{name: answer})
    for key, each in COMPLAINTS.items():
        own = {name: getattr(each, name)[0] for name in ANSWERS if getattr(each, name)}
        assert key in find(**own)


def test_answers_narrow():
    assert find(when="during", where="rear", pace="slow", load="empty") == (
        "stop, slow",
        "leans fast",
        "bad hot",
    )
    assert find(load="trailer")[:2] == ("porpoise", "sway")
    assert find(heat="hot")[0] == "bad hot"
    assert find(heat="hot", when="during", where="one side", pace="fast")[0] == "bad hot"
    assert "sway" not in find(load="loaded")
    assert "bad hot" not in find(heat="cold")
    assert "one side" in find(where="one side")
    assert "sharp, big" not in find(where="one side")


def test_an_answer_that_does_not_exist_gets_one_sentence():
    with pytest.raises(LearnerError, match="'reer' is no answer to 'where'; perhaps you meant"):
        find(where="reer")


@given(st.integers(1, 200))
def test_steps_learn_the_way_then_halve_to_a_last_trim(total):
    step = first_step(total)
    assert 1 <= step <= total
    assert abs(step - total / 5) <= 1
    while step > 1:
        step, last = next_step(step), step
        assert step == last // 2
    assert next_step(step) == 1


def test_each_kind_of_damper_gets_what_it_has():
    kinds = {
        ("low-speed bump", "high-speed bump", "rebound"): TRADES_THREE,
        ("bump", "rebound"): ("bump", "bump", "rebound"),
        ("rebound",): (None, None, "rebound"),
        ("bump and rebound",): ("bump and rebound",) * 3,
        (): (None, None, None),
    }
    for there, want in kinds.items():
        assert tuple(fitting(name, there) for name in TRADES_THREE) == want


TRADES_THREE = ("low-speed bump", "high-speed bump", "rebound")


def test_the_table_has_a_row_for_each_remedy_and_no_hole():
    rows = table()
    assert len(rows) == sum(max(1, len(each.remedies)) for each in COMPLAINTS.values())
    assert {each.words for each in COMPLAINTS.values()} == {row["Complaint"] for row in rows}
    assert all(row.keys() == rows[0].keys() for row in rows)
    sway = next(row for row in rows if "sways" in row["Complaint"])
    assert sway["Turn"] == "no click cures this"
    dive = [row["Turn"] for row in rows if "nose dives" in row["Complaint"]]
    assert dive == [f"front low-speed bump, {way(True)}", f"rear rebound, {way(True)}"]
