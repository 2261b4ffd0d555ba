"""The compromise: what each setting costs over a mix of roads, and the choice by priorities."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType, SimpleNamespace

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.damper import Setting, middle_of_force
from dampinglab.physics.vehicle import Axle
from dampinglab.workshop.mix import Condition
from dampinglab.workshop.start import named_setting
from dampinglab.workshop.tried import Tried, lines_of

__all__ = [
    "GOALS",
    "PRIORITIES",
    "Choice",
    "Goal",
    "Move",
    "Question",
    "Spread",
    "Start",
    "choose",
    "costs",
    "mean_scores",
    "question",
    "regrets",
    "starts",
]


@dataclass(frozen=True)
class Goal:
    """One thing that a driver may want, and the score that tells it.

    Parameters
    ----------
    word : str
        What is wanted.
    key : str
        Field of `Scores`, the better the smaller.
    floor : float
        SI; a change is taken as a share of the reference's score, or of this where that is
        smaller: so a stop that is hardly touched does not decide everything.
    """

    word: str
    key: str
    floor: float


GOALS = (
    Goal("comfort", "weighted", 0.05),
    Goal("soft edges", "peak_upward", 0.2),
    Goal("grip", "tyre_variation", 0.02),
    Goal("body held", "body_motion", 1e-3),
    Goal("travel kept", "bump_travel", 5e-3),
    Goal("off the stop", "stop_energy", 100.0),
)
"""What can be wanted. Shares below are judgement, no source: the best setting depends on them."""


def _shares(*per_cent: float) -> Mapping[str, float]:
    each = zip(GOALS, per_cent, strict=True)
    return MappingProxyType({goal.key: share / 100 for goal, share in each})


PRIORITIES = MappingProxyType(
    {
        "balanced": _shares(30, 10, 25, 20, 5, 10),
        "comfort first": _shares(50, 20, 10, 10, 5, 5),
        "grip first": _shares(15, 5, 55, 10, 5, 10),
        "travel first": _shares(15, 5, 10, 15, 25, 30),
        "body held first": _shares(15, 5, 10, 60, 5, 5),
    }
)
"""Priorities in words, each with the share of every score's key; they add up to 1."""


@dataclass(frozen=True)
class Start:
    """A setting to start from.

    Parameters
    ----------
    name : str
        "as found", "maker's" or "middle of force".
    setting : tuple of int
        Clicks out from closed.
    """

    name: str
    setting: Setting


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked of a compromise.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    conditions : tuple of Condition
        Roads and loads with their shares.
    weights : mapping of str to float
        By field of `Scores`; 1 in all.
    starts : tuple of Start
        Where one could begin, what comes first in practice first; the last is the middle of
        force. It is the reference: the choice does not depend on how a vehicle came in.
    """

    damper: object
    conditions: tuple[Condition, ...]
    weights: Mapping[str, float]
    starts: tuple[Start, ...]

    @property
    def reference(self) -> Setting:
        """The setting that every score is taken relative to."""
        return self.starts[-1].setting

    @property
    def shares(self) -> np.ndarray:
        """How much each condition counts, of 1."""
        return np.array([condition.share for condition in self.conditions])


def question(damper, conditions, weights, axle: Axle) -> Question:
    """Return the question of a compromise, or say what is wrong with it.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    conditions : tuple of Condition
        From `mix.conditions`.
    weights : mapping of str to float
        Field of `Scores` to how much it counts, zero or more; need not add up to 1.
    axle : Axle
        With the settings of its sheet.

    Returns
    -------
    Question
        Its weights add up to 1.

    Raises
    ------
    OutOfRange
        If nothing counts, or the damper has no clicks, or not those of the sheet.
    """
    whole = sum(weights.values())
    if not whole > 0 or min(weights.values()) < 0:
        raise OutOfRange("Give at least one score a weight above zero, and none below.")
    even = {key: weight / whole for key, weight in weights.items()}
    return Question(damper, tuple(conditions), MappingProxyType(even), starts(damper, axle))


def starts(damper, axle: Axle) -> tuple[Start, ...]:
    """Return where one could begin: as found, the maker's, the middle of force.

    Parameters
    ----------
    damper : MeasuredDamper or ValveDamper
        The damper.
    axle : Axle
        With the settings of its sheet.

    Returns
    -------
    tuple of Start
        What is known of them; the middle of force always, and last.

    Raises
    ------
    OutOfRange
        If the damper has no clicks, or not those of the sheet.
    """
    given = (("as found", axle.as_found), ("maker's", axle.maker))
    found = [Start(name, named_setting(damper, clicks)) for name, clicks in given if clicks]
    lines = getattr(damper, "settings", None) or lines_of(damper)
    swept = SimpleNamespace(settings=lines, valve_force=damper.valve_force)
    return (*found, Start("middle of force", middle_of_force(swept)))


def costs(asked: Question, tried: Tried) -> np.ndarray:
    """Return what settings cost against the reference, sum of w (v - v_ref) / max(v_ref, floor).

    Parameters
    ----------
    asked : Question
        Weights and reference.
    tried : Tried
        Settings, the reference among them.

    Returns
    -------
    ndarray, shape (conditions, settings)
        0 for the reference; -0.05 is 5 % better all in all.

    Raises
    ------
    OutOfRange
        If the reference was not tried.
    """
    at = tried.place(asked.reference)
    total = np.zeros((len(tried.conditions), len(tried.settings)))
    for goal in GOALS:
        values = getattr(tried.scores, goal.key)
        base = values[:, at : at + 1]
        total += asked.weights.get(goal.key, 0.0) * (values - base) / np.maximum(base, goal.floor)
    return total


def regrets(costs: np.ndarray) -> np.ndarray:
    """Return the worst that each setting loses on one condition, to the best setting there.

    Parameters
    ----------
    costs : ndarray, shape (conditions, settings)
        As `costs`.

    Returns
    -------
    ndarray, shape (settings,)
        Zero or more; zero only for a setting that is the best everywhere.
    """
    return (costs - costs.min(axis=1, keepdims=True)).max(axis=0)


def mean_scores(asked: Question, tried: Tried, key: str) -> np.ndarray:
    """Return one score of each setting, averaged over the conditions by their shares.

    Parameters
    ----------
    asked : Question
        Shares of the conditions.
    tried : Tried
        Settings.
    key : str
        Field of `Scores`.

    Returns
    -------
    ndarray, shape (settings,)
        SI.
    """
    return asked.shares @ getattr(tried.scores, key)


@dataclass(frozen=True, eq=False)
class Spread:
    """What other stretches of the same random roads make of a few settings.

    Parameters
    ----------
    settings : tuple of tuple of int
        The best few.
    totals : ndarray, shape (stretches, settings)
        Cost over the whole mix; 0 stretches where chance has no part in the roads.
    """

    settings: tuple[Setting, ...]
    totals: np.ndarray

    def against(self, setting: Setting) -> tuple[np.ndarray, np.ndarray]:
        """Return mean and standard deviation, over the stretches, of the costs beyond one's.

        Parameters
        ----------
        setting : tuple of int
            One of the settings.

        Returns
        -------
        mean, deviation : ndarray, shape (settings,)
            Above zero where a setting costs more.
        """
        beyond = self.totals - self.totals[:, [self.settings.index(setting)]]
        return beyond.mean(axis=0), beyond.std(axis=0, ddof=1)


@dataclass(frozen=True)
class Move:
    """One adjuster turned on the way from a start to the choice.

    Parameters
    ----------
    adjuster : str
        Which.
    old, new : int
        Clicks out from closed.
    cost : float
        Of the setting then, beyond the choice's.
    """

    adjuster: str
    old: int
    new: int
    cost: float


@dataclass(frozen=True, eq=False)
class Choice:
    """The setting that costs least, and what else there is to know before it is turned to.

    Parameters
    ----------
    setting : tuple of int
        Clicks out from closed.
    cost : float
        Against the reference.
    regret : float
        The worst it loses on one condition to the best setting there.
    worst : str
        On which condition.
    equals : tuple of tuple of int
        Settings that chance in the road does not let us tell from it, the nearest first to the
        first start.
    noise : float
        Standard deviation of their costs beyond the choice's, from stretch to stretch; 0
        without a spread.
    losses : mapping of str to float
        What each start costs beyond the choice, by name.
    ways : mapping of str to tuple of Move
        One adjuster at a time from each start to the choice, the most useful first; empty where
        the settings between were not tried.
    """

    setting: Setting
    cost: float
    regret: float
    worst: str
    equals: tuple[Setting, ...]
    noise: float
    losses: Mapping[str, float]
    ways: Mapping[str, tuple[Move, ...]]


_READ = 0.003  # a run at 1 ms reads a score to about so much: no smaller difference is told


def choose(asked: Question, tried: Tried, chance: Spread | None = None) -> Choice:
    """Return the setting with the least cost over the mix.

    Parameters
    ----------
    asked : Question
        What is asked.
    tried : Tried
        Settings, those of the starts among them.
    chance : Spread, optional
        Of the best few; without it nothing is called equal.

    Returns
    -------
    Choice
        Settings count as equal where another stretch of the same roads could well turn the order
        round: mean difference below two standard deviations or 0.3 %, what a run is read to.

    Raises
    ------
    OutOfRange
        If a start was not tried.
    """
    each = costs(asked, tried)
    total = asked.shares @ each
    best = int(np.argmin(total))
    setting = tried.settings[best]
    equals, noise = _equals(asked, setting, chance)
    beyond = dict(zip(tried.settings, (total - total[best]).tolist(), strict=True))
    return Choice(
        setting=setting,
        cost=float(total[best]),
        regret=float(regrets(each)[best]),
        worst=tried.conditions[int(np.argmax(each[:, best] - each.min(axis=1)))].name,
        equals=equals,
        noise=noise,
        losses={start.name: beyond[start.setting] for start in asked.starts},
        ways={start.name: _way(asked, start.setting, setting, beyond) for start in asked.starts},
    )


def _equals(asked: Question, setting: Setting, chance: Spread | None) -> tuple:
    """Return the settings that cannot be told from one, and how much chance moves them."""
    if chance is None or setting not in chance.settings or not len(chance.totals):
        return (), 0.0
    mean, deviation = chance.against(setting)
    alike = mean <= np.maximum(2 * deviation, _READ)
    found = [s for s, like in zip(chance.settings, alike, strict=True) if like and s != setting]
    start = asked.starts[0].setting
    found.sort(key=lambda s: sum(abs(a - b) for a, b in zip(s, start, strict=True)))
    others = [d for s, d in zip(chance.settings, deviation, strict=True) if s in found]
    return tuple(found), float(np.median(others)) if others else 0.0


def _way(asked: Question, start: Setting, end: Setting, known: Mapping) -> tuple[Move, ...]:
    """Return the moves from a start to the choice, each time the adjuster that helps most."""
    moves, now = [], start
    while now != end:
        places = [i for i, (a, b) in enumerate(zip(now, end, strict=True)) if a != b]
        turned = {i: (*now[:i], end[i], *now[i + 1 :]) for i in places}
        if not set(turned.values()) <= known.keys():
            return ()
        place = min(places, key=lambda i: known[turned[i]])
        name = asked.damper.adjusters[place].name
        moves.append(Move(name, now[place], end[place], known[turned[place]]))
        now = turned[place]
    return tuple(moves)
