"""A clip of a printed patch that slides, with landmarks on it, and the delivery that it belongs to."""

from __future__ import annotations

import numpy as np

from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import Position, Track
from tests.core.metrics.flown import even
from tests.core.tracking.sliding import HEIGHT, WIDTH, curved, sliding

N = 40
PATH = curved(N)
OFFS = {"left_shoulder": (-20.0, -25.0), "left_hip": (-20.0, 25.0), "left_knee": (10.0, 20.0)}
"""From the patch's middle, px; the trunk is 50 px long."""


def true_place(key, frame):
    return PATH[frame] + OFFS[key]


def slid(placed=(0, 20, 39), **camera):
    """Return a delivery without a clip; its landmarks are placed in these frames."""
    tracks = {
        key: Track.of((frame, Position(*true_place(key, frame), 0.5)) for frame in placed)
        for key in OFFS
    }
    fields = {"tracks": tracks} | camera
    main = Camera(
        name="main",
        view="open-side",
        width_px=WIDTH,
        height_px=HEIGHT,
        timing=even(N, 120),
        **fields,
    )
    return Delivery(name="slid", athlete=Athlete(name="Ana", hand="right"), cameras=(main,))


def pictures():
    """Return what gives the clip's pictures by frame."""
    return sliding(PATH, noise_levels=2.0)


def colour_pictures():
    """Return all pictures in colour, for a clip to be written."""
    shown = pictures()
    return [np.repeat(shown(frame)[..., None], 3, axis=2) for frame in range(N)]
