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
