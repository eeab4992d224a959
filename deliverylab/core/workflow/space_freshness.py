"""Whether a delivery's solved cameras still go with what they were solved from."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from typing import Literal

import msgspec

from deliverylab.core.model.delivery import Camera, Delivery
from deliverylab.core.model.project import Project, ProjectRecord
from deliverylab.core.model.track import Track
from deliverylab.core.workflow.space_set_up import field_of, source_of

OutOfDate = Literal["", "field", "body"]


def field_fingerprint(project: Project | ProjectRecord, delivery: Delivery) -> str:
    """Return what stands for field, clicks, stands, views, hand and timing."""
    source = source_of(project, delivery)
    clicked = [
        (each.name, each.view, each.width_px, each.height_px, each.stand, each.control)
        for each in source.cameras
    ]
    timed = [(each.name, each.timing) for each in delivery.cameras]
    hands = (source.athlete.hand, delivery.athlete.hand)
    return _digest((field_of(project, delivery), clicked, timed, hands))


def body_fingerprint(delivery: Delivery) -> str:
    """Return what stands for landmarks, marks and the athlete's size."""
    athlete = delivery.athlete
    about = [_camera_digest(camera) for camera in delivery.cameras]
    return _digest((about, athlete.height_m, athlete.sex))


def _camera_digest(camera: Camera) -> tuple[object, ...]:
    tracks = {key: _track_digest(track) for key, track in camera.tracks.items() if len(track)}
    # nothing stands for a camera that stood still: what was solved before is as fresh as it was
    moved = () if camera.motion is None else (camera.motion,)
    # where a mark came from changes nothing about where it is
    marks = {key: {"time_s": one.time_s, "u_s": one.u_s} for key, one in camera.marks.items()}
    return (camera.name, marks, camera.row_time_s, tracks, *moved)


@lru_cache(maxsize=1024)
def _track_digest(track: Track) -> str:
    told = hashlib.sha256(track.frames.tobytes())
    told.update(track.xy_px.tobytes())
    told.update(track.u_px.tobytes())
    return told.hexdigest()


def _digest(values: object) -> str:
    return hashlib.sha256(msgspec.json.encode(values, order="deterministic")).hexdigest()[:16]


def is_out_of_date(project: Project | ProjectRecord, delivery: Delivery) -> OutOfDate:
    """Return what a delivery's solve no longer goes with.

    Returns
    -------
    {"", "field", "body"}
        Nothing, or there is no solve; the field, its clicks or how cameras stand; landmarks and
        marks alone, which change little.
    """
    if delivery.space is None:
        return ""
    if delivery.space.field_inputs != field_fingerprint(project, delivery):
        return "field"
    return "" if delivery.space.body_inputs == body_fingerprint(delivery) else "body"
