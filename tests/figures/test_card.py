"""The card's page: all is on it, nothing cut off, readable, grey; its PDF overwrites nothing."""

import shutil
import subprocess
from dataclasses import replace

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from dampinglab import journal
from dampinglab.errors import LearnerError
from dampinglab.figures import card as page
from dampinglab.figures import flow
from dampinglab.workshop.card import Card, Leeway, Setup
from dampinglab.workshop.corners import CORNERS

TOTALS = {
    **{c: {"low-speed bump": 20, "high-speed bump": 10, "rebound": 24} for c in CORNERS[:2]},
    **{c: {"rebound": 30} for c in CORNERS[2:]},
}


def setup(low, rear, right=None, cold=240):
    clicks = {c: {"low-speed bump": low, "high-speed bump": 5, "rebound": 18} for c in CORNERS[:2]}
    clicks |= {c: {"rebound": rear} for c in CORNERS[2:]}
    if right is not None:
        clicks["front right"] = {**clicks["front right"], "rebound": right}
    return Setup(clicks, dict.fromkeys(CORNERS, cold))


FULL = Card(
    vehicle="Demo wagon",
    date="25 November 2026",
    customer_words="It wallows on every rise and costs me $5 or $7 of tea.",
    felt="The body kept moving after a rise.",
    changed="We turned the rear rebound four clicks in.",
    given_up="Sharp holes are felt a little more.",
    totals=TOTALS,
    as_found=setup(14, 12, right=16),
    final=setup(14, 8),
    empty=setup(13, 10),
    loaded=setup(11, 6, cold=305),
    masses_kg=dict(zip(CORNERS, (638, 632, 533, 537), strict=True)),
    heights_mm=dict(zip(CORNERS, (452, 450, 461, 460), strict=True)),
    owner_may=(Leeway("rear", "rebound", 2, 3),),
    come_back="After 1,000 km, or when it knocks.",
    not_fixed=("The rear bushes are worn.",),
    trials=("1. As found.", "2. Rear rebound four clicks in."),
    cautions=("Use the loaded setting with the trailer.",),
)
LONG = "Vierradaufhängungsdämpferverstellschraube" * 4
MANY = replace(
    FULL,
    vehicle=LONG[:150],
    customer_words=f"{LONG} and {LONG}",
    trials=tuple(
        f"{n}. Driven by Ann on the lane by the mill, rated {n % 10}." for n in range(200)
    ),
)
CARDS = {
    "full": FULL,
    "empty": Card(),
    "many": MANY,
    "long date": replace(FULL, date=LONG),
    "bare": replace(FULL, masses_kg={"front left": 600}, empty=None, owner_may=(), not_fixed=()),
    "no adjuster": Card(totals={c: {} for c in CORNERS}),
}


def words(figure):
    return " ".join(" ".join(text.get_text() for text in figure.texts).split())


def flat(text):
    return " ".join(text.split())


def test_all_that_is_given_stands_on_the_page():
    told = words(page.card_page(FULL))
    for part in ("felt", "changed", "given_up", "customer_words", "vehicle", "date", "come_back"):
        assert getattr(FULL, part) in told
    for part in ("not_fixed", "trials", "cautions"):
        for each in getattr(FULL, part):
            assert each in told
    assert "not given" not in told
    assert page.ALWAYS in told
    for mass in (638, 632, 533, 537, 452, 450, 461, 460, 305):
        assert str(mass) in told


def test_clicks_count_from_closed_with_soft_in_brackets_and_sides_apart():
    told = words(page.card_page(FULL))
    assert "12 (18) 8 (22) 10 (20) 6 (24)" in told  # rear rebound, of 30
    assert "18 (6) left 16 (8) right 18 (6)" in told  # front rebound, of 24
    assert "Rear rebound: up to 2 out (softer) or 3 in (firmer), both sides alike" in told


@pytest.mark.parametrize("gap", ["vehicle", "date", "felt", "come_back", "empty", "masses_kg",
                                 "heights_mm", "trials", "cautions", "not_fixed", "owner_may"])  # fmt: skip # noqa: E501
def test_each_missing_thing_is_named_as_not_given(gap):
    whole, less = (words(page.card_page(c)) for c in (FULL, replace(FULL, **{gap: None})))
    assert "not given" not in whole
    assert "not given" in less


def test_unlike_sides_that_it_is_driven_with_are_warned_of_and_those_found_are_not():
    assert "a fault to find" not in words(page.card_page(FULL)), "as found is history"
    card = replace(FULL, final=FULL.as_found, empty=FULL.as_found)
    told = "Final setting and fall-back when empty: front rebound stands 18 clicks out on the left"
    (fault,) = card.faults
    assert fault == f"{told} and 16 on the right: a fault to find, never a setting."
    for shown in (card, replace(card, cautions=None)):
        assert fault in words(page.card_page(shown))
    assert page.alt_text(card).endswith(fault)


def test_nothing_found_is_not_the_same_as_not_given():
    told = words(page.card_page(CARDS["bare"]))
    assert "Nothing is known to be left." in told
    assert "What you may turn Nothing." in told


@pytest.mark.parametrize("card", CARDS.values(), ids=CARDS)
def test_nothing_runs_off_the_page_or_into_another(card):
    figure = page.card_page(card)
    figure.set_dpi(144)
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [text.get_window_extent(renderer) for text in figure.texts if text.get_text()]
    edge = 30 * 2  # of the page's 40 points, as a printer needs
    for box in boxes:
        assert box.x0 >= edge
        assert box.x1 <= figure.bbox.x1 - edge
        assert box.y0 >= edge / 2
        assert box.y1 <= figure.bbox.y1 - edge
    drawn = np.array([[b.x0, b.x1, b.y0, b.y1] for b in boxes])
    for number, (x0, x1, y0, y1) in enumerate(drawn):
        across = np.minimum(drawn[:, 1], x1) - np.maximum(drawn[:, 0], x0)
        up = np.minimum(drawn[:, 3], y1) - np.maximum(drawn[:, 2], y0)
        over = (across > 1) & (up > 0.2 * np.minimum(y1 - y0, drawn[:, 3] - drawn[:, 2]))
        over[number] = False
        assert not over.any(), figure.texts[number].get_text()
    assert min(text.get_fontsize() for text in figure.texts) >= 8


def test_the_ruler_marks_each_setting_between_closed_and_soft():
    figure = page.card_page(FULL)
    marks = [line for line in figure.artists if line.get_marker() not in ("None", "|")]
    ends = sorted({line.get_xdata()[0] for line in figure.artists if line.get_marker() == "|"})
    assert len(ends) == 2
    share = [(line.get_xdata()[0] - ends[0]) / (ends[1] - ends[0]) for line in marks]
    found = {round(s, 3) for s in share}
    assert found == {round(s, 3) for s in (14/20, 13/20, 11/20, 5/10, 18/24, 16/24, 12/30, 8/30, 10/30, 6/30)}  # fmt: skip # noqa: E501
    full = [line for line in marks if line.get_markerfacecolor() != "white"]
    assert {line.get_marker() for line in full} == {"o"}


def test_many_trials_leave_the_last_and_say_how_many_are_not_shown():
    told = words(page.card_page(MANY))
    assert "199. Driven" in told
    shown = told.count("Driven by Ann")
    assert f"The first {200 - shown} of 200 are in the file." in told
    assert shown > 10


def test_a_page_that_is_full_says_what_to_shorten():
    with pytest.raises(
        LearnerError, match="shorten its longest part, what was not fixed"
    ) as caught:
        page.card_page(replace(FULL, not_fixed=("word " * 300,) * 9))
    assert "\n" not in str(caught.value)


def test_the_page_is_black_and_grey_only():
    figure = page.card_page(FULL)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    colours = np.asarray(canvas.buffer_rgba())[..., :3].astype(int)
    assert (colours.max(axis=2) - colours.min(axis=2)).max() <= 12
    assert colours.min() < 40


def test_dollars_are_dollars_and_unknown_letters_are_said():
    told = words(page.card_page(replace(FULL, customer_words="日本 $5 and $7")))
    assert "□□ $5 and $7" in told
    assert "2 letters, shown as □, are not in this font" in told
    assert flow.lost("plain – “words” Ää ○●▽△") == 0


def test_lines_keep_every_letter_and_fit():
    for text in ("one two three " * 9, LONG, "a " + LONG + " b", "", "two\nlines"):
        made = flow.lines(text, 120.0, 9.0)
        assert flat("".join(made)).replace(" ", "") == flat(text).replace(" ", "")
        assert max(flow.width(line, 9.0) for line in made) <= 120.0


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="pdftotext is not here")
@pytest.mark.parametrize("card", [FULL, Card()], ids=["full", "empty"])
def test_the_pdf_holds_its_words_on_one_page(tmp_path, card):
    path = page.save_pdf(card, tmp_path / "card.pdf")
    told = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True
    ).stdout
    assert told.count("\f") == 1
    for part in (card.felt or "not given", card.vehicle or "vehicle: not given", "SETTING CARD"):
        assert part in flat(told)
    if card is FULL:
        assert "8 (22)" in told
        assert "$5 or $7" in flat(told)


def test_the_pdf_carries_its_words_for_a_reader(tmp_path):
    told = page.save_pdf(FULL, tmp_path / "card.pdf").read_bytes()
    assert b"Setting card" in told
    assert page.alt_text(FULL).startswith("The page is the setting card of: Demo wagon. What you")
    assert "Not given: vehicle, date" in page.alt_text(Card())


def test_the_same_card_is_the_same_file_and_another_one_gets_a_new_name(tmp_path):
    path = tmp_path / "card.pdf"
    assert page.save_pdf(FULL, path) == path
    first = path.read_bytes()
    assert page.save_pdf(FULL, path) == path
    other = page.save_pdf(replace(FULL, date="2 December 2026"), path)
    assert other == tmp_path / "card-2.pdf"
    assert path.read_bytes() == first
    assert len(list(tmp_path.iterdir())) == 2


def test_a_file_of_somebody_else_stays(tmp_path):
    path = tmp_path / "card.pdf"
    path.write_text("my notes")
    assert page.save_pdf(FULL, path) == tmp_path / "card-2.pdf"
    assert path.read_text() == "my notes"
    with pytest.raises(LearnerError, match=r"name it 'card.png.pdf'"):
        page.save_pdf(FULL, tmp_path / "card.png")


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_failure_while_saving_leaves_no_half_page(tmp_path, monkeypatch, call):
    path = tmp_path / "card.pdf"
    path.write_text("my notes")

    def fails(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, call, fails)
        with pytest.raises(LearnerError, match="No space left"):
            page.save_pdf(FULL, path)
    assert [each.name for each in tmp_path.iterdir()] == ["card.pdf"]
    assert path.read_text() == "my notes"
