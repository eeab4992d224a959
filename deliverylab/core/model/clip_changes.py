"""Edits inside one clip: positions, hidden landmarks, event marks, scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.changes import replace_value, with_entry
from deliverylab.core.model.delivery import Camera, Mark
from deliverylab.core.model.project import Project
from deliverylab.core.model.scale import PlanarScale
from deliverylab.core.model.track import Position
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.landmarks import landmark as landmark_entry
from deliverylab.core.vocabulary.landmarks import role_name

replace = msgspec.structs.replace


@dataclass(frozen=True, kw_only=True)
class SetPosition:
    """Place, move or remove (None) one landmark in one frame."""

    delivery: str
    camera: str
    landmark: str
    frame: int
    position: Position | None
    touches: ClassVar[frozenset[str]] = frozenset({"positions"})

    @property
    def label(self) -> str:
        """What undo says."""
        verb = "Remove" if self.position is None else "Place"
        return f"{verb} {role_name(self.landmark)}"

    @property
    def key(self) -> tuple[str, ...]:
        """One landmark in one frame."""
        return ("position", self.delivery, self.camera, self.landmark, str(self.frame))

    def apply(self, project: Project) -> SetPosition:
        """Set the position; it clears the occluded state of that frame only by `SetOccluded`."""
        landmark_entry(self.landmark)
        camera = project.camera(self.delivery, self.camera)
        _check_frame(camera, self.frame)
        _check_position(self.landmark, self.frame, self.position)
        track = camera.track(self.landmark)
        before = track.at(self.frame)
        tracks = with_entry(
            camera.tracks, self.landmark, track.replaced(self.frame, self.position) or None
        )
        project.replace_camera(self.delivery, replace(camera, tracks=tracks))
        return replace_value(self, position=before)


@dataclass(frozen=True, kw_only=True)
class SetPositions:
    """Place or remove many positions of one camera at once (import, tracking)."""

    delivery: str
    camera: str
    positions: dict[str, dict[int, Position | None]]
    what: str = "Place landmarks"
    touches: ClassVar[frozenset[str]] = frozenset({"positions"})

    @property
    def label(self) -> str:
        """What undo says."""
        return self.what

    @property
    def key(self) -> tuple[str, ...]:
        """Never merges with another."""
        return ("positions", self.delivery, self.camera, str(id(self)))

    def apply(self, project: Project) -> SetPositions:
        """Set all positions, or none when one of them is wrong."""
        camera = project.camera(self.delivery, self.camera)
        tracks = dict(camera.tracks)
        before: dict[str, dict[int, Position | None]] = {}
        for landmark, by_frame in self.positions.items():
            landmark_entry(landmark)
            for frame, position in by_frame.items():
                _check_frame(camera, frame)
                _check_position(landmark, frame, position)
            track = camera.track(landmark)
            before[landmark] = {frame: track.at(frame) for frame in by_frame}
            tracks = with_entry(tracks, landmark, track.updated(by_frame) or None)
        project.replace_camera(self.delivery, replace(camera, tracks=tracks))
        return replace_value(self, positions=before)


@dataclass(frozen=True, kw_only=True)
class SetOccluded:
    """Say that a landmark cannot be seen in a frame, or take that back."""

    delivery: str
    camera: str
    landmark: str
    frame: int
    is_occluded: bool
    touches: ClassVar[frozenset[str]] = frozenset({"positions"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"Mark {role_name(self.landmark)} as hidden"

    @property
    def key(self) -> tuple[str, ...]:
        """One landmark in one frame."""
        return ("occluded", self.delivery, self.camera, self.landmark, str(self.frame))

    def apply(self, project: Project) -> SetOccluded:
        """Set the state."""
        landmark_entry(self.landmark)
        camera = project.camera(self.delivery, self.camera)
        _check_frame(camera, self.frame)
        frames = set(camera.occluded.get(self.landmark, ()))
        before = self.frame in frames
        if self.is_occluded:
            frames.add(self.frame)
        else:
            frames.discard(self.frame)
        occluded = with_entry(camera.occluded, self.landmark, tuple(sorted(frames)) or None)
        project.replace_camera(self.delivery, replace(camera, occluded=occluded))
        return replace_value(self, is_occluded=before)


@dataclass(frozen=True, kw_only=True)
class SetMark:
    """Place, move or remove (None) an event mark."""

    delivery: str
    camera: str
    event: str
    mark: Mark | None
    touches: ClassVar[frozenset[str]] = frozenset({"marks"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"{'Remove' if self.mark is None else 'Mark'} {event_entry(self.event).name}"

    @property
    def key(self) -> tuple[str, ...]:
        """One event of one camera."""
        return ("mark", self.delivery, self.camera, self.event)

    def apply(self, project: Project) -> SetMark:
        """Set the mark, which must lie within the clip."""
        name = event_entry(self.event).name
        camera = project.camera(self.delivery, self.camera)
        if self.mark is not None:
            times_s = camera.timing.times_s
            slack_s = camera.timing.interval_s
            low_s, high_s = float(times_s[0]) - slack_s, float(times_s[-1]) + slack_s
            if not low_s <= self.mark.time_s <= high_s:
                raise InputValueError(
                    f"{name} lies outside the clip",
                    where=f"{self.delivery}: {self.mark.time_s:g} s",
                    remedy=f"the clip's own clock runs from {times_s[0]:.3f} to {times_s[-1]:.3f} s",
                )
            if self.mark.u_s is not None and not self.mark.u_s >= 0.0:
                raise InputValueError("an uncertainty cannot be negative", where=name)
        before = camera.marks.get(self.event)
        marks = with_entry(camera.marks, self.event, self.mark)
        project.replace_camera(self.delivery, replace(camera, marks=marks))
        return replace_value(self, mark=before)


@dataclass(frozen=True, kw_only=True)
class SetScale:
    """Set or remove (None) a camera's planar scale."""

    delivery: str
    camera: str
    scale: PlanarScale | None
    label: ClassVar[str] = "Set the scale"
    touches: ClassVar[frozenset[str]] = frozenset({"scale"})

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("scale", self.delivery, self.camera)

    def apply(self, project: Project) -> SetScale:
        """Set the scale."""
        camera = project.camera(self.delivery, self.camera)
        project.replace_camera(self.delivery, replace(camera, scale=self.scale))
        return replace_value(self, scale=camera.scale)


def _check_frame(camera: Camera, frame: int) -> None:
    if not 0 <= frame < camera.timing.n_frames:
        raise InputValueError(
            "the clip has no such frame",
            where=f"frame {frame}",
            remedy=f"frames run from 0 to {camera.timing.n_frames - 1}",
        )


def _check_position(landmark: str, frame: int, position: Position | None) -> None:
    if position is None:
        return
    if not (math.isfinite(position.x_px) and math.isfinite(position.y_px)):
        raise InputValueError(
            "a position must be two numbers",
            where=f"{landmark}, frame {frame}",
            remedy="leave the row out where the landmark cannot be seen",
        )
    if position.u_px is not None and not position.u_px >= 0.0:
        raise InputValueError(
            "an uncertainty cannot be negative", where=f"{landmark}, frame {frame}"
        )
