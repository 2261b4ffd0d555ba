"""The handover panel: what is pressed, what is shown, and what is never shown too early."""

import asyncio
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from dampinglab.course.handover_limits import AXLES
from dampinglab.course.handover_parts import KINDS
from dampinglab.course.handover_words import ROWS
from dampinglab.figures import handover as figure
from dampinglab.figures.look import ROOM, drawn
from dampinglab.panels.handover import handover_panel
from dampinglab.panels.handover_tables import by_drive
from dampinglab.workshop.gates import GATES


@pytest.fixture
def panel(tmp_path, monkeypatch):
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(tmp_path))
    return handover_panel(2)


def press(panel, name):
    def buttons(widget):
        yield from [widget] if getattr(widget, "description", "") == name else []
        for child in getattr(widget, "children", ()):
            yield from buttons(child)

    next(buttons(panel)).click()


def shown(panel):
    places = [place.value for place in panel.places.values()]
    return " ".join([*places, panel.sentence.value, panel.picture.alternative])


def test_the_panel_plays_a_job_from_look_to_score(panel, tmp_path):
    assert "nothing driven yet" in panel.picture.alternative
    for panel.gate.value in GATES:
        press(panel, "Look")
        assert f"Looked: {panel.gate.value}" in panel.sentence.value
        assert not any(kind.cause in shown(panel) for kind in KINDS.values())
    panel.gate.value = "gas"
    press(panel, "Mend")
    assert "Gas refilled" in shown(panel)
    press(panel, "Drive, three passes")
    assert "Outside the limit: front" in panel.picture.alternative
    assert "▲" in panel.places["scores"].value
    panel.adjuster.value, panel.by.value = "rebound", "-3.5"
    press(panel, "In, firmer")
    assert "a whole number such as 3" in panel.sentence.value
    panel.by.value = "10"
    press(panel, "In, firmer")
    assert "13 (11)" in panel.places["clicks"].value
    press(panel, "Out, softer")
    assert "One change at a time" in panel.sentence.value
    press(panel, "Undo")
    assert "23 (1)" in panel.places["clicks"].value
    press(panel, "In, firmer")
    press(panel, "Drive, three passes")
    assert panel.picture.alternative.endswith("Outside the limit: none.")
    numbers = [drive.scores["front", 2] for drive in panel.job.drives]
    change = f"{round(100 * (numbers[1] / numbers[0] - 1)):+d}".replace("-", "\N{MINUS SIGN}")
    told = f"{numbers[0]:#.3g} to {numbers[1]:#.3g} mm ({change}\N{NO-BREAK SPACE}%)"
    assert told in panel.places["compared"].value
    press(panel, "Hand back")
    assert "“nothing” where there is none" in panel.sentence.value
    for reason in panel.reasons.values():
        reason.value = "nothing"
    press(panel, "Refuse")
    assert "the check that holds it up" in panel.sentence.value
    press(panel, "Hand back")
    assert KINDS["lost gas"].cause in panel.sentence.value
    assert "40 of 40" in panel.places["score"].value
    assert all(each.disabled for each in (*panel.acts, *panel.reasons.values()))
    assert "as found" in panel.picture.scene.moving["key"].get_text()
    assert "What was felt: nothing; What was changed: nothing" in panel.places["history"].value
    again = handover_panel(2)
    assert "40 of 40" in again.places["score"].value
    press(again, "Start it again")
    assert again.places["score"].value == ""
    assert not any(each.disabled for each in (*again.acts, *again.reasons.values()))
    assert "not driven" in again.picture.scene.moving["key"].get_text()


def test_one_step_of_the_job_is_shown_at_a_time(panel):
    def seen(place):
        return place.layout.display != "none"

    assert seen(panel.gate)
    assert not seen(panel.picture.widget)
    panel.steps.value = "2 Drive and turn"
    assert not seen(panel.gate)
    assert seen(panel.picture.widget)
    assert seen(panel.places["scores"])
    panel.steps.value = "3 Hand over"
    assert seen(panel.places["score"])
    assert seen(panel.picture.widget)
    assert not seen(panel.places["scores"])


def test_a_seed_that_is_none_and_a_file_that_cannot_be_written_get_a_sentence(panel, tmp_path):
    panel.seed.value = f"{10**15}"
    press(panel, "Take this job")
    assert "The number of the job is 1000000000000000" in panel.sentence.value
    for wrong in ("abc", "1.5", "", "9" * 5000):
        panel.seed.value = wrong
        press(panel, "Take this job")
        assert "write a whole number" in panel.sentence.value
    panel.seed.value = "-3"
    press(panel, "Take this job")
    assert "Look first" in panel.sentence.value
    panel.seed.value = "x"
    press(panel, "Take this job")
    panel.seed.value = "-3"
    press(panel, "Start it again")
    assert "Look first" in panel.sentence.value
    (tmp_path / "handover.jsonl").mkdir()
    press(panel, "Look")
    assert "handover.jsonl" in panel.sentence.value


def test_a_drive_that_is_refused_says_so_where_a_kernel_listens(panel):
    async def drive():
        press(panel, "Drive, three passes")
        await panel.work.task

    panel.job.stand = replace(panel.job.stand, looked=(("unsafe", False),))
    asyncio.run(drive())
    assert "found at the check" in panel.sentence.value


def test_the_page_is_told_that_a_vehicle_is_made_before_it_is(monkeypatch, tmp_path):
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(tmp_path))

    async def take():
        panel = handover_panel(2)
        said = [(panel.sentence.value, panel.job)]
        await panel.opening
        panel.seed.value = "1"
        press(panel, "Take this job")
        said.append((panel.sentence.value, panel.job.seed))
        await panel.opening
        return said, panel

    said, panel = asyncio.run(take())
    assert [job for _, job in said] == [None, 2]
    for words, _ in said:
        assert 'role="status">Making the vehicle…' in words
    assert panel.job.seed == 1
    assert "Look first" in panel.sentence.value


def test_the_bar_counts_wheels_and_the_lists_fit_a_narrow_window(panel):
    told = []
    panel.work.told.observe(lambda change: told.append(change["new"]), "value")
    press(panel, "Drive, three passes")
    assert "1 of 4 wheels." in told[0]
    assert not any("drives" in words for words in told)
    assert panel.gate.layout.width == "auto"  # with a margin beside it, 100 % is too wide
    assert all("100%" in chosen.layout.max_width for chosen in panel.reasons.values())


def test_a_drive_that_is_stopped_does_not_count_and_says_so(panel):
    async def drive():
        press(panel, "Drive, three passes")
        await asyncio.sleep(0)
        press(panel, "Stop")
        await panel.work.task

    asyncio.run(drive())
    assert "this drive does not count" in panel.sentence.value
    assert "kept" not in panel.work.told.value
    assert panel.job.drives == []
    press(panel, "Drive, three passes")
    assert panel.work.bar.value == 0
    assert "Drive 1" in panel.sentence.value


def test_a_stop_that_comes_when_the_drive_is_over_does_not_deny_it(panel):
    async def drive():
        press(panel, "Drive, three passes")
        while not panel.job.drives:
            await asyncio.sleep(0)
        press(panel, "Stop")
        await panel.work.task

    asyncio.run(drive())
    assert len(panel.job.drives) == 1
    assert "Drive 1" in panel.sentence.value


def test_without_a_number_the_panel_goes_on_with_the_last_job(panel, tmp_path):
    press(panel, "Look")
    assert handover_panel().seed.value == "2"
    (tmp_path / "handover.jsonl").write_text('{"format": "dampinglab handover 1", "seed": "x"}\n')
    assert handover_panel().seed.value == "1"


def test_before_hand_over_the_last_drive_stands_beside_the_first(panel):
    for _ in range(3):
        press(panel, "Drive, three passes")
    panel.steps.value = "2 Drive and turn"
    assert "drive 2" in panel.picture.scene.moving["key"].get_text()
    panel.steps.value = "3 Hand over"
    assert "drive 1" in panel.picture.scene.moving["key"].get_text()
    panel.seed.value = "1"
    press(panel, "Take this job")
    assert panel.steps.value == "1 Look"


def test_two_numbers_that_differ_by_less_than_a_percent_get_no_signed_zero():
    drives = [
        SimpleNamespace(number=n, scores={(axle, i): v for axle in AXLES for i in range(len(ROWS))})
        for n, v in ((1, 24.8), (2, 24.7))
    ]
    told = by_drive(SimpleNamespace(drives=drives))
    assert "24.8 to 24.7 mm (under 1\N{NO-BREAK SPACE}%)" in told
    assert "0\N{NO-BREAK SPACE}%" not in told


def test_the_picture_puts_each_score_on_its_way_and_says_so():
    off = {("front", 0): 0.5, ("rear", 0): 1.5, ("rear", 8): 9.0}
    now, before = figure.Standing("drive 2", ROWS, off), figure.Standing("drive 1", ROWS, {})
    made = figure.scene(ROOM)
    figure.update(made, now, before)
    x, y = made.moving["rear"].get_data()
    assert x[0] == 1.5
    assert x[1] == pytest.approx(made.axes.get_xlim()[1] - 0.1)  # beyond the edge: at the edge
    assert (np.round(y) == [8, 0]).all()
    assert made.moving["row 8"].get_text() == ROWS[8]
    assert made.moving["row 8"].get_position()[1] == 0
    words = figure.alternative(now, before)
    assert "rear sinks on corrugations, at 9.0; rear restless on a usual road, at 1.5" in words
    assert drawn(figure, now, before).axes
