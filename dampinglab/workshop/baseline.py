"""The first setting of a vehicle and its reason, with what each measured setting does.

Damping ratios are secants at two shaft speeds: 0.05 m/s, where the body moves on the road's long
shapes, and 0.5 m/s, where the wheel meets its short ones.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import Adjuster, MeasuredDamper, RatedDamper, Setting, damping_ratio
from dampinglab.physics.oscillator import damping_ratio as share_of_critical
from dampinglab.physics.vehicle import Axle, Corner, Vehicle, wheel_damping
from dampinglab.workshop.start import Start, choose_start

__all__ = [
    "HIGH",
    "LOW",
    "AxleBaseline",
    "Baseline",
    "Case",
    "Ratios",
    "Reading",
    "baseline",
]

LOW, HIGH = 0.05, 0.5
"""Shaft speeds in m/s at which damping ratios are read: common practice, no source."""

_SPEEDS = (LOW, HIGH, -LOW, -HIGH)
_USUAL = (0.9, 2.8)  # Hz: outside it a body frequency is possible, and worth a second look
_UNEQUAL = 0.10  # of the mean load of the two wheels


@dataclass(frozen=True)
class Reading:
    """A damping ratio at one shaft speed.

    Parameters
    ----------
    speed : float
        Shaft speed, m/s, positive in bump.
    least, most : float
        The damping ratio; both the same for a measured damper, a band for a rated one.
    beyond : bool
        Whether the speed lies beyond what was measured, so that the last slope was drawn out.
    """

    speed: float
    least: float
    most: float
    beyond: bool = False


@dataclass(frozen=True)
class Ratios:
    """The damping ratios of one setting.

    Parameters
    ----------
    setting : Setting or None
        Clicks out from closed; None for a damper known by a rating only.
    bump_low, bump_high, rebound_low, rebound_high : Reading
        At `LOW` and `HIGH` shaft speed.
    """

    setting: Setting | None
    bump_low: Reading
    bump_high: Reading
    rebound_low: Reading
    rebound_high: Reading

    @property
    def readings(self) -> tuple[Reading, Reading, Reading, Reading]:
        """The four readings, in the order of their names."""
        return self.bump_low, self.bump_high, self.rebound_low, self.rebound_high


@dataclass(frozen=True)
class Case:
    """One axle under one load.

    Parameters
    ----------
    load : str or None
        Name of the load case; None as weighed.
    corner : Corner
        The corner under this load.
    ratios : tuple of Ratios
        One for each measured setting, the most closed first; one band for a rating; empty when
        nothing is known of the damper.
    start : Ratios or None
        Those of the starting setting; None where the table does not tell them.
    """

    load: str | None
    corner: Corner
    ratios: tuple[Ratios, ...]
    start: Ratios | None


@dataclass(frozen=True)
class AxleBaseline:
    """One axle: its start, and its numbers under every load.

    Parameters
    ----------
    name : str
        "front" or "rear".
    damper : str
        What the damper is known as, or how it is known.
    adjusters : tuple of Adjuster
        In the order of the settings.
    start : Start
        The starting setting with its reason.
    cases : tuple of Case
        As weighed first, then each load that fits in the travel.
    """

    name: str
    damper: str
    adjusters: tuple[Adjuster, ...]
    start: Start
    cases: tuple[Case, ...]


@dataclass(frozen=True)
class Baseline:
    """What the workshop begins with.

    Parameters
    ----------
    vehicle : str
        The vehicle's name.
    axles : tuple of AxleBaseline
        Front first.
    cautions : tuple of str
        Whole sentences: what to look at before a click is touched.
    assumptions : tuple of str
        Whole sentences: what was not given and was assumed.
    """

    vehicle: str
    axles: tuple[AxleBaseline, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]


Damper = MeasuredDamper | RatedDamper


def baseline(vehicle: Vehicle, dampers: Mapping[str, Damper]) -> Baseline:
    """Work out the first setting of each axle, and what each measured setting does.

    The damping ratio at a speed is F/v MR^2 / (2 sqrt(k m)), read at the shaft.

    Parameters
    ----------
    vehicle : Vehicle
        The vehicle sheet.
    dampers : mapping of str to MeasuredDamper or RatedDamper
        By axle; an axle without one gets its frequencies and no ratios.

    Returns
    -------
    Baseline
        Everything for the bench sheet and its picture.

    Raises
    ------
    OutOfRange
        If a setting on the sheet names an adjuster or a click that the damper has not.

    Notes
    -----
    The start is the setting as found, else the maker's, else the measured one nearest the middle
    of force (not of clicks): common practice, no source. A load that does not fit in the travel
    is left out with a caution.
    """
    axles, cautions = [], []
    for name, axle in vehicle.axles.items():
        damper = dampers.get(name)
        start = choose_start(axle, damper)
        cases, unfit = _cases(vehicle, name, damper, start)
        result = AxleBaseline(name, _known_as(damper), _adjusters(damper), start, cases)
        axles.append(result)
        cautions += [*_cautions(axle, result), *unfit]
    assumptions = (*vehicle.assumptions, *_assumptions(vehicle, dampers))
    return Baseline(vehicle.name, tuple(axles), tuple(cautions), assumptions)


def _cases(vehicle: Vehicle, name: str, damper: Damper | None, start: Start):
    """Return the axle under each load that fits, and the sentences about those that do not."""
    cases, unfit = [], []
    for load in (None, *(each.name for each in vehicle.loads)):
        try:
            corner = vehicle.corner(name, load)
        except OutOfRange as problem:
            unfit.append(f"{name.capitalize()}, load {load!r}: {problem}")
            continue
        cases.append(Case(load, corner, _ratios(damper, corner), _at_start(damper, corner, start)))
    return tuple(cases), unfit


def _ratios(damper: Damper | None, corner: Corner) -> tuple[Ratios, ...]:
    """Return the ratios of every measured setting, or the one band of a rating."""
    if isinstance(damper, MeasuredDamper):
        return tuple(_measured(damper, corner, each) for each in damper.settings)
    return (_rated(damper, corner),) if damper else ()


def _at_start(damper: Damper | None, corner: Corner, start: Start) -> Ratios | None:
    """Return the ratios of the starting setting, where the table tells them."""
    if not isinstance(damper, MeasuredDamper):
        return _rated(damper, corner) if damper else None
    try:
        return _measured(damper, corner, start.setting)
    except OutOfRange:  # the start's caution says why
        return None


def _measured(damper: MeasuredDamper, corner: Corner, setting: Setting) -> Ratios:
    readings = []
    for speed in _SPEEDS:
        ratio = damping_ratio(damper, speed, setting, corner)
        readings.append(Reading(speed, ratio, ratio, bool(damper.beyond(speed, setting))))
    return Ratios(setting, *readings)


def _rated(damper: RatedDamper, corner: Corner) -> Ratios:
    readings = []
    for speed in _SPEEDS:
        edges = [
            share_of_critical(
                wheel_damping(force / abs(speed), corner.damper_motion_ratio),
                corner.wheel_rate,
                corner.sprung_mass,
            )
            for force in damper.band(speed)
        ]
        readings.append(Reading(speed, *map(float, edges)))
    return Ratios(None, *readings)


def _known_as(damper: Damper | None) -> str:
    if isinstance(damper, MeasuredDamper):
        return damper.name
    if damper is None:
        return "no dyno table and no rating"
    return (
        f"known by a rating only: {damper.bump_force:.0f} N bump, "
        f"{damper.rebound_force:.0f} N rebound at {damper.speed:.3g} m/s"
    )


def _adjusters(damper: Damper | None) -> tuple[Adjuster, ...]:
    return damper.adjusters if isinstance(damper, MeasuredDamper) else ()


def _assumptions(vehicle: Vehicle, dampers: Mapping[str, Damper]) -> list[str]:
    """Return what comes assumed with the dampers, once where it holds for both axles."""
    axles: dict[str, list[str]] = {}
    for name in vehicle.axles:
        for sentence in _assumed(dampers.get(name)):
            axles.setdefault(sentence, []).append(name)
    return [
        f"{' and '.join(names).capitalize()} damper: {sentence[:1].lower()}{sentence[1:]}"
        for sentence, names in axles.items()
    ]


def _assumed(damper: Damper | None) -> tuple[str, ...]:
    """Return the assumptions that come with one damper."""
    if damper is None:
        return ()
    if isinstance(damper, RatedDamper):
        shapes = f"(v/v0)^{damper.low_exponent:g} to (v/v0)^{damper.high_exponent:g}"
        return (
            "The shape of the curve is unknown; the bands are those of "
            f"F = F0 {shapes} (common practice, no source).",
        )
    slowest = max(min(abs(v) for v in c.speed if v) for c in damper.curves.values())
    if slowest <= LOW:
        return damper.assumptions
    said = f"The slowest speed measured is {slowest:.3g} m/s; the ratios at {LOW:g} m/s lie on a "
    return (*damper.assumptions, said + "curve from there to rest.")


def _cautions(axle: Axle, result: AxleBaseline) -> list[str]:
    """Return what to look at on one axle before a click is touched."""
    name, said = result.name.capitalize(), []
    if axle.side_difference > _UNEQUAL:
        said.append(
            f"{name}: the two wheels' loads differ by {axle.side_difference:.0%}; find out why "
            "before a damper is touched."
        )
    frequency = axle.corner.body_frequency
    if not _USUAL[0] <= frequency <= _USUAL[1]:
        said.append(
            f"{name}: {frequency:.2f} Hz is unusual for a road vehicle; check the rate, and that "
            "the masses are of one wheel and in kg."
        )
    ratios = [case.start for case in result.cases if case.start] or list(result.cases[0].ratios)
    if any(reading.beyond for each in ratios for reading in each.readings):
        said.append(f"{name}: ratios marked * lie beyond the speeds measured.")
    return said + list(result.start.cautions)
