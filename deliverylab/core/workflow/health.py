"""What is wrong with a project, or could be better, in plain words and with a remedy."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.store.clips import project_folder, resolve_clip
from deliverylab.core.vocabulary.views import SIDE_VIEWS
from deliverylab.core.workflow.checklist import NEEDED_EVENTS
from deliverylab.core.workflow.space_health import space_condition

Level = Literal["ok", "note", "problem"]

SQUARE_ENOUGH_DEG = 10.0
"""Yaw at which trunk tilt at release errs by 4.7° rms instead of 1.4° (README's table)."""
NEAR_M = 5.0
"""Distance at which trunk tilt at release errs by 2.3° rms instead of 1.4° at 10 m (README's table)."""
SPEED_RATE_HZ = 100.0
"""True rate below which peak speeds of pelvis and trunk will not be shown; judgement."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing found.

    Attributes
    ----------
    level : {"ok", "note", "problem"}
        All is well; good to know; something is lost until it is mended.
    where : str
        Delivery and camera, or the project.
    what, remedy : str
        What was found, and what to do.
    """

    level: Level
    where: str
    what: str
    remedy: str = ""


def project_health(record: ProjectRecord, project_path: str | Path | None) -> tuple[Finding, ...]:
    """Return what is found, problems first; one finding of level ``ok`` where there is nothing.

    Parameters
    ----------
    record : ProjectRecord
        The project.
    project_path : str or pathlib.Path or None
        Its file; clips are looked for from there.
    """
    found = list(_project_findings(record))
    for delivery in record.deliveries:
        found += _delivery_findings(delivery)
        found += _space_findings(record, delivery)
        for camera in delivery.cameras:
            where = f"{delivery.name}: {camera.name}"
            found += _clip_findings(camera, where, project_path)
            found += _scale_findings(camera, where)
            found += _timing_findings(camera, where)
            found += _position_findings(camera, where)
    if not found:
        return (Finding(level="ok", where="project", what="nothing to mend"),)
    return tuple(sorted(found, key=lambda finding: finding.level != "problem"))


def _project_findings(record: ProjectRecord) -> Iterator[Finding]:
    if not record.deliveries:
        yield Finding(
            level="note", where="project", what="it holds no delivery", remedy="add one with a clip"
        )
    names = {delivery.name for delivery in record.deliveries}
    gone = [name for name in record.pair or () if name not in names]
    if gone:
        yield Finding(
            level="note",
            where="project",
            what=f"the last comparison names {gone[0]!r}, which is not here any more",
            remedy="choose the pair again",
        )


def _delivery_findings(delivery: Delivery) -> Iterator[Finding]:
    if delivery.athlete.height_m is None:
        yield Finding(
            level="note",
            where=delivery.name,
            what="the athlete's height is not known, so no share of height can be shown",
            remedy="ask for it; standing, in shoes",
        )
    if not delivery.cameras:
        yield Finding(
            level="problem", where=delivery.name, what="it has no camera", remedy="add a clip"
        )
    elif not any(set(NEEDED_EVENTS) <= set(camera.marks) for camera in delivery.cameras):
        yield Finding(
            level="note",
            where=delivery.name,
            what="leg lift, foot contact and release are not all marked",
            remedy="mark them; a comparison over phase needs them",
        )


def _space_findings(record: ProjectRecord, delivery: Delivery) -> Iterator[Finding]:
    condition = space_condition(record, delivery)
    if condition is not None and condition.level != "ok":
        yield Finding(
            level=condition.level,
            where=delivery.name,
            what=condition.what,
            remedy=condition.remedy,
        )


def _clip_findings(
    camera: Camera, where: str, project_path: str | Path | None
) -> Iterator[Finding]:
    if camera.clip is None:
        return
    found = resolve_clip(project_path, camera.clip)
    if found is None:
        yield Finding(
            level="problem",
            where=where,
            what=f"the clip {camera.clip.path} cannot be found",
            remedy="put it beside the project, or relink it; measurements are kept",
        )
        return
    folder = Path() if project_path is None else project_folder(project_path)
    if found != Path(os.path.normpath(folder / camera.clip.path)):
        yield Finding(
            level="note",
            where=where,
            what=f"the clip {camera.clip.path} was found at {found}",
            remedy="relink it there, so that it is found at once",
        )


def _scale_findings(camera: Camera, where: str) -> Iterator[Finding]:
    scale = camera.scale
    if scale is None:
        yield Finding(
            level="problem",
            where=where,
            what="there is no scale, so only times can be measured",
            remedy="click two points of known distance in the plane of motion",
        )
        return
    if scale.distance_m is None:
        yield Finding(
            level="note",
            where=where,
            what="the camera's distance is not known, so a near camera is assumed for ±",
            remedy="pace it out and enter it",
        )
    elif scale.distance_m < NEAR_M:
        yield Finding(
            level="note",
            where=where,
            what=f"the camera stood {scale.distance_m:.3g} m away; perspective widens ±",
            remedy="film from 8 m or more and zoom in",
        )
    if camera.view in SIDE_VIEWS and abs(scale.yaw_deg) > SQUARE_ENOUGH_DEG:
        yield Finding(
            level="note",
            where=where,
            what=f"the camera stood {abs(scale.yaw_deg):.0f}° off square",
            remedy="film square to the line from rubber to plate",
        )


def _timing_findings(camera: Camera, where: str) -> Iterator[Finding]:
    # the layer of events knows plausible spacings; a suspected slow motion comes from there too
    from deliverylab.core.events.check import mark_complaints

    for complaint in mark_complaints(camera):
        what, _, remedy = complaint.partition(": ")
        yield Finding(level="problem", where=where, what=what, remedy=remedy or "check both marks")
    yield from _axis_findings(camera, where)
    if camera.duplicate_frames and camera.timing.repair is None:
        n_frames = camera.timing.n_frames
        yield Finding(
            level="note",
            where=where,
            what=f"{len(camera.duplicate_frames)} of {n_frames} frames repeat the one before",
            remedy="set the true capture rate, or use the original recording",
        )
    if camera.timing.true_rate_hz < SPEED_RATE_HZ:
        yield Finding(
            level="note",
            where=where,
            what=f"{camera.timing.true_rate_hz:g} frames a second are too few for peak speeds",
            remedy="film at 240; set the capture rate if this is slow motion",
        )


def _axis_findings(camera: Camera, where: str) -> Iterator[Finding]:
    """Yield what was done to the clip's time axis, and what its rows do."""
    timing = camera.timing
    if timing.repair is not None:
        yield Finding(
            level="note",
            where=where,
            what=f"the time axis is repaired: {timing.repair.note}",
            remedy="to measure by the stored times: timing --as-stored",
        )
    for doubt in timing.doubts:
        yield Finding(
            level="problem",
            where=where,
            what=f"{doubt.reason}; {_in_frames(doubt.frames)}; speeds are withheld",
            remedy=doubt.remedy,
        )
    if camera.row_time_s:
        yield Finding(
            level="note",
            where=where,
            what=f"rolling shutter is corrected: {1e3 * camera.row_time_s * camera.height_px:.3g} ms "
            "from the first row to the last",
            remedy="positions without neighbours in the next frames stay as they are",
        )
    if camera.motion is not None:
        n_left = camera.end_frame - camera.first_frame + 1 - len(camera.motion.frames)
        yield Finding(
            level="note",
            where=where,
            what="the camera's own motion is taken out, up to "
            f"{max(camera.motion.u_px):.2g} px of u"
            + (f"; {n_left} frames do not tell it and are left out" if n_left > 0 else ""),
            remedy=f"scale and field must have been clicked in frame {camera.motion.reference_frame}",
        )


def _in_frames(ranges: tuple[tuple[int, int], ...]) -> str:
    shown = ", ".join(f"{first}-{last}" for first, last in ranges[:3])
    more = f" and {len(ranges) - 3} more" if len(ranges) > 3 else ""
    return f"frames {shown}{more}"


def _position_findings(camera: Camera, where: str) -> Iterator[Finding]:
    n_outside, n_cut = 0, 0
    for track in camera.tracks.values():
        is_outside = (track.xy_px < -0.5) | (
            track.xy_px > np.array([camera.width_px, camera.height_px]) - 0.5
        )
        n_outside += int(is_outside.any(axis=1).sum())
        n_cut += int(
            ((track.frames < camera.first_frame) | (track.frames > camera.end_frame)).sum()
        )
    if n_outside:
        yield Finding(
            level="problem",
            where=where,
            what=_positions(n_outside, "outside the picture"),
            remedy="check the size of the picture they were placed in",
        )
    if n_cut:
        yield Finding(
            level="note",
            where=where,
            what=_positions(n_cut, "in frames that were trimmed away"),
            remedy="widen the trim, or leave them",
        )


def _positions(n: int, where: str) -> str:
    return f"1 position lies {where}" if n == 1 else f"{n} positions lie {where}"
