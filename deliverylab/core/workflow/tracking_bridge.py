"""Stretches in which a followed landmark is not seen surely, bridged by its likeliest course."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import groupby

from deliverylab.core.model.delivery import Camera
from deliverylab.core.model.track import Position
from deliverylab.core.tracking.fill import FillLimit
from deliverylab.core.tracking.flow import FlowCourse

LARGEST_U_SHARE = 0.08
"""A place less sure than this share of the trunk (4 cm) is not bridged."""
LONGEST_S = 0.3
"""No longer stretch is bridged, real seconds: steps that were seen, if not surely, lead through it."""
LONGEST_HIDDEN_S = FillLimit().duration_s
"""Nor one in which the landmark was said to be hidden for longer: nothing leads through that."""


def bridged_places(
    camera: Camera,
    course: FlowCourse,
    wanted: Sequence[int],
    hidden: Collection[int],
    size_px: float,
) -> dict[int, Position]:
    """Return the likeliest places, with the origin ``filled``, in lost stretches within the limits.

    Parameters
    ----------
    camera : Camera
    course : FlowCourse
        Of one landmark.
    wanted : sequence of int
        Frames that were gone through.
    hidden : collection of int
        Frames in which it was said to be hidden; they stay empty.
    size_px : float
        Length of the trunk, px.
    """
    real_s = camera.timing.real_s(camera.timing.times_s)
    row_of = {frame: row for row, frame in enumerate(course.frames.tolist())}
    u_px = course.u_likely_px
    within, gone = set(wanted), set(hidden)
    frames = course.frames.tolist()
    found: dict[int, Position] = {}
    for is_open, run in groupby(
        frames, key=lambda frame: bool(course.lost[row_of[frame]]) or frame in gone
    ):
        stretch = list(run)
        rows = [row_of[frame] for frame in stretch]
        if not is_open or real_s[stretch[-1]] - real_s[stretch[0]] > LONGEST_S:
            continue
        if _longest_hidden_s(stretch, gone, real_s.tolist()) > LONGEST_HIDDEN_S:
            continue
        for frame, row in zip(stretch, rows, strict=True):
            # NaN beside the anchors compares as false
            if frame in within and frame not in gone and u_px[row] <= LARGEST_U_SHARE * size_px:
                x_px, y_px = course.likely_px[row].tolist()
                found[frame] = Position(x_px, y_px, float(u_px[row]), "filled")
    return found


def _longest_hidden_s(stretch: list[int], hidden: set[int], real_s: list[float]) -> float:
    """Return how long a landmark is hidden at a time within a stretch, s."""
    longest_s = 0.0
    for is_hidden, run in groupby(stretch, key=hidden.__contains__):
        frames = list(run)
        if is_hidden:
            longest_s = max(longest_s, real_s[frames[-1]] - real_s[frames[0]])
    return longest_s
