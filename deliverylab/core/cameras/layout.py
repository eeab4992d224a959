"""What a set-up cannot give, told before anything is solved, and what to add."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from deliverylab.core.cameras.control import ControlPoint
from deliverylab.core.cameras.evidence_field import CameraSetUp
from deliverylab.core.cameras.resection import known_places

Array = NDArray[np.float64]

N_RUBBER = 3
"""Corners of the rubber without which a picture is not tied to the field."""
THIN_M = 0.05
EDGE_ON_DEG = 10.0
NEAR_RUBBER_M = 0.6


@dataclass(frozen=True, kw_only=True)
class Finding:
    """What is wrong or doubtful with a set-up or its solution.

    Attributes
    ----------
    key : str
        Stable name of the kind.
    severity : {"refused", "doubtful"}
    what, where, remedy : str
        As in an error message: what it is, where, what to do.
    """

    key: str
    severity: Literal["refused", "doubtful"]
    what: str
    where: str
    remedy: str


def check_layout(
    set_ups: Sequence[CameraSetUp],
    points: tuple[ControlPoint, ...],
    *,
    has_body: bool,
    has_height: bool,
) -> tuple[Finding, ...]:
    """Look for set-ups that no solve can save.

    Parameters
    ----------
    set_ups : sequence of CameraSetUp
        With their clicks.
    points : tuple of ControlPoint
    has_body, has_height : bool
        Whether tracks of a delivery take part, and whether its athlete's height is known.

    Returns
    -------
    tuple of Finding
        Empty where nothing is wrong.
    """
    findings = [found for each in set_ups for found in _of_camera(each, points)]
    kinds = _kinds_seen(set_ups, points)
    is_level = all(each.is_levelled for each in set_ups)
    beside = kinds["cone"] + kinds["plate"]
    if beside == 0 and kinds["pole"] == 0 and not (has_body and has_height and is_level):
        findings.append(
            Finding(
                key="rubber_only",
                severity="refused",
                what="the rubber alone does not tell how the cameras stood",
                where="control points",
                remedy="add two cones by tape; or level both phones, enter the height and place the body",
            )
        )
    elif beside == 0 and kinds["pole"] and _all_at_rubber(set_ups, points) and not has_body:
        findings.append(
            Finding(
                key="poles_at_rubber",
                severity="refused",
                what="poles at the rubber alone leave the distance ahead of it open",
                where="control points",
                remedy="put a cone or a pole 2 m ahead of the rubber",
            )
        )
    if not is_level and not kinds["pole"] and beside < 2:
        findings.append(
            Finding(
                key="no_vertical",
                severity="doubtful",
                what="nothing tells the vertical: only angles of joints can be shown",
                where="level",
                remedy="level the phones, or add a pole or two cones",
            )
        )
    return tuple(findings)


def _kinds_seen(set_ups: Sequence[CameraSetUp], points: tuple[ControlPoint, ...]) -> dict[str, int]:
    """Count points by kind that two cameras show, or that one shows and a tape has measured."""
    known = known_places(points)
    counts = dict.fromkeys(("rubber", "plate", "cone", "pole", "unknown"), 0)
    for point in points:
        n_seen = sum(point.key in each.clicks_px for each in set_ups)
        counts[point.kind] += n_seen >= (1 if point.key in known else 2)
    return counts


def _all_at_rubber(set_ups: Sequence[CameraSetUp], points: tuple[ControlPoint, ...]) -> bool:
    known = known_places(points)
    is_clicked = {key for each in set_ups for key in each.clicks_px}
    poles = [p.key for p in points if p.kind in {"pole", "unknown"} and p.key in is_clicked]
    return all(key in known and float(np.hypot(*known[key][:2])) < NEAR_RUBBER_M for key in poles)


def _of_camera(set_up: CameraSetUp, points: tuple[ControlPoint, ...]) -> list[Finding]:
    known = known_places(points)
    seen = [p for p in points if p.key in set_up.clicks_px and p.key in known]
    n_rubber = sum(point.kind == "rubber" for point in seen)
    findings = []
    if n_rubber < N_RUBBER and len(seen) < 2 * N_RUBBER:
        findings.append(
            Finding(
                key="no_rubber",
                severity="refused",
                what="this picture is not tied to the field",
                where=set_up.name,
                remedy="click the four corners of the rubber",
            )
        )
    elif _is_edge_on(set_up, np.array([known[point.key] for point in seen])):
        findings.append(
            Finding(
                key="edge_on",
                severity="refused",
                what="all points lie in one upright plane that the camera looks along",
                where=set_up.name,
                remedy="add a cone beside that plane",
            )
        )
    return findings


def _is_edge_on(set_up: CameraSetUp, places_m: Array) -> bool:
    """Tell whether points seen from above lie on one line, and the camera looks along it."""
    flat = places_m[:, :2] - places_m[:, :2].mean(axis=0)
    _, sizes, directions = np.linalg.svd(flat, full_matrices=False)
    if sizes[1] / np.sqrt(len(flat)) > THIN_M:
        return False
    azimuth = np.radians(set_up.azimuth_deg)
    along = abs(directions[0] @ [np.cos(azimuth), np.sin(azimuth)])
    return bool(along > np.cos(np.radians(EDGE_ON_DEG)))
