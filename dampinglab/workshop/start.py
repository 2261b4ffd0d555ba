"""Choose the starting setting, and say what a table assumes about it."""

from collections.abc import Mapping
from dataclasses import dataclass

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import MeasuredDamper, RatedDamper, Setting, middle_of_force
from dampinglab.physics.vehicle import Axle

__all__ = ["Start", "choose_start", "named_setting"]

_AS_FOUND = "as found: it is the one setting that the driver knows, so every change is felt from it"
_MAKER = "the maker's: nothing was noted as found, and the maker tried it on such a vehicle"
_MIDDLE = (
    "the middle of force: no setting was given, and this measured one lies nearest halfway from "
    "the softest to the hardest force, which need not be the middle click"
)
_FIXED = "not adjustable: what it lacks is work for springs or for the valves inside"
_NOTHING = "count the clicks from lightly seated closed and note them: that is the start"


@dataclass(frozen=True)
class Start:
    """Where to begin.

    Parameters
    ----------
    clicks : mapping of str to int
        Clicks out from closed by adjuster; empty when there are none to give.
    setting : Setting or None
        The same in the order of the damper's adjusters; None without a dyno table.
    reason : str
        Why, without a full stop.
    cautions : tuple of str, optional
        Whole sentences about this start.
    """

    clicks: Mapping[str, int]
    setting: Setting | None
    reason: str
    cautions: tuple[str, ...] = ()


def named_setting(damper: MeasuredDamper, clicks: Mapping[str, int]) -> Setting:
    """Return clicks by name as a setting of a damper.

    Parameters
    ----------
    damper : MeasuredDamper
        The damper.
    clicks : mapping of str to int
        Clicks out from closed by adjuster.

    Returns
    -------
    Setting
        In the order of the damper's adjusters.

    Raises
    ------
    OutOfRange
        If an adjuster is missing or not the damper's, or a click is past its last.
    """
    names = [adjuster.name for adjuster in damper.adjusters]
    strange = [name for name in clicks if name not in names]
    has = ", ".join(f"{a.name} 0 to {a.clicks}" for a in damper.adjusters) or "none"
    if strange:
        raise OutOfRange(f"This damper has no adjuster {strange[0]!r}, only {has}.")
    for adjuster in damper.adjusters:
        if adjuster.name not in clicks:
            raise OutOfRange(f"The setting gives no clicks of {adjuster.name!r}; it needs {has}.")
        if not 0 <= clicks[adjuster.name] <= adjuster.clicks:
            raise OutOfRange(
                f"{adjuster.name!r} at {clicks[adjuster.name]} clicks is past the last: this "
                f"damper has {has}, counted out from closed."
            )
    return tuple(clicks[name] for name in names)


def choose_start(axle: Axle, damper: MeasuredDamper | RatedDamper | None) -> Start:
    """Return the setting to start from: as found, else the maker's, else the middle of force.

    Parameters
    ----------
    axle : Axle
        The axle, with the settings that its sheet gives.
    damper : MeasuredDamper, RatedDamper or None
        What is known of its damper.

    Returns
    -------
    Start
        With its reason.

    Raises
    ------
    OutOfRange
        If the sheet gives a setting that the damper cannot have.
    """
    given, reason = (axle.as_found, _AS_FOUND) if axle.as_found else (axle.maker, _MAKER)
    if not isinstance(damper, MeasuredDamper):
        return Start(given or {}, None, reason if given else _NOTHING)
    if not damper.adjusters:
        return Start({}, named_setting(damper, given or {}), _FIXED)
    if given:
        setting = named_setting(damper, given)
        return Start(given, setting, reason, _unread(axle.name, damper, setting))
    setting = middle_of_force(damper)
    names = [adjuster.name for adjuster in damper.adjusters]
    return Start(dict(zip(names, setting, strict=True)), setting, _MIDDLE)


def _unread(axle: str, damper: MeasuredDamper, setting: Setting) -> tuple[str, ...]:
    """Return the sentence on a start that was not measured as a whole, if it was not."""
    try:
        told = damper.assumption(setting)
    except OutOfRange as problem:
        told = f"the table does not tell what the start does. {problem}"
    return (f"{axle.capitalize()}: {told}",) if told else ()
