"""Deliveries with a ball of known flight or fall, stored at 30 frames a second and taken at 240."""

from __future__ import annotations

import numpy as np

from tests.core.metrics.flown import even, flown, thrown_m

FRAMES = np.arange(7, 19)


def thrown(rate_hz, radar_m_s=38.0):
    """Return a delivery whose ball flies at 38 m/s, filmed at 240 and stored at 30."""
    places = thrown_m((FRAMES - 6) / 240.0)
    return flown(places, even(60, 30, rate_hz), FRAMES, release_s=6 / 30, radar_m_s=radar_m_s)


def fallen(rate_hz):
    """Return a delivery with a ball that falls for a quarter of a second."""
    frames = np.arange(10, 71, 6)
    since_s = (frames - 10) / 240.0
    places = np.tile([1.0, 0.0, 1.9], (len(frames), 1))
    places[:, 2] -= 0.5 * 9.80665 * since_s**2
    return flown(places, even(80, 30, rate_hz), frames)
