"""The handout command as it is typed: pages made, nobody's file written over, stopped cleanly."""

import os
import re
import signal
import subprocess
import sys
import time

import nbformat
import pytest

from dampinglab import printing
from dampinglab.cli import main
from dampinglab.course import handout
from dampinglab.course.lessons import LESSONS

SHEETS = {"complaints", "setting-card", "formulas", "glossary"}


@pytest.fixture
def quick(monkeypatch):
    """Leave the running of cells out; one test below has it in."""
    monkeypatch.setattr(printing, "run_lesson", lambda path: nbformat.read(path, as_version=4))


def names(folder):
    return {path.stem for path in folder.glob("*")}


def alive(number):
    try:
        os.kill(number, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_lesson_is_run_and_its_panels_stand_on_the_page(capsys, tmp_path):
    before = dict(os.environ)
    assert main(["handout", "0", "--folder", str(tmp_path / "on paper")]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "1 of 5: 00-start-here.html" in out
    assert names(tmp_path / "on paper") == {"00-start-here", *SHEETS}
    page = (tmp_path / "on paper" / "00-start-here.html").read_text("utf-8")
    (panel,) = re.findall(r'<figure class="panel">.*?</figure>', page, re.DOTALL)
    assert "the press takes" in panel.rpartition("<img")[2]  # the sentence under the picture
    assert "No click was turned" not in panel
    assert "stand_panel(" not in page
    assert dict(os.environ) == before


def test_the_vehicle_of_a_job_is_made_before_it_is_printed(tmp_path):
    sources = "from dampinglab.panels import handover_panel", "handover_panel(1)"
    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    path = tmp_path / "job.ipynb"
    nbformat.write(nbformat.v4.new_notebook(cells=cells), path)
    page = handout.lesson_page(printing.run_lesson(path), "job")
    assert "Making the vehicle" not in page
    assert "Look first; then drive" in page


@pytest.mark.skipif(os.environ.get("DAMPINGLAB_LONG") != "1", reason="a minute; in .ci/long")
def test_every_lesson_is_whole_on_paper(capsys, tmp_path):
    assert main(["handout", "--folder", str(tmp_path)]) == 0
    lessons = sorted(tmp_path.glob("[0-9]*.html"))
    assert len(lessons) == len(LESSONS)
    for path in lessons:
        page = path.read_text("utf-8")
        figures = re.findall(r"<figure.*?</figure>", page, re.DOTALL)
        assert not re.search(r"<pre><code>[^<]*_panel\(", page)  # a panel that has shown nothing
        for figure in figures:
            assert re.search("<(img|svg|p|table)[ >]", figure)
        for alt in re.findall(r'<img[^>]*alt="([^"]*)"', page):
            assert len(alt) >= 15


def test_what_it_wrote_itself_is_written_anew(quick, capsys, tmp_path):
    words = ["handout", "1", "--folder", str(tmp_path)]
    assert main(words) == 0
    first = (tmp_path / "formulas.html").read_bytes()
    assert main(words) == 0
    assert (tmp_path / "formulas.html").read_bytes() == first


@pytest.mark.parametrize("content", [b"mine", "changed", b"\xff\xfe", "folder"])
def test_a_file_that_it_did_not_write_or_that_was_changed_stops_it_first(
    quick, capsys, tmp_path, content
):
    words = ["handout", "1", "--folder", str(tmp_path)]
    path = tmp_path / "glossary.html"
    if content == "changed":
        assert main(words) == 0
        path.write_text(path.read_text("utf-8").replace("Glossary", "My glossary", 1), "utf-8")
    elif content == "folder":
        path.mkdir()
    else:
        path.write_bytes(content)
    before = {p.name: p.read_bytes() for p in tmp_path.glob("*") if p.is_file()}
    capsys.readouterr()
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert "glossary.html" in err
    assert {p.name: p.read_bytes() for p in tmp_path.glob("*") if p.is_file()} == before


@pytest.mark.parametrize("words", [["99"], ["--folder", __file__], ["--folder", "a" * 300]])
def test_what_cannot_be_done_gets_one_sentence(quick, capsys, words):
    assert main(["handout", *words]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert err.strip().endswith(".")


def test_the_key_is_for_the_instructor_alone(capsys, tmp_path):
    assert main(["handout", "2", "--key", "--folder", str(tmp_path)]) == 0
    assert names(tmp_path) == {"instructor-key", "instructor-predict", "instructor-pages"}
    key = (tmp_path / "instructor-key.html").read_text("utf-8")
    assert "Exercise 2.1" in key
    assert "Exercise 1.1" not in key
    assert "28\u00a0% of the first" in (tmp_path / "instructor-predict.html").read_text("utf-8")


@pytest.mark.skipif(os.name != "posix", reason="a signal as Ctrl-C sends it")
def test_it_is_stopped_by_ctrl_c_and_leaves_no_kernel_behind(tmp_path):
    code = (
        "import signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
        "from dampinglab.cli import main;"
        f"raise SystemExit(main(['handout', '--folder', '{tmp_path}']))"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert "1 of" in process.stdout.readline()
        kernel = ""
        while not kernel:
            kernel = subprocess.run(
                ["ps", "-o", "pid=", "--ppid", str(process.pid)], capture_output=True, text=True
            ).stdout.strip()
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert err == "Stopped; every page that was written is whole.\n"
    for child in map(int, kernel.split()):  # a kernel that was only starting sees it by itself
        for _ in range(100):
            if not alive(child):
                break
            time.sleep(0.1)
        assert not alive(child)


def test_a_kernel_that_gives_no_answer_gets_one_sentence(monkeypatch, capsys, tmp_path):
    def silent(*_, **__):
        raise RuntimeError("Kernel didn't respond in 60 seconds")

    monkeypatch.setattr(printing.NotebookClient, "setup_kernel", silent)
    assert main(["handout", "00", "--folder", str(tmp_path)]) == 2
    assert "gave no answer" in capsys.readouterr().err
