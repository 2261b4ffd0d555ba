"""The demo workshop, and the learner's own copy of its sheets."""

import pytest

from dampinglab.data import dataset
from dampinglab.errors import LearnerError
from dampinglab.workshop import demo


def test_a_sheet_that_the_learner_changed_is_read_as_it_is_now(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert demo.own_sheet("wagon") == demo.vehicle("wagon")
    own = tmp_path / "demo" / "vehicles" / "wagon.toml"
    own.parent.mkdir(parents=True)
    text = dataset("vehicles/wagon.toml").read_text(encoding="utf-8")
    for rate in (72, 50):
        changed = text.replace("wheel_rate_N_per_mm = 36", f"wheel_rate_N_per_mm = {rate}")
        own.write_text(changed, encoding="utf-8")
        assert demo.own_sheet("wagon").corner("rear").wheel_rate == pytest.approx(1e3 * rate)


def test_an_unknown_vehicle_gets_a_sentence():
    with pytest.raises(LearnerError, match="no data file"):
        demo.own_sheet("truck")


def test_where_demo_dampers_stand_in_the_clicks_of_the_sheet_are_left_and_it_is_said():
    utility = demo.vehicle("utility")
    known, _, told = demo.stand_ins(utility, None)
    assert not [axle for axle in known.axles.values() if axle.as_found or axle.maker]
    assert "each adjuster starts in the middle" in told
    assert known.corner("rear") == utility.corner("rear")
    own = {"front": demo.damper("front", "utility_two_adjuster")}
    assert demo.stand_ins(utility, own) == (utility, own, f"{utility.name}.")
    assert "the middle" not in demo.stand_ins(None, None)[2]
