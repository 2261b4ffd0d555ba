"""Many settings over one road, a chunk at a time, each chunk reduced to scores at once."""

from collections.abc import Callable, Sequence
from dataclasses import fields

import numpy as np

from dampinglab.errors import OutOfRange
from dampinglab.physics.corner import prepare, run_blocks
from dampinglab.physics.damper import Setting
from dampinglab.physics.march import room_for
from dampinglab.physics.measures import Scores, scores
from dampinglab.physics.road import Road
from dampinglab.physics.vehicle import Corner

__all__ = ["sweep"]

# Steps times settings that march together, 240 MB, and that are scored together, few enough
# that they stay near the processor.
_MOST, _NEAR = 5_000_000, 320_000


def sweep(
    corner: Corner,
    damper,
    settings: Sequence[Setting],
    road: Road,
    *,
    chunk: int = 500,
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
        Settings that run together at most; fewer where the road is so long that they would take
        more than about 240 MB. More at a time is sooner done.
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
        If there is no setting, or a chunk of none, or as `simulate`.
    """
    if not len(settings) or chunk < 1:
        raise OutOfRange("Give at least one setting to run, and one or more to a chunk.")
    damper.valve_forces([0.0], settings)  # refuses in a moment what would else be refused midway
    parts = []
    made = prepare(corner, road)
    chunk = max(1, min(chunk, len(settings), _MOST // len(road.time)))
    room, near = room_for(made, chunk), max(1, _NEAR // len(road.time))
    for first in range(0, len(settings), chunk):
        some = settings[first : first + chunk]
        parts += [scores(run) for run in run_blocks(made, corner, road, damper, some, near, room)]
        if progress and progress(first + len(some), len(settings)) is False:
            break
    names = [field.name for field in fields(Scores)]
    return Scores(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in names})
