"""Tracks as a tracker would leave them, for what a person should check."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from deliverylab.core.model.track import ORIGINS, Origin, Track


def as_found(track: Track, u_px: float = 1.0, origin: Origin = "tracked") -> Track:
    """Return a track that a machine found."""
    origins = np.full(len(track), ORIGINS.index(origin), np.uint8)
    return Track(track.frames, track.xy_px, np.full(len(track), u_px), origins)


def without(track: Track, frames: Iterable[int]) -> Track:
    """Return a track without these frames."""
    kept = ~np.isin(track.frames, list(frames))
    return Track(track.frames[kept], track.xy_px[kept], track.u_px[kept], track.origins[kept])
