"""The damper cut open: lines as wide as the shares, words that say which adjuster does what."""

import re
import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from dampinglab.figures import cutaway, look
from dampinglab.figures.cutaway import Cut, Passage, Range
from dampinglab.figures.words import felt, price

BUMP = Cut(
    setting=(("low-speed bump", 9), ("high-speed bump", 5), ("rebound", 12)),
    side="bump",
    speed=0.5,
    force=2300.0,
    parts={"base": 1640.0, "piston": 660.0},
    passages=(
        Passage("piston bleed", "piston", 0.1, "no adjuster"),
        Passage("bump stack", "piston", 0.9, "no adjuster"),
        Passage("rebound needle", "piston", 0.0, "rebound 12 out"),
        Passage("low-speed needle", "base", 0.6, "low-speed bump 9 out"),
        Passage("high-speed valve", "base", 0.4, "high-speed bump 5 out"),
        Passage("check valve", "base", 0.0, "no adjuster"),
    ),
    ranges=(
        Range("low-speed bump", 2475.0, 2103.0, True),
        Range("high-speed bump", 3179.0, 1675.0, True),
        Range("rebound", 2300.0, 2300.0, False),
    ),
)
REBOUND = replace(
    BUMP,
    side="rebound",
    passages=tuple(replace(p, share=1.0 - p.share) for p in BUMP.passages[1:5]),
    ranges=(
        Range("low-speed bump", 900.0, 900.0, False),
        Range("high-speed bump", 900.0, 900.0, False),
        Range("rebound", 1200.0, 700.0, True),
    ),
)
HARDER = replace(
    BUMP,
    setting=(("low-speed bump", 3), ("high-speed bump", 5), ("rebound", 12)),
    force=2760.0,
    passages=(
        *BUMP.passages[:3],
        replace(BUMP.passages[3], share=0.3),
        replace(BUMP.passages[4], share=0.7),
        BUMP.passages[5],
    ),
)
PATHS = (
    "In bump at 0.50 m/s the base valve's oil goes 60 % through the low-speed needle and 40 % "
    "through the high-speed valve; the piston's oil goes 10 % through the piston bleed and 90 % "
    "through the bump stack."
)
REACH = (
    "High-speed bump moves the force most now (3179 N closed, 1675 N open); low-speed bump moves "
    "it too (2475 N closed, 2103 N open); rebound does nothing in bump."
)


def drawn(now, before=None, size=look.DESK):
    plan = cutaway.scene(size)
    cutaway.update(plan, now, before or now)
    return cutaway.drawing(plan, "dlx")


def widths(parts):
    found = re.findall(r'data-passage="([^"]+)" stroke="[^"]+" stroke-width="([\d.]+)"', parts)
    return {name: float(width) for name, width in found}


def test_no_click_turned():
    words = f"No change, for no click was turned. {PATHS} {REACH}"
    assert cutaway.sentence(BUMP, BUMP) == words


def test_harder_is_told_felt_and_priced():
    words = cutaway.sentence(HARDER, BUMP)
    assert words.startswith(
        f"Low-speed bump from 9 to 3 clicks out: 460 N more (20 %). {felt(0.2)} "
        f"{price('bump', True)} In bump"
    )
    assert "30 % through the low-speed needle and 70 % through the high-speed valve" in words


def test_softer_costs_travel():
    words = cutaway.sentence(BUMP, HARDER)
    assert "460 N less (17 %)" in words
    assert price("bump", False) in words


def test_a_turn_that_moves_no_force_says_so():
    words = cutaway.sentence(replace(HARDER, force=2300.0), BUMP)
    assert "clicks out: no change of force in bump at 0.50 m/s." in words
    assert "price" not in words


def test_adjusters_that_do_nothing_are_named():
    words = cutaway.sentence(REBOUND, REBOUND)
    assert words.endswith(
        "Rebound moves the force now (1200 N closed, 700 N open); low-speed bump and high-speed "
        "bump do nothing in rebound."
    )
    still = replace(BUMP, ranges=(Range("high-speed bump", 2300.0, 2300.0, True),))
    assert "High-speed bump does nothing at this speed." in cutaway.sentence(still, still)
    none = replace(BUMP, setting=(), ranges=())
    assert cutaway.sentence(none, none).endswith("Nothing can be turned from outside.")


def test_oil_that_breaks_away_is_told():
    words = cutaway.sentence(replace(BUMP, void=0.25), BUMP)
    assert "breaks away behind the piston: 25 % of its way" in words
    assert "breaks" not in PATHS


@pytest.mark.parametrize("size", [look.DESK, look.ROOM])
@pytest.mark.parametrize("cut", [BUMP, REBOUND, HARDER])
def test_lines_are_as_wide_as_the_shares_and_words_carry_them(cut, size):
    _, parts = drawn(cut, size=size)
    shares = {p.name: p.share for p in cut.passages if p.share}
    assert widths(parts) == pytest.approx({n: cutaway.WIDEST * s for n, s in shares.items()})
    words = re.findall(r"<text[^>]*>([^<]*)<", parts)
    for passage in cut.passages:
        at = words.index(passage.name)
        assert words[at + 1] == (f"{100 * passage.share:.0f} %" if passage.share else "shut")
        assert words[at + 2] == passage.adjuster


def test_bump_is_purple_and_solid_and_rebound_amber_and_dashed():
    _, bump = drawn(BUMP)
    _, rebound = drawn(REBOUND)
    line = r'<path d="[^"]+" data-passage="[^>]+>'
    assert all(look.BUMP in s and "dasharray" not in s for s in re.findall(line, bump))
    assert all(look.REBOUND in s and "dasharray" in s for s in re.findall(line, rebound))
    assert look.REBOUND not in bump
    assert look.BUMP not in rebound


def test_oil_flows_against_the_piston_and_with_the_rod():
    def ways(parts):
        lines = re.findall(r'd="M(\S+) \S+H(\S+)" data-passage="([^"]+)"', parts)
        return {name: float(end) > float(start) for start, end, name in lines}

    assert ways(drawn(BUMP)[1]) == {
        "piston bleed": False,
        "bump stack": False,
        "low-speed needle": True,
        "high-speed valve": True,
    }
    rebound = ways(drawn(REBOUND)[1])
    assert rebound["rebound needle"]
    assert not rebound["low-speed needle"]


def test_before_is_outlined_in_pale_dots_where_it_was_another():
    _, parts = drawn(HARDER, BUMP)
    heights = re.findall(r'class="before" d="M\d+ ([\d.]+)h\d+M\d+ ([\d.]+)h', parts)
    gaps = [float(low) - float(high) for high, low in heights]
    assert gaps == pytest.approx([cutaway.WIDEST * 0.6, cutaway.WIDEST * 0.4], abs=0.02)
    assert "dotted: before" in parts
    assert look.pale(look.BUMP) in parts
    assert "before" not in drawn(BUMP)[1]


def test_faster_oil_moves_faster_and_names_are_its_own():
    def period(cut):
        return float(re.search(r"dlxr ([\d.]+)s linear", drawn(cut)[0])[1])

    assert period(BUMP) < period(replace(BUMP, speed=0.1))
    style, _ = drawn(BUMP)
    assert all(name.startswith("dlx") for name in re.findall(r"@keyframes (\w+)", style))


def test_words_are_twelve_points_or_more_and_larger_in_a_room():
    def size(of):
        return float(re.search(r"font-size:(\d+)px", drawn(BUMP, size=of)[0])[1])

    assert size(look.DESK) >= 16  # 12 points
    assert size(look.ROOM) > size(look.DESK)


def test_it_is_well_formed():
    for cut in (BUMP, REBOUND, HARDER):
        ElementTree.fromstring(f"<svg>{drawn(cut, BUMP if cut is HARDER else None)[1]}</svg>")


def test_the_drawing_in_words():
    words = cutaway.alternative(HARDER, BUMP)
    for part in (
        "30 % through the low-speed needle",
        "Shut: rebound needle, check valve",
        "2760 N",
    ):
        assert part in words
    assert "before" in words
    assert "before" not in cutaway.alternative(BUMP, BUMP)
