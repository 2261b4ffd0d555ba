"""The learner's files survive every failure that a disk, a system or a power cut can make."""

import json
import os
import signal
import subprocess
import sys
import time

import pytest

from dampinglab import journal
from dampinglab.errors import FileProblem

ONE = "dampinglab test 1"


def entry(number, kind=ONE):
    return {"format": kind, "number": number, "words": "1,35 Hz\nüµ\u2028"}


def numbers(path):
    return [record["number"] for record in journal.read(path)[0]]


def test_records_come_back_as_they_went_in(tmp_path):
    path = tmp_path / "log.jsonl"
    for number in range(3):
        journal.append(path, entry(number))
    assert journal.read(path) == ([entry(0), entry(1), entry(2)], [])
    assert next(iter(json.loads(path.read_bytes().split(b"\n")[0]))) == "format"


def test_no_file_is_an_empty_one(tmp_path):
    assert journal.read(tmp_path / "none.jsonl") == ([], [])


# What can fail, and after how many good calls. Each must leave every earlier record whole.
FAULTS = [
    ("write", 0),
    ("half a write", 0),
    ("fsync", 0),
    ("fsync", 1),
    ("ftruncate", 0),
    ("open", 0),
    ("replace", 0),
]


@pytest.fixture
def fault(monkeypatch):
    """Make the n-th call of one operation fail as a full disk does; count what was hit."""
    hits = []

    def failing(real, good, half=False):
        left = [good]

        def call(*arguments, **options):
            if left[0]:
                left[0] -= 1
                return real(*arguments, **options)
            hits.append(real.__name__)
            if half and len(arguments[1]) > 1:
                return real(arguments[0], arguments[1][: len(arguments[1]) // 2])
            raise OSError(28, "No space left on device")

        return call

    def arm(name, good):
        half = name == "half a write"
        name = "write" if half else name
        monkeypatch.setattr(journal.os, name, failing(getattr(os, name), good, half))
        if name == "ftruncate":  # taking back a line is only tried when writing it failed
            monkeypatch.setattr(journal.os, "fsync", failing(os.fsync, 0))
        return hits

    yield arm
    monkeypatch.undo()


def complaint(act, *arguments):
    """Return the sentence of a failure, or nothing if it went through all the same."""
    try:
        act(*arguments)
    except FileProblem as problem:
        words = str(problem)
    else:
        return ""
    assert "No space left" in words
    assert "\n" not in words
    return words


@pytest.mark.parametrize(("name", "good"), FAULTS[:5])
@pytest.mark.parametrize("torn", [False, True])
def test_append_loses_nothing_when_a_call_fails(tmp_path, monkeypatch, fault, name, good, torn):
    path = tmp_path / "log.jsonl"
    journal.append(path, entry(0))
    journal.append(path, entry(1))
    if torn:
        with path.open("ab") as file:
            file.write(b'{"format": "damp')
    before = path.read_bytes()
    hits = fault(name, good)
    failed = complaint(journal.append, path, entry(2))
    monkeypatch.undo()
    assert hits or (name, good) == ("fsync", 1)  # the second fsync is only for a new file
    assert path.read_bytes().startswith(before)
    assert numbers(path)[:2] == [0, 1]
    if failed and name in ("write", "fsync"):
        assert path.read_bytes() == before
    journal.append(path, entry(3))
    found = numbers(path)
    assert found[:2] == [0, 1]
    assert found[-1] == 3


def test_a_short_write_is_carried_on(tmp_path, monkeypatch):
    """A system may write part of what it was given and report no error."""
    real = os.write
    monkeypatch.setattr(journal.os, "write", lambda fd, data: real(fd, data[:7]))
    journal.append(tmp_path / "log.jsonl", entry(5))
    monkeypatch.undo()
    assert journal.read(tmp_path / "log.jsonl") == ([entry(5)], [])


@pytest.mark.parametrize(("name", "good"), [FAULTS[0], FAULTS[1], FAULTS[2], FAULTS[3], FAULTS[6]])
def test_replace_leaves_the_old_text_or_the_new(tmp_path, monkeypatch, fault, name, good):
    path = tmp_path / "card.json"
    journal.replace(path, '{"format": "dampinglab card 1", "old": 1}')
    hits = fault(name, good)
    failed = complaint(journal.replace, path, '{"format": "dampinglab card 1", "new": 2}')
    wanted = "old" if failed else "new"
    monkeypatch.undo()
    assert hits
    assert wanted in json.loads(path.read_text())
    assert [found.name for found in tmp_path.iterdir()] == ["card.json"]


def test_replace_keeps_a_link_a_link(tmp_path):
    real, link = tmp_path / "real.json", tmp_path / "card.json"
    real.write_text("old")
    link.symlink_to(real)
    journal.replace(link, "new")
    assert link.is_symlink()
    assert real.read_text() == "new"


LIMITED = """
import resource, signal, sys
from dampinglab import journal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
written = 0
try:
    for number in range(100):
        journal.append(sys.argv[1], {"format": "dampinglab test 1", "number": number})
        written += 1
except Exception as problem:
    print(written, problem)
"""


def run(code, *arguments):
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip


@pytest.mark.skipif(os.name == "nt", reason="a real limit on a file's size, as Unix has it")
def test_a_really_full_disk(tmp_path):
    path = tmp_path / "log.jsonl"
    said = run(LIMITED, path).stdout
    written, words = said.split(" ", 1)
    assert int(written) > 10
    assert "could not be written" in words
    assert journal.read(path)[1] == []  # the half line was taken back
    assert numbers(path) == list(range(int(written)))


WRITER = """
import sys
from dampinglab import journal
path, who, count = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
for number in range(count):
    journal.append(path, {"format": "dampinglab test 1", "number": [who, number]})
    print(number, flush=True)
"""


def writer(path, who, count):
    command = [sys.executable, "-c", WRITER, str(path), str(who), str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def test_two_notebooks_at_once_lose_nothing(tmp_path):
    path = tmp_path / "log.jsonl"
    writers = [writer(path, who, 150) for who in range(2)]
    for process in writers:
        process.communicate()
        assert process.returncode == 0
    records, complaints = journal.read(path)
    assert complaints == []
    for who in range(2):
        mine = [record["number"][1] for record in records if record["number"][0] == who]
        assert mine == list(range(150))


@pytest.mark.skipif(os.name == "nt", reason="kill as Unix has it")
def test_a_kill_in_the_middle_loses_at_most_the_line_being_written(tmp_path):
    path = tmp_path / "log.jsonl"
    acknowledged = []
    for who in range(6):
        process = writer(path, who, 100_000)
        for _ in range(5 + 3 * who):
            acknowledged.append([who, int(process.stdout.readline())])
        process.send_signal(signal.SIGKILL)
        acknowledged += [[who, int(line)] for line in process.stdout if line.endswith("\n")]
        process.wait()
        process.stdout.close()
        found = numbers(path)
        assert [one for one in acknowledged if one not in found] == []
        assert len(found) <= len(acknowledged) + who + 1
    journal.append(path, entry("after"))  # the lock of the killed one is free again
    assert numbers(path)[-1] == "after"


def test_every_place_to_be_cut_is_tolerated_and_the_next_line_stands_alone(tmp_path):
    path = tmp_path / "log.jsonl"
    journal.append(path, entry(0))
    first = path.read_bytes()
    journal.append(path, entry(1))
    whole = path.read_bytes()
    for end in range(len(first), len(whole)):
        path.write_bytes(whole[:end])
        records, complaints = journal.read(path)
        assert records[0] == entry(0)
        torn = len(first) < end < len(whole) - 1
        assert len(complaints) == torn
        journal.append(path, entry(2))
        assert numbers(path)[-1] == 2
        assert numbers(path)[0] == 0


def test_a_newer_format_gets_one_sentence_and_no_write(tmp_path):
    path = tmp_path / "log.jsonl"
    journal.append(path, entry(0, "dampinglab test 2"))
    before = path.read_bytes()
    with pytest.raises(FileProblem, match="newer version") as caught:
        journal.append(path, entry(1, ONE))
    assert str(caught.value).count(".") <= 3
    assert path.read_bytes() == before
    journal.append(path, entry(2, "dampinglab test 10"))
    with pytest.raises(FileProblem):
        journal.append(path, entry(3, "dampinglab test 9"))
    card = tmp_path / "card.json"
    card.write_text('{"format": "dampinglab card 2"}')
    with pytest.raises(FileProblem, match="newer version"):
        journal.replace(card, '{"format": "dampinglab card 1"}')
    assert "card 2" in card.read_text()


def test_a_folder_that_takes_no_file(tmp_path):
    (tmp_path / "wall").write_text("")
    for act in (
        lambda path: journal.append(path, entry(0)),
        lambda path: journal.replace(path, "x"),
    ):
        with pytest.raises(FileProblem, match="use a folder that you may write to"):
            act(tmp_path / "wall" / "log.jsonl")


def test_a_held_lock_gets_a_sentence(tmp_path, monkeypatch):
    path = tmp_path / "log.jsonl"
    monkeypatch.setattr(journal, "PATIENCE", 0.05)
    with (
        journal._locked(path),
        pytest.raises(FileProblem, match="another program holds"),
    ):
        journal.append(path, entry(0))
    assert not path.exists()


def test_the_lock_is_waited_for(tmp_path):
    """Without waiting, the second notebook would give up as soon as the first one writes."""
    path = tmp_path / "log.jsonl"
    with journal._locked(path):
        process = writer(path, 0, 1)
        time.sleep(1.0)
        assert not path.exists()
    process.communicate()
    assert numbers(path) == [[0, 0]]
