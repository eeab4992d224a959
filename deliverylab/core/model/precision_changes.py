"""Edits of what is known about placing: runs of placing again, and whose figures are in use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from deliverylab.core.model.changes import replace, replace_value, replaced_item
from deliverylab.core.model.precision import PlacingPrecision, PlacingRun
from deliverylab.core.model.project import Project


@dataclass(frozen=True, kw_only=True)
class SetPlacingRun:
    """Add, replace or remove (None) a run of placing again, at a place in their order."""

    delivery: str
    name: str
    run: PlacingRun | None
    index: int | None = None
    touches: ClassVar[frozenset[str]] = frozenset({"precision"})

    @property
    def label(self) -> str:
        """What undo says."""
        return f"{'Remove' if self.run is None else 'Keep'} the placing run {self.name}"

    @property
    def key(self) -> tuple[str, ...]:
        """One run."""
        return ("placing run", self.delivery, self.name)

    def apply(self, project: Project) -> SetPlacingRun:
        """Put the run in its place."""
        owner = project.delivery(self.delivery)
        runs, before, index = replaced_item(owner.placing_runs, self.name, self.run, self.index)
        project.replace_delivery(replace(owner, placing_runs=runs))
        name = self.run.name if self.run is not None else self.name
        return SetPlacingRun(delivery=self.delivery, name=name, run=before, index=index)


@dataclass(frozen=True, kw_only=True)
class SetPrecision:
    """Set or remove (None) whose figures give a placed point's default u in one camera."""

    delivery: str
    camera: str
    precision: PlacingPrecision | None
    label: ClassVar[str] = "Set the placing precision"
    touches: ClassVar[frozenset[str]] = frozenset({"precision", "scale"})

    @property
    def key(self) -> tuple[str, ...]:
        """One camera."""
        return ("precision", self.delivery, self.camera)

    def apply(self, project: Project) -> SetPrecision:
        """Set the figures."""
        camera = project.camera(self.delivery, self.camera)
        project.replace_camera(self.delivery, replace(camera, precision=self.precision))
        return replace_value(self, precision=camera.precision)
