"""Deliveries with more film before and after than matters, and clips that belong to them."""

from __future__ import annotations

import msgspec
import numpy as np

from deliverylab.core.model.delivery import Mark
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.track import Track
from deliverylab.core.store.clips import clip_reference
from deliverylab.core.store.projectfile import load_project, save_project
from deliverylab.core.video.writer import write_clip
from deliverylab.core.workflow.demo import examples_dir

replace = msgspec.structs.replace
BEFORE, AFTER = 300, 240
"""Frames of nothing before the first and after the last; the second camera has 60 more before."""
TINY_PX = (48, 32)


def example():
    """Return the example's record: two deliveries, each in two solved cameras, without clips."""
    record = load_project(examples_dir() / "demo.delivery")
    bare = tuple(
        replace(d, cameras=tuple(replace(c, clip=None) for c in d.cameras))
        for d in record.deliveries
    )
    return replace(record, deliveries=bare)


def longer(delivery):
    """Return a delivery whose clips begin earlier and end later, trimmed to what they were."""
    cameras, shifts_s = [], {}
    for number, camera in enumerate(delivery.cameras):
        before = BEFORE + 60 * number
        timing = camera.timing
        shift_s = before / timing.stored_rate_hz
        shifts_s[camera.name] = shift_s * timing.real_per_clip
        cameras.append(
            replace(
                camera,
                timing=replace(timing, n_frames=timing.n_frames + before + AFTER),
                first_frame=before,
                last_frame=before + timing.n_frames - 1,
                marks={k: replace(m, time_s=m.time_s + shift_s) for k, m in camera.marks.items()},
                tracks={
                    k: Track(t.frames + before, t.xy_px, t.u_px, t.origins)
                    for k, t in camera.tracks.items()
                },
                duplicate_frames=tuple(frame + before for frame in camera.duplicate_frames),
            )
        )
    space = delivery.space
    if space is not None:
        first_s = shifts_s[space.cameras[0].name]
        solved = tuple(
            replace(each, offset_s=each.offset_s - shifts_s[each.name] + first_s)
            for each in space.cameras
        )
        space = replace(space, cameras=solved)
    return replace(delivery, cameras=tuple(cameras), space=space)


def saved_with_clips(record: ProjectRecord, folder, *, suffix=".mp4", metadata=None):
    """Write a tiny clip for every camera, and the project; return record and path."""
    path = folder / "may.delivery"
    deliveries = []
    for delivery in record.deliveries:
        cameras = []
        for camera in delivery.cameras:
            stem = f"{delivery.athlete.name} {delivery.name} {camera.name}"
            clip = write_clip(
                folder / f"{stem}{suffix}",
                tiny_pictures(camera.timing.n_frames),
                round(camera.timing.stored_rate_hz),
                metadata=metadata,
                options={"preset": "ultrafast"},
            )
            cameras.append(replace(camera, clip=clip_reference(clip, path)))
        deliveries.append(replace(delivery, cameras=tuple(cameras)))
    saved = replace(record, deliveries=tuple(deliveries))
    save_project(saved, path)
    return saved, path


def tiny_pictures(n):
    """Yield pictures whose grey tells their number, in steps of 4 levels."""
    width, height = TINY_PX
    for number in range(n):
        yield np.full((height, width, 3), 4 * (number % 60) + 8, np.uint8)


def mark_at(camera, frame):
    """Return a mark in a frame."""
    return Mark(time_s=float(camera.timing.times_s[frame]))
