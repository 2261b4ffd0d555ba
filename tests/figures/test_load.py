"""The bars of travel: words at several positions, and artists where the results are."""

from dataclasses import replace

import pytest

from dampinglab.figures import load as figure
from dampinglab.figures.look import drawn
from dampinglab.figures.words import felt
from dampinglab.physics.load import Change, Standing, Verdict, changed
from dampinglab.physics.vehicle import Corner

CORNER = Corner(450.0, 110.0, 36e3, 0.9, 260e3, 250.0, 0.105, 0.05, 0.105, 80.0)
DONE = (("Load on the axle", "0 kg"), ("Lift at the wheel", "0 mm"))


def loaded(done=DONE, change=None, **more):
    corner = changed(CORNER, change or Change())
    deeper = corner.droop_gap - CORNER.droop_gap
    facts = {"height": -deeper, "tyre_part": 0.0, "taken": deeper / 0.105, "ratios": (0.30, 0.50)}
    facts |= {"stop_energy": 10.0} | {
        k: v for k, v in more.items() if k in Standing.__annotations__
    }
    told = more.get("verdict", Verdict({"low-speed bump": 0, "rebound": 0}, False, 36e3))
    return figure.Loaded(done, 0.1, CORNER, Standing(corner, **facts), told, deeper)


START = loaded()
HEAVY = loaded(
    (("Load on the axle", "350 kg"), DONE[1]),
    Change(mass=175.0),
    height=-0.054,
    tyre_part=-0.0066,
    ratios=(0.26, 0.43),
    stop_energy=60.0,
    verdict=Verdict({"low-speed bump": 2, "rebound": 3}, True, 50e3),
)
LIFTED = loaded((DONE[0], ("Lift at the wheel", "30 mm")), Change(lift=0.03), stop_energy=2.0)


def test_nothing_done():
    assert figure.sentence(START, START) == (
        "No change. The spring sags 123 mm; 105 mm are left in bump and 105 mm in droop; the "
        "damping ratio at 0.10 m/s of the shaft is 0.30 in bump and 0.50 in rebound; the dip puts "
        "10 J into the bump stop. Neither spring nor click is asked for."
    )


def test_too_deep_is_work_for_the_spring():
    assert figure.sentence(HEAVY, START) == (
        "Load on the axle from 0 kg to 350 kg: the body stands 54 mm lower (7 mm of it the tyre); "
        "57 mm are left in bump and 153 mm in droop. Damping ratios go from 0.30 to 0.26 in bump "
        f"and from 0.50 to 0.43 in rebound: by itself {felt(-0.14).lower()} The price: 60 J go "
        "into the bump stop in the dip, before 10 J. A matter for the spring, not for a click: "
        "45 % of the bump travel is gone, and 40 % is the most; 50.0 N/mm at the wheel would "
        "carry it at the old height."
    )


def test_lift_costs_droop():
    words = figure.sentence(LIFTED, START)
    assert words.startswith("Lift at the wheel from 0 mm to 30 mm: the body stands 30 mm higher;")
    assert "Spring rate and damping ratios stay." in words
    assert "The price: 30 mm less droop travel, so it tops out sooner." in words


def test_a_softer_tyre_has_a_price_that_no_number_here_shows():
    soft = loaded((*DONE, ("Tyre pressure", "150 kPa")), Change(tyre=0.7))
    stiff = loaded((*DONE, ("Tyre pressure", "240 kPa")))
    assert "a soft tyre steers late, wears and runs hot" in figure.sentence(soft, stiff)
    assert "a soft tyre" not in figure.sentence(stiff, soft)


def test_taking_the_load_off_again_has_the_other_signs():
    words = figure.sentence(START, HEAVY)
    assert "stands 54 mm higher" in words
    assert "from 0.26 to 0.30 in bump" in words
    assert "The price: 48 mm less droop travel" in words


def test_two_things_at_once_are_one_line():
    both = replace(LIFTED, done=(HEAVY.done[0], LIFTED.done[1]))
    assert figure.sentence(both, START).startswith(
        "Load on the axle from 0 kg to 350 kg and lift at the wheel from 0 mm to 30 mm: "
    )


def test_three_things_at_once_need_one_and():
    done = (("Load on the axle", "350 kg"), DONE[1], ("Load on the ball", "5 kg"))
    start = replace(START, done=(*DONE, ("Load on the ball", "0 kg")))
    three = replace(LIFTED, done=(done[0], LIFTED.done[1], done[2]))
    assert figure.sentence(three, start).startswith(
        "Load on the axle from 0 kg to 350 kg, lift at the wheel from 0 mm to 30 mm and load on "
        "the ball from 0 kg to 5 kg: "
    )


def test_ratios_that_are_written_alike_are_not_told_twice():
    light = loaded((("Load on the axle", "10 kg"), DONE[1]), Change(5.0), ratios=(0.298, 0.498))
    words = figure.sentence(light, START)
    assert "Damping ratios stay within a hundredth." in words
    assert "0.30 to 0.30" not in words


@pytest.mark.parametrize(
    ("clicks", "says"),
    [
        ({"bump": 2, "rebound": 3}, "A matter for clicks: closing bump 2 and rebound 3 brings"),
        ({"bump": 0, "rebound": 3}, "A matter for clicks: closing rebound 3 brings"),
        ({"bump": 1, "rebound": None}, "for the spring: rebound would need a click past the last;"),
    ],
)
def test_whose_job_it_is(clicks, says):
    assert says in figure.sentence(replace(HEAVY, verdict=Verdict(clicks, False, 5e4)), START)


def test_friction_is_told_where_it_holds_something():
    assert "80 N holds the wheel until a bump would move it by 2 mm" in figure.friction(START)
    smooth = replace(START, stands=replace(START.stands, corner=replace(CORNER, friction=20.0)))
    assert figure.friction(smooth) == ""


def test_artists_are_where_the_results_are():
    made = figure.scene()
    figure.update(made, HEAVY, START)
    level = 1e3 * HEAVY.level
    assert list(made.moving["ride now"].get_ydata()) == pytest.approx([level, level])
    assert list(made.moving["ride before"].get_ydata()) == [0, 0]
    for part, foot, head in (("droop", -105, level), ("bump", level, 105), ("stop", 105, 155)):
        box = made.moving[f"{part} now"]
        assert (box.get_y(), box.get_y() + box.get_height()) == pytest.approx((foot, head))
    assert made.moving["bump words now"].get_text() == "bump left\n57 mm"
    assert made.moving["bump words before"].get_text() == "105 mm"
    low, high = made.axes.get_ylim()
    assert low <= -105
    assert high >= 155


def test_rows_and_the_picture_in_words():
    table = {head: (new, old) for head, new, old in figure.rows(HEAVY, START)}
    assert table["bump left [mm]"] == ("57", "105")
    assert table["damping ratio, rebound"] == ("0.43", "0.50")
    assert table["into the bump stop [J]"] == ("60", "10")
    words = figure.alternative(HEAVY, START)
    for part in (
        "now 153 mm of droop and 57 mm of bump",
        "+48 mm from as weighed",
        "before 105 mm",
    ):
        assert part in words


@pytest.mark.parametrize("size", [figure.look.DESK, figure.look.ROOM])
def test_a_static_picture_can_be_saved(tmp_path, size):
    drawn(figure, HEAVY, START, size).savefig(tmp_path / "load.png")
    assert (tmp_path / "load.png").stat().st_size > 5000
