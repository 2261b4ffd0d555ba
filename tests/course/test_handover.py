"""The handover job: its draw, its physics, its file, its score."""

import json
import os
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab import journal
from dampinglab.course import handover_draw
from dampinglab.course.handover import FORMAT, Job
from dampinglab.course.handover_draw import Case, draw
from dampinglab.course.handover_limits import ALLOWANCE, WATCHED, beyond, limits
from dampinglab.course.handover_looks import MINUTES, failed, look
from dampinglab.course.handover_moves import MOVES, PASSES, REASONS
from dampinglab.course.handover_parts import KINDS, Fault, Patient, part, true_scores
from dampinglab.course.handover_score import MOST, NOTHING
from dampinglab.course.handover_words import PHRASES, ROWS, customer, driver
from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.gates import GATES

CASES = 2000 if os.environ.get("DAMPINGLAB_LONG") == "1" else 40
CONTENT = ((9, 5, 12), (9, 5, 12), (9, 5, 12), (9, 5, 12))
UTILITY = ((6, 10),) * 4
BASIC = set(GATES) - {"sides"}


@pytest.fixture
def case(monkeypatch):
    """Make every seed draw a case of the test's own."""

    def give(faults=(), clicks=CONTENT, name="wagon", load=None, mistaken=None):
        content = CONTENT if name == "wagon" else UTILITY
        found = Patient(name, load, tuple(faults), clicks if name == "wagon" else content)
        made = Case(1, found, content, mistaken)
        monkeypatch.setattr("dampinglab.course.handover.draw", lambda _seed: made)
        return made

    return give


def wagon(*faults, clicks=CONTENT, load=None):
    return Patient("wagon", load, faults, clicks)


# The draw


@pytest.mark.parametrize("first", [1, -11])
def test_twelve_in_a_row_hold_every_sort_of_job(first):
    cases = [draw(seed) for seed in range(first, first + 12)]
    found = [failed(case.found) & BASIC for case in cases]
    assert sum(map(bool, found)) >= 3
    kinds = [fault.kind for case in cases for fault in case.found.faults]
    assert sum("spring" in kind or "load" in kind for kind in kinds) >= 2
    assert sum(not KINDS[kind].mends for kind in kinds) == 1
    assert sum(case.found == case.healthy for case in cases) == 1
    assert sum(case.mistaken is not None for case in cases) == 2
    assert {case.mistaken for case in cases} == {None, "axle", "cause"}
    by_clicks = [c for c in cases if not c.found.faults and c.found != c.healthy]
    assert len(by_clicks) == 4
    assert sum("sides" in failed(case.found) for case in cases) == 1


def test_the_same_seed_draws_the_same_job_and_a_healthy_vehicle_fails_no_check():
    handover_draw.draw.cache_clear()
    again = draw(5)
    handover_draw.draw.cache_clear()
    assert again == draw(5)
    for seed in range(40, 46):
        assert failed(draw(seed).healthy) == set()


def test_a_job_by_clicks_alone_shows_in_a_score():
    for seed in range(1, 13):
        drawn = draw(seed)
        if not drawn.found.faults and not failed(drawn.found) and drawn.found != drawn.healthy:
            off = beyond(true_scores(drawn.found), true_scores(drawn.healthy))
            assert max(off.values()) > 1


# The physics


SIZES = {"too much load": 120.0, "load that stays": 120.0}


@pytest.mark.parametrize("kind", list(KINDS))
def test_a_fault_changes_the_physics_shows_at_its_checks_and_is_gone_when_mended(kind):
    load = "touring" if "load" in kind else None
    hurt = wagon(Fault(kind, (2, 3), SIZES.get(kind, 0.5)), load=load)
    there = set(KINDS[kind].gates) - ({"height"} if kind == "lost gas" else set())
    assert there <= failed(hurt) <= set(KINDS[kind].gates)
    seen = {gate for gate in GATES if not look(hurt, gate, 7).passed}
    assert there <= seen
    if kind != "unsafe":
        before, after = true_scores(hurt.healthy), true_scores(hurt)
        assert any(
            abs(after["rear", i] / before["rear", i] - 1) > 0.005 for i in range(len(WATCHED))
        )
        assert all(after["front", i] == before["front", i] for i in range(len(WATCHED)))


def test_faults_change_what_they_are_named_after():
    sound = part(wagon(), 2)

    def hurt(kind, size=0.5, name="wagon"):
        content = CONTENT if name == "wagon" else UTILITY
        return part(Patient(name, None, (Fault(kind, (2,), size),), content), 2)

    assert hurt("low tyre").corner.tyre_rate < 0.9 * sound.corner.tyre_rate
    assert hurt("low tyre").pressure < 0.8
    assert hurt("bent rod").corner.friction > sound.corner.friction + 200
    cracked = hurt("cracked spring").corner
    assert cracked.wheel_rate > sound.corner.wheel_rate  # a coil that lost its end
    assert sound.corner.bump_gap - cracked.bump_gap > 0.02
    leaf, whole = (
        hurt("cracked spring", name="utility").corner,
        part(Patient("utility", None, (), UTILITY), 2).corner,
    )
    assert leaf.wheel_rate < whole.wheel_rate
    assert leaf.bump_gap < whole.bump_gap
    force = {
        kind: hurt(kind).damper.valve_forces(0.05, [(9, 5, 12)])[0]
        for kind in ("weak damper", "lost gas", "loose mount")
    }
    well = sound.damper.valve_force(0.05, (9, 5, 12))
    assert all(0.2 * well < each < 0.9 * well for each in force.values())
    fast = hurt("loose mount").damper.valve_forces(0.8, [(9, 5, 12)])[0]
    assert fast > 0.98 * sound.damper.valve_force(0.8, (9, 5, 12))  # play costs slow strokes only
    assert hurt("lost gas").corner.bump_gap < sound.corner.bump_gap - 0.005
    assert hurt("no stop").corner.foam_stiffness == 0.1
    assert hurt("too much load", 100).corner.sprung_mass == sound.corner.sprung_mass + 100
    assert (
        hurt("soft spring").corner.bump_gap
        < sound.corner.bump_gap
        < hurt("hard spring").corner.bump_gap
    )


def test_limits_are_healthy_and_a_tenth_or_what_nobody_notices():
    healthy = {("front", 0): 1.0, ("front", 1): 2.0, ("front", 8): -4.0}
    assert limits(healthy) == pytest.approx(
        {("front", 0): 1.0 * (1 + ALLOWANCE), ("front", 1): 2.5, ("front", 8): -1.0}
    )
    off = beyond(limits(healthy), healthy)
    assert all(value == pytest.approx(1) for value in off.values())


def test_every_watched_score_has_its_words_and_every_check_its_minutes():
    assert len(PHRASES) == len(ROWS) == len(WATCHED)
    assert set(MINUTES) == set(GATES)


# The words


def test_words_come_from_the_worst_score_and_a_mistaken_driver_names_the_other_axle(case):
    told = case(clicks=((9, 5, 24),) * 2 + ((9, 5, 12),) * 2)
    off = beyond(true_scores(told.found), true_scores(told.healthy))
    axle, place = max(off, key=off.get)
    assert axle == "front"
    assert f"the front {PHRASES[place]}" in customer(told)
    assert f"the rear {PHRASES[place]}" in customer(replace(told, mistaken="axle"))
    blamed = customer(replace(told, mistaken="cause"))
    assert "A friend is sure" in blamed
    assert "is the rebound" not in blamed
    assert driver(off).startswith(f"Worst first: the front {PHRASES[place]}")


def test_a_customer_without_a_complaint_may_have_a_sound_vehicle_or_not(case):
    sound, hose = case(), case([Fault("unsafe", (0,), 0.5)])
    said = [{customer(replace(each, seed=n)) for n in range(20)} for each in (sound, hose)]
    assert said[0] == said[1]
    assert len(said[0]) == 2


def test_nothing_that_a_learner_opens_names_what_is_wrong(tmp_path):
    for seed in (2, 6, 12):
        job = Job(seed, tmp_path)
        for gate in GATES:
            job.look(gate)
        told = " ".join([repr(job), str(vars(job)["_case"]), job.words, str(job.history)])
        told += (tmp_path / "handover.jsonl").read_text()
        for name, kind in KINDS.items():
            assert kind.cause not in told
            assert name in GATES or name not in told
        assert job.score is None
        with pytest.raises(LearnerError, match="Hand the vehicle back"):
            job.before_after()
    assert not any("content" in line for line in told.splitlines())


# The moves


def test_one_change_at_a_time_counted_first_and_undone(case, tmp_path):
    case()
    job = Job(1, tmp_path)
    assert job.clicks is None
    with pytest.raises(LearnerError, match="Count the clicks"):
        job.turn("front", "rebound", 2)
    job.look("sides")
    job.turn("front", "Rebound", -2)
    assert job.clicks[0] == job.clicks[1] == (9, 5, 10)
    with pytest.raises(LearnerError, match="One change at a time"):
        job.turn("rear", "rebound", 2)
    job.undo()
    assert job.clicks == CONTENT
    job.turn("rear", "low-speed bump", 9)
    with pytest.raises(LearnerError, match="One change"):
        job.turn("rear", "low-speed bump", 1)
    job.drive()
    with pytest.raises(LearnerError, match="18 clicks out of 18; it can be turned 0 out or 18 in"):
        job.turn("rear", "low-speed bump", 1)
    with pytest.raises(LearnerError, match="no axle"):
        job.turn("middle", "rebound", 1)
    with pytest.raises(LearnerError, match="no adjuster 'bump'"):
        job.turn("rear", "bump", 1)
    with pytest.raises(LearnerError, match="no clicks"):
        job.turn("rear", "rebound", 0)
    with pytest.raises(LearnerError, match="no check 'sidez'"):
        job.look("sidez")


def test_sides_that_differ_are_set_alike_before_they_are_turned(case, tmp_path):
    case(clicks=((9, 5, 12), (9, 5, 20), *CONTENT[2:]))
    job = Job(1, tmp_path)
    assert not job.look("sides").passed
    with pytest.raises(LearnerError, match="12 clicks out on the left and 20 on the right"):
        job.turn("front", "rebound", 1)
    job.mend("sides")
    assert job.clicks[0] == job.clicks[1] == (9, 5, 16)
    assert job.look("sides").passed


def test_what_must_not_be_driven_is_not_until_it_is_mended(case, tmp_path):
    case([Fault("cracked spring", (3,), 0.5)])
    job = Job(1, tmp_path)
    assert not job.look("spring").passed
    with pytest.raises(LearnerError, match="Stop, do not drive"):
        job.drive()
    with pytest.raises(LearnerError, match="Stop, do not drive"):
        next(job.driving())
    assert job.mend("height") == "Found: a cracked spring, rear right. Springs of the axle renewed."
    assert job.look("height").passed
    assert len(job.drive().scores) == 2 * len(WATCHED)


def test_passes_scatter_alike_for_everybody_and_unlike_from_drive_to_drive(case, tmp_path):
    case()
    one, two = Job(1, tmp_path / "a"), Job(1, tmp_path / "b")
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
    first, *_, last = list(one.driving())
    assert (first, last) == ((1, 4), (4, 4))
    passes = [one.drives[0].passes["front"], two.drive().passes["front"]]
    assert (passes[0] == passes[1]).all()
    assert passes[0].shape == (len(WATCHED), PASSES)
    assert (one.drive().passes["front"] != passes[0]).any()
    truth, mean = true_scores(wagon()), one.drives[0].scores
    assert all(mean[key] == pytest.approx(truth[key], rel=0.06, abs=0.6) for key in truth)
    assert any(mean[key] != pytest.approx(truth[key], rel=1e-4) for key in truth)


# The end


def handed(tmp_path, *moves, reasons=None, refuse=None):
    job = Job(1, tmp_path)
    for name, *values in moves:
        getattr(job, name)(*values)
    return job.refuse(refuse, reasons) if refuse else job.hand_back(reasons)


def looks(upto=None):
    keys = list(GATES)
    return [("look", key) for key in keys[: keys.index(upto) + 1 if upto else None]]


def test_a_vehicle_that_must_not_go_back_is_rightly_refused_and_only_that(case, tmp_path):
    case([Fault("load that stays", (2, 3), 120.0)], load="touring")
    score = handed(tmp_path, *looks("mass"), ("mend", "mass"), refuse="mass")
    assert score.good
    assert score.points["result"] == MOST["result"]
    assert score.points["evidence"] == MOST["evidence"]
    assert "all of it needed, rear left and rear right" in score.cause
    case([Fault("weak damper", (0,), 0.5)])
    other = Job(2, tmp_path)
    other.look("leaks")
    assert "could have mended" in other.refuse("leaks").words["result"]
    case()
    assert "nothing is wrong there" in Job(4, tmp_path).refuse("leaks").words["result"]
    case([Fault("unsafe", (0,), 0.5)])
    third = Job(3, tmp_path)
    score = third.hand_back()
    assert "had to be refused" in score.words["result"]
    assert not score.good


def test_a_refused_vehicle_is_not_asked_for_a_drive_that_it_must_not_make(case, tmp_path):
    case([Fault("unsafe", (0,), 0.5)], clicks=((9, 5, 12),) * 2 + ((9, 5, 24),) * 2)
    rest = [("look", gate) for gate in GATES if gate != "unsafe"]
    moves = [*rest, ("drive",), ("turn", "rear", "rebound", -12), ("look", "unsafe")]
    with pytest.raises(LearnerError, match="do not drive"):
        handed(tmp_path, *moves, ("drive",))
    late = Job(1, tmp_path).refuse("unsafe")
    assert late.good
    assert "A-B-A" not in late.words["evidence"]
    (tmp_path / "in order").mkdir()
    turned = [*looks("unsafe"), *rest, ("turn", "rear", "rebound", -12)]
    first = handed(tmp_path / "in order", *turned, refuse="unsafe")
    assert first.points["evidence"] == MOST["evidence"]


def test_a_job_well_done_has_all_points_but_for_time(case, tmp_path):
    case([Fault("weak damper", (0,), 0.5)], clicks=((9, 5, 12),) * 2 + ((9, 5, 24),) * 2)
    old = true_scores(
        wagon(Fault("weak damper", (0,), 0.5), clicks=((9, 5, 12),) * 2 + ((9, 5, 24),) * 2)
    )
    off = beyond(old, true_scores(wagon()))
    felt = ROWS[max(off, key=off.get)[1]]
    new = {key: -off[key] for key in off}
    lost = max(new, key=new.get)
    reasons = {
        "felt": felt,
        "changed": "clicks, and part, tyre or load",
        "given up": ROWS[lost[1]],
        "not fixed": NOTHING,
    }
    trials = [
        ("drive",),
        ("turn", "rear", "rebound", -12),
        ("drive",),
        ("undo",),
        ("drive",),
        ("turn", "rear", "rebound", -12),
        ("drive",),
    ]
    mended = [("mend", "leaks"), *trials]
    score = handed(tmp_path, *looks(), *mended, reasons=reasons)
    assert score.good
    assert score.points == MOST
    assert score.total == 100
    assert "rear rebound at 24 clicks out, where 12 had been good" in score.cause


def test_each_topic_loses_points_for_its_own_reason(case, tmp_path):
    case(clicks=((9, 5, 12),) * 2 + ((9, 5, 24),) * 2)
    score = handed(tmp_path, ("look", "sides"), ("turn", "rear", "rebound", -12), ("mend", "gas"))
    assert score.good  # for the clicks stand as they should
    assert score.points["evidence"] == 0
    assert score.points["reasons"] == 0
    assert "what was changed (clicks)" in score.words["reasons"]
    assert "Mended for nothing: 1" in score.words["work"]
    case(clicks=((9, 5, 12),) * 2 + ((9, 5, 24),) * 2)
    job = Job(4, tmp_path)
    score = job.hand_back()
    assert score.words["result"].startswith("Handed back outside its limits. Worst first: the rear")
    with pytest.raises(LearnerError, match="This job is over"):
        job.drive()
    before, after = job.before_after()
    assert before == after
    case()
    early, late = Job(7, tmp_path), Job(8, tmp_path)
    for gate in GATES:
        early.look(gate)
    for job in (early, late):
        job.drive()
    for gate in GATES:
        late.look(gate)
    assert early.hand_back().points["evidence"] == MOST["evidence"]
    assert "Missing: every check before" in late.hand_back().words["evidence"]
    blind = Job(9, tmp_path).hand_back()  # a sound vehicle, handed back unseen
    assert blind.good
    assert blind.points["work"] == 0
    assert "does not count" in blind.words["work"]
    case([Fault("low tyre", (0, 1), 0.5)])
    assert "check still failed: pressure" in Job(5, tmp_path).hand_back().words["result"]
    with pytest.raises(LearnerError, match="Give the reasons by"):
        Job(6, tmp_path).hand_back({"why": "x"})


# The file


def test_a_job_goes_on_after_a_restart_and_can_begin_again(case, tmp_path):
    case([Fault("weak damper", (0,), 0.5)])
    job = Job(1, tmp_path)
    job.look("leaks")
    job.mend("leaks")
    job.drive()
    Job(2, tmp_path).look("sides")
    later = Job(1, tmp_path)
    assert (later.stand, later.moves) == (job.stand, job.moves)
    assert later.drives[0].off == job.drives[0].off
    fresh = Job(1, tmp_path, again=True)
    assert fresh.moves == []
    assert Job(1, tmp_path).moves == []
    assert Job(2, tmp_path).clicks is not None
    records = [json.loads(line) for line in (tmp_path / "handover.jsonl").read_text().splitlines()]
    assert [record["do"] for record in records] == ["look", "mend", "drive", "look", "start"]
    assert all(record["format"] == FORMAT for record in records)


def test_a_damaged_or_newer_file_is_told_in_a_sentence_and_nothing_is_lost(case, tmp_path):
    case()
    path = tmp_path / "handover.jsonl"
    Job(1, tmp_path).look("gas")
    with path.open("a") as file:
        file.write('{"format": "dampinglab handover 1", "seed": 1, "do": "drive", "scores": 3}\n')
        file.write('{"format": "something else 1"}\n{"format": "dampinglab handover 1", "se')
    job = Job(1, tmp_path)
    assert [move["do"] for move in job.moves] == ["look"]
    assert len(job.complaints) == 3
    job.look("rod")
    assert [move["do"] for move in Job(1, tmp_path).moves] == ["look", "look"]
    journal.append(path, {"format": "dampinglab handover 2"})
    held = path.read_text()
    newer = Job(1, tmp_path)
    with pytest.raises(FileProblem, match="newer version"):
        newer.look("rod")
    assert path.read_text() == held
    assert len(newer.moves) == 2


def test_what_cannot_be_written_has_not_happened(case, tmp_path):
    case()
    job = Job(1, tmp_path / "nowhere")
    with pytest.raises(FileProblem):
        job.look("gas")
    assert job.moves == []
    assert job.stand.minutes == 0


FIELDS = ("gate", "passed", "seen", "told", "scores", "axle", "adjuster", "by", "reasons")
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from([*GATES, *REASONS, "front", "rear", "rebound"]),
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4)
    ),
    max_leaves=8,
)
RECORDS = st.fixed_dictionaries(
    {"format": st.just(FORMAT), "seed": st.just(1), "do": st.sampled_from([*MOVES, "start", 3])},
    optional=dict.fromkeys(FIELDS, VALUES),
)
LINES = RECORDS.map(lambda record: json.dumps(record).encode()) | st.binary(max_size=40)


@settings(max_examples=CASES, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(LINES, max_size=8))
def test_fuzz_a_job_is_read_from_any_file(tmp_path_factory, lines):
    folder = tmp_path_factory.mktemp("fuzz")
    (folder / "handover.jsonl").write_bytes(b"\n".join(lines))
    job = Job(3, folder)
    job.seed = 1
    job._begin()
    job._resume()
    assert all(told for told in job.history)
    assert job.stand.over == (job.score is not None)
