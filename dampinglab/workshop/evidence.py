"""The trade's rules R1 to R7 as computed evidence: common practice, no source.

Each rule on the event that shows it best, its own adjuster over the whole range with the others
at the middle. Signs are the claim; sizes are a model's, and best cases.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.optimize import brentq

from dampinglab.errors import LearnerError
from dampinglab.physics import road
from dampinglab.physics.corner import prepare, run_table
from dampinglab.physics.measures import scores
from dampinglab.physics.vehicle import Corner
from dampinglab.workshop.proving import EVENTS, METRICS, Event, Metric, event_road

__all__ = [
    "RULES",
    "Evidence",
    "Rule",
    "Turned",
    "enough",
    "evidence",
    "turn",
    "turned_settings",
    "turning_height",
]

LOW, HIGH, REBOUND = "low-speed bump", "high-speed bump", "rebound"
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # of the range, from open to closed
_BACK = 0.02  # of the whole change, by which a step may go back and the trend still be steady
_HEIGHTS = np.arange(0.02, 0.151, 0.01)  # m of ridge
_RIDGE_SPEED = 40 / 3.6  # m/s
_TOUCHED = 0.01  # J into the bump stop from which it counts as reached


@dataclass(frozen=True)
class Rule:
    """What the trade says, and the event and metric that show it.

    Parameters
    ----------
    complaint : str
        In a few words; as good a name as the key.
    words : str
        The complaint and the cure.
    adjuster : str
        Which one the cure turns.
    event, metric : str
        Keys of EVENTS and METRICS.
    more : bool
        Whether the cure is more of the adjuster, that is closing it.
    raises : bool
        Whether closing the adjuster raises the metric.
    price : str
        Key of the rule whose event and metric show what the cure costs.
    control : str, optional
        An adjuster that should do nothing to it.
    least : float, optional
        Metric's value at its worse end below which nobody complains, in the metric's unit.
    clear_of_stop : bool, optional
        Whether the rule is only claimed where no setting reaches the bump stop.
    """

    complaint: str
    words: str
    adjuster: str
    event: str
    metric: str
    more: bool
    raises: bool
    price: str
    control: str | None = None
    least: float = 0.0
    clear_of_stop: bool = False

    @property
    def where(self) -> Event:
        """The event."""
        return EVENTS[self.event]

    @property
    def what(self) -> Metric:
        """The metric."""
        return METRICS[self.metric]


_1 = "Uses up its travel, hits the stops: more high-speed bump"
_2 = "Slow to answer, rolls and pitches about: more low-speed bump"
_3 = "Sharp over small bumps: less low-speed bump"
_4 = "Sharp over large bumps: less high-speed bump, short of the stop"
_5 = "Thrown up after a bump: more rebound"
_6 = "Keeps moving up and down after a rise: more rebound"
_7 = "Drops into holes, or sinks over many bumps: less rebound"

RULES = {
    "R1": Rule(
        "hits the stop in a dip", _1, HIGH, "dip", "stop energy", True, False, "R4", least=0.5
    ),
    "R1 rough track": Rule(
        "uses up its travel", _1, HIGH, "rough track", "bump travel", True, False, "R4"
    ),
    "R2": Rule(
        "rolls and pitches about", _2, LOW, "two waves", "body motion", True, False, "R3", HIGH
    ),
    "R3": Rule("sharp over small bumps", _3, LOW, "small ridge", "peak", False, True, "R2"),
    "R3 good road": Rule(
        "restless on a good road", _3, LOW, "good road", "ride", False, True, "R2", HIGH
    ),
    "R3 usual road": Rule("restless on a usual road", _3, LOW, "road", "ride", False, True, "R2"),
    "R4": Rule(
        "sharp over big bumps", _4, HIGH, "ridge", "peak", False, True, "R1", clear_of_stop=True
    ),
    "R5": Rule(
        "thrown up after a hump",
        _5,
        REBOUND,
        "hump",
        "rise",
        True,
        False,
        "R3 usual road",
        least=0.5,
    ),
    "R5 waves": Rule(
        "thrown up by waves",
        _5,
        REBOUND,
        "three waves",
        "rise",
        True,
        False,
        "R3 usual road",
        least=0.5,
    ),
    "R6": Rule(
        "keeps moving after a rise",
        _6,
        REBOUND,
        "two waves",
        "rise",
        True,
        False,
        "R3 usual road",
        HIGH,
        least=0.5,
    ),
    "R6 motion": Rule(
        "moves about on waves",
        _6,
        REBOUND,
        "two waves",
        "body motion",
        True,
        False,
        "R3 usual road",
    ),
    "R7": Rule("drops into holes", _7, REBOUND, "hole", "hole load", False, False, "R6"),
    "R7 drop": Rule("is dragged down by holes", _7, REBOUND, "hole", "drop", False, True, "R6"),
    "R7 sinking": Rule(
        "sinks over many bumps", _7, REBOUND, "corrugation", "sinking", False, True, "R6"
    ),
    "R7 shaking": Rule(
        "shakes over many bumps", _7, REBOUND, "corrugation", "ride", False, True, "R6"
    ),
    "R7 packing": Rule(
        "packs down over ridges", _7, REBOUND, "ridges", "packing", False, True, "R6"
    ),
}
"""The seven rules by their names, each on its clearest event, then on further ones."""


@dataclass(frozen=True, eq=False)
class Turned:
    """One adjuster from open to closed, the others at the middle.

    Parameters
    ----------
    adjuster : str
        Its name.
    clicks : tuple of int
        Out from closed, from open to closed.
    values : ndarray
        The metric, in its unit.
    stop_energy : ndarray
        What went into the bump stop, J.
    """

    adjuster: str
    clicks: tuple[int, ...]
    values: np.ndarray
    stop_energy: np.ndarray

    @property
    def span(self) -> float:
        """Greatest less least value."""
        return float(np.ptp(self.values))


@dataclass(frozen=True, eq=False)
class Evidence:
    """What a rule's own adjuster does on one corner, and what the control does.

    Parameters
    ----------
    name : str
        Key of the rule.
    rule : Rule
        The rule.
    turned : Turned
        Its adjuster.
    price : Turned or None
        What the same adjuster, fully open and closed, does where the cure costs something.
    control : Turned or None
        The adjuster that should do nothing, if the rule and the damper have one.
    """

    name: str
    rule: Rule
    turned: Turned
    price: Turned | None = None
    control: Turned | None = None

    @cached_property
    def change(self) -> float:
        """Metric closed less metric open, in its unit."""
        return float(self.turned.values[-1] - self.turned.values[0])

    @property
    def applies(self) -> bool:
        """Whether there is a complaint to cure, and no stop where none may be reached."""
        worse = self.turned.values[0 if self.rule.more else -1]
        reached = self.rule.clear_of_stop and self.turned.stop_energy.max() > _TOUCHED
        return bool(worse >= self.rule.least or self.rule.least == 0) and not reached

    @property
    def holds(self) -> bool:
        """Whether the whole range moves the metric the way the trade says."""
        return self.change > 0 if self.rule.raises else self.change < 0

    @property
    def steady(self) -> bool:
        """Whether it holds, and no quarter of the range goes back by more than 2 % of it."""
        steps = np.diff(self.turned.values) * (1 if self.rule.raises else -1)
        return bool(self.holds and np.all(steps > -_BACK * abs(self.change)))


def turned_settings(damper, adjuster: str, shares=_SHARES):
    """Return settings with one adjuster over its range, the others at the middle.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        Any damper with adjusters.
    adjuster : str
        Which one is turned.
    shares : sequence of float, optional
        Of its range, 0 open to 1 closed.

    Returns
    -------
    clicks : tuple of int
        Of the turned adjuster, out from closed.
    settings : list of tuple of int
        Whole settings.

    Raises
    ------
    LearnerError
        If the damper has no such adjuster.
    """
    names = [each.name for each in damper.adjusters]
    if adjuster not in names:
        there = ", ".join(names) or "no adjuster"
        raise LearnerError(f"{damper.name} has no {adjuster} adjuster, only: {there}.")
    place, middle = names.index(adjuster), [each.clicks // 2 for each in damper.adjusters]
    most = damper.adjusters[place].clicks
    clicks = tuple(round((1 - share) * most) for share in shares)
    return clicks, [(*middle[:place], n, *middle[place + 1 :]) for n in clicks]


def evidence(name: str, corner: Corner, damper) -> Evidence:
    """Return what a rule's adjuster does to its metric on one corner.

    Parameters
    ----------
    name : str
        Key of RULES, or the complaint.
    corner : Corner
        The corner, loaded or not.
    damper : MeasuredDamper or ValveDamper
        Its damper.

    Returns
    -------
    Evidence
        Five settings of the adjuster, and five of the control.

    Raises
    ------
    LearnerError
        If there is no such rule, or the damper lacks its adjuster.
    """
    name = _key(name)
    rule = RULES[name]
    there = [each.name for each in damper.adjusters]
    control = rule.control if rule.control in there else None
    cost = RULES[rule.price]
    return Evidence(
        name,
        rule,
        turn(corner, damper, rule.adjuster, rule.event, rule.metric),
        turn(corner, damper, rule.adjuster, cost.event, cost.metric, (0, 1)),
        turn(corner, damper, control, rule.event, rule.metric) if control else None,
    )


def _key(name: str) -> str:
    """Return the key of a rule that is named by its key or by its complaint."""
    for key, rule in RULES.items():
        if name in (key, rule.complaint):
            return key
    there = "; ".join(rule.complaint for rule in RULES.values())
    raise LearnerError(f"There is no rule {name!r}; there are: {there}.")


def turn(corner: Corner, damper, adjuster: str, event: str, metric: str, shares=_SHARES) -> Turned:
    """Return what one adjuster does to any metric on any event: also the price of a cure.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    adjuster : str
        Which one is turned; the others stay at the middle.
    event, metric : str
        Keys of EVENTS and METRICS.
    shares : sequence of float, optional
        Of its range, 0 open to 1 closed.

    Returns
    -------
    Turned
        The metric at each share.

    Raises
    ------
    LearnerError
        If the damper has no such adjuster, or there is no such event.
    """
    clicks, settings = turned_settings(damper, adjuster, shares)
    way, read = event_road(event), METRICS[metric].of
    made = prepare(corner, way)
    runs = [run_table(made, corner, way, damper, setting) for setting in settings]
    values = np.array([read(run, EVENTS[event]) for run in runs])
    return Turned(adjuster, clicks, values, np.array([scores(run).stop_energy for run in runs]))


def enough(name: str, corner: Corner, damper, share: float = 0.95) -> int:
    """Return the clicks beyond which more of a rule's cure helps no more.

    Parameters
    ----------
    name : str
        Key of RULES, or the complaint.
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper; every click is run.
    share : float, optional
        Of the greatest gain, that is taken for all of it.

    Returns
    -------
    int
        Clicks out from closed; the end of the range where it helps to the end.

    Raises
    ------
    LearnerError
        As `evidence`.
    """
    rule = RULES[_key(name)]
    most = next((a.clicks for a in damper.adjusters if a.name == rule.adjuster), 1)
    shares = np.linspace(0, 1, most + 1)[:: 1 if rule.more else -1]
    turned = turn(corner, damper, rule.adjuster, rule.event, rule.metric, shares)
    gain = np.abs(turned.values - turned.values[0])
    return turned.clicks[int(np.argmax(gain >= share * gain.max()))]


def turning_height(corner: Corner, damper, heights=_HEIGHTS) -> float | None:
    """Return the height of ridge at which more high-speed bump turns from worse to better.

    Below it the damper makes the bump sharper (R4); above it the damper saves the stop (R1). The
    ridges are ten times as long as high; the adjuster goes from a quarter in to three quarters.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        With a high-speed bump adjuster.
    heights : sequence of float, optional
        Ridges to look between, m, ascending; met at 40 km/h.

    Returns
    -------
    float or None
        Height, m, to a tenth of a millimetre; None if it does not turn between them.

    Raises
    ------
    LearnerError
        If the damper has no high-speed bump adjuster.
    """
    _, settings = turned_settings(damper, HIGH, (0.25, 0.75))

    def sharper(height: float) -> float:
        way = road.ridge(height, 10 * height, _RIDGE_SPEED, 3.0)
        made = prepare(corner, way)
        runs = [run_table(made, corner, way, damper, setting) for setting in settings]
        soft, hard = (float(scores(run).peak_upward) for run in runs)
        return hard - soft

    # One after the other: high ridges are slow to run, and the first turn is what is wanted.
    last, low = sharper(heights[0]), heights[0]
    for height in heights[1:]:
        now = sharper(height)
        if last > 0 >= now:
            return float(brentq(sharper, low, height, xtol=1e-4))
        last, low = now, height
    return None
