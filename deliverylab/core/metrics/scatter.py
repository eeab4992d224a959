"""How much a landmark's positions scatter, against the u that is assumed for them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.inputs import default_u_px, metres_per_px
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.rates import SmoothingBand, band_of
from deliverylab.core.metrics.shutter import steady_track
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.track import ORIGINS, Track
from deliverylab.core.numerics.filters import even_rate_hz, n_unreliable, noise_gains
from deliverylab.core.numerics.residual import ResidualAnalysis, residual_analysis
from deliverylab.core.numerics.smoothing_spline import smoothing_spline
from deliverylab.core.vocabulary.landmarks import landmark as landmark_entry

ESTIMATE_MARGIN = 1.2
"""The scatter itself is known to some 10 %: only beyond this ratio is the assumed u called too small."""
SPLINE_GAP_FRAMES = 6.0
"""Positions farther apart than this are not joined by a spline."""


@dataclass(frozen=True)
class LandmarkScatter:
    """Residual analysis of one landmark's positions, and what it says about their u.

    Attributes
    ----------
    delivery, camera, landmark : str
        Whose, from where, which.
    rate_hz : float
        True frames a second.
    analysis : ResidualAnalysis
        Of both coordinates together, px of one coordinate.
    band : SmoothingBand
        Usual cut-off of such a landmark.
    assumed_u_px : float
        Mean u of its positions as it enters the results, px.
    metres_per_px : float or None
        Size of a pixel, from the scale or guessed from the legs.
    n_unreliable : int
        Frames at each end of a run without gaps that hang on how the filter continues the run.
    n_by_hand : int
        Positions that a person placed; the others follow each other, and scatter less than they err.
    smoothed_u_px : float
        What is left of the scatter in a position filtered at the suggested cut-off.
    """

    delivery: str
    camera: str
    landmark: str
    rate_hz: float
    analysis: ResidualAnalysis
    band: SmoothingBand
    assumed_u_px: float
    metres_per_px: float | None
    n_unreliable: int
    n_by_hand: int
    smoothed_u_px: float

    @property
    def scatter_px(self) -> float:
        """Standard deviation of either coordinate from frame to frame, px."""
        return self.analysis.scatter

    @property
    def scatter_m(self) -> float | None:
        """The same in metres; None without a size of a pixel."""
        return None if self.metres_per_px is None else self.scatter_px * self.metres_per_px

    @property
    def suggested_hz(self) -> float:
        """The analysis's cut-off; the usual one where the analysis finds none."""
        return _suggested_hz(self.analysis, self.band, self.rate_hz)

    @property
    def words(self) -> str:
        """What scatter and assumed u together say, in one sentence."""
        text = (
            f"the points scatter {self.scatter_px:.1f} px from frame to frame, "
            f"the assumed u is {self.assumed_u_px:.1f} px"
        )
        if self.scatter_px > ESTIMATE_MARGIN * self.assumed_u_px:
            return f"{text}: the assumed u is too small for these points"
        return f"{text}, which also holds what does not change from frame to frame"


def landmark_scatter(delivery: Delivery, camera: Camera, landmark: str) -> LandmarkScatter:
    """Analyse the positions of one landmark.

    Parameters
    ----------
    delivery : Delivery
        Whose.
    camera : Camera
        Which of its cameras.
    landmark : str
        Key, ``left_knee``.

    Raises
    ------
    NotFoundError
        No such landmark.
    InputValueError
        Too few positions in a row, or frames unevenly spaced in time.

    Notes
    -----
    Scatter is what changes from frame to frame.  A joint taken for too high in all frames alike does
    not scatter, so u is larger than the scatter of careful placing; smaller it cannot be.  Points
    that a tracker carried on, or that were filled in, follow each other: their scatter says little.
    """
    landmark_entry(landmark)
    track = steady_track(camera, landmark)
    if len(track) < 2:
        raise InputValueError(
            "nothing is placed here to be analysed",
            where=f"{landmark} in {delivery.name}, {camera.name}",
            remedy="place or track the landmark on many frames in a row",
        )
    rows = slice(int(track.frames[0]), int(track.frames[-1]) + 1)
    rate_hz = even_rate_hz(camera.timing.real_s(camera.timing.times_s[rows]))
    analysis = residual_analysis(_on_every_frame(track), rate_hz)
    band = band_of(landmark)
    suggested_hz = _suggested_hz(analysis, band, rate_hz)
    default_px = default_u_px(delivery, camera)[landmark]
    return LandmarkScatter(
        delivery=delivery.name,
        camera=camera.name,
        landmark=landmark,
        rate_hz=rate_hz,
        analysis=analysis,
        band=band,
        assumed_u_px=float(np.mean(np.where(np.isnan(track.u_px), default_px, track.u_px))),
        metres_per_px=metres_per_px(delivery, camera),
        n_unreliable=n_unreliable(rate_hz, suggested_hz),
        n_by_hand=int(np.count_nonzero(track.origins == ORIGINS.index("placed"))),
        smoothed_u_px=analysis.scatter * noise_gains(rate_hz, suggested_hz)[0],
    )


def _on_every_frame(track: Track) -> FloatArray:
    """Return places from the first placed frame to the last, shape (n, 2), NaN between."""
    first = int(track.frames[0])
    xy_px = np.full((int(track.frames[-1]) - first + 1, 2), np.nan)
    xy_px[track.frames - first] = track.xy_px
    return xy_px


def spline_scatter_px(camera: Camera, landmark: str) -> float:
    """Return a landmark's scatter about a smoothing spline, px of one coordinate.

    A second opinion that needs neither even frames nor a straight part; its stiffness is chosen by
    cross-validation, which takes about a second.  NaN without eight positions near each other.
    """
    track = steady_track(camera, landmark)
    real_s = camera.timing.real_s(camera.timing.times_s[track.frames])
    gap_s = SPLINE_GAP_FRAMES / camera.timing.true_rate_hz
    fits = [smoothing_spline(real_s, each, real_s[:0], max_gap_s=gap_s) for each in track.xy_px.T]
    return float(np.sqrt(np.mean([fit.scatter**2 for fit in fits])))


def _suggested_hz(analysis: ResidualAnalysis, band: SmoothingBand, rate_hz: float) -> float:
    usual_hz = min(band.cutoff_hz, 0.4 * rate_hz)
    return usual_hz if analysis.cutoff_hz is None else analysis.cutoff_hz
