"""What comes out when a room has voted: what the lessons ask to predict, computed."""

import html
import math
import re
from collections.abc import Callable, Mapping
from functools import cache

from dampinglab.course.handout import unturned
from dampinglab.data import dataset
from dampinglab.figures import press
from dampinglab.figures.words import by_percent, change
from dampinglab.panels.complaint import complaint_panel
from dampinglab.panels.compromise import compromise_panel
from dampinglab.panels.controls import Panel
from dampinglab.panels.corner import corner_panel
from dampinglab.panels.curve import curve_panel
from dampinglab.panels.cutaway import cutaway_panel
from dampinglab.panels.lean import AXLES, LeanPanel, lean_panel
from dampinglab.panels.load import load_panel
from dampinglab.panels.press import PressPanel, press_panel
from dampinglab.panels.response import response_panel
from dampinglab.panels.sag import sag_panel
from dampinglab.panels.sinking import sinking_panel
from dampinglab.panels.stand import stand_panel
from dampinglab.panels.zones import zones_panel
from dampinglab.physics.oscillator import next_swing
from dampinglab.workshop import compromise, demo, mix, search, tried
from dampinglab.workshop.evidence import turning_height
from dampinglab.workshop.loop import read_loop

__all__ = ["ANSWERS", "answers"]

_SLOW, _FAST = 0.05, 0.5  # m/s: by hand, and by lever


def _said(panel: Panel, moved: Mapping | None = None) -> str:
    """Return what a panel says, after controls of it have been moved."""
    for name, number in (moved or {}).items():
        panel.controls[name].take(number)
    words = html.unescape(re.sub(r"<[^>]+>", "", panel.sentence.value)).replace("\xa0", " ")
    return unturned(words)


def _ten_times() -> str:
    panel = stand_panel()
    return " ".join(_said(panel, {"speed": speed}) for speed in (_SLOW, _FAST))


def _closed_on_the_stand() -> str:
    """Say what the stand says of a slow press, each adjuster closed by itself."""
    told = []
    for _, place in stand_panel().adjuster.options:
        panel = stand_panel()
        panel.adjuster.value = place
        panel.controls["speed"].take(_SLOW)
        told.append(_said(panel, {"clicks": 0}).partition(". ")[0].rstrip("."))
    return f"{'. '.join(told)}."


def _closed_by_lever() -> str:
    """Say what each adjuster does to a slow press, a fast press, and the return."""
    panel, told = press_panel(), []
    panel.way.value = False
    for name, place in panel.adjuster.options:
        panel.adjuster.value = place
        panel.controls["A"].take(0)
        slow, fast = (_against_b(panel, speed) for speed in (_SLOW, _FAST))
        seen = {"slow press": slow["press"], "fast press": fast["press"], "return": slow["return"]}
        moved = [f"{what} {share}" for what, share in seen.items() if share]
        told.append(f"{name}, {', '.join(moved) or 'nothing'}")
    head = f"By lever at {_SLOW} and {_FAST} m/s, A closed, B as it was"
    return f"{head}: {'; '.join(told)}. In the rest no change shows."


def _against_b(panel: PressPanel, speed: float) -> dict[str, str]:
    """Return how much more the press and the return take in A than in B, where a change shows."""
    panel.controls["speed"].take(speed)
    moved = press.shows(panel.measure(panel.values()), panel.measure(panel.recall()))
    shares = {side: by_percent(change(*sizes)) for side, *sizes in moved}
    return {"press": "", "return": ""} | shares


def _loaded() -> str:
    panel = sag_panel(demo.vehicle().corner("rear"))
    return _said(panel, {"mass": 595})


def _second_swing() -> str:
    return f"The second swing is {100 * next_swing(0.2):.0f} % of the first: about one quarter."


def _knee_and_rebound() -> str:
    damper = demo.hydraulic("front")
    middle = tuple(adjuster.clicks // 2 for adjuster in damper.adjusters)
    knee = damper.knee_speed(middle)
    return f"The high-speed bump valve opens at {knee:.2f} m/s. {_said(curve_panel())}"


def _fastest_in_the_middle() -> str:
    loop = read_loop(dataset("stand/front_sine.csv"))
    middle, end = abs(loop.travel).argmin(), abs(loop.travel).argmax()
    return (
        f"In the middle: {abs(loop.speed[middle]):.2f} m/s there, "
        f"{abs(loop.speed[end]):.2f} m/s at the end, where the shaft turns round."
    )


def _past_the_high_valve() -> str:
    damper = demo.hydraulic("front")
    middle = tuple(adjuster.clicks // 2 for adjuster in damper.adjusters)
    words = _said(cutaway_panel(), {"speed": _SLOW})
    return f"The knee is at {damper.knee_speed(middle):.2f} m/s. {words}"


def _fastest_shaft() -> str:
    rows = {row.name: row.shares for row in zones_panel().now.rows}
    fastest = {name: max(s.fastest_bump, s.fastest_rebound) for name, s in rows.items()}
    asked = [n for n in fastest if n.startswith(("good highway", "gravel", "pothole", "long w"))]
    ranked = sorted(asked, key=lambda name: -fastest[name])
    return f"{'; '.join(f'{name} {fastest[name]:.2f} m/s' for name in ranked)}.".capitalize()


def _gain_and_price() -> str:
    panel = corner_panel()
    told = []
    for road in ("good highway (ISO B)", "long waves"):
        panel.track.value = road
        told.append(_said(panel, {"low-speed bump": 4}))
        driven = panel.now, panel.measure(panel.recall())
        now, before = (f"{100 * each.scores.tyre_variation:.1f} %" for each in driven)
        told.append(f"The tyre's load varies by {now}, before {before}.")
    return " ".join(told)


def _any_height() -> str:
    height = turning_height(demo.vehicle().corner("front"), demo.hydraulic("front"))
    if height is None:
        return "On the front of the wagon, yes, for every height that was tried."
    return f"No: on the front of the wagon it turns round at a ridge of {1e3 * height:.0f} mm."


def _leaning() -> LeanPanel:
    panel = lean_panel()
    panel.event.value = "Steer in 0.5 s"
    return panel


def _held_by_low_speed() -> str:
    panel = _leaning()
    before = panel.now
    moved = _said(panel, {(axle, "low-speed bump"): 4 for axle in AXLES}).partition(". ")[0]
    lean = math.degrees(panel.now.steady)
    return (
        f"Steered in 0.5 s. {moved}: {100 * panel.now.overshoot:.0f} % past the steady lean, "
        f"before {100 * before.overshoot:.0f} %; "
        f"{math.degrees(panel.now.rate):.0f} degrees a second, before "
        f"{math.degrees(before.rate):.0f}. How far it leans stays {lean:.1f} degrees: no click "
        "changes it."
    )


def _high_speed_end_to_end() -> str:
    """Say what high-speed bump does to the lean, low-speed bump as it is and closed."""
    panel, told = _leaning(), []
    for low in ({}, {(axle, "low-speed bump"): 0 for axle in AXLES}):
        _said(panel, {**low, **{(axle, "high-speed bump"): 10 for axle in AXLES}})
        panel.keep.click()
        told.append(_said(panel, {(axle, "high-speed bump"): 0 for axle in AXLES}))
    return " With low-speed bump closed: ".join(told)


def _axle_loaded() -> str:
    panel = load_panel()
    told = _said(panel, {"mass": 350}).partition(". ")[0]
    left = panel.now.stands.corner.bump_gap / panel.now.weighed.bump_gap
    return f"{told}. Of the bump travel {100 * left:.0f} % is left."


def _packs_down() -> str:
    panel = sinking_panel()
    clicks = panel.controls["front", "rebound"].slider.options
    panel.controls["front", "rebound"].take(max(clicks))
    panel.keep.click()
    return _said(panel, {("front", "rebound"): min(clicks)})


def _thrown_up() -> str:
    """Say what the complaint's panel advises once all checks are passed, and its first price."""
    panel = complaint_panel()
    panel.all.click()
    panel.complaint.value = "rear thrown up"
    advised, price = (_last(each.value) for each in (panel.answer, panel.price))
    first = [said for said in price.split(". ") if not said.startswith("Of two steps")]
    return f"{advised} {'. '.join(first)}"


def _last(shown: str) -> str:
    """Return the last paragraph in words."""
    return html.unescape(re.findall(r"<p[^>]*>(.*?)</p>", shown)[-1])


@cache
def _compromise():
    return compromise_panel().now


def _beaten() -> str:
    now = _compromise()
    tried, left = len(now.across), len(now.front)
    found = "not beaten" if now.named["as found"] in now.front else "one of the beaten"
    beaten = f"{tried - left}, or {100 * (1 - left / tried):.0f} %, are beaten"
    return f"Of {tried} settings {beaten} by another; as found is {found}."


def _from_the_middle() -> str:
    told = (f"on the {roads} roads {_worse(roads)}" for roads in ("highway", "gravel"))
    return f"At the rear, worse than the best found: {'; '.join(told)}."


def _worse(roads: str) -> str:
    """Say what each start costs on the rear axle for balanced wishes, as the lesson's cell does."""
    wagon, damper = demo.vehicle(), demo.hydraulic("rear")
    where = mix.conditions(wagon, "rear", [mix.AS_WEIGHED], mix.MIXES[roads])
    wishes = compromise.PRIORITIES["balanced"]
    asked = compromise.question(damper, where, wishes, wagon.axles["rear"])
    done = tried.try_settings(damper, where, search.first_look(asked))
    losses = compromise.choose(asked, done).losses
    return ", ".join(f"{name} {100 * loss:.0f} %" for name, loss in losses.items())


ANSWERS: dict[str, tuple[Callable[[], str], ...]] = {
    "00": (_ten_times, _closed_on_the_stand),
    "01": (_loaded,),
    "02": (_second_swing,),
    "03": (_knee_and_rebound, _fastest_in_the_middle),
    "04": (_past_the_high_valve, _closed_by_lever),
    "05": (_fastest_shaft,),
    "06": (_gain_and_price, lambda: _said(response_panel()), _any_height),
    "07": (_held_by_low_speed, _high_speed_end_to_end),
    "08": (_axle_loaded, _packs_down),
    "09": (_thrown_up,),
    "10": (_beaten, _from_the_middle),
}
"""For each lesson one function for each question to predict, in the lesson's order."""


def answers(number: str) -> tuple[str, ...]:
    """Return what the model says to each question to predict of a lesson, in its order."""
    return tuple(make() for make in ANSWERS.get(number, ()))
