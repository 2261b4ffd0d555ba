"""Many settings over one road, a chunk at a time, each chunk reduced to scores at once."""

from collections.abc import Sequence
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

_CHUNK = 500  # settings that march together: more at a time is sooner done
# Steps times settings that march together at most, 240 MB, and that are scored together, few
# enough that they stay near the processor.
_MOST, _NEAR = 5_000_000, 320_000


def sweep(
    corner: Corner,
    damper,
    settings: Sequence[Setting],
    road: Road,
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

    Returns
    -------
    Scores
        Arrays of shape (settings,), in their order.

    Raises
    ------
    OutOfRange
        If there is no setting, or as `simulate`.
    """
    if not len(settings):
        raise OutOfRange("Give at least one setting to run.")
    damper.valve_forces([0.0], settings)  # refuses in a moment what would else be refused midway
    parts = []
    made = prepare(corner, road)
    chunk = max(1, min(_CHUNK, len(settings), _MOST // len(road.time)))
    room, near = room_for(made, chunk), max(1, _NEAR // len(road.time))
    for first in range(0, len(settings), chunk):
        some = settings[first : first + chunk]
        parts += [scores(run) for run in run_blocks(made, corner, road, damper, some, near, room)]
    names = [field.name for field in fields(Scores)]
    return Scores(**{name: np.concatenate([getattr(p, name) for p in parts]) for name in names})
