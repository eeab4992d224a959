"""A stand-in for following pictures: it goes straight from place to place."""

from __future__ import annotations

import numpy as np

from deliverylab.core.model.track import Position
from deliverylab.core.workflow.tracking import LostStretch, Tracking

STARTS = {"placed", "imported"}


def straight(_delivery, camera, _path, *, landmarks=None, frames=None, progress=None, **_settings):
    """Interpolate between placed positions; what lies beside them is lost."""
    keys = landmarks or [key for key in camera.tracks if key != "ball"]
    first, last = frames or (camera.first_frame, camera.end_frame)
    wanted = range(first, last + 1)
    positions, lost = {}, []
    for number, key in enumerate(keys, 1):
        known = {f: p for f, p in camera.track(key) if p.origin in STARTS}
        at = sorted(known)
        inside = [f for f in wanted if at and at[0] < f < at[-1] and f not in known]
        xs, ys = ([getattr(known[f], axis) for f in at] for axis in ("x_px", "y_px"))
        positions[key] = {
            f: Position(float(np.interp(f, at, xs)), float(np.interp(f, at, ys)), 1.5, "tracked")
            for f in inside
        }
        if at and at[-1] < last:
            lost.append(
                LostStretch(landmark=key, first_frame=at[-1] + 1, last_frame=last, reason="faint")
            )
        if progress is not None:
            progress(number / len(keys))
    return Tracking(
        frames={key: tuple(wanted) for key in keys},
        positions=positions,
        lost=tuple(lost),
        is_complete=True,
    )


def stand_in(monkeypatch, track=straight):
    """Follow without pictures."""
    monkeypatch.setattr("deliverylab.core.workflow.tracking.track", track)
