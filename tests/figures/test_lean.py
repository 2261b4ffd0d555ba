"""Lean and dive: the words at their positions, and lines where the results are."""

from dataclasses import replace

import numpy as np
import pytest

from dampinglab.figures import drawings, lean, look
from dampinglab.figures.look import drawn

TIME = np.linspace(-0.2, 2.2, 1201)
ANGLE = np.radians(2.5) * (1 - np.exp(-3 * TIME) * np.cos(8 * TIME)) * (TIME > 0)
PAIR = np.stack([ANGLE, -ANGLE], axis=1)
START = lean.Leaning(
    said="Steered to 0.4 g in 0.2 s",
    way="roll",
    setting=(("front low-speed bump", 9), ("rear rebound", 12)),
    time=TIME,
    lines=(ANGLE,),
    steady=float(np.radians(2.5)),
    overshoot=0.36,
    settling=0.94,
    rate=float(np.radians(15)),
    work=np.array([[20.0, 30.0], [10.0, 40.0]]),
    ride=(("front", 0.40), ("rear", 0.50)),
    ends=0.8 * PAIR,
    wheels=0.01 * PAIR,
    road=0 * PAIR,
    span=1.6,
)
TURNED = (("front low-speed bump", 4), ("rear rebound", 12))
STEADIER = replace(
    START,
    setting=TURNED,
    overshoot=0.20,
    settling=0.64,
    rate=float(np.radians(13)),
    ride=(("front", 0.45), ("rear", 0.50)),
)
BRAKED = replace(START, said="Braked at 0.6 g", way="pitch")
WAVES = replace(
    START,
    said="Over two waves of 60 mm at 90 km/h",
    way="heave",
    steady=0.0,
    lines=(ANGLE, -ANGLE),
    overshoot=0.12,
    road=np.where(TIME < 1.0, 0.03 * np.sin(9 * TIME) ** 2, 0)[:, None] * np.ones(2),
)


def test_nothing_turned_tells_who_does_the_work():
    assert lean.sentence(START, START) == (
        "No change. Steered to 0.4 g in 0.2 s, the body leans 36 % past its steady lean of 2.5°, "
        "is settled after 0.94 s, and rolls at up to 15 °/s. The front dampers take 50 % of the "
        "work and the rear ones 50 %; 30 % is taken in bump and 70 % in rebound."
    )


def test_steadier_has_a_price_and_the_lean_stays():
    assert lean.sentence(STEADIER, START) == (
        "Front low-speed bump from 9 to 4 clicks out. Steered to 0.4 g in 0.2 s, the body leans "
        "20 % (before: 36 %) past its steady lean of 2.5°, is settled after 0.64 s (before: "
        "0.94 s), and rolls at up to 13 °/s (before: 15 °/s). Felt. The steady lean stays 2.5°: "
        "no click changes it. The price: a fine road shakes the front 12 % more (ISO 2631)."
    )


def test_worse_says_what_is_gained():
    told = lean.sentence(START, STEADIER)
    assert "leans 36 % (before: 20 %)" in told
    assert told.endswith(
        "The price is that movement; the gain: a fine road shakes the front 11 % less (ISO 2631)."
    )


def test_small_changes_are_hardly_felt_and_may_be_free():
    near = replace(START, setting=TURNED, overshoot=0.33, rate=START.rate * 0.95)
    told = lean.sentence(near, START)
    assert "Hardly felt." in told
    assert told.endswith("On a fine road it shakes as before: no price there.")
    assert "Felt." in lean.sentence(replace(near, rate=START.rate * 0.85), START)
    free = replace(near, ride=(("front", 0.36), ("rear", 0.50)))
    assert "It also pays twice: a fine road shakes the front 10 % less" in lean.sentence(
        free, START
    )
    both = replace(near, ride=(("front", 0.44), ("rear", 0.45)))
    told = "The price: a fine road shakes the front 10 % more and the rear 10 % less (ISO 2631)."
    assert lean.sentence(both, START).endswith(told)


def test_each_event_has_its_words():
    dived = lean.sentence(replace(BRAKED, setting=TURNED), BRAKED)
    assert "the nose dives 36 % past its steady dive of 2.5°" in dived
    assert "pitches at up to" in dived
    assert "The steady dive stays 2.5°" in dived
    waves = lean.sentence(replace(WAVES, setting=TURNED), WAVES)
    assert "the body swings 12 % of their height past level after the last" in waves
    assert "It comes to rest at the same height: no click changes that." in waves


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
@pytest.mark.parametrize("now", [START, BRAKED, WAVES])
def test_lines_stand_where_the_results_are(now, size):
    made = lean.scene(size)
    old = replace(now, lines=tuple(0.5 * line for line in now.lines), setting=TURNED)
    lean.update(made, now, old)
    factor = 1e3 if now.way == "heave" else 180 / np.pi
    for i, end in enumerate(("front", "rear")):
        for key, seen in ((end, now), (f"{end} before", old)):
            found = made.moving[key].get_ydata()
            want = factor * seen.lines[i] if i < len(seen.lines) else []
            assert found == pytest.approx(np.asarray(want))
    level = factor * now.steady
    assert made.moving["steady line"].get_ydata() == pytest.approx([level, level])
    low, high = made.axes.get_ylim()
    assert low < min(factor * line.min() for line in now.lines) + 0.2
    assert high > max(factor * line.max() for line in now.lines)
    late = made.moving["settled"].get_xdata()[0]
    from_level = 1.0 if now.way == "heave" else 0.0
    assert late == pytest.approx(now.settling + from_level, abs=0.01)


def test_the_unit_of_the_axis_follows_the_event():
    made = lean.scene()
    for now, words in ((START, "lean to the right [°]"), (WAVES, "body above the road [mm]")):
        lean.update(made, now, now)
        assert made.axes.get_ylabel() == words
    assert made.moving["ends"].get_text() == "full: front end, dashes: rear end"
    lean.update(made, BRAKED, BRAKED)
    assert made.moving["ends"].get_text() == ""


def test_the_steady_line_is_named_and_readings_show_what_was():
    made = lean.scene()
    lean.update(made, STEADIER, START)
    assert made.moving["steady"].get_text() == "steady 2.5°"
    assert made.moving["readings"].get_text().splitlines() == [
        "past it 20 %, before 36 %",
        "settled after 0.64 s, before 0.94 s",
        "fastest 13 °/s, before 15 °/s",
    ]
    assert drawn(lean, STEADIER, START).axes


def test_the_alternative_says_what_is_shown():
    told = lean.alternative(STEADIER, START)
    assert told.startswith("Lean to the right against time, with the steady lean of 2.5° as a line")
    assert told.endswith("Pale and dotted: what was before.")
    assert "Pale" not in lean.alternative(START, START)
    assert "of the front and of the rear end" in lean.alternative(WAVES, WAVES)


def test_the_drawing_of_the_vehicle_names_every_way_that_it_moves():
    words = {text.get_text() for text in drawings.freedoms().axes[0].texts}
    assert {"z", "p", "r", "wl, wr", "w", "s", "a", "b", "t"} <= words


def test_over_waves_the_readings_have_room_above_the_crests():
    made = lean.scene()
    lean.update(made, WAVES, WAVES)
    crest = 1e3 * max(np.abs(line).max() for line in WAVES.lines)
    assert made.axes.get_ylim()[1] >= 1.6 * crest
