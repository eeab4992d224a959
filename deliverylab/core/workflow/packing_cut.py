"""Cut what a project says of its clips to the part that matters, so that every result stays the same.

Frame numbers, times and the joined clocks of two clips begin anew at the first frame that is kept.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec
import numpy as np

from deliverylab.core.metrics.evaluate import evaluate
from deliverylab.core.metrics.spec import Result
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.precision import PlacingRun
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.space import SpaceSolution
from deliverylab.core.model.timing import TimeDoubt, Timing
from deliverylab.core.model.track import Track
from deliverylab.core.workflow.space_freshness import (
    body_fingerprint,
    field_fingerprint,
    is_out_of_date,
)

replace = msgspec.structs.replace

MARGINS_S = (0.25, 0.5, 1.0, 2.0, math.inf)
"""Real seconds that are kept before and after what is shown or marked: the first that serves.  Smoothing
leans on positions beside those that are read, the less the farther off."""
SAME = 1e-9
"""Largest relative difference of a number that counts as the same."""
_LEAST_FRAMES = 3


@dataclass(frozen=True)
class Cut:
    """Which frames of a clip are kept, both ends included."""

    first_frame: int
    last_frame: int

    @property
    def n_frames(self) -> int:
        """How many are kept."""
        return self.last_frame - self.first_frame + 1


def whole(camera: Camera) -> Cut:
    """Return the cut that keeps all of a clip."""
    return Cut(0, camera.timing.n_frames - 1)


def cuts_of(delivery: Delivery, names: Collection[str]) -> dict[str, Cut]:
    """Return the part of some cameras' clips that is kept: as little as leaves every result the same.

    It holds the trimmed part, every mark, what was placed again, and a margin.  The margin grows until
    the results of the cut delivery are those of the whole one.
    """
    results = evaluate(delivery)
    cameras = [camera for camera in delivery.cameras if camera.name in names]
    cuts: dict[str, Cut] = {}
    for margin_s in MARGINS_S:
        cuts = {camera.name: _cut_of(delivery, camera, margin_s) for camera in cameras}
        if all(cuts[camera.name] == whole(camera) for camera in cameras):
            break
        if _is_same(results, evaluate(_cut_delivery(delivery, cuts))):
            break
    return cuts


def _is_same(before: Sequence[Result], after: Sequence[Result]) -> bool:
    def is_near(number: float | None, again: float | None) -> bool:
        if number is None or again is None:
            return number is again
        return abs(again - number) <= SAME * max(1.0, abs(number))

    return all(
        (old.status, old.reason, old.basis) == (new.status, new.reason, new.basis)
        and is_near(old.value, new.value)
        and is_near(old.u, new.u)
        for old, new in zip(before, after, strict=True)
    )


def _cut_of(delivery: Delivery, camera: Camera, margin_s: float) -> Cut:
    if math.isinf(margin_s):
        return whole(camera)
    timing = camera.timing
    frames = [camera.first_frame, camera.end_frame, *_leant_on(delivery, camera)]
    margin = max(_LEAST_FRAMES, round(margin_s * timing.true_rate_hz))
    first, last = max(0, min(frames) - margin), min(timing.n_frames - 1, max(frames) + margin)
    # a repeat at the very start would repeat nothing
    while first in camera.duplicate_frames and first > 0:
        first -= 1
    return Cut(first, last)


def _leant_on(delivery: Delivery, camera: Camera) -> list[int]:
    """Return frames in which something is marked or said by a person."""
    timing = camera.timing
    frames = [timing.frame_at(mark.time_s) for mark in camera.marks.values()]
    if camera.motion is not None:
        frames.append(camera.motion.reference_frame)
    for run in delivery.placing_runs:
        targets = (*(each.target for each in run.placed), *run.waiting)
        frames += [target.frame for target in targets if target.camera == camera.name]
    return [frame for frame in frames if 0 <= frame < timing.n_frames]


def cut_record(record: ProjectRecord, cuts: dict[tuple[str, str], Cut]) -> ProjectRecord:
    """Return a record of cut clips.

    Parameters
    ----------
    record : ProjectRecord
        Of the whole clips.
    cuts : dict of (str, str) to Cut
        By delivery and camera; clips without one stay whole.

    Returns
    -------
    ProjectRecord
        Its results are those of `record`; a solve that was fresh still is.
    """
    cut = replace(
        record,
        deliveries=tuple(
            _cut_delivery(
                delivery, {name: cut for (of, name), cut in cuts.items() if of == delivery.name}
            )
            for delivery in record.deliveries
        ),
    )
    return with_fresh_solves(record, cut)


def with_fresh_solves(before: ProjectRecord, after: ProjectRecord) -> ProjectRecord:
    """Return the record `after` with every solve as fresh as it was in `before`.

    Both hold the same deliveries in the same order; what was clicked and placed is the same, in other
    names or frame numbers.
    """
    return replace(
        after,
        deliveries=tuple(
            _as_fresh(before, old, after, new)
            for old, new in zip(before.deliveries, after.deliveries, strict=True)
        ),
    )


def _as_fresh(
    before: ProjectRecord, old: Delivery, after: ProjectRecord, new: Delivery
) -> Delivery:
    if new.space is None:
        return new
    stale = is_out_of_date(before, old)
    if stale == "field":
        return new
    inputs = {"field_inputs": field_fingerprint(after, new)}
    if not stale:
        inputs["body_inputs"] = body_fingerprint(new)
    return replace(new, space=replace(new.space, **inputs))


def _cut_delivery(delivery: Delivery, cuts: dict[str, Cut]) -> Delivery:
    if not cuts:
        return delivery
    changed: dict[str, Any] = {
        "cameras": tuple(
            _cut_camera(camera, cuts[camera.name]) if camera.name in cuts else camera
            for camera in delivery.cameras
        ),
        "placing_runs": tuple(_cut_run(run, cuts) for run in delivery.placing_runs),
    }
    if delivery.space is not None:
        changed["space"] = _cut_clocks(delivery, delivery.space, cuts)
    return replace(delivery, **changed)


def _cut_camera(camera: Camera, cut: Cut) -> Camera:
    first, last = cut.first_frame, cut.last_frame
    start_s = float(camera.timing.times_s[first])
    return replace(
        camera,
        timing=_shifted_timing(camera.timing, cut),
        first_frame=camera.first_frame - first,
        last_frame=None if camera.last_frame is None else camera.end_frame - first,
        marks={
            key: replace(mark, time_s=mark.time_s - start_s) for key, mark in camera.marks.items()
        },
        tracks={key: _cut_track(track, cut) for key, track in camera.tracks.items()},
        occluded={
            key: tuple(frame - first for frame in frames if first <= frame <= last)
            for key, frames in camera.occluded.items()
        },
        duplicate_frames=tuple(
            frame - first for frame in camera.duplicate_frames if first < frame <= last
        ),
        looked_at=tuple(
            replace(said, frame=said.frame - first)
            for said in camera.looked_at
            if first <= said.frame <= last
        ),
        motion=None if camera.motion is None else _cut_motion(camera.motion, cut),
    )


def _shifted_timing(timing: Timing, cut: Cut) -> Timing:
    first, end = cut.first_frame, cut.last_frame + 1
    repair = timing.repair
    if repair is not None:
        kept_s = np.array(repair.times_s[first:end])
        repair = replace(repair, times_s=tuple((kept_s - kept_s[0]).tolist()))
    stamps_s = timing.stamps_s
    if stamps_s is not None:
        stamps_s = tuple((np.array(stamps_s[first:end]) - stamps_s[first]).tolist())
    return replace(
        timing,
        n_frames=cut.n_frames,
        stamps_s=stamps_s,
        repair=repair,
        doubts=tuple(_cut_doubt(doubt, cut) for doubt in timing.doubts),
    )


def _cut_doubt(doubt: TimeDoubt, cut: Cut) -> TimeDoubt:
    """Return a doubt with its stretches that are kept; it holds, even where none is."""
    first, last = cut.first_frame, cut.last_frame
    return replace(
        doubt,
        frames=tuple(
            (max(start, first) - first, min(end, last) - first)
            for start, end in doubt.frames
            if start <= last and end >= first
        ),
    )


def _cut_track(track: Track, cut: Cut) -> Track:
    is_kept = (track.frames >= cut.first_frame) & (track.frames <= cut.last_frame)
    return Track(
        track.frames[is_kept] - cut.first_frame,
        track.xy_px[is_kept],
        track.u_px[is_kept],
        track.origins[is_kept],
    )


def _cut_motion(motion: CameraMotion, cut: Cut) -> CameraMotion:
    rows = [
        row for row, frame in enumerate(motion.frames) if cut.first_frame <= frame <= cut.last_frame
    ]
    return CameraMotion(
        reference_frame=motion.reference_frame - cut.first_frame,
        frames=tuple(motion.frames[row] - cut.first_frame for row in rows),
        homographies=tuple(motion.homographies[row] for row in rows),
        u_px=tuple(motion.u_px[row] for row in rows),
    )


def _cut_run(run: PlacingRun, cuts: dict[str, Cut]) -> PlacingRun:
    def moved(each: Any) -> Any:
        cut = cuts.get(each.camera)
        return each if cut is None else each._replace(frame=each.frame - cut.first_frame)

    return replace(
        run, placed=tuple(map(moved, run.placed)), waiting=tuple(map(moved, run.waiting))
    )


def _cut_clocks(delivery: Delivery, space: SpaceSolution, cuts: dict[str, Cut]) -> SpaceSolution:
    """Return a solve whose clocks are joined as before, each beginning at its clip's new start."""

    def start_s(name: str) -> float:
        timing = delivery.camera(name).timing
        return float(timing.real_s(timing.times_s[cuts[name].first_frame])) if name in cuts else 0.0

    first_s = start_s(space.cameras[0].name)
    return replace(
        space,
        cameras=tuple(
            replace(solved, offset_s=solved.offset_s + start_s(solved.name) - first_s)
            for solved in space.cameras
        ),
    )
