"""Whatever stands in a learner's file, a reader reads it or answers in a sentence; a long proof."""

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab.data import dataset
from dampinglab.errors import LearnerError
from dampinglab.workshop.bounce import read_bounce
from dampinglab.workshop.dyno import read_dyno
from dampinglab.workshop.loop import read_loop
from dampinglab.workshop.record import read_record
from dampinglab.workshop.sheet import read_ratings, read_vehicle
from dampinglab.workshop.travel_log import read_travel_log

LONG = os.environ.get("DAMPINGLAB_LONG") == "1"
READERS = {
    "vehicles/wagon.toml": lambda path: (read_vehicle(path), read_ratings(path)),
    "dyno/utility_two_adjuster.csv": read_dyno,
    "bounce/good_corner.csv": lambda path: read_bounce(read_record(path)),
    "travel/street.csv": read_travel_log,
    "stand/front_sine.csv": read_loop,
}
PIECES = st.one_of(
    st.binary(max_size=6),
    st.sampled_from([b",", b";", b"nan", b"-1", b"1e308", b"\n", b'"', b"=", b"[", b"mm", b"\xff"]),
)


@pytest.mark.skipif(not LONG, reason="a long proof: .ci/long runs it")
@pytest.mark.parametrize("name", READERS)
def test_fuzz_a_file_changed_anywhere(name, tmp_path):
    whole, path = dataset(name).read_bytes(), tmp_path / Path(name).name
    places = st.one_of(st.integers(0, min(400, len(whole))), st.integers(0, len(whole)))

    @settings(max_examples=2000, deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.lists(st.tuples(places, st.integers(0, 12), PIECES), min_size=1, max_size=4))
    def changed(changes):
        data = whole
        for place, left_out, piece in changes:
            data = data[:place] + piece + data[place + left_out :]
        path.write_bytes(data)
        said = ""
        try:
            READERS[name](path)
        except LearnerError as told:
            said = str(told)
        assert "\n" not in said

    changed()
