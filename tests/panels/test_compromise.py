"""The compromise's panel: coarse first, finer, everything; stop keeps; each choice is answered."""

import asyncio
import html
import math
import re
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from dampinglab.errors import OutOfRange
from dampinglab.panels import compromise
from dampinglab.panels.working import Work
from dampinglab.workshop import demo, mix
from dampinglab.workshop.tried import Progress


def words(widget):
    return html.unescape(re.sub("<[^>]+>", " ", widget.value)).replace("\xa0", " ")


@pytest.fixture
def brief(monkeypatch):
    """Short roads, for what is looked at here is the panel."""
    ways = {name: replace(way, duration=1.2) for name, way in mix.WAYS.items()}
    monkeypatch.setattr(mix, "WAYS", MappingProxyType(ways))
    monkeypatch.setattr(compromise, "_PROCESSES", 1)


@pytest.fixture
def panel(brief):
    utility = demo.vehicle("utility")
    damper = {"rear": demo.damper("rear", "utility_two_adjuster")}
    return compromise.compromise_panel(utility, damper)


def test_it_has_looked_closer_and_says_what_to_turn(panel):
    told = words(panel.sentence)
    assert all("100%" in chosen.layout.max_width for chosen in panel.choices.values())
    assert told.strip().startswith("No change in what is asked. Balanced: bump ")
    assert "in clicks out from closed (from soft). Against the maker's setting" in told
    assert "cannot be told from it, nearest to the maker's setting" in told
    assert len(panel.now.equals) == len(panel.now.choice.equals) > 0
    assert re.search(r"Starting at the maker's setting costs [\d.]+ %: \w+ from", words(panel.told))
    assert "Starting at the middle of force" in words(panel.told)
    assert "What counts: comfort, by shaking (ISO 2631 Wk), 30 %; soft edges" in words(panel.told)
    chosen = panel.now.choice.setting
    for name, clicks, most in zip(("bump", "rebound"), chosen, (12, 20), strict=True):
        assert f"{name} {clicks} ({most - clicks})" in told


def test_the_picture_is_of_the_scores(panel):
    key = ("rear", "as weighed", "a bit of everything")
    tried = panel.kept[key]
    shares = np.array([c.share for c in tried.conditions])
    x, y = panel.picture.scene.moving["every"].get_data()
    assert np.allclose(x, shares @ tried.scores.weighted)
    assert np.allclose(y, 1e3 * shares @ tried.scores.body_motion)
    panel.choices["up"].value = "energy into the bump stop"
    y = panel.picture.scene.moving["every"].get_ydata()
    assert np.allclose(y, shares @ tried.scores.stop_energy)


def test_every_setting_is_tried_and_kept(panel):
    coarse = panel.now.choice.cost
    assert len(panel.now.across) < 13 * 21
    panel.every.click()
    assert len(panel.now.across) == 13 * 21
    assert "Tried: 273 of 273 settings." in words(panel.told)
    assert panel.now.choice.cost <= coarse
    assert panel.work.halt.disabled
    panel.choices["priority"].value = "grip first"
    assert len(panel.now.across) == 13 * 21
    assert words(panel.sentence).strip().startswith("Priority from balanced to grip first")


def test_another_load_is_another_question_and_before_is_a_ghost(panel):
    panel.choices["load"].value = "tools and material"
    told = words(panel.sentence).strip()
    assert told.startswith("Load from as weighed to tools and material, and the choice")
    moved = "the choice moves" in told
    assert (panel.picture.scene.moving["before label"].get_text() == "before") == (
        moved and "before" in panel.now.named
    )
    panel.choices["load"].value = "every load, alike"
    tried = panel.kept["rear", "every load, alike", "a bit of everything"]
    assert len(tried.conditions) == 8


def test_a_load_that_does_not_fit_is_said_and_the_panel_lives(panel, monkeypatch):
    def refuse(*_):
        raise OutOfRange("900 kg more on this corner is work for a spring.")

    monkeypatch.setattr(compromise, "conditions", refuse)
    panel.choices["roads"].value = "gravel"
    assert "work for a spring" in words(panel.sentence)
    panel.every.click()
    assert "work for a spring" in words(panel.sentence)
    monkeypatch.undo()


def test_keep_compares_with_what_is_shown_now(panel):
    panel.choices["priority"].value = "comfort first"
    panel.keep.click()
    assert words(panel.sentence).strip().startswith("No change in what is asked. Comfort first:")


# --- work in slices


def counting(total, log):
    try:
        for done in range(1, total + 1):
            log.append(done)
            yield Progress(done, total, None)
    finally:
        log.append("closed")


def counted(now):
    return f"{now.done:,} of {now.total:,} numbers."


def test_work_without_a_loop_is_done_at_once():
    log, seen = [], []
    work = Work(lambda now: seen.append((now.done, work.bar.value)), lambda words: None)
    work.begin(counting(4, log), counted)
    assert log == [1, 2, 3, 4, "closed"]
    assert seen == [(1, 0.25), (2, 0.5), (3, 0.75), (4, 1.0)]
    assert work.halt.disabled
    assert work.bar.value == 0  # a full bar would look like work


def test_work_lets_others_in_between_slices_and_a_stop_is_heard():
    log = []

    async def page():
        work = Work(lambda now: None, lambda words: None)
        work.begin(counting(10_000, log), counted)
        assert log == []  # nothing has been held up yet
        await asyncio.sleep(0.05)
        assert not work.halt.disabled
        assert "of 10,000 numbers" in words(work.told)
        work.halt.click()
        await asyncio.sleep(0.05)
        assert work.halt.disabled
        assert work.bar.value == 0
        assert "what was done is kept" in words(work.told)

    asyncio.run(page())
    assert log[-1] == "closed"
    assert 1 <= len(log) - 1 < 100


def test_other_work_takes_the_place_of_what_goes_on():
    first, second, seen = [], [], []

    async def page():
        work = Work(lambda now: seen.append(now.total), lambda words: None)
        work.begin(counting(10_000, first), counted)
        await asyncio.sleep(0.05)
        work.begin(counting(3, second), counted)
        await asyncio.sleep(0.2)

    asyncio.run(page())
    assert first[-1] == second[-1] == "closed"
    assert seen[-3:] == [3, 3, 3]


def test_trouble_in_the_work_is_one_sentence():
    said = []

    def bad():
        yield Progress(1, 2, None)
        raise OutOfRange("This cannot be driven.")

    Work(lambda now: None, said.append).begin(bad(), counted)
    assert said == ["This cannot be driven."]


def test_a_search_that_is_stopped_keeps_what_was_tried(brief):
    async def page():
        panel = compromise.compromise_panel()
        coarse = len(panel.now.across)
        panel.every.click()
        while len(panel.kept["front", "as weighed", "a bit of everything"].settings) <= coarse:
            await asyncio.sleep(0.02)
        while "Trying" not in (told := words(panel.work.told)):
            await asyncio.sleep(0.02)
        panel.shown = math.inf  # the picture is the older one
        while (last := words(panel.work.told)) == told:
            await asyncio.sleep(0.02)
        panel.work.halt.click()
        await asyncio.sleep(0.3)
        kept = len(panel.kept["front", "as weighed", "a bit of everything"].settings)
        assert coarse < kept < 5225
        assert f"Trying every setting: {kept:,} of 5,225 tried so far." in last
        assert f"Tried: {kept:,} of 5,225 settings." in words(panel.told)

    asyncio.run(page())


def test_a_panel_that_is_shown_anew_stops_the_search_of_the_one_before(brief):
    async def page():
        first = compromise.compromise_panel()
        assert first.work.running is not None
        second = compromise.compromise_panel()
        assert first.work.running is None
        assert second.work.running is not None
        second.work.stop()

    asyncio.run(page())
