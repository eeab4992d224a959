"""A tossed or dropped ball as a check of scale and capture rate: what comes out as g.

The ball's height is a parabola in time whatever the throw, so its second derivative tells whether
metres and seconds of the clip are true: g comes out in proportion to the scale, and to the square of
the time base.  Half the true capture rate makes it four times too small, twice the rate four times too
large; no error of a scale does that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from deliverylab.core.errors import InputValueError
from deliverylab.core.metrics.ball_checks import rate_hint, scale_hint, usual_rate_factor
from deliverylab.core.metrics.ball_flight import (
    CAMERA_SOURCES,
    FRAME_TIME_U_S,
    GRAVITY_M_S2,
    stepped_camera,
)
from deliverylab.core.metrics.inputs import default_u_px
from deliverylab.core.metrics.pose import FloatArray
from deliverylab.core.metrics.setup import Setup
from deliverylab.core.metrics.shutter import landmark_times_s, steady_track
from deliverylab.core.metrics.spec import COVERAGE_FACTOR
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.numerics.uncertainty import contributions
from deliverylab.core.vocabulary.balls import Ball
from deliverylab.core.vocabulary.balls import ball as ball_entry

U_LOCAL_G_M_S2 = 0.015
"""g is 9.78 at the equator, 9.83 at the poles."""
MIN_POSITIONS = 5
MIN_FALL_S = 0.2
"""A shorter stretch bends by less than 5 cm."""
U_OFF_PLANE_M = 0.10
"""How far from the plane of the scale somebody tosses a ball who was asked to do it there, m."""
SOURCES: tuple[str, ...] = (
    *CAMERA_SOURCES,
    "how far off the plane the ball is",
)


@dataclass(frozen=True, kw_only=True)
class FallCheck:
    """What a falling ball says of scale and capture rate.

    Attributes
    ----------
    g_m_s2, u_m_s2 : float
        g as it comes out, and its standard uncertainty.
    parts : dict of str to float
        Parts of u by source, m/s².
    sideways_m_s2, u_sideways_m_s2 : float
        Acceleration along the level as it comes out: zero, if the level is right.
    n : int
        Positions used.
    duration_s : float
        Real seconds from the first to the last.
    is_agreeing : bool
        Whether g is right within U.
    verdict : str
        In one sentence.
    hint : str
        What is likely wrong, where it is not right.
    rate_factor : float or None
        Likely true rate over assumed rate, where that explains it.
    """

    g_m_s2: float
    u_m_s2: float
    parts: dict[str, float]
    sideways_m_s2: float
    u_sideways_m_s2: float
    n: int
    duration_s: float
    is_agreeing: bool
    verdict: str
    hint: str
    rate_factor: float | None = None


def fall_check(
    delivery: Delivery, camera: Camera, first_frame: int = 0, last_frame: int | None = None
) -> FallCheck:
    """Work g out from the ball's positions while it flies freely.

    Parameters
    ----------
    delivery, camera : Delivery, Camera
        With a scale, and the landmark ``ball`` placed.
    first_frame, last_frame : int, int or None
        First and last frame of the free flight, both included.

    Raises
    ------
    InputValueError
        No scale, too few positions, or too short a stretch.
    """
    where = f"{delivery.name}: {camera.name}"
    if camera.scale is None:
        raise InputValueError(
            "no scale: pixels are not metres yet", where=where, remedy="set the scale first"
        )
    track = steady_track(camera, "ball")
    last = camera.timing.n_frames - 1 if last_frame is None else last_frame
    rows = np.flatnonzero((track.frames >= first_frame) & (track.frames <= last))
    times = landmark_times_s(camera, "ball")[rows] if len(rows) else np.zeros(0)
    fresh = np.diff(times, prepend=-1.0) > 0.0
    rows, times = rows[fresh], times[fresh]
    if len(rows) < MIN_POSITIONS or times[-1] - times[0] < MIN_FALL_S:
        raise InputValueError(
            f"a fall needs {MIN_POSITIONS} positions of the ball over {MIN_FALL_S:g} s or more",
            where=f"{where}, frames {first_frame} to {last}: {len(rows)} positions",
            remedy="place the ball in more frames between hand and ground",
        )
    u_px = track.u_px[rows]
    u_px = np.where(np.isnan(u_px), default_u_px(delivery, camera)["ball"], u_px)
    setup = Setup.of(delivery, camera, camera.scale)
    return _checked(
        _plane_rows(track.xy_px[rows] - setup.middle_px, setup), times - times.mean(),
        float(np.sqrt(np.mean(u_px**2))), camera, ball_entry(delivery.ball),
    )  # fmt: skip


def _plane_rows(offset_px: FloatArray, setup: Setup) -> FloatArray:
    """Return the places in the plane for every stepped input, (rows, n, 2), m."""
    camera, inputs = stepped_camera(setup, (0.0,), (U_OFF_PLANE_M,))
    offsets = np.broadcast_to(offset_px, (len(inputs), *offset_px.shape))
    return camera.to_plane(offsets, np.broadcast_to(inputs[:, 8, None], offsets.shape[:2]))


def _checked(
    plane_m: FloatArray, times_s: FloatArray, u_px: float, camera: Camera, ball: Ball
) -> FallCheck:
    powers = np.vander(times_s, 3, increasing=True)
    inverse = np.linalg.inv(powers.T @ powers)
    fits = inverse @ powers.T @ plane_m
    braked = _braking(fits[0], times_s, ball.drag_per_m)
    level_m = plane_m - braked
    fits = inverse @ powers.T @ level_m
    acceleration = 2.0 * fits[:, 2]
    off = level_m[0] - powers @ fits[0]
    scale = camera.scale
    size = 0.0 if scale is None else scale.length_m / math.dist(scale.a, scale.b)
    scatter = math.sqrt(float(np.sum(off**2)) / (2 * len(times_s) - 6))
    # slips in time count as slips in place, at the speed the ball had
    speeds = np.hypot(*(fits[0][1] + 2.0 * np.outer(times_s, fits[0][2])).T)
    slip_m = (
        0.0
        if camera.timing.stamps_s is None
        else FRAME_TIME_U_S * float(np.sqrt(np.mean(speeds**2)))
    )
    gain = 2.0 * math.sqrt(inverse[2, 2])
    undragged = float(-acceleration[0, 1] + 2.0 * (inverse @ powers.T @ braked)[2, 1])
    g = float(-acceleration[0, 1])
    parts = {
        "placing the ball": gain * max(scatter, size * u_px),
        "time stamps": gain * slip_m,
        "drag of the air": abs(g - undragged) * ball.u_drag_per_m / ball.drag_per_m,
    }
    for source, part in zip(SOURCES, contributions(-acceleration[:, 1]).tolist(), strict=True):
        parts[source] = math.hypot(parts.get(source, 0.0), part)
    u = math.sqrt(sum(part**2 for part in parts.values()))
    u_level = contributions(acceleration[:, 0])
    u_sideways = math.hypot(parts["placing the ball"], *u_level.tolist())
    return _told(
        g, u, parts, (float(acceleration[0, 0]), u_sideways), times_s, camera.timing.true_rate_hz
    )


def _braking(fit: FloatArray, times_s: FloatArray, drag_per_m: float) -> FloatArray:
    """Return by how much drag has moved the ball off its parabola, shape (n, 2), m."""
    fine = np.linspace(times_s[0], times_s[-1], 400)
    velocity = fit[1] + 2.0 * np.outer(fine, fit[2])
    pull = -drag_per_m * np.linalg.norm(velocity, axis=-1, keepdims=True) * velocity
    step = float(fine[1] - fine[0])
    gained = np.cumsum(pull, axis=0) * step
    moved = np.cumsum(gained, axis=0) * step
    return np.stack([np.interp(times_s, fine, moved[:, axis]) for axis in (0, 1)], axis=-1)


def _told(
    g: float,
    u: float,
    parts: dict[str, float],
    sideways: tuple[float, float],
    times_s: FloatArray,
    rate_hz: float,
) -> FallCheck:
    """Say what g means."""
    margin = COVERAGE_FACTOR * math.hypot(u, U_LOCAL_G_M_S2)
    is_agreeing = abs(g - GRAVITY_M_S2) <= margin
    said = f"g comes out as {g:.2f} ± {COVERAGE_FACTOR * u:.2f} m/s²"
    hint, rate_factor = "", None
    if is_agreeing:
        share = margin / GRAVITY_M_S2
        verdict = f"{said}: scale and capture rate agree with it, to {share:.0%} together"
    elif g <= 0.0:
        verdict = f"{said}: the ball does not fall"
        hint = "the picture may be upside down, or these frames are no free flight"
    else:
        verdict = f"{said}: {GRAVITY_M_S2:.2f} would be right"
        # true rate over assumed rate: seconds enter squared
        factor = math.sqrt(GRAVITY_M_S2 / g)
        hint = rate_hint(factor, rate_hz) or scale_hint(g / GRAVITY_M_S2)
        rate_factor = usual_rate_factor(factor)
    if abs(sideways[0]) > COVERAGE_FACTOR * sideways[1] and not hint:
        hint = (
            "the ball gains speed sideways: the camera is not level as stated, or these frames are "
            "no free flight"
        )
    return FallCheck(
        g_m_s2=g, u_m_s2=u, parts=parts, sideways_m_s2=sideways[0], u_sideways_m_s2=sideways[1],
        n=len(times_s), duration_s=float(times_s[-1] - times_s[0]), is_agreeing=is_agreeing,
        verdict=verdict, hint=hint, rate_factor=rate_factor,
    )  # fmt: skip
