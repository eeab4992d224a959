"""Edits of which end of a limb is nearer to a camera: what one picture does not tell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import msgspec

from deliverylab.core.model.changes import replace_value, with_entry
from deliverylab.core.model.delivery import DepthChoice
from deliverylab.core.model.project import Project
from deliverylab.core.vocabulary.events import event as event_entry
from deliverylab.core.vocabulary.segments import lifted_limb


@dataclass(frozen=True, kw_only=True)
class SetDepthChoice:
    """Say whether a limb's far end is nearer or farther than its near end, or take it back (None).

    Raises
    ------
    NotFoundError
        By `apply`: no such event, limb, delivery or camera.
    """

    delivery: str
    camera: str
    event: str
    limb: str
    choice: DepthChoice | None
    touches: ClassVar[frozenset[str]] = frozenset({"marks"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"Say how the {lifted_limb(self.limb).name} points"

    @property
    def key(self) -> tuple[str, ...]:
        """One limb at one event of one camera."""
        return ("depth", self.delivery, self.camera, self.event, self.limb)

    def apply(self, project: Project) -> SetDepthChoice:
        """Set the choice; an event without any is forgotten."""
        event_entry(self.event)
        lifted_limb(self.limb)
        camera = project.camera(self.delivery, self.camera)
        at_event = camera.depth_choices.get(self.event, {})
        before = at_event.get(self.limb)
        chosen = with_entry(at_event, self.limb, self.choice)
        choices = with_entry(camera.depth_choices, self.event, chosen or None)
        changed = msgspec.structs.replace(camera, depth_choices=choices)
        project.replace_camera(self.delivery, changed)
        return replace_value(self, choice=before)
