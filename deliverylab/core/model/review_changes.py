"""Edits of what a person found right in a clip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.model.changes import replace_value
from deliverylab.core.model.delivery import LookedAt
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.landmarks import landmark as landmark_entry


@dataclass(frozen=True, kw_only=True)
class SetLookedAt:
    """Set all that a person looked at in a clip and found right."""

    delivery: str
    camera: str
    looked_at: tuple[LookedAt, ...]
    label: ClassVar[str] = "Say that it is right"
    touches: ClassVar[frozenset[str]] = frozenset({"looked_at"})

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("looked_at", self.delivery, self.camera)

    def apply(self, project: Project) -> SetLookedAt:
        """Set it."""
        for said in self.looked_at:
            landmark_entry(said.landmark)
        camera = project.camera(self.delivery, self.camera)
        project.replace_camera(
            self.delivery, msgspec.structs.replace(camera, looked_at=self.looked_at)
        )
        return replace_value(self, looked_at=camera.looked_at)
