"""What a load takes of the travel: one axle's bar of travel, now and before, and its numbers."""

from dataclasses import dataclass

from matplotlib.patches import Rectangle

from dampinglab.figures import look
from dampinglab.figures.look import BODY, BUMP, INK, QUIET, REBOUND, ROAD, Scene, Size, pale
from dampinglab.figures.words import felt, same
from dampinglab.physics.load import SPRING_SHARE, Standing, Verdict, breakaway
from dampinglab.physics.vehicle import Corner
from dampinglab.units import show

__all__ = ["Loaded", "alternative", "friction", "rows", "scene", "sentence", "update"]

_TITLE = "A load takes bump travel"
_PLACES = {"before": 1.2, "now": 5.0}  # where the bars stand across
_WIDE = 1.2
_SOFT_TYRE = (
    "The price is not in these numbers: a soft tyre steers late, wears and runs hot, so stay "
    "inside the placard."
)
_STICKS = 2e-3  # m of wheel travel; friction that holds less is not worth a word


@dataclass(frozen=True, eq=False)
class Loaded:
    """One axle with what was done to it, as it stands with the present setting."""

    done: tuple[tuple[str, str], ...]  # control, its value with unit
    speed: float  # m/s, of the shaft, at which ratios are read
    weighed: Corner
    stands: Standing
    verdict: Verdict  # against the axle as weighed
    level: float  # m, how much higher in its travel the wheel stands than as weighed


def scene(size: Size = look.DESK) -> Scene:
    """Return the empty picture: two bars of travel."""
    made = look.paper(size, _TITLE, "", "travel from as weighed [mm]", inches=(5.6, 5.0))
    axes = made.axes
    axes.set(xlim=(0, 8.2), xticks=list(_PLACES.values()), xticklabels=list(_PLACES))
    axes.grid(axis="x", visible=False)
    axes.axhline(0, zorder=2.5, **look.edge(size))
    for when, x in _PLACES.items():
        _bar(made, when, x)
    return made


def _bar(made: Scene, when: str, x: float) -> None:
    """Add droop left, bump left, bump stop and ride height of one bar, with their words."""
    size, share = made.size, 0.28 if when == "before" else 0.6
    edge = (0, (1, 1.6)) if when == "before" else "-"
    for part, colour, hatch in (("droop", REBOUND, "--"), ("bump", BUMP, ""), ("stop", ROAD, "xx")):
        style = {"facecolor": pale(colour, share), "edgecolor": colour, "hatch": hatch}
        box = Rectangle((x - _WIDE / 2, 0), _WIDE, 0, linestyle=edge, linewidth=1.2, **style)
        made.add(f"{part} {when}", made.axes.add_patch(box))
    style = look.now(BODY, size) if when == "now" else look.before(BODY, size)
    wide = {**style, "linewidth": 1.8 * size.line, "solid_capstyle": "butt"}
    made.add(f"ride {when}", made.axes.plot([], [], **wide)[0])
    for part in ("droop", "bump", "stop"):
        words = look.label(made, f"{part} words {when}", INK if when == "now" else QUIET)
        words.set(ha="left", va="center", linespacing=1.05)
        look.keep_clear(words)


def update(made: Scene, now: Loaded, before: Loaded) -> None:
    """Put results into the picture."""
    levels = {"before": _levels(before), "now": _levels(now)}
    ends = [end for each in levels.values() for end in (each[0], each[-1])]
    made.axes.set_ylim(
        -10 * round(1.04 * max(-e for e in ends) / 10 + 0.5),
        10 * round(1.04 * max(ends) / 10 + 0.5),
    )
    for when, each in levels.items():
        _place(made, when, each)


def _levels(seen: Loaded) -> tuple[float, ...]:
    """Return droop stop, ride height, bump stop and its metal, mm from as weighed."""
    corner, ride = seen.stands.corner, 1e3 * seen.level
    stop = ride + 1e3 * corner.bump_gap
    return ride - 1e3 * corner.droop_gap, ride, stop, stop + 1e3 * corner.foam_length


def _place(made: Scene, when: str, levels: tuple[float, ...]) -> None:
    x, (low, ride, stop, metal) = _PLACES[when], levels
    pairs = {"droop": (low, ride), "bump": (ride, stop), "stop": (stop, metal)}
    heights = _clear(made, [(foot + head) / 2 for foot, head in pairs.values()])
    for height, (part, (foot, head)) in zip(heights, pairs.items(), strict=True):
        made.moving[f"{part} {when}"].set(y=foot, height=head - foot)
        words = f"{part} left\n{head - foot:.0f} mm" if part != "stop" else "bump\nstop"
        label = made.moving[f"{part} words {when}"]
        label.set(text=words if when == "now" else _short(part, head - foot))
        label.set_position((x + 0.7 * _WIDE, height))
    made.moving[f"ride {when}"].set_data([x - 0.6 * _WIDE, x + 0.6 * _WIDE], [ride, ride])


def _clear(made: Scene, middles: list[float]) -> list[float]:
    """Return where words of two lines stand, from below: by their parts, none on another."""
    low, high = made.axes.get_ylim()
    tall = 72 * made.axes.get_position().height * made.figure.get_figheight()
    step = 2.5 * made.size.font / tall * (high - low)
    count = len(middles)
    for i in range(count):
        least = low + step / 2 if i == 0 else middles[i - 1] + step
        middles[i] = max(middles[i], least)
    for i in reversed(range(count)):
        most = high - step / 2 if i == count - 1 else middles[i + 1] - step
        middles[i] = min(middles[i], most)
    return middles


def _short(part: str, length: float) -> str:
    return "" if part == "stop" else f"{length:.0f} mm"


def rows(now: Loaded, before: Loaded) -> list[tuple[str, str, str]]:
    """Return what is measured with its unit, its number now, and before."""
    pairs = zip(_numbers(now), _numbers(before), strict=True)
    return [(head, new, old) for (head, new), (_, old) in pairs]


def _numbers(seen: Loaded) -> list[tuple[str, str]]:
    stands, corner = seen.stands, seen.stands.corner
    bump, rebound = stands.ratios
    return [
        ("spring sag [mm]", f"{1e3 * corner.static_sag:.0f}"),
        ("bump left [mm]", f"{1e3 * corner.bump_gap:.0f}"),
        ("droop left [mm]", f"{1e3 * corner.droop_gap:.0f}"),
        ("ride frequency [Hz]", f"{corner.ride_frequency:.2f}"),
        ("damping ratio, bump", f"{bump:.2f}"),
        ("damping ratio, rebound", f"{rebound:.2f}"),
        ("into the bump stop [J]", f"{stands.stop_energy:.0f}"),
    ]


def sentence(now: Loaded, before: Loaded) -> str:
    """Return what was done, what it changes, if it is felt, its price, and whose job it is."""
    old = dict(before.done)
    moved = [
        f"{name} from {old[name]} to {value}" for name, value in now.done if old[name] != value
    ]
    if not moved:
        return f"No change. {_state(now)} {_job(now)}"
    words = _joined(moved)
    told = f"{words}: {_height(now, before)} {_ratios(now, before)} {_price(now, before)}"
    return f"{told} {_job(now)}"


def _joined(moved: list[str]) -> str:
    """Return what was moved in one line, large letters only at its start."""
    told = [moved[0], *(f"{words[0].lower()}{words[1:]}" for words in moved[1:])]
    return " and ".join(filter(None, (", ".join(told[:-1]), told[-1])))


def _state(now: Loaded) -> str:
    corner, (bump, rebound) = now.stands.corner, now.stands.ratios
    return (
        f"The spring sags {_mm(corner.static_sag)}; {_mm(corner.bump_gap)} are left in bump and "
        f"{_mm(corner.droop_gap)} in droop; the damping ratio at {now.speed:.2f} m/s of the shaft "
        f"is {bump:.2f} in bump and {rebound:.2f} in rebound; the dip puts "
        f"{now.stands.stop_energy:.0f} J into the bump stop."
    )


def _height(now: Loaded, before: Loaded) -> str:
    """Return how the body's height and the travel left have changed."""
    corner, up = now.stands.corner, now.stands.height - before.stands.height
    tyre = now.stands.tyre_part - before.stands.tyre_part
    left = f"{_mm(corner.bump_gap)} are left in bump and {_mm(corner.droop_gap)} in droop."
    if abs(up) < 5e-4:
        return f"the body stands as high as before; {left}"
    way = "higher" if up > 0 else "lower"
    part = f" ({_mm(abs(tyre))} of it the tyre)" if abs(tyre) >= 5e-4 else ""
    return f"the body stands {_mm(abs(up))} {way}{part}; {left}"


def _ratios(now: Loaded, before: Loaded) -> str:
    """Return how much of critical the same clicks are now, and whether that is felt."""
    pairs = list(zip(now.stands.ratios, before.stands.ratios, strict=True))
    if all(same(new, old) for new, old in pairs):
        return "Spring rate and damping ratios stay."
    if all(f"{new:.2f}" == f"{old:.2f}" for new, old in pairs):
        return "Damping ratios stay within a hundredth."
    (bump, bump_old), (rebound, rebound_old) = pairs
    share = max((new / old - 1 for new, old in pairs), key=abs)
    return (
        f"Damping ratios go from {bump_old:.2f} to {bump:.2f} in bump and from {rebound_old:.2f} "
        f"to {rebound:.2f} in rebound: by itself {felt(share).lower()}"
    )


def _price(now: Loaded, before: Loaded) -> str:
    """Return what was lost: the stop's hits first, then travel either way, then the ride."""
    new, old = now.stands, before.stands
    harder = new.stop_energy - old.stop_energy
    if harder >= 0.5:
        taken = f"{new.stop_energy:.0f} J go into the bump stop in the dip"
        return f"The price: {taken}, before {old.stop_energy:.0f} J."
    for name, words in (("bump", ""), ("droop", ", so it tops out sooner")):
        lost = getattr(old.corner, f"{name}_gap") - getattr(new.corner, f"{name}_gap")
        if lost >= 5e-4:
            return f"The price: {_mm(lost)} less {name} travel{words}."
    if new.corner.ride_frequency > 1.003 * old.corner.ride_frequency:
        return "The price: the body follows small bumps more closely."
    if new.corner.tyre_rate < 0.997 * old.corner.tyre_rate:
        return _SOFT_TYRE
    return "No price shows here."


def _job(now: Loaded) -> str:
    """Return whether it is a matter for the spring or for a click, and why."""
    told = now.verdict
    past = [name for name, clicks in told.clicks.items() if clicks is None]
    carry = f"{show(told.wheel_rate, 'N/mm')} at the wheel would carry it at the old height"
    if told.too_deep:
        return (
            f"A matter for the spring, not for a click: {100 * now.stands.taken:.0f} % of the bump "
            f"travel is gone, and {100 * SPRING_SHARE:.0f} % is the most; {carry}."
        )
    if past:
        names = " and ".join(past)
        return f"A matter for the spring: {names} would need a click past the last; {carry}."
    turns = [f"{name} {clicks}" for name, clicks in told.clicks.items() if clicks]
    if not turns:
        return "Neither spring nor click is asked for."
    return f"A matter for clicks: closing {' and '.join(turns)} brings the old ratios back."


def friction(now: Loaded) -> str:
    """Return what dry friction does to small bumps, where there is enough of it."""
    held, force = breakaway(now.stands.corner), now.stands.corner.friction
    if held < _STICKS:
        return ""
    return (
        f"Dry friction of {force:.0f} N holds the wheel until a bump would move it by {_mm(held)}: "
        "over smaller ones the spring sticks, and the body rides on its tyre whatever the clicks."
    )


def _mm(length: float) -> str:
    return f"{1e3 * length:.0f} mm"


def alternative(now: Loaded, before: Loaded) -> str:
    """Return the picture in words."""
    told = []
    for when, seen in (("now", now), ("before", before)):
        corner = seen.stands.corner
        told.append(
            f"{when} {_mm(corner.droop_gap)} of droop and {_mm(corner.bump_gap)} of bump are left "
            f"and the ride height is {1e3 * seen.level:+z.0f} mm from as weighed"
        )
    stop = _mm(now.stands.corner.foam_length)
    return f"Two bars of wheel travel: {'; '.join(told)}. Above bump comes {stop} of bump stop."
