"""What is true of an example clip, as plain values for a file: events, camera, positions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.synthetic.scenario import ExampleClip
from deliverylab.core.synthetic.scene import rubber_corners_m
from deliverylab.core.synthetic.spec import DeliverySpec
from deliverylab.core.vocabulary.landmarks import LANDMARK_KEYS
from deliverylab.core.vocabulary.views import plate_direction

Array = NDArray[np.float64]


def _rounded(points: Array, decimals: int) -> list[Any]:
    return list(np.round(points, decimals).tolist())


def positions_px(clip: ExampleClip) -> Array:
    """Place all landmarks in all pictures.

    Parameters
    ----------
    clip : ExampleClip

    Returns
    -------
    Array, shape (n_frames, n_landmarks, 2), px
        In the vocabulary's order; NaN outside the picture.
    """
    where = clip.camera().project(clip.delivery().stacked_m())
    width, height = clip.size_px
    last = np.array([width - 1.0, height - 1.0])
    inside = np.all((where >= 0.0) & (where <= last), axis=-1, keepdims=True)
    return np.where(inside, where, np.nan)


def position_rows(clip: ExampleClip) -> list[tuple[int, str, float, float]]:
    """List the placed landmarks: frame, landmark, x_px, y_px.

    Parameters
    ----------
    clip : ExampleClip

    Returns
    -------
    list of tuple
        Frame by frame; landmarks outside the picture are left out.
    """
    where = np.round(positions_px(clip), 3)
    return [
        (frame, key, float(x), float(y))
        for frame, points in enumerate(where)
        for key, (x, y) in zip(LANDMARK_KEYS, points, strict=True)
        if np.isfinite(x)
    ]


def clip_truth(clip: ExampleClip) -> dict[str, Any]:
    """Collect what is known of a clip.

    Parameters
    ----------
    clip : ExampleClip

    Returns
    -------
    dict
        Plain numbers, texts and lists. With ``spec`` the delivery can be built again
        (`spec_from_truth`), and with it every position in metres at any instant.
    """
    delivery, camera = clip.delivery(), clip.camera()
    rubber = rubber_corners_m()
    return {
        "name": clip.name,
        "note": clip.note,
        "view": clip.view,
        "rate_hz": str(clip.rate_hz),
        "n_frames": int(delivery.times_s.size),
        "size_px": list(clip.size_px),
        "toward_plate": plate_direction(clip.view, clip.spec.hand),
        "athlete": {
            "name": clip.athlete,
            "hand": clip.spec.hand,
            "height_m": clip.spec.height_m,
            "mass_kg": clip.mass_kg,
            "sex": clip.spec.sex,
        },
        "ball_speed_m_s": clip.spec.ball_speed_m_s,
        "events_s": {key: round(value, 6) for key, value in delivery.events.items()},
        "camera": {
            "distance_m": clip.distance_m,
            "height_m": clip.height_m,
            "yaw_deg": clip.yaw_deg,
            "focal_px": clip.focal_px,
            "target_m": list(clip.target_m),
            "position_m": _rounded(camera.position_m, 9),
            "axes": _rounded(camera.axes, 12),
        },
        "scale_stick": {
            "points_px": _rounded(camera.project(clip.stick.ends_m), 4),
            "points_m": _rounded(clip.stick.ends_m, 6),
            "length_m": round(clip.stick.length_m, 6),
        },
        "rubber": {
            "corners_px": _rounded(camera.project(rubber), 4),
            "corners_m": _rounded(rubber, 6),
            "front_middle_px": _rounded(camera.project(np.zeros(3)), 4),
        },
        "cones": {
            cone.key: {
                "foot_px": _rounded(camera.project(cone.foot_m), 4),
                "foot_m": _rounded(cone.foot_m, 6),
            }
            for cone in clip.cones
        },
        "exposure_s": clip.filming.exposure_s,
        "spec": asdict(clip.spec),
    }


def spec_from_truth(truth: dict[str, Any]) -> DeliverySpec:
    """Read the delivery back from a truth file's values.

    Parameters
    ----------
    truth : dict
        As `clip_truth` makes it, also after a round trip through JSON.

    Returns
    -------
    DeliverySpec
    """
    plain: dict[str, Any] = truth["spec"]
    values: dict[str, Any] = {k: tuple(v) if isinstance(v, list) else v for k, v in plain.items()}
    return DeliverySpec(**values)
