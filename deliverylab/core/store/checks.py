"""What is wrong in a project file, and where.

A well-formed file may name frames and keys that do not exist.  Only what no edit could have
produced is refused; an unfinished project is a good project.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import msgspec
import numpy as np

from deliverylab.core.errors import DeliveryLabError
from deliverylab.core.model.athlete import Athlete
from deliverylab.core.model.delivery import Camera, ClipReference, Delivery
from deliverylab.core.model.project import ProjectRecord
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.timing import Timing
from deliverylab.core.model.track import Track
from deliverylab.core.store.schema import decoded
from deliverylab.core.vocabulary import events, landmarks, segments, views

_LARGEST_NUMBER = 1e7
"""More frames, pixels or seconds than this no clip has; what is measured stays far below."""


def complaints(record: ProjectRecord) -> Iterator[tuple[str, str]]:
    """Yield (JSON path, what is wrong there) for each contradiction in a record."""
    yield from _unbelievable(record, "$.project")
    yield from _repeated("$.project.deliveries", [d.name for d in record.deliveries])
    for number, delivery in enumerate(record.deliveries):
        path = f"$.project.deliveries[{number}]"
        yield from _repeated(f"{path}.cameras", [camera.name for camera in delivery.cameras])
        for place, camera in enumerate(delivery.cameras):
            yield from _camera_complaints(camera, f"{path}.cameras[{place}]")
        if delivery.field is not None:
            for place, what, _ in delivery.field.faults():
                yield f"{path}.field.points[{place}]", what


def _repeated(path: str, names: list[str]) -> Iterator[tuple[str, str]]:
    for number, name in enumerate(names):
        if name in names[:number]:
            yield f"{path}[{number}].name", f"the name {name!r} stands twice"


def _unbelievable(value: Any, path: str) -> Iterator[tuple[str, str]]:
    """Yield where a number is too large to be one of a delivery, or is none."""
    if isinstance(value, float | int):
        if not abs(value) <= _LARGEST_NUMBER:
            yield path, "the number is too large to be true"
    elif isinstance(value, Track):
        u_px = value.u_px[np.isfinite(value.u_px)]
        if any(
            np.abs(numbers).max(initial=0.0) > _LARGEST_NUMBER for numbers in (value.xy_px, u_px)
        ):
            yield path, "a number is too large to be true"
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _unbelievable(inner, f"{path}.{key}")
    elif isinstance(value, tuple):
        for number, inner in enumerate(value):
            yield from _unbelievable(inner, f"{path}[{number}]")
    elif isinstance(value, msgspec.Struct) and not isinstance(value, ClipReference):
        for name in value.__struct_fields__:
            yield from _unbelievable(getattr(value, name), f"{path}.{name}")


def _timing_complaints(camera: Camera, path: str) -> Iterator[tuple[str, str]]:
    stamps_s = camera.timing.stamps_s
    if stamps_s is not None and any(a >= b for a, b in pairwise(stamps_s)):
        yield f"{path}.timing.stamps_s", "the times of the frames do not ascend"
    if not 0 <= camera.first_frame < camera.timing.n_frames:
        yield f"{path}.first_frame", f"the clip has no frame {camera.first_frame}"


def _camera_complaints(camera: Camera, path: str) -> Iterator[tuple[str, str]]:
    if camera.view not in views.BY_KEY:
        yield f"{path}.view", f"there is no view {camera.view!r}"
    yield from _timing_complaints(camera, path)
    yield from _motion_complaints(camera, path)
    if min(camera.width_px, camera.height_px) < 1:
        yield f"{path}.width_px", "the picture has no size"
    for event, mark in camera.marks.items():
        if event not in events.BY_KEY:
            yield f"{path}.marks.{event}", "there is no such event"
        if mark.u_s is not None and mark.u_s < 0.0:
            yield f"{path}.marks.{event}.u_s", "an uncertainty cannot be negative"
    for event, choices in camera.depth_choices.items():
        if event not in events.BY_KEY:
            yield f"{path}.depth_choices.{event}", "there is no such event"
        for limb in choices.keys() - segments.LIFTED_BY_KEY.keys():
            yield f"{path}.depth_choices.{event}.{limb}", "there is no such limb"
    n_frames = camera.timing.n_frames
    tracked = [("tracks", key, track.frames.tolist()) for key, track in camera.tracks.items()]
    hidden = [("occluded", key, list(frames)) for key, frames in camera.occluded.items()]
    said = [("looked_at", each.landmark, [each.frame]) for each in camera.looked_at]
    for table, key, frames in tracked + hidden + said:
        if key not in landmarks.BY_KEY:
            yield f"{path}.{table}.{key}", "there is no such landmark"
        outside = [frame for frame in frames if not 0 <= frame < n_frames]
        if outside:
            yield f"{path}.{table}.{key}", f"the clip has no frame {outside[0]}"


def _motion_complaints(camera: Camera, path: str) -> Iterator[tuple[str, str]]:
    motion = camera.motion
    if motion is None:
        return
    frames = motion.frames
    if not len(frames) == len(motion.homographies) == len(motion.u_px) > 0:
        yield f"{path}.motion", "frames, homographies and u_px are not equally many"
    elif list(frames) != sorted(set(frames)) or not 0 <= frames[0] <= frames[-1] < (
        camera.timing.n_frames
    ):
        yield f"{path}.motion.frames", "the frames do not rise, or are not the clip's"
    elif not all(math.isfinite(number) for one in motion.homographies for number in one):
        yield f"{path}.motion.homographies", "not all are numbers"


def plain(problem: Exception) -> str:
    """Return an exception's message, never empty."""
    if isinstance(problem, RecursionError):
        return "nested too deeply"
    return str(problem) or type(problem).__name__


def place_of_fault(document: Any, problem: Exception) -> tuple[str, str]:
    """Return (JSON path, what is wrong) of a document that was refused.

    The general message names no entry of a table and no place for values that the model refuses,
    so the parts are tried one by one.
    """
    for path, kind, part in _parts(document):
        try:
            msgspec.convert(part, kind, dec_hook=decoded)
        except msgspec.ValidationError as found:
            what, _, inner = str(found).partition(" - at `$")
            return path + inner.rstrip("`"), what
        except DeliveryLabError as found:
            return path, str(found)
        except (OverflowError, RecursionError) as found:
            return path, plain(found)
    what, _, inner = plain(problem).partition(" - at `")
    return inner.rstrip("`") or "$", what


def _parts(document: Any) -> Iterator[tuple[str, Any, Any]]:
    """Yield (JSON path, type, part) from the smallest parts to the largest."""
    project = document.get("project")
    if not isinstance(project, dict):
        return
    for number, delivery in enumerate(_list_in(project, "deliveries")):
        path = f"$.project.deliveries[{number}]"
        if not isinstance(delivery, dict):
            continue
        for place, camera in enumerate(_list_in(delivery, "cameras")):
            inner = f"{path}.cameras[{place}]"
            if not isinstance(camera, dict):
                continue
            if isinstance(tracks := camera.get("tracks"), dict):
                yield from ((f"{inner}.tracks.{key}", Track, rows) for key, rows in tracks.items())
            if "timing" in camera:
                yield f"{inner}.timing", Timing, camera["timing"]
            if camera.get("scale") is not None:
                yield f"{inner}.scale", PlanarScale, camera["scale"]
            yield inner, Camera, camera
        if "athlete" in delivery:
            yield f"{path}.athlete", Athlete, delivery["athlete"]
        yield path, Delivery, delivery


def _list_in(table: dict[str, Any], key: str) -> list[Any]:
    values = table.get(key)
    return values if isinstance(values, list) else []
