"""Every lesson keeps to the conventions: fixed parts, limits, words, clean outputs."""

import json
import re
from statistics import median

import nbformat
import pytest

from dampinglab import data
from dampinglab.course import bank, words
from dampinglab.course.lessons import LESSONS, find

FOLDER = data.folder("lessons")
PATHS = sorted(FOLDER.glob("[0-9]*.ipynb"))
BY_FILE = {lesson.file: lesson for lesson in LESSONS}
CLOSING = ["Key points", "Check yourself", "Words", "Next"]
PUBLISHED = "nbval-check-output"
# Working tools rather than lessons: no exercises to count, and few cells around one panel.
TOOLS = {"11", "12"}

pytestmark = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)


@pytest.fixture
def notebook(path):
    return nbformat.read(path, as_version=4)


@pytest.fixture
def lesson(path):
    return BY_FILE[path.name]


@pytest.fixture
def code(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


@pytest.fixture
def prose(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "markdown"]


def tags(cell):
    return cell.metadata.get("tags", [])


def lines(cell):
    return [line for line in cell.source.splitlines() if line.strip()]


def plain(text):
    return text.replace("*", "").replace("_", "")


def test_it_is_a_valid_notebook_with_permanent_cell_ids(path, notebook):
    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) >= (4, 5)
    # The library mends ids on reading, so the file itself is looked at.
    ids = [cell.get("id") for cell in json.loads(path.read_text("utf-8"))["cells"]]
    assert len(set(ids)) == len(ids)
    assert all(ids)


def test_the_opening(notebook, prose, lesson):
    first = notebook.cells[0].source
    assert first.startswith(f"# {lesson.number} {lesson.title}\n")
    assert plain(first).rstrip().endswith("?")
    aims = [cell.source for cell in prose if cell.source.startswith("## You will be able to")]
    (aim,) = aims
    assert notebook.cells[1].source == aim
    assert 2 <= len(re.findall(r"^- ", aim, re.MULTILINE)) <= 4
    assert f"Minutes: read {lesson.read}, practise {lesson.practise}." in plain(aim)
    which = "lesson" if len(lesson.needs) == 1 else "lessons"
    needs = f"{which} {', '.join(lesson.needs)}" if lesson.needs else "nothing"
    assert f"Needs: {needs}." in plain(aim)


def test_the_closing_stands_last_and_in_order(prose):
    found = [
        (index, re.match(r"## (.+)", cell.source)[1].strip())
        for index, cell in enumerate(prose)
        if cell.source.startswith("## ")
    ]
    assert [name for _, name in found][-4:] == CLOSING
    parts = {name: prose[index].source for index, name in found}
    assert len(re.findall(r"^- ", parts["Key points"], re.MULTILINE)) >= 3
    assert re.search(r"\]\(glossary\.md#[\w-]+\)", parts["Words"])
    for name in CLOSING:
        assert len(parts[name].split()) > 5, f"{name} is empty"


def test_one_setup_cell_of_three_lines(code):
    assert "setup" in tags(code[0])
    assert [cell for cell in code if "setup" in tags(cell)] == [code[0]]
    assert len(lines(code[0])) <= 3
    assert "dampinglab.panels" in code[0].source
    assert all("import" not in cell.source for cell in code[1:])


def test_cells_are_small(notebook, code, prose, lesson):
    assert (10 if lesson.number in TOOLS else 25) <= len(notebook.cells) <= 50
    sizes = [len(lines(cell)) for cell in code]
    assert max(sizes) <= 15
    assert median(sizes) <= 3
    long = {cell.source[:40]: len(cell.source.split()) for cell in prose}
    assert {start: count for start, count in long.items() if count > 130} == {}
    assert all(cell.source.strip() for cell in notebook.cells)


def test_statements_are_the_banks(notebook):
    for cell in notebook.cells:
        if "statement" in tags(cell):
            exercise = find(cell.metadata["dampinglab"]["exercise"])
            assert cell.source == words.statement(exercise), "run .ci/stamp"


def test_every_exercise_of_the_bank_stands_here_once_under_its_statement(notebook, lesson):
    asked = []
    for above, cell in zip(notebook.cells, notebook.cells[1:], strict=False):
        if "exercise" in tags(cell):
            name = above.metadata["dampinglab"]["exercise"]
            assert "statement" in tags(above)
            assert cell.source == f'check("{name}", ...)'
            asked.append(name)
    stated = [cell for cell in notebook.cells if "statement" in tags(cell)]
    assert len(stated) == len(asked)
    number = str(int(lesson.number))
    known = [name for name in bank.exercises() if name.partition(".")[0] == number]
    assert sorted(asked) == sorted(known)
    assert len(asked) >= (0 if lesson.number in TOOLS else 6)


def test_no_exercise_hides_in_a_cell_without_its_tag(code):
    for cell in code:
        if re.search(r"\bcheck\(", cell.source):
            assert "exercise" in tags(cell)


def test_three_exercises_rest_on_a_source(lesson):
    if lesson.number in {"00", *TOOLS}:
        pytest.skip("how to use the course, and tools, have no published worked examples")
    number = str(int(lesson.number))
    sources = [e.source for e in bank.exercises().values() if e.id.partition(".")[0] == number]
    outside = [one for one in sources if not one.startswith(("Common practice", "This course"))]
    assert len(outside) >= 3


def test_free_practice_is_offered(code, lesson):
    if lesson.number in TOOLS:
        pytest.skip("a tool has no exercises to practise")
    assert any(re.search(r"^practise\(", cell.source, re.MULTILINE) for cell in code)


def test_outputs_are_those_of_published_cells_and_nothing_else(code):
    for cell in code:
        if PUBLISHED in tags(cell):
            assert cell.outputs, "run .ci/stamp: without an output nbval would compare nothing"
            assert cell.execution_count
            assert all(output.output_type == "stream" for output in cell.outputs)
            assert re.search(r"\d", "".join(output.text for output in cell.outputs))
        else:
            assert cell.outputs == []
            assert cell.execution_count is None


def test_no_trace_of_a_machine_is_left(notebook):
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert notebook.metadata.language_info == {"name": "python"}
    for cell in notebook.cells:
        assert set(cell.metadata) <= {"tags", "dampinglab", "jupyter"}
        assert set(cell.metadata.get("jupyter", {})) <= {"source_hidden"}


def test_pictures_say_what_they_show_and_links_lead_somewhere(prose):
    for cell in prose:
        for mark, text, target in re.findall(r"(!?)\[([^\]]*)\]\(([^)]+)\)", cell.source):
            assert not target.startswith("http") or "Source" in cell.source
            if mark:
                assert len(text) >= 15, f"{target} needs an alternative text"
            file, _, anchor = target.partition("#")
            if not target.startswith("http"):
                assert (FOLDER / file).is_file(), target
            if file == "glossary.md":
                glossary = (FOLDER / file).read_text("utf-8")
                titles = re.findall(r"^#+ (.+)$", glossary, re.MULTILINE)
                assert anchor in {title.strip().lower().replace(" ", "-") for title in titles}
        assert "<img" not in cell.source or 'alt="' in cell.source
