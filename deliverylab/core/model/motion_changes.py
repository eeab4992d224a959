"""The edit that takes a camera's own motion out, or puts it back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.errors import InputValueError
from deliverylab.core.model.camera_motion import CameraMotion
from deliverylab.core.model.changes import replace_value
from deliverylab.core.model.project import Project

replace = msgspec.structs.replace


@dataclass(frozen=True, kw_only=True)
class SetCameraMotion:
    """Set how a camera moved; None: it stood still."""

    delivery: str
    camera: str
    motion: CameraMotion | None
    touches: ClassVar[frozenset[str]] = frozenset({"positions", "scale"})

    @property
    def label(self) -> str:
        """What undo says."""
        return "Take the camera as still" if self.motion is None else "Take the camera's motion out"

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("motion", self.delivery, self.camera)

    def apply(self, project: Project) -> SetCameraMotion:
        """Set the motion, whose frames must be the clip's."""
        camera = project.camera(self.delivery, self.camera)
        motion = self.motion
        if motion is not None:
            last = camera.timing.n_frames - 1
            if not motion.frames or motion.frames[0] < 0 or motion.frames[-1] > last:
                raise InputValueError(
                    "the motion is of another clip", where=f"{self.delivery}: {self.camera}",
                    remedy=f"its frames run from 0 to {last}",
                )  # fmt: skip
        project.replace_camera(self.delivery, replace(camera, motion=motion))
        return replace_value(self, motion=camera.motion)
