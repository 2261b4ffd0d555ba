"""The mark command on a workbook with everything in it that a learner can do to one."""

import json
import os
import re
import signal
import subprocess
import time
from pathlib import Path

import pytest

from dampinglab import data
from dampinglab.cli import main
from dampinglab.course import bank, marked, marks_page, nbval_run, own_notebooks, words
from dampinglab.course.marked import DONE, LOOK, TODO
from dampinglab.course.nbval_run import Job, Ran
from dampinglab.course.nbval_watch import BEGUN, DEAD, RAN

LONG = os.environ.get("DAMPINGLAB_LONG") == "1"
BOTH = """while True:
    try:
        __import__("time").sleep(0.2)
    except KeyboardInterrupt:
        pass"""


def right(name):
    task = bank.exercises()[name].task()
    return f'check("{name}", {words.written(task, task.answer)!r})'


def slip(name):
    task = bank.exercises()[name].task()
    return f'check("{name}", {words.written(task, task.slips[0].answer)!r})'


def lesson(number):
    """Return the cells of a lesson as (kind, source, metadata)."""
    (path,) = data.folder("lessons").glob(f"{number}-*.ipynb")
    cells = json.loads(path.read_text("utf-8"))["cells"]
    return [[c["cell_type"], "".join(c["source"]), c["metadata"]] for c in cells]


def at(cells, name):
    """Return where the answer to an exercise stands."""
    return next(i for i, cell in enumerate(cells) if cell[1].startswith(f'check("{name}"'))


def write(path, cells):
    path.parent.mkdir(parents=True, exist_ok=True)
    extra = {"code": {"outputs": [], "execution_count": None}, "markdown": {}}
    made = [
        {"id": f"c{n}", "cell_type": kind, "source": source, "metadata": metadata, **extra[kind]}
        for n, (kind, source, metadata) in enumerate(cells)
    ]
    path.write_text(
        json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": made}), "utf-8"
    )


def code(source):
    return ["code", source, {}]


def mutated(folder, loop="while True:\n    __import__('time').sleep(0.2)"):
    """Write a workbook that was mistreated in every way at once."""
    zero = lesson("00")
    zero[at(zero, "0.1")][1] = right("0.1")
    zero.insert(at(zero, "0.1"), code(slip("0.1")))  # first wrong, then right in a copy
    zero[at(zero, "0.2")][1] = slip("0.2")
    copied = at(zero, "0.4")
    zero.insert(copied + 1, code(right("0.4")))  # a copy; the first stays blank
    del zero[at(zero, "0.5")]
    zero[at(zero, "0.6")] = ["code", 'chek("0.6", (5', {"tags": ["exercise"]}]
    moved = zero.pop(at(zero, "0.7"))
    zero.append(["code", right("0.7"), {}])
    assert moved[1] == 'check("0.7", ...)'
    write(folder / "kept" / "mein Heft [alt]::ä.ipynb", zero)
    one = lesson("01")
    one[at(one, "1.1")][1] = "x = 1 +"
    one[at(one, "1.2")][2] = {}
    one[at(one, "1.2")][1] = right("1.2") + "\n1 / 0"
    one.insert(at(one, "1.3"), code(loop))
    one[at(one, "1.3")][1] = right("1.3")
    one[at(one, "1.4")][1] = f"try:\n    {slip('1.4')}\nexcept Exception:\n    pass"
    one[at(one, "1.5")][1] = 'check("1.55", 3)'
    one[at(one, "1.6")][1] = "if False:\n    " + right("1.6")
    one[at(one, "1.7")][1] = "open('progress.jsonl', 'w').write('spoilt')\n" + right("1.7")
    one[at(one, "1.8")][1] = "check = print\n" + right("1.8")
    write(folder / "01-spring-and-mass.ipynb", one)
    (folder / "02-damping-ratio.ipynb").write_bytes(b'{"cells": [\xff')
    (folder / "03.ipynb").write_text("[" * 100_000)
    (folder / "04.ipynb").write_text('{"cells": [{"cell_type": 3}, 7], "nbformat": "x"}')
    os.mkfifo(folder / "05.ipynb")
    (folder / "06.ipynb").symlink_to(folder / "nowhere")
    (folder / "07.ipynb").mkdir()
    (folder / "progress.jsonl").write_text("mine\n")


def states(marks):
    return {one.exercise: (one.state, one.says) for lesson in marks.lessons for one in lesson.marks}


@pytest.fixture(scope="module")
def everything(tmp_path_factory):
    folder = tmp_path_factory.mktemp("work book ü")
    mutated(folder, BOTH if LONG else "while True:\n    __import__('time').sleep(0.2)")
    before = snapshot(folder)
    heard = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(marked, "CELL", 15.0)
        marks = marked.mark(folder, heard.append)
    assert snapshot(folder) == before
    return marks, heard


def snapshot(folder):
    files = [path for path in folder.rglob("*") if path.is_file()]
    return {path: (path.read_bytes(), path.stat().st_mtime_ns) for path in files}


@pytest.mark.parametrize(
    ("name", "state", "says"),
    [
        ("0.1", DONE, ""),
        ("0.2", LOOK, "Not yet, and here is what probably happened."),
        ("0.3", TODO, ""),
        ("0.4", DONE, ""),
        ("0.5", TODO, "Its cell is in none of the notebooks."),
        ("0.6", LOOK, "This line cannot be read: it must look like check"),
        ("0.7", DONE, ""),
        ("1.1", LOOK, "invalid syntax"),
        ("1.2", DONE, ""),
        ("1.3", DONE, ""),
        ("1.4", LOOK, "Not yet"),
        ("1.5", LOOK, "There is no exercise '1.55'"),
        ("1.6", LOOK, "no answer was judged"),
        ("1.7", DONE, ""),
        ("1.8", LOOK, "no answer was judged"),
    ],
)
def test_each_exercise_of_a_mistreated_workbook(everything, name, state, says):
    found = states(everything[0])[name]
    assert found[0] == state
    assert says in found[1]
    assert bool(says) == bool(found[1])


def test_what_else_is_in_the_way_gets_a_line_each(everything):
    told = everything[0].troubles
    for name in ("02-damping-ratio", "03", "04", "05", "07"):
        (line,) = [one for one in told if one.startswith(f"{name}.ipynb: ")]
        assert line.endswith("it is left out.")
    (line,) = [one for one in told if "came to no end and was stopped" in one]
    assert "'while True:'" in line
    assert len(told) == 6


def test_it_tells_where_it_is_and_where_a_lesson_was_found(everything):
    marks, heard = everything
    assert heard[0] == "Marking 01-spring-and-mass.ipynb (1 of 2)"
    assert any(re.search(r", cell [1-9]\d* of \d+$", line) for line in heard)
    notes = {lesson.lesson.number: lesson.note for lesson in marks.lessons}
    assert notes["00"] == "found in kept/mein Heft [alt]::ä.ipynb"
    assert notes["01"] == ""
    assert "no notebook of this lesson" in notes["02"]


def test_the_words_and_the_page_hold_every_exercise(everything):
    told, html = marked.text(everything[0]), marks_page.page(everything[0], "<me>", _now())
    for name in bank.exercises():
        assert re.search(rf"\b{re.escape(name)}\b", told)
        assert html.count(f"<b>{name}</b>") == 1
    assert "Marks: &lt;me&gt;" in html
    assert 'content: "\\00003cme\\00003e"; }' in html  # at the foot of each printed page
    assert "http" not in html
    assert "<script" not in html
    assert max(map(len, told.splitlines())) <= 100


def _now():
    from datetime import datetime

    return datetime(2030, 1, 2, 3, 4)


def test_only_our_own_unchanged_page_is_replaced(tmp_path):
    first = marks_page.keep_page(tmp_path, "<p>one</p>")
    assert first == tmp_path / "marks.html"
    assert marks_page.keep_page(tmp_path, "<p>two</p>") == first
    assert "two" in first.read_text("utf-8")
    first.write_text(first.read_text("utf-8") + "my note", "utf-8")
    second = marks_page.keep_page(tmp_path, "<p>three</p>")
    assert second == tmp_path / "marks-2.html"
    assert marks_page.keep_page(tmp_path, "<p>four</p>") == second
    assert first.read_text("utf-8").endswith("my note")


def test_nothing_is_run_where_nothing_was_answered(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(nbval_run, "_run_once", lambda *_: pytest.fail("it ran"))
    write(tmp_path / "00-start-here.ipynb", lesson("00"))
    assert main(["mark", str(tmp_path)]) == 0
    out, err = capsys.readouterr()
    assert "to do    0.1, 0.2, 0.3" in out
    assert "marks.html" in out
    assert err == ""


@pytest.mark.parametrize("there", [True, False])
def test_a_folder_without_a_notebook_gets_one_sentence(tmp_path, capsys, there):
    assert main(["mark", str(tmp_path if there else tmp_path / "nowhere")]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)


@pytest.mark.parametrize("deeper", ["", "dampinglab-workbook"])
def test_a_whole_class_is_not_marked_as_one_workbook(tmp_path, capsys, monkeypatch, deeper):
    monkeypatch.setattr(nbval_run, "_run_once", lambda *_: pytest.fail("it ran"))
    for name in ("seat1", "seat2"):
        write(tmp_path / name / deeper / "00-start-here.ipynb", lesson("00"))
    assert main(["mark", str(tmp_path)]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert f"name one of them, such as {tmp_path / 'seat1' / deeper}, or" in err
    assert not (tmp_path / "marks.html").exists()
    assert main(["mark", str(tmp_path / "seat1")]) == 0
    write(tmp_path / "00-start-here.ipynb", lesson("00"))  # a workbook, with copies in it
    assert main(["mark", str(tmp_path)]) == 0


def test_what_the_cells_may_read_is_copied_as_far_as_there_is_room(tmp_path, monkeypatch):
    """A whole home folder named by mistake must not fill the disk."""
    monkeypatch.setattr(nbval_run, "LARGEST", 10)
    there = {"a/data.csv": 6, "b.csv": 4, "c.csv": 1, ".hidden": 1, "d.ipynb": 1}
    for name, size in there.items():
        (tmp_path / "book" / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / "book" / name).write_text("x" * size)
    os.mkfifo(tmp_path / "book" / "pipe")
    (tmp_path / "book" / "link").symlink_to("nowhere")
    nbval_run.copy_workbook(tmp_path / "book", tmp_path / "copy")
    copied = {path.name for path in (tmp_path / "copy").rglob("*") if not path.is_dir()}
    assert copied == {"b.csv", "c.csv", "link"}  # 5 of 10 bytes; the 6 of a/data.csv do not fit


def replay(monkeypatch, *runs):
    """Let nbval find what the test says; return the sources of each run."""
    asked, left = [], list(runs)

    def once(sources, *_):
        asked.append(list(sources))
        return Ran(left.pop(0))

    monkeypatch.setattr(nbval_run, "_run_once", once)
    return asked


def test_a_cell_that_ends_python_is_left_out_of_another_run(monkeypatch, tmp_path):
    ran, dead, begun = (RAN, ""), (DEAD, ""), (BEGUN, "")
    runs = [
        {0: ran, 1: ran, 2: dead, 3: dead},
        {0: ran, 1: ran, 2: begun},
        dict.fromkeys(range(4), ran),
    ]
    asked = replay(monkeypatch, *runs)
    found = nbval_run.run(list("abcd"), tmp_path, Job(tmp_path, 1, 1e99), print)
    assert asked == [list("abcd"), ["a", "", "c", "d"], ["a", "", "", "d"]]
    assert [found.steps[n][0] for n in range(4)] == [RAN, DEAD, "too long", RAN]


def test_when_the_time_is_over_it_says_so(monkeypatch, tmp_path):
    asked = replay(monkeypatch, {0: (RAN, ""), 1: (BEGUN, "")})
    found = nbval_run.run(list("abc"), tmp_path, Job(tmp_path, 1, 0), print)
    assert (len(asked), found.late, list(found.steps)) == (1, True, [0])
    cells = (own_notebooks.Cell('check("0.1", 5)', ("0.1",)),) * 3
    notebook = own_notebooks.Notebook(Path("a.ipynb"), cells)
    marks = marked.join([notebook], {notebook.place: Ran({}, [], late=True)})
    assert "time ran out" in states(marks)["0.1"][1]
    assert marks.troubles == ("a.ipynb: the time for all notebooks ran out before its end.",)


def test_ctrl_c_leaves_no_child_and_no_page(tmp_path, command_line):
    """Nor a kernel whose cell hears nothing, since it never leaves a loop of Python's own."""
    write(tmp_path / "a.ipynb", [code("sum(range(10**14))"), code(right("0.1"))])
    mark = f"DAMPINGLAB_TEST_MARKED={tmp_path}"
    process = subprocess.Popen(
        command_line("mark", tmp_path),
        env={**os.environ, **dict([mark.split("=")])},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        wait_for(lambda: any(seconds_used(number) > 2 for number in kernels(mark)))
        process.send_signal(signal.SIGINT)
        told = process.communicate(timeout=60)[1]
        assert process.returncode == 130
        assert "Traceback" not in told
        wait_for(lambda: running(mark) == [], 20)
    finally:
        for number in running(mark):
            os.kill(int(number), signal.SIGKILL)
    assert [path.name for path in tmp_path.iterdir()] == ["a.ipynb"]


def kernels(mark):
    """Return the marked processes that are kernels."""
    commands = {number: Path(f"/proc/{number}/cmdline") for number in running(mark)}
    return [number for number, path in commands.items() if b"ipykernel" in path.read_bytes()]


def seconds_used(number):
    """Return a process's own time; a kernel that has started uses more only for a cell."""
    fields = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def wait_for(true, patience=40):
    end = time.monotonic() + patience
    while not true():
        assert time.monotonic() < end
        time.sleep(0.1)


def running(mark):
    """Return the processes that carry a mark; the kernel is in no group of ours."""
    found = []
    for entry in Path("/proc").glob("[0-9]*/environ"):
        try:
            if mark.encode() in entry.read_bytes().split(b"\0"):
                found.append(entry.parent.name)
        except OSError:
            continue
    return found
