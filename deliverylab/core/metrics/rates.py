"""Cut-offs by quantity, and the frame rate that its speed needs.

References
----------
.. [1] Professional and youth pitchers digitised at 120 frames a second, 21 landmarks: 13 Hz, fourth-order
   Butterworth (abstract of the comparison of 14 youth and 25 professional pitchers).
.. [2] Windmill pitchers at 60 frames a second: 6 Hz; markers at 360 frames a second: 20 Hz.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class SmoothingBand:
    """How fast a quantity of a throw moves.

    Attributes
    ----------
    key, name : str
        Stable key; what it is called.
    cutoff_hz : float
        Usual cut-off of a zero-lag low-pass.
    speed_rate_hz : float
        True frame rate from which on a speed of it is shown.
    landmarks : tuple of str
        Landmark parts (without side) whose positions it governs.
    source : str
        Where the cut-off is from.
    """

    key: str
    name: str
    cutoff_hz: float
    speed_rate_hz: float
    landmarks: tuple[str, ...]
    source: str


BANDS: tuple[SmoothingBand, ...] = (
    SmoothingBand(
        "mass_centre", "centre of mass", 8.0, 24.0, (),
        "common practice; 6 Hz is published for whole bodies at 60 frames a second",
    ),
    SmoothingBand(
        "trunk", "pelvis and trunk", 12.0, 120.0, ("head_top", "neck", "shoulder", "hip"),
        "common practice, near the 13 Hz published for pitchers at 120 frames a second",
    ),
    SmoothingBand(
        "knee", "knees and feet", 14.0, 120.0, ("knee", "ankle", "heel", "toe"),
        "common practice, near the 13 Hz published for pitchers at 120 frames a second",
    ),
    SmoothingBand(
        "arm", "arms", 20.0, 240.0, ("elbow", "wrist", "hand"),
        "20 Hz published for markers on pitchers at 360 frames a second; up to 25 Hz in use",
    ),
)  # fmt: skip
"""From slow to fast.  The rates: a centre of mass changes its speed over tenths of a second; the trunk's
and the knee's fastest parts last some 50 ms, six frames at 120 a second; the elbow straightens in some
30 ms at up to 2400°/s, 19° a frame at 120 and 10° at 240."""
BY_KEY: dict[str, SmoothingBand] = {band.key: band for band in BANDS}


def band_of(landmark: str) -> SmoothingBand:
    """Return the band that a landmark's positions belong to; the fastest for the ball."""
    part = landmark.removeprefix("left_").removeprefix("right_")
    return next((band for band in BANDS if part in band.landmarks), BANDS[-1])
