"""How unsure a followed step is: the constants of `flow`, chosen on our own rendered deliveries.

Lengths are for a torso of `USUAL_PX` and scale with it; "speed" is px a frame.  The figures in the
comments' place are judged by one test: squared error over u squared near 1, overall and by part
(tests/benchmarks/bench_tracking.py, on deliveries that were not used for choosing).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

USUAL_PX = 130.0
"""Torso of somebody who fills most of a 720 px picture."""
U_STEP_PX = 0.06
"""Noise of a step that comes back to where it began."""
BACK_FACTOR = 1.0
"""A step's u grows by what there and back leaves, times this."""
BOTH_FACTOR = 1.0
"""It grows by what the two directions disagree by, times this."""
DISTANCE_FRAMES = 12.0
"""So many frames from its anchor, a followed point sits on another part of the cloth: its steps count half."""
DRIFT_KEEPS = 0.95
"""Cloth that slides over a joint goes on doing so for some 20 frames."""
_DRIFT_PX, _DRIFT_SHARE = 0.05, 0.06
_SPEED_SHARE, _SPEED_SQUARE = 0.05, 0.02
_GUESS_PX, _GUESS_FACTOR = 1.0, 2.0
_TURN_PX, _TURN_SHARE = 0.05, 0.3
_NEAR_ROWS = 2
MISFIT_ALLOWED, MOST_MISFIT = 1.4, 20.0
"""Steps that do not close a gap by more than this, in their u, are doubted; by a factor up to the second."""
ONE_SIDED_DOUBT = 4.0
"""Beside the outermost placed positions, where nothing tells whether steps lead anywhere, u of a step is
so many times larger."""
U_GROWTH = 1.7
"""Squared errors beside the anchors' own are so many times what the course says: what goes wrong is
seldom and large."""


LEAST_ALIKE = 0.5
"""A place whose picture correlates less with that of the placed ones is taken for covered."""
_ALIKE, _UNLIKE_GROWTH = 0.9, 1.2
"""Below the first, u grows by the second for each unit of correlation."""


def unlike_factor(alike: FloatArray) -> FloatArray:
    """Return by what factor u grows where a place looks less like itself; 1 where nothing tells."""
    missing = np.maximum(_ALIKE - np.nan_to_num(alike, nan=1.0), 0.0)
    return np.asarray(1.0 + _UNLIKE_GROWTH * missing)


def noise_px(u_step_px: FloatArray, speed_px: FloatArray, size_px: float) -> FloatArray:
    """Return u of seen steps: blur and large displacements make them worse."""
    fast = _SPEED_SHARE * speed_px + _SPEED_SQUARE * speed_px**2 * USUAL_PX / size_px
    return np.hypot(u_step_px, fast)


def guess_u_px(speed_px: FloatArray) -> FloatArray:
    """Return u of a step that nobody saw, by the speed of the curve through the anchors."""
    return _GUESS_PX + _GUESS_FACTOR * speed_px


def drift_px(speed_px: FloatArray, size_px: float, is_seen: NDArray[np.bool_]) -> FloatArray:
    """Return the standard deviation of a step's drift."""
    return _DRIFT_PX * size_px / USUAL_PX + np.where(is_seen, _DRIFT_SHARE * speed_px, 0.0)


def turn_px(speed_px: FloatArray, size_px: float) -> FloatArray:
    """Return by how much a step may change from one frame to the next, shape (n - 2,)."""
    wide = np.pad(speed_px, _NEAR_ROWS, mode="edge")
    near = np.lib.stride_tricks.sliding_window_view(wide, 2 * _NEAR_ROWS + 1).max(axis=-1)
    return np.asarray(_TURN_PX * size_px / USUAL_PX + _TURN_SHARE * near[1:])
