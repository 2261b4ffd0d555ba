"""The working tool: from an empty folder to a card, as it was left, and nothing is lost."""

import base64
import html
import json
import re
import shutil

import ipywidgets as widgets
import pytest

from dampinglab import journal
from dampinglab.data import dataset
from dampinglab.figures.card import _clicks
from dampinglab.panels.own import own_panel
from dampinglab.panels.own_boxes import STYLE, Box, Choice
from dampinglab.workshop.bounce import read_bounce
from dampinglab.workshop.card import read_card
from dampinglab.workshop.catalogue import COMPLAINTS
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.day import history
from dampinglab.workshop.own import FORMAT, save_own
from dampinglab.workshop.record import read_record

THREE = "low-speed bump, high-speed bump, rebound"
MASSES = {f"{c} mass": m for c, m in zip(CORNERS, ("638", "632", "533", "537"), strict=True)}
RATING = {"dampers known": "a rating: two numbers"}
for axle, (bump, rebound) in {"front": (700, 1100), "rear": (400, 700)}.items():
    RATING |= {f"{axle} bump": str(bump), f"{axle} rebound": str(rebound), f"{axle} speed": "130"}
COUNTS = {"front kind": THREE, "rear kind": "rebound"}
COUNTS |= {f"{c} low-speed bump": "14 of 20" for c in CORNERS[:2]}
COUNTS |= {f"{c} high-speed bump": "5 of 10" for c in CORNERS[:2]}
COUNTS |= {f"{c} rebound": "12 of 24" for c in CORNERS}


def all_of(widget, kind):
    found = [widget] if isinstance(widget, kind) else []
    return found + [
        each for child in getattr(widget, "children", ()) for each in all_of(child, kind)
    ]


def words(widget):
    """Return all that a widget says."""
    texts = [
        html.unescape(re.sub("<[^>]+>", " ", each.value)) for each in all_of(widget, widgets.HTML)
    ]
    return " ".join(" ".join(texts).split())


class Hand:
    """A learner's hand on the panel: boxes and lists by name, buttons by their words."""

    def __init__(self, folder):
        self.panel, self.folder = own_panel(folder), folder

    def open(self, heading):
        self.panel.show(heading)
        self.step = self.panel.steps[heading]
        return self

    def type(self, name, text):
        self.box(name).typed.value = text

    def box(self, name):
        return next(each for each in all_of(self.step, Box) if each.name == name)

    def pick(self, name, value):
        next(each for each in all_of(self.step, Choice) if each.name == name).value = value

    def press(self, label):
        buttons = all_of(self.step, widgets.Button)
        next(each for each in buttons if each.description == label).click()

    def says(self):
        return words(self.step)

    def lacks(self, heading):
        return words(self.panel.lacks[heading])


@pytest.fixture
def hand(tmp_path):
    return Hand(tmp_path / "job")


@pytest.fixture
def filled(tmp_path):
    """A folder as a technician leaves it after the scales, the rating and the count of clicks."""
    folder = tmp_path / "job"
    save_own(folder / "own.json", {**MASSES, **RATING, **COUNTS, "vehicle name": "Wagon"})
    shutil.copy(dataset("bounce/good_corner.csv"), folder)
    return folder


@pytest.fixture
def begun(filled):
    made = Hand(filled)
    made.open("Dampers").press("Record these as found")
    return made


@pytest.fixture
def measured(filled):
    """The same with a dyno table of its dampers, and the clicks counted that the table has."""
    shutil.copy(dataset("dyno/wagon_three_adjuster.csv"), filled)
    counts = {"front": (14, 5, 18), "rear": (9, 5, 12)}
    clicks = {
        f"{c} {name}": f"{found} of {total}"
        for c in CORNERS
        for name, found, total in zip(
            THREE.split(", "), counts[c.split()[0]], (20, 10, 28), strict=True
        )
    }
    table = {"dampers known": "a dyno table", "dampers table": "wagon_three_adjuster.csv"}
    save_own(filled / "own.json", {**table, "rear kind": THREE, **clicks})
    made = Hand(filled)
    made.open("Dampers").press("Record these as found")
    return made


def test_an_empty_folder_says_what_is_missing_in_every_step_and_opens_in_any_order(hand):
    for heading in [*reversed(hand.panel.steps), *hand.panel.steps]:
        hand.open(heading)
        assert len(hand.lacks(heading)) > 5
        assert "Traceback" not in hand.says()
    assert "mass on the front and rear wheels" in hand.lacks("Vehicle")
    assert "Waits" in hand.lacks("First setting")
    assert not hand.folder.exists(), "looking wrote something"
    assert repr(hand.panel)


def test_one_step_is_open_at_a_time(hand):
    hand.open("Vehicle").open("Card")
    seen = [h for h, step in hand.panel.steps.items() if step.layout.display != "none"]
    assert seen == ["Card"]


def test_every_box_and_list_is_as_it_was_left(filled):
    one = Hand(filled).open("Vehicle")
    one.type("front left mass", "1400 lb")
    one.type("rear wheel rate", "36")
    one.pick("unit stiffness", "lbf/in")
    one.type("front wheel rate", "220")
    one.type("rear unsprung", "far too heavy")
    one.open("Card").type("card felt", "It floats.\nOften.")
    two = Hand(filled).open("Vehicle")
    assert two.box("front left mass").typed.value == "1400 lb"
    assert two.box("rear wheel rate").typed.value == "36 N/mm", "another unit changed its meaning"
    assert two.box("front wheel rate").typed.value == "220 lbf/in"
    assert two.box("rear unsprung").typed.value == "far too heavy"
    assert "does not begin with a number" in words(two.box("rear unsprung").note)
    assert "Rear, unsprung mass" in two.lacks("Vehicle")
    assert two.open("Card").box("card felt").typed.value == "It floats.\nOften."


def test_what_is_assumed_is_told_and_goes_when_it_is_measured(filled):
    hand = Hand(filled).open("Vehicle")
    assert "motion ratio 0.75" in hand.says()
    for axle in ("front", "rear"):
        hand.type(f"{axle} pairs", "-40 24\n0 0\n40 -24")
    assert "motion ratio 0.75" not in hand.says()
    assert "moves 0.60 of the wheel's travel at ride height" in hand.says()


def test_a_sheet_written_by_hand_is_taken_in_place_of_the_boxes(filled):
    shutil.copy(dataset("vehicles/wagon.toml"), filled / "vehicle.toml")
    hand = Hand(filled).open("Vehicle")
    hand.pick("vehicle from", "a sheet that I wrote: vehicle.toml")
    assert "Demo touring wagon" in hand.lacks("Vehicle")
    assert hand.panel.bench.vehicle().corner("rear").wheel_rate == 36e3
    hand.type("vehicle file", "none.toml")
    assert "none.toml: there is no such file" in hand.lacks("Vehicle")


def test_clicks_counted_start_the_trials_once(begun):
    day = history(begun.folder / "trials.jsonl")
    assert day.setting["front left"]["low-speed bump"] == 14
    assert (day.vehicle, day.totals["rear right"]) == ("Wagon", {"rebound": 24})
    assert "Recorded in trials.jsonl" in begun.says()
    assert begun.step.begin.disabled


def test_clicks_are_recorded_before_anything_is_weighed(tmp_path):
    save_own(tmp_path / "own.json", COUNTS)
    Hand(tmp_path).open("Dampers").press("Record these as found")
    assert history(tmp_path / "trials.jsonl").vehicle == "vehicle without a name"


def test_a_table_with_other_clicks_than_were_counted_is_questioned(measured):
    told = words(measured.open("Dampers").step.unlike)
    assert "Rear rebound: 28 clicks were counted in all, and the table has 24: count again" in told
    assert "high-speed bump" not in told
    measured.pick("dampers known", "nothing yet")
    assert words(measured.step.unlike) == ""


def test_a_click_not_counted_is_named_and_nothing_is_written(filled):
    hand = Hand(filled).open("Dampers")
    hand.type("rear left rebound", "25 of 24")
    assert "count again" in words(hand.box("rear left rebound").note)
    hand.press("Record these as found")
    assert "Rear left rebound" in hand.says()
    assert not (filled / "trials.jsonl").exists()


def test_boxes_of_an_axle_stay_when_the_other_one_s_kind_is_said(hand):
    hand.open("Dampers").pick("front kind", THREE)
    box = hand.box("front left rebound")
    box.typed.value = "3 of 20"
    hand.pick("rear kind", "rebound")
    assert hand.box("front left rebound") is box


def test_a_bounce_test_is_read_and_set_beside_what_is_foretold(begun):
    begun.open("Bounce test").type("front left record", "good_corner.csv")
    reading = read_bounce(read_record(begun.folder / "good_corner.csv"))
    assert reading.words in begun.says()
    assert "sheet and damper foretell" in begun.says()
    assert "<img" in begun.step.picture.children[0].value
    begun.type("front right record", "none.csv")
    assert "Front right: none.csv: there is no such file" in begun.says()
    assert begun.box("front right record").typed.options == ("good_corner.csv",)
    begun.type("front right record", "time,acceleration " * 30)
    assert "is no name of a file" in begun.says()
    begun.open("Road log").type("log", "x" * 300)
    assert "is no name of a file" in begun.lacks("Road log") + begun.says()
    begun.open("Bounce test").type("front right record", '"good_corner.csv"')
    assert "left and right agree" in begun.says()


def test_a_file_that_is_gone_is_not_told_as_there(begun):
    begun.open("Bounce test").type("front left record", "good_corner.csv")
    assert begun.lacks("Bounce test") == "Recorded: front left."
    begun.type("front right record", "none.csv")
    gone = "Recorded: front left. Named, but not in the folder: front right."
    assert begun.lacks("Bounce test") == gone
    begun.open("Road log").type("log", "none.csv")
    assert "named, but not in the folder" in begun.lacks("Road log")
    begun.open("Dampers").pick("dampers known", "a dyno table")
    begun.type("dampers table", "none.csv")
    assert begun.lacks("Dampers").startswith("Still missing: the dyno table")


def test_before_a_slow_step_or_button_the_page_says_that_it_works(begun, monkeypatch):
    seen = []

    def watched(thing, name, said):
        act = getattr(thing, name)
        monkeypatch.setattr(thing, name, lambda: seen.append(words(said)) or act())

    step = begun.panel.steps["First setting"]
    watched(step, "build", begun.panel.lacks["First setting"])
    begun.open("First setting")
    assert begun.lacks("First setting") == "Ready."
    watched(step, "look", begun.panel.lacks["First setting"])
    begun.panel.bench.put({"front bump": "750 N"})
    card = begun.open("Card").step
    watched(card, "_card", card.said)
    begun.press("Save the page as PDF")
    assert "The page is" in words(card.said)
    assert seen[:3] == ["Working…"] * 3


def test_a_panel_within_has_no_size_of_its_own_and_follows(measured):
    shutil.copy(dataset("travel/highway.csv"), measured.folder)
    measured.open("Road log").type("log", "highway.csv")
    (zones,), felt = measured.step.view.children, measured.open("What is felt").step.panel
    assert zones.room.layout.display == felt.room.layout.display == "none"
    measured.panel.room.value = True
    assert felt.room.value
    measured.open("Road log")
    assert zones.room.value


def test_a_road_log_is_told_with_and_without_a_measured_damper(begun):
    for place in ("travel/highway.csv", "dyno/wagon_three_adjuster.csv"):
        shutil.copy(dataset(place), begun.folder)
    begun.open("Road log").type("log", "highway.csv")
    assert "of its moving time below 100 mm/s" in begun.says()
    assert not begun.step.view.children
    begun.type("log", "nothing.csv")
    assert "no such file" in begun.says()


def test_a_road_log_is_shown_at_the_clicks_of_now_and_named_in_one_place(measured):
    shutil.copy(dataset("travel/highway.csv"), measured.folder)
    measured.open("Road log").type("log", "highway.csv")
    (zones,) = measured.step.view.children
    assert zones.values()["setting"] == (14, 5, 18), "not the clicks as found"
    assert zones.choice.layout.display == zones.path.layout.display == "none"
    assert measured.says().count("cut off at") == 1, "what the log is worth is told twice"
    measured.open("Trials").pick("change adjuster", "rebound")
    measured.type("change clicks", "2")
    measured.press("Turn both dampers and record it")
    (again,) = measured.open("Road log").step.view.children
    assert again.values()["setting"] == (14, 5, 20), "not the clicks of now"


def test_the_first_setting_is_drawn_and_kept_as_text(begun):
    begun.open("First setting")
    assert "START AT low-speed bump 14" in begun.says()
    for axle, picture in zip(("Front", "Rear"), begun.step.view.children, strict=True):
        assert f"{axle}: on slow movements" in picture.value, "not an axle at a time"
    begun.press("Keep this bench sheet as text")
    sheet = (begun.folder / "bench-sheet.txt").read_text()
    assert "BASELINE" in sheet
    assert "ASSUMED  Front: a spring on which" in sheet
    assert "ASSUMED  Not on the sheet, front and rear: unsprung" in sheet
    begun.open("Dampers").pick("dampers known", "nothing yet")
    assert "0.15 to 0.5 of critical" in begun.open("First setting").says()
    assert not begun.step.view.children


def test_a_change_is_recorded_refused_meant_and_undone(begun):
    begun.open("Trials")
    begun.pick("change axle", "rear")
    begun.pick("change adjuster", "rebound")
    begun.pick("change way", "in, firmer")
    begun.type("change clicks", "4")
    begun.press("Turn both dampers and record it")
    assert "Rear rebound 4 clicks in, firmer, both sides: now 8" in begun.says()
    begun.pick("change axle", "front")
    begun.press("Turn both dampers and record it")
    assert "tick “A second change is meant”" in begun.says()
    assert "more=True" not in begun.says()
    begun.step.more.value = True
    begun.press("Turn both dampers and record it")
    day = history(begun.folder / "trials.jsonl")
    assert [e.kind for e in day.entries] == ["as found", "change", "change"]
    assert not begun.step.more.value, "the next one must be asked for anew"
    begun.step.to.value = 1
    begun.press("Go back")
    assert history(day.path).setting == day.entries[0].setting
    for nonsense in ("", "-4", "four", "9999999"):
        begun.type("change clicks", nonsense)
        begun.press("Turn both dampers and record it")
        assert "whole number such as 3" in words(begun.step.changed)


def test_a_second_turn_without_a_drive_is_told_and_not_forbidden(begun):
    begun.open("Trials").pick("change adjuster", "rebound")
    begun.type("change clicks", "2")
    begun.press("Turn both dampers and record it")
    assert "without a drive" not in words(begun.step.changed)
    begun.press("Turn both dampers and record it")
    assert "That is turn 2 without a drive between" in words(begun.step.changed)
    begun.press("Record this drive")
    begun.press("Turn both dampers and record it")
    assert "without a drive" not in words(begun.step.changed)


def test_sides_that_differ_are_set_alike_with_what_was_found(filled):
    hand = Hand(filled).open("Dampers")
    hand.type("rear left rebound", "9 of 24")
    hand.press("Record these as found")
    assert "a fault to find, never a setting" in hand.open("First setting").says()
    hand.open("Trials")
    assert "a fault to find, never a setting" in hand.says()
    assert hand.step.alike_row.layout.display == ""
    hand.pick("change axle", "rear")
    hand.pick("change adjuster", "rebound")
    hand.type("change clicks", "2")
    hand.press("Turn both dampers and record it")
    assert "then set both alike below" in words(hand.step.changed)
    hand.press("Set both sides alike")
    assert "Write what was found first" in words(hand.step.changed)
    hand.type("alike found", "knob turned by hand")
    hand.type("alike clicks", "12")
    hand.press("Set both sides alike")
    hand.open("Card").pick("card empty record", "1")
    told = "Fall-back when empty: rear rebound stands 9 clicks out on the left and 12 on the right"
    assert told in words(hand.step.unlike)
    hand.open("Trials")
    assert history(filled / "trials.jsonl").faults == ()
    assert hand.step.alike_row.layout.display == "none"


def drive(hand, *ratings):
    for n, rating in enumerate(ratings, 1):
        hand.type(f"rating 1 pass {n}", str(rating))
    hand.press("Record this drive")


def test_drives_with_their_method_are_compared_a_b_a(begun):
    begun.open("Trials")
    typed = {"route": "ring", "driver": "Ann", "load": "empty", "speed_kmh": "80 km/h",
             "fuel_percent": "70 %", "air_c": "20 °C", "damper_c": "41,5"}  # fmt: skip
    for name, text in typed.items():
        begun.type(f"drive {name}", text)
    for corner in CORNERS:
        begun.type(f"drive {corner} cold", "2.4 bar")
    for name, said in (("warm", "yes"), ("rated_first", "yes"), ("knew", "no")):
        begun.pick(f"drive {name}", said)
    begun.pick("change adjuster", "rebound")
    begun.type("change clicks", "3")
    drive(begun, 4, 4, 5)
    begun.press("Turn both dampers and record it")
    drive(begun, 8, 8, 8)
    begun.step.to.value = 1
    begun.press("Go back")
    drive(begun, 4, 5, 4)
    day = history(begun.folder / "trials.jsonl")
    method = day.entry(2).method
    assert method.cautions == ()
    assert (method.speed_kmh, method.damper_c, method.passes) == (80, 41.5, 3)
    assert method.cold_kpa["rear right"] == 240
    assert day.entry(2).ratings == {"body control": (4.0, 4.0, 5.0)}
    assert (begun.step.a.value, begun.step.b.value) == (2, 4)
    begun.press("Compare")
    assert "A repeats, and B differs in body control" in words(begun.step.compared)
    assert {typed.placeholder for typed in begun.step.cold.values()} == {"kPa"}
    begun.panel.bench.put({"front left cold": "230 kPa"})
    assert begun.step.cold["front left"].placeholder == "as on the sheet"
    assert begun.box("rating 1 pass 1").typed.value == "", "ratings of the drive before stay"
    assert begun.box("drive route").typed.value == "ring"


def test_a_drive_that_cannot_be_gets_one_sentence(begun):
    begun.open("Trials")
    drive(begun, 11, 4, 4)
    assert "is outside the range 1 to 10" in words(begun.step.drove)
    begun.type("drive speed_kmh", "fast")
    drive(begun, 7, 4, 4)
    assert "is not a number" in words(begun.step.drove)
    assert len(history(begun.folder / "trials.jsonl").entries) == 1


def test_compare_begins_with_the_last_two_settings_driven_or_says_what_is_missing(begun):
    step = begun.open("Trials").step
    begun.pick("change adjuster", "rebound")
    begun.type("change clicks", "3")
    for says in ("Nothing was driven yet", "only one drive yet", "were at one setting"):
        assert says in words(step.why)
        assert step.pair.layout.display == "none"
        begun.press("Record this drive")
    begun.press("Turn both dampers and record it")
    drive(begun, 8)
    assert step.pair.layout.display == ""
    assert words(step.why).endswith("second A by itself.")
    assert (step.a.value, step.b.value) == (4, 6)
    assert [line for line, _ in step.a.options][:2] == [
        "Drive 6: Front rebound 3 clicks out, softer", "Drive 4: as found"]  # fmt: skip
    begun.press("Compare")
    assert "share no rating and no score: rate alike in both" in words(step.compared)


def test_the_head_of_the_trials_names_the_change_that_stands_and_old_answers_go(begun):
    begun.panel.bench.put({"felt change": "front rebound 3 clicks out, softer"})
    step = begun.open("Trials").step
    assert begun.lacks("Trials").endswith("taken over: front rebound 3 clicks out, softer.")
    begun.pick("change adjuster", "rebound")
    begun.type("change clicks", "3")
    begun.press("Turn both dampers and record it")
    stands = "Front rebound 3 clicks out, softer."
    assert begun.lacks("Trials") == f"{stands} Next, drive it."
    begun.press("Record this drive")
    assert begun.lacks("Trials") == f"{stands} Record 3: Driven: not rated."
    assert words(step.now).startswith(f"{stands} Out from closed: front low-speed bump 14")
    assert words(step.changed) == "", "an answer to an older record stays"
    assert words(step.drove).startswith("3. Driven")
    begun.press("Go back")
    assert begun.lacks("Trials") == "It stands as found. Next, drive it."
    assert history(begun.folder / "trials.jsonl").entry(3).method.passes is None
    assert begun.open("Card").step._card().changed == "Nothing: it goes as it was found."


def test_no_list_of_records_cuts_a_word(begun):
    begun.open("Trials").pick("change adjuster", "rebound")
    begun.type("change clicks", "3")
    begun.type("drive route", "the long way round by the mill, the ford and the old quarry " * 2)
    begun.press("Turn both dampers and record it")
    begun.press("Record this drive")
    begun.press("Go back")
    lines = [line for line, _ in begun.step.to.options]
    assert lines[0] == "4. Back to the setting of record 1"
    assert lines[1] == (
        "3. Driven on the long way round by the mill, the ford and the old quarry the …"
    )
    assert lines[-1] == "1. As found"
    records = begun.open("Card").step.records["empty"].options
    assert [line for line, _ in records][1] == "as after 1. As found"


def test_what_is_wrong_with_a_box_stands_below_all_of_its_row(filled):
    hand = Hand(filled).open("Vehicle")
    hand.type("front right mass", "heavy")
    box = hand.box("front right mass")
    line = next(each for each in all_of(hand.step, widgets.HBox) if box in each.children)
    assert box.note in line.children
    assert words(box.note).startswith("Front right: 'heavy'")
    assert words(hand.box("front left mass").note) == ""


def test_clicks_from_soft_are_those_of_the_card_where_count_and_table_differ(measured):
    felt = measured.open("What is felt").step.panel
    felt.axle.value = "rear"
    assert "rebound 12 (16)" in words(felt.stands), "the table has 24, and 28 were counted"
    card = measured.open("Card").step._card()
    assert _clicks(card, card.final, "rear", "rebound") == "12 (16)"


def test_what_the_owner_may_turn_is_what_the_list_shows(begun):
    begun.open("Card").type("may 1 softer", "1")
    shown = next(e for e in all_of(begun.step, Choice) if e.name == "may 1 adjuster")
    assert shown.options == ("low-speed bump", "high-speed bump", "rebound")
    assert begun.step._card().owner_may[0].adjuster == shown.value
    begun.pick("may 1 axle", "rear")
    assert "rear left damper has no low-speed bump adjuster" in begun.lacks("Card")


def test_headings_of_boxes_are_as_large_as_the_other_words():
    assert not re.findall(r"font-size:\d+px", STYLE), "a size that does not follow the words"
    (place,) = re.findall(r"dl-place {[^}]*--dl-words\) \* ([\d.]+)", STYLE)
    assert float(place) * 18 >= 15


def advised(hand, complaint, axle):
    panel = hand.open("What is felt").step.panel
    panel._mark_all()
    panel.axle.value = axle
    panel.complaint.value = complaint
    return panel


def test_the_trade_s_change_is_taken_over_where_only_a_rating_is_known(begun):
    begun.open("Trials").pick("change way", "out, softer")  # boxes that are made already follow
    begun.open("Card")
    panel = advised(begun, "floats", "rear")
    assert panel.chosen is None
    assert "The trade turns rebound, more" in words(panel.after)
    assert "else" not in words(panel.after), "an adjuster that these dampers have not is advised"
    begun.press("Take this change into the trials")
    assert begun.panel.tops["Trials"].value, "the trials were not opened"
    assert begun.open("Trials").box("change clicks").typed.value == "5"
    begun.press("Turn both dampers and record it")
    assert (
        history(begun.folder / "trials.jsonl").entries[-1].words.startswith("Rear rebound 5 clicks")
    )
    card = begun.open("Card").step._card()
    assert card.felt == begun.box("card felt").typed.value == COMPLAINTS["floats"].words
    assert card.given_up == COMPLAINTS["floats"].remedies[0].price
    assert "can unsettle it" in card.cautions[0]


def test_a_price_and_its_caution_stand_on_the_card_as_long_as_the_change_stands(begun):
    def card():
        return begun.open("Card").step._card()

    advised(begun, "floats", "rear")
    begun.press("Take this change into the trials")
    assert card().given_up is None, "the price of a change that was not turned yet"
    begun.open("Trials").press("Turn both dampers and record it")
    assert card().given_up == COMPLAINTS["floats"].remedies[0].price
    step = begun.open("Trials").step
    step.to.value = 1  # the clicks as found
    begun.press("Go back")
    assert card().given_up is None, "the price of a change that was undone"
    assert "can unsettle it" not in " ".join(card().cautions or ())
    step = begun.open("Trials").step
    step.to.value = 2
    begun.press("Go back")
    begun.open("Card").type("card given_up", "Some comfort.")
    assert card().given_up == "Some comfort."


def test_a_change_for_which_there_is_no_adjuster_is_said(begun):
    panel = advised(begun, "sharp, small", "rear")
    assert "no adjuster for it: no click cures this here" in words(panel.after)
    begun.press("Take this change into the trials")
    told = "The trade turns low-speed bump for it at the rear, and these dampers have no click left"
    assert told in words(begun.step.answer)


def test_a_computed_change_is_taken_over_as_it_is(measured):
    hand = measured
    panel = advised(hand, "sharp, small", "rear")
    assert panel.chosen
    hand.press("Take this change into the trials")
    _, axle, adjuster, by = panel.chosen
    hand.open("Trials")
    assert hand.box("change clicks").typed.value == str(abs(by))
    assert (hand.step.axle.value, hand.step.adjuster.value) == (axle, adjuster)
    assert (hand.step.way.value == "out, softer") == (by > 0)


def test_nothing_is_taken_over_before_something_is_advised(begun):
    begun.open("What is felt").press("Take this change into the trials")
    assert "Nothing is advised yet" in begun.says()


def test_checks_stay_checked_when_the_setting_changes(begun):
    panel = advised(begun, "floats", "rear")
    begun.open("Trials").type("change clicks", "1")
    begun.press("Turn both dampers and record it")
    again = begun.open("What is felt").step.panel
    assert again is not panel
    assert all(again.answers().values())


def test_a_card_is_shown_saved_and_printed_under_a_new_name(begun):
    begun.open("Card")
    for name, text in {"felt": "It floats.", "given_up": "Sharper.", "not_fixed": "none"}.items():
        begun.type(f"card {name}", text)
    assert "older than the boxes" in words(begun.step.stale)
    begun.press("Show the page")
    assert words(begun.step.stale) == ""
    assert "It floats" in begun.step.page.children[0].value
    begun.type("card felt", "It floats no more.")
    begun.press("Save the card")
    assert "It floats no more" in begun.step.page.children[0].value
    card = read_card(begun.folder / "card.json")
    assert (card.felt, card.not_fixed, card.masses_kg["front left"]) == (
        "It floats no more.",
        (),
        638,
    )
    begun.press("Save the page as PDF")
    begun.type("card felt", "It floats less.")
    begun.press("Save the page as PDF")
    pages = sorted(begun.folder.glob("setting-card-*.pdf"))
    assert len(pages) == 2
    assert pages[0].read_bytes() != pages[1].read_bytes()


def test_a_foreign_card_json_stays_and_is_said(begun):
    (begun.folder / "card.json").write_text("mine")
    begun.open("Card").press("Save the card")
    assert "card.json: this is no setting card" in begun.says()
    assert (begun.folder / "card.json").read_text() == "mine"


def test_what_cannot_be_saved_is_said_and_saved_with_the_next_change(filled, monkeypatch):
    hand = Hand(filled).open("Vehicle")
    before = (filled / "own.json").read_bytes()

    def fails(*_arguments, **_options):
        raise OSError(30, "Read-only file system")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, "replace", fails)
        hand.type("front left mass", "640")
    assert "Not saved yet" in words(hand.panel.saved)
    assert "Read-only file system" in words(hand.panel.saved)
    assert (filled / "own.json").read_bytes() == before
    assert hand.panel.bench.vehicle().axles["front"].left_mass == 640, "work does not go on"
    hand.type("front right mass", "641")
    assert words(hand.panel.saved) == ""
    saved = json.loads((filled / "own.json").read_text())["written"]
    assert (saved["front left mass"], saved["front right mass"]) == ("640 kg", "641 kg")


def test_a_newer_or_damaged_file_is_said_on_opening(filled):
    (filled / "own.json").write_text(json.dumps({"format": "dampinglab own 9"}))
    hand = Hand(filled).open("Vehicle")
    assert "newer version" in words(hand.panel.saved)
    hand.type("front left mass", "640")
    assert json.loads((filled / "own.json").read_text()) == {"format": "dampinglab own 9"}
    (filled / "own.json").write_text("{torn")
    assert "kept as own-damaged.json" in words(Hand(filled).panel.saved)


def test_a_text_that_no_file_can_hold_is_refused_and_the_rest_goes_on(filled):
    hand = Hand(filled).open("Card")
    hand.type("card felt", "\ud800")
    assert "letters that cannot be written" in words(hand.box("card felt").note)
    hand.type("card given_up", "Some comfort.")
    assert words(hand.panel.saved) == ""


def test_damaged_trials_are_said_and_the_panel_opens(begun):
    begun.open("Trials")
    (begun.folder / "trials.jsonl").write_text("torn")
    begun.press("Go back")
    hand = Hand(begun.folder)
    for heading in hand.panel.steps:
        hand.open(heading)
        assert "Traceback" not in hand.says()
    assert "trials.jsonl" in hand.lacks("Trials")


def test_without_a_folder_it_is_the_learner_s_workbook(tmp_path, monkeypatch):
    monkeypatch.setenv("DAMPINGLAB_WORKBOOK", str(tmp_path))
    assert own_panel().bench.path == tmp_path / "own.json"


def test_projector_size_draws_larger(begun):
    begun.open("Bounce test").type("front left record", "good_corner.csv")
    small = begun.step.picture.children[0].value
    begun.panel.room.value = True
    assert len(begun.step.picture.children[0].value) > 1.2 * len(small)
    (both,) = begun.open("First setting").step.view.children
    assert wide(both) > 2000, "coarser than a projector shows it"
    begun.panel.room.value = False
    assert [wide(each) < 1000 for each in begun.step.view.children] == [True, True]


def wide(picture):
    """Return how many pixels of a picture lie side by side, as its file says."""
    told = base64.b64decode(picture.value.partition("base64,")[2][:32])
    return int.from_bytes(told[16:20], "big")


def test_the_format_is_named_first(begun):
    assert next(iter(json.loads((begun.folder / "own.json").read_text()).items())) == (
        "format", FORMAT)  # fmt: skip
