"""Pages for paper: nothing asked of a network, nothing lost, nothing typed that is computed."""

import base64
import io
import os
import re
from html import unescape
from xml.etree import ElementTree

import nbformat
import pytest
from PIL import Image

from dampinglab import data
from dampinglab.course import bank, formulas, handout, key, sheets, words
from dampinglab.course.lessons import LESSONS
from dampinglab.panels.predict import ANSWERS
from dampinglab.physics import oscillator
from dampinglab.workshop.card import NAMES
from dampinglab.workshop.complaint import COMPLAINTS, table
from dampinglab.workshop.gates import GATES

FOLDER = data.folder("lessons")
NOTEBOOKS = sorted(FOLDER.glob("[0-9]*.ipynb"))
INSTRUCTOR = sorted((FOLDER / "instructor").glob("[0-9]*.md"))
NUMBERS = [path.name[:2] for path in NOTEBOOKS]
NETWORK = re.compile(r"""<(script|link|iframe|base)\b|@import|url\(|(src|href)=["']?(https?:|//)""")
ANSWERED = {number for number in NUMBERS if number < "09"}  # what learners ask themselves
SLOW = {"10"}  # hundreds of drives
BY_NUMBER = {lesson.number: lesson for lesson in LESSONS}
# What a state of widgets looks like when a notebook was run: a panel in small.
PICTURE = (
    '<img class="dl-picture" alt="A curve that climbs &amp; bends" src="data:image/png;base64,AA">'
)
LABEL_AND_ROW = ["IPY_MODEL_l", "IPY_MODEL_r"]
STATE = {
    "p": ("VBoxModel", {"children": [f"IPY_MODEL_{name}" for name in "hcov"]}),
    "h": ("HTMLModel", {"value": '<h3>A panel</h3><p class="dl-fixed">Invented.</p>'}),
    "c": ("VBoxModel", {"_dom_classes": ["dl-control"], "children": LABEL_AND_ROW}),
    "l": ("LabelModel", {"value": "Shaft speed"}),
    "r": ("HBoxModel", {"children": ["IPY_MODEL_t", "IPY_MODEL_u"]}),
    "t": ("TextModel", {"value": "0.1"}),
    "u": ("LabelModel", {"value": "m/s"}),
    "o": ("VBoxModel", {"children": ["IPY_MODEL_x"], "layout": "IPY_MODEL_n"}),
    "n": ("LayoutModel", {"display": "none"}),
    "x": ("HTMLModel", {"value": "<p>hidden words</p>"}),
    "v": ("VBoxModel", {"children": [f"IPY_MODEL_{name}" for name in "diw"]}),
    "d": ("HTMLModel", {"value": '<svg class="dl-moving"><text>moves</text></svg>'}),
    "i": ("HTMLModel", {"value": PICTURE}),
    "w": ("HTMLModel", {"value": '<p class="dl-words">No change. It takes 7&nbsp;N.</p>'}),
}  # fmt: skip


def plain(page):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())


def squeezed(text):
    """Return words as both sides write them: no markup, no spaces, no brackets of a tag."""
    text = re.sub(r"^- |\|[-|]+\|\n", "", unescape(text), flags=re.MULTILINE)  # lists, tables
    return re.sub(r"\s|\*|`|\|", "", text)


def told(page):
    return squeezed(re.sub(r"<[^>]+>", "", page))


def page_of(path):
    return handout.lesson_page(nbformat.read(path, as_version=4), path.stem)


@pytest.fixture(scope="module")
def pages():
    made = {path.stem: page_of(path) for path in NOTEBOOKS}
    made |= {
        "complaints": sheets.complaint_page(),
        "card": sheets.blank_card("Always this."),
        "formulas": formulas.formula_page(),
        "glossary": sheets.glossary_page(),
        "key": key.answer_key(NUMBERS),
        "predict": key.predict_page({"00": ("It does.",)}),
        "instructor": key.instructor_pages(NUMBERS),
    }
    return made


def test_no_page_asks_anything_of_a_network(pages):
    assert {name: hit[0] for name, page in pages.items() if (hit := NETWORK.search(page))} == {}


def test_every_picture_has_words_for_those_who_do_not_see_it(pages):
    for name, page in pages.items():
        pictures = re.findall(r"<img [^>]*>", page)
        texts = [re.search(r'alt="([^"]*)"', picture) for picture in pictures]
        assert all(text and len(text[1]) >= 15 for text in texts), name
        assert all('src="data:image/png;base64,' in picture for picture in pictures), name


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_lesson_is_there_whole_and_each_exercise_once_and_no_answer(path, pages):
    page, notebook = pages[path.stem], nbformat.read(path, as_version=4)
    number = str(int(path.name[:2]))
    mine = [e for e in bank.exercises().values() if e.id.partition(".")[0] == number]
    assert sorted(re.findall(r'data-exercise="([\d.]+)"', page)) == sorted(e.id for e in mine)
    for exercise in mine:
        assert "Worked answer" not in page
        assert squeezed(exercise.task().statement) in told(page)
    for cell in notebook.cells:
        for line in re.findall(r"^## (.+)$", cell.source, re.MULTILINE):
            assert squeezed(line) in told(page)
        if "statement" not in cell.metadata.get("tags", []) and "**Explain" in cell.source:
            assert squeezed(cell.source.split("\n\n")[0]) in told(page)


def test_a_line_to_write_on_stands_under_what_is_to_be_predicted():
    cells = [nbformat.v4.new_markdown_cell("First words.\n\n**Predict.** Up or down?\n\nMore.")]
    page = handout.lesson_page(nbformat.v4.new_notebook(cells=cells), "x")
    assert plain(page).index("Up or down?") < plain(page).index("What I expect:")
    assert plain(page).index("What I expect:") < plain(page).index("More.")


def a_run_notebook():
    cell = nbformat.v4.new_code_cell("panel()")
    view = {"application/vnd.jupyter.widget-view+json": {"model_id": "p"}}
    cell.outputs = [nbformat.v4.new_output("display_data", data=view)]
    notebook = nbformat.v4.new_notebook(cells=[cell])
    held = {name: {"model_name": kind, "state": state} for name, (kind, state) in STATE.items()}
    kind = "application/vnd.jupyter.widget-state+json"
    notebook.metadata["widgets"] = {kind: {"state": held}}
    return notebook


def test_a_panel_is_its_heading_its_setting_its_picture_and_its_sentence_in_one_figure():
    page = handout.lesson_page(a_run_notebook(), "x")
    (figure,) = re.findall(r"<figure.*?</figure>", page, re.DOTALL)
    assert plain(figure) == "A panel Set to: Shaft speed: 0.1 m/s. Invented. It takes 7 N."
    assert 'alt="A curve that climbs &amp; bends"' in figure
    assert "<svg" not in figure  # the drawing that moves is left to the screen
    assert "panel()" not in page


def state_of(notebook):
    return notebook.metadata["widgets"]["application/vnd.jupyter.widget-state+json"]["state"]


def test_what_a_panel_says_keeps_its_first_letter_unless_a_remark_before_it_was_taken_off():
    notebook = a_run_notebook()
    state_of(notebook)["w"]["state"]["value"] = '<p class="dl-words">good_corner.csv, read.</p>'
    assert "good_corner.csv, read." in plain(handout.lesson_page(notebook, "x"))
    assert handout.unturned("No change. it takes 7 N.") == "It takes 7 N."


def test_the_steps_of_a_tool_keep_their_names_and_other_switches_are_left_out():
    notebook = a_run_notebook()
    state = state_of(notebook)
    step = {"description": "2  Dampers"}
    state |= {
        "s": {"model_name": "ToggleButtonModel", "state": step},
        "z": {"model_name": "ToggleButtonModel", "state": {"description": "Projector size"}},
    }
    state["p"]["state"]["children"] += ["IPY_MODEL_s", "IPY_MODEL_z"]
    page = plain(handout.lesson_page(notebook, "x"))
    assert page.endswith("It takes 7 N. 2 Dampers")


def test_a_choice_whose_question_stands_there_anyway_is_not_told_twice():
    notebook = a_run_notebook()
    choice = {"description": "Are rods & seals dry?", "_options_labels": ["not yet"], "index": 0}
    state_of(notebook)["q"] = {"model_name": "ToggleButtonsModel", "state": choice}
    state_of(notebook)["p"]["state"]["children"].append("IPY_MODEL_q")
    assert "0.1 m/s; Are rods & seals dry?: not yet." in plain(handout.lesson_page(notebook, "x"))
    listed = "<h3>A panel</h3><p>6. Are rods &amp; seals dry?</p>"
    state_of(notebook)["h"]["state"]["value"] = listed
    assert plain(handout.lesson_page(notebook, "x")).count("Are rods & seals dry?") == 1


def test_only_a_picture_of_many_pixels_takes_the_whole_width():
    def shown(across):
        stream = io.BytesIO()
        Image.new("1", (across, 9)).save(stream, "PNG")
        raw = base64.b64encode(stream.getvalue()).decode("ascii")
        notebook = a_run_notebook()
        state_of(notebook)["i"]["state"]["value"] = PICTURE.replace("AA", raw)
        return '<div class="wide"><img' in handout.lesson_page(notebook, "x")

    assert [shown(across) for across in (680, 880)] == [False, True]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_answers_to_check_yourself_stand_in_the_key_and_not_on_the_learners_page(path, pages):
    number, page = path.name[:2], pages[path.stem]
    text = next(text for text in key.texts(number) if text.startswith("## Check yourself"))
    answers = handout.FOLDED.findall(text)
    assert len(answers) == 1 or (not answers and number not in ANSWERED)
    assert "details" not in page
    assert "summary" not in page
    for line in re.findall(r"^- (.+)$", "".join(answers), re.MULTILINE):
        assert squeezed(line) in told(pages["key"])
        assert squeezed(line) not in told(page)


def test_a_lesson_without_an_answer_takes_no_room_in_the_key(pages):
    headed = re.findall(r"<h2>Lesson (\d\d)", pages["key"])
    assert headed == [number for number in NUMBERS if number not in {"11", "12"}]


def test_a_drawing_that_is_the_only_picture_is_printed():
    notebook = a_run_notebook()
    state_of(notebook)["i"]["state"]["value"] = ""
    assert "<svg" in handout.lesson_page(notebook, "x")


def test_a_long_printed_line_gets_smaller_letters():
    sizes = []
    for length in (20, 60, 120):
        cell = nbformat.v4.new_code_cell("print()")
        cell.outputs = [nbformat.v4.new_output("stream", name="stdout", text="x" * length)]
        page = handout.lesson_page(nbformat.v4.new_notebook(cells=[cell]), "x")
        sizes.append(float(re.search(r"font-size:([\d.]+)pt\">x", page)[1]))
    assert sizes[0] == 9.0
    assert all(0.602 * size * n <= 475 for size, n in zip(sizes, (20, 60, 120), strict=True))


def test_look_up_tables_say_what_the_functions_say(pages):
    page = plain(pages["formulas"])
    for sag in (10, 25, 100, 400):
        assert f"{sag} mm {oscillator.frequency_from_deflection(sag / 1e3):.2f} Hz" in page
    for share in (80, 50, 25, 5):
        loss = oscillator.log_decrement(100, share)
        assert f"{share} % {oscillator.ratio_from_decrement(loss):.2f}" in page
    assert "1 lbf/in = 175.1268 N/m" in page
    assert "1 kgf = 9.80665 N" in page


@pytest.mark.parametrize("one", formulas.FORMULAS, ids=lambda one: one.name)
def test_a_formula_is_mathml_with_an_example_and_a_source(one, pages):
    tree = ElementTree.fromstring(one.written)
    assert tree.tag == "math"
    assert {each.tag for each in tree.iter()} <= {
        "math", "mrow", "mi", "mn", "mo", "mfrac", "msqrt", "msup", "msub",
    }  # fmt: skip
    assert re.search(r"\d", one.example().rpartition(": ")[2])
    assert squeezed(one.example()) in told(pages["formulas"])
    assert squeezed(bank.exercises()[one.exercise].source) in told(pages["formulas"])


def test_a_power_over_brackets_stands_over_all_in_them():
    (one,) = (each for each in formulas.FORMULAS if each.name == "Pressure over a sharp hole")
    (power,) = (p for p in ElementTree.fromstring(one.written).iter("msup") if len(p[0]))
    assert "".join(power[0].itertext()) == "(0.611A)"


@pytest.mark.parametrize("name", ["formulas", "key", "glossary"])
def test_no_number_is_parted_from_its_unit(name, pages):
    words = "|".join(re.findall(r">([^<]+)", pages[name].partition("<body>")[2]))
    assert re.findall(r"\d [%°A-Za-z]", words) == []
    assert re.search(r"\d\u00a0[%°A-Za-z]", words)


def test_what_learners_ask_themselves_names_its_lesson_in_the_key():
    assert "<th>lesson 04: check yourself</th>" in key.answer_key(["04"])


def test_examples_of_formulas_agree_with_arithmetic():
    by_name = {one.name: one.example() for one in formulas.FORMULAS}
    assert by_name["Sag of a spring under a mass"].endswith("98.1 mm")  # 400 × 9.80665 ÷ 40
    assert by_name["Spring rate at the wheel"].endswith("49.0 N/mm")  # 100 × 0.49
    assert by_name["Wheel hop"].endswith("10.1 Hz")  # √(300000 ÷ 75) ÷ 2π
    assert by_name["Critical damping"].endswith("8000 N·s/m")  # 2 √(40000 × 400)
    assert by_name["A load behind the rear axle"].endswith("143 kg more")  # 100 (1 + 1.2 ÷ 2.8)
    assert by_name["Two shakes at once"].endswith("0.500 m/s²")


def test_the_complaint_table_and_the_checks_before_it_are_whole(pages):
    page = told(pages["complaints"])
    for each in (*COMPLAINTS.values(),):
        assert squeezed(each.words) in page
    for row in table():
        for name, text in row.items():
            if name not in ("When and how fast", "Look first") and text != "no click cures this":
                assert squeezed(text) in page
    for gate in GATES.values():
        assert all(squeezed(text) in page for text in (gate.asks, gate.how, gate.fails))


def test_complaints_that_no_click_cures_say_so(pages):
    blocks = re.findall(r'<section class="complaint.*?</section>', pages["complaints"], re.DOTALL)
    without = [block for block in blocks if "<table" not in block]
    assert len(without) == sum(not each.remedies for each in COMPLAINTS.values()) > 0
    assert all("no click cures this" in block.lower() for block in without)


def test_a_blank_card_has_room_for_every_part(pages):
    page = pages["card"].lower()
    names = [name.removesuffix(" of each adjuster").lower() for name in NAMES.values()]
    assert [name for name in names if name not in page] == []
    assert "always this." in page


def test_every_word_of_the_glossary_is_there(pages):
    entries = re.findall(r"^### (.+)$", (FOLDER / "glossary.md").read_text("utf-8"), re.MULTILINE)
    assert re.findall(r'<h3 id="[^"]*">(.+?)</h3>', pages["glossary"]) == entries


def test_the_key_holds_every_answer_every_slip_and_every_source(pages):
    known = [e for e in bank.exercises().values() if e.id.partition(".")[0].zfill(2) in NUMBERS]
    parts = re.findall(r'data-exercise="([\d.]+)">(.*?)</section>', pages["key"], re.DOTALL)
    assert [name for name, _ in parts] == [exercise.id for exercise in known]
    for exercise, (_, part) in zip(known, parts, strict=True):
        task, words_there = exercise.task(), told(part)
        assert squeezed(task.statement) in words_there
        assert squeezed(words.answer(task)) in words_there
        assert squeezed(exercise.source.rstrip(".")) in words_there
        assert all(squeezed(step.words.rstrip(".:")) in words_there for step in task.steps)
        assert all(squeezed(slip.says) in words_there for slip in task.slips)


@pytest.mark.parametrize("number", ANSWERS)
def test_each_question_to_predict_has_its_computed_answer(number):
    assert len(key.questions(number)) == len(ANSWERS[number])


def test_the_predict_page_puts_an_answer_under_each_question():
    page = plain(key.predict_page({"00": ("This first.", "That next.")}))
    first, second = (plain(handout.markdown(text)) for text in key.questions("00"))
    order = [page.index(text) for text in (first, "This first.", second, "That next.")]
    assert order == sorted(order)


def test_a_lesson_that_asks_nothing_has_no_heading_among_the_questions():
    page = key.predict_page({"00": ("This first.", "That next."), "11": ()})
    assert "Lesson 00" in page
    assert "Lesson 11" not in page


def test_the_plans_come_first_the_bay_sheet_last_and_only_the_lessons_asked_for():
    heads = re.findall(r"<h1[^>]*>(.*?)</h1>", key.instructor_pages(["04", "00"]))
    assert heads[0].startswith("Leading the course")
    assert [head[:2] for head in heads[1:-1]] == ["00", "04"]
    assert heads[-1] == "Bay sheet"


def computed(text, number, place):
    """Return what the model says; where that takes long, what the page says, but in .ci/long."""
    if number in SLOW and os.environ.get("DAMPINGLAB_LONG") != "1":
        return re.search(r"^\*\*Computed\.\*\* (.*)$", text, re.MULTILINE)[1]
    return ANSWERS[number][place]()


@pytest.mark.parametrize("path", INSTRUCTOR, ids=lambda path: path.stem)
def test_an_instructors_page_agrees_with_map_lesson_model_and_bank(path):
    text, lesson = path.read_text("utf-8"), BY_NUMBER[path.stem]
    assert text.startswith(f"# {lesson.number} {lesson.title}: for the instructor\n")
    assert f"\nMinutes: read {lesson.read}, practise {lesson.practise}.\n" in text
    assert len(text.split()) <= 250
    for part in ("Say first.", "The one picture.", "Slips to expect.", "Hands on.", "Short of"):
        assert text.count(f"**{part}") == 1
    if key.questions(path.stem):  # a lesson that is a tool asks for no vote
        assert 2 <= len(re.findall(r"^- \*\*\d+\.\d+, ", text, re.MULTILINE)) <= 4
        assert re.search(r"^\*\*Computed\.\*\* .*\d", text, re.MULTILINE)
    assert key.stamped(path.stem, text, lambda at: computed(text, path.stem, at)) == text, (
        "run .ci/stamp"
    )


@pytest.mark.parametrize("path", INSTRUCTOR, ids=lambda path: path.stem)
def test_no_number_of_the_model_is_typed_into_an_instructors_page(path):
    written = [
        line
        for line in path.read_text("utf-8").splitlines()
        if not re.match(r"# |Minutes: |\*\*Ask \(\d\)\.|\*\*Computed\.|- \*\*\d+\.\d+, ", line)
    ]
    assert re.findall(r"\d+", " ".join(written)) == []


def test_there_is_an_instructors_page_for_each_lesson_of_the_map():
    there = {path.stem for path in INSTRUCTOR}
    assert there == {lesson.number for lesson in LESSONS}
