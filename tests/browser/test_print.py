"""Handouts as a browser prints them: whole figures, one sheet where one is promised, no network."""

import re

import pytest

from dampinglab.course import formulas, handout, key, sheets
from dampinglab.data import folder
from dampinglab.figures.card import ALWAYS

SHEET = (176, 264)  # mm of A4 inside the margins of the stylesheet
MM = 96 / 25.4  # pixels


@pytest.fixture
def paper(browser, tmp_path):
    page = browser.new_page(viewport={"width": round(SHEET[0] * MM), "height": 900})
    asked = []
    page.on("request", lambda request: asked.append(request.url))

    def put(text):
        path = tmp_path / "page.html"
        path.write_text(text, "utf-8")
        page.emulate_media(media="print")
        page.goto(path.as_uri())
        return page

    yield put
    page.close()
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


def sheets_of(page):
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True)))


def test_the_setting_card_is_one_sheet_and_the_formulas_are_three(paper):
    assert sheets_of(paper(sheets.blank_card(ALWAYS))) == 1
    assert sheets_of(paper(formulas.formula_page())) <= 3


def test_glossary_and_key_waste_no_paper(paper):
    assert sheets_of(paper(sheets.glossary_page())) <= 2
    numbers = [f"{number:02}" for number in range(11)]
    assert sheets_of(paper(key.answer_key(numbers))) <= 28  # 42 in one column


def test_what_must_not_be_torn_is_kept_together_and_fits_on_a_sheet(paper):
    picture = (folder("lessons") / "pictures" / "stand.png").name
    parts = f"![A press on the stand, drawn]({'pictures/' + picture})\n\nWords.\n\n" * 5
    for text in (handout.page("x", handout.markdown(parts)), sheets.complaint_page()):
        page = paper(text)
        kept = page.eval_on_selector_all(
            "figure, .together, tr, pre",
            "all => all.map(e => [getComputedStyle(e).breakInside, e.offsetHeight || 0])",
        )
        assert {rule for rule, _ in kept} == {"avoid"}
        assert max(height for _, height in kept) < SHEET[1] * MM
        assert sheets_of(page) >= 2


def test_more_practice_stands_below_its_exercise(paper):
    text = handout.page("x", '<section class="exercise">9</section><p class="small">More</p>')
    rule = "one => getComputedStyle(one).breakBefore"
    assert paper(text).eval_on_selector("p.small", rule) == "avoid"


def test_nothing_runs_over_the_right_edge(paper):
    bench = sheets.blank_card(ALWAYS), formulas.formula_page(), sheets.complaint_page()
    for text in (*bench, key.answer_key(["02"]), key.instructor_pages(["00"])):
        page = paper(text)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_checks_before_a_click_begin_on_the_first_sheet(paper):
    text = sheets.complaint_page()
    assert sheets_of(paper(text.partition("<h2>Then the complaint</h2>")[0])) == 1


def test_a_bay_sheet_is_both_sides_of_one_sheet_with_room_to_sign(paper):
    text = (folder("lessons") / "instructor" / "bay-sheet.md").read_text("utf-8")
    page = paper(handout.page("x", f'<div class="form">{handout.markdown(text)}</div>'))
    assert sheets_of(page) == 2
    widths = page.eval_on_selector_all("td:empty", "all => all.map(e => e.offsetWidth)")
    assert min(widths) > 15 * MM
