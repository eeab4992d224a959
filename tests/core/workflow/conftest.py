"""A small clip of pictures that differ, written once."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from deliverylab.core.video.writer import write_clip

N_FRAMES = 24


def pictures(n_frames=N_FRAMES):
    """Return pictures with a bar that moves, so that no frame repeats another."""
    frames = []
    for number in range(n_frames):
        picture = np.full((48, 64, 3), 40, dtype=np.uint8)
        picture[:, 2 * number : 2 * number + 8] = (250, 200, 60)
        frames.append(picture)
    return frames


@pytest.fixture(scope="session")
def clip(tmp_path_factory):
    return write_clip(
        tmp_path_factory.mktemp("clip") / "side.mp4", pictures(), Fraction(30000, 1001)
    )
