"""The vehicle sheet: units read from its keys, and every slip named with its row."""

from contextlib import suppress

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from dampinglab.errors import FileProblem, LearnerError
from dampinglab.workshop.sheet import read_ratings, read_vehicle

LB, INCH, LBF = 0.45359237, 0.0254, 0.45359237 * 9.80665


def test_a_whole_sheet_becomes_a_vehicle_with_nothing_assumed(save, sheet_text):
    vehicle = read_vehicle(save("v.toml", sheet_text))
    corner = vehicle.corner("front")
    assert (vehicle.name, vehicle.assumptions) == ("Test wagon", ())
    assert (corner.sprung_mass, corner.unsprung_mass) == (400, 75)
    assert (corner.wheel_rate, corner.tyre_rate) == (40e3, 250e3)
    assert (corner.tyre_damping, corner.friction) == (250, 60)
    assert (corner.bump_gap, corner.foam_length, corner.droop_gap) == (0.08, 0.045, 0.1)
    assert corner.damper_motion_ratio == 0.5
    assert dict(vehicle.axles["front"].as_found) == {"rebound": 5}
    assert vehicle.corner("front", "touring").sprung_mass == 450


def test_units_are_those_at_the_end_of_each_key(save):
    text = """
        [rear]
        left_wheel_lb = 1000
        right_wheel_lb = "1000"
        unsprung_lb = "150,5"
        spring_rate_lbf_per_in = 300
        spring_motion_ratio = 0.8
        damper_motion_ratio = 0.9
        bump_travel_in = 3
        foam_cm = 4.5
        """
    vehicle = read_vehicle(save("yard.toml", text))
    corner = vehicle.corner("rear")
    assert vehicle.name == "yard"
    assert corner.sprung_mass == pytest.approx((1000 - 150.5) * LB)
    assert corner.wheel_rate == pytest.approx(300 * LBF / INCH * 0.8**2)
    assert corner.bump_gap == pytest.approx(3 * INCH)
    assert corner.foam_length == pytest.approx(0.045)
    (said,) = vehicle.assumptions
    assert said.startswith("Not on the sheet and so assumed, rear: tyre rate 250 N/mm")
    assert "droop travel 100 mm" in said
    assert "bump travel" not in said


def test_an_absent_unsprung_mass_is_assumed_and_said(save, sheet_text):
    vehicle = read_vehicle(save("v.toml", sheet_text.replace("unsprung_kg = 75\n", "")))
    assert vehicle.corner("front").unsprung_mass == pytest.approx(0.15 * 475)
    assert "unsprung mass 15% of what stands on the wheel" in vehicle.assumptions[0]


HEAVY = """
[front]
left_wheel_kg = 1980
right_wheel_kg = 2020
unsprung_kg = 290
wheel_rate_N_per_mm = 310
damper_motion_ratio = 0.9
[rear]
left_wheel_lb = 4800
right_wheel_lb = 4800
wheel_rate_N_per_mm = 200
damper_motion_ratio = 0.9
[[load]]
name = "tanks full"
front_kg = 100
rear_kg = 1600
"""


def test_a_camper_on_a_trucks_frame_is_read_and_told_to_be_heavy(save):
    vehicle = read_vehicle(save("camper.toml", HEAVY))
    assert vehicle.corner("front").sprung_mass == pytest.approx(1710)
    assert vehicle.corner("rear", "tanks full").sprung_mass == pytest.approx(4800 * LB * 0.85 + 800)
    said = vehicle.assumptions[-1]
    assert said.startswith("Front and rear: more than 1,000 kg on a wheel, as a heavy camper")
    assert "look whether this is the whole axle or in pounds" in said


def test_only_the_heavy_axle_is_told_to_be_heavy(save, sheet_text):
    lighter = HEAVY.replace("_lb = 4800", "_kg = 990")
    assert read_vehicle(save("v.toml", lighter)).assumptions[-1].startswith("Front: more than")
    assert read_vehicle(save("v.toml", sheet_text)).assumptions == ()


def test_a_rating_is_read_in_its_units(save, sheet_text):
    rating = "[front.rating]\nbump_lbf = 200\nrebound_lbf = 300\nspeed_in_per_s = 5\n"
    path = save("v.toml", sheet_text + rating)
    assert read_vehicle(path).name == "Test wagon"
    damper = read_ratings(path)["front"]
    assert damper.bump_force == pytest.approx(200 * LBF)
    assert damper.speed == pytest.approx(5 * INCH)


def test_a_second_stage_pressure_and_a_load_on_the_ball(save, sheet_text):
    added = "second_rate_lbf_per_in = 200\nsecond_gap_mm = -12\ntyre_pressure_bar = 2.1\n"
    text = sheet_text.replace("friction_N = 60\n", f"friction_N = 60\n{added}")
    text = text.replace("[front]", "wheelbase_mm = 2500\nball_overhang_in = 40\n\n[front]", 1)
    text += '[[load]]\nname = "trailer"\nball_kg = 100\nfront_kg = 90\n'
    vehicle = read_vehicle(save("v.toml", text))
    corner = vehicle.corner("front")
    assert corner.second_rate == pytest.approx(200 * LBF / INCH)
    assert corner.second_gap == pytest.approx(-0.012)
    assert corner.standing_rate == pytest.approx(40e3 + 200 * LBF / INCH)
    assert vehicle.axles["front"].tyre_pressure == pytest.approx(210e3)
    assert (vehicle.wheelbase, vehicle.ball_overhang) == (2.5, pytest.approx(40 * INCH))
    off = 100 * 40 * INCH / 2.5
    assert vehicle.loads[1].front_mass == pytest.approx(90 - off)
    assert vehicle.loads[1].rear_mass == pytest.approx(100 + off)


def test_a_sheet_without_them_has_one_stage_and_no_lengths(save, sheet_text):
    vehicle = read_vehicle(save("v.toml", sheet_text))
    assert vehicle.corner("front").second_rate == 0
    assert (vehicle.wheelbase, vehicle.ball_overhang) == (None, None)
    assert vehicle.axles["front"].spring_motion_ratio == 1.0


def test_the_springs_own_motion_ratio_is_kept_for_its_seat(save, sheet_text):
    sprung = sheet_text.replace(
        "wheel_rate_N_per_mm = 40", "spring_rate_N_per_mm = 111\nspring_motion_ratio = 0.6"
    )
    assert read_vehicle(save("v.toml", sprung)).axles["front"].spring_motion_ratio == 0.6


def swap(old, new):
    return lambda text: text.replace(old, new)


BAD = {
    "axle mass on one wheel": (
        swap("left_wheel_kg = 480", "left_wheel_kg = 950"), 4, "do not belong together; look"
    ),
    "axle mass, too heavy for a wheel": (
        swap("left_wheel_kg = 480", "left_wheel_kg = 3050"), 5, "80 to 3000 kg; give one wheel"
    ),
    "grams as kg": (
        swap("left_wheel_kg = 480", "left_wheel_kg = 480000"), 5, "80 to 3000 kg; give one wheel"
    ),
    "pounds as kg": (
        swap("right_wheel_kg = 470", "right_wheel_kg = 1036"), 4, "whole axle, or in pounds"
    ),
    "the whole vehicle on each wheel of one axle": (
        lambda t: t.replace("= 40\n", "= 60\n").replace("= 480", "= 1900")
        .replace("= 470", "= 1900")
        + t[t.index("[front]") : t.index("[front.as")].replace("front", "rear"), 4,
        "1900 kg on a front wheel and 475 kg on a rear one do not belong together; look whether",
    ),
    "a slow body": (
        lambda t: t.replace("= 480", "= 980").replace("= 470", "= 980").replace("= 40", "= 10"),
        4, "would swing at 0.53 Hz, and road vehicles do so at 1 to 2.5 Hz",
    ),
    "all of the mass unsprung": (
        lambda t: t.replace("= 480", "= 90").replace("= 470", "= 90"), 4, "Sprung mass of 15 kg",
    ),
    "N/m as N/mm": (
        swap("_mm = 40\n", "_mm = 40000\n"), 8, "= 40000 is outside 5 to 600 N/mm"
    ),
    "motion ratio turned round": (
        swap("motion_ratio = 0.5", "motion_ratio = 2"), 9, "outside 0.2 to 1.2; it is damper travel"
    ),
    "unknown key": (
        swap("left_wheel_kg", "left_weel_kg"), 5, "perhaps you meant 'left_wheel_kg'"
    ),
    "unknown unit": (
        swap("left_wheel_kg", "left_wheel_stone"), 5, "'left_wheel_stone' is not known; write left"
    ),
    "no unit": (
        swap("left_wheel_kg", "left_wheel"), 5, "'left_wheel' has no unit; write left_wheel_kg"
    ),
    "unit of something else": (
        swap("left_wheel_kg", "left_wheel_N"), 5, "ends in a unit of force; write left_wheel_kg"
    ),
    "a unit on a ratio": (
        swap("damper_motion_ratio", "damper_motion_ratio_mm"), 9, "is a plain number"
    ),
    "twice in two units": (
        swap("friction_N", "left_wheel_lb"), 15, "'left wheel' is given twice; keep one"
    ),
    "no number": (swap("= 480", '= "heavy"'), 5, "= 'heavy' is not one clear number"),
    "1,250": (swap("= 480", '= "1,250"'), 5, "= '1,250' is not one clear number"),
    "nan": (swap("= 480", "= nan"), 5, "= nan is not one clear number"),
    "true": (swap("= 480", "= true"), 5, "= True is not one clear number"),
    "a list": (swap("= 480", "= [480]"), 5, "= [480] is not one clear number"),
    "a very large whole number": (swap("= 480", f"= {'9' * 400}"), 5, "not one clear number"),
    "missing wheel": (swap("right_wheel_kg = 470\n", ""), 4, "[front] has no right wheel; add the"),
    "no motion ratio": (
        swap("damper_motion_ratio = 0.5\n", ""), 4, "add the line damper_motion_ratio ="
    ),
    "no spring": (swap("wheel_rate_N_per_mm = 40\n", ""), 4, "has no spring; add wheel_rate"),
    "half a spring": (
        swap("wheel_rate_N_per_mm = 40", "spring_rate_N_per_mm = 100"), 4, "[front] has no spring"
    ),
    "two springs": (
        swap("friction_N = 60", "spring_rate_N_per_mm = 100"), 4, "at the wheel and at the spring"
    ),
    "unknown adjuster": (swap("rebound = 5", "rebond = 5"), 18, "perhaps you meant 'rebound'"),
    "half a click": (swap("rebound = 5", "rebound = 5.5"), 18, "'rebound' = 5.5 is no count of"),
    "clicks below none": (swap("rebound = 5", "rebound = -1"), 18, "'rebound' = -1 is no count"),
    "no axle": (lambda t: t[: t.index("[front]")], None, "there is no axle; add a section [front]"),
    "unknown section": (swap("[front]", "[frnt]"), 4, "perhaps you meant 'front'"),
    "axle no section": (lambda t: "front = 3\n", 1, "'front' must be a section; write it"),
    "load without name": (swap('name = "touring"\n', ""), 20, "this load has no name; add"),
    "load without a mass": (swap("rear_kg = 0", ""), 20, "[load] has no rear; add the line"),
    "load in single brackets": (swap("[[load]]", "[load]"), 20, "write each one below [[load]]"),
    "two loads of one name": (
        lambda t: t + '[[load]]\nname = "touring"\nfront_kg = 1\nrear_kg = 1\n', 25,
        "two loads are called 'touring'",
    ),
    "half a second stage": (
        swap("friction_N = 60", "second_rate_N_per_mm = 30"), 4, "has no second gap; add the line"
    ),
    "a gap to nothing": (
        swap("friction_N = 60", "second_gap_mm = 30"), 4, "has no second rate; add the line"
    ),
    "a flat tyre": (
        swap("friction_N = 60", "tyre_pressure_kPa = 0"), 15, "outside 80 to 900 kPa; give it over"
    ),
    "a length that is none": (
        lambda t: "wheelbase_mm = 2.85\n" + t, 1, "= 2.85 is outside 1000 to 6000 mm; from the"
    ),
    "a ball load and no lengths": (
        swap("rear_kg = 0", "ball_kg = 100"), 23, "has no wheelbase_mm; measure it and add"
    ),
    "the trailer's weight on the ball": (
        swap("rear_kg = 0", "ball_kg = 1800"), 23, "0 to 500 kg; give what the trailer presses"
    ),
    "newer format": (swap("vehicle 1", "vehicle 2"), 1, "is newer than this course; update"),
    "other format": (swap("dampinglab vehicle 1", "recipe"), 1, "is not the format of a vehicle"),
    "decimal comma": (swap("= 480", "= 480,5"), 5, "write the decimals with a point"),
    "name without quotes": (
        swap("rebound = 5", "low-speed bump = 5"), 18, 'around the name: "low-speed bump"'
    ),
    "no equals sign": (swap("friction_N = 60", "friction 60"), 15, "write it as key = value"),
    "words without quotes": (swap('"Test wagon"', "Test wagon"), 2, "cannot be read as TOML"),
    "open bracket": (swap("[front.as_found]", "[front.as_found"), 17, "cannot be read as TOML"),
    "same key twice": (swap("friction_N = 60", "foam_mm = 60"), 15, "for the second time; keep"),
    "deep nesting": (lambda t: "a = " + "[" * 5000, 1, "cannot be read as TOML"),
    "empty": (lambda t: "", None, "the file is empty"),
}  # fmt: skip


@pytest.mark.parametrize("slip", BAD)
def test_a_slip_on_the_sheet_gets_one_sentence_with_row_and_mend(save, sheet_text, slip):
    spoil, row, says = BAD[slip]
    spoiled = spoil(sheet_text)
    assert spoiled != sheet_text
    with pytest.raises(FileProblem) as caught:
        read_vehicle(save("v.toml", spoiled))
    assert says in str(caught.value)
    assert caught.value.row == row
    assert "\n" not in str(caught.value)


def test_a_rating_without_one_of_its_numbers(save, sheet_text):
    path = save("v.toml", sheet_text + "[front.rating]\nbump_N = 800\nrebound_N = 1200\n")
    with pytest.raises(
        FileProblem, match=r"row 24: \[front.rating\] has no speed; add the line sp"
    ):
        read_ratings(path)


def test_no_sheet_but_a_folder_or_nothing(tmp_path):
    with pytest.raises(FileProblem, match="this is a folder"):
        read_vehicle(tmp_path)
    with pytest.raises(FileProblem, match="no such file"):
        read_vehicle(tmp_path / "none.toml")


@settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_spoiled_sheet_gets_more_than_a_sentence(save, sheet_text, data):
    start = data.draw(st.integers(0, len(sheet_text)))
    length = data.draw(st.integers(0, 30))
    scraps = [
        "[",
        "]",
        "=",
        '"',
        "\n",
        "1e400",
        "-",
        "kg",
        "_",
        "{",
        "}",
        "'",
        "#",
        "9" * 5000,
        ".",
    ]
    new = data.draw(st.one_of(st.text(max_size=5), st.sampled_from(scraps)))
    path = save("any.toml", (sheet_text[:start] + new + sheet_text[start + length :]).encode(
        "utf-8", "surrogatepass"))  # fmt: skip
    for read in (read_vehicle, read_ratings):
        with suppress(LearnerError):
            read(path)
