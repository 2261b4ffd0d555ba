"""An exercise's id stands in learners' files for ever."""

from pathlib import Path

from dampinglab.course import bank

IDS = Path(__file__).with_name("permanent_ids.txt")


def test_no_id_goes_and_none_is_new_without_being_listed():
    listed = IDS.read_text("utf-8").split()
    assert len(set(listed)) == len(listed)
    assert sorted(bank.exercises()) == sorted(listed), "new ones: run .ci/stamp; old ones stay"
