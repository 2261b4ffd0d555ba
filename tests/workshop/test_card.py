"""The setting card: a file that reads back whole or says one sentence, and is never lost."""

import json
import os
from dataclasses import fields, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab import journal
from dampinglab.errors import LearnerError
from dampinglab.workshop import trials
from dampinglab.workshop.card import NAMES, Card, Leeway, Setup, card_of, read_card, write_card
from dampinglab.workshop.corners import CORNERS
from dampinglab.workshop.method import Method
from tests.workshop.conftest import JSON, all_places, put

FUZZ = 2000 if os.environ.get("DAMPINGLAB_LONG") == "1" else 50

TOTALS = {
    **{corner: {"low-speed bump": 20, "rebound": 24} for corner in CORNERS[:2]},
    **{corner: {"rebound": 30} for corner in CORNERS[2:]},
}


def setup(low, front, rear, cold=240):
    clicks = {corner: {"low-speed bump": low, "rebound": front} for corner in CORNERS[:2]}
    clicks |= {corner: {"rebound": rear} for corner in CORNERS[2:]}
    return Setup(clicks, dict.fromkeys(CORNERS, cold))


FULL = Card(
    vehicle="Demo wagon",
    date="25 November 2026",
    customer_words="It wallows “like a boat”, 日本 $5 and $7.\nEvery time.",
    felt="The body kept moving after a rise.",
    changed="Rear rebound four clicks in.",
    given_up="Sharp holes are felt a little more.",
    totals=TOTALS,
    as_found=setup(14, 18, 12),
    final=setup(14, 18, 8),
    empty=setup(14, 18, 10),
    loaded=setup(12, 18, 6, 300),
    masses_kg=dict(zip(CORNERS, (638, 632, 533.5, 537), strict=True)),
    heights_mm=dict(zip(CORNERS, (452, 450, 461, 460), strict=True)),
    owner_may=(Leeway("rear", "rebound", 2, 3), Leeway("front", "low-speed bump", 0, 1)),
    come_back="After 1,000 km.",
    not_fixed=("Worn rear bushes.",),
    trials=("1. As found.", "2. Rear rebound four clicks in."),
    cautions=(),
)


def one_sentence(words):
    assert "\n" not in words
    assert words.endswith(".")


def refused(act, *arguments, match, **options):
    with pytest.raises(LearnerError, match=match) as caught:
        act(*arguments, **options)
    one_sentence(str(caught.value))


@pytest.fixture
def path(tmp_path):
    return tmp_path / "card.json"


def without(name):
    """Return the full card without one part, and without what hangs on it."""
    hangs = {
        "totals": ("as_found", "final", "empty", "loaded", "owner_may"),
        "final": ("owner_may",),
    }
    return replace(FULL, **dict.fromkeys((name, *hangs.get(name, ()))))


@pytest.mark.parametrize("card", [FULL, Card(), *map(without, NAMES)])
def test_a_card_reads_back_whole(path, card):
    write_card(path, card)
    assert read_card(path) == card
    assert next(iter(json.loads(path.read_text("utf-8")))) == "format"


def test_every_part_has_a_name_and_what_is_missing_is_named():
    assert set(NAMES) == {field.name for field in fields(Card)}
    assert FULL.missing == ()
    assert set(Card().missing) == set(NAMES.values())
    assert without("come_back").missing == ("when to come back",)
    assert replace(FULL, felt="  ").missing == ("what you felt",)


@pytest.mark.parametrize(
    ("part", "value", "match"),
    [
        ("final", setup(21, 18, 8), "Final setting: Front left low-speed bump is 21"),
        ("final", Setup({}), "Final setting: .* are missing"),
        ("final", 3, "Final setting should be a Setup"),
        ("final", setup(14, 18, 8, 5), "Cold tyre pressure, front left, of 5 kPa"),
        ("totals", None, "needs the clicks in all"),
        ("masses_kg", {"front left": 3}, "3 kg is outside"),
        ("masses_kg", {"left front": 300}, "'left front' is no wheel"),
        ("owner_may", (Leeway("rear", "rebound", 23, 0),), "from 0 to 22"),
        ("owner_may", (Leeway("rear", "rebound", 0, 9),), "from 0 to 8"),
        ("owner_may", (Leeway("rear", "low-speed bump", 1, 1),), "no low-speed bump adjuster that"),
        ("owner_may", (3,), "Leeway"),
        ("trials", "one text", "should be a list"),
        ("felt", 3, "What you felt is 3; it should be words"),
        ("felt", "x" * 2001, "2001 letters"),
        ("felt", "\ud800", "letters that cannot be written"),
    ],
)
def test_a_part_that_cannot_be_gets_one_sentence(part, value, match):
    refused(replace, FULL, **{part: value}, match=match)


def test_a_card_starts_from_a_test_day(tmp_path):
    day = tmp_path / "trials.jsonl"
    first = setup(14, 18, 12)
    trials.begin(day, "Demo wagon", TOTALS, first.clicks)
    trials.drive(day, Method(cold_kpa=dict.fromkeys(CORNERS, 230)))
    trials.change(day, "rear", "rebound", -4)
    trials.drive(day, Method(cold_kpa=dict.fromkeys(CORNERS, 240)))
    card = card_of(trials.history(day), felt="It wallowed.", vehicle="Another name")
    assert card.as_found == replace(first, cold_kpa=dict.fromkeys(CORNERS, 230))
    assert card.final == setup(14, 18, 8)
    assert (card.felt, card.vehicle) == ("It wallowed.", "Another name")
    assert card.trials[2].startswith("3. Rear rebound 4 clicks in")
    refused(card_of, trials.history(day), finl=None, match="perhaps you meant 'final'")


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ('name = "my vehicle"\n', "this is no setting card"),
        ("", "this is no setting card"),
        ('{"format": "dampinglab card 2", "new": 1}', "another version"),
        ('{"format": "dampinglab card 1", "felt": 3}', "What you felt is 3"),
        ('{"format": "dampinglab card 1", "fellt": "x"}', "perhaps you meant 'felt'"),
        ("[" * 100_000, "this is no setting card"),
    ],
)
def test_what_is_no_whole_card_is_neither_read_nor_written_over(path, text, match):
    path.write_text(text)
    refused(read_card, path, match=match)
    refused(write_card, path, FULL, match=match)
    assert path.read_text() == text


def test_a_missing_file_or_a_folder_gets_one_sentence(path):
    refused(read_card, path, match="No such file")
    refused(read_card, path.parent, match="cannot be opened|no setting card")
    refused(write_card, path.parent, FULL, match="cannot be opened|no setting card")
    refused(write_card, path / "card.json", FULL, match="could not be written")


@pytest.mark.parametrize(
    ("call", "good"), [("write", 0), ("half", 0), ("fsync", 0), ("replace", 0)]
)
def test_a_failure_while_writing_keeps_the_old_card(path, monkeypatch, call, good):
    write_card(path, FULL)
    before = path.read_bytes()
    real = os.write

    def fails(*arguments, **_):
        if call == "half" and len(arguments[1]) > 1:
            return real(arguments[0], arguments[1][: len(arguments[1]) // 2])
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(journal.os, "write" if call == "half" else call, fails)
        refused(write_card, path, Card(), match="No space left")
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == ["card.json"]
    write_card(path, Card())
    assert read_card(path) == Card()


def survives(path):
    """Read a card in any state: one that reads back whole, or one sentence."""
    before = path.read_bytes()
    try:
        card = read_card(path)
    except LearnerError as problem:
        one_sentence(str(problem))
        refused(write_card, path, FULL, match=".")
        assert path.read_bytes() == before
    else:
        write_card(path, card)
        assert read_card(path) == card


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    path = tmp_path_factory.mktemp("card") / "card.json"
    write_card(path, FULL)
    return path.read_bytes(), path


@settings(max_examples=FUZZ, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_fuzz_a_part_changed_anywhere(written, data):
    whole, path = written
    record = json.loads(whole)
    place = data.draw(st.sampled_from(list(all_places(record))))
    path.write_text(json.dumps(put(record, place, data.draw(JSON))), "utf-8")
    survives(path)


@settings(max_examples=FUZZ, deadline=None)
@given(data=st.data())
def test_fuzz_bytes_changed_anywhere(written, data):
    whole, path = written
    start = data.draw(st.integers(0, len(whole)))
    end = data.draw(st.integers(start, min(len(whole), start + 200)))
    path.write_bytes(whole[:start] + data.draw(st.binary(max_size=12)) + whole[end:])
    survives(path)
