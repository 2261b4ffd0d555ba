"""A class's progress files: who did what, what is hard; hostile files in a line each."""

import csv
import io
import json
import os
import unicodedata
from datetime import datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dampinglab.course import bank, class_tables, classroom, progress, words

FUZZ = 2000 if os.environ.get("DAMPINGLAB_LONG") == "1" else 200


def typed(name, right=True, seed=None):
    task = bank.exercises()[name].task(seed)
    return words.written(task, task.answer if right else task.slips[0].answer)


def line(name, raw, seed=None, **more):
    made = {"format": progress.FORMAT, "when": "2030-05-06T07:08:09+00:00", "exercise": name}
    return json.dumps({**made, "outcome": "wrong", "raw": raw, "seed": seed, **more}) + "\n"


def give(folder, name, *lines, file=None):
    path = folder / (file or f"{name}/progress.jsonl")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("".join(lines), "utf-8")
    return path


@pytest.fixture
def group(tmp_path):
    slip, right = typed("1.1", False), typed("1.1")
    give(tmp_path, "anna", line("1.1", slip), line("1.1", right), line("1.2", typed("1.2")))
    give(tmp_path, "bo", line("1.1", slip), file="bo.jsonl")
    practised = [line("1.1", typed("1.1", ok, seed), seed) for seed, ok in ((5, 1), (6, 0))]
    give(
        tmp_path, "cy", line("1.1", right), *practised, file="cy/dampinglab-workbook/progress.jsonl"
    )
    return classroom.read_class(tmp_path)


def test_who_did_what(group):
    assert group.complaints == ()
    states = {one.name: (one.state("1.1"), one.state("1.2")) for one in group.learners}
    assert states == {"anna": (2, 3), "bo": (1, 0), "cy": (3, 0)}
    told = class_tables.text(group)
    assert "  anna    2/8       3         0  2030-05-06" in told
    assert "  cy      1/8       1         2  2030-05-06" in told


def test_of_exercises_that_nobody_had_at_once_those_that_stayed_wrong_come_first(tmp_path):
    for name in ("anna", "bo"):
        later = [line("1.1", typed("1.1", ok)) for ok in (False, True)]
        give(tmp_path, name, *later, line("1.2", typed("1.2", False)))
    told = [(one.exercise, one.at_once) for one in classroom.items(classroom.read_class(tmp_path))]
    assert told == [("1.2", 0), ("1.1", 0)]


def test_difficulty_and_the_commonest_slip(group):
    first, second = classroom.items(group)
    assert (first.exercise, first.tried, first.done, first.at_once) == ("1.1", 3, 2, 1)
    assert (first.slip, first.slips) == (bank.exercises()["1.1"].task().slips[0].says, 2)
    assert (second.exercise, second.share, second.slip) == ("1.2", 1.0, "")
    told = class_tables.text(group)
    assert "1 of 3   1 right later, 1 not yet" in told
    assert second.exercise not in told.partition("Hardest first")[2]  # all were right at once
    assert f"2 were told: {first.slip}" in " ".join(told.replace("**", "").split())
    assert "7 answers are judged otherwise now than when recorded" in told


def evening(start, wait, order=1):
    """Return lesson 02 answered, right or wrong, after as many minutes each; the clock may jump."""
    names = class_tables.by_lesson()["02"]
    times = [datetime(2030, 5, 6, 18) + timedelta(minutes=start + wait * i)
             for i in range(len(names))]  # fmt: skip
    return [
        line(name, typed(name, right=i % 2), when=f"{when:%Y-%m-%dT%H:%M:%S}+00:00")
        for i, (name, when) in enumerate(zip(names, times[::order], strict=True))
    ]


def test_minutes_are_measured_from_answer_to_answer(tmp_path):
    before = line("1.1", "5", when="2030-05-06T18:00:00+00:00")
    count = len(class_tables.by_lesson()["02"])
    give(tmp_path, "anna", before, *evening(6, 3))  # 6 minutes read before the first answer
    give(tmp_path, "bo", before, *evening(30, 2))  # a pause before it
    give(tmp_path, "cy", before, *evening(6, 5, order=-1))  # a clock that went backwards
    give(tmp_path, "dee", *evening(6, 1)[:-1])  # one exercise not tried
    give(tmp_path, "eli", *(line(name, "5", when="?") for name in class_tables.by_lesson()["02"]))
    group = classroom.read_class(tmp_path)
    took = {one.name: one.minutes(class_tables.by_lesson()["02"]) for one in group.learners}
    assert took == {"anna": 6 + 3 * (count - 1), "bo": 2 * (count - 1),
                    "cy": 6 + 5 * (count - 1), "dee": None, "eli": None}  # fmt: skip
    told = " ".join(class_tables.text(group).split())
    assert "pauses over 20 left out" in told
    assert "02 36 20 to 56 3 learners the lesson says 40" in told


def rows(group):
    return list(csv.DictReader(io.StringIO(class_tables.as_csv(group))))


def test_the_table_has_a_row_for_each_learner_and_exercise(group):
    found = {(row["learner"], row["exercise"]): row for row in rows(group)}
    assert set(found) == {
        (n, f"exercise {e}")
        for n, e in (("anna", "1.1"), ("anna", "1.2"), ("bo", "1.1"), ("cy", "1.1"))
    }
    one = found["cy", "exercise 1.1"]
    assert one["state"] == "right at the first try"
    assert (one["tries"], one["practice tried"], one["practice right"]) == ("1", "2", "1")
    assert found["bo", "exercise 1.1"]["slips"] == bank.exercises()["1.1"].task().slips[0].name


@pytest.mark.parametrize("start", ["=", "+", "-", "@", " =", "＝"])
def test_no_cell_of_the_table_can_be_run(tmp_path, start):
    give(tmp_path, f'{start}HYPERLINK("x")', line("1.1", "5"))
    (row,) = rows(classroom.read_class(tmp_path))
    assert row["learner"] == f'\'{start}HYPERLINK("x")'


def test_a_file_that_stands_there_twice_counts_once(tmp_path):
    for place in ("anna/progress.jsonl", "anna/copy/progress.jsonl"):
        give(tmp_path, "", line("1.1", "5"), file=place)
    (learner,) = classroom.read_class(tmp_path).learners
    assert len(learner.answers) == 1


def hostile(folder):
    """Write one bad file a learner; return what must be said of each."""
    outside = folder.parent / "outside.jsonl"
    outside.write_text(line("1.1", "5"))
    (folder / "link.jsonl").symlink_to(outside)
    (folder / "linked").symlink_to(folder.parent / "elsewhere")
    give(folder.parent, "", line("1.1", "5"), file="elsewhere/progress.jsonl")
    (folder / "ring.jsonl").symlink_to(folder / "ring.jsonl")
    (folder / "gone.jsonl").symlink_to(folder / "nowhere")
    os.mkfifo(folder / "pipe.jsonl")
    (folder / "folder.jsonl").mkdir()
    (folder / "binary.jsonl").write_bytes(bytes(range(256)) * 40)
    (folder / "wide.jsonl").write_bytes(line("1.1", "5").encode("utf-16"))
    (folder / "deep.jsonl").write_text("[" * 100_000)
    (folder / "digits.jsonl").write_text('{"seed": ' + "9" * 5000 + "}")
    (folder / "large.jsonl").write_bytes(b"x" * (classroom.LARGEST + 1))
    give(
        folder,
        "",
        line("1.1", "5"),
        line("1.1", "5", format="dampinglab progress 12"),
        line("1.1", "5", format="somebody's progress 99"),
        line("1.1", "5", format=1),
        file="new.jsonl",
    )
    give(folder, "", line("1.1", "5"), '{"torn', file="torn.jsonl")
    return {
        "link": "leads out of the folder",
        "linked": "leads out of the folder",
        "ring": "",
        "gone": "",
        "pipe": "no ordinary file",
        "folder": "no ordinary file",
        "binary": "holds no answer",
        "wide": "holds no answer",
        "deep": "holds no answer",
        "digits": "holds no answer",
        "large": "more than 5 MB",
        "new": "wrote 1 of its lines; update this one. 2 of its lines are no answer",
        "torn": "1 of its lines is no answer",
    }


def test_damaged_and_hostile_files_get_a_line_each(tmp_path):
    folder = tmp_path / "class"
    folder.mkdir()
    wanted = hostile(folder)
    group = classroom.read_class(folder)
    assert [learner.name for learner in group.learners] == ["new", "torn"]
    assert len(group.complaints) == len(wanted)
    for name, says in wanted.items():
        (said,) = [
            one for one in group.complaints if one.partition(".")[0].partition("/")[0] == name
        ]
        assert says in said
        assert "\n" not in said


def test_a_name_cannot_act_on_the_screen(tmp_path):
    give(tmp_path, "a\x1b[2J\u202eb\nc" + "d" * 60, line("1.1", "5"))
    give(tmp_path, os.fsdecode(b"\xff"), line("1.1", "5"))
    told = class_tables.text(classroom.read_class(tmp_path))
    assert "a?[2J?b?c" in told
    assert all(unicodedata.category(c)[0] != "C" for c in told if c != "\n")
    assert max(map(len, told.splitlines())) < 110
    told.encode()


# Lines like ours with anything in them, and bytes like nobody's.
ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: (
        st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=5), inner, max_size=2)
    ),
    max_leaves=4,
)
IDS = st.sampled_from(list(bank.exercises()))
TYPED = st.text("0123456789.,/ -+eE'\"NmkgHzs²·%abc…()", max_size=30) | st.text(max_size=210)
RECORD = st.fixed_dictionaries(
    {"format": st.just(progress.FORMAT) | ANY, "exercise": IDS | ANY, "raw": TYPED | ANY},
    optional={"seed": st.none() | st.integers(0, 9) | ANY, "when": ANY, "outcome": ANY},
)
LINES = st.lists(RECORD.map(json.dumps).map(str.encode) | st.binary(max_size=40), max_size=5)


@settings(max_examples=FUZZ, deadline=None)
@given(st.lists(LINES.map(b"\n".join), min_size=1, max_size=3))
def test_fuzz_no_file_stops_the_class(files):
    with TemporaryDirectory() as place:
        for number, data in enumerate(files):
            Path(place, f"{number}.jsonl").write_bytes(data)
        group = classroom.read_class(Path(place))
        told = class_tables.text(group)
        assert len(group.complaints) <= len(files)
        assert all("\n" not in one for one in group.complaints)
        given_ = sum(len(one.answers) for one in group.learners)
        assert len(rows(group)) <= given_
        assert told.encode()
