"""What a handed-over vehicle is held to: which scores are watched, and by how much each may stray.

The rule stood before any job was scored. Healthy means every part sound, both sides alike, the
customer's own load, and the clicks that the customer was content with (drawn with the job, told
only afterwards).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from dampinglab.workshop.proving import EVENTS, METRICS, Event, Metric

__all__ = [
    "ALLOWANCE",
    "AXLES",
    "ROADS",
    "RULE",
    "WATCHED",
    "Scores",
    "Watched",
    "beyond",
    "limits",
]

ALLOWANCE = 0.10
"""How much worse than healthy a score may be: less is hardly felt (the course's assumption)."""

RULE = (
    "Inside limits: no watched score is worse than on the healthy vehicle by more than "
    f"{100 * ALLOWANCE:.0f} % or by what nobody notices, whichever is more; no check is left "
    "failed; left and right stand alike."
)
"""The rule in one sentence."""

AXLES = ("front", "rear")


@dataclass(frozen=True)
class Watched:
    """One score of the test drive; more is worse in each of them."""

    road: str  # one of ROADS
    event: str  # key of EVENTS
    metric: str  # key of METRICS
    floor: float  # in the metric's unit: so little more is noticed by nobody (assumed)

    @property
    def where(self) -> Event:
        """The piece of road."""
        return EVENTS[self.event]

    @property
    def what(self) -> Metric:
        """What is read off."""
        return METRICS[self.metric]


ROADS = ("highway", "town", "back road")
"""The customer's three roads; each is driven three times in a test drive."""

WATCHED = (
    Watched("highway", "road", "ride", 0.03),
    Watched("highway", "two waves", "body motion", 0.5),
    Watched("highway", "two waves", "rise", 3.0),
    Watched("town", "small ridge", "peak", 0.1),
    Watched("town", "hump", "rise", 3.0),
    Watched("town", "hole", "drop", 2.0),
    Watched("back road", "ridge", "peak", 0.1),
    Watched("back road", "dip", "stop energy", 5.0),
    Watched("back road", "corrugation", "sinking", 3.0),
)
"""Every adjuster has a score here that it spoils when turned too far, either way."""

Scores = Mapping[tuple[str, int], float]
"""By axle and place in WATCHED, in the metric's unit."""


def limits(healthy: Scores) -> dict[tuple[str, int], float]:
    """Return the highest value that each score may have."""
    return {
        key: value + max(ALLOWANCE * abs(value), WATCHED[key[1]].floor)
        for key, value in healthy.items()
    }


def beyond(scores: Scores, healthy: Scores) -> dict[tuple[str, int], float]:
    """Return how far each score lies on the way from healthy to its limit: above 1 is outside."""
    highest = limits(healthy)
    return {key: (scores[key] - healthy[key]) / (highest[key] - healthy[key]) for key in healthy}
