"""From a complaint to one change, with its evidence computed for this vehicle and this damper."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from dampinglab.errors import LearnerError, OutOfRange
from dampinglab.physics.car import car_of
from dampinglab.physics.damper import RatedDamper, Setting
from dampinglab.physics.vehicle import Vehicle
from dampinglab.units import minus
from dampinglab.workshop.catalogue import HIGH
from dampinglab.workshop.complaint import COMPLAINTS, Complaint, fitting, unfitting, way
from dampinglab.workshop.evidence import turning_height
from dampinglab.workshop.start import named_setting
from dampinglab.workshop.text import nearest, quoted
from dampinglab.workshop.watched import MAYBE, WATCHED, work_beyond
from dampinglab.workshop.ways import Case, Reading, Way, ways

__all__ = ["Advice", "Change", "advise"]

_NEAR = 0.5  # of the best remedy's gain, with which an earlier one of the trade comes first


@dataclass(frozen=True)
class Change:
    """One change: one adjuster, the same clicks, both dampers of one axle.

    Parameters
    ----------
    axle, adjuster : str
        Where and what.
    clicks_by : int
        How many clicks; above zero out, which is softer.
    """

    axle: str
    adjuster: str
    clicks_by: int


@dataclass(frozen=True)
class Advice:
    """What is advised for one complaint on one axle.

    Parameters
    ----------
    complaint : Complaint
        The complaint.
    axle : str
        Which axle.
    load : str
        The load case in words.
    ways : tuple of Way
        What was computed, in the trade's order.
    notes : tuple of str
        Whole sentences: what this damper lacks, what the model leaves out, where it turns round.
    change : Change or None
        The one change to try first; None where no click is advised.
    reason : str
        Why, in one sentence.
    """

    complaint: Complaint
    axle: str
    load: str
    ways: tuple[Way, ...] = ()
    notes: tuple[str, ...] = ()
    change: Change | None = None
    reason: str = ""

    @property
    def chosen(self) -> Way | None:
        """The way that the change goes, else the first that was computed."""
        turned = self.change.adjuster if self.change else None
        named = (each for each in self.ways if each.adjuster == turned)
        return next(named, self.ways[0] if self.ways else None)

    @property
    def warning(self) -> str:
        """What may become dangerous; empty if nothing."""
        turned = self.chosen if self.change else None
        return turned.remedy.warning if turned and self.axle == "rear" else ""


def advise(
    key: str,
    vehicle: Vehicle,
    axle: str,
    damper,
    setting: Setting | Mapping[str, int] | None,
    load: str | None = None,
    *,
    other: tuple | None = None,
) -> Advice:
    """Return what to change for a complaint, what it would do here and what it costs.

    Parameters
    ----------
    key : str
        Key of COMPLAINTS.
    vehicle : Vehicle
        The vehicle.
    axle : str
        "front" or "rear".
    damper : MeasuredDamper, ValveDamper, RatedDamper or None
        The axle's damper, as far as it is known.
    setting : tuple of int or mapping of str to int, or None
        Clicks out from closed now; of a damper without a curve by click the mapping's names tell
        which adjusters there are, and none that it is not known.
    load : str, optional
        Name of a load case; none means as weighed.
    other : tuple, optional
        Damper and setting of the other axle: with them the whole vehicle leans and dives.

    Returns
    -------
    Advice
        With or without a change.

    Raises
    ------
    LearnerError
        If there is no such complaint, axle, load or setting, or the load does not fit.
    """
    if key not in COMPLAINTS:
        near = nearest(str(key)[:40], COMPLAINTS)
        raise LearnerError(f"There is no complaint {quoted(key)}; {near}.")
    complaint, told = COMPLAINTS[key], load or "as weighed"
    corner = vehicle.corner(axle, load)
    if not complaint.remedies:
        return Advice(complaint, axle, told, reason=complaint.instead)
    if damper is None or isinstance(damper, RatedDamper):
        return _by_trade(complaint, axle, told, setting if isinstance(setting, Mapping) else None)
    now = named_setting(damper, setting) if isinstance(setting, Mapping) else tuple(setting or ())
    damper.valve_force(0.0, now)  # refuses a setting that it cannot have
    case = Case(complaint, axle, told, corner, damper, now, *_whole(vehicle, load, other))
    return _answered(case, ways(case))


def _whole(vehicle: Vehicle, load: str | None, other: tuple | None) -> tuple:
    """Return the whole vehicle and the other axle's damper, where both axles are known."""
    known = other and hasattr(other[0], "valve_force") and {"front", "rear"} <= set(vehicle.axles)
    return (car_of(vehicle, load), other) if known else (None, ())


def _by_trade(complaint: Complaint, axle: str, load: str, there: Collection[str] | None) -> Advice:
    """Return what the trade turns, for a damper whose curve at each click is not known."""
    here = [each for each in complaint.remedies if axle in each.axles]
    if not here:
        notes = (f"It is not for the {axle} axle: look at the other one.",)
    elif there is None:
        turned = [f"{each.adjuster}, {way(each.more)}" for each in here]
        notes = (_turns(turned), _UNSEEN, _BEGIN)
    else:
        named = [(each, fitting(each.adjuster, list(there))) for each in here]
        turned = [f"{name}, {way(each.more)}" for each, name in named if name]
        lacking = [unfitting(each, name) for each, name in named]
        notes = (*([_turns(turned), _BEGIN] if turned else [_NOTHING]), *filter(None, lacking))
    return Advice(complaint, axle, load, notes=tuple(dict.fromkeys(notes)), reason=_UNCOMPUTED)


def _turns(turned: Sequence[str]) -> str:
    return f"The trade turns {', or else '.join(dict.fromkeys(turned))}."


_UNCOMPUTED = (
    "No curve by click is known of this damper: only the trade's direction is, and nothing is "
    "computed."
)
_BEGIN = "Begin with a fifth of the adjuster's clicks, both dampers of the axle alike."
_UNSEEN = (
    "These dampers may lack one of them: look which adjusters they have, and turn the first of "
    "these that is there."
)
_NOTHING = "These dampers have no adjuster for it: no click cures this here."


def _answered(case: Case, tried: tuple[Way, ...]) -> Advice:
    """Return the advice: the trade's first remedy that does its share here, or why none."""
    best = max((each.gain for each in tried), default=0.0)
    fair = (each for each in tried if each.agrees and each.gain >= _NEAR * best)
    good = next(fair, None)
    change, reason = _chosen(case, good) if good else _none(case, tried)
    case.notes.extend(_disagreements(tried))
    case.notes.extend(
        filter(None, [_small(good), _round(good), _height(case), *_assumed(case, change)])
    )
    notes = tuple(dict.fromkeys(case.notes))
    return Advice(case.complaint, case.axle, case.load, tried, notes, change, reason)


def _chosen(case: Case, way_: Way) -> tuple[Change, str]:
    """Return one step of a remedy, less where less is enough, and what it does."""
    now, one = way_.clicks[:2]
    nearer = [n for n in (one, way_.enough) if n is not None]
    to = max(nearer) if way_.remedy.more else min(nearer)
    own, unit = way_.own, way_.own.watched.unit
    what, (old, new) = own.watched.told(own.values[:2])
    reason = (
        f"On {own.watched.where}, {what} goes from {_plain(old)} to {_plain(new)} {unit} in the "
        f"first step: {own.marks[0]}."
    )
    if way_.gain < MAYBE:
        case.notes.append(
            f"It goes the trade's way, but even two steps ({_last(own)}) are less than a driver "
            "feels: look for another cause as well."
        )
    return Change(case.axle, way_.adjuster, to - now), reason


def _last(own: Reading) -> str:
    """Return what the last step comes to, in words and a number."""
    what, (value,) = own.watched.told(own.values[-1:])
    return f"{what}, {_plain(value)} {own.watched.unit}"


def _plain(value: float) -> str:
    return minus(f"{value:.3g}")


def _none(case: Case, tried: tuple[Way, ...]) -> tuple[Change | None, str]:
    """Return what is left where the model shows no help."""
    if not tried:
        here = any(case.axle in each.axles for each in case.complaint.remedies)
        left = "No click is left for it here: springs, stops, or the valves inside."
        return None, left if here else f"It is not for the {case.axle} axle: look at the other one."
    first, watched = tried[0], tried[0].own.watched
    if first.own.values[0] < watched.none_below:
        step = Change(case.axle, first.adjuster, first.clicks[1] - first.clicks[0])
        return step, (
            f"The model does not show it here ({watched.what} {first.own.values[0]:.1f} "
            f"{watched.unit} on {watched.where}): check load, height and stops again; the trade's "
            "way is all there is."
        )
    word = "makes it worse" if first.against else "does nothing to it"
    return None, f"In the model {first.adjuster} {word} here, so no click is advised."


def _disagreements(tried: Sequence[Way]) -> list[str]:
    """Return a sentence for each remedy of the trade that the model does not bear out."""
    return [
        f"The trade says {each.adjuster}, {way(each.remedy.more)} (common practice, no source); "
        f"the model says that here it {'makes it worse' if each.against else 'does nothing'}."
        for each in tried
        if not each.agrees and each.own.values[0] >= each.own.watched.none_below
    ]


def _small(good: Way | None) -> str:
    """Return what the change of a number too small to be felt is taken as a share of."""
    if good is None or abs(good.own.values[0]) >= good.own.watched.least:
        return ""
    least = f"{good.own.watched.least:g} {good.own.watched.unit}"
    return (
        f"The complaint's own number is small: its change is taken as a share of {least}, for "
        "less is hardly felt (an assumption)."
    )


def _round(good: Way | None) -> str:
    """Return where a remedy stops helping, or turns round."""
    if good is None or good.enough is None:
        return ""
    tail = "it turns round and gets worse again" if good.turns else "it helps no more"
    return f"Beyond {good.enough} clicks out {tail}."


def _assumed(case: Case, change: Change | None) -> tuple[str, ...]:
    """Return what the table does not tell of the setting advised, and of its speeds."""
    if change is None:
        return ()
    names = [each.name for each in case.damper.adjusters]
    to = case.now[names.index(change.adjuster)] + change.clicks_by
    beyond = 100 * work_beyond(case.corner, case.damper, case.now, case.key)
    fast = (
        f"Of the damper's work on {WATCHED[case.key].where}, {beyond:.0f} % lies beyond its table, "
        "where the last slope is taken to go on."
    )
    return case.damper.assumption(case.turned(change.adjuster, to)), fast * (beyond >= 1)


def _height(case: Case) -> str:
    """Return from which ridge on more fast bump turns from worse to better."""
    there = [each.name for each in case.damper.adjusters]
    if case.complaint.shown not in ("dip", "ridge") or HIGH not in there:
        return ""
    try:
        height = turning_height(case.corner, case.damper)
    except OutOfRange:
        return ""
    if height is None:
        return ""
    return (
        f"More high-speed bump makes ridges below {1e3 * height:.0f} mm sharper and higher ones "
        "less sharp, for it saves the stop (at 40 km/h, the other adjusters at the middle)."
    )
