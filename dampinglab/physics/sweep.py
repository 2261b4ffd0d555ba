"""Many settings over one road, a chunk at a time, each chunk reduced to scores at once."""

from collections.abc import Callable, Sequence
from dataclasses import fields

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.corner import simulate_many
from dampinglab.physics.damper import Setting
from dampinglab.physics.measures import Scores, scores
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner

__all__ = ["sweep"]


def sweep(
    corner: Corner,
    damper,
    settings: Sequence[Setting],
    road: Road,
    *,
    chunk: int = 128,
    progress: Callable[[int, int], bool | None] | None = None,
) -> Scores:
    """Return what each of many settings scores on a road; memory does not grow with their number.

    Parameters
    ----------
    corner : Corner
        The corner.
    damper : MeasuredDamper or ValveDamper
        Its damper.
    settings : sequence of tuple of int
        Clicks out from closed; all of them are looked at before the first is run.
    road : Road
        The road in time.
    chunk : int, optional
        Settings that run together, about 120 bytes each at every step of the road.
    progress : callable, optional
        Called after each chunk with how many settings are done and how many there are; the sweep
        stops where it returns False.

    Returns
    -------
    Scores
        Arrays of shape (done,), in the order of the settings. What was done before a stop is
        kept: it belongs to `settings[:done]`, with `done` the length of any of the arrays.

    Raises
    ------
    OutOfRange
        If there is no setting, or a chunk of none, or as `simulate_many`.
    """
    if not len(settings) or chunk < 1:
        raise OutOfRange("Give at least one setting to run, and one or more to a chunk.")
    for setting in settings:
        damper.valve_force(0.0, setting)  # refuses in a moment what would else be refused midway
    parts = []
    for first in range(0, len(settings), chunk):
        some = settings[first : first + chunk]
        parts.append(scores(simulate_many(corner, damper, some, road)))
        if progress and progress(first + len(some), len(settings)) is False:
            break
    names = [field.name for field in fields(Scores)]
    return Scores(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in names})
